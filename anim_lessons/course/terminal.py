"""What the command line says of action files: a verdict in lines or as a JSON record, safe on any terminal."""

from itertools import islice

from ..judging.judge import TOGETHER, check, check_many
from ..model import action_file
from ..model.action import ActionError
from ..model.printable import path_text, shown


def judged(paths, brief):
    """Path, verdict and error of each file, in order; of verdict and error one is None. Files are judged together, a
    number at a time."""
    read = action_file.read_many(paths)
    while chunk := list(islice(read, TOGETHER)):
        actions = [found for _, found in chunk if not isinstance(found, ActionError)]
        try:
            verdicts = iter([(verdict, None) for verdict in check_many(actions, brief)])
        except Exception:  # noqa: BLE001 - one of them cannot be judged: each by itself tells which
            verdicts = (_judged_alone(action, brief) for action in actions)
        for path, found in chunk:
            if isinstance(found, ActionError):
                yield path, None, str(found)
            else:
                verdict, why = next(verdicts)
                yield path, verdict, f"{path}: {why}" if why else None


def _judged_alone(action, brief):
    try:
        return check(action, brief), None
    except Exception as error:  # noqa: BLE001 - one file must not keep the others of a class from being judged
        return None, (f"could not be judged ({type(error).__name__}: {error}). That is a fault of "
                      "anim-lessons, not of the drawings; please tell your instructor")


def record(path, verdict, error):
    """One file as a record for JSON; of verdict and error one is None."""
    if error:
        return {"file": path_text(path), "readable": False, "error": shown(error)}
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
