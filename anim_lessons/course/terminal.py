"""What the command line says: of an action file a verdict in lines or as a JSON record, and how far a long work is."""

import sys
from contextlib import ExitStack, contextmanager
from time import monotonic

import click

from ..model.printable import path_text, shown


def unread(path, error):
    """A file that could not be read or not be judged, as a record for JSON."""
    return {"file": path_text(path), "readable": False, "error": shown(str(error))}


def record(path, verdict):
    """One file and the verdict on it as a record for JSON."""
    return {
        "file": path_text(path),
        "readable": True,
        "passed": verdict.passed,
        "rules": {name: {"passed": rule.passed, "judged": rule.judged} for name, rule in verdict.rules.items()},
        "findings": [
            {
                "rule": finding.rule, "limb": finding.limb, "joint": finding.joint,
                "drawings": [int(number) for number in finding.drawings],
                "measured": float(finding.measured), "allowed": float(finding.allowed), "unit": finding.unit,
                "says": finding.says,
                "follows": finding.follows,
                "corrected": None if finding.correction is None else
                {str(number): pose.tolist() for number, pose in finding.correction.poses.items()},
            }
            for finding in verdict.findings
        ],
    }


def lines(path, verdict):
    """A verdict in lines: what to mend, what follows from it, advice, what was not judged."""
    judged = [name for name, rule in verdict.rules.items() if rule.judged]
    causes, follow = len(verdict.causes), len(verdict.findings) - len(verdict.causes)
    if not judged:
        head = "no rule could judge it"
    elif not verdict.findings:
        head = f"all {len(judged)} rules kept" if len(judged) > 1 else f"the one rule judged, {judged[0]}, is kept"
    else:
        head = f"{causes} to mend"
        head += f", {follow} more {'follow' if follow > 1 else 'follows'} from {'it' if causes == 1 else 'them'}" \
            if follow else ""
    told = [f"{path}: {head}."]
    for finding in verdict.findings:
        if finding.follows is None:
            told.append(f"  {finding.says} ({finding.rule})")
        else:
            at = f"at {', '.join(map(str, finding.drawings))}: " if finding.drawings and finding.short else ""
            told.append(f"      follows: {at}{finding.short or finding.says} ({finding.rule})")
    told += [f"  The brief: {sentence}" for sentence in verdict.unmet]
    told += [f"  Advice: {sentence}" for sentence in verdict.advice]
    for why in dict.fromkeys(rule.says for rule in verdict.rules.values() if not rule.judged):
        names = [name for name, rule in verdict.rules.items() if not rule.judged and rule.says == why]
        told.append(f"  Not judged: {', '.join(names)}; {why}.")
    return told


@contextmanager
def bars():
    """What shows on a terminal how far a long work is, once it has taken a second: called with what is done, how many, of how many."""
    begun, shown_now = monotonic(), ExitStack()
    now = [None, None]

    def watch(what, done, count):
        if what != now[0]:
            shown_now.close()
            now[:] = what, None
        if now[1] is None and count and monotonic() - begun > 1.0 and sys.stderr.isatty():
            now[1] = shown_now.enter_context(click.progressbar(length=count, label=what, file=sys.stderr))
        if now[1] is not None:
            now[1].update(done - now[1].pos)

    with shown_now:
        yield watch
