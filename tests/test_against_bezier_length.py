"""Lengths and places of paths against a geometry library.

Reference: svgpathtools, whose lengths agree with 30-digit integration by mpmath to 1e-12
for the curves named here. A path of action is cut into Bézier pieces by scipy, and the
library measures them with code of its own.
"""
import numpy as np
import pytest
import svgpathtools
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import BPoly, PPoly

from anim_lessons.geometry.paths import Path, path_of_action

KAPPA = 4 / 3 * (2**0.5 - 1)


def one_piece(*points):
    """A path that is a single Bézier curve."""
    z = np.array(points, float) @ [1, 1j]
    curve = PPoly.from_bernstein_basis(BPoly(z[:, None], [0.0, 1.0]))
    return Path(curve, np.array([0.0, 1.0]), False), svgpathtools.CubicBezier(*z)


@pytest.mark.parametrize("points, length", [
    ([(0, 0), (0, 2), (3, -1), (3, 1)], 4.03847903558014539),          # an S
    ([(0, 0), (1, 3), (4, 3), (5, 0)], 7.19062525230061085),           # an arch
    ([(1, 0), (1, KAPPA), (KAPPA, 1), (0, 1)], 1.57101669807385568),   # nearly a quarter circle
    ([(0, 0), (4, 0), (0, 4), (4, 4)], None),
    ([(0, 0), (10, 10), (0, 10), (10, 0)], None),                      # a loop in itself
])
def test_length_of_a_bezier(points, length):
    path, reference = one_piece(*points)
    if length:
        assert length == pytest.approx(path.length, abs=1e-9)
    assert reference.length() == pytest.approx(path.length, abs=1e-8)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.35, 0.5, 0.9, 1.0])
def test_place_at_a_length(share):
    path, reference = one_piece((0, 0), (0, 2), (3, -1), (3, 1))
    there = reference.point(reference.ilength(share * reference.length()))
    assert [there.real, there.imag] == pytest.approx(path.point(share * path.length).tolist(), abs=1e-7)


@pytest.mark.parametrize("t", [0.1, 0.35, 0.6])
def test_curvature_and_heading(t):
    path, reference = one_piece((0, 0), (1, 3), (4, 3), (5, 0))
    s = reference.length(0, t)
    assert -reference.curvature(t) == pytest.approx(float(path.curvature(s)), rel=1e-6)  # the arch turns right
    assert np.degrees(np.angle(reference.unit_tangent(t))) == pytest.approx(float(path.heading(s)), abs=1e-6)


def pieces_of(path):
    """The path's Bézier pieces: scipy's change of basis."""
    return [svgpathtools.CubicBezier(*piece) for piece in BPoly.from_power_basis(path.curve).c.T]


places = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)), min_size=3, max_size=8, unique=True)


@settings(max_examples=25)
@given(places, st.booleans())
def test_length_of_a_path_of_action_by_its_bezier_pieces(points, loop):
    path = path_of_action(points, loop)
    pieces = pieces_of(path)
    assert [points[0], points[0] if loop else points[-1]] == [
        pytest.approx((z.real, z.imag), abs=1e-9) for z in (pieces[0].start, pieces[-1].end)]
    assert sum(piece.length(error=1e-9) for piece in pieces) == pytest.approx(path.length, rel=1e-6)


@settings(max_examples=25)
@given(places, st.tuples(st.floats(0, 60), st.floats(0, 60)))
def test_distance_from_a_path_by_the_library(points, place):
    path = path_of_action(points)
    nearest = min(piece.radialrange(complex(*place))[0][0] for piece in pieces_of(path))
    assert nearest == pytest.approx(abs(float(path.across(place))), abs=1e-3)
