"""Valid input: action documents, briefs, records.

Nothing here is shared with the ferry landing or tests/loops.py.
"""

import json

from .drawn import PLACED

# fmt: off
ODD_TEXTS = (
    "", " ", "a", "arm", "the end", "élève", "手", "🖐🏽", "a\u202eb", "line\u2028line", "tab\tline\nnext\r",
    "bell\x07\x1b[31m", "nul\0", "\x7f\x85", "=1+1", "@SUM(A1)", "-2+3", "<script>alert(1)</script>",
    "</text><b>&amp;", "'\"`\\", "$x^2$ \\frac", "%s {0} {x}", "x" * 500, "é" * 500, "\ufeffmark",
    "e\u0301\u0301\u0301", "joint 2", "hands", "glass", "\U000e0041", "\u200b", "NaN", "null",
)
# fmt: on
BIG = ((240, 1, 12), (240, 12, 1), (25, 1, 120), (10, 12, 24), (64, 4, 11), (240, 1, 4))  # drawings, limbs, joints
JOINTS = (1, 2, 2, 3, 4, 4, 5, 7) * 4 + (12, 20)  # of a limb: an arm, a hand, now and then a rope
HALF = ("\ud800", "a\udfff", "\udc80x")  # half a character: JSON can write it, UTF-8 cannot
NAMES = (
    "shoulder",
    "elbow",
    "wrist",
    "fingertips",
    "knuckles",
    "fingertip",
    "hook",
    "lantern",
    "mast",
    "tip",
)
RULES = ("length", "arc", "spacing", "opening", "opposition", "stops", "drag", "overlap", "link-up", "hold")


def text(rng, plain=0.6):
    return rng.choice(("wave", "arm", "rope", "near arm")) if rng.random() < plain else rng.choice(ODD_TEXTS)


def names(rng, count):
    """So many different names."""
    found = (
        list(NAMES[:count])
        if count <= len(NAMES) and rng.random() < 0.7
        else [f"joint {n}" for n in range(count)]
    )
    if rng.random() < 0.2:
        odd = text(rng, 0.0)
        if odd not in found:
            found[rng.randrange(count)] = odd
    return found


# ---- the action -----------------------------------------------------------------------


def limb(rng, name, count, joints):
    length = rng.choice((60.0, 40.0, 0.2, 1e4)) if rng.random() < 0.3 else 50.0
    lengths = [length * rng.choice((1, 0.5, 0.8)) for _ in range(joints - 1)]
    drawn = rng.choice(PLACED)(rng, count, lengths)
    if rng.random() < 0.7:
        drawn = [[[round(v, 3) for v in point] for point in points] for points in drawn]
    wide = rng.choice(((-180, 180), (-360, 360), (0, 150), (10, 10), (-90, 0)))
    drawn = [[[min(max(v, -10_000.0), 10_000.0) for v in point] for point in points] for points in drawn]
    return {
        "name": name,
        "joints": names(rng, joints),
        "lengths": lengths,
        "stops": [list(wide) for _ in lengths],
        "drawings": drawn,
    }


def plans(rng, limb, count):
    made = []
    for joint in limb["joints"]:
        if rng.random() < 0.6:
            path = [[rng.uniform(0, 200), rng.uniform(0, 200)] for _ in range(rng.choice((2, 2, 3, 8, 64)))]
            if rng.random() < 0.3:
                path = [[x, 50.0] for x, _ in path] if rng.random() < 0.5 else path + path
            if rng.random() < 0.1:
                flat = rng.random() < 0.5
                path = [[x * 1e-300, y if flat else y * 1e-300] for x, y in path] + [[0.0, 0.001]]
            chart = (
                sorted(rng.random() for _ in range(count))
                if rng.random() < 0.8
                else [rng.choice((0.0, 0.5, 1.0))] * count
            )
            made.append({"joint": joint, "path": path, "chart": chart})
    return made


def step(rng, limbs, count):
    of, number = rng.choice(limbs), rng.randint(1, count)
    points = of["drawings"][number - 1] if rng.random() < 0.5 else of["drawings"][rng.randrange(count)]
    return {
        "drawing": number,
        "limb": of["name"],
        "joint": rng.choice(of["joints"]),
        "points": points,
        "says": text(rng),
    }


def strokes(rng, many=(1, 1, 2, 5, 30, 400), long=(1, 2, 3, 20, 20, 1000)):
    """Strokes of a hand: a walk, a dot, one that runs off the sheet, one that goes nowhere."""
    count, most, found = rng.choice(many), rng.choice(long), []
    for _ in range(count if most < 1000 else min(count, 3)):
        at, off = [rng.uniform(0, 297), rng.uniform(0, 210)], rng.choice((1, 1, 1, 1, 30, 0))
        pressed, points = rng.random() < 0.6, []
        for _ in range(rng.randint(1, most)):
            at = [max(-1e4, min(1e4, v + off * rng.gauss(0, 2))) for v in at]
            points.append([*(round(v, rng.choice((0, 2, 2, 9))) for v in at), *([round(rng.random(), 2)] if pressed else [])])
        found.append(points)
    return found


def lines(rng, count):
    """Pencil lines on some of the drawings, in any order."""
    numbers = rng.sample(range(1, count + 1), rng.randint(1, min(count, 4)))
    return [{"drawing": number, "strokes": strokes(rng)} for number in numbers]


def document(rng, planned=0.2, big=0.004, lined=0.2):
    """A valid action as the dict of its file; now and then with very many limbs, joints or drawings."""
    count, limbs, joints = rng.choice((2, 3, 4, 5, 8, 12, 16, 24)), rng.choice((1, 1, 1, 1, 2, 3)), None
    if rng.random() < big:
        count, limbs, joints = rng.choice(BIG)
    called = [name for name in names(rng, limbs)]
    made = [limb(rng, name, count, joints or rng.choice(JOINTS)) for name in called]
    whole = {
        "format": "anim-lessons/action",
        "version": 1,
        "title": text(rng),
        "by": text(rng),
        "rate": rng.choice((24, 24, 12, 1, 240)),
        "loop": rng.random() < 0.7,
        "paper": rng.choice(
            ({"width": 297, "height": 210}, {"width": 0.1, "height": 1e4}, {"width": 0.1, "height": 0.1})
        ),
        "exposure": rng.choice((1, 2, 2, 10_000, [rng.choice((1, 2, 3, 10_000)) for _ in range(count)])),
        "limbs": made,
    }
    if rng.random() < 0.9:
        whole["paper"] = {"width": 297, "height": 210}
    if rng.random() < planned:
        for one in made:
            one["plans"] = plans(rng, one, count)
    if rng.random() < planned:
        whole["lecture"] = [step(rng, made, count) for _ in range(rng.choice((0, 1, 3, 12)))]
    if rng.random() < lined:
        whole["lines"] = lines(rng, count)
    return whole


def written(rng, document):
    """JSON of a document in one of many layouts, as bytes."""
    layout = {
        "ensure_ascii": rng.random() < 0.5 or _halved(document),
        "indent": rng.choice((None, None, 0, 1, "\t")),
        "separators": rng.choice((None, (",", ":"), (" ,\n", " : "))),
    }
    if rng.random() < 0.3 and isinstance(document, dict):
        keys = list(document)
        rng.shuffle(keys)
        document = {key: document[key] for key in keys}
    data = json.dumps(document, **layout).encode()
    return rng.choice((b"", b"", b"\n", b" \t\r\n")) + data + rng.choice((b"", b"\n", b"   \r\n"))


def _halved(value):
    try:
        json.dumps(value, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return True
    return False


# ---- briefs and records ---------------------------------------------------------------


def brief(rng):
    """A valid brief as a dict."""
    found = {}
    if rng.random() < 0.6:
        found["rules"] = rng.sample(RULES, rng.randint(1, len(RULES)))
    for key, value in (
        ("title", text(rng)),
        ("text", text(rng)),
        ("drawings", rng.choice((2, 8, [2, 99], [12, 12]))),
        ("exposure", rng.choice((1, 2, 7))),
        ("may_break", rng.random() < 0.5),
        ("hand", rng.random() < 0.5),
        ("guide", rng.choice(("nothing", "circle", "sector", "all"))),
        ("way", rng.choice(("straight ahead", "pose to pose"))),
        ("weights", {rng.choice(RULES): rng.choice((0, 1, 2.5, 99999))}),
    ):
        if rng.random() < 0.3:
            found[key] = value
    return found


def toml(value):
    """A value of a brief in TOML; lists and tables within one line."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return json.dumps(value.encode("utf-8", "replace").decode(), ensure_ascii=True).replace(
            "\\ud83d\\udd90", "\\U0001f590"
        )
    if isinstance(value, dict):
        return "{" + ", ".join(f"{toml(str(key))} = {toml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(toml, value)) + "]"
    return "[]" if value is None else repr(value)


def brief_file(brief):
    return "\n".join(
        f"{toml(str(key)) if key not in _BARE else key} = {toml(value)}" for key, value in brief.items()
    ).encode("utf-8", "replace")


_BARE = {
    "title",
    "text",
    "rules",
    "tolerances",
    "weights",
    "drawings",
    "exposure",
    "may_break",
    "hand",
    "guide",
    "way",
}


def record(rng):
    """Lines of a record of progress, some of them the learner's own words; as bytes."""
    lines = ["My progress.", ""]
    for _ in range(rng.choice((0, 1, 5, 40, 2100))):
        lines.append(
            rng.choice(
                (
                    f"2026-11-{rng.randint(1, 31):02} 20:31  {rng.choice(('01_buoy', '06_looping_arm', text(rng)))}  "
                    f"{rng.choice(('done', 'almost', 'keep going'))}"
                    + rng.choice(("", "  drag", "  drag, length, moon")),
                    text(rng),
                    "2026-11-25 20:31  x  done  ",
                    "2026-99-99 99:99  y  almost  ,,,",
                    "",
                )
            )
        )
    return rng.choice(("\n", "\n", "\r\n", "\r", "\u2028")).join(lines).encode()
