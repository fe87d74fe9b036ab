"""The page's files: how they import each other, how a widget is handed them, and what may stand in which."""

import json
import re
import shutil
import subprocess

import pytest

from anim_lessons.ferry.actions import DEMOS
from anim_lessons.light_table import LightTable, page_files
from anim_lessons.light_table.assignment_form import AssignmentForm
from anim_lessons.light_table.class_panel import ClassPanel
from anim_lessons.light_table.joined import in_place_of, joined
from anim_lessons.light_table.lag_map import LagMap
from anim_lessons.light_table.lecture_strip import Strip
from anim_lessons.light_table.page_files import PAGE, PageError, loader, module, modules, style
from anim_lessons.light_table.paper_strip import PaperStrip
from anim_lessons.light_table.plan_sheet import PlanSheet
from anim_lessons.light_table.sliders import Sliders

WIDGETS = {
    "light_table": LightTable,
    "plan_sheet": PlanSheet,
    "lecture_strip": Strip,
    "lag_map": LagMap,
    "paper_strip": PaperStrip,
    "sliders": Sliders,
    "assignment_form": AssignmentForm,
    "class_panel": ClassPanel,
}
GIVEN = modules("given", meant=in_place_of("given"))  # the page that stands alone, with stand-ins for some of the table's
NODE = shutil.which("node")
needs_node = pytest.mark.skipif(
    NODE is None,
    reason="NO NODE FOUND, so the page's modules are not read by one; install the package nodejs",
)
SCRIPTS = sorted(PAGE.rglob("*.mjs"))
SHEETS = sorted(PAGE.rglob("*.css"))


def run(script):
    """What node prints when it runs a module."""
    done = subprocess.run(
        [NODE, "--input-type=module"], input=script, capture_output=True, text=True, check=False
    )
    assert 0 == done.returncode, done.stderr
    return done.stdout


def page_of(folder, **files):
    for name, text in files.items():
        (folder / f"{name}.mjs").write_text(text, "utf-8")
    return folder


LEAF = """export const leaf = 1;
export const many = [];
many.push(1);
"""
TWIG = """import { leaf, many } from "./leaf.mjs";

const own = 2;
export function twig() { return [leaf, own, many.length]; }
"""
TOP = """import { leaf } from "./leaf.mjs";
import {
  twig,
} from "./twig.mjs";

const own = 3;
export default { leaf, own, twig: twig() };
"""
TREE = {"leaf": LEAF, "twig": TWIG, "tree": TOP}


# ---- how they import each other ---------------------------------------------------------------


@pytest.mark.parametrize("name", WIDGETS)
def test_each_module_comes_after_those_it_imports_and_in_no_ring(name):
    """The order is made of the import statements; here every place in quotes is looked at."""
    seen = []
    for place, text in modules(name).items():
        imported = [
            (PAGE / place).parent.joinpath(found).resolve().relative_to(PAGE).as_posix()
            for found in re.findall(r'"(\.[^"]*\.mjs)"', text)
        ]
        assert set(imported) <= set(seen), place
        seen.append(place)
    assert f"{name}.mjs" == seen[-1]
    assert len(seen) == len(set(seen))


def test_every_file_of_the_page_is_reached_from_a_widget():
    scripts = {PAGE / place for made in (GIVEN, *map(modules, WIDGETS)) for place in made}
    sheets = {
        PAGE / place
        for name in [*WIDGETS, "given"]
        for place in page_files._in_order(
            f"{name}.css", lambda text, place: page_files.STYLE_IMPORT.findall(text), PAGE
        )
    }
    assert (set(SCRIPTS), set(SHEETS)) == (scripts, sheets)
    assert {".mjs", ".css"} == {path.suffix for path in PAGE.rglob("*") if path.is_file()}


@needs_node
def test_every_module_finds_what_it_imports():
    run("".join(f'await import("{path.as_uri()}");\n' for path in SCRIPTS))


def test_a_ring_of_imports_is_refused_and_named(tmp_path):
    page = page_of(
        tmp_path,
        hand='import { paint } from "./paint.mjs";\n',
        paint='import { drop } from "./drop.mjs";\n',
        drop='import { paint } from "./paint.mjs";\n',
    )
    with pytest.raises(
        PageError, match=r"^paint\.mjs imports drop\.mjs imports paint\.mjs: move what they share"
    ):
        modules("hand", page)


def test_a_missing_file_is_named_with_the_one_that_asks_for_it(tmp_path):
    page = page_of(
        tmp_path, tree='import { leaf } from "./leaf.mjs";\n', root='import { top } from "../top.mjs";\n'
    )
    with pytest.raises(PageError, match=r"leaf\.mjs is not there; tree\.mjs imports it"):
        modules("tree", page)
    with pytest.raises(PageError, match=r"bush\.mjs is not there$"):
        modules("bush", page)
    with pytest.raises(PageError, match=r"root\.mjs imports \.\./top\.mjs, which lies outside"):
        modules("root", page)


@pytest.mark.parametrize(
    "line",
    [
        "import leaf from './leaf.mjs';",
        'import { leaf } from "./leaf.mjs"',
        'import { leaf } from "leaf";',
        '  import { leaf } from "./leaf.mjs";',
        'export * from "./leaf.mjs"',
    ],
)
def test_an_import_of_another_form_is_refused(tmp_path, line):
    page = page_of(tmp_path, leaf=TREE["leaf"], tree=f"/* A tree. */\n{line}\n")
    with pytest.raises(PageError, match=r"tree\.mjs, line 2: this import cannot be read"):
        modules("tree", page)


# ---- how a widget is handed them ----------------------------------------------------------------

# Node has URL.createObjectURL but imports no blob: URLs; files take their place, each made anew as a blob: URL is.
AS_FILES = """
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
const folder = mkdtempSync(join(tmpdir(), "page-"));
process.on("exit", () => rmSync(folder, { recursive: true }));
globalThis.made = [];
let files = 0;
globalThis.Blob = class { constructor(parts) { this.text = parts.join(""); } };
const as_url = (text) => {
    const path = join(folder, `${++files}.mjs`);
    writeFileSync(path, text);
    return pathToFileURL(path).href;
};
URL.createObjectURL = ({ text }) => { made.push(text); return as_url(text); };
const load = (text) => import(as_url(text));
"""


@pytest.mark.parametrize("name", WIDGETS)
def test_a_widget_gets_its_modules_and_style(name):
    assert (module(name), style(name)) == (WIDGETS[name]._esm, WIDGETS[name]._css)
    assert module(name).endswith("export default entry.default;\n")
    assert "@import" not in style(name)


@needs_node
@pytest.mark.parametrize("name", WIDGETS)
def test_the_text_loads_and_has_render_as_default(name):
    assert "function\n" == run(
        f"{AS_FILES}console.log(typeof (await load({json.dumps(module(name))})).default.render);"
    )


@needs_node
def test_modules_keep_names_of_their_own_and_are_loaded_once(tmp_path):
    """Two widgets of a kind, and one of another kind with modules in common: three modules and one more."""
    page = page_of(tmp_path, **TREE, bush='import { twig } from "./twig.mjs";\nexport default twig;\n')
    texts = [module("tree", page), module("tree", page), module("bush", page)]
    said = run(f"""{AS_FILES}
        const [one, two, bush] = await Promise.all({json.dumps(texts)}.map(load));
        const same = one.default === two.default;
        console.log(JSON.stringify([one.default, same, bush.default(), made.length]));""")
    assert [{"leaf": 1, "own": 3, "twig": [1, 2, 1]}, True, [1, 2, 1], 4] == json.loads(said)


def test_the_text_can_stand_in_a_page_of_html(tmp_path):
    page = page_of(tmp_path, tree='export default "</script><b>";\n')
    assert "</script" not in loader("tree", page)


# ---- as one script ------------------------------------------------------------------------------


@needs_node
def test_joined_modules_keep_names_of_their_own_and_give_what_they_gave(tmp_path):
    page = page_of(tmp_path, **TREE)
    said = run(f"{joined('tree', page=page)}console.log(JSON.stringify(entry.default));")
    assert {"leaf": 1, "own": 3, "twig": [1, 2, 1]} == json.loads(said)


@needs_node
def test_a_stand_in_is_taken_and_may_import_what_it_stands_in_for(tmp_path):
    for folder in ("table", "given"):
        (tmp_path / folder).mkdir()
    page_of(tmp_path, entry='import { say } from "./table/say.mjs";\nexport const said = say();\n')
    page_of(tmp_path / "table", voice='export const voice = () => "desk";\n',
            say='import { voice } from "./voice.mjs";\nexport function say() { return `it says ${voice()}`; }\n')
    page_of(tmp_path / "given", say='import { say as first } from "../table/say.mjs";\nexport const say = () => `${first()}!`;\n',
            voice='export const voice = () => "page";\n')
    told = [run(f"{joined('entry', folder, page=tmp_path)}console.log(entry.said);") for folder in ("", "given")]
    assert ["it says desk\n", "it says page!\n"] == told


def test_what_nobody_imports_is_left_out(tmp_path):
    """A function and a constant over several lines; what its own module uses, or what stands at the top, stays."""
    leaf = """export const one = [
  1,
].map((value) => value + 1);
/** said of two */
export function gone(a) {
  return { a };
}

export const left_out = () => ({
  b: 2,
});
export const used_here = 3;
export const three = () => used_here;
"""
    tree = 'import { one, three } from "./leaf.mjs";\n\nexport const twig = 5;\nexport default [one, three()];\n'
    script = joined("tree", page=page_of(tmp_path, leaf=leaf, tree=tree))
    assert "gone" not in script and "left_out" not in script
    assert [[[2], 3], 5] == json.loads(run(f"{script}console.log(JSON.stringify([entry.default, entry.twig]));"))



@pytest.mark.parametrize("text, says", [
    ('import { bough } from "./leaf.mjs";\n', "imports bough, which leaf.mjs does not export"),
    ("export class Tree {}\n", "cannot be joined: export class Tree"),
    ("export let tree = 1;\n", "cannot be joined: export let tree"),
    ('export const tree = "</script>";\n', "ends a script in HTML"),
    ('export const tree = "<!--";\n', "ends a script in HTML"),
])
def test_what_cannot_be_joined_is_refused(tmp_path, text, says):
    with pytest.raises(PageError, match=re.escape(says)):
        joined("tree", page=page_of(tmp_path, leaf=LEAF, tree=text))


def test_a_text_of_several_lines_stays_as_it_is(tmp_path):
    page = page_of(tmp_path, tree="/* Lines. */\nexport const tree = `one\n  // two`;\n", bush="  // gone\n  export default 1;\n")
    assert "`one\n  // two`" in joined("tree", page=page)
    assert "gone" not in joined("bush", page=page)


@needs_node
def test_what_looks_like_a_comment_in_a_text_stays(tmp_path):
    page = page_of(tmp_path, tree='export default ["a // b", "c", // gone\n  "d" ]; // gone too\n')
    assert "gone" not in joined("tree", page=page)
    assert ["a // b", "c", "d"] == json.loads(run(f"{joined('tree', page=page)}console.log(JSON.stringify(entry.default));"))


@pytest.mark.parametrize("place", sorted(GIVEN))
def test_no_style_is_set_by_an_attribute(place):
    """A policy that lets only style sheets of a known hash refuses style attributes (W3C, Content Security Policy Level 3,
    section 8.3: unsafe-hashes; seen: Chromium says so on its console)."""
    found = re.findall(r"[\"']?\bstyle\b[\"']?\s*:(?!:)|setAttribute(?:NS)?\([^)]*style|\bcssText\b", GIVEN[place])
    assert [] == found


# ---- what may stand in which ---------------------------------------------------------------------


@pytest.mark.parametrize("path", [*SCRIPTS, *SHEETS], ids=lambda path: path.relative_to(PAGE).as_posix())
def test_a_file_of_the_page_can_be_read_in_one_sitting(path):
    assert len(path.read_text("utf-8").splitlines()) <= 300


COLOUR = re.compile(
    r"#(?:[0-9a-f]{3,4}|[0-9a-f]{6}|[0-9a-f]{8})\b|\b(?:rgba?|hsla?|hwb|lab|lch|oklab|oklch|light-dark)\(",
    re.IGNORECASE,
)


def test_colours_are_named_in_one_file_that_comes_first():
    paper = PAGE / "paper.css"
    assert len(COLOUR.findall(paper.read_text("utf-8"))) >= 18
    assert {} == {
        path.name: found
        for path in [*SCRIPTS, *SHEETS]
        if path != paper and (found := COLOUR.findall(path.read_text("utf-8")))
    }
    for name in WIDGETS:
        assert 1 == style(name).count("--paper: light-dark(")
        assert style(name).index("--paper: light-dark(") < style(name).index("var(--")


# What a browser itself defines on elements, their styles and its storage of files, and the page sets.
STANDARD = {
    "checked",
    "hidden",
    "disabled",
    "value",
    "textContent",
    "selectedIndex",
    "placeholder",
    "srcdoc",
    "scrollTop",
    "top",
    "height",
    "width",
    "strokeWidth",
}


# The states, made with a model that knows nothing: of each field the fields of the record in it, if it holds one.
DECLARED = """
const [table, plan, lecture, paper, line] = await Promise.all(%s.map((place) => import(place)));
const settings = Object.fromEntries(table.SETTINGS.map((name) => [name, null]));
const model = { get: (name) => ({ pose: { revision: 1 }, head: {}, settings })[name] };
globalThis.matchMedia = () => ({});
const states = {
  table: table.new_table(model), plan: plan.new_plan_sheet(model), lecture: lecture.new_strip(model),
  paper: paper.new_paper(model),
};
states.paper.held = paper.new_held([]);
Object.assign(states.table, { drag: table.new_drag({}), mending: table.new_mending(1), stroke: line.new_stroke({}) });
const is_record = (one) => Object.prototype.toString.call(one) === "[object Object]" && one !== model;
for (const one of [...Object.values(states), states.paper.held, states.table.drag, states.table.mending, states.table.stroke, states.table.line])
  if (!Object.isSealed(one)) throw new Error("a state is open to new fields");
const mapped = (one, act) => Object.fromEntries(Object.entries(one).map(([name, value]) => [name, act(value)]));
const fields = (one) => (is_record(one) ? Object.keys(one) : []);
console.log(JSON.stringify(mapped(states, (state) => mapped(state, fields))));
"""
ASSIGNED = re.compile(r"(\w+(?:\??\.\w+|\([^()]*\)|\[[^\][]*\])*)\.(\w+)\s*(?:[-+*/]|\|\||&&|\?\?)?=(?![=>])")
OF_ENTRY = {"light_table.mjs": "table", "plan_sheet.mjs": "plan", "lecture_strip.mjs": "lecture", "paper_strip.mjs": "paper"}


@needs_node
def test_the_state_is_one_list_and_nothing_is_kept_on_elements():
    """Every assignment, `x.y.z = `, is to a field that a state.mjs declares, or to one of the browser's own."""
    places = json.dumps([(PAGE / part / "state.mjs").as_uri() for part in ("table", "plan", "lecture", "paper")]
                        + [(PAGE / "table" / "line_state.mjs").as_uri()])
    declared = json.loads(run(DECLARED % places))
    declared["given"] = declared["table"]  # stand-ins work on the table's state
    # what asks Python works on the state of whichever asks: on fields that each of them has
    asking = {field: [] for field in declared["plan"].keys() & declared["lecture"].keys() & declared["paper"].keys()}
    unknown = set()
    for path in SCRIPTS:
        state = asking if path == PAGE / "asking.mjs" else declared.get(OF_ENTRY.get(path.name, path.parent.name), {})
        for owner, field in ASSIGNED.findall(path.read_text("utf-8")):
            own = state if owner == "t" else state.get(owner[2:], []) if owner.startswith("t.") else []
            if field not in own and field not in STANDARD and not owner.endswith(".dataset"):
                unknown.add((path.name, f"{owner}.{field}"))
    assert set() == unknown


def test_an_assignment_is_found_however_it_is_written():
    lines = [
        "g.at = 1;",
        "t.sheet.far ??= 2;",
        "t.a(3).said= 4",
        "all[i].way += 5",
        "x.y === 6; x.z => 7; x.v == 8; x.w <= 9",
    ]
    assert [("g", "at"), ("t.sheet", "far"), ("t.a(3)", "said"), ("all[i]", "way")] == [
        found for line in lines for found in ASSIGNED.findall(line)
    ]


@needs_node
def test_python_sends_every_setting_that_the_page_reads():
    names = json.loads(
        run(
            f'import {{ SETTINGS }} from "{(PAGE / "table" / "state.mjs").as_uri()}";\n'
            "console.log(JSON.stringify(SETTINGS));"
        )
    )
    read = {
        name
        for path in (PAGE / "table").glob("*.mjs")
        for name in re.findall(r"\bsettings\(t\)\.(\w+)", path.read_text("utf-8"))
    }
    assert read <= set(names)
    assert set(names) == set(LightTable(DEMOS["wave"]()).settings)
