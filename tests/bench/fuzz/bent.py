"""Input with something wrong in it: bytes bent whatever they mean, or values of a document exchanged."""

import json

from .made import HALF, ODD_TEXTS

# fmt: off
LITERALS = (  # as a hand or another program may write a value; some are no JSON
    "1e-310", "1e999", "-1e999", "1E400", "1e-5000", "-0.0", "-0", "01", "+1", ".5", "1.", "0x1F", "1_000",
    "NaN", "Infinity", "-Infinity", "nan", "True", "None", "undefined", "", "1,2", "/* */ 1", '"a" "b"', "'x'",
    "1" * 40, "1" * 5000, "-" + "9" * 5000, "0." + "3" * 5000,
    '"\\ud800"', '"\\udfff\\ud800"', '"\\u0000"', '"\\x41"', '"\n"',
    "[" * 40 + "]" * 40, '{"a":' * 40 + "1" + "}" * 40, "[" * 3000 + "]" * 3000,
)
NUMBERS = (
    0, 1, -1, 2, 3, 7, -0.0, 0.5, 1.0, 2.0, 1e-310, 5e-324, 1e-9, 1e9, 1e300, -1e300,
    360, 360.0000001, -360.1, 10_000, 10_000.000001, -10_001, 240, 241, 2001, 10**30, 2**53, 2**63, 2**64,
    float("nan"), float("inf"), -float("inf"),
)
# fmt: on
_MARK = "literal stands here: "


def odd_value(rng):
    kind = rng.randrange(8)
    if kind < 3:
        return rng.choice(NUMBERS)
    if kind == 3:
        return rng.choice(ODD_TEXTS + HALF)
    if kind == 4:
        return rng.choice((None, True, False))
    if kind == 5:
        return rng.choice(
            (
                [],
                {},
                [[]],
                [{}],
                {"": 0},
                [None],
                [0],
                [0, 0],
                [0, 0, 0],
                [[0, 0]],
                [[0, 0, "z"]],
                [[0, 0], [0]],
                [1] * 2001,
                ["a"] * 201,
            )
        )
    if kind == 6:
        return rng.choice(
            (
                "x" * 501,
                "x" * 100_000,
                "0",
                "12",
                "true",
                "[1, 2]",
                {"limb": "arm", "joint": "elbow"},
                {"x": 1, "y": 2},
            )
        )
    return [rng.choice(NUMBERS) for _ in range(rng.choice((1, 2, 3, 8)))]


def place(rng, document):
    """The way to one value: as likely near the top as deep within."""
    way, value = (), document
    while True:
        keys = list(value) if isinstance(value, dict | list) else []
        if isinstance(value, list):
            keys = range(len(value))
        if not keys or rng.random() < 0.12:
            return way
        key = rng.choice(keys)
        way, value = (*way, key), value[key]


def values_bent(rng, document, times=None):
    """A copy of a document with one to three values exchanged, taken out, put in or moved."""
    document = _copy(document)
    for _ in range(times or rng.choice((1, 1, 1, 2, 3))):
        way = place(rng, document)
        if not way:
            if rng.random() < 0.05:
                document = odd_value(rng)
            continue
        holder = document
        for key in way[:-1]:
            holder = holder[key]
        last, kind = way[-1], rng.randrange(10)
        if kind < 5:
            holder[last] = odd_value(rng)
        elif kind == 5:
            del holder[last]
        elif kind == 6 and isinstance(holder, dict):
            holder[rng.choice((*ODD_TEXTS, "mood", "plans", "lecture", "lines", "limbs", "Title"))] = odd_value(rng)
        elif kind == 6:
            holder.insert(last, odd_value(rng))
        elif kind == 7 and isinstance(holder, list):
            holder.insert(last, _copy(holder[last]))
        elif kind == 8 and isinstance(holder, list):
            other = rng.randrange(len(holder))
            holder[last], holder[other] = holder[other], holder[last]
        elif isinstance(holder[last], list):
            del holder[last][rng.randrange(len(holder[last]) + 1) :]
        elif isinstance(holder[last], int | float) and not isinstance(holder[last], bool):
            holder[last] = rng.choice(
                (
                    -holder[last],
                    holder[last] * 1e6,
                    holder[last] + 1e-9,
                    float(holder[last]),
                    holder[last] + 1,
                )
            )
        if not isinstance(document, dict | list):
            return document
    return document


def literal_bent(rng, document):
    """JSON of a document in which one value is written as no writer would; as bytes."""
    way = next(way for way in iter(lambda: place(rng, document), None) if way)
    copy = holder = _copy(document)
    for key in way[:-1]:
        holder = holder[key]
    holder[way[-1]] = _MARK
    return json.dumps(copy).replace(json.dumps(_MARK), rng.choice(LITERALS)).encode()


def _copy(value):
    if isinstance(value, dict):
        return {key: _copy(item) for key, item in value.items()}
    return [_copy(item) for item in value] if isinstance(value, list | tuple) else value


# ---- bytes ----------------------------------------------------------------------------


def _flipped(rng, data):
    data = bytearray(data)
    for _ in range(rng.choice((1, 1, 3, 30))):
        if data:
            data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
    return bytes(data)


def _part(rng, data):
    a = rng.randrange(len(data) + 1)
    return a, min(len(data), a + rng.choice((0, 1, 2, 10, 100, 2000)))


def _cut(rng, data):
    a, b = _part(rng, data)
    return data[:a] + data[b:] if rng.random() < 0.5 else data[:a]


def _put_in(rng, data):
    a = rng.randrange(len(data) + 1)
    extra = rng.choice(
        (
            b"\0",
            b"\xef\xbb\xbf",
            b"\xff",
            b"\xed\xa0\x80",
            b"\xc0\x80",
            b'"',
            b"{",
            b"}",
            b"[",
            b"]",
            b",",
            b":",
            b"\\",
            b"\n",
            b"-",
            b"1e999",
            b"NaN",
            b"[" * 100_000,
            b'{"a":' * 20_000,
            b"9" * 6000,
            b" " * 50_000,
            b"\\u0000" * 9,
            bytes(rng.randrange(256) for _ in range(20)),
        )
    )
    return data[:a] + extra + data[a:]


def _repeated(rng, data):
    a, b = _part(rng, data)
    return data[:b] + data[a:b] * rng.choice((1, 2, 50)) + data[b:]


def _spliced(rng, data):
    a, b = _part(rng, data)
    c = rng.randrange(len(data) + 1)
    return data[:c] + data[a:b] + data[c + b - a :]


def _digits(rng, data):
    """One digit is another, or a point or a sign."""
    at = [i for i, byte in enumerate(data[:20_000]) if 48 <= byte <= 57]
    if not at:
        return data
    i = rng.choice(at)
    return (
        data[:i]
        + rng.choice((b"0", b"9", b".", b"-", b"e", b"00", b"e9", b"e-320", b"99999"))
        + data[i + 1 :]
    )


def _other_code(rng, data):
    text = data.decode("utf-8", "replace")
    return rng.choice(
        (
            lambda: b"\xef\xbb\xbf" + data,
            lambda: text.encode("utf-16"),
            lambda: text.encode("utf-16-le"),
            lambda: text.encode("utf-32"),
            lambda: text.encode("latin-1", "replace"),
            lambda: data.replace(b"\n", b"\r\n"),
            lambda: data + data,
            lambda: data + b"\0" * 9,
            lambda: b"",
            lambda: data[::-1],
            lambda: bytes(rng.randrange(256) for _ in range(200)),
            lambda: b"[" + data + b"]",
        )
    )()


def _key_again(rng, data):
    """A key with its value once more, at the front."""
    key = rng.choice(
        (b'"title": "x", ', b'"loop": false, ', b'"limbs": [], ', b'"rate": 12, ', b'"moon": 1, "moon": 1, ')
    ) * rng.choice((1, 1, 2000))
    return data.replace(b"{", b"{" + key, 1)


BENDS = (_flipped, _cut, _put_in, _repeated, _spliced, _digits, _digits, _other_code, _key_again)


def bytes_bent(rng, data):
    for _ in range(rng.choice((1, 1, 1, 2, 4))):
        data = rng.choice(BENDS)(rng, data)
    return data[:8_200_000]
