"""Texts as they may be shown.

On a terminal: on one line, of a bearable length, with nothing that moves the cursor (`shown`). On a page, in a
picture, in a sheet: with nothing unseen in them (`visible`), and cut to the room there is (`cut`).
"""

import os
import re
from unicodedata import category

LONGEST = 600  # letters of an error; a hostile file may put megabytes into a name


def path_text(path):
    """A file's name as text; bytes that are none are replaced."""
    return os.fsencode(path).decode("utf-8", "replace")


def shown(says):
    """A sentence on one line: what would move the cursor, or turn the writing round, is spelled out."""
    says = says.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    if len(says) > LONGEST:
        says = f"{says[:LONGEST * 2 // 3]} … {says[-LONGEST // 3:]}"
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in says)


# ---- texts on a page, in a picture, in a sheet ---------------------------------------

STAND_IN = "\N{REPLACEMENT CHARACTER}"
MARKS = 4  # accents on one letter; more would grow over what stands beside
# Turn the writing round for all that follows; marks of direction (U+200E, U+200F, U+061C) act in one place and stay.
_TURNS = "\u202a-\u202e\u2066-\u2069"
# Controls, line and paragraph separators, what turns the writing round, and what is no character.
_UNSEEN = re.compile(f"[\0-\x1f\x7f-\x9f\u2028\u2029{_TURNS}\ud800-\udfff\ufffe\uffff]")


def visible(text):
    """A text in which nothing is unseen and nothing reaches beyond it, for pages, pictures and sheets.

    Control characters of ASCII become their pictures (U+2400 to U+2421), separators of lines that of a
    new line, and all else that is not to be written a stand-in. What is left are characters of XML 1.0
    (W3C, section 2.2: Char), none of which turns the writing round (Unicode Standard Annex 9, section 2:
    embeddings, overrides, isolates). Both from memory. The page does the same: `visible` in tools.mjs.

    Examples
    --------
    >>> visible("wave\\n\\0")
    'wave␊␀'
    """
    if text.isascii() and text.isprintable():
        return text
    text = _UNSEEN.sub(_pictured, text)
    return text if text.isascii() else _spread(text)


def _pictured(found):
    code = ord(found[0])
    if code < 0x20:
        return chr(0x2400 + code)
    return {0x7F: "\u2421", 0x2028: "\u2424", 0x2029: "\u2424"}.get(code, STAND_IN)


def _spread(text):
    """Accents beyond MARKS on one letter stand on a dotted circle each MARKS of them."""
    parts, marks = [], 0
    for c in text:
        marks = marks + 1 if category(c).startswith("M") else 0
        if marks > MARKS:
            parts.append("\N{DOTTED CIRCLE}")
            marks = 1
        parts.append(c)
    return "".join(parts)


def cut(text, most):
    """A text of at most so many letters, ended by … where it was longer; an accent stays with its letter."""
    if len(text) <= most:
        return text
    end = most - 1
    while end > 1 and (category(text[end]).startswith("M") or "\u200d" in text[end - 1:end + 1]):
        end -= 1
    return f"{text[:end].rstrip()}…"
