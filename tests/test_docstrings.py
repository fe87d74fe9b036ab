"""Every example in a docstring gives what stands below it."""
import doctest
import importlib
from pathlib import Path

import pytest

import anim_lessons

PACKAGE = Path(anim_lessons.__file__).parent
WITH_EXAMPLES = sorted(".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")
                       for path in PACKAGE.rglob("*.py") if ">>> " in path.read_text("utf-8"))


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_examples_in_docstrings(name):
    failed, tried = doctest.testmod(importlib.import_module(name))
    assert 0 == failed and tried > 0
