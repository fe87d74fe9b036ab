"""Targets that read action files, with plans and lectures; and what all targets ask of an answer.

A target takes a Case and returns REFUSED or JUDGED; whatever else happens is a failure.
"""

import json
import re
from xml.etree import ElementTree

import numpy as np
from click.testing import CliRunner

from anim_lessons import commands
from anim_lessons.assist import lecture, plan
from anim_lessons.assist.guide import guide
from anim_lessons.assist.mend import mend
from anim_lessons.course import marking
from anim_lessons.course.report import report
from anim_lessons.judging.brief import DEFAULT, Brief
from anim_lessons.judging.judge import check
from anim_lessons.light_table import desk
from anim_lessons.light_table.answer import Answer
from anim_lessons.light_table.picture import svg
from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError
from anim_lessons.model.printable import shown
from anim_lessons.pictures.export import MOST_FRAMES, exposure_sheet
from anim_lessons.rules import TOLERANCES

from . import bent, made

REFUSED, JUDGED = "refused", "judged"
SHEETS = 40  # of so many cases one is put on a contact sheet, which takes far longer than the rest
_WHAT_TO_DO = re.compile(
    r"; |\b(must|needs?|give|name|keep|choose|take|add|draw|ask|there is|is not one of)\b|No part ends in it",
    re.IGNORECASE,
)


class Wrong(AssertionError):
    """What the library gave back is not what it promises."""


def asked(fits, says):
    if not fits:
        raise Wrong(says)


def refusal(error, file=""):
    """A refusal says where, what, and what to do next, and can be printed."""
    says = str(error)
    asked(not file or says.startswith(file), f"a refusal that does not begin with its file: {says[:200]!r}")
    asked(
        error.do or _WHAT_TO_DO.search(error.what),
        f"a refusal that does not say what to do: {error.what.split('(')[0][:200]}",
    )
    asked(shown(says).isprintable(), "a refusal that cannot be printed")
    asked(len(says) < 100_000, "a refusal of more than 100,000 letters")
    error.says.encode("utf-8")
    return REFUSED


def plain(value, what):
    """JSON of a value, which must be such as any reader takes."""
    try:
        return json.dumps(value, allow_nan=False)
    except ValueError as error:
        raise Wrong(f"{what} is no JSON: {error}") from None


# ---- actions --------------------------------------------------------------------------


def action_bytes(case):
    """An action file with bent bytes."""
    rng = case.rng
    return read_and_judged(case, bent.bytes_bent(rng, made.written(rng, made.document(rng, big=0.001))))


def action_values(case):
    """An action file in which values, keys or entries are others; or one is written as no writer would."""
    rng = case.rng
    document = made.document(rng)
    if rng.random() < 0.15:
        return read_and_judged(case, bent.literal_bent(rng, document))
    document = bent.values_bent(rng, document)
    with case.number_limits():
        data = made.written(rng, document)
    outcome = read_and_judged(case, data)
    try:
        action_file.from_document(document)
        asked(outcome == JUDGED, "a document is taken that is refused as a file")
    except ActionError as error:
        asked(outcome == REFUSED, f"a document is refused that is taken as a file: {error}")
    return outcome


def action_geometry(case):
    """A valid action file whose drawings may lie in any way at all."""
    rng = case.rng
    outcome = read_and_judged(case, made.written(rng, made.document(rng)))
    asked(outcome == JUDGED, "a valid file was refused")
    return outcome


def plans_and_lecture(case):
    """Plans and steps, sound and bent, held against the drawings and laid on others."""
    rng = case.rng
    document = made.document(rng, planned=1.0, big=0.0)
    if rng.random() < 0.5:
        keys = [("lecture",)] * ("lecture" in document) + [
            ("limbs", i, "plans") for i, one in enumerate(document["limbs"]) if one["plans"]
        ]
        if keys:
            *way, last = rng.choice(keys)
            holder = document
            for key in way:
                holder = holder[key]
            holder[last] = bent.values_bent(rng, holder[last])
    try:
        action = action_file.loads(made.written(rng, document), "plan.json")
    except ActionError as error:
        return refusal(error, "plan.json")
    found = plan.against(action, brief(rng))
    plain(
        [[one.drawing, one.across, one.ahead, one.may_across, one.may_along, one.says] for one in found.off],
        "what left the plan",
    )
    plain(plan.under(action), "what lies under the drawings")
    start = given(rng, lecture.bare(action))
    mine = start if rng.random() < 0.5 else action
    for at in {-1, 0, len(action.lecture) - 1, rng.randint(-1, len(action.lecture))}:
        told, _ = lecture.followed(mine, start, action.lecture, at)
        asked(lecture.fits(told, start), "followed drawings of another make")
    round_trip(action)
    round_trip(lecture.whole(action))
    return JUDGED


def read_and_judged(case, data):
    """Read a file by all ways there are, and where it is an action have all that is said of it said."""
    path = case.folder / "wave.json"
    path.write_bytes(data)
    try:
        action = action_file.read(path)
    except ActionError as error:
        agreed(path, False)
        return refusal(error, str(path))
    all_said(case, action, brief(case.rng))
    case.lap()
    agreed(path, True)
    return JUDGED


def agreed(path, readable):
    """The command line and the class table read what `read` reads, and refuse what it refuses."""
    (record,) = by_command([path])
    asked(record["readable"] == readable, f"`check` is of another mind than `read`: {record}")
    table = marking.class_table([path])
    not_read = table.rows[0].state == marking.NOT_READ
    asked(not_read != readable, f"the class table is of another mind than `read`: {table.rows[0].says}")
    asked(len(str(table).splitlines()) == 3, "a class table of one file in more than three lines")


def by_command(paths, *options):
    """The records that `anim-lessons check --json` prints; of a brief that is refused none."""
    arguments = ["check", "--json", *options, "--", *map(str, paths)]
    run = CliRunner().invoke(commands.main, arguments, catch_exceptions=False)
    records = [json.loads(line, parse_constant=no_number) for line in run.stdout.splitlines()]
    asked(run.exit_code in (0, 1, 2), f"exit code {run.exit_code}")
    asked(
        (run.exit_code == 0) == (bool(records) and all(one.get("passed") for one in records)),
        f"exit code {run.exit_code}, but {records}",
    )
    asked("fault of anim-lessons" not in run.output, f"not judged: {run.output[-300:]}")
    asked(run.output.replace("\n", "").isprintable(), "letters that cannot be printed")
    return records


def no_number(name):
    raise Wrong(f"{name} in a record of `check`")


def all_said(case, action, judged_by):
    rng = case.rng
    verdict = check(action, judged_by)
    for finding in verdict.findings:
        asked(
            finding.says and (finding.follows is not None or finding.advice),
            f"a finding without words: {finding!r}",
        )
        asked(
            all(1 <= n <= action.count for n in finding.drawings), f"a drawing that is not there: {finding!r}"
        )
        if finding.correction is not None:
            asked(finding.correction.says, "a correction without words")
            finding.correction.laid_in(action)
    case.lap()
    start = rng.choice((None, action, given(rng, action)))
    answer = Answer(action, judged_by, start, rng.choice((None, "straight ahead", "pose to pose")))
    plain(desk.judged(answer, 1), "the verdict of the desk")
    plain(desk.head(action) | desk.pose(action, 1) | desk.lines(action, 1), "head, pose and lines of the desk")
    if action.lines:
        lines_follow(rng, action, verdict, judged_by)
    case.lap()
    plain([str(line) for line in report(action, judged_by, start).lines], "the report")
    before = action_file.dumps(action)
    case.lap()
    mended = mend(action, judged_by)
    plain(
        [[move.drawing, move.limb, move.points.tolist(), move.says, move.mm] for move in mended.moves]
        + [mended.says],
        "what was mended",
    )
    asked(
        mended.passes == check(mended.action, judged_by).passed,
        "mended drawings pass or fail otherwise than it says",
    )
    case.lap()
    guided(rng, action, judged_by, verdict)
    case.lap()
    round_trip(mended.action)
    asked(told(mended.action) == told(action), "a correction has changed a pencil line")
    round_trip(action)
    asked(action_file.dumps(action) == before, "judging has changed the drawings")
    if action.frames <= min(MOST_FRAMES, 2000):
        asked("\r\n=" not in exposure_sheet(action), "a cell that is a formula")
    if case.number % SHEETS == 0 and action.count * sum(len(limb.joints) for limb in action.limbs) < 600:
        on_a_sheet(action, verdict.findings)


def told(action):
    return [(line.drawing, line.told()) for line in action.lines]


def lines_follow(rng, action, verdict, judged_by):
    """Lines are never judged, and go with their drawings."""
    bare = action.replace(lines=())
    asked(check(bare, judged_by).passed == verdict.passed, "a pencil line is judged")
    asked(marking.drawn_digest(bare) == marking.drawn_digest(action), "a pencil line counts as drawn")
    numbers = [rng.randint(1, action.count) for _ in range(rng.randint(2, 6))]
    for to, number in enumerate(numbers, start=1):
        asked(len(action.stacked(numbers).line(to)) == len(action.line(number)), "a line does not go with its drawing")
    round_trip(action.stacked(numbers))
    asked(len(svg(action, numbers[0])) > 0, "no still picture")
    try:
        round_trip(action.mirrored())
    except ActionError as error:
        refusal(error)


def given(rng, action):
    """What the class may have begun with: every drawing only traced, or some of them as they are."""
    if rng.random() < 0.5:
        try:
            return lecture.traced(action)
        except ActionError as error:  # traced in the lengths of the model sheet it may lie off the paper
            refusal(error)
    first = rng.randrange(1, action.count + 1)
    return action.redrawn(
        *(
            np.concatenate([limb.drawings[:first], np.repeat(limb.drawings[:1], action.count - first, 0)])
            for limb in action.limbs
        )
    )


def guided(rng, action, judged_by, verdict):
    limb = rng.choice(action.limbs)
    joint, number = rng.choice(limb.joints), rng.randint(1, action.count)
    try:
        found = guide(
            action,
            limb.name,
            joint,
            number,
            judged_by,
            exact=rng.random() < 0.1,
            verdict=rng.choice((None, verdict)),
        )
    except ActionError as error:
        asked(joint == limb.joints[0], f"no guide for a joint that is no root: {error}")
        refusal(error)
        return
    plain(
        [
            found.centre,
            found.radius,
            found.drawn,
            found.traced,
            found.asked,
            found.allowed,
            [[part.start, part.end, part.rule, part.says] for part in found.excluded],
        ],
        "the guide",
    )
    asked(found.says and found.where, "a guide without words")
    covered = sum(end - start for start, end in found.allowed) + sum(
        part.end - part.start for part in found.excluded
    )
    asked(abs(covered - 360) < 1, f"a guide that covers {covered:g} degrees of 360")


def round_trip(action):
    data = action_file.dumps(action)
    again = action_file.loads(data, "written")
    asked(action_file.dumps(again) == data, "written, read and written again it is another file")
    asked(again.drawn_as(action), "written and read again it is drawn otherwise")
    asked(told(again) == told(action), "written and read again it has other lines")
    asked(
        all(
            np.array_equal(a.lengths, b.lengths) and np.array_equal(a.stops, b.stops)
            for a, b in zip(again.limbs, action.limbs)
        ),
        "written and read again it has other lengths or stops",
    )


def on_a_sheet(action, findings):
    from anim_lessons import pictures  # only now and then: matplotlib takes half a second to load

    data = pictures.svg(pictures.contact_sheet(action, findings))
    try:
        ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        raise Wrong(f"a contact sheet that is no XML: {error}") from None


# ---- the brief it is judged by --------------------------------------------------------


def brief(rng):
    """A valid Brief."""
    if rng.random() < 0.4:
        return DEFAULT
    asked = made.brief(rng)
    for key in ("rules", "drawings"):
        if isinstance(asked.get(key), list):
            asked[key] = tuple(asked[key])
    if isinstance(asked.get("drawings"), int):
        asked["drawings"] = (asked["drawings"],) * 2
    if rng.random() < 0.3:
        asked["tolerances"] = {
            name: rng.choice((0, 1e-310, 0.5, 5, 999_999.0)) for name in rng.sample(sorted(TOLERANCES), 2)
        }
    return Brief(**asked)


TARGETS = {
    "action bytes": action_bytes,
    "action values": action_values,
    "action geometry": action_geometry,
    "plans and lecture": plans_and_lecture,
}
