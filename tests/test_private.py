"""What begins with an underscore is nobody else's: the desk's widgets use one another by public names only."""
import ast
from pathlib import Path

import pytest

import anim_lessons

PACKAGE = Path(anim_lessons.__file__).parent
MODULES = sorted(path for room in ("light_table", "storage", "course") for path in (PACKAGE / room).rglob("*.py"))


def reaches(text):
    """Lines on which a private attribute is taken of anything but the object or class at hand."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Attribute) and node.attr.startswith("_") and not node.attr.startswith("__"):
            of = node.value
            own = isinstance(of, ast.Name) and of.id in ("self", "cls")
            above = isinstance(of, ast.Call) and isinstance(of.func, ast.Name) and of.func.id == "super"
            if not own and not above and node.attr not in ("_asdict", "_replace"):  # a named tuple's public ones
                yield node.lineno, node.attr


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_nobody_reaches_for_what_is_private_to_another(path):
    assert [] == list(reaches(path.read_text("utf-8")))


def test_the_reach_is_found():
    found = "class A:\n  def b(self, table):\n    with table._guard:\n      self.table._x = self._y\n      super()._z()\n"
    assert [(3, "_guard"), (4, "_x")] == sorted(reaches(found))
