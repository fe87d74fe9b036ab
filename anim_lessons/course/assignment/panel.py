"""The panel that sets homework: the form, what it answers, and a link to what was written."""

from contextlib import suppress
from pathlib import Path

from ...ferry.figures import FIGURES
from ...judging.brief import GUIDES
from ...judging.brief_text import brief_text
from ...model.action import ActionError
from ...rules import RULES
from ...rules.rule import STRICTNESSES
from ...storage.disk import plainly
from .. import workbook_copy
from . import unwritten
from .draft import FIRST, drafted, filled_in, usual_rules
from .fields import Faults
from .files import assignments, opened, paths, written
from .limb import GIVEN, OWN

NEW, LEFT = "new", "left"
LEFT_SAYS = "As you left it here; it is not written yet."
GUIDE_WORDS = {
    "nothing": "nothing: the place is found by flipping",
    "circle": "the circle: how long the part is",
    "sector": "the circle, and where on it the joint may go",
    "all": "all of it: also the rule against each other place",
}
LIMB_WORDS = {OWN: "names, lengths and stops", GIVEN: "the start drawings stay as they are"}


class Setting:
    """What the form is answered.

    Parameters
    ----------
    folder : Path
        In which assignments are.
    """

    def __init__(self, folder):
        self.folder = Path(folder)
        self.key, self.begun, self.left = NEW, None, {}
        self.limb = FIRST["limb"]
        self.filled = self.first  # as it was before anybody typed
        self.out = None  # an Output for the link to what was written

    @property
    def first(self):
        """What a new one is filled in with."""
        return {**FIRST, "rules": usual_rules(FIRST["limb"], FIRST["rules"])}

    def choices(self):
        """What there is to choose from."""
        limbs = [[figure.name, figure.says] for figure in FIGURES.values()] + [[OWN, LIMB_WORDS[OWN]]]
        rules = [
            {
                "name": rule.name,
                "asks": rule.asks,
                "why": rule.why,
                "advises": rule.advises,
                "numbers": [
                    {"name": one.name, "of": one.of, **{how: one.at(how) for how in STRICTNESSES}}
                    for one in rule.tolerances
                ],
            }
            for rule in RULES.values()
        ]
        begin = [
            *([[LEFT, "what you left, not written yet"]] if LEFT in (self.key, *self.left) else []),
            [NEW, "a new one"],
            *([f"own {name}", name] for name in assignments(self.folder)),
            *([f"book {name}", f"homework of the workbook: {name}"] for name in _workbook(self.folder)),
        ]
        return {
            "begin": begin,
            "limbs": limbs + ([[GIVEN, LIMB_WORDS[GIVEN]]] if self.begun else []),
            "guides": [[name, GUIDE_WORDS[name]] for name in GUIDES],
            "rules": rules,
        }

    def take_up(self):
        """Begin with what was filled in and not written when the kernel ended, if there is such; the traits of a form."""
        left = unwritten.kept(self.folder)
        if left is None:
            return {"values": self.first, "choices": self.choices()}
        begun, seen, values = left
        with suppress(ActionError, OSError):
            own = opened(self.folder, begun.removeprefix("own ")) if begun.startswith("own ") else None
            self.begun = own if own is not None and own.seen == seen else None
        self.key, self.filled = LEFT, values
        self.limb = values["limb"]
        return {"values": values, "choices": self.choices(), "begun": LEFT, "says": [LEFT_SAYS]}

    def keep(self, values):
        """Keep what is filled in until it is written."""
        if values != self.filled:
            self.filled = values
            own = self.begun is not None and self.begun.seen
            unwritten.keep(self.folder, *((f"own {self.begun.one.name}", self.begun.seen) if own else (self.key, {})), values)

    def look(self, values):
        """What is wrong, and what would be written; where another figure was chosen its rules are ticked."""
        try:
            one = drafted(values, self.begun.one if self.begun else None)
        except Faults as faults:
            return {"faults": faults.of, "notes": [], "brief": ""} | self._other_limb(values)
        return {"faults": {}, "notes": list(one.notes), "brief": brief_text(one.brief)} | self._other_limb(values)

    def _other_limb(self, values):
        """The rules of the figure that was chosen, as long as those of the one before are ticked as they came."""
        limb, rules = values.get("limb"), values.get("rules")
        before, self.limb = self.limb, limb if isinstance(limb, str) else ""
        if before == self.limb or not {before, self.limb} <= set(FIGURES) or not _whole(rules):
            return {}
        ticked = {name: one["on"] for name, one in usual_rules(before, rules).items()}
        if ticked != {name: rules[name].get("on") for name in RULES}:
            return {}
        return {"values": {**values, "rules": usual_rules(self.limb, rules)}}

    def begin(self, key, values):
        """Begin with another assignment; what was filled in stays for whoever comes back to it."""
        if not isinstance(key, str) or key not in dict(self.choices()["begin"]):
            raise ActionError("there is no such homework any more", "choose another one")
        kind, _, name = key.partition(" ")
        if kind == LEFT:
            fill, begun = self.left.get(LEFT, (values, self.begun))
        elif kind == NEW:
            begun, fill = None, self.first
        elif kind == "own":
            begun = opened(self.folder, name)
            fill = filled_in(begun.one, name)
        else:
            begun = opened(self.folder, name, *_workbook(self.folder)[name])
            fill = filled_in(begun.one)
        self.left[self.key] = (values, self.begun)
        again = self.left.pop(key, None) if key != self.key else None
        says = []
        if again and again[0] != fill and (again[1] is None or begun is None or again[1].seen == begun.seen):
            fill, says = again[0], [LEFT_SAYS]
        self.key, self.begun, self.limb, self.filled = key, begun, fill["limb"], fill
        return {"begun": key, "says": says, "choices": self.choices(), "values": fill}

    def write(self, values):
        """Write what is filled in."""
        try:
            one = drafted(values, self.begun.one if self.begun else None)
        except Faults as faults:
            return {
                "faults": faults.of,
                "says": [f"Nothing is written yet: {_many(len(faults.of))}. What is wrong stands beside it."],
            }
        with plainly(self.folder, "made"):
            self.folder.mkdir(parents=True, exist_ok=True)
        self.begun, says = written(one, self.folder, self.begun)
        self.key, fill = f"own {one.name}", filled_in(self.begun.one, one.name)
        self.left.pop(self.key, None)
        self.limb, self.filled = fill["limb"], fill
        unwritten.forget(self.folder)
        self._link(one.name)
        where = (self.folder / one.name).as_posix()
        return {
            "begun": self.key,
            "choices": self.choices(),
            "values": fill,
            "says": [*says, f"Written: {where}. Hand out {where}.zip, in which all of it is."],
        }

    def _link(self, name):
        if self.out is None:
            return
        from IPython.display import Markdown

        here = (self.folder / name).as_posix()
        brief, _, notebook = (f"{here}/{file}" for file in paths(name))
        self.out.outputs = ()
        self.out.append_display_data(
            Markdown(
                f"Look at it as the class will: [{Path(notebook).name}]({notebook}). Its brief is [{Path(brief).name}]({brief}).\n\n"
                f"When it comes back, in a terminal in this folder:\n\n    anim-lessons mark hand-ins --homework {here}"
            )
        )


def _whole(rules):
    """True where every rule has what is filled in of it."""
    return isinstance(rules, dict) and all(isinstance(rules.get(name), dict) for name in RULES)


def _many(count):
    return "one field cannot be taken" if count == 1 else f"{count} fields cannot be taken"


def _workbook(folder):
    """Of each homework of the workbook its start and its brief, by its name: those of the copy in which the folder lies, where
    they are there, for somebody may have changed a line in them; else those of the installation."""
    from ...assist.lesson_list import LESSONS

    places = (Path(folder).absolute().parents[1] / "homework", workbook_copy.source() / "homework")
    found = {}
    for lesson in LESSONS.values():
        if lesson.file:
            pairs = [(place / "start" / lesson.file, place / f"{lesson.name}.toml") for place in places]
            found[lesson.name] = next((pair for pair in pairs if all(path.is_file() for path in pair)), pairs[-1])
    return found


def panel(folder):
    """The form, and below it a link to what was written; `.form` is the form."""
    from ipywidgets import Output

    from ...light_table.assignment_form import AssignmentForm
    from ...light_table.still import FormPanel

    setting = Setting(folder)
    setting.out = Output()
    return FormPanel(AssignmentForm(setting, **setting.take_up()), setting.out)
