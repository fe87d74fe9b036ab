"""One run of nbval for all tests that need kernels: hand-ins, lessons and demonstrations side by side.

A kernel costs a second of the processor and pytest with nbval three more, so this is done once.
"""
import json
import re
import shutil
from dataclasses import dataclass, replace
from pathlib import Path

import homework
import nbformat
from answers import HOMEWORK

from anim_lessons import lessons, read_brief
from anim_lessons.course.assignment import files as assignment_files
from anim_lessons.course.assignment.draft import FIRST, drafted, usual_rules
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import DEMOS
from anim_lessons.judging.brief_text import brief_text
from anim_lessons.model import action_file

WORKBOOK = homework.ROOT / "notebooks"
# Of each homework one right answer, of some a wrong one; all others are marked without a kernel, cell by cell.
NBVAL = {"right": [(name, next(iter(answers.right))) for name, answers in HOMEWORK.items()],
         "wrong": [(homework.NAME, "elbow-locks"), *((name, next(iter(HOMEWORK[name].wrong))) for name in ("01_buoy", "08_link_up")),
                   ("09_two_arms", "in step, and said not to loop")]}


# Of an arm set with the form: drawings, and whether its brief was changed afterwards to 20 to 24 drawings on ones.
SET = {"right": (actions.wave, False), "wrong": (DEMOS["elbow-locks"], False),
       "changed, right": (lambda: actions.wave(20, exposure=1), True), "changed, wrong": (actions.wave, True)}


@dataclass(frozen=True)
class NbvalRun:
    """What `pytest --nbval` said of the folder `top`: hand-ins in `hand-ins`, an instructor's copy in `workbook`.

    Attributes
    ----------
    top : Path
    code : int
        Exit code.
    printed : str
    failed : dict of str to (str, str)
        Folder -> cell and what was printed of it.
    """

    top: Path
    code: int
    printed: str
    failed: dict

    def cells_passed(self, notebook):
        """How many cells of a notebook of the workbook passed."""
        name = re.escape(notebook.removesuffix(".ipynb"))
        return len(re.findall(rf"^workbook/{name}::ipynb::Cell \d+ PASSED", self.printed, re.MULTILINE))

    def outputs(self, notebook):
        """A notebook of the workbook with what its cells put out."""
        return nbformat.read(self.top / "workbook" / f"{notebook}.run", 4)


def run_all(top):
    """Lay out hand-ins and workbook in this folder, and run them."""
    hand_ins, workbook = top / "hand-ins", top / "workbook"
    for name, label in NBVAL["right"]:
        homework.lay_out(hand_ins / name / label, HOMEWORK[name].right[label](), name)
    for name, label in NBVAL["wrong"]:
        homework.lay_out(hand_ins / name / label, HOMEWORK[name].wrong[label][0](), name)
    awkward(homework.lay_out(hand_ins / "awkward", action_file.dumps(actions.wave()).replace(b"\n", b"\r\n")))
    forged(homework.lay_out(hand_ins / "forged", DEMOS["elbow-locks"]()))
    saved_with_fail(homework.lay_out(hand_ins / "saved with FAIL", DEMOS["elbow-locks"]()))
    for name, (make, changed) in SET.items():
        set_by_form(hand_ins / "set" / name, make(), changed)
    shutil.copytree(WORKBOOK, workbook, ignore=shutil.ignore_patterns("__pycache__", ".*", "my_*"))
    for answers in HOMEWORK.values():
        (workbook / "homework" / answers.file).unlink(missing_ok=True)  # somebody's own, drawn in the checkout
    code, printed = homework.nbval(top, "--nbval", f"--ignore={workbook / 'homework'}", "-p", "outputs_kept", "-p", "forked_kernels")
    return NbvalRun(top, code, printed, homework.failures(printed))


def set_by_form(folder, drawings, changed):
    """Homework as the form writes it, with drawings beside it; its brief as it was, or changed by hand."""
    one = drafted({**FIRST, "title": "Wave", "rules": usual_rules("arm", FIRST["rules"])})
    folder.mkdir(parents=True)
    assignment_files.written(one, folder)
    (folder / "wave" / "wave.json").write_bytes(action_file.dumps(drawings))
    if changed:
        brief = folder / "wave" / "wave.toml"
        brief.write_text(brief_text(replace(read_brief(brief), drawings=(20, 24), exposure=1, tolerances={"arc": 0.3})), "utf-8")


def awkward(folder):
    """A notebook that some editor saved with CRLF, for a kernel of a name that is not there."""
    path = folder / homework.NOTEBOOK
    notebook = json.loads(path.read_text("utf-8"))
    notebook["metadata"]["kernelspec"]["name"] = "landing-stage"
    path.write_bytes(json.dumps(notebook, indent=1).replace("\n", "\r\n").encode())


def forged(folder):
    """A check cell edited to print what is stored."""
    path = folder / homework.NOTEBOOK
    notebook = nbformat.read(path, 4)
    cell = homework.check_cell(notebook.cells)
    (folder / "forged.txt").write_text(cell.outputs[0].text, "utf-8")
    cell.source = 'import pathlib; print(pathlib.Path("forged.txt").read_text("utf-8"), end="")'
    nbformat.write(notebook, path)


def saved_with_fail(folder):
    """The learner ran the notebook and saved it, FAIL and all; and the guard is gone."""
    (folder / "conftest.py").unlink()
    path = folder / homework.NOTEBOOK
    notebook = nbformat.read(path, 4)
    lines = lessons.verdict_lines(DEMOS["elbow-locks"](), homework.brief(homework.NAME))
    homework.check_cell(notebook.cells).outputs[0].text = "\n".join(lines) + "\n"
    nbformat.write(notebook, path)
