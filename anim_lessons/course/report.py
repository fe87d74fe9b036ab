"""What a check cell says: a line a rule, and a closing step.

A check answers in four steps: not started, keep going and why, almost, done.
"""

from dataclasses import dataclass

from ..assist import hand_in as handed
from ..assist.hand_in import hand_in
from ..assist.lesson_list import LESSONS
from ..judging.brief import DEFAULT, MET
from ..model.words import capital, run, shown
from ..rules import RULES
from ..rules.rule import LIMBS

NOT_STARTED, KEEP_GOING, ALMOST, DONE = "not started", "keep going", "almost", "done"
OTHER_WORK = "other work"       # beside the four: drawings of another homework


@dataclass(frozen=True)
class Line:
    """One line: `word` such as PASS or FAIL, the name of what is looked at, what is said of it; `follows` where a rule is
    broken only by what follows from a fault under another."""

    word: str
    name: str
    says: str
    follows: bool = False

    def __str__(self):
        return f"{self.word}  {self.name} — {self.says}" if self.name else f"{self.word}  {self.says}"


ALL_KEPT = str(Line("PASS", "", "all rules kept"))     # on which a check ends that passed


@dataclass(frozen=True)
class Report:
    """Everything a check cell says.

    Attributes
    ----------
    lines : tuple of Line
        The last one says which step is reached.
    step : str
        NOT_STARTED, KEEP_GOING, ALMOST, DONE or OTHER_WORK.
    """

    lines: tuple
    step: str

    @property
    def failed(self):
        """Names of what failed, each once; what only follows from another fault is no failure of its own."""
        return tuple(dict.fromkeys(line.name for line in self.lines if line.word == "FAIL" and not line.follows))

    @property
    def broken(self):
        """Names of all that failed, each once."""
        return tuple(dict.fromkeys(line.name for line in self.lines if line.word == "FAIL"))


def report(action, brief=DEFAULT, start=None):
    """The Report on an action.

    Parameters
    ----------
    action : Action
    brief : Brief
    start : Action, optional
        The drawings as given: the same drawings are no answer.
    """
    one = hand_in(action, brief, start)
    if one.state == handed.OTHER:
        return Report((Line("OTHER WORK", "", f"{one.says}. Put the drawings of this homework into the file."),), OTHER_WORK)
    if one.state == handed.NOTHING:
        return Report((Line("NOT STARTED", "", f"{one.says}. Draw on the light table, then run this cell again."),), NOT_STARTED)
    found, progress = one.verdict, one.progress
    lines = [Line("PASS" if met else "FAIL", name, says) for name, met, says in one.asks]
    for name in found.rules:
        if name in brief.rules:
            lines += _of_rule(name, found, brief)
    if progress.untouched is not None:
        limb, joint = progress.untouched
        lines.append(Line("FAIL", "drawn", f"{shown(joint)} of the {limb}: {progress.drawn_of(limb, joint)}, the others are as given"))
    if one.state == handed.DONE:
        return Report((*lines, Line("PASS", "", "all rules kept")), DONE)
    # A line that passes is the same for every right answer; so what differs is told only where something is left to do.
    lines += [Line("NOTE", "", note) for note in one.notes]
    step, says = _closing(progress, found, one.asks, brief)
    return Report((*lines, Line(step.upper(), "", says)), step)


def passing(brief):
    """The Lines of a check that passes by this brief: the same for every right answer, and for all briefs that ask for the same
    rules of the same things. A homework's notebook has them stored."""
    asked = [Line("PASS", name, MET[name]) for name in brief.asked_of_stack]
    return (*asked, *(Line("PASS", name, RULES[name].kept) for name in RULES if name in brief.rules), Line("PASS", "", "all rules kept"))


def _of_rule(name, found, brief):
    """The lines of one rule."""
    rule = found.rules[name]
    if not rule.judged:
        # A brief that names its rules wants them judged: drawings that give one nothing to judge are no answer.
        word = "FAIL" if brief.names_rules else "NOT JUDGED"
        return [Line(word, name, f"could not be judged: {rule.says}")]
    if rule.passed:
        return [Line("PASS", name, RULES[name].kept)]
    causes = [finding for finding in found.causes if finding.rule == name]
    if causes:
        return [Line("FAIL", name, finding.says) for finding in causes]
    finding = next(finding for finding in found.findings if finding.rule == name)
    at = f" at {run(finding.drawings)}" if finding.drawings else ""
    says = f"it only follows{at}: {finding.short}. First mend the {found.cause_of(finding).rule}."
    return [Line("FAIL", name, says, follows=True)]


def _closing(progress, found, asks, brief):
    """The step reached, and what to begin with, why, and the lesson that teaches it."""
    action = progress.action
    place = progress.next_place(brief.way)
    if place:
        limb, joint, number, _ = place
        of = f"{limb}, " if len(action.limbs) > 1 else ""
        return KEEP_GOING, (f"{of}{shown(joint)}: {progress.drawn_of(limb, joint)}. Go on with {number}: "
                            "what is still as given was only traced, and stands still.")
    left = [*found.causes, *found.unmet]
    if not found.causes:
        # What the brief asks of the stack comes before the rules that it names and that cannot judge.
        asked = all(met for _, met, _ in asks)
        unable = next((name for name in brief.rules if not found.rules[name].judged), None) if asked else None
        read = _taught(RULES[unable]) if unable else ""
        return (ALMOST, f"one thing is left: {left[0]}{read}") if len(left) == 1 else \
            (KEEP_GOING, f"{len(left)} things to mend. Begin here: {left[0]}{read}")
    # What the table calls next is what the check begins with: the first cause, and then what the brief asks.
    cause = found.causes[0]
    named, why = _named(cause, action), RULES[cause.rule].why_of(cause)
    read = _taught(RULES[cause.rule])
    if len(left) == 1:
        return ALMOST, f"one thing is left: {named}. {capital(why)}.{read}"
    return KEEP_GOING, f"{len(left)} things to mend. Begin with {named}: {why}.{read}"


def _taught(rule):
    lesson = LESSONS.get(rule.lesson)
    return f" {capital(str(lesson))}, teaches it." if lesson else ""


def _named(cause, action):
    at = f" at {run(cause.drawings)}" if cause.drawings else ""
    of = f" of the {cause.limb}" if len(action.limbs) > 1 and RULES[cause.rule].scope != LIMBS else ""
    return f"the {cause.rule}{of}{at}"
