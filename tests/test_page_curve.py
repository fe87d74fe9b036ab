"""The path of action as the page draws it, held against Python's: one curve, wherever it is drawn.

Python's own is held against an ellipse and against Bézier lengths in other tests. Here the page's text is read
back as cubic pieces, and each is compared with the same piece of scipy's spline, point by point. What may differ is
the page's rounding, a twentieth of a unit: 0.025 mm on A4.
"""

import json
import re
import shutil
import subprocess

import numpy as np
import pytest

from anim_lessons.geometry.paths import path_of_action
from anim_lessons.light_table.page_files import PAGE

NODE = shutil.which("node")
pytestmark = pytest.mark.skipif(
    NODE is None, reason="NO NODE FOUND, so the page's curve is not drawn; install the package nodejs"
)
SHEET, PAPER, DEEP = 594.0, 297.0, 210.0  # units across the sheet, mm across and down A4
SCALE = SHEET / PAPER
MOST = 0.1  # mm that page and Python may differ
COUNTS = [8, 9, 12, 16, 24, 32]


def evenly(n):
    """Places on a bent loop, at equal times."""
    turn = 2 * np.pi * np.arange(n) / n
    return np.column_stack([150 + 80 * np.cos(turn), 100 + 40 * np.sin(turn) + 15 * np.cos(2 * turn)])


def slowly(n):
    """The same loop, closed up at both extremes: slow in and slow out."""
    turn = 2 * np.pi * np.arange(n) / n
    turn = turn + 0.45 * np.sin(2 * turn)
    return np.column_stack([150 + 80 * np.cos(turn), 100 + 40 * np.sin(turn)])


def wildly(n):
    """Places as no hand would draw them: steps from a hair to half the sheet."""
    return np.random.default_rng(n).uniform((20, 20), (270, 190), (n, 2))


def held(n):
    """The bent loop, with two drawings held and the last like the first."""
    places = evenly(n)
    places[3], places[-1] = places[2], places[0]
    return places


def drawn_by_the_page(cases):
    """The text of each path, in one run of node; y down, in units of the sheet."""
    on_sheet = [[[[x * SCALE, (DEEP - y) * SCALE] for x, y in places], loop] for places, loop in cases]
    script = (
        f'import {{ smooth }} from "{(PAGE / "lines.mjs").as_uri()}";\n'
        f"console.log(JSON.stringify({json.dumps(on_sheet)}.map(([points, loop]) => smooth(points, loop))));"
    )
    done = subprocess.run(
        [NODE, "--input-type=module"], input=script, capture_output=True, text=True, check=True
    )
    return json.loads(done.stdout)


def pieces(text):
    """The cubic pieces of a path's text, mm with y up, shape (pieces, 4, 2)."""
    assert re.fullmatch(r"M[-\d.,]+(C[-\d., ]+)*Z?", text), text
    points = np.array(re.findall(r"(-?[\d.]+),(-?[\d.]+)", text), float) / SCALE
    points[:, 1] = DEEP - points[:, 1]
    return np.stack([points[0 + k : len(points) - 3 + k : 3] for k in range(4)], axis=1)


def on_cubics(cubics, u):
    """Places at shares u of each piece (Bernstein's polynomials)."""
    weights = np.stack([(1 - u) ** 3, 3 * u * (1 - u) ** 2, 3 * u**2 * (1 - u), u**3])
    return np.einsum("ku,pkd->pud", weights, cubics)


CASES = [(made, n, loop) for made in (evenly, slowly, wildly, held) for n in COUNTS for loop in (True, False)]


def test_page_and_python_draw_one_curve():
    u = np.linspace(0.0, 1.0, 33)
    texts = drawn_by_the_page([(made(n).tolist(), loop) for made, n, loop in CASES])
    farthest = {}
    for (made, n, loop), text in zip(CASES, texts):
        curve = path_of_action(made(n), loop).curve
        z = curve(curve.x[:-1, None] + np.diff(curve.x)[:, None] * u)
        page = on_cubics(pieces(text), u)
        assert page.shape[:2] == z.shape, (made.__name__, n, loop)
        farthest[made.__name__, n, loop] = np.hypot(page[..., 0] - z.real, page[..., 1] - z.imag).max()
    assert {} == {case: far for case, far in farthest.items() if not far <= MOST}


def test_few_places_are_drawn_as_python_draws_them():
    """One place, two, three: a point, a line there or there and back, a parabola or a round."""
    places = [[40.0, 50.0], [90.0, 80.0], [200.0, 60.0]]
    cases = [(places[:n], loop) for n in (1, 2, 3) for loop in (False, True)]
    u = np.linspace(0.0, 1.0, 17)
    for (points, loop), text in zip(cases, drawn_by_the_page(cases)):
        assert text.endswith("Z") == loop
        if len(points) == 1:
            assert f"M{40 * SCALE:g},{(DEEP - 50) * SCALE:g}" == text.rstrip("Z")
            continue
        curve = path_of_action(points, loop).curve
        z = curve(curve.x[:-1, None] + np.diff(curve.x)[:, None] * u)
        page = on_cubics(pieces(text), u)
        assert np.hypot(page[..., 0] - z.real, page[..., 1] - z.imag).max() <= MOST
