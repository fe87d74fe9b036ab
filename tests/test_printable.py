"""Texts of a file as they may be shown: by Python and by the page the same.

References: XML 1.0 (W3C), section 2.2, production Char (from memory); Python's own tables of Unicode for what turns the
writing round and for accents.
"""

import json
import shutil
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from anim_lessons.model.printable import MARKS, cut, visible

PAGE = Path(__file__).parents[1] / "anim_lessons" / "light_table" / "page"
NODE = shutil.which("node")
TURNS = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


def is_char(c):
    code = ord(c)
    return code in (9, 10, 13) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or 0x10000 <= code


def test_nothing_unseen_is_left_of_any_character():
    every = range(sys.maxunicode + 1)
    shown_all = visible("".join(f"{chr(code)}a" for code in every))  # a letter between, so that no accents meet
    assert 2 * len(every) == len(shown_all)
    for c, shown in zip(map(chr, every), shown_all[::2]):
        assert is_char(shown), hex(ord(c))
        assert unicodedata.category(shown) not in ("Cc", "Cs", "Zl", "Zp"), hex(ord(c))
        assert unicodedata.bidirectional(shown) not in TURNS, hex(ord(c))


def test_writing_of_any_kind_stays_as_it_is():
    for text in ("wave the boat in", "Käte", "Ngữ văn", "שולחן אור", "ไม้เอก ก็", "लाइट टेबल", "波", "👩‍🚀", "‎a‏b"):
        assert text == visible(text)


def test_no_letter_carries_more_accents_than_fit_between_two_lines():
    shown = visible("a" + "\u0301" * 60 + "b")
    assert 60 == shown.count("\u0301")  # none is lost
    most = run = 0
    for c in shown:
        run = run + 1 if unicodedata.category(c) == "Mn" else 0
        most = max(most, run)
    assert MARKS == most


@given(st.text(max_size=30), st.integers(3, 40))
def test_a_text_is_cut_to_so_many_letters(text, most):
    short = cut(text, most)
    assert len(short) <= most
    assert short == text if len(text) <= most else short.endswith("…") and text.startswith(short[:-1])


def test_an_accent_stays_with_its_letter():
    assert "ab…" == cut("abe\u0301\u0302cd", 4)
    assert "ab…" == cut("ab👩\u200d🚀cd", 4)


@pytest.mark.skipif(NODE is None, reason="NO NODE FOUND, so the page's own words are not held against Python's; install nodejs")
def test_the_page_shows_a_text_as_python_does():
    codes = [code for code in range(0x3100) if not 0xD800 <= code <= 0xDFFF] + [0xFEFF, 0xFFFD, 0xFFFE, 0xFFFF, 0x1F6A9]
    texts = [*map(chr, codes), "e" + "\u0301" * 23 + "x", "a\0b\nc\u202ed\u2066e"]
    script = f"""import {{ visible }} from {json.dumps((PAGE / "tools.mjs").as_uri())};
        process.stdout.write(JSON.stringify({json.dumps(texts)}.map(visible)));"""
    done = subprocess.run([NODE, "--input-type=module"], input=script, capture_output=True, text=True, check=False)
    assert 0 == done.returncode, done.stderr
    assert [visible(text) for text in texts] == json.loads(done.stdout)
