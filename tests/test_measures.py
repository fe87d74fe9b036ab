"""Measures against Lagrange's interpolation as scipy has it, numpy's Fourier transform, and sums done in the head."""
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loops import FAULTS, action, loop
from scipy.interpolate import BarycentricInterpolator, lagrange

from anim_lessons import check
from anim_lessons.ferry.actions import DEMOS
from anim_lessons.geometry.angles import unwrapped, wrapped
from anim_lessons.judging.judge import kept
from anim_lessons.measures.loops import Measures
from anim_lessons.measures.neighbours import neighbours

exposures = st.lists(st.integers(1, 4), min_size=8, max_size=20)


def dots(places, loop=True, frames=None):
    """Measures of a single joint at these places, complex mm."""
    places = np.asarray(places, complex)
    return Measures(np.stack([places.real, places.imag], axis=-1)[:, None], (), (), frames, loop)


# ---- neighbours -------------------------------------------------------------------------


def test_where_all_are_exposed_alike_the_weights_are_minus_1_4_4_minus_1_sixths():
    for frames in (1, 2, 3):
        residual = neighbours((frames,) * 9, True).residual
        expected = np.zeros(9)
        expected[[2, 3, 4, 5, 6]] = np.array([1, -4, 6, -4, 1]) / 6
        assert expected == pytest.approx(residual[4])
        assert np.roll(expected, -4) == pytest.approx(residual[0])     # round the seam


@settings(max_examples=60, deadline=None)
@given(exposures, st.booleans(), st.data())
def test_what_neighbours_let_expect_is_what_scipy_interpolates(frames, loops, data):
    """Reference: scipy.interpolate.BarycentricInterpolator, another form of the same polynomial."""
    n = len(frames)
    stack = neighbours(tuple(frames), loops)
    i = data.draw(st.integers(*((0, n - 1) if loops else (1, n - 2))))
    values = np.random.default_rng(n).normal(0, 50, n)

    # Times by the frame, a hold longer than twice the usual exposure cut to it; three turns of them, to step over the seam.
    gap = np.minimum(frames, 2 * np.median(frames))
    when = np.concatenate([[0], np.cumsum(np.tile(gap, 3))])[:-1]
    if loops:
        four = n + i + np.array([-2, -1, 1, 2])
    else:
        first = min(max(i - 2, 0), n - 5)
        four = np.array([j for j in range(first, first + 5) if j != i])
    asked = BarycentricInterpolator(when[four], values[four % n])(when[n + i if loops else i])

    assert values[i] - float(asked) == pytest.approx((stack.residual @ values)[i], abs=1e-8)


@settings(max_examples=40, deadline=None)
@given(exposures, st.data())
def test_half_way_to_the_drawing_before_is_what_scipy_interpolates(frames, data):
    """Reference: scipy.interpolate.lagrange."""
    n = len(frames)
    i = data.draw(st.integers(0, n - 1))
    values = np.random.default_rng(n).normal(0, 50, n)
    gap = np.minimum(frames, 2 * np.median(frames))
    when = np.concatenate([[0], np.cumsum(np.tile(gap, 3))])[:-1]
    four = n + i + np.array([-2, -1, 0, 1])
    # Times about the middle, for scipy's lagrange expands powers and loses digits far from 0.
    middle = (when[n + i] + when[n + i - 1]) / 2
    asked = lagrange(when[four] - middle, values[four % n])(0.0)

    assert asked == pytest.approx((neighbours(tuple(frames), True).half_way @ values)[i], abs=1e-7)


@settings(max_examples=40, deadline=None)
@given(exposures, st.lists(st.floats(-3, 3), min_size=4, max_size=4))
def test_a_cubic_in_time_leaves_nothing_over(frames, powers):
    gap = np.minimum(frames, 2 * np.median(frames))
    time = np.concatenate([[0], np.cumsum(gap)])[:-1] / gap.sum()
    path = np.polynomial.polynomial.polyval(time, powers) * (10 + 3j)

    assert np.zeros(len(frames)) == pytest.approx(np.abs(dots(path, False, frames).residual[:, 0]), abs=1e-8)
    assert np.zeros(len(frames)) == pytest.approx(np.abs(dots(path, False, frames).outlier[:, 0]), abs=1e-8)


@pytest.mark.parametrize("loops, number", [(True, 1), (True, 5), (True, 12), (False, 2), (False, 5), (False, 11)])
@pytest.mark.parametrize("frames", [None, (2, 2, 1, 2, 3, 2, 2, 1, 1, 2, 2, 4)])
def test_one_drawing_out_of_place_stands_out_by_as_much_as_it_was_moved(loops, number, frames):
    path = np.zeros(12, complex)
    path[number - 1] = 3 + 4j
    m = dots(path, loops, frames)

    assert 3 + 4j == pytest.approx(complex(m.outlier[number - 1, 0]))
    assert 3 + 4j == pytest.approx(complex(m.residual[number - 1, 0]))
    # It is the largest among those beside it, and the only one.
    assert [number - 1] == [d for d in range(12) if m.peak[d, 0] and abs(m.outlier[d, 0]) > 4]


def test_what_leaks_to_its_neighbours():
    path = np.zeros(12, complex)
    path[5] = 6.0
    left = dots(path).residual[:, 0].real

    # 6 itself, two thirds of it the other way beside it, a sixth of it two away.
    assert [0, 0, 0, 1, -4, 6, -4, 1, 0, 0, 0, 0] == pytest.approx(left.tolist())


def test_where_nothing_loops_the_first_and_the_last_have_nothing_to_go_by():
    m = dots(np.arange(10) ** 4 + 0j, loop=False)
    assert 0 == m.residual[0, 0] == m.residual[-1, 0] == m.outlier[0, 0] == m.outlier[-1, 0] == m.step[0, 0]


def test_a_line_that_starts_again_leaves_its_jump_at_the_seam():
    # 0, 10, 20 ... 110 and back to 0: a step of -110 where 10 is due, a jump of 120.
    left = dots(10.0 * np.arange(12)).residual[:, 0].real

    # The neighbours of 1 put it at (-p₋₂ + 4p₋₁ + 4p₊₁ - p₊₂)/6 = (-100 + 440 + 40 - 20)/6 = 60.
    assert [-60, 20, 0, 0, 0, 0, 0, 0, 0, 0, -20, 60] == pytest.approx(left.tolist())


def test_a_long_hold_counts_as_twice_the_usual():
    assert [2, 4, 2, 2, 2] == neighbours((2, 20, 2, 2, 2), True).frames.tolist()
    assert [0, 2, 6, 8, 10] == pytest.approx((12 * neighbours((2, 20, 2, 2, 2), True).time).tolist())


# ---- steps, bends -------------------------------------------------------------------------


def test_local_spacing_is_the_mean_of_four_steps():
    # Squares: the steps into the drawings are 1, 3, 5, 7 ...; into the first, round the seam, 81 back.
    m = dots(np.arange(10.0) ** 2)
    assert (1 + 3 + 5 + 7) / 4 == pytest.approx(m.spacing[2, 0])      # into 2, 3, 4, 5: those round 3
    assert (81 + 17 + 1 + 3) / 4 == pytest.approx(m.spacing[0, 0])

    m = dots(np.arange(10.0) ** 2, loop=False)
    assert (1 + 3) / 2 == pytest.approx(m.spacing[0, 0])
    assert (15 + 17) / 2 == pytest.approx(m.spacing[9, 0])


def test_a_joint_reverses_where_its_step_changes_sign():
    x = [0, 10, 20, 30, 20, 10, 0, -10]
    assert [4, 8] == (np.flatnonzero(dots(x).reverses[:, 0]) + 1).tolist()
    assert [4] == (np.flatnonzero(dots(x, loop=False).reverses[:, 0]) + 1).tolist()


def test_the_direction_of_a_path_is_told_without_the_drawing_itself():
    path = 10.0 * np.arange(10) + 0j
    path[4] += 40j
    assert 1 == pytest.approx(dots(path, loop=False).along[4, 0])
    assert 40j == pytest.approx(dots(path, loop=False).path_residual[4, 0])     # to the left of the path


def test_bends_of_three_four_five():
    m = Measures(np.array([[(0, 0), (3, 4), (8, 4), (8, -8)]] * 8, float), (5, 5, 12),
                 ((-90, 270), (-90, 90), (-180, 180)))
    angle = np.degrees(np.arctan2(4, 3))

    assert [5, 5, 12] == m.length[0].tolist()
    assert [angle, 0, -90] == pytest.approx(m.angle[0].tolist())
    assert [angle, -angle, -90] == pytest.approx(m.bend[0].tolist())


@pytest.mark.parametrize("degrees, expected", [(0, 0), (180, -180), (181, -179), (-180, -180), (540, -180), (-190, 170)])
def test_wrapped(degrees, expected):
    assert expected == pytest.approx(wrapped(degrees))


@given(st.lists(st.floats(-170, 170), min_size=2, max_size=30))
def test_unwrapped_is_what_numpy_says(steps):
    """Reference: numpy.unwrap, in radians."""
    angle = np.cumsum(steps)
    shut = wrapped(angle)
    expected = np.degrees(np.unwrap(np.radians(shut)))
    assert expected.tolist() == pytest.approx(unwrapped(shut[:, None])[:, 0].tolist(), abs=1e-6)


# ---- the whole loop -----------------------------------------------------------------------


def swinging(count, sizes, late):
    """An arm of parts of 10 mm whose directions are sines, and those directions, degrees."""
    turn = np.arange(count) / count
    directions = np.stack([60 + s * np.sin(2 * np.pi * (turn - by)) + 3 * np.sin(4 * np.pi * turn)
                           for s, by in zip(sizes, late)], axis=-1)
    z = np.cumsum(10 * np.exp(1j * np.radians(directions)), axis=-1)
    z = np.concatenate([np.zeros((count, 1)), z], axis=-1)
    points = np.stack([z.real, z.imag], axis=-1)
    return Measures(points, [10.0] * len(sizes), [(-180, 180)] * len(sizes)), directions


@settings(max_examples=30, deadline=None)
@given(st.integers(8, 40), st.lists(st.floats(5, 60), min_size=2, max_size=4), st.data())
def test_the_first_harmonic_is_numpys(count, sizes, data):
    """Reference: numpy.fft.rfft, whose second term it is, and the sines that went in."""
    late = data.draw(st.lists(st.floats(0, 1), min_size=len(sizes), max_size=len(sizes)))
    m, directions = swinging(count, sizes, late)
    first = np.fft.rfft(directions, axis=0)[1] * 2 / count

    # Few drawings of a wide, quick swing stand out from their neighbours on their own and are put back a little.
    if np.abs(m.stack.outlier @ directions).max() < 8:
        assert np.abs(first - m.angle_harmonic).max() < 1e-6
        assert sizes == pytest.approx(np.abs(m.angle_harmonic).tolist())
        assert [0] * len(late) == pytest.approx(
            wrapped(np.degrees(-np.angle(1j * m.angle_harmonic)) - 360 * np.array(late)).tolist(), abs=1e-6)


def test_sway_is_half_the_width_of_a_circle():
    turn = np.exp(2j * np.pi * np.arange(12) / 12)
    assert [30, -30j] == pytest.approx(dots(30 * turn).place_harmonic[0].tolist())


# ---- many at once -------------------------------------------------------------------------


@pytest.fixture(scope="module")
def batch():
    """Loops of 16 drawings, clean and of every fault, of one arm's lengths and stops."""
    rng = np.random.default_rng(11)
    model = loop(rng, 16)
    points = [model.clean()]
    for name in sorted(FAULTS):
        for _ in range(4):
            it = None
            while it is None:
                it = FAULTS[name][1](model, rng)
                if it is None:
                    model = loop(rng, 16)
            points.append(it[0])
    return model, np.array(points)


def test_a_batch_is_judged_as_its_loops_are_one_by_one(batch):
    model, points = batch
    together = kept(points, model.lengths, model.stops)
    one_by_one = [check(action(model, loop_points)).rules for loop_points in points]

    assert {"length", "arc", "spacing", "opening", "stops", "drag", "overlap", "link-up"} == set(together)
    for name, passed in together.items():
        assert [rules[name].passed for rules in one_by_one] == passed.tolist(), name
        assert 0 < passed.sum() < len(points), name     # otherwise nothing was compared


def test_every_measure_has_the_loops_in_front(batch):
    model, points = batch
    stacked = points[:12].reshape(3, 4, 16, 4, 2)
    together = Measures(stacked, model.lengths, model.stops)
    alone = Measures(stacked[2, 1], model.lengths, model.stops)
    for name in ("segment", "length", "angle", "bend", "step", "distance", "spacing", "residual", "outlier",
                 "unsteady", "unsteady_bend", "along", "path_residual", "peak", "angle_harmonic", "place_harmonic", "reverses"):
        assert getattr(alone, name) == pytest.approx(getattr(together, name)[2, 1], abs=1e-9), name


def test_a_batch_of_what_does_not_loop(batch):
    model, points = batch
    together = kept(points, model.lengths, model.stops, loop=False)
    one_by_one = [check(action(model, loop_points).replace(loop=False)).rules for loop_points in points]
    for name, passed in together.items():
        assert [rules[name].passed for rules in one_by_one] == passed.tolist(), name


def test_the_pencil_is_told_from_one_fault():
    # Jitter of 0.2 mm is felt as about that; one drawing far out of place is not.
    it = DEMOS["wave"]().limbs[0]
    still = np.random.default_rng(2).normal(0, 0.2, it.drawings.shape)
    clean, jittered = it.drawings, it.drawings + still
    out = clean.copy()
    out[5, 2] += 20.0

    def unsteady(drawings):
        return Measures(drawings, it.lengths, it.stops).unsteady.item()
    assert 0.2 == pytest.approx(unsteady(jittered), abs=0.1)
    assert unsteady(out) < 0.35


@pytest.mark.filterwarnings("error")
def test_what_an_unsteady_hand_does_to_a_bend_is_a_number_of_the_shortest_parts_too():
    """Against the square root of the sum of squares, of lengths that may be squared."""
    drawings = np.random.default_rng(4).normal(size=(8, 4, 2))
    stops = [[-180, 180]] * 3
    it = Measures(drawings, np.array([3.0, 4.0, 12.0]), stops)
    near, before = 1 / np.array([3.0, 4.0, 12.0]), np.array([0.0, 1 / 3, 1 / 4])
    assert np.degrees(it.unsteady * np.sqrt(near**2 + before**2 + (near + before) ** 2)) == pytest.approx(it.unsteady_bend)
    assert np.isfinite(Measures(drawings * 1e-200, np.full(3, 1e-200), stops).unsteady_bend).all()
