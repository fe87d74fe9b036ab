"""Texts that go to a terminal: on one line, of a bearable length, with nothing that moves the cursor."""

import os

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
