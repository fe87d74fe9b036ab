"""The page's modules in one file of HTML, without a notebook: loaded from blob: URLs by Chromium itself."""

import pytest

from anim_lessons.light_table.page_files import loader, module, modules, style

SHELF = "globalThis[Symbol.for('anim_lessons.page')].size"
MODEL = """{
  values: { values: { swing: 2 }, label: "the pennant",
    sliders: [{ name: "swing", label: "swings", least: 0, most: 4, step: 0.5, unit: " a second" }] },
  get(name) { return this.values[name]; },
  set(name, value) { this.values[name] = value; },
  on() {}, off() {}, save_changes() {},
}"""


@pytest.fixture
def bare(browser):
    page = browser.new_context().new_page()
    errors = []
    page.on("pageerror", lambda error: errors.append(error.stack or str(error)))
    page.on("console", lambda message: errors.append(message.text) if message.type == "error" else None)
    yield page
    page.context.close()
    assert [] == errors


def test_a_widget_stands_in_a_file_of_html(bare):
    bare.set_content(f"""<!doctype html><style>{style("sliders")}</style><main></main><script type="module">
        {loader("sliders")}
        window.model = {MODEL};
        entry.default.render({{ model, el: document.querySelector("main") }});
    </script>""")
    slider = bare.get_by_label("swings")
    slider.wait_for()
    slider.press("ArrowRight")
    assert {"swing": 2.5} == bare.evaluate("model.values.values")
    assert "2.5 a second" == bare.locator(".anim-sliders b").inner_text()


def test_modules_are_loaded_once_however_many_widgets_need_them(bare):
    """Each text is imported from a URL of its own, as a notebook does with every widget of a kind."""
    names = ["light_table", "light_table", "plan_sheet", "sliders"]
    same = bare.evaluate(
        """async texts => {
        const load = text => import(URL.createObjectURL(new Blob([text], {type: 'text/javascript'})));
        const found = [];
        for (const text of texts) found.push((await load(text)).default);
        const render = found.every(one => typeof one.render === 'function');
        return [found[0] === found[1], found[1] === found[2], render];
    }""",
        [module(name) for name in names],
    )
    assert [True, False, True] == same
    assert len({place for name in names for place in modules(name)}) == bare.evaluate(SHELF)
