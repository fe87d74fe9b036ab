"""Limbs for the trial of the rules: lengths, stops and swings of eight makes, and where their joints lie at any time.

Shares no code with anim_lessons. The angle of a part is its middle and its swing times the wave, so many turns later than
that of the part which carries it; how it comes to lie on the sheet is geometry.
"""

from dataclasses import dataclass
from math import ceil

import numpy as np

from anim_lessons import Action, Limb

FINE = 480
LEAST_LAG = 0.027   # turns by which each part comes later; 0.65 drawings of 24
MAKES = ("buoy", "lantern", "two-part arm", "three-part arm", "tail", "wing", "wing of three", "leg")
TEMPERS = {"shy": (6, 12), "plain": (15, 40), "exaggerated": (60, 80)}     # degrees either side of the middle
MARGIN = 12.0   # mm between a limb and the edge of the sheet
TRIES = 3000
SLOW = 0.6      # of the gaps before and after: a tip that goes on by less has slowed down
PACE = 0.25     # of the widest gap: a tip that goes on by less, as in a moving hold, is not yet on its way


@dataclass
class Make:
    """One limb: its parts, how far each swings, and how late.

    Attributes
    ----------
    name : str
    lengths, middle, swing, lag : ndarrays, shape (parts,)
        mm, degrees, degrees either side, turns.
    stops : ndarray, shape (parts, 2)
        Degrees.
    straight : float
        Bend of the last part at which it neither trails nor leads, degrees.
    side : int
        1, or -1 for the mirror image.
    root : complex
        How far the root goes either side, mm.
    bow : float
        How deep the path of a single joint is bowed, a share of its half.
    """

    name: str
    lengths: np.ndarray
    middle: np.ndarray
    swing: np.ndarray
    lag: np.ndarray
    stops: np.ndarray
    straight: float
    side: int
    root: complex
    bow: float = 0.0

    @property
    def joints(self):
        if self.name in ("two-part arm", "three-part arm"):
            return ("shoulder", "elbow", "wrist", "fingertips")[:len(self.lengths) + 1]
        if self.name == "leg":
            return "hip", "knee", "ankle", "toes"
        return tuple(f"joint {k}" for k in range(len(self.lengths) + 1))

    def angles(self, wave, t):
        """Of each part at times t, on the paper, degrees, (times, parts)."""
        return self.middle + self.swing * wave(np.asarray(t)[:, None] - self.lag)

    def roots(self, wave, t):
        """Of the root at times t, complex mm."""
        s = wave(np.asarray(t))
        return self.root * (s + 1j * self.bow * s**2)

    def z(self, wave, t):
        """All joints, complex mm, (times, joints)."""
        return placed(self.roots(wave, t), self.angles(wave, t), self.lengths)

    def sided_stops(self):
        """Stops as the model sheet has them, of the mirror image where that is drawn."""
        if self.side > 0 or not len(self.stops):
            return self.stops
        mirrored = -self.stops[:, ::-1]
        mirrored[0] += 180.0 if np.ptp(mirrored[0]) < 720 else 0.0
        mirrored[0] -= 360.0 * (mirrored[0, 1] > 360)
        return mirrored


def placed(root, angle, lengths):
    """Joints of a chain, complex mm, (times, joints): roots (times,), angles in degrees and lengths (times, parts)."""
    parts = lengths * np.exp(1j * np.radians(angle))
    return np.concatenate([root[:, None], root[:, None] + np.cumsum(parts, axis=-1)], axis=-1)


def make(rng, name, temper=None, size=None):
    """A limb of that make; its middles may put it past its stops, which `sound` tells."""
    low, high = TEMPERS[temper or rng.choice(["shy", "plain", "plain", "exaggerated"])]
    size = size or np.exp(rng.uniform(np.log(0.4), np.log(2.0)))
    swing = rng.uniform(low, high)
    side = int(rng.choice([-1, 1]))
    root = size * rng.uniform(0, 6) * np.exp(2j * np.pi * rng.random()) * (rng.random() < 0.6)
    if name == "buoy":
        way = size * rng.uniform(0.5, 2) * swing * np.exp(1j * np.radians(rng.uniform(-40, 40)))
        return Make(name, np.zeros(0), np.zeros(0), np.zeros(0), np.zeros(0), np.zeros((0, 2)), 0.0, side, way,
                    rng.uniform(-0.6, 0.6))
    if name == "lantern":
        return Make(name, size * rng.uniform(40, 90, 1), np.array([rng.uniform(-100, -80)]), np.array([swing]), np.zeros(1),
                    np.array([[-179.0, 1.0]]), 0.0, side, root)
    parts = {"two-part arm": 2, "three-part arm": 3, "wing": 2, "wing of three": 3, "leg": 3}.get(name) or rng.integers(3, 11)
    late = rng.uniform(0.05, 0.16, parts - 1) if parts < 4 else rng.uniform(LEAST_LAG, max(0.55 / parts, 0.03), parts - 1)
    lag = np.concatenate([[0.0], np.cumsum(late)])
    if name.startswith("wing"):
        lengths = size * np.array([50, 55, 40])[:parts] * rng.uniform(0.85, 1.15, parts)
        middle = rng.uniform(-5, 25) + np.concatenate([[0], np.cumsum(rng.uniform(-12, 2, parts - 1))])
        middle[-1] = middle[-2]
        swings = swing * np.cumprod([0.8, *rng.uniform(0.9, 1.2, parts - 1)])
        return Make(name, lengths, middle, swings, lag, np.array([[-100.0, 110.0], *[[-95.0, 95.0]] * (parts - 1)]), 0.0,
                    side, root)
    if name == "tail":
        lengths = size * rng.uniform(18, 30) * np.linspace(1, rng.uniform(0.6, 1.0), parts)
        middle = rng.uniform(-160, 160) + np.concatenate([[0], np.cumsum(rng.uniform(-9, 9) * np.ones(parts - 1))])
        middle[-1] = middle[-2]
        swings = swing * np.linspace(0.7, rng.uniform(0.8, 1.3), parts)
        return Make(name, lengths, middle, swings, lag, np.array([[-360.0, 360.0], *[[-90.0, 90.0]] * (parts - 1)]), 0.0,
                    side, root)
    swings = swing * np.concatenate([[1.0], rng.uniform(0.8, 1.5, parts - 1)])
    # By so much the second part bends either way; it must not come past straight.
    wave = np.abs(swings[1] * np.exp(-2j * np.pi * lag[1]) - swings[0])
    bend = rng.uniform(1.05, 1.5) * wave + rng.uniform(4, 25)
    if name == "leg":
        lengths = size * np.array([62, 60, 26]) * rng.uniform(0.9, 1.1, 3)
        hip, foot = rng.uniform(-95, -75), rng.uniform(80, 100)
        return Make(name, lengths, np.array([hip, hip - bend, hip - bend + foot]), swings, lag,
                    np.array([[-200.0, 30.0], [-150.0, 2.0], [foot - 45.0, foot + 45.0]]), foot, side, root)
    lengths = size * np.array([58, 53, 34])[:parts] * rng.uniform(0.85, 1.15, parts)
    upper = rng.uniform(-60, 60)
    middle = np.array([upper, upper + bend, upper + bend])[:parts]
    stops = np.array([[-150.0, 150.0], [-2.0, 150.0], [-88.0, 88.0]])[:parts]
    return Make(name, lengths, middle, swings, lag, stops, bend if parts == 2 else 0.0, side, root)


def whole_lags(made, drawings):
    """Lags of whole drawings, for a movement that is made of whole drawings."""
    late = np.maximum(1, np.round(np.diff(made.lag) * drawings)).astype(int)
    made.lag = np.concatenate([[0.0], np.cumsum(late)])[:len(made.lag)] / drawings
    return made


def sound(made, wave, t=None, uneven=1.6):
    """True where the movement, sampled finely, is one that an instructor would pass: within the stops, the last part behind
    the joint that carries it in mid-swing, gaps of the tip uneven, the lag of the tip below two thirds of a turn."""
    looping = t is None
    t = np.arange(FINE) / FINE if looping else t
    angle, z = made.angles(wave, t), made.z(wave, t)
    parts = len(made.lengths)
    if parts:
        bend = np.concatenate([angle[:, :1], np.diff(angle, axis=-1)], axis=-1)
        if (bend < made.stops[:, 0] + 1).any() or (bend > made.stops[:, 1] - 1).any() or made.lag[-1] > 0.65:
            return False
    around = (lambda a: np.roll(a, -1) - np.roll(a, 1)) if looping else (lambda a: np.gradient(a))
    if parts > 1:
        before = np.exp(1j * np.radians(angle[:, -2]))
        across = (np.conj(before) * around(z[:, -2])).imag
        lean = bend[:, -1] - made.straight
        strong = np.abs(across) > 0.4 * np.abs(across).max()
        if (np.sign(across) * lean)[strong].max() > 3.0:
            return False
    gap = np.sort(np.abs(around(z[:, -1])))
    return not looping or gap[int(0.9 * FINE)] > uneven * gap[int(0.1 * FINE)]


def hitched(z):
    """True where the tip of a loop slows down besides at its two extremes, as where the swings of its parts are
    against each other for a moment. z complex mm, (drawings, joints)."""
    pace = np.abs(np.roll(z[:, -1], -1) - z[:, -1])
    pace = np.roll(pace, -np.argmax(pace))
    high, low, slowing, stops = pace[0], pace[0], False, 0
    for gap in np.append(pace[1:], pace[0]):
        if slowing:
            low = min(low, gap)
            if gap * SLOW > low and gap > PACE * pace[0]:
                high, slowing, stops = gap, False, stops + 1
        else:
            high = max(high, gap)
            if gap < SLOW * high:
                low, slowing = gap, True
    return stops > 2


class NoneFound(Exception):
    """No movement of that kind was found; the generator's own bounds are too narrow."""


def on_sheet(limbs, exposure=2, loop=True, title=""):
    """An Action of limbs (name, Make, z), z complex mm, (drawings, joints): in the middle of a sheet that holds them."""
    if limbs[0][1].side < 0:
        limbs = [(name, made, -z.conj()) for name, made, z in limbs]
    every = np.concatenate([z.ravel() for _, _, z in limbs])
    low = complex(every.real.min(), every.imag.min())
    wide, high = (np.ptp(part) + 2 * MARGIN for part in (every.real, every.imag))
    paper = max(297.0, ceil(wide)), max(210.0, ceil(high))
    shift = complex((paper[0] - wide) / 2 + MARGIN, (paper[1] - high) / 2 + MARGIN) - low
    drawn = [Limb(name, made.joints, made.lengths, made.sided_stops(), np.stack([(z + shift).real, (z + shift).imag], -1))
             for name, made, z in limbs]
    return Action(drawn, exposure=exposure if isinstance(exposure, int) else tuple(int(e) for e in exposure),
                  loop=loop, paper=paper, title=title)


def plainly(rng):
    return int(rng.choice([1, 2, 2, 2, 3]))
