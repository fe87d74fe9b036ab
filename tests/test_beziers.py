"""One curve through the dots: what each picture draws as a path of action is the path that is measured.

Reference: `path_of_action`, by scipy's CubicSpline, itself held against the ellipse and svgpathtools
elsewhere. Each picture's path is taken off the picture (matplotlib's vertices, the text of the SVG), split
with svgpathtools, and its points are compared with places on the path of action: 0.1 mm at most.
"""

import doctest
import re
from xml.etree import ElementTree

import numpy as np
import pytest
import svgpathtools

from anim_lessons import Action, Limb, pictures
from anim_lessons.course.glossary import TERMS
from anim_lessons.ferry.actions import wave
from anim_lessons.geometry import beziers
from anim_lessons.geometry.beziers import path_pieces
from anim_lessons.geometry.paths import path_of_action
from anim_lessons.light_table import picture
from anim_lessons.pictures import palette

MOST = 0.1  # mm off the path of action
SHARE = np.linspace(0.0, 1.0, 17)  # of each piece
every_count = pytest.mark.parametrize("drawings", [8, 12, 16, 24, 32])
open_or_loop = pytest.mark.parametrize("loop", [True, False])


def on_the_path(points, loop):
    """Places on the path of action at SHARE of each piece, by scipy."""
    curve = path_of_action(points, loop).curve
    z = curve((curve.x[:-1, None] + np.diff(curve.x)[:, None] * SHARE).ravel())
    return np.column_stack([z.real, z.imag])


def on_pieces(pieces):
    """The same of cubic Bézier pieces, (pieces, 4, 2), by svgpathtools."""
    curves = [svgpathtools.CubicBezier(*(piece @ [1, 1j])) for piece in pieces]
    z = np.array([curve.point(share) for curve in curves for share in SHARE])
    return np.column_stack([z.real, z.imag])


def pieces_of(start, rest):
    """Pieces from a first point and the three points of each piece, in a row."""
    threes = np.reshape(rest, (-1, 3, 2))
    starts = np.concatenate([np.reshape(start, (1, 2)), threes[:-1, 2]])
    return np.concatenate([starts[:, None], threes], axis=1)


# ---- the pieces themselves -------------------------------------------------------------


@open_or_loop
@pytest.mark.parametrize("count", [2, 3, 4, 5, 9, 40])
def test_pieces_are_those_of_the_spline(count, loop):
    points = np.random.default_rng(count).normal(size=(count, 2)) * 50
    assert np.abs(on_pieces(path_pieces(points, loop)) - on_the_path(points, loop)).max() < 1e-9


@open_or_loop
def test_a_place_that_is_held_is_passed_once(loop):
    points = wave().limbs[0].drawings[:, -1]
    held = np.repeat(points, [1, 3, 1, 2, *[1] * 11, 2], axis=0)
    assert np.abs(path_pieces(held, loop) - path_pieces(points, loop)).max() < 1e-12
    assert np.abs(on_pieces(path_pieces(held, loop)) - on_the_path(held, loop)).max() < 1e-9


def test_a_joint_that_stays_has_no_piece():
    assert (0, 4, 2) == path_pieces(np.full((5, 2), 7.0)).shape


def test_examples_in_docstrings():
    assert 0 == doctest.testmod(beziers).failed


# ---- each picture ----------------------------------------------------------------------


@open_or_loop
@every_count
def test_the_sheet_draws_the_path_of_action(drawings, loop):
    action = wave(drawings=drawings).replace(loop=loop)
    limb = action.limbs[0]
    axes, = pictures.path_of_action(action).axes
    drawn = [patch.get_path().vertices for patch in axes.patches if patch.get_label() == "path"]

    assert len(limb.joints) == len(drawn)
    for joint, vertices in zip(reversed(range(len(limb.joints))), drawn, strict=True):
        off = on_pieces(pieces_of(vertices[0], vertices[1:])) - on_the_path(limb.drawings[:, joint], loop)
        assert np.abs(off).max() < MOST


@open_or_loop
@every_count
def test_the_still_picture_draws_the_path_of_action(drawings, loop):
    action = wave(drawings=drawings).replace(loop=loop)
    paths = ElementTree.fromstring(picture.svg(action)).iter("{http://www.w3.org/2000/svg}path")
    d, = (path.get("d") for path in paths if path.get("stroke") == palette.LIGHT)
    points = np.reshape([float(number) for number in re.findall(r"-?[\d.]+", d)], (-1, 2))

    off = on_pieces(pieces_of(points[0], points[1:])) - on_the_path(action.limbs[0].drawings[:, -1], loop)
    assert np.abs(off).max() < MOST


@pytest.mark.parametrize("name", ["link-up", "spacing", "path of action", "arc", "flutter"])
def test_the_glossary_draws_the_path_of_action(name):
    term = TERMS[name].picture
    mark, = (mark for mark in term.under if mark.kind in ("path", "loop"))
    d, = re.findall(r"d='(M[^'CLl]*C[^']*)'", term.svg())
    points = np.reshape([float(number) for number in re.findall(r"-?[\d.]+", d)], (-1, 2))
    place = term._placing()
    corner, step = place(np.zeros(2)), place(np.ones(2)) - place(np.zeros(2))  # steps of the picture in a mm

    drawn = on_pieces(pieces_of(*np.split((points - corner) / step, [1])))
    assert np.abs(drawn - on_the_path(mark.points, mark.kind == "loop")).max() < MOST


def test_a_path_of_few_drawings_is_round_and_no_polygon():
    """Eight drawings on a circle of 60 mm: the path is within 0.1 mm of it, where a chord is 4.6 mm off."""
    turn = 2 * np.pi * np.arange(8) / 8
    places = 100 + 60 * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    axes, = pictures.path_of_action(Action((Limb("lamp", ("lamp",), [], [], places[:, None]),))).axes
    vertices, = (patch.get_path().vertices for patch in axes.patches if patch.get_label() == "path")
    away = np.hypot(*(on_pieces(pieces_of(vertices[0], vertices[1:])) - 100).T)
    assert np.abs(away - 60).max() < 0.1
