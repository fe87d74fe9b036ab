"""Targets that read what lies beside actions: briefs, folders of hand-ins, the record of progress."""

import json
import os
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path

from anim_lessons.assist.hand_in import hand_in
from anim_lessons.course import marking, progress
from anim_lessons.course.report import Report, report
from anim_lessons.judging.brief import brief_of
from anim_lessons.light_table import desk
from anim_lessons.light_table.answer import Answer
from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError
from anim_lessons.rules import TOLERANCES

from . import bent, made
from .actions import JUDGED, REFUSED, asked, brief, by_command, plain, refusal

# ---- briefs ---------------------------------------------------------------------------


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
        asked(not by_command([path], "--brief", str(path)), "`check` takes a brief that is refused")
        return refusal(error, str(path))
    drawings = case.folder / "wave.json"
    drawings.write_text(json.dumps(made.document(case.rng, big=0.0)))
    action = action_file.read(drawings)
    case.lap()
    plain(desk.judged(Answer(action, found), 1), "the verdict of the desk")
    case.lap()
    str(report(action, found).lines)
    case.lap()
    str(hand_in(action, found))
    case.lap()
    asked(by_command([drawings], "--brief", str(path))[0]["readable"], "drawings that `check` refuses")
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
        name = (
            os.fsencode(name)[: rng.choice((3, 30, 247))]
            + rng.choice((b"", b"", b"\xff", b"\xed\xa0\x80"))
            + b".json"
        )
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
    asked(
        len(lines) == len(table.rows) + 2 and all(line.isprintable() for line in lines),
        "a class table with lines broken or not printable",
    )
    tags = Tags(table._repr_html_()).found
    asked(
        tags <= {"table", "thead", "tbody", "tfoot", "tr", "th", "td"},
        f"tags of a file's own in the table: {tags}",
    )
    files = sorted(path for path in folder.iterdir() if path.name.lower().endswith(".json"))
    records = by_command(files)
    asked(
        [row.state == marking.NOT_READ for row in table.rows] == [not one["readable"] for one in records],
        "class table and `check` differ in what they read",
    )
    asked("fault of anim-lessons" not in str(table), "a hand-in that is not judged")
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
    lost = [
        line
        for line in before
        if line.strip() and not progress._ours(line.decode("utf-8", "replace")) and line not in kept
    ]
    asked(not lost, f"the learner's own words are lost: {lost[:1]!r}")
    return JUDGED


def seen(record):
    str(record)
    tags = Tags(record._repr_html_()).found
    asked(
        tags <= {"table", "thead", "tbody", "tr", "th", "td", "p", "code", "a"},
        f"tags of the file's own in the record: {tags}",
    )


TARGETS = {
    "brief bytes": brief_bytes,
    "brief values": brief_values,
    "hand-ins": hand_ins,
    "progress file": progress_file,
}
