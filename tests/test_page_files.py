"""The page's files, joined into the texts that the widgets are handed."""

import re
import shutil
import subprocess

import pytest

from anim_lessons.light_table import LightTable, joined
from anim_lessons.light_table.joined import IMPORT, PAGE, STYLE_IMPORT, JoinError, module, style
from anim_lessons.light_table.lag_map import LagMap
from anim_lessons.light_table.lecture_strip import Strip
from anim_lessons.light_table.plan_sheet import PlanSheet
from anim_lessons.light_table.sliders import Sliders

WIDGETS = {"light_table": LightTable, "plan_sheet": PlanSheet, "lecture_strip": Strip, "lag_map": LagMap,
           "sliders": Sliders}
NODE = shutil.which("node")
needs_node = pytest.mark.skipif(NODE is None, reason="NO NODE FOUND, so the page's modules are not read by one; "
                                                     "install the package nodejs")


def page_of(folder, **files):
    for name, text in files.items():
        (folder / f"{name}.mjs").write_text(text, "utf-8")
    return folder


@pytest.mark.parametrize("name", WIDGETS)
def test_a_widget_gets_one_text_without_imports_and_with_one_export(name):
    text = module(name)

    assert not re.search(r"^import\b", text, re.MULTILINE)
    assert ["export default { render };"] == re.findall(r"^export.*$", text, re.MULTILINE)
    assert "@import" not in style(name)
    assert (text, style(name)) == (WIDGETS[name]._esm, WIDGETS[name]._css)


@needs_node
@pytest.mark.parametrize("name", WIDGETS)
def test_the_joined_text_is_a_module(name):
    done = subprocess.run([NODE, "--input-type=module", "--check"], input=module(name), capture_output=True, text=True)

    assert 0 == done.returncode, done.stderr


@needs_node
def test_every_module_finds_what_it_imports():
    lines = "".join(f'await import("{path.as_uri()}");\n' for path in sorted(PAGE.rglob("*.mjs")))
    done = subprocess.run([NODE, "--input-type=module"], input=lines, capture_output=True, text=True)

    assert 0 == done.returncode, done.stderr


@pytest.mark.parametrize("kind, imports", [("mjs", IMPORT), ("css", STYLE_IMPORT)])
def test_every_file_of_the_page_is_reached_from_a_widget(kind, imports):
    reached = {file for name in WIDGETS for file in joined._in_order(PAGE / f"{name}.{kind}", imports)}

    assert set(PAGE.rglob(f"*.{kind}")) == reached
    assert {".mjs", ".css"} == {path.suffix for path in PAGE.rglob("*") if path.is_file()}


def test_a_file_of_the_page_can_be_read_in_one_sitting():
    lines = {path.name: len(path.read_text("utf-8").splitlines()) for path in PAGE.rglob("*.mjs")}

    assert {} == {name: many for name, many in lines.items() if many > 350}


def test_a_file_comes_once_and_before_those_that_need_it(tmp_path):
    page = page_of(
        tmp_path, leaf="export const leaf = 1;\n",
        twig='import { leaf } from "./leaf.mjs";\n\nexport function twig() { return leaf; }\n',
        tree='import { leaf } from "./leaf.mjs";\nimport {\n  twig,\n} from "./twig.mjs";\n\n'
             "export default { leaf, twig };\n")

    joined_text = "const leaf = 1;\n\n\nfunction twig() { return leaf; }\n\n\nexport default { leaf, twig };\n"
    assert joined_text == module("tree", page)


def test_files_that_import_each_other_are_joined_all_the_same(tmp_path):
    page = page_of(tmp_path, hand='import { paint } from "./paint.mjs";\nexport const drop = () => paint();\n',
                   paint='import { drop } from "./hand.mjs";\nexport const paint = () => drop;\n')

    assert 1 == module("hand", page).count("const paint") == module("hand", page).count("const drop")


def test_a_missing_file_is_named_with_the_one_that_asks_for_it(tmp_path):
    page = page_of(tmp_path, tree='import { leaf } from "./leaf.mjs";\n')

    with pytest.raises(JoinError, match=r"leaf\.mjs is not there; tree\.mjs imports it"):
        module("tree", page)
    with pytest.raises(JoinError, match=r"bush\.mjs is not there$"):
        module("bush", page)


@pytest.mark.parametrize("first", ["const leaf = 1;", "export function leaf() {}", "let leaf;",
                                   "export const [bud, leaf] = [1, 2];"])
def test_a_name_declared_in_two_files_is_refused(tmp_path, first):
    page = page_of(tmp_path, twig=f"{first}\nexport const twig = 1;\n",
                   tree='import { twig } from "./twig.mjs";\nconst leaf = twig;\n')

    with pytest.raises(JoinError, match=r"leaf is declared in twig\.mjs and in tree\.mjs"):
        module("tree", page)


def test_only_the_entry_has_a_default_export(tmp_path):
    page = page_of(tmp_path, twig="export const twig = 1;\nexport default twig;\n",
                   tree='import { twig } from "./twig.mjs";\n')

    with pytest.raises(JoinError, match=r"twig\.mjs has a default export"):
        module("tree", page)


def test_paper_and_pencil_stand_in_one_file_and_come_first():
    colours = [path.name for path in PAGE.rglob("*.css") if "--paper: light-dark(" in path.read_text("utf-8")]

    assert ["paper.css"] == colours
    assert all(1 == style(name).count("--paper: light-dark(") for name in WIDGETS)
