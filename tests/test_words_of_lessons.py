"""How much there is to read in a lesson: little before the first thing moves, and little in all.

Counted are the words of a page as nbconvert makes it of a notebook: what has a letter or a digit in it, between blanks.
An answer that is folded behind "Guessed?" is counted, for it belongs to the lesson and everybody is to open it. Any other
fold is on demand: the lesson goes on without it, and of it the line that is pressed is counted. Sizes are our own decision.
"""
import re
from html.parser import HTMLParser

import homework
import nbformat
import pytest
from nbconvert.filters import markdown2html

LESSONS = sorted((homework.ROOT / "notebooks").glob("[01][0-9]_*.ipynb"))[1:]  # 00 shows the table itself
GUESSED = re.compile(r"Guessed\b[^?]*\? Then open this\.")
MOVES = re.compile(r"\blessons\.(?:light_table|model_loop|fault_gallery|hanging|stop_and_settle|plan_sheet|record"
                   r"|follow|timing|opening_arm|seam|two_arms)\b"
                   r"|\bone_sheet\b")  # of the lesson on paper the sheet itself: nothing moves there before it is drawn
BEFORE, IN_ALL, ON_DEMAND, UNDER_A_HEADING = 100, 600, 150, 120


def count(text):
    return sum(any(letter.isalnum() for letter in word) for word in text.split())


class Read(HTMLParser):
    """Words that everybody reads, and words on demand."""

    def __init__(self, markdown):
        super().__init__()
        self._in, self._folds, self._line = [], [], ""
        self._text = {"read": "", "on demand": ""}
        self.feed(markdown2html(markdown))
        self.read, self.on_demand = (count(text) for text in self._text.values())

    def handle_starttag(self, tag, attributes):
        if tag in ("img", "br", "hr", "input"):
            return
        self._in.append("mark" if ("class", "anchor-link") in attributes else tag)
        if tag == "details":
            self._folds.append("on demand")
        elif tag == "summary":
            self._line = ""

    def handle_endtag(self, tag):
        if not self._in:
            return
        self._in.pop()
        if tag == "details":
            self._folds.pop()
        elif tag == "summary" and GUESSED.fullmatch(self._line.strip()):
            self._folds[-1] = "read"  # its line is a button, and no word of the lesson
        elif tag == "summary":
            self._text["read"] += f" {self._line} "

    def handle_data(self, data):
        if "mark" in self._in:
            return
        if "summary" in self._in:
            self._line += data
        else:
            self._text["on demand" if "on demand" in self._folds else "read"] += data


@pytest.mark.parametrize("markdown, read, on_demand", [
    ("# The buoy\n\nIt **rides** the [swell](01_buoy.ipynb) - at 0.5 s.", 8, 0),
    ("Slow?\n\n<details><summary>Guessed? Then open this.</summary>\n\nAt *both* ends.\n\n</details>\n\nNow 3.", 6, 0),
    ("Slow?\n\n<details><summary>Guessed where? Then open this.</summary>\n\nAt *both* ends.\n\n</details>", 4, 0),
    ("1. Go.\n\n<details><summary>How to read it</summary>\n\n- left: `asked`;\n- right.\n\n</details>\n\nGo on.", 7, 3),
], ids=["plain", "an answer", "an answer named", "on demand"])
def test_words_are_counted_as_somebody_reads_them(markdown, read, on_demand):
    """Counted by hand."""
    found = Read(markdown)
    assert (read, on_demand) == (found.read, found.on_demand)


def texts(path):
    """Of each cell: words read, words on demand, its code."""
    for cell in nbformat.read(path, 4).cells:
        if cell.cell_type == "markdown":
            found = Read(cell.source)
            yield found.read, found.on_demand, ""
        else:
            printed = "".join(output.get("text", "") for output in cell.outputs)
            yield count(printed), 0, cell.source


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_something_moves_before_anybody_has_read_much(path):
    read = 0
    for words, _, code in texts(path):
        if MOVES.search(code):
            break
        read += words
    else:
        pytest.fail("nothing moves in this lesson")
    assert read < BEFORE


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_is_soon_read(path):
    """What cells print is not counted here: it is what was asked."""
    texts_alone = [(read, more) for read, more, code in texts(path) if not code]
    assert sum(read for read, _ in texts_alone) < IN_ALL
    assert sum(more for _, more in texts_alone) <= ON_DEMAND


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_there_is_one_idea_a_screen(path):
    """No cell says more under one heading than fits beside what it speaks of."""
    sources = [cell.source for cell in nbformat.read(path, 4).cells if cell.cell_type == "markdown"]
    parts = [part for source in sources for part in re.split(r"(?m)^(?=#)", source)]
    assert [] == [part for part in parts if Read(part).read > UNDER_A_HEADING]


def test_all_lessons_are_measured():
    assert 11 == len(LESSONS)
