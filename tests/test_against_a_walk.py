"""A walk that was recorded, forwards and backwards in time.

Reference: angles of hip and knee of 39 boys, each over one stride in 20 readings of whole degrees (Olshen, Biden, Wyatt and
Sutherland 1989, Annals of Statistics 17:1419, from memory), as the package fdatools carries them (BSD licence, run; the data
stand in its wheel, so that nothing is fetched). That a walk has hardly anything above the sixth harmonic of its stride is
Winter's (from memory). Only the drawn leg is ours: parts of 60 and 58 mm, which change no angle.
"""

import numpy as np
import pytest
from fdatools.datasets import load_gait

from anim_lessons import Action, Limb, check
from anim_lessons.measures.loops import Measures
from anim_lessons.rules import overlap

HARMONICS = 6
LENGTHS = (60.0, 58.0)                          # mm
STOPS = ((-140.0, -20.0), (-140.0, 5.0))        # degrees; a knee bends one way and comes a little past straight
RECORDED = load_gait().value                    # degrees, (readings, boys, hip and knee)
BOYS = RECORDED.shape[1]


def directions(boy, drawings=len(RECORDED), harmonics=None):
    """Of thigh and shank on the paper, degrees, (drawings, 2), at evenly spaced times of the stride; hip and knee are bent
    forwards and backwards from straight down."""
    angle = RECORDED[:, boy]
    if harmonics:
        wave = np.fft.rfft(angle, axis=0)[:harmonics + 1] * drawings / len(angle)
        angle = np.fft.irfft(np.concatenate([wave, np.zeros((drawings // 2 + 1 - len(wave), 2))]), drawings, axis=0)
    thigh = angle[:, 0] - 90.0
    return np.stack([thigh, thigh - angle[:, 1]], axis=-1)


def walk(angle):
    parts = np.array(LENGTHS) * np.exp(1j * np.radians(angle))
    z = 150.0 + 160.0j + np.concatenate([np.zeros((len(parts), 1)), np.cumsum(parts, axis=-1)], axis=-1)
    return Action((Limb("leg", ("hip", "knee", "ankle"), LENGTHS, STOPS, np.stack([z.real, z.imag], axis=-1)),), "a walk")


def lag(action):
    """Drawings of 24 by which the shank turns after the thigh."""
    leg = action.limbs[0]
    return float(overlap.lag(Measures(leg.drawings, leg.lengths, leg.stops))[0])


def rules_broken(action):
    return {finding.rule for finding in check(action).findings}


@pytest.mark.parametrize("drawings", [20, 24])
def test_a_walk_passes_and_backwards_its_shank_turns_before_its_thigh(drawings):
    """The thigh swings the shank along; a film of a walk that runs backwards shows a leg that no hip could swing."""
    for boy in range(BOYS):
        angle = directions(boy, drawings, HARMONICS)
        assert check(walk(angle)).passed
        assert rules_broken(walk(angle[::-1])) == {"overlap"}


def forwards_through_the_middle(angle):
    """Where in the stride each part, on its way forwards, is half way between its extremes, turns, (2,)."""
    above = angle > (angle.max(axis=0) + angle.min(axis=0)) / 2.0
    return (above & ~np.roll(above, 1, axis=0)).argmax(axis=0) / len(angle)


def test_the_shank_swings_through_after_the_thigh_in_every_boy():
    """By the curve itself, sampled finely: what the rule of overlap says by phases."""
    for boy in range(BOYS):
        thigh, shank = forwards_through_the_middle(directions(boy, 480, HARMONICS))
        assert 0.05 < (shank - thigh) % 1.0 < 0.30
        assert lag(walk(directions(boy, 24, HARMONICS))) == pytest.approx(24 * ((shank - thigh) % 1.0), abs=2.0)


def test_the_readings_themselves_are_told_alike_both_ways_but_for_what_has_a_direction():
    """Whole degrees and a stride that does not quite close leave drawings out of place; these are so in either direction."""
    forwards, backwards = [], []
    for boy in range(BOYS):
        action, reverse = walk(directions(boy)), walk(directions(boy)[::-1])
        assert lag(action) == pytest.approx(-lag(reverse), abs=1e-9)
        forwards.append(rules_broken(action))
        backwards.append(rules_broken(reverse))
    assert not any("overlap" in rules for rules in forwards)
    assert all("overlap" in rules for rules in backwards)
    for rule in ("length", "link-up", "stops"):
        assert [rule in rules for rules in forwards] == [rule in rules for rules in backwards]
    assert sum("spacing" in rules for rules in forwards) == sum("spacing" in rules for rules in backwards)


def test_the_readings_do_not_close_and_the_rules_find_it_where_they_do_not():
    """Of the mean of all boys, in which whole degrees even out: half way between two readings, the parabola through the three
    before and that through the three after tell the hip's angle most unlike at the seam. By numpy alone."""
    mean = RECORDED.mean(axis=1)
    one, two, three, five, four = (np.roll(mean[:, 0], by) for by in (1, 2, 3, -2, -1))
    unlike = np.abs(15 * one - 10 * two + 3 * three - (15 * mean[:, 0] - 10 * four + 3 * five)) / 8
    assert 0 == unlike.argmax()
    thigh = mean[:, 0] - 90.0
    verdict = check(walk(np.stack([thigh, thigh - mean[:, 1]], axis=-1)))
    assert not verdict.passed
    for finding in verdict.findings:
        assert set(finding.drawings) <= {1, len(mean)}, finding.says
