"""One action as a page of HTML that stands alone: the desk, on which it is looked at, and all that is told of it.

The page needs no server, no network, and nothing beside it. It is made of the desk's own modules (`joined`); verdict, charts
and what the guide says are written in. Its policy lets run what was written here and nothing else: whatever a file holds,
a title or a note, is text.
"""

import base64
import hashlib
import json
from dataclasses import dataclass, replace
from functools import cache
from html import escape

import numpy as np

from ..assist import lecture, plan
from ..assist.so_far import SoFar
from ..judging.brief import DEFAULT
from ..model.printable import visible
from ..model.words import capital
from ..pictures.palette import INK, MID, PAPER
from ..rules import RULES
from . import desk, page_files
from .answer import Answer
from .guided import guided
from .joined import ENDS, bare_style, joined
from .picture import svg
from .settings import Settings

LEAST = 0.05  # mm by which a joint lies elsewhere
FINE = 3  # decimals of what is told in numbers; drawings are written as they are
BEGIN = "entry.begin(document);\n"
POLICY = (
    "default-src 'none'; {images}script-src '{script}'; style-src '{style}'; base-uri 'none'; form-action 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)


@dataclass(frozen=True)
class Words:
    """What an instructor says above the drawings; what is empty is not there.

    Attributes
    ----------
    to : str
        Whom it is for.
    well : str
        What went well: it is said first.
    once : str
        The one thing to try.
    comment : str
    """

    to: str = ""
    well: str = ""
    once: str = ""
    comment: str = ""


def words_on(action, verdict, to="", comment="", but=()):
    """The Words that a verdict gives: the rules that are kept, those in `but` left out, and the correction of the first cause."""
    kept = [RULES[name].kept for name, rule in verdict.rules.items()
            if rule.judged and rule.passed and RULES[name].flip is not None and name not in but]
    well = f"{capital('; '.join(kept))}." if kept else ""
    return Words(to, well, f"{capital(desk.next_step(action, verdict)).rstrip('.')}.", comment)


def given_page(action, verdict=None, brief=DEFAULT, start=None, words=None, guide=False, pencil=None):
    """The page.

    Parameters
    ----------
    action : Action
        With the steps of a lecture they are gone through one by one, each with its verdict and, unless the brief keeps it
        back, with where its joint may go.
    verdict : Verdict, optional
        On the action by that brief; judged here unless given.
    brief : Brief, optional
    start : Action, optional
        The drawings as given to a class: what is still like them is not drawn yet.
    words : Words, optional
        Said above the drawings.
    guide : bool
        With where the joint may go, and why, on each drawing at fault; some 20 ms each.
    pencil : dict, optional
        Pictures of drawings that were made on paper, as `pencil_pictures` gives them: they are seen in the figure's place.

    Returns
    -------
    str
        HTML, about 220 KB, and the pictures. The same action gives the same page.
    """
    return whole_page(inside_page(action, verdict, brief, start, words, guide, pencil), bool(pencil)).decode("utf-8")


def inside_page(action, verdict=None, brief=DEFAULT, start=None, words=None, guide=False, pencil=None):
    """What one page has and no other, a str; parameters as for `given_page`, which is this with `whole_page` round it."""
    given = _of_steps(action, brief) if action.lecture else _of_drawings(action, verdict, brief, start, guide)
    if pencil:
        given["pencil"] = {str(number): one for number, one in pencil.items()}
    title = visible(action.title).strip() or "An action"
    return f"""<title>{escape(title)}</title>
</head>
<body>
<main>
<h1>{escape(title)}{_by(action)}</h1>
{_said(words or Words())}<div id="desk"></div>
{_still(action, given)}</main>
<script type="application/json" id="given">{_in_html(given)}</script>
"""


def whole_page(inside, pictures=False):
    """The page round what `inside_page` gives, bytes: many pages share all the rest. With `pictures` it may show those that are
    written into it."""
    before, after = _round(pictures)
    return b"".join((before, inside.encode("utf-8"), after))


def words_page(title, by, says, words):
    """A page of words alone, bytes, where there is nothing to lay on a desk: title, whose it is, a sentence, and the Words."""
    style = (f"\nbody {{ margin: 0; padding: 8px 20px 12px; background: {PAPER}; color: {INK}; overflow-wrap: anywhere; max-width: 44em; "
             'font: 16px/1.4 "Segoe UI", "Helvetica Neue", Arial, "Liberation Sans", sans-serif; }\n'
             f"h1 {{ font-size: 20px; }} h1 span, h2 {{ font-size: 15px; font-weight: 400; color: {MID}; margin-left: 8px; }} h2 {{ margin: 0; }}\n")
    policy = f"default-src 'none'; style-src '{_hash(style)}'; base-uri 'none'; form-action 'none'"
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(visible(title))}</title>
<style>{style}</style>
</head>
<body>
<h1>{escape(visible(title))} <span>{escape(visible(by))}</span></h1>
{_paragraphs(says)}
{_said(words)}</body>
</html>
""".encode()


@cache
def code_digest():
    """SHA-256 of all that pages share, in hex: it is another one as soon as they would be made otherwise."""
    return hashlib.sha256(b"".join(_round())).hexdigest()


# ---- what is told ----------------------------------------------------------------------------


def _of_drawings(action, verdict, brief, start, guide):
    answer = Answer(action, brief, start)
    if verdict is not None and not answer.progress.undrawn:
        answer.so_far = SoFar(verdict, "", action, brief, {})
    told = _told(answer)
    ghosts = [(finding["limb"], finding["ghost"]) for finding in told["verdict"]["findings"] if finding["ghost"]]
    first = ghosts[0][1]["drawing"] if ghosts else answer.begin_with
    places = dict.fromkeys(_moved(action.limb(limb), ghost) for limb, ghost in ghosts if guide and brief.guide != "nothing")
    return {**_laid(action, brief, first), "steps": [], **told,
            "guides": [_fine(one) for place in places if (one := _guide(answer, *place))]}


def _of_steps(action, brief):
    """A lecture: each step with what is told of the drawings as they are after it."""
    begin = action.replace(lecture=())
    told = []
    for at, step in enumerate(action.lecture):
        answer = Answer(lecture.as_of(begin, action.lecture, at), brief, begin)
        guide = _guide(answer, step.limb, step.joint, int(step.drawing)) if brief.guide != "nothing" else None
        told.append({"drawing": int(step.drawing), "limb": step.limb, "joint": step.joint, "says": step.says,
                     "points": [list(map(float, point)) for point in step.points],
                     **_told(answer), "guides": [_fine(guide)] if guide else []})
    return {**_laid(action, brief, told[0]["drawing"]), "steps": told}


def _laid(action, brief, number):
    return {"head": desk.head(action, file=_file(action)), "pose": desk.pose(action, 1), "number": int(number),
            "settings": Settings(way=brief.way).to_page(), "under": plan.under(action),
            **({"lines": desk.lines(action, 1)} if action.lines else {})}


def _told(answer):
    """The verdict, with the charts of all joints."""
    action = answer.action
    charts = [desk.timing(action, limb, joint) for limb in action.limbs for joint in limb.joints]
    return {"verdict": _fine(desk.judged(answer, 1, charts=charts))}


def _moved(limb, ghost):
    """Limb, joint and drawing that a correction is about: the first joint that it puts elsewhere."""
    off = np.hypot(*(np.array(ghost["points"]) - limb.drawings[ghost["drawing"] - 1]).T)
    return limb.name, limb.joints[int(np.argmax(off > LEAST))], ghost["drawing"]


def _guide(answer, limb, joint, number):
    """What the guide says of one joint; None where it knows no circle for it."""
    if joint not in answer.action.limb(limb).joints[1:]:
        return None
    found = guided(answer, 1, number, {"limb": limb, "joint": joint})
    return found if "centre" in found else None


def _fine(value):
    if isinstance(value, float):
        return round(value, FINE)
    if isinstance(value, dict):
        return {name: _fine(one) for name, one in value.items()}
    if isinstance(value, (list, tuple)):    # mostly of numbers
        return [round(one, FINE) if isinstance(one, float) else one if isinstance(one, int) else _fine(one) for one in value]
    return value


def _file(action):
    """The name under which a copy is kept: letters and digits of the title."""
    name = "_".join("".join(c if c.isalnum() else " " for c in action.title).split())
    return f"{name[:60] or 'action'}.json"


# ---- the page itself ----------------------------------------------------------------------------


@cache
def _code():
    """Script and style sheet: the same in every page."""
    style = bare_style(page_files.style("given"))
    if "</" in style or ENDS.search(style):
        raise page_files.PageError("the page's style sheet holds what ends it in HTML")
    return f"\n{joined('given', 'given')}{BEGIN}", f"\n{style}"


@cache
def _round(pictures=False):
    """What stands before and after what one page has, bytes."""
    script, style = _code()
    policy = POLICY.format(images="img-src data:; " if pictures else "", script=_hash(script), style=_hash(style))
    return f"""<!doctype html>
<html lang="en" class="anim-given">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<style>{style}</style>
""".encode(), f"""<script>{script}</script>
</body>
</html>
""".encode()


def _hash(text):
    """As a content security policy names it (W3C, Content Security Policy Level 3, section 2.3.1; from memory)."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _in_html(value):
    """JSON in ASCII without a letter that means something in HTML."""
    text = json.dumps(value, separators=(",", ":"), allow_nan=False)
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def _by(action):
    return f' <span>{escape(visible(action.by))}</span>' if action.by.strip() else ""


def _said(words):
    parts = [("For", words.to), ("What went well", words.well), ("One thing to try", words.once), ("Besides", words.comment)]
    inside = "".join(f"<div><h2>{head}</h2>{_paragraphs(text)}</div>\n" for head, text in parts if text.strip())
    return f'<section class="words" aria-label="what is said of it">\n{inside}</section>\n' if inside else ""


def _paragraphs(text):
    return "".join(f"<p>{escape(visible(line))}</p>" for line in text.split("\n") if line.strip())


def _still(action, given):
    """A picture and the words, for where no script runs, and for paper."""
    step = given["steps"][-1] if given["steps"] else given
    shown = replace(action, lecture=()) if not given["steps"] else lecture.whole(action)
    steps = "".join(f"<li>{escape(visible(_called(one, action)))}{_paragraphs(one['says'])}</li>\n" for one in given["steps"])
    found = [one for one in step["verdict"]["findings"] if one["follows"] is None]
    said = [capital(text) for text in step["verdict"]["unmet"]] if not found else [one["says"] for one in found]
    if step["verdict"]["passed"]:
        said = ["Every rule is kept."]
    return (f'<div id="still">\n{svg(shown, given["number"], neighbours=0)}'
            + "".join(_paragraphs(text) for text in said) + (f"\n<ol>\n{steps}</ol>" if steps else "") + "\n</div>\n")


def _called(step, action):
    of = f", {step['limb']}" if len(action.limbs) > 1 else ""
    return f"Drawing {step['drawing']}, {step['joint']}{of}"
