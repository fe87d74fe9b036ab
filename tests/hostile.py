"""Actions that a file may hold and nobody draws: names of every kind, joints in one place, paper of every shape."""

import numpy as np

from anim_lessons import Action, Limb
from anim_lessons.model.action import Step

LONG = "the shoulder of the deckhand who waves the boat in, "
NAMES = ("\u202egnol", "a\0b\x01c\nd\x7fe\x85f\u2028g\tq\ufffe", "אבגד " * 9, "<script>alert(1)</script>&amp;\"'", "a" + "\u0301" * 60,
         "👩\u200d🚀🧵" * 30, "W" * 500, LONG * 9, "漢字" * 40, "", " ", "$x_1$ =1;@y", "]]>--")


def swinging(drawings, joints, length=20.0, root=(140.0, 90.0)):
    """Positions of a limb that swings, (drawings, joints, 2), mm."""
    time = 2 * np.pi * np.arange(drawings) / drawings
    turn = 0.5 * np.sin(time[:, None] - 0.4 * np.arange(joints - 1))
    parts = length * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    return np.concatenate([np.zeros((drawings, 1, 2)), parts.cumsum(axis=1)], axis=1) + root


def action(*drawings, length=20.0, names=None, limbs=None, **more):
    """An action of these limbs' drawings."""
    made = []
    for number, drawn in enumerate(drawings):
        joints = drawn.shape[1]
        called = [f"joint {j}" for j in range(joints)] if names is None else names[:joints]
        made.append(Limb(limbs[number] if limbs else f"limb {number}", called, [length] * (joints - 1),
                         [[-180, 180]] * (joints - 1), drawn))
    return Action(tuple(made), **more)


def named():
    """Two limbs with every kind of name, a title and a lecture no better, and a fault to be told of."""
    drawn = swinging(12, len(NAMES), 9.0)
    drawn[5, 2] += 9.0, -7.0
    made = action(drawn, drawn + 3.0, length=9.0, names=NAMES, limbs=(LONG * 9, "\u202e\0<b>"), title="".join(NAMES)[:500],
                  by=LONG * 9)
    return made.replace(lecture=[Step(3, made.limbs[0].name, NAMES[6], drawn[2], ("\u202e<script>\0 " + "W" * 60) * 27)])


def shapes():
    """Places and papers at the ends of what a file may hold, by what they are."""
    spot = np.full((6, 4, 2), 50.0)
    meeting = swinging(8, 4)
    meeting[:, 2] = meeting[:, 1]
    far = np.random.default_rng(1).choice([-10_000.0, 10_000.0], (7, 4, 2))
    for loop in (True, False):
        yield f"one place, {loop}", action(spot, loop=loop)
        yield f"joints on their parents, {loop}", action(meeting, loop=loop)
        yield f"tiny, {loop}", action(swinging(8, 4, 0.001), length=0.1, loop=loop)
        yield f"tiny on the model sheet, {loop}", action(swinging(8, 4), length=0.1, loop=loop)
        yield f"far, {loop}", action(far, length=10_000.0, loop=loop)
        yield f"one joint, {loop}", action(swinging(5, 1), loop=loop)
        yield f"two joints in two drawings, {loop}", action(swinging(2, 2), loop=loop)
        for paper in ((1.0, 1.0), (1e4, 1e4), (1e4, 1.0), (1.0, 1e4), (0.1, 0.1)):
            yield f"paper {paper}, {loop}", action(swinging(8, 4), paper=paper, loop=loop)
    arm = Limb("arm", ("shoulder", "elbow", "wrist", "fingertips"), [58, 53, 34], [[-180, 180]] * 3, spot)
    yield "an arm in one place", Action((arm,))
