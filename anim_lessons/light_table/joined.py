"""The page's modules and style sheets, joined.

A widget is handed one text of each, and in that text nothing can be imported by its place.
"""

import re
from functools import cache
from pathlib import Path

PAGE = Path(__file__).resolve().parent / "page"
IMPORT = re.compile(r'^import\s*\{[^}]*\}\s*from\s*"([^"]+)";\n', re.MULTILINE)
STYLE_IMPORT = re.compile(r'^@import\s+"([^"]+)";\n', re.MULTILINE)
EXPORT = re.compile(r"^export (?!default\b)", re.MULTILINE)
DECLARED = re.compile(r"^(?:async )?(?:function\*?|const|let|class)\s+(\w+|[\[{][^\]}=]*)", re.MULTILINE)


class JoinError(Exception):
    """Files of the page that cannot be joined: says which, and what is wrong."""


@cache
def module(name, page=PAGE):
    """The module page/NAME.mjs with all that it imports, each file once and before the files that need it."""
    files = _in_order(page / f"{name}.mjs", IMPORT)
    texts = {file: EXPORT.sub("", IMPORT.sub("", text)) for file, text in files.items()}
    declared = {}
    for file, text in texts.items():
        if file.stem != name and re.search(r"^export default\b", text, re.MULTILINE):
            raise JoinError(f"{file.name} has a default export, and only {name}.mjs may have one here")
        for found in DECLARED.findall(text):
            for one in re.findall(r"\w+", found):
                if one in declared:
                    raise JoinError(f"{one} is declared in {declared[one].name} and in {file.name}; "
                                    "joined, they would be one: rename it in one of them")
                declared[one] = file
    return "\n".join(texts.values())


@cache
def style(name, page=PAGE):
    """The style sheet page/NAME.css with all that it imports, each file once."""
    files = _in_order(page / f"{name}.css", STYLE_IMPORT)
    return "\n".join(STYLE_IMPORT.sub("", text) for text in files.values())


def _in_order(file, imports, asked_by=None, found=None, seen=None):
    """Files by path, those imported before those that import them; a ring of imports is cut where it closes."""
    found, seen = ({}, set()) if found is None else (found, seen)
    if file in seen:
        return found
    seen.add(file)
    if not file.is_file():
        raise JoinError(f"{file} is not there" + (f"; {asked_by.name} imports it" if asked_by else ""))
    text = file.read_text("utf-8")
    for place in imports.findall(text):
        _in_order((file.parent / place).resolve(), imports, file, found, seen)
    found[file] = text
    return found
