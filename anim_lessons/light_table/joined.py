"""The modules of a page as one script that imports nothing, for a file of HTML that nothing is loaded into.

Each module becomes a function, so that its names stay its own; what it exports is what the function gives back:

    const m7 = (() => { const { tenth } = m2; ... return { paint, wide }; })();
"""

import re

from .page_files import PAGE, PageError, modules, place_of

NAME = r"[A-Za-z_$][\w$]*"
IMPORTED = re.compile(  # a statement that IMPORT has read: its default, its names, its place
    rf'^import\s+(?:(?P<default>{NAME})\s*)?(?:,?\s*\{{(?P<names>[^}}]*)\}}\s*)?from\s*"(?P<place>[^"]+)";$', re.MULTILINE)
DECLARED = re.compile(rf"^export (?=(?:const|(?:async )?function) ({NAME})\b)", re.MULTILINE)
LISTED = re.compile(r"^export \{([^}]*)\};\n", re.MULTILINE)
DEFAULT = re.compile(r"^export default ", re.MULTILINE)
COMMENT = re.compile(r"^[ \t]*(?:/\*.*?\*/[ \t]*|//[^\n]*)\n", re.MULTILINE | re.DOTALL)
AFTER = re.compile(r"[ \t]+// [^\n\"'`/]*$", re.MULTILINE)  # after code; one that holds a quote may lie in a text, and stays
ENDS = re.compile(r"</script|<!--", re.IGNORECASE)  # what would end or change a script inside HTML


def joined(name, stand_ins="", page=PAGE):
    """The module page/NAME.mjs and all that it imports, as one script.

    Parameters
    ----------
    name : str
    stand_ins : str, optional
        Folder of the page whose modules are taken in place of their namesakes, as `in_place_of` says.
    page : Path, optional

    Returns
    -------
    str
        Without comments, without the space at the beginning of a line, and without what a module exports and nothing here imports
        or uses. The last line names the exports of NAME: `entry`.

    Raises
    ------
    PageError
        As `modules`; and where an import or export is of a form not read here, a name is imported that is not exported,
        or the script could not stand in a page of HTML.
    """
    meant = in_place_of(stand_ins, page)
    texts = modules(name, page, meant)
    called = {place: f"m{number}" for number, place in enumerate(texts)}
    exported, parts, asked_for = {}, ['"use strict";'], _asked_for(texts, meant)
    for place, text in texts.items():
        needed = text if place == f"{name}.mjs" else _needed(text, asked_for[place])
        body, exported[place] = _function(_bare(needed), place, exported, called, meant)
        parts.append(f"const {called[place]} = (() => {{\n{body}\n}})();")
    script = "\n".join([*parts, f"const entry = {called[place]};\n"])
    if found := ENDS.search(script):
        raise PageError(f'the page\'s script holds "{found[0]}", which ends a script in HTML; write it in two parts')
    return script


def in_place_of(folder, page=PAGE):
    """Which module is taken where one is imported, for `page_files.modules`: its namesake in that folder, if it lies in
    another folder and has one. The namesake itself may import what it stands in for."""
    def meant(place, by):
        namesake = f"{folder}/{place.rpartition('/')[2]}"
        taken = folder and "/" in place and by != namesake and (page / namesake).is_file()
        return namesake if taken else place

    return meant


def _asked_for(texts, meant):
    """The names that are imported from each module, by its place."""
    found = {place: set() for place in texts}
    for place, text in texts.items():
        for one in IMPORTED.finditer(text):
            found[meant(place_of(one["place"], place), place)] |= {
                name.split(" as ")[0].strip() for name in (one["names"] or "").split(",")}
    return found


def _needed(text, asked_for):
    """A module without the functions and constants that it exports to nobody and does not use."""
    if any(line.count("`") % 2 for line in text.splitlines()):
        return text  # a line at the margin may lie within a text
    for name in DECLARED.findall(text):
        if name not in asked_for and len(re.findall(rf"(?<![\w$]){re.escape(name)}(?![\w$])", text)) == 1:
            # Up to the next line at the margin that does not close it.
            text = re.sub(rf"^export (?:const|(?:async )?function) {re.escape(name)}(?![\w$]).*?\n(?=[^\s)\]}}]|\Z)", "", text,
                          count=1, flags=re.MULTILINE | re.DOTALL)
    return text


def _function(text, place, exported, called, meant):
    """The inside of a module's function, and the names it gives back."""
    def taken(found):
        other = meant(place_of(found["place"], place), place)
        names = [name.split(" as ") for name in map(str.strip, (found["names"] or "").split(",")) if name]
        names += [["default", found["default"]]] if found["default"] else []
        for wanted, *_ in names:
            if wanted.strip() not in exported[other]:
                raise PageError(f"{place} imports {wanted}, which {other} does not export")
        inside = ", ".join(": ".join(part.strip() for part in pair) for pair in names)
        return f"const {{ {inside} }} = {called[other]};"

    given = {name: name for name in DECLARED.findall(text)}
    for names in LISTED.findall(text):
        given |= {name.strip(): name.strip() for name in names.split(",") if name.strip()}
    if DEFAULT.search(text):
        given["default"] = "the_default"
    text = IMPORTED.sub(taken, text)
    text = DEFAULT.sub("const the_default = ", LISTED.sub("", DECLARED.sub("", text)))
    if left := re.search(r"^(?:export\b|import\b(?!\()).*$", text, re.MULTILINE):
        raise PageError(f"{place}: this line cannot be joined: {left[0]}")
    gives = ", ".join(name if name == own else f"{name}: {own}" for name, own in given.items())
    return f"{text.rstrip()}\nreturn {{ {gives} }};", set(given)


def _bare(text):
    """Without comments, indents and empty lines; as it is where a text in it goes over several lines."""
    less = AFTER.sub("", COMMENT.sub("", text))
    if any(line.count("`") % 2 for line in less.splitlines()):
        return text
    return re.sub(r"\n\s+", "\n", less)


def bare_style(text):
    """A style sheet without comments, indents, and the space round what separates; texts in quotes stay as they are."""
    less = re.sub(r"^\s+", "", re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL), flags=re.MULTILINE)
    parts = re.split(r'("[^"\n]*")', less)
    parts[::2] = (re.sub(r"(?<=[{;])([\w-]+): ", r"\1:", re.sub(r"\s*([{};,])\s*", r"\1", part)) for part in parts[::2])
    return "".join(parts).replace(";}", "}")
