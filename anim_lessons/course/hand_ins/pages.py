"""A page for each learner: their drawings on the desk with what is found in them, and what the instructor says.

One file of HTML a learner, with nothing beside it (`light_table.given`). What went well comes first, then one thing to try, then
the instructor's comment. Of what cannot be shown on a desk there is a page of words. A page that is there already and says the same is
not written again.
"""

import os
import re
from dataclasses import astuple, dataclass, replace
from unicodedata import normalize

from ...assist.hand_in import BEGUN, DONE, KEPT, NOTHING, TO_MEND
from ...light_table.given import Words, code_digest, inside_page, whole_page, words_on, words_page
from ...model import action_file
from ...model.words import capital, the
from ...storage.disk import digest, write_whole
from .judged import assignment_in
from .results import that_count

FOLDER = "pages"
TOGETHER = 64       # pages that are made together
LONGEST = 50        # letters of a file's name
ENDS = re.compile(rb"<!-- [0-9a-f]{64} -->\n\Z")      # of a page that was written here, and by which what it was made of is known
ON_A_DESK = (BEGUN, TO_MEND, DONE)
# Names that no file may have on some systems.
_TAKEN = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}


@dataclass(frozen=True)
class Asked:
    """What a page is made of: bytes of the action file, title and name above it, comment, and the rules that the instructor marked
    otherwise."""

    data: bytes
    title: str
    by: str
    comment: str = ""
    kept: tuple = ()
    to_mend: tuple = ()


def page_name(called):
    """Name of the file for somebody: letters and digits of what they are called, and where that leaves something out a few
    that tell it from others.

    Examples
    --------
    >>> page_name("10007"), page_name("../Knot Quay")
    ('10007.html', 'Knot-Quay-625bf3c2.html')
    """
    plain = re.sub(r"[^\w-]+", "-", normalize("NFC", called)).strip("-_")[:LONGEST]
    # Some systems tell no capitals apart.
    if not plain or plain != called or plain != plain.lower() or not plain.isascii() or plain in _TAKEN:
        plain = f"{plain or 'page'}-{digest(called.encode('utf-8', 'replace'))[:8]}"
    return f"{plain}.html"


def write_pages(out, folder, results, context, title, who, called=None, watch=None):
    """Write a page for each learner who handed something in, and take away those of an earlier run that nobody has now.

    Parameters
    ----------
    out, folder : Path
        Of the results; of the hand-ins.
    results : Results
    context : judged.Context
    title : str
        Of the homework.
    who : workers.Here
        Does the work.
    called : dict of str to str, optional
        Who -> what the page calls them, so that it tells no name.
    watch : function, optional
        Called with how many are written.

    Returns
    -------
    dict of str to str
        Who -> path of the page from `out` on, with "/".
    """
    there = out / FOLDER
    there.mkdir(exist_ok=True)
    names = {one.who: page_name(called[one.who].replace(" ", "-") if called else one.who) for one in results.results if one.file}
    told = [one for one in results.results if one.file and one.state not in ON_A_DESK]
    for one in told:
        _write(there / names[one.who], words_page(title, _called(one, called), _says(one, called), Words(comment=_comment(one))))
    done = len(told)
    for tags, made in who.in_order(pages, _tasks(there, folder, results, context, title, names, called, out)):
        for (path, key), inside in zip(tags[0], made):
            if inside is not None:
                _write(path, whole_page(inside), key)
        done += tags[1]
        if watch is not None:
            watch(done)
    _take_away(there, set(names.values()))
    return {one: f"{FOLDER}/{name}" for one, name in names.items()}


def _tasks(there, folder, results, context, title, names, called, out):
    """Pages that are not there yet, as many together as TOGETHER says: ((path, key) of each, how many were looked at), Asked of each."""
    tags, items, seen = [], [], 0
    for one, entry in that_count(folder, results, out):
        if one.state not in ON_A_DESK:
            continue
        asked = _asked(one, entry.data, title, called)
        path = there / names[one.who]
        key = digest(repr((context.by, code_digest(), astuple(asked))).encode("utf-8", "replace"))
        seen += 1
        if _ending(path) != _end(key):
            tags.append((path, key))
            items.append(asked)
        if len(items) >= TOGETHER:
            yield (tags, seen), items
            tags, items, seen = [], [], 0
    yield (tags, seen), items


def _asked(one, data, title, called):
    measured = one.measured.marks if one.measured else one.row.marks
    other = {name: mark for name, mark in one.row.marks.items() if mark != measured[name]}
    return Asked(data, title, _called(one, called), _comment(one), tuple(name for name, mark in other.items() if mark == KEPT),
                 tuple(name for name, mark in other.items() if mark != KEPT))


def _called(one, called):
    return called[one.who] if called else one.name


def _comment(one):
    mark = f"Your mark: {one.own_mark}.\n" if one.own_mark else ""
    return mark + one.comment


def pages(context, asked):
    """What each page has and no other, a list of str."""
    assignment = assignment_in(context)
    judged = assignment.hand_ins([action_file.loads(one.data) for one in asked])
    return [_inside(assignment, *both) for both in zip(asked, judged)]


def _inside(assignment, asked, one):
    verdict = _without(one, asked.kept) if asked.kept else one.verdict
    action = replace(one.action, title=asked.title, by=asked.by)
    words = words_on(action, verdict, comment=asked.comment, but=asked.to_mend)
    if one.state == BEGUN:
        limb, joint = one.progress.untouched
        of = f" of the {limb}" if len(action.limbs) > 1 else ""
        words = replace(words, once=f"Go on with {the(joint)}{of}: {one.progress.drawn_of(limb, joint)} so far.")
    if asked.to_mend:
        words = replace(words, once="\n".join([*(f"{capital(name)} is to be mended, says your instructor." for name in asked.to_mend),
                                               *([words.once] if verdict.causes else [])]))
    return inside_page(action, verdict, assignment.brief, one.progress.start, words)


def _without(one, kept):
    """The Verdict without what the instructor holds for kept, and what followed from it."""
    verdict, left, places = one.verdict, [], {}
    met = {says for name, _, says in one.asks if name in kept}
    for place, finding in enumerate(verdict.findings):
        if finding.rule in kept or finding.follows is not None and finding.follows not in places:
            continue
        places[place] = len(left)
        left.append(finding if finding.follows is None else replace(finding, follows=places[finding.follows]))
    broken = {finding.rule for finding in left}
    rules = {name: said if said.passed else replace(said, passed=name not in broken) for name, said in verdict.rules.items()}
    return replace(verdict, findings=tuple(left), rules=rules, unmet=tuple(says for says in verdict.unmet if says not in met))


# ---- files -----------------------------------------------------------------------------


def _says(one, called):
    """What is said of a hand-in that is not shown on a desk. What an error says may hold a name that a learner chose."""
    says = one.row.says if not called or one.row.marks or one.state == NOTHING else ""
    return f"{capital(one.state)}{f': {says}' if says else ''}."


def _end(key):
    return f"<!-- {key} -->\n".encode()


def _ending(path):
    """The last line of a page that is there, or nothing."""
    try:
        with open(path, "rb") as file:
            file.seek(-len(_end("0" * 64)), os.SEEK_END)
            return file.read()
    except OSError:
        return b""


def _write(path, page, key=None):
    end = _end(key or digest(page))
    if key or _ending(path) != end:
        write_whole(path, page + end, flush=False)      # of many pages that a power cut takes, each can be made again


def _take_away(there, names):
    """Remove the pages of an earlier run that are nobody's now, and what a run that was killed left; no file that is not ours."""
    for path in there.iterdir():
        ours = path.name.endswith(".html") and path.name not in names and ENDS.search(_ending(path))
        if (ours or re.fullmatch(r"new-[0-9a-f]{16}", path.name)) and path.is_file() and not path.is_symlink():
            path.unlink()
