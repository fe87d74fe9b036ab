"""The ferry landing: model actions, and the same with one fault each.

On the landing a deckhand waves the boat in. A lantern swings on its hook, a
buoy rides the swell, a pennant flies, a rope hangs between two posts. All of it is
invented, to show and to practise on.
"""

from dataclasses import replace

import numpy as np

from ..geometry.limb import angles, pose
from ..geometry.timing import even, minimum_jerk, slow_in_out
from ..model.action import Action, Limb
from ..rules import RULES
from ..rules.rule import LIMBS

ARM = ("shoulder", "elbow", "wrist", "fingertips")
ARM_LENGTHS = (58.4, 53.1, 34.1)            # mm
ARM_STOPS = ((-45.0, 170.0), (0.0, 140.0), (-80.0, 80.0))  # degrees
TITLE = "wave the boat in"
APART = 88.0  # mm between the two shoulders: neither arm lies over the face


def wave(drawings=16, swing=34.0, middle=72.0, elbow=30.0, elbow_middle=44.0, elbow_lag=4.0, drag=24.0,
         hand_lag=1.0, hover=0.25, size=1.0, other_side=False, exposure=2, name="arm"):
    """The deckhand's looping arm.

    Parameters
    ----------
    drawings : int
    swing, middle : float
        The upper arm swings so far either side of this angle on the paper, degrees.
    elbow, elbow_middle : float
        The elbow opens and closes so far either side of this bend, degrees.
    elbow_lag : float
        How much later than the upper arm the elbow bends, drawings of a 24-drawing loop.
    drag : float
        How far the hand trails at full swing, degrees.
    hand_lag : float
        How much later than the swing of the wrist the hand trails, drawings of a 24-drawing loop.
    hover : float
        How much the arm slows into its high point, from 0 to 0.6.
    size : float
        1 for an arm of 146 mm.
    other_side : bool
        The other arm, as in a mirror.
    exposure : int
    name : str

    Returns
    -------
    Action
    """
    fine = 24 * 16
    turn = np.arange(fine) / fine
    phase = 2 * np.pi * turn + hover * (np.cos(2 * np.pi * turn) - 1.0)   # slowest at the high point
    upper = middle + swing * np.sin(phase)
    fore = upper + elbow_middle + elbow * np.sin(phase - elbow_lag * np.pi / 12)
    root = np.stack([124 + 4.0 * np.cos(phase - 0.6), 48 + 2.5 * np.sin(phase - 0.3)], axis=-1)
    size_lengths = size * np.array(ARM_LENGTHS)
    points = pose(root, size_lengths[:2], np.stack([upper, fore], axis=-1))
    hand = fore - drag * _swing_of(points, hand_lag / 24)
    points = pose(root, size_lengths, np.stack([upper, fore, hand], axis=-1))
    at = np.arange(drawings) / drawings * fine
    points = _between(points, at)
    # Between two fine samples a chord is a hair short of its arc: put the lengths back.
    points = pose(points[:, 0], size_lengths, angles(points))
    made = Action((Limb(name, ARM, size_lengths, ARM_STOPS, points.round(3)),), TITLE, exposure=exposure)
    return made.mirrored() if other_side else made


def _swing_of(points, lag):
    """The wrist's speed across the forearm over one loop, -1 to 1, smooth, `lag` turns later."""
    z = points[..., 0] + 1j * points[..., 1]
    speed = np.roll(z[:, 2], -1) - np.roll(z[:, 2], 1)
    across = (np.conj(z[:, 2] - z[:, 1]) * speed).imag
    wave = np.fft.rfft(across)
    wave[3:] = 0.0                            # a hand is lazy: it follows the swing, not each wobble
    wave *= np.exp(-2j * np.pi * lag * np.arange(len(wave)))
    smooth = np.fft.irfft(wave, len(across))
    return smooth / np.abs(smooth).max()


def _between(points, at):
    low = at.astype(int)
    part = (at - low)[:, None, None]
    return points[low % len(points)] * (1 - part) + points[(low + 1) % len(points)] * part


def loose_wave(**sliders):
    """A loose arm: its elbow breaks a little past straight where the elbow joint turns back."""
    return wave(**{"elbow": 36.0, "elbow_middle": 30.0, "elbow_lag": 1.2, **sliders})


def two_arms(drawings=16, late=0.5, far=1.0, **sliders):
    """Both arms, the second `late` turns of the loop behind the first: half a turn is opposition. The far one is drawn at
    `far` of the size of the near one."""
    one = wave(drawings, name="near arm", **sliders)
    points = one.limbs[0].drawings
    out = (one.paper[0] + APART) / 2 - points[:, 0, 0].mean()
    one = one.redrawn((points + [out, 0.0]).round(3))
    other = one.mirrored().limbs[0]
    root = other.drawings[:, :1]
    behind = np.roll((root + far * (other.drawings - root)).round(3), round(late * drawings), axis=0)
    far_arm = Limb("far arm", other.joints, far * other.lengths, other.stops, behind)
    return Action((one.limbs[0], far_arm), "both arms wave the boat in")


def buoy(drawings=12, rise=60.0, slow=1.0, exposure=2):
    """The buoy: one joint that rides the swell, slow at the top and at the bottom.

    `slow` 0 spaces it evenly, as nothing on the water is; 1 by slow in and slow out along its path; above 1 it hangs
    longer still at the top and at the bottom.
    """
    turn = 2 * np.arange(drawings) / drawings       # half turns
    half, time = np.divmod(turn, 1.0)
    slower, quicker = (slow_in_out, even) if slow <= 1 else (minimum_jerk, slow_in_out)
    part = slow if slow <= 1 else slow - 1
    share = (half + (1 - part) * quicker(time) + part * slower(time)) / 2
    fine = np.linspace(0.0, 2 * np.pi, 721)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(_swell(fine, rise), axis=0).T))])
    phase = np.interp(share * gone[-1], gone, fine)
    return Action((Limb("buoy", ("buoy",), (), (), _swell(phase, rise)[:, None].round(3)),), "the buoy rides the swell",
                  exposure=exposure)


def _swell(phase, rise):
    return np.stack([148.5 + 9.0 * rise / 22.0 * np.sin(phase), 80 - rise * np.cos(phase)], axis=-1)


def lantern(drawings=16, swing=38.0):
    """The lantern on its hook: one part that swings on an arc."""
    phase = 2 * np.pi * np.arange(drawings) / drawings
    angle = -90 + swing * np.cos(phase)
    root = np.broadcast_to([148.5, 160.0], (drawings, 2))
    points = pose(root, [90.0], angle[:, None])
    return Action((Limb("lantern", ("hook", "lantern"), (90.0,), ((-170.0, -10.0),), points.round(3)),),
                  "the lantern swings")


# ---- one fault each -----------------------------------------------------------------


def poses(action):
    """Root, lengths and angles without jumps of the first limb."""
    limb = action.limbs[0]
    return limb.drawings[:, 0], limb.lengths, np.degrees(np.unwrap(np.radians(angles(limb.drawings)), axis=0))


def redrawn(action, root, parts, angle):
    return action.redrawn(pose(root, parts, angle).round(3), *(limb.drawings for limb in action.limbs[1:]))


def _steps(angle, k):
    """Step of the bend of segment k into each drawing, degrees."""
    bend = angle[:, k] - angle[:, k - 1]
    return (bend - np.roll(bend, 1) + 180) % 360 - 180


def _opening_most(angle):
    """The drawing, from 0, into which the elbow opens most: towards straight."""
    bend = angle[:, 1] - angle[:, 0]
    return int(np.argmax(-_steps(angle, 1) * np.sign(bend)))


def longer(action, segment=2, by=0.13, drawing=None):
    """One part too long in one drawing; what hangs below is shifted along."""
    d = action.count * 2 // 3 if drawing is None else drawing - 1
    root, parts, angle = poses(action)
    parts = np.tile(parts, (action.count, 1))
    parts[d, segment] *= 1 + by
    return redrawn(action, root, parts, angle)


def traced_twice(action, part=1.0, drawing=None):
    """The elbow at the angle it had in the drawing before: it locks. With `part` above 1 it goes back."""
    root, parts, angle = poses(action)
    d = _opening_most(angle) if drawing is None else drawing - 1
    angle = angle.copy()
    angle[d, 1:] -= part * _steps(angle, 1)[d]
    return redrawn(action, root, parts, angle)


def broken_backwards(action, by=16.0, drawing=None):
    """The elbow past its stop in full swing."""
    root, parts, angle = poses(action)
    limb = action.limbs[0]
    z = limb.drawings[:, 1]
    speed = np.hypot(*(np.roll(z, -1, axis=0) - np.roll(z, 1, axis=0)).T)
    bend = np.where(speed > 0.6 * speed.max(), np.abs(angle[:, 1] - angle[:, 0]), np.inf)
    d = int(np.argmin(bend)) if drawing is None else drawing - 1
    low, high = limb.stops[1]
    target = low - by if abs(low) < abs(high) else high + by
    angle = angle.copy()
    angle[d, 1:] += target - (angle[d, 1] - angle[d, 0])
    return redrawn(action, root, parts, angle)


def folded(action, by=14.0, drawing=None):
    """The wrist past its stop."""
    root, parts, angle = poses(action)
    limb = action.limbs[0]
    bend = angle[:, 2] - angle[:, 1]
    d = int(np.argmax(np.abs(bend))) if drawing is None else drawing - 1   # it trails most in mid-swing
    low, high = limb.stops[2]
    angle = angle.copy()
    angle[d, 2] = angle[d, 1] + (high + by if bend[d] > 0 else low - by)
    return redrawn(action, root, parts, angle)


def scooped(action, by=22.0, drawing=None):
    """The hand ahead of the forearm in mid-swing."""
    root, parts, angle = poses(action)
    bend = angle[:, 2] - angle[:, 1]
    d = int(np.argmax(np.abs(bend))) if drawing is None else drawing - 1   # it trails most in mid-swing
    angle = angle.copy()
    angle[d, 2] = angle[d, 1] - np.sign(bend[d]) * by
    return redrawn(action, root, parts, angle)


def off_arc(action, by=0.7, joint=3, drawing=None):
    """One joint beside its path, by that part of the local spacing; what hangs below is shifted along."""
    points = action.limbs[0].drawings.copy()
    z = points[..., joint, 0] + 1j * points[..., joint, 1]
    chord = np.roll(z, -1) - np.roll(z, 1)
    # Where the part that ends in the joint lies along the path, moving it across leaves its length alone.
    part = z - (points[..., joint - 1, 0] + 1j * points[..., joint - 1, 1])
    lies = np.abs((part * chord.conj()).real) / np.abs(part)
    d = int(np.argmax(lies)) if drawing is None else drawing - 1
    shift = 1j * by * chord[d] / 2
    points[d, joint:] += [shift.real, shift.imag]
    return action.redrawn(points.round(3), *(limb.drawings for limb in action.limbs[1:]))


def hanging_back(action, by=0.75, drawing=None):
    """One whole drawing too early in the movement: it hangs back, the next one has to catch up."""
    d = _fastest(action) if drawing is None else drawing - 1
    before = (d - 1) % action.count
    root, parts, angle = poses(action)
    root, angle = root.copy(), angle.copy()
    root[d] += by * (root[before] - root[d])
    angle[d] += by * ((angle[before] - angle[d] + 180) % 360 - 180)
    return redrawn(action, root, parts, angle)


def _fastest(action):
    z = action.limbs[0].drawings[:, -1]
    return int(np.argmax(np.hypot(*(np.roll(z, -1, axis=0) - np.roll(z, 1, axis=0)).T)))


def even_gaps(action):
    """The same path with all gaps of the end joint alike: mechanical."""
    parts = action.limbs[0].lengths
    fine = np.linspace(0, 1, 40 * action.count + 1)
    roots_at, angles_at = _in_time(action)
    tip = pose(roots_at(fine), parts, angles_at(fine))[:, -1]
    gone = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(tip, axis=0).T))])
    at = np.interp(np.arange(action.count) / action.count * gone[-1], gone, fine)
    return redrawn(action, roots_at(at), parts, angles_at(at))


def _in_time(action):
    """Root and angles of the first limb at any time, in turns of the loop."""
    from scipy.interpolate import CubicSpline
    root, _, angle = poses(action)
    closed = np.concatenate([angle, angle[:1] + 360 * np.round((angle[-1:] - angle[:1]) / 360)])
    turn = np.linspace(0, 1, action.count + 1)
    roots_at = CubicSpline(turn, np.concatenate([root, root[:1]]), bc_type="periodic")
    return (roots_at, CubicSpline(turn, closed, bc_type="periodic")) if angle.size else (roots_at, lambda at: angle)


def lingering(action, by=0.8):
    """The same path, slow in mid-swing and quick round the turns: `by` of its pace is taken from the middle."""
    root, parts, angle = poses(action)
    turn = np.arange(action.count) / action.count
    swing = angle[:, 0] if angle.size else root[:, 1]
    middle = np.angle(np.exp(-2j * np.pi * turn) @ swing) + np.pi / 2     # when it is in the middle, on its way up
    at = turn - by / (4 * np.pi) * np.sin(2 * (2 * np.pi * turn + middle))
    roots_at, angles_at = _in_time(action)
    return redrawn(action, roots_at(at % 1), parts, angles_at(at % 1))


def held(action, frames=7, drawing=None):
    """One drawing in full swing held for so many frames."""
    d = _fastest(action) if drawing is None else drawing - 1
    exposures = action.exposures.tolist()
    exposures[d] = frames
    return action.replace(exposure=tuple(exposures))


def stalled(action, copies=2, drawing=None):
    """One drawing in full swing traced on so many more, after which the swing goes on: a stack of so many drawings more."""
    d = _fastest(action) if drawing is None else drawing - 1
    limbs = tuple(replace(limb, drawings=np.insert(limb.drawings, d + 1, [limb.drawings[d]] * copies, axis=0)) for limb in action.limbs)
    exposure = np.insert(action.exposures, d + 1, [action.exposures[d]] * copies)
    return action.replace(limbs=limbs, exposure=tuple(exposure.tolist()))


def breathing(action, segment=2, by=0.035):
    """One part longer and shorter by that share over the loop, in no drawing enough to be seen there."""
    root, parts, angle = poses(action)
    parts = np.tile(parts, (action.count, 1))
    parts[:, segment] *= 1 + by * np.sin(2 * np.pi * np.arange(action.count) / action.count)
    return redrawn(action, root, parts, angle)


def stick(drawings=16, **sliders):
    """An arm whose joints hardly bend, as a stick that gives a little."""
    return wave(drawings, **{"elbow": 5.5, "elbow_lag": 6.0, "drag": 6.0, **sliders})


def far_apart(drawings=8, **sliders):
    """A wide wave in few drawings: from one to the next the hand goes nearly as far as the arm is long."""
    return wave(drawings, **{"swing": 52.0, "hover": 0.0, **sliders})


def off_sheet(action, up=40.0):
    """The action so far up that it leaves the sheet."""
    return action.redrawn(*(limb.drawings + [0.0, up] for limb in action.limbs))


def all_together(drawings=16, **sliders):
    """Elbow and hand turn with the upper arm: nothing overlaps."""
    return wave(drawings, **{"elbow_lag": 0.0, **sliders})


def not_linked(action, by=1.2):
    """Each drawing a little further round, and the first pays for all."""
    root, parts, angle = poses(action)
    step = np.abs(_steps(np.stack([0 * angle[:, 0], angle[:, 0]], axis=-1), 1)).mean()
    drift = np.linspace(-0.5, 0.5, action.count) * by * 2 * step
    return redrawn(action, root, parts, angle + drift[:, None])


DEMOS = {
    "wave": wave,
    "wave-other-side": lambda: wave(other_side=True),
    "wave-loose": loose_wave,
    "two-arms": two_arms,
    "buoy": buoy,
    "lantern": lantern,
    "hand-grows": lambda: longer(wave()),
    "forearm-shrinks": lambda: longer(wave(), 1, -0.12, 6),
    "hand-breathes": lambda: breathing(wave()),
    "fingertips-off-arc": lambda: off_arc(wave(), -0.45, drawing=9),
    "drawing-hangs-back": lambda: hanging_back(wave()),
    "gaps-alike": lambda: even_gaps(wave()),
    "lingers-in-mid-swing": lambda: lingering(wave()),
    "held-in-full-swing": lambda: held(wave()),
    "traced-in-full-swing": lambda: stalled(wave(14)),
    "elbow-locks": lambda: traced_twice(wave()),
    "elbow-closes": lambda: traced_twice(wave(), 1.5),
    "elbow-breaks-backwards": lambda: broken_backwards(wave()),
    "wrist-folds-too-far": lambda: folded(wave()),
    "hand-scoops": lambda: scooped(wave()),
    "all-together": all_together,
    "no-link-up": lambda: not_linked(wave()),
    "arms-together": lambda: two_arms(late=0.0),
    "small-far-arm-together": lambda: two_arms(late=0.0, far=0.7),
    "like-a-stick": stick,
    "gaps-too-wide": far_apart,
    "off-the-sheet": lambda: off_sheet(wave()),
}
ADVISED = {  # no fault, and a word that is in what is advised
    "like-a-stick": "stick", "gaps-too-wide": "between", "off-the-sheet": "sheet",
}
FAULTS = {  # the rule under which each is found
    "hand-grows": "length", "forearm-shrinks": "length", "fingertips-off-arc": "arc",
    "drawing-hangs-back": "spacing", "gaps-alike": "spacing", "lingers-in-mid-swing": "spacing",
    "held-in-full-swing": "spacing", "traced-in-full-swing": "spacing", "hand-breathes": "length", "elbow-locks": "opening",
    "elbow-closes": "opening", "elbow-breaks-backwards": "stops", "wrist-folds-too-far": "stops",
    "hand-scoops": "drag", "all-together": "overlap", "no-link-up": "link-up", "arms-together": "opposition",
    "small-far-arm-together": "opposition",
}
ONE_ARM_FAULTS = tuple(name for name, rule in FAULTS.items() if RULES[rule].scope != LIMBS)
