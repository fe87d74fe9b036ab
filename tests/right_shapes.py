"""Right movements along a shape, for the trial of the rules: circle, figure of eight, an arm along one, whole turns.

Each is a function of a random generator and gives an Action.
"""

import numpy as np
import waves
from limb_makes import FINE, LEAST_LAG, TRIES, Make, NoneFound, make, on_sheet, placed, plainly


def _pace(rng, most=0.8):
    """Time on a closed path: even, or eased once or twice a round."""
    by, often, turn = rng.uniform(0, most), rng.integers(1, 3), rng.uniform(0, 2 * np.pi)
    return lambda t: t + by / often * np.sin(2 * np.pi * often * np.asarray(t) + turn) / (2 * np.pi)


def _single(rng, path, most):
    size = np.exp(rng.uniform(np.log(0.4), np.log(2.0)))
    n, pace = waves.number(rng), _pace(rng, most)
    z = size * rng.uniform(25, 60) * np.exp(2j * np.pi * rng.random()) * path(pace(np.arange(n) / n + rng.random()))
    buoy = make(rng, "buoy")
    return on_sheet([("buoy", buoy, z[:, None])], plainly(rng), title="buoy")


def circle(rng):
    """One joint on a circle or an ellipse, either way round, at an even pace or an eased one."""
    flat, way = rng.uniform(0.5, 1), rng.choice([-1, 1])
    return _single(rng, lambda t: np.cos(2 * np.pi * t) + 1j * flat * way * np.sin(2 * np.pi * t), 0.5)


def _eight(rng):
    high = rng.uniform(0.25, 0.6)
    return lambda t: np.cos(2 * np.pi * t) + 1j * high * np.sin(4 * np.pi * t)


def eight(rng):
    return _single(rng, _eight(rng), 0.4)


def reaching(rng):
    """A two-part arm whose end goes along a figure of eight: law of cosines for the elbow."""
    for _ in range(TRIES):
        size = np.exp(rng.uniform(np.log(0.4), np.log(2.0)))
        one, two = size * np.array([70, 65]) * rng.uniform(0.85, 1.15, 2)
        pace, path, way = _pace(rng, 0.4), _eight(rng), rng.choice([-1, 1])
        middle = (one + two) * rng.uniform(0.6, 0.8) * np.exp(1j * rng.uniform(-1.5, 1.0))
        tip = (one + two) * rng.uniform(0.08, 0.22) * np.exp(2j * np.pi * rng.random())
        n = waves.number(rng, 12)

        def z(t):
            end = middle + tip * path(way * pace(t))
            far = np.abs(end)
            inside = np.degrees(np.arccos((one**2 + far**2 - two**2) / (2 * one * far)))
            bend = 180 - np.degrees(np.arccos((one**2 + two**2 - far**2) / (2 * one * two)))
            upper = np.degrees(np.angle(end)) - inside
            return np.stack([upper, upper + bend], -1)

        with np.errstate(invalid="ignore"):
            angle = z(np.arange(FINE) / FINE)
        bend = angle[:, 1] - angle[:, 0]
        if np.isnan(angle).any() or bend.min() < 3 or bend.max() > 145:
            continue
        if np.abs(angle[:, 0]).max() > 145 or np.ptp(angle, axis=0).max() > 150:
            continue
        first = np.exp(-2j * np.pi * np.arange(FINE) / FINE) @ angle / FINE * 2
        late = np.angle(first[0] * first[1].conj()) / (2 * np.pi)
        if np.abs(first).min() < 3 or not LEAST_LAG < late < 0.45:      # the forearm turns later
            continue
        made = Make("two-part arm", np.array([one, two]), None, None, np.zeros(2),
                    np.array([[-150.0, 150.0], [-2.0, 150.0]]), 0.0, int(rng.choice([-1, 1])), 0)
        at = z(np.arange(n) / n + rng.random())
        return on_sheet([(made.name, made, placed(np.zeros(n), at, made.lengths))], plainly(rng), title=made.name)
    raise NoneFound("no reach")


def whole_turns(rng):
    """A windmill's arm: whole turns at an even or an eased pace; what hangs from it is bent back, the same all the way round
    where the pace is even."""
    parts, way = rng.integers(1, 4), rng.choice([-1, 1])
    n, pace = waves.number(rng, 12), _pace(rng, 0.3)
    size = np.exp(rng.uniform(np.log(0.4), np.log(1.6)))
    lengths = size * np.array([60, 40, 30])[:parts]
    lag = np.concatenate([[0], np.cumsum(rng.uniform(0.03, 0.1, parts - 1))])
    t = np.arange(n)[:, None] / n + rng.random() - lag
    made = Make("windmill", lengths, None, None, lag, np.array([[-360.0, 360.0], *[[-80.0, 80.0]] * (parts - 1)]), 0.0,
                int(rng.choice([-1, 1])), 0)
    return on_sheet([("windmill", made, placed(np.zeros(n), way * 360 * pace(t), lengths))], plainly(rng), title="windmill")


SHAPES = {"circle": circle, "figure of eight": eight, "arm along an eight": reaching, "whole turns": whole_turns}
