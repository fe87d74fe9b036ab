"""Arms for two teachers, one of natural and one of loose action: small, usual and large, and faults in them by their own size.

    python -m tests.two_teachers --arms 200 --seed 20261207

prints the tables in Markdown. An arm is made of sines and taken by what they do when sampled finely; neither the rules nor the
other generators have a say. That a loose elbow may come past straight where the joint that carries it turns back, and a natural
one never: common practice, no source.
"""

import argparse
import sys
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from anim_lessons import Action, Brief, Limb, check

TEMPERS = {"shy": (8.0, 14.0), "usual": (20.0, 40.0), "exaggerated": (50.0, 75.0)}     # degrees either side, upper arm
BRIEFS = {"natural": Brief(may_break=False), "loose": Brief(may_break=True)}
STOPS = ((-170.0, 190.0), (0.0, 150.0), (-88.0, 88.0))      # degrees
PAST = 4.5, 7.5     # degrees past straight
LINE = 3.0          # degrees past straight that nobody calls broken
FINE = 960
TRIES = 5000
JOINTS = ("shoulder", "elbow", "wrist", "fingertips")


class Arm:
    """Angles by sines of one wave, each part later than the one that carries it.

    Attributes
    ----------
    n : int
        Drawings.
    lengths : ndarray, shape (3,)
        mm.
    """

    def __init__(self, rng, temper, loose):
        self.n = int(rng.integers(12, 17 if loose else 25))      # a break lasts a drawing or two, and is lost among more
        self.lengths = rng.uniform(0.8, 1.5) * np.array([60.0, 52.0, 33.0]) * rng.uniform(0.9, 1.1, 3)
        self.swing = rng.uniform(*TEMPERS[temper])
        self.middle, self.start = rng.uniform(20.0, 100.0), rng.random()
        self.slow = rng.uniform(0.0, 0.25)      # how much longer it stays at one of its turns
        # A loose elbow is straightest as the upper arm turns, a natural one some drawings later.
        self.elbow_late = rng.uniform(0.05, 0.08) if loose else rng.uniform(0.06, 0.22)
        self.elbow = (rng.uniform(1.0, 1.4) if loose else rng.uniform(0.7, 1.1)) * self.swing
        self.straightest = -rng.uniform(*PAST) if loose else rng.uniform(3.0, 30.0)
        self.hand_late = rng.uniform(0.04, 0.09)    # turns behind the forearm
        self.lean = rng.uniform(-3.0, 3.0)

    def phase(self, times):
        x = 2 * np.pi * (np.asarray(times) + self.start)
        return x + self.slow * np.cos(x)

    def angles(self, times):
        """Of the parts on the paper, degrees, (times, 3)."""
        upper = self.middle + self.swing * np.sin(self.phase(times))
        fore = self._fore(times)
        hand = self._fore(np.asarray(times) - self.hand_late) + self.lean
        return np.stack([upper, fore, hand], axis=-1)

    def _fore(self, times):
        upper = self.middle + self.swing * np.sin(self.phase(times))
        bend = self.straightest + self.elbow * (1.0 + np.sin(self.phase(np.asarray(times) - self.elbow_late)))
        return upper + bend

    @property
    def times(self):
        return np.arange(self.n) / self.n

    def sound(self, loose):
        """True where a teacher of that kind of action would pass it, by what it does at FINE moments."""
        times = np.arange(FINE) / FINE
        angle = self.angles(times)
        bend = np.diff(angle, axis=-1)
        if bend[:, 0].max() > 147.0 or np.abs(bend[:, 1]).max() > 85.0:
            return False
        first = np.exp(-2j * np.pi * times) @ angle
        if (np.angle(first[:-1] * first[1:].conj()) / (2 * np.pi)).min() < 0.6 / 24:
            return False
        z = placed(self.lengths, angle)
        across = (np.conj(np.diff(z)[:, 1]) * (np.roll(z[:, 2], -1) - np.roll(z[:, 2], 1))).imag
        strong = np.abs(across) > 0.45 * np.abs(across).max()
        if (np.sign(across) * bend[:, 1])[strong].max() > 2.0:
            return False
        if not loose:
            return bend[:, 0].min() > 1.0
        # Past straight for a drawing or two, the one at which the upper arm is furthest out or one beside it.
        drawn = self.angles(self.times)
        past = np.flatnonzero(drawn[:, 1] - drawn[:, 0] < -LINE)
        apart = np.abs(past[:, None] - [drawn[:, 0].argmin(), drawn[:, 0].argmax()])
        seen = (drawn[:, 1] - drawn[:, 0]).min() < -LINE - 1.0
        return seen and np.minimum(apart, self.n - apart).min(axis=1).max() <= 1

    def action(self, angle=None, lengths=None):
        z = placed(self.lengths if lengths is None else lengths, self.angles(self.times) if angle is None else angle)
        points = np.stack([z.real + 300.0, z.imag + 200.0], axis=-1)
        return Action((Limb("arm", JOINTS, self.lengths, STOPS, points),), paper=(600.0, 500.0))


def placed(lengths, angle):
    parts = lengths * np.exp(1j * np.radians(angle))
    return np.concatenate([np.zeros((len(parts), 1)), np.cumsum(parts, axis=-1)], axis=-1)


def arm(rng, temper, loose=False):
    for _ in range(TRIES):
        made = Arm(rng, temper, loose)
        if made.sound(loose):
            return made
    raise AssertionError(f"no {temper} arm, loose: {loose}")


# ---- faults by the arm's own size: each gives an Action and the number of its drawing -----------------


def in_swing(made, rng):
    """A drawing, from 0, before and after which the tip goes far."""
    tip = placed(made.lengths, made.angles(made.times))[:, 3]
    step = np.minimum(np.abs(tip - np.roll(tip, 1)), np.abs(np.roll(tip, -1) - tip))
    return int(rng.choice(np.flatnonzero(step > 0.7 * step.max())))


def late(made, rng):
    """A drawing half a gap early or late."""
    d, angle = in_swing(made, rng), made.angles(made.times)
    angle[d] = made.angles(made.times[d:d + 1] + rng.choice([-0.5, 0.5]) / made.n)[0]
    return made.action(angle), d + 1


def turned(k):
    """A part turned by half of what it goes from drawing to drawing at its quickest, what hangs on it traced along."""
    def fault(made, rng):
        d, angle = in_swing(made, rng), made.angles(made.times)
        angle[d, k:] += rng.choice([-0.5, 0.5]) * np.abs(np.diff(angle[:, k])).max()
        return made.action(angle), d + 1
    return fault


def locked(made, rng):
    """The elbow at the bend it had before, where it goes on most."""
    angle = made.angles(made.times)
    step = np.diff(angle[:, 1] - angle[:, 0], prepend=angle[-1, 1] - angle[-1, 0])
    d = int(np.abs(step).argmax())
    angle[d, 1:] -= step[d]
    return made.action(angle), d + 1


def leads(made, rng):
    """The hand as far ahead of the forearm as it trails at most."""
    angle = made.angles(made.times)
    bend = angle[:, 2] - angle[:, 1]
    d = int(np.abs(bend).argmax())
    angle[d, 2] = angle[d, 1] - bend[d]
    return made.action(angle), d + 1


def too_long(made, rng):
    """A part 5 % too long or too short."""
    d, k = in_swing(made, rng), rng.integers(3)
    lengths = np.tile(made.lengths, (made.n, 1))
    lengths[d, k] *= 1.0 + rng.choice([-0.05, 0.05])
    return made.action(lengths=lengths), d + 1


FAULTS = {"half a gap early or late": late, "upper arm by half of its step": turned(0), "forearm by half of its step": turned(1),
          "elbow traced twice": locked, "hand leads by what it trails": leads, "a part 5 % too long or short": too_long}


def size_of(action, sound, number):
    """How far the fault moves a joint at most, mm."""
    return float(np.hypot(*(action.limbs[0].drawings - sound.limbs[0].drawings)[number - 1].T).max())


# ---- tables ----------------------------------------------------------------------------------------------


def blamed(temper, loose, number, seed):
    """Of that many right arms, how many each teacher finds fault with, a dict; and the rules, a Counter."""
    rng, wrong, rules = np.random.default_rng([seed, *temper.encode(), loose]), Counter(), Counter()
    for _ in range(number):
        action = arm(rng, temper, loose).action()
        for name, brief in BRIEFS.items():
            found = {finding.rule for finding in check(action, brief).findings}
            wrong[name] += bool(found)
            rules.update((name, rule) for rule in found)
    return wrong, rules


def found(kind, temper, number, seed, least=0.0):
    """Of that many natural arms with a fault that moves some joint by `least` mm or more: how many each teacher finds it in, at its
    drawing."""
    rng, seen = np.random.default_rng([seed, *kind.encode(), *temper.encode()]), Counter()
    for _ in range(number):
        while True:
            made = arm(rng, temper)
            action, at = FAULTS[kind](made, rng)
            if size_of(action, made.action(), at) >= least:
                break
        for name, brief in BRIEFS.items():
            seen[name] += any(at in cause.drawings for cause in check(action, brief).causes)
    return seen


def tables(number, seed):
    lines = ["| right arms | of | natural teacher blames | loose teacher blames |", "|---|---|---|---|"]
    for loose in (False, True):
        for temper in TEMPERS:
            wrong, rules = blamed(temper, loose, number, seed)
            cells = [f"{wrong[name] / number:.1%} {', '.join(rule for who, rule in rules if who == name)}" for name in BRIEFS]
            lines.append(f"| {'loose' if loose else 'natural'}, {temper} | {number} | {' | '.join(cells)} |")
    lines += ["", "| fault, by the arm's own size | " + " | ".join(f"{temper}: natural; loose" for temper in TEMPERS) + " |",
              "|---|" + "---|" * len(TEMPERS)]
    for kind in FAULTS:
        cells = [found(kind, temper, number, seed, 3.0) for temper in TEMPERS]
        lines.append(f"| {kind} | " + " | ".join("; ".join(f"{cell[name] / number:.0%}" for name in BRIEFS) for cell in cells) + " |")
    return lines


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description="What two teachers say of small and large arms, in Markdown.")
    asked.add_argument("--arms", type=int, default=200)
    asked.add_argument("--seed", type=int, default=20261207)
    given = asked.parse_args()
    print("\n".join(tables(given.arms, given.seed)))
