"""The files of the page, as a widget is handed them: one text of modules, one style sheet.

In the page are ES modules that import each other by their place. A widget gets one text only. It holds all
modules that the widget's own one needs, each after those it imports; a few lines put each into a URL of its own
(blob:), write the URLs into the import statements, and import the last.
"""

import json
import re
from functools import cache
from pathlib import Path

PAGE = Path(__file__).resolve().parent / "page"
IMPORT = re.compile(r'^(?:import|export)\b(?:[^"\';]*?\bfrom)?\s*"(\.{1,2}/[^"]+)";$', re.MULTILINE)
IMPORTS = re.compile(
    r"^[ \t]*(?:import\b(?!\()|export\b[^\"'=;(]*\bfrom\b)", re.MULTILINE
)  # those in another form too
STYLE_IMPORT = re.compile(r'^@import\s+"([^"]+)";\n', re.MULTILINE)

# A module whose text is the same is loaded once in a page, however many widgets of whatever kind need it.
LOADER = """const modules = %s;
const shelf = (globalThis[Symbol.for("anim_lessons.page")] ??= new Map()); // text of a module -> its URL
const urls = new Map(); // place of a module -> its URL
for (const [place, parts] of modules) {
  const text = parts.map((part) => (typeof part === "string" ? part : urls.get(part.place))).join("");
  if (!shelf.has(text)) shelf.set(text, URL.createObjectURL(new Blob([text], { type: "text/javascript" })));
  urls.set(place, shelf.get(text));
}
// All are fetched at once, not level by level.
const loaded = await Promise.all([...urls.values()].map((url) => import(url)));
const entry = loaded.at(-1);
"""


class PageError(Exception):
    """Files of the page that do not fit together: says which, and what is wrong."""


@cache
def module(name, page=PAGE):
    """The ES module that a widget is handed: it loads page/NAME.mjs and passes its default export on."""
    return f"{loader(name, page)}export default entry.default;\n"


def loader(name, page=PAGE):
    """Lines for any module script: they load page/NAME.mjs with all that it imports, and name it `entry`."""
    listed = [[place, _parts(text, place)] for place, text in modules(name, page).items()]
    # "</" would end the script of a page of HTML into which this is written.
    return LOADER % json.dumps(listed, ensure_ascii=False).replace("</", "<\\/")


def modules(name, page=PAGE, meant=lambda place, by: place):
    """The module page/NAME.mjs and all that it imports, each after those it imports.

    Parameters
    ----------
    name : str
    page : Path, optional
    meant : function, optional
        Of a place that is imported and the place that imports it: the place that is taken.

    Returns
    -------
    dict
        The text of each by its place in the page's folder.

    Raises
    ------
    PageError
        Where a file is missing, modules import each other in a ring, or an import statement is not of the one
        form that is read here: at the start of a line, of a place in double quotes, ended by a semicolon.
    """
    return _in_order(f"{name}.mjs", _imports, page, meant=meant)


@cache
def style(name, page=PAGE):
    """The style sheet page/NAME.css with all that it imports, each file once."""
    files = _in_order(f"{name}.css", lambda text, place: STYLE_IMPORT.findall(text), page)
    return "\n".join(STYLE_IMPORT.sub("", text) for text in files.values())


def _imports(text, place):
    """The places, beside this one, that a module imports."""
    read = {found.start() for found in IMPORT.finditer(text)}
    for found in IMPORTS.finditer(text):
        if found.start() not in read:
            line = text.count("\n", 0, found.start()) + 1
            raise PageError(
                f"{place}, line {line}: this import cannot be read; "
                'write import { names } from "./place.mjs";'
            )
    return IMPORT.findall(text)


def _parts(text, place):
    """A module's text, cut where a place is imported: texts, and {"place": ...} of each import."""
    parts, end = [], 0
    for found in IMPORT.finditer(text):
        parts += [text[end : found.start(1)], {"place": place_of(found[1], place)}]
        end = found.end(1)
    return [*parts, f"{text[end:]}//# sourceURL=anim_lessons/page/{place}\n"]


def place_of(imported, by):
    """The place, in the page's folder, of what a file there imports."""
    parts = by.split("/")[:-1]
    for part in imported.split("/"):
        if part == "..":
            if not parts:
                raise PageError(f"{by} imports {imported}, which lies outside the page's folder")
            parts.pop()
        elif part != ".":
            parts.append(part)
    return "/".join(parts)


def _in_order(place, imports, page, asked_by=(), found=None, meant=lambda place, by: place):
    """Texts by place, those imported before those that import them."""
    found = {} if found is None else found
    if place in found:
        return found
    if place in asked_by:
        ring = [*asked_by[asked_by.index(place) :], place]
        raise PageError(f"{' imports '.join(ring)}: move what they share into a file of its own")
    if not (page / place).is_file():
        raise PageError(f"{page / place} is not there" + (f"; {asked_by[-1]} imports it" if asked_by else ""))
    text = (page / place).read_text("utf-8")
    for imported in imports(text, place):
        _in_order(meant(place_of(imported, place), place), imports, page, (*asked_by, place), found, meant)
    found[place] = text
    return found
