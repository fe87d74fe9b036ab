"""Each notebook reads well without being run: as a page made by nbconvert, the converter that JupyterLab brings.

What is looked for is in the HTML standard (one section under another, no level left out: section 4.3.11, from memory) and
in the page itself, by the standard library's own parser. A page that nbconvert makes names scripts of other hosts, for
formulas and widgets; none of them is needed to read it, so here they are left out and nothing else may name one.
"""

import re
from html.parser import HTMLParser

import homework
import nbformat
import pytest
from nbconvert import HTMLExporter

WORKBOOK = homework.ROOT / "notebooks"
ALL = sorted(path for path in WORKBOOK.rglob("*.ipynb") if not any(part.startswith(".") for part in path.parts))
MOST = 750_000  # bytes a page
SCRIPTS = ("mathjax_url", "require_js_url", "jquery_url", "jupyter_widgets_base_url", "mermaid_js_url", "widget_renderer_url")


def named(path):
    return path.relative_to(WORKBOOK).as_posix()


class Page(HTMLParser):
    """Headings as (level, text), what is fetched, and the words that are seen."""

    def __init__(self, html):
        super().__init__()
        self.headings, self.fetched, self.words, self._in = [], [], [], []
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        if tag not in ("img", "link", "meta", "br", "hr", "input", "base"):
            self._in.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append([int(tag[1]), ""])
        if tag in ("img", "script", "link", "iframe", "source"):
            self.fetched += [attributes[key] for key in ("src", "href", "srcset") if key in attributes]

    def handle_endtag(self, tag):
        while self._in and tag in self._in and self._in.pop() != tag:
            pass

    def handle_data(self, data):
        if not {"script", "style"} & set(self._in):
            self.words.append(data)
            if self._in and any(re.fullmatch("h[1-6]", tag) for tag in self._in):
                self.headings[-1][1] += data.replace("¶", "")


def exporter():
    converter = HTMLExporter(embed_images=True)
    for name in SCRIPTS:
        if converter.has_trait(name):
            setattr(converter, name, "")
    return converter


@pytest.fixture(scope="module")
def made():
    """The pages, as they stand in the workbook: nothing is run."""
    converter = exporter()
    pages = {}

    def page(path):
        if path not in pages:
            pages[path] = converter.from_filename(str(path))[0]
        return pages[path]

    return page


@pytest.mark.parametrize("path", ALL, ids=named)
def test_a_page_is_small_and_needs_nothing_from_elsewhere(made, path):
    html = made(path)
    elsewhere = [address for address in Page(html).fetched if re.match(r"(https?:)?//", address)]

    assert len(html.encode("utf-8")) < MOST
    assert [] == elsewhere


@pytest.mark.parametrize("path", ALL, ids=named)
def test_headings_are_in_order(made, path):
    levels = [level for level, _ in Page(made(path)).headings]

    assert 1 == levels[0] and 1 not in levels[1:]
    assert all(after <= before + 1 for before, after in zip(levels, levels[1:]))


@pytest.mark.parametrize("path", ALL, ids=named)
def test_all_that_is_written_is_on_the_page(made, path):
    page = Page(made(path))
    words = " ".join(" ".join(page.words).split())
    headings = [text.strip() for _, text in page.headings]

    for cell in nbformat.read(path, 4).cells:
        if cell.cell_type == "code":
            assert [] == [word for word in re.findall(r"[A-Za-z_]{4,}", cell.source) if word not in words]
            for output in cell.outputs:
                for line in str(output.get("text", "")).splitlines():
                    assert " ".join(line.split()) in words
        for heading in re.findall(r"^#+ (.+)$", cell.source if cell.cell_type == "markdown" else "", re.MULTILINE):
            assert re.sub(r"[*`]", "", heading) in headings


# ---- run, so that there are pictures -----------------------------------------------------

DRAWN = sorted(path.name for path in WORKBOOK.glob("*.ipynb") if "pictures." in path.read_text("utf-8"))


@pytest.mark.parametrize("name", DRAWN)
def test_pictures_of_a_notebook_that_was_run_are_kept_small(nbval_run, name):
    """What widgets leave behind is left out: half a page of numbers that only a running kernel could show."""
    notebook = nbval_run.outputs(name)
    html = exporter().from_notebook_node(notebook)[0]
    pictures = re.findall(r'src="data:image/png;base64,([^"]*)', html)
    page = Page(html)

    assert len(pictures) == sum(len(re.findall(r"^pictures\.", cell.source, re.MULTILINE)) for cell in notebook.cells if cell.cell_type == "code")
    assert max(map(len, pictures)) < 180_000
    assert len(html.encode("utf-8")) < MOST
    assert max(len(line) for words in page.words for line in words.splitlines() or [""]) < 1_000  # no numbers of a widget's insides
