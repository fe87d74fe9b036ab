"""Faults of the size that an eye sees, for the trial of the rules: in one drawing, in two or three, and in none alone.

Each is put into a sound movement of `limb_makes` in full swing; nothing here asks the rules. The sizes are our own: what shows
when the stack is flipped (common practice, no source).
"""

from dataclasses import dataclass

import numpy as np
import waves
from limb_makes import FINE, TRIES, NoneFound, make, on_sheet, placed, sound

from anim_lessons import Action, Limb

FULL = 0.7          # of the fastest of the loop: from here on a drawing is in full swing
MAKES = ("three-part arm",) * 5 + ("two-part arm", "tail", "wing")
EARLY = 0.35        # of a gap: a drawing that is early or late by less is not seen
SHIFT = 3.0         # mm: what is out of its place by less is not seen
LEAST_LOCK = 4.0    # degrees that a joint goes on in a drawing, below which nobody sees it locked
LEAST_PART = 25.0   # mm: of a shorter part nobody sees 4 % or some degrees
SIZES = 0.8, 1.6    # times the lengths of the makes


@dataclass
class Loop:
    """A sound movement, its drawings as root and angles.

    Attributes
    ----------
    made, wave : Make, Wave
    start : float
        Turns at drawing 1.
    """

    made: object
    wave: object
    start: float
    exposure: int = 2

    @property
    def n(self):
        return self.wave.drawings

    @property
    def times(self):
        return np.arange(self.n) / self.n + self.start

    def pose(self, times):
        """Roots, complex mm, (drawings,); angles, degrees, and lengths, mm, (drawings, parts)."""
        angle = self.made.angles(self.wave.at, times)
        return self.made.roots(self.wave.at, times), angle, np.tile(self.made.lengths, (len(times), 1))

    def z(self, times=None):
        return placed(*self.pose(self.times if times is None else times))

    def action(self, z):
        """Drawings as an Action, on the sheet where the sound ones lie, so that a fault moves nothing else."""
        made = self.made
        clean = on_sheet([(made.name, made, self.z())], self.exposure)
        shift = clean.limbs[0].drawings[0] - _on_paper(made, self.z())[0]
        limb = Limb(made.name, made.joints, made.lengths, made.sided_stops(), _on_paper(made, z) + shift[0])
        return Action((limb,), exposure=self.exposure, paper=clean.paper, title=made.name)

    def pace(self, joint=-1):
        """Speed of a joint at each drawing, a share of its fastest."""
        fine = np.abs(np.gradient(self.z(np.arange(FINE) / FINE)[:, joint])).max()
        step = np.abs(self.z(self.times + 1 / FINE)[:, joint] - self.z(self.times - 1 / FINE)[:, joint]) / 2
        return step / fine

    def in_swing(self):
        """Drawings, from 0, in full swing."""
        return np.flatnonzero(self.pace() > FULL)

    def at_seam(self, rng):
        """The same with one of the drawings in full swing as the last or the first; its number from 0."""
        d, at = rng.choice(self.in_swing()), rng.choice([0, self.n - 1])
        return Loop(self.made, self.wave, self.start + (d - at) / self.n, self.exposure), int(at)


def _on_paper(made, z):
    z = -z.conj() if made.side < 0 else z
    return np.stack([z.real, z.imag], axis=-1)


def sound_loop(rng, names=MAKES, temper=None, least=12, most=32, course=waves.smooth):
    """A sound loop of 12 to 32 drawings, on twos, with a drawing in full swing."""
    name = rng.choice(names)
    for _ in range(TRIES):
        wave = course(rng)
        wave.drawings = int(rng.integers(least, most + 1))
        made = make(rng, name, temper or rng.choice(["plain", "plain", "exaggerated"]), rng.uniform(*SIZES))
        loop = Loop(made, wave, rng.random())
        if sound(made, wave.at) and len(loop.in_swing()):
            return loop
    raise NoneFound("no sound loop")


# ---- one drawing: each changes a pose (roots, angles, lengths) at drawing d in place; False where it cannot be put there


def _length(share):
    def fault(loop, pose, d, rng):
        seen = np.flatnonzero(pose[2][d] >= LEAST_PART)
        if not len(seen):
            return False
        k = rng.choice(seen)
        pose[2][d, k] *= 1 + rng.choice([-1, 1]) * share
        return True
    return fault


def shifted(loop, pose, d, rng):
    pose[0][d] += SHIFT * np.exp(2j * np.pi * rng.random())
    return True


def _turned(part, by):
    """A part turned; what hangs from it is shifted along and traced, so that it keeps its own angle on the paper."""
    def fault(loop, pose, d, rng):
        if part >= pose[1].shape[1] or pose[2][d, part] < LEAST_PART:
            return False
        near = loop.made.angles(loop.wave.at, loop.times[d] + np.array([-0.5, 0.5]) / loop.n)[:, part]
        if by < EARLY * abs(near[1] - near[0]):     # in a very wide swing it is but a small piece of a gap
            return False
        pose[1][d, part] += rng.choice([-1, 1]) * by
        return True
    return fault


def early_or_late(loop, pose, d, rng):
    moved = loop.pose(loop.times[d:d + 1] + rng.choice([-1, 1]) * EARLY / loop.n)
    if np.abs(placed(*moved)[0] - placed(*pose)[d]).max() < SHIFT:      # where the loop is slow it is but a small way
        return False
    pose[0][d], pose[1][d] = moved[0][0], moved[1][0]
    return True


def lock(loop, pose, d, rng):
    """The bend of the second part as in the drawing before it, and all that hangs from it along."""
    bend = np.diff(loop.pose(loop.times)[1][:, :2], axis=-1)[:, 0]
    step = bend - np.roll(bend, 1)
    if abs(step[d]) < max(LEAST_LOCK, FULL * np.abs(step).max()):
        return False
    pose[1][d, 1:] -= step[d]
    return True


def leads(loop, pose, d, rng):
    """The last part ahead of the joint that carries it by 15 degrees, in mid-swing; not of a two-part arm, which has no
    hand."""
    if loop.made.straight:
        return False
    before, after = (loop.z(loop.times + by / FINE) for by in (-1, 1))
    along = np.exp(1j * np.radians(pose[1][:, -2]))
    across = (along.conj() * (after - before)[:, -2]).imag
    if abs(across[d]) < FULL * np.abs(across).max():
        return False
    pose[1][d, -1] = pose[1][d, -2] + np.sign(across[d]) * 15.0
    return True


ONE = {
    "a part 4 % too long or short": _length(0.04), "a part 3 % too long or short": _length(0.03),
    "sheet shifted 3 mm": shifted,
    "upper arm turned 6°": _turned(0, 6), "forearm turned 9°": _turned(1, 9), "hand turned 12°": _turned(2, 12),
    "whole drawing 0.35 of a gap early or late": early_or_late,
    "elbow traced twice": lock, "hand leads by 15°": leads,
}
FAINT = {"a part 3 % too long or short"}        # seen where attention rests on it, and by itself


def one_drawing(kind, rng, seam=False):
    """A Loop, its drawings with that fault, and the numbers of the drawings at fault, from 1."""
    for _ in range(TRIES):
        loop = sound_loop(rng)
        if seam:
            loop, d = loop.at_seam(rng)
        else:
            d = int(rng.choice(loop.in_swing()))
        pose = loop.pose(loop.times)
        if ONE[kind](loop, pose, d, rng):
            return loop, placed(*pose), {d + 1}
    raise NoneFound(kind)


def several(rng, number, apart):
    """The same with `number` faults, each `apart` drawings after the one before; the first in full swing."""
    kinds = [kind for kind in ONE if kind not in FAINT]
    for _ in range(TRIES):
        loop = sound_loop(rng)
        d = int(rng.choice(loop.in_swing()))
        at = [(d + i * apart) % loop.n for i in range(number)]
        pose = loop.pose(loop.times)
        if all(ONE[rng.choice(kinds)](loop, pose, place, rng) for place in at):
            return loop, placed(*pose), {place + 1 for place in at}
    raise NoneFound("several")


# ---- what no single drawing shows: each gives an Action ----------------------------------


def _lingers(strength):
    """Slow in the middle of the swing, quick round the turns."""
    def fault(rng):
        loop = sound_loop(rng, least=16, course=waves.cosine)
        # The wave is at its middle at a quarter and three quarters: there the time goes slowest.
        times = loop.times + strength / (4 * np.pi) * np.sin(4 * np.pi * loop.times)
        return loop.action(loop.z(times))
    return fault


def stiff_stick(rng):
    """All parts of an arm one line, with hardly a bend and no lag."""
    loop = sound_loop(rng, ("two-part arm", "three-part arm"))
    root, angle, lengths = loop.pose(loop.times)
    little = rng.uniform(0, 0.02, angle.shape[1] - 1) * loop.made.swing[0]      # either side: below 0.1 of the swing in all
    angle = angle[:, :1] + np.concatenate([[0.0], np.full(len(little), 8.0)])
    angle[:, 1:] += little * loop.wave.at(loop.times)[:, None]
    return loop.action(placed(root, angle, lengths))


def stutter(rng):
    """Over five drawings in full swing the middle ones go back: by a whole gap at the worst."""
    loop = sound_loop(rng, least=20)
    d = rng.choice(loop.in_swing())
    back = np.zeros(loop.n)
    for s, by in zip(range(-2, 3), (0.4, 0.8, 1.0, 0.8, 0.4)):
        back[(d + s) % loop.n] = by
    return loop.action(loop.z(loop.times - back * 1.0 / loop.n))


def off_arc(rng):
    """The whole figure off its arc over five drawings, 15 mm at most."""
    loop = sound_loop(rng, least=20)
    d, way = rng.choice(loop.in_swing()), np.exp(2j * np.pi * rng.random())
    z = loop.z()
    for s, by in zip(range(-2, 3), (0.5, 0.85, 1.0, 0.85, 0.5)):
        z[(d + s) % loop.n] += 15.0 * by * way
    return loop.action(z)


def late_root(rng):
    """The root goes along with the tip, and six drawings of 24 after it: the limb drags the body along."""
    loop = sound_loop(rng, ("three-part arm",))
    _, angle, lengths = loop.pose(loop.times)
    hung = lambda times: placed(np.zeros(loop.n), *loop.pose(times)[1:])[:, -1]  # noqa: E731
    tip, late = hung(loop.times), hung(loop.times - 0.25)
    axis = np.sqrt((np.diff(tip) ** 2).sum())
    axis /= abs(axis)
    on = (late * axis.conjugate()).real
    root = rng.uniform(8, 14) * axis * (2 * (on - on.min()) / np.ptp(on) - 1)
    return loop.action(placed(root, angle, lengths))


def held_by_exposure(rng):
    """A drawing in full swing exposed five, all others on twos."""
    loop = sound_loop(rng)
    exposure = np.full(loop.n, 2)
    exposure[rng.choice(loop.in_swing())] = 5
    return loop.action(loop.z()).replace(exposure=tuple(int(e) for e in exposure))


def held_by_tracing(rng):
    """A drawing in full swing traced twice more, and the swing goes on after it."""
    loop = sound_loop(rng, most=28)
    d, z = rng.choice(loop.in_swing()), loop.z()
    return loop.action(np.insert(z, d, [z[d], z[d]], axis=0))


def breathing(rng):
    """Every part grows and shrinks by 3 % once a loop."""
    loop = sound_loop(rng)
    root, angle, lengths = loop.pose(loop.times)
    return loop.action(placed(root, angle, lengths * (1 + 0.03 * np.sin(2 * np.pi * (loop.times + rng.random())))[:, None]))


def unlike_arms(rng):
    """Far arm drawn at three quarters, a quarter turn from the near one where half a turn belongs."""
    loop = sound_loop(rng, ("three-part arm", "two-part arm"))
    near = on_sheet([("near arm", loop.made, loop.z())], 2)
    far = on_sheet([("far arm", loop.made, loop.z(loop.times + rng.choice([-1, 1]) * 0.25))], 2).limbs[0]
    root = near.limbs[0].drawings[:, :1]
    smaller = Limb("far arm", far.joints, 0.75 * far.lengths, far.stops, root + 0.75 * (far.drawings - far.drawings[:, :1]))
    return Action((near.limbs[0], smaller), exposure=2, paper=near.paper, title=loop.made.name)


def off_sheet(rng):
    """The tip leaves the paper for a part of the loop by 20 mm or more."""
    loop = sound_loop(rng)
    action = loop.action(loop.z())
    tip = action.limbs[0].drawings[:, -1]
    way = rng.integers(2)
    over = action.paper[way] + rng.uniform(20, 50) - tip[:, way].max()
    return action.redrawn(action.limbs[0].drawings + np.eye(2)[way] * over)


def strobing(rng):
    """Few drawings of a wide swing: a gap of the tip is as wide as the limb is long."""
    for _ in range(TRIES):
        loop = sound_loop(rng, ("three-part arm", "two-part arm"), "exaggerated", 6, 9)
        z = loop.z()
        if np.abs(np.roll(z[:, -1], -1) - z[:, -1]).max() > loop.made.lengths.sum():
            return loop.action(z)
    raise NoneFound("strobing")


WHOLE = {
    "lingers in mid-swing, 0.4": _lingers(0.4), "lingers in mid-swing, 0.6": _lingers(0.6),
    "stiff as a stick": stiff_stick, "stutters over five drawings": stutter,
    "whole figure off its arc over five drawings": off_arc, "root after its limb": late_root,
    "held in full swing, exposed five": held_by_exposure, "held in full swing, traced": held_by_tracing,
    "lengths breathe": breathing, "arms of unlike size, a quarter turn apart": unlike_arms,
    "off the sheet": off_sheet, "strobing": strobing,
}
