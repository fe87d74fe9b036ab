"""The error of this package: where an action is wrong, what is wrong, what to do."""

NOWHERE = {  # the parts of a place, in the order in which a sentence names them
    "step": None,  # number of a step of the lecture, from 1
    "limb": None,  # its name, or its number from 1 where it has none
    "plan": None,  # the planned joint, or the number of the plan where it names none
    "segment": None,  # number from 1, and the joints at its two ends
    "key": None,  # of the action file
    "number": None,  # of an entry of a list that is no drawing and no joint, from 1
    "drawing": None,  # from 1
    "joint": None,  # its name, or its number from 1 where it has none
    "stroke": None,  # number of a stroke of its line, from 1
    "point": None,  # number of a point of a stroke, from 1
    "spot": None,  # number of a place on a path, from 1
    "axis": None,  # x or y, or the pressure of a point
}


class ActionError(ValueError):
    """An action that cannot be drawn: says where, what is wrong, what to do.

    Parameters
    ----------
    what : str
        What is wrong. A whole sentence where no other part is given.
    do : str
        What to do next.
    file : str
        The file, as it was asked for.
    **place
        Parts of the place within the action, by the names in `NOWHERE`.

    Attributes
    ----------
    what, do, file, step, limb, plan, segment, key, number, drawing, joint, stroke, point, spot, axis
        The parts, as given; a part of the place that does not apply is None.
    """

    def __init__(self, what, do="", *, file="", **place):
        super().__init__(what)
        self.what, self.do, self.file = what, do, file
        self.__dict__.update(NOWHERE)
        self.at(**place)

    def at(self, file="", **place):
        """Name more of the place, such as the file; what is named already stays. Returns the error itself."""
        unknown = place.keys() - NOWHERE.keys()
        if unknown:
            raise TypeError(f"a place has no {', '.join(sorted(unknown))}")
        self.file = self.file or file
        for part, value in place.items():
            if getattr(self, part) is None:
                setattr(self, part, value)
        return self

    @property
    def where(self):
        """The place within the action in words; empty where the whole action is meant."""
        words = []
        if self.step is not None:
            words.append(f"lecture, step {self.step}")
        if self.limb is not None:
            words.append(f"limb {_called(self.limb)}")
        if self.plan is not None:
            words.append(
                f"plan of {_called(self.plan)}" if isinstance(self.plan, str) else f"plan {self.plan}"
            )
        if self.segment is not None:
            number, near, far = self.segment
            words.append(f'segment {number} ("{near}" to "{far}")')
        if self.key is not None:
            words.append(f'key "{self.key}"')
        if self.number is not None:
            words.append(f"number {self.number}")
        if self.drawing is not None:
            words.append(f"drawing {self.drawing}")
        if self.joint is not None:
            words.append(f"joint {_called(self.joint)}")
        if self.stroke is not None:
            words.append(f"stroke {self.stroke}")
        if self.point is not None:
            words.append(f"point {self.point}")
        if self.spot is not None:
            words.append(f"place {self.spot} of its path")
        if self.axis is not None:
            words.append(self.axis)
        return ", ".join(words)

    @property
    def says(self):
        """The sentence without the name of the file."""
        text = f"{self.what}; {self.do}" if self.do else self.what
        text = f"{self.where}: {text}" if self.where else text
        return text.encode("utf-8", "backslashreplace").decode(
            "utf-8"
        )  # half a character could not be printed

    def __str__(self):
        return f"{self.file}: {self.says}" if self.file else self.says

    def __repr__(self):
        return f"{type(self).__name__}({str(self)!r})"


def _called(name):
    return f'"{name}"' if isinstance(name, str) else str(name)
