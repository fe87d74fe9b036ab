"""What the marking panel is answered: a class marked, one learner looked at, and what the instructor says of them."""

import os
from pathlib import Path
from urllib.parse import quote

from ...assist.lesson_list import LESSONS
from ...model.action import ActionError
from ...model.printable import cut, path_text, visible
from ..assignment.files import assignments
from .last_word import counts, to_mend
from .mark import given, mark
from .own_marks import answer_whose, say
from .pages import ON_A_DESK
from .results import BY_STATE

FIRST = {"folder": "hand-ins", "homework": "06_looping_arm", "roster": "", "due": "", "to": "my_marks", "names": "yes"}
INVENTED, OF_INVENTED = "my_invented_class", "my_invented_marks"
OWN = "my_homework"     # in which a folder each is homework of one's own
LONGEST = 300           # letters of a sentence in the table


class Marking:
    """The class that is marked in a panel.

    Parameters
    ----------
    where : Path
        The folder of the notebook.
    """

    def __init__(self, where):
        self.where = Path(where)
        self.values, self.marked, self.who = dict(FIRST), None, None

    def choices(self):
        """Homework that can be marked: the workbook's, and what lies in a folder of one's own."""
        return [[name, f"{lesson.number} {lesson.title}"] for name, lesson in LESSONS.items() if lesson.file] + [
            [f"{OWN}/{name}", f"your own: {name}"] for name in self._own()]

    def _own(self):
        try:
            return assignments(self.where / OWN)
        except ActionError:     # it is nobody's to read: then there is none to mark
            return []

    # ---- what is asked ----------------------------------------------------------------------

    def mark(self, panel, content):
        """Mark the class."""
        values = content.get("values")
        if not isinstance(values, dict) or not all(isinstance(values.get(key), str) for key in FIRST):
            return
        self.values = {key: values[key].strip() for key in FIRST}
        self.who = None
        self._marked(panel)

    def invent(self, panel, content):
        """An invented class, laid beside the notebook unless it is there, and marked."""
        from .invented_class import DUE, HOMEWORK, lay_out

        top = self.where / INVENTED
        if not (top / "class.csv").exists():
            lay_out(top, stray=True)
        values = {"folder": f"{INVENTED}/hand-ins", "homework": HOMEWORK, "roster": f"{INVENTED}/class.csv", "due": f"{DUE:%Y-%m-%d}",
                  "to": OF_INVENTED, "names": "yes"}
        panel.values = values
        self.mark(panel, {"values": values})

    def choose(self, panel, content):
        """Look at one of them."""
        if self._result(content.get("who")) is not None:
            self.who = content["who"]
            self._paint_one(panel)

    def say(self, panel, content):
        """Keep what the instructor says of somebody, and mark again by it."""
        told = {key: content.get(key) for key in ("who", "drawn", "rule", "mark", "comment")}
        if not all(isinstance(value, str) for value in told.values()) or self._result(told["who"]) is None:
            return
        say(self._out, **told)
        self.who = told["who"]
        self._marked(panel, kept=f"kept in {self.values['to']}/marks.json")

    def whose(self, panel, content):
        """Keep whose an entry is, and mark again."""
        part, who = content.get("part"), content.get("who")
        if isinstance(part, str) and isinstance(who, str) and self.marked is not None:
            answer_whose(self._out, part, who)
            self._marked(panel)

    # ---- what is shown ---------------------------------------------------------------------

    @property
    def _out(self):
        return self.where / self.values["to"]

    def _marked(self, panel, kept=""):
        values = self.values
        for key, what in (("folder", "the folder with the hand-ins"), ("to", "a folder for the results")):
            if not values[key]:
                raise ActionError(f"{what} is not named", "write its name into the field")
        panel.busy, panel.progress, panel.says = True, [], ["Marking …"] if not kept else []

        def watch(what, done, count):
            if done % max(1, count // 50) == 0 or done == count:
                panel.progress = [what, done, count]

        roster = self.where / values["roster"] if values["roster"] else None
        self.marked = mark(self.where / values["folder"], self._out, self._given(), roster, values["due"] or None,
                           pseudonyms=values["names"] == "no", watch=watch)
        results = self.marked.results.results
        with panel.hold_sync():
            panel.rows = [self._row(one) for one in self._in_order(results)]
            panel.words = {"states": list(self.marked.results.states), "rules": list(self.marked.results.to_mend)}
            panel.nobodys = [{"part": one.unknown, "file": one.file, "says": _short(one.row.says)} for one in results if one.unknown]
            panel.learners = [[one.who, one.name] for one in results if not one.unknown]
            panel.class_page = (self._out / "class.html").read_text("utf-8")
            panel.says = [] if kept else [_short(self.marked.lines[-1])]
            self._paint_one(panel, kept)

    def _given(self):
        homework = self.values["homework"]
        return given(str(self.where / homework) if homework.startswith(f"{OWN}/") else homework)

    @staticmethod
    def _in_order(results):
        return sorted(results, key=lambda one: (not one.needs_you, BY_STATE.index(one.state)))

    def _row(self, one):
        yours = ", ".join(filter(None, (one.own_mark, *(f"{mark.rule} {mark.mark}" for mark in one.said if mark.rule and mark.mark),
                                        "comment" if one.comment else "")))
        share = "" if one.row.share is None else f"{one.row.share:.0%}"
        return {"who": one.who, "name": _short(one.name), "state": one.state, "holds": share, "says": _short(one.row.says),
                "notes": [_short(note) for note in one.notes], "yours": _short(yours), "needs_you": one.needs_you,
                "to_mend": [name for name, word in one.row.marks.items() if to_mend(word)],
                "page": self.marked.pages.get(one.who, "")}

    def _paint_one(self, panel, kept=""):
        one = self._result(self.who)
        place = self.marked.pages.get(self.who, "") if one else ""
        with panel.hold_sync():
            panel.page = (self._out / place).read_text("utf-8") if place else ""
            panel.chosen = {} if one is None else {
                **self._row(one), "drawn": one.row.drawn, "desk": one.state in ON_A_DESK, "rules": self._rules(one), "mark": one.own_mark,
                "comment": "\n".join(mark.comment for mark in one.said if mark.comment and not mark.rule), "kept": kept,
                "earlier": [_short(f"Said of an earlier one: {': '.join(filter(None, (mark.rule, mark.mark, mark.comment)))}")
                            for mark in one.earlier]}
            panel.links = {"class": link_to(self._out / "class.html"), "page": link_to(self._out / place) if place else ""}

    @staticmethod
    def _rules(one):
        measured = one.measured or one.row
        said = {mark.rule: mark.mark.strip().lower() for mark in one.said if counts(mark, measured)}
        return [{"name": name, "measured": word, "yours": "" if name not in said else "kept" if said[name] == "kept" else "to mend"}
                for name, word in measured.marks.items()]

    def _result(self, who):
        if self.marked is None or who is None:
            return None
        return next((one for one in self.marked.results.results if one.who == who), None)


def _short(text):
    return cut(visible(str(text)), LONGEST)


def link_to(path):
    """Where the browser finds a file, by the server whose kernel this is; an empty text where that is not known."""
    try:
        from jupyter_server.serverapp import list_running_servers

        servers = list(list_running_servers())
    except Exception:  # noqa: BLE001 - without a server there is no link, and all else works
        return ""
    path = Path(os.path.realpath(path))
    parent = os.environ.get("JPY_PARENT_PID", "")
    for server in sorted(servers, key=lambda one: str(one.get("pid")) != parent):
        top = os.path.realpath(server.get("root_dir") or "")
        if path.is_relative_to(top):
            inside = path_text(path.relative_to(top)).replace(os.sep, "/")
            return f"{server.get('base_url', '/')}files/{quote(inside)}"
    return ""


def panel(folder=""):
    """The panel of a notebook in a folder, as a widget."""
    from ...light_table.class_panel import ClassPanel

    marking = Marking(folder)
    return ClassPanel(marking, values=marking.values, choices=marking.choices())
