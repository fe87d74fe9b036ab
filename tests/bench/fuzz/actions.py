"""Targets that read files: actions, plans and lectures, briefs, hand-ins, the record of progress.

A target takes a Case and returns REFUSED or JUDGED; whatever else happens is a failure.
"""

import json
import os
import re
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import numpy as np

from anim_lessons.assist import lecture, plan
from anim_lessons.assist.guide import guide
from anim_lessons.assist.mend import mend
from anim_lessons.course import marking, progress, terminal
from anim_lessons.course.report import Report, report
from anim_lessons.judging.brief import DEFAULT, Brief, brief_of
from anim_lessons.judging.judge import check
from anim_lessons.light_table import desk
from anim_lessons.light_table.answer import Answer
from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError
from anim_lessons.model.printable import shown
from anim_lessons.pictures.export import MOST_FRAMES, exposure_sheet
from anim_lessons.rules import TOLERANCES

from . import bent, made

REFUSED, JUDGED = "refused", "judged"
SHEETS = 40  # of so many judged actions one is put on a contact sheet, which takes a hundred times as long as the rest
_WHAT_TO_DO = re.compile(r"; |\b(must|needs?|give|name|keep|choose|take|add|draw|ask|there is|is not one of)\b|No part ends in it", re.IGNORECASE)


class Wrong(AssertionError):
    """What the library gave back is not what it promises."""


def asked(fits, says):
    if not fits:
        raise Wrong(says)


def refusal(error, file=""):
    """A refusal says where, what, and what to do next, and can be printed."""
    says = str(error)
    asked(not file or says.startswith(file), f"a refusal that does not begin with its file: {says[:200]!r}")
    asked(error.do or _WHAT_TO_DO.search(error.what), f"a refusal that does not say what to do: {error.what.split('(')[0][:200]}")
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
    """An action file in which values, keys or entries are others; or one value is written as no writer would."""
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
        keys = [("lecture",)] * ("lecture" in document) + [("limbs", i, "plans") for i, one in enumerate(document["limbs"]) if one["plans"]]
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
    plain([[one.drawing, one.across, one.ahead, one.may_across, one.may_along, one.says] for one in found.off], "what left the plan")
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
        agreed(path, None)
        return refusal(error, str(path))
    judged_by = brief(case.rng)
    agreed(path, action, judged_by)
    all_said(case, action, judged_by)
    return JUDGED


def agreed(path, action, judged_by=DEFAULT):
    """The command line and the class table read what `read` reads, and refuse what it refuses."""
    ((_, verdict, error),) = terminal.judged([path], judged_by)
    asked((error is None) == (action is not None), f"`check` is of another mind than `read`: {error}")
    json.loads(plain(terminal.record(path, verdict, error), "the record of `check`"))
    if verdict is not None:
        asked(all(shown(line).isprintable() for line in terminal.lines(path, verdict)), "a line that cannot be printed")
    table = marking.class_table([path], judged_by)
    asked(table.rows[0].says.startswith("not read: ") == (action is None), f"the class table is of another mind: {table.rows[0].says}")
    asked(len(str(table).splitlines()) == 3, "a class table of one file in more than three lines")


def all_said(case, action, judged_by):
    rng = case.rng
    verdict = check(action, judged_by)
    for finding in verdict.findings:
        asked(finding.says and (finding.follows is not None or finding.advice), f"a finding without words: {finding!r}")
        asked(all(1 <= n <= action.count for n in finding.drawings), f"a drawing that is not there: {finding!r}")
        if finding.correction is not None:
            asked(finding.correction.says, "a correction without words")
            finding.correction.laid_in(action)
    start = rng.choice((None, action, given(rng, action)))
    answer = Answer(action, judged_by, start, rng.choice((None, "straight ahead", "pose to pose")))
    plain(desk.judged(answer, 1), "the verdict of the desk")
    plain(desk.head(action) | desk.pose(action, 1), "head and pose of the desk")
    plain([str(line) for line in report(action, judged_by, start).lines], "the report")
    before = action_file.dumps(action)
    mended = mend(action, judged_by)
    plain([[move.drawing, move.limb, move.points.tolist(), move.says, move.mm] for move in mended.moves] + [mended.says], "what was mended")
    asked(mended.passes == check(mended.action, judged_by).passed, "mended drawings pass or fail otherwise than it says")
    guided(rng, action, judged_by, verdict)
    round_trip(mended.action)
    round_trip(action)
    asked(action_file.dumps(action) == before, "judging has changed the drawings")
    if action.frames <= min(MOST_FRAMES, 2000):
        asked("\r\n=" not in exposure_sheet(action), "a cell that is a formula")
    if case.number % SHEETS == 0 and action.count * sum(len(limb.joints) for limb in action.limbs) < 600:
        on_a_sheet(action, verdict.findings)


def given(rng, action):
    """What the class may have begun with: every drawing only traced, or some of them as they are."""
    if rng.random() < 0.5:
        try:
            return lecture.traced(action)
        except ActionError as error:  # traced in the lengths of the model sheet it may lie off the paper
            refusal(error)
    first = rng.randrange(1, action.count + 1)
    return action.redrawn(*(np.concatenate([limb.drawings[:first], np.repeat(limb.drawings[:1], action.count - first, 0)]) for limb in action.limbs))


def guided(rng, action, judged_by, verdict):
    limb = rng.choice(action.limbs)
    joint, number = rng.choice(limb.joints), rng.randint(1, action.count)
    try:
        found = guide(action, limb.name, joint, number, judged_by, exact=rng.random() < 0.1, verdict=rng.choice((None, verdict)))
    except ActionError as error:
        asked(joint == limb.joints[0], f"no guide for a joint that is no root: {error}")
        refusal(error)
        return
    plain([found.centre, found.radius, found.drawn, found.traced, found.asked, found.allowed,
           [[part.start, part.end, part.rule, part.says] for part in found.excluded]], "the guide")
    asked(found.says and found.where, "a guide without words")
    covered = sum(end - start for start, end in found.allowed) + sum(part.end - part.start for part in found.excluded)
    asked(abs(covered - 360) < 1, f"a guide that covers {covered:g} degrees of 360")


def round_trip(action):
    data = action_file.dumps(action)
    again = action_file.loads(data, "written")
    asked(action_file.dumps(again) == data, "written, read and written again it is another file")
    asked(again.drawn_as(action), "written and read again it is drawn otherwise")
    asked(all(np.array_equal(a.lengths, b.lengths) and np.array_equal(a.stops, b.stops) for a, b in zip(again.limbs, action.limbs)),
          "written and read again it has other lengths or stops")


def on_a_sheet(action, findings):
    from anim_lessons import pictures  # only now and then: matplotlib takes half a second to load

    data = pictures.svg(pictures.contact_sheet(action, findings))
    try:
        ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        raise Wrong(f"a contact sheet that is no XML: {error}") from None


# ---- briefs ---------------------------------------------------------------------------


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
        asked["tolerances"] = {name: rng.choice((0, 1e-310, 0.5, 5, 999_999.0)) for name in rng.sample(sorted(TOLERANCES), 2)}
    return Brief(**asked)


def brief_bytes(case):
    """A brief's TOML with bent bytes."""
    return brief_read(case, bent.bytes_bent(case.rng, made.brief_file(made.brief(case.rng))))


def brief_values(case):
    """A brief with other values, keys and entries."""
    rng = case.rng
    asked = made.brief(rng)
    if rng.random() < 0.3:
        asked["tolerances"] = {rng.choice(sorted(TOLERANCES)): rng.choice(bent.NUMBERS) for _ in range(3)}
    if rng.random() < 0.8:
        asked = bent.values_bent(rng, asked)
    if not isinstance(asked, dict):
        asked = {"rules": asked}
    with case.number_limits():
        data = made.brief_file(asked)
    return brief_read(case, data)


def brief_read(case, data):
    path = case.folder / "brief.toml"
    path.write_bytes(data)
    try:
        found = brief_of(path)
    except ActionError as error:
        return refusal(error, str(path))
    action = action_file.loads(json.dumps(made.document(case.rng, big=0.0)).encode())
    verdict = check(action, found)
    plain(terminal.record("x.json", verdict, None), "the record of `check`")
    plain(desk.judged(Answer(action, found), 1), "the verdict of the desk")
    str(report(action, found).lines)
    str(marking.hand_in("x", action, found))
    return JUDGED


# ---- hand-ins -------------------------------------------------------------------------


class Tags(HTMLParser):
    """The names of all tags of a page."""

    def __init__(self, html):
        super().__init__()
        self.found = set()
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.found.add(tag)


def hand_ins(case):
    """A folder of hand-ins under any names, with folders, links and pipes among them."""
    rng, folder = case.rng, case.folder / "hand-ins"
    folder.mkdir()
    for _ in range(rng.choice((0, 1, 2, 4))):
        name = made.text(rng, 0.1).replace("/", "_").replace("\0", "_")
        name = os.fsencode(name)[:rng.choice((3, 30, 247))] + rng.choice((b"", b"", b"\xff", b"\xed\xa0\x80")) + b".json"
        path = Path(os.fsdecode(bytes(folder) + b"/" + name))
        if os.path.lexists(path):
            continue
        kind = rng.randrange(12)
        if kind == 0:
            path.mkdir()
        elif kind == 1:
            path.symlink_to(rng.choice((folder, path, "/nowhere", "/dev/null")))
        elif kind == 2:
            os.mkfifo(path)
        else:
            data = made.written(rng, made.document(rng, big=0.0))
            path.write_bytes(bent.bytes_bent(rng, data) if kind < 6 else data)
    judged_by = brief(rng)
    try:
        table = marking.class_table(folder, judged_by)
    except ActionError as error:
        asked(not list(folder.glob("*.json")), f"a pile was refused: {error}")
        return refusal(error, str(folder))
    lines = str(table).splitlines()
    asked(len(lines) == len(table.rows) + 2 and all(line.isprintable() for line in lines), "a class table with lines broken or not printable")
    tags = Tags(table._repr_html_()).found
    asked(tags <= {"table", "thead", "tbody", "tfoot", "tr", "th", "td"}, f"tags of a file's own in the table: {tags}")
    paths = sorted(folder.glob("*.json"))
    errors = [error for _, _, error in terminal.judged(paths, judged_by)]
    asked([row.says.startswith("not read: ") for row in table.rows] == [error is not None for error in errors],
          "class table and `check` differ in what they read")
    plain(table.to_mend, "what is to mend")
    return JUDGED


# ---- the record of progress -----------------------------------------------------------


@contextmanager
def no_test_run():
    """Under pytest nothing is noted; here it shall be."""
    kept = {name: os.environ.pop(name) for name in progress.TEST_RUN & os.environ.keys()}
    try:
        yield
    finally:
        os.environ.update(kept)


def progress_file(case):
    """my_progress.txt as anybody may have left it; it is shown, and a check is noted in it."""
    rng, path = case.rng, case.folder / progress.NAME
    data = made.record(rng)
    data = bent.bytes_bent(rng, data) if rng.random() < 0.6 else data
    kind = rng.randrange(20)
    if kind == 0:
        path.mkdir()
    elif kind == 1:
        path.symlink_to(case.folder / "elsewhere")
    elif kind > 2:
        path.write_bytes(data)
    before = data.removeprefix(b"\xef\xbb\xbf").splitlines() if kind > 2 else []
    seen(progress.Record(case.folder))
    said = Report((), rng.choice(("done", "almost", "keep going")))
    name = made.text(rng, 0.3).replace("/", "_").replace("\0", "_")[:60] or "x"
    with no_test_run():
        progress.note(case.folder / f"{name}.json", None, said)
    record = progress.Record(case.folder)
    seen(record)
    if kind < 2:
        return REFUSED
    last = progress.checks(case.folder)
    if " ".join(name.split()):
        asked(last and last[-1].step == said.step, f"the check of {name!r} is not noted last")
    kept = b"\n".join(one.read_bytes() for one in case.folder.glob("my_progress*") if one.is_file())
    lost = [line for line in before if line.strip() and not progress._ours(line.decode("utf-8", "replace"))
            and line not in kept]
    asked(not lost, f"the learner's own words are lost: {lost[:1]!r}")
    return JUDGED


def seen(record):
    str(record)
    tags = Tags(record._repr_html_()).found
    asked(tags <= {"table", "thead", "tbody", "tr", "th", "td", "p", "code", "a"}, f"tags of the file's own in the record: {tags}")


TARGETS = {"action bytes": action_bytes, "action values": action_values, "action geometry": action_geometry, "plans and lecture": plans_and_lecture,
           "brief bytes": brief_bytes, "brief values": brief_values, "hand-ins": hand_ins, "progress file": progress_file}
