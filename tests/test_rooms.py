"""Imports point only upward in the reading order, and the core brings no notebook and no pictures with it."""
import ast
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import anim_lessons

PACKAGE = Path(anim_lessons.__file__).parent
ORDER = re.findall(r"^    (\w+)  +\S", anim_lessons.__doc__, re.MULTILINE)
# What draws, plays or shows; too heavy for a rule, and none of its business.
HEAVY = {"matplotlib", "IPython", "ipywidgets", "anywidget", "traitlets", "jupyter", "jupyterlab", "nbval", "PIL", "av"}
MODULES = sorted(path for path in PACKAGE.rglob("*.py") if "workbook" not in path.relative_to(PACKAGE).parts)


def entry(path):
    """The entry of the reading order to which a file belongs: "rules" for rules/arc.py."""
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


JUDGES = [path for path in MODULES if entry(path) in ORDER[:ORDER.index("pictures")]]


def imports(path):
    """Each import of a file: its line, and the entry of the reading order it reaches for or else None, and the
    package outside it reaches for or else None."""
    here = path.relative_to(PACKAGE).parent.parts
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                top, *rest = alias.name.split(".")
                yield (node.lineno, rest[0] if rest else "__init__", None) if top == "anim_lessons" else (
                    node.lineno, None, top)
        elif isinstance(node, ast.ImportFrom):
            inside = [*here[:len(here) - node.level + 1]] if node.level else []
            parts = [*inside, *(node.module or "").split(".")] if node.module else inside
            if not node.level and parts[0] != "anim_lessons":
                yield node.lineno, None, parts[0]
                continue
            parts = parts if node.level else parts[1:]
            for alias in node.names:
                yield node.lineno, (parts or [alias.name])[0], None


def test_the_reading_order_names_every_module():
    there = {entry(path) for path in MODULES} - {"__init__"}
    assert there == set(ORDER), f"in the docstring of anim_lessons and not there, or the other way: {there ^ set(ORDER)}"
    assert len(ORDER) == len(set(ORDER))


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_only_upward(path):
    mine = entry(path)
    if mine == "__init__":
        return                  # the public names come from all over
    assert mine in ORDER, f"{mine} is in no reading order; give it a line in the docstring of anim_lessons"
    for line, part, _ in imports(path):
        if part is not None and part != mine:
            assert part in ORDER, f"line {line}: {part} is in no reading order"
            assert ORDER.index(part) < ORDER.index(mine), f"line {line}: {mine} imports {part}, which comes after it"


@pytest.mark.parametrize("path", JUDGES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_what_judges_draws_nothing(path):
    outside = {package for _, _, package in imports(path) if package}
    assert not outside & HEAVY


@pytest.mark.parametrize("path", sorted((PACKAGE / "pictures").glob("*.py")), ids=lambda path: path.name)
def test_what_draws_judges_nothing(path):
    assert not any(part in ("rules", "judging") for _, part, _ in imports(path))


@pytest.mark.parametrize("module, heavy", [
    ("anim_lessons", HEAVY | {"scipy"}),
    ("anim_lessons.judging", HEAVY | {"scipy"}),
    ("anim_lessons.ferry.actions", HEAVY),
])
def test_importing_the_core_loads_nothing_heavy(module, heavy):
    code = f"import sys, {module}; print(*sorted({{name.split('.')[0] for name in sys.modules}}))"
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(PACKAGE.parent), *filter(None, sys.path)])}
    loaded = subprocess.run([sys.executable, "-c", code], env=environment, check=True, capture_output=True, text=True)
    assert "anim_lessons" in loaded.stdout.split()
    assert not set(loaded.stdout.split()) & heavy


ROOMS = [path.name for path in sorted(PACKAGE.iterdir()) if (path / "__init__.py").exists() and path.name != "workbook"]


def said_of(room):
    """The docstring of a room, as one line."""
    return " ".join(ast.get_docstring(ast.parse((PACKAGE / room / "__init__.py").read_text("utf-8"))).split())


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_what_it_says_and_no_other(room):
    """Its docstring begins with what it is for, and then names the rooms it imports."""
    told = re.search(r"^[A-Z][^.]*\. Imports (no other room|[^.]*)\.", said_of(room))
    assert told, f"{room}: its docstring does not say in its second sentence what it imports"
    named = set(re.findall(r"`(\w+)`", told[1]))
    if told[1].startswith("all other rooms but"):
        named = set(ROOMS) - named - {room}
    imported = {part for path in MODULES if entry(path) == room for _, part, _ in imports(path) if part in ROOMS}
    assert imported - {room} == named
