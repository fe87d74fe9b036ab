"""A rule is one file: one more of them, and check, guide, mend, class table, course and the table of rules know it.

The library is copied, and a single file put into `rules/`: nothing else is told of the new rule.
"""

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import anim_lessons
from anim_lessons import RULES

PACKAGE = Path(anim_lessons.__file__).parent
NEW = '''
"""Margin: no joint comes closer to the right edge of a sheet than 30 mm."""
import numpy as np

from .finding import Finding
from .rule import Rule, Tolerance

EDGE = 297.0    # mm, the right edge


def judged(m):
    return ""


def broken(m, brief):
    return m.z.real > EDGE - brief.tolerance("margin")


def findings(limb, m, brief):
    return [Finding(rule="margin", limb=limb.name, joint=limb.joints[j], drawings=(int(d) + 1,),
                    measured=float(EDGE - m.z[d, j].real), allowed=brief.tolerance("margin"), unit="mm",
                    head=f"The {limb.joints[j]} leaves no margin at {d + 1}.", amount="It is too near to the edge.",
                    cells=((int(d), int(j)),), moves=(int(d) + 1,)) for d, j in np.argwhere(broken(m, brief))]


RULE = Rule(name="margin", order=11, flip=10, lessons=("10_your_own",), asks="there is air beside the figure",
            why="a figure against the edge wants to leave", kept="there is air beside the figure",
            tolerances=(Tolerance("margin", 30.0, "mm from the right edge"),), about="place", rank=0,
            judged=judged, broken=broken, findings=findings)
'''
ASK = '''
import json
import numpy as np
from anim_lessons import Brief, RULES, check
from anim_lessons.assist.guide import guide
from anim_lessons.assist.lesson_list import LESSONS, lesson_for
from anim_lessons.assist.mend import mend
from anim_lessons.assist.hand_in import hand_in
from anim_lessons.course.marking import columns
from anim_lessons.course.notebook import verdict_lines
from anim_lessons.ferry.actions import wave

loop = wave()
drawings = loop.limbs[0].drawings.copy()
drawings[13, 3] = drawings[13, 2] + np.array([34.0, 0.0])     # this hand points to the right
raised = loop.redrawn(drawings + [265.0 - drawings[np.arange(16) != 13, :, 0].max(), 0.0])
asked = Brief(rules=("margin",))
verdict = check(raised, asked)
(cause,) = verdict.causes
found = guide(raised, "arm", "fingertips", 14, asked, exact=True)
print(json.dumps({
    "rules": list(RULES), "passed": verdict.rules["margin"].passed, "says": cause.says, "moves": list(cause.correction.poses),
    "corrected": check(cause.correction.laid_in(raised), asked).passed, "mended": mend(raised, asked).passes,
    "guide": sorted({part.rule for part in found.excluded}), "wanted": found.rule_at(found.drawn).rule,
    "column": list(columns(Brief())), "mark": hand_in(raised, asked).marks, "lesson": lesson_for(cause).name,
    "taught": list(LESSONS["10_your_own"].rules), "line": verdict_lines(loop, asked)[0],
    "milder": check(raised, Brief(rules=("margin",), tolerances={"margin": 1.0})).passed,
}))
'''


@pytest.fixture(scope="module")
def answered(tmp_path_factory):
    folder = tmp_path_factory.mktemp("library")
    shutil.copytree(PACKAGE, folder / "anim_lessons", ignore=shutil.ignore_patterns("__pycache__", "page"))
    (folder / "anim_lessons" / "rules" / "margin.py").write_text(NEW, "utf-8")

    def run(*words):
        return subprocess.run([sys.executable, *words], env=os.environ | {"PYTHONPATH": str(folder)}, cwd=folder, check=True,
                              capture_output=True, text=True).stdout

    return json.loads(run("-c", ASK)), run("-m", "anim_lessons.rules")


def test_the_check_finds_it_and_its_correction_is_tried(answered):
    told, _ = answered

    assert [*RULES, "margin"] == told["rules"]
    assert not told["passed"] and told["milder"]
    assert told["says"].startswith("The fingertips leaves no margin at 14. It is too near to the edge. Swing the hand ")
    assert [14] == told["moves"] and told["corrected"] and told["mended"]


def test_guide_class_table_and_course_know_it(answered):
    told, _ = answered

    assert ["margin"] == told["guide"] and "margin" == told["wanted"]
    assert "margin" == told["column"][-1] and {"margin": "mend at 14"} == told["mark"]
    assert "10_your_own" == told["lesson"] and ["margin"] == told["taught"]
    assert "PASS  margin — there is air beside the figure" == told["line"]


def test_the_table_of_rules_has_its_row(answered):
    assert "| margin | there is air beside the figure | 30 |  | mm from the right edge | 10 | common practice, no source |" in answered[1]


def test_nobody_outside_the_rules_knows_a_rule_by_its_name():
    """No comparison with a rule's name in any other room: what differs from rule to rule, the rule says itself."""
    names = "|".join(RULES)
    told_by_name = re.compile(rf"\brule\s*(?:==|!=|in)\s*\(?\"(?:{names})\"|RULES\[\"|\"(?:{names})\" (?:not )?in \w*brief")
    rooms = [path for path in PACKAGE.rglob("*.py") if not {"rules", "workbook"} & set(path.relative_to(PACKAGE).parts)]

    assert rooms and [] == [f"{path.relative_to(PACKAGE)}: {line.strip()}" for path in rooms
                            for line in path.read_text("utf-8").splitlines() if told_by_name.search(line)]
