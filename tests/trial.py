"""The trial of the rules: how many generated loops they pass, how many faults they find, and whether what they advise
mends them, as a table.

    python -m tests.trial --clean 2000 --faults 400 --corrections 300 --seed 20261125

prints it in Markdown. The loops and the faults are those of tests/loops.py, which shares no code with
the rules and never asks them. Tolerances were chosen on other seeds.
"""

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

import loops

from anim_lessons import check

JITTER = 0.25  # mm, one standard deviation of each coordinate: an unsteady hand


@dataclass
class Found:
    """What became of the faults of one kind, each a number of loops."""

    kind: str
    rule: str
    loops: int = 0
    under_rule: int = 0     # some finding is of the rule that was broken
    at_drawing: int = 0     # and it names the drawing, or the whole action where that was put
    cause: int = 0          # and it is a cause, not said to follow from another fault
    alone: int = 0          # it is the only cause

    def count(self, numbers, verdict):
        of_rule = [finding for finding in verdict.findings if finding.rule == self.rule]
        there = [finding for finding in of_rule
                 if set(numbers) & set(finding.drawings) or not (numbers or finding.drawings)]
        self.loops += 1
        self.under_rule += bool(of_rule)
        self.at_drawing += bool(there)
        self.cause += any(finding.follows is None for finding in there)
        self.alone += len(verdict.causes) == 1 and verdict.causes[0].rule == self.rule


def false_alarms(number, seed, jitter=0.0):
    """How many of that many sound loops have a finding, by rule: a dict, with the number of loops under ""."""
    rng = np.random.default_rng(seed)
    wrong = {"": 0}
    for _ in range(number):
        made = loops.loop(rng)
        points = loops.jittered(made.clean(), rng, jitter) if jitter else made.clean()
        rules = {finding.rule for finding in check(loops.action(made, points)).findings}
        wrong[""] += bool(rules)
        for rule in rules:
            wrong[rule] = wrong.get(rule, 0) + 1
    return wrong


def faults(kind, number, seed):
    """What becomes of that many loops with a fault of that kind.

    Returns
    -------
    Found
    """
    rule, fault = loops.FAULTS[kind]
    rng = np.random.default_rng([seed, sorted(loops.FAULTS).index(kind)])
    found = Found(kind, rule)
    while found.loops < number:
        made = loops.loop(rng)
        drawn = fault(made, rng)
        if drawn is not None:       # not every loop has a place for every fault
            points, numbers = drawn
            found.count(numbers, check(loops.action(made, points)))
    return found


@dataclass
class Corrected:
    """What became of loops with one fault of a kind, once the correction of the first cause was laid in."""

    kind: str
    loops: int = 0
    known: int = 0      # a correction is known
    passes: int = 0     # every rule is kept with it
    new: int = 0        # it brings a finding that was not there
    left: list = None   # what lies between it and the sound drawing, a share of the fault; of faults of single drawings


def corrections(kind, number, seed):
    """What the correction of the first cause does to that many loops with a fault of that kind.

    Returns
    -------
    Corrected
    """
    _, fault = loops.FAULTS[kind]
    rng = np.random.default_rng([seed, sorted(loops.FAULTS).index(kind)])
    found = Corrected(kind, left=[])
    while found.loops < number:
        made = loops.loop(rng)
        drawn = fault(made, rng)
        verdict = None if drawn is None else check(loops.action(made, drawn[0]))
        if verdict is None or not verdict.causes:
            continue
        points, numbers = drawn
        found.loops += 1
        correction = verdict.causes[0].correction
        if correction is None:
            continue
        corrected = correction.laid_in(loops.action(made, points))
        after = check(corrected)
        found.known += 1
        found.passes += after.passed
        found.new += bool({finding.named for finding in after.findings} - {finding.named for finding in verdict.findings})
        if len(numbers) == 1 and len(verdict.causes) == 1:
            sound = made.clean()
            apart = np.linalg.norm(corrected.limbs[0].drawings - sound, axis=-1).sum()
            found.left.append(apart / np.linalg.norm(points - sound, axis=-1).sum())
    return found


def correction_table(number, seed):
    """What corrections do, in Markdown; `number` loops in all, spread over the kinds of fault."""
    each = -(-number // len(loops.FAULTS))
    lines = ["| fault put in | loops | correction known | passes with it | new finding | left of the fault, median |",
             "|---|---|---|---|---|---|"]
    rows = [corrections(kind, each, seed) for kind in loops.FAULTS]
    total = Corrected("all", *(sum(getattr(row, name) for row in rows) for name in ("loops", "known", "passes", "new")),
                      sum((row.left for row in rows), []))
    for row in (*rows, total):
        shares = " | ".join(f"{count / row.loops:.1%}" for count in (row.known, row.passes, row.new))
        lines.append(f"| {row.kind} | {row.loops} | {shares} | {f'{np.median(row.left):.2f}' if row.left else ''} |")
    return "\n".join(lines)


def table(clean, each, seed):
    """The trial in Markdown."""
    lines = ["| loops | with any finding | share | rules |", "|---|---|---|---|"]
    for name, jitter in (("sound", 0.0), (f"sound, drawn with {JITTER} mm of jitter", JITTER)):
        wrong = false_alarms(clean, [seed, int(jitter > 0)], jitter)
        rules = ", ".join(f"{rule} {count}" for rule, count in wrong.items() if rule) or "none"
        lines.append(f"| {clean} {name} | {wrong['']} | {wrong[''] / clean:.2%} | {rules} |")
    lines += ["", "| fault put in | rule | loops | found under that rule | at the drawing | as a cause | as the only cause |",
              "|---|---|---|---|---|---|---|"]
    total = Found("all", "")
    for kind in loops.FAULTS:
        one = faults(kind, each, seed)
        lines.append(_row(one))
        for name in ("loops", "under_rule", "at_drawing", "cause", "alone"):
            setattr(total, name, getattr(total, name) + getattr(one, name))
    return "\n".join([*lines, _row(total)])


def _row(found):
    shares = (f"{number / found.loops:.1%}"
              for number in (found.under_rule, found.at_drawing, found.cause, found.alone))
    return f"| {found.kind} | {found.rule} | {found.loops} | {' | '.join(shares)} |"


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description="The trial of the rules, as a table in Markdown.")
    asked.add_argument("--clean", type=int, default=2000, help="sound loops, and as many with jitter")
    asked.add_argument("--faults", type=int, default=400, help="loops of each kind of fault")
    asked.add_argument("--corrections", type=int, default=300, help="loops whose correction is laid in, in all")
    asked.add_argument("--seed", type=int, default=20261125)
    given = asked.parse_args()
    print(f"`python -m tests.trial --clean {given.clean} --faults {given.faults} --corrections {given.corrections} "
          f"--seed {given.seed}`\n")
    print(table(given.clean, given.faults, given.seed))
    print(f"\n{correction_table(given.corrections, given.seed)}")
