"""The pace of a whole swing, which no single drawing shows: lingering, a drawing held in full swing, gaps too wide.

What swings is slow at its turns and fastest between them. The share of its time in the inner half of its swing tells
that: a third for a sine, a half where it is even. These are parts of the rule of spacing, which asks them.
Source: common practice, no source. Tolerances chosen by trial.
"""

import numpy as np

from ..geometry.angles import wrapped
from ..model.words import capital, part, plural, run, runs, the, told_apart, verb
from .finding import WHOLE, Finding
from .rule import Tolerance, once

LINGERING = Tolerance("lingering", 0.45, "share of the time in the inner half of a swing", 0.5, 0.41)
HELD = Tolerance("held", 2.0, "times the usual exposure, in full swing", 3.0)
STROBING = Tolerance("strobing", 0.7, "widest gap over length of the limb; advice")
FULL_SWING = 0.6            # of the widest step: a drawing between two such steps is in full swing
SLOWED = 0.5                # of the pace beside it: what is drawn for the time that it is held keeps its pace
ONWARD = 0.5                # cosine of the turn of the path, up to which a joint goes on the same way
FEW = 4                     # drawings: what is traced on more is a hold
LEAST_SWING = 8.0           # degrees, or mm of a single joint: of less nobody tells where it lingers
UNSTEADY = 15.0             # times what an unsteady pencil does to a place in the swing, the same
LEAST_STEP = 4.0            # mm, the widest step below which nothing is in full swing
TO_AND_FRO = 0.25          # of the first harmonic: with more of the second a part does not swing simply to and fro
ASTRAY = 0.08               # of the range of a swing: a drawing that stands out by more would spoil the share
HURRIES = 0.48              # of the range of a swing: the first harmonic of a sine is 0.50 of it, of even spacing 0.41
TURNED = 180.0              # degrees gained in a loop: it goes round and does not swing


# ---- lingering ------------------------------------------------------------------------


def _swing(m):
    """Where the first part, or a single joint, is in its swing, degrees or mm, (..., drawings)."""
    if m.segments:
        return m.angle[..., 0]
    longest = m.longest[..., 0]
    return (m.z[..., 0] * longest.conj()).real / np.maximum(np.abs(longest), 1e-12)


def inner_share(m):
    """Share of its time that the first part, or a single joint along its longest direction, spends in the inner half of
    its swing, (...); a single drawing out of its place has no say."""
    return _inner_share(m, _freed(m, _swing(m)))


def _freed(m, swing):
    """The swing with single drawings out of place put where their neighbours have them."""
    out = np.abs(swing @ m.stack.outlier.T)
    astray = out > ASTRAY * np.ptp(swing, axis=-1)[..., None]
    astray &= (out >= m.stack.earlier(out, -1)) & (out >= m.stack.later(out, -1))
    return swing - np.where(astray, swing @ m.stack.residual.T, 0.0) if astray.any() else swing


def _inner_share(m, swing):
    low, high = swing.min(axis=-1, keepdims=True), swing.max(axis=-1, keepdims=True)
    quarter = (high - low) / 4.0
    inside = np.minimum(np.maximum(swing, low + quarter), high - quarter)
    frames = m.stack.frames
    step = swing - m.stack.earlier(swing, -1)
    # Where it stands, it is inside or not; the hair keeps both numbers of a division apart from 0.
    rests = np.abs(step) < 1e-9
    share = np.where(rests, inside == swing, (inside - m.stack.earlier(inside, -1)) / np.where(rests, 1.0, step))
    return share @ (frames[m.stack.before] / frames.sum())


@once
def lingers(m, brief):
    """True where the first part, or a single joint, lingers in mid-swing and hurries round its turns, (...)."""
    if not m.loop:
        return np.zeros(m.z.shape[:-2], bool)
    swing = _swing(m)
    flags = np.ones(swing.shape[:-1], bool)
    if m.segments:
        # What hurries round its turns has a first harmonic smaller than half of its range.
        size = np.maximum.reduce(swing, axis=-1) - np.minimum.reduce(swing, axis=-1)
        flags = np.asarray(np.abs(m.angle_harmonic[..., 0]) < HURRIES * size)
        if not flags.any():
            return flags
    some = _freed(m, swing[flags])
    unsteady = (m.unsteady_bend[..., 0] if m.segments else m.unsteady[..., 0])[..., 0][flags]
    wide = np.ptp(some, axis=-1) > np.maximum(LEAST_SWING, UNSTEADY * unsteady)
    flags[flags] = wide & (_inner_share(m, some) > brief.tolerance(LINGERING.name)) & _to_and_fro(m, some)
    return flags


def _to_and_fro(m, swing):
    """True where it swings simply to and fro: not round and round, nor as a limb does whose end reaches for a path."""
    net = swing[..., -1] + (wrapped(swing[..., 0] - swing[..., -1]) if m.segments else 0.0) - swing[..., 0]
    first, second = (np.abs(swing @ np.exp(-2j * np.pi * times * m.stack.time)) for times in (1, 2))
    return ((np.abs(net) < TURNED) | (m.segments == 0)) & (second < TO_AND_FRO * first)


def lingering(limb, m, brief, name, turns):
    """The finding; `turns` are the two drawings at which it turns, in words."""
    joint = limb.joints[1 if m.segments else 0]
    what = f"the {part(limb, 0)}" if m.segments else the(joint)
    share, limit = 100.0 * float(inner_share(m)), 100.0 * brief.tolerance(LINGERING.name)
    drawn, most = told_apart(share, limit, 0)
    they, its = ("They spend", "their") if not m.segments and plural(joint) else ("It spends", "its")
    return Finding(
        rule=name, limb=limb.name, joint=joint, drawings=(), measured=share, allowed=limit, unit="%",
        head=f"{capital(what)} {verb('' if m.segments else joint, 'lingers', 'linger')} in mid-swing and "
             f"{verb('' if m.segments else joint, 'hurries', 'hurry')} round the turns.",
        called=f"{capital(what)} {verb('' if m.segments else joint, 'lingers', 'linger')}.",
        amount=f"{they} {drawn} % of the time in the inner half of {its} swing; {most} % is the most, and what swings by "
               "itself spends 33 %.",
        then=f"Close the drawings up {turns}, and open them between.", cells=((WHOLE, 1),),
        shows=f"{drawn} % of the time in mid-swing", looked_for=f"at most {most} %",
        short=f"{what.removeprefix('the ')} lingers in mid-swing",
    )


# ---- held in full swing ---------------------------------------------------------------


def held_at(m, brief):
    """True at a drawing that is held in full swing, (..., drawings)."""
    long = m.stack.held > brief.tolerance(HELD.name)
    if not m.loop:
        long = long & (m.stack.before != np.arange(m.count)) & (m.stack.after != np.arange(m.count))
    wide = in_full_swing(m)
    pace = m.distance[..., -1] / m.stack.exposures[m.stack.before]      # mm a frame
    step, after = m.step[..., -1], m.stack.later(pace, -1)
    slowed = after < SLOWED * (pace + m.stack.later(after, -1)) / 2.0
    return long & wide & m.stack.later(wide, -1) & slowed & _onward(step, m.stack.later(step, -1))


def _onward(into, out):
    """True where a step goes on the way of the one before it."""
    return (into * out.conj()).real > ONWARD * np.abs(into) * np.abs(out)


def in_full_swing(m):
    """True where the end joint's step into a drawing is one of its widest, (..., drawings)."""
    return m.distance[..., -1] > FULL_SWING * np.maximum(m.widest[..., -1], LEAST_STEP)


@once
def held(m, brief):
    """True where some drawing is held in full swing, (...)."""
    if m.stack.longest <= brief.tolerance(HELD.name):
        return np.zeros(m.z.shape[:-2], bool)
    return held_at(m, brief).any(axis=-1)


def holdings(limb, m, brief, name):
    """A finding for each drawing that is held in full swing."""
    return [_held(limb, m, brief, name, int(d)) for d in np.flatnonzero(held_at(m, brief) & m.drawn)]


def _held(limb, m, brief, name, d):
    frames, median = m.stack.exposures, float(np.median(m.stack.exposures))
    usual = int(median)
    before, after = int(frames[m.stack.before[d]]), int(frames[m.stack.after[d]])
    asked = before if before == after else usual
    as_what = "as those beside it" if before == after else "as most are"
    allowed = brief.tolerance(HELD.name) * median
    return Finding(
        rule=name, limb=limb.name, joint=limb.joints[-1], drawings=(d + 1,),
        measured=float(frames[d]), allowed=float(allowed), unit="frames",
        head=f"{d + 1} stands still in full swing.",
        called=f"{d + 1} stands still.", amount=f"It is held for {_frames(frames[d])}, most drawings for {usual}.",
        begin=f"Expose {d + 1} for {_frames(asked)}, {as_what}.", of_exposure=True, cells=((WHOLE, 2),),
        shows=f"held for {_frames(frames[d])}", looked_for=f"at most {allowed:g}",
        short=f"held for {_frames(frames[d])} in full swing",
    )


def _frames(number):
    return f"{int(number)} frame{'' if number == 1 else 's'}"


# ---- traced in full swing -------------------------------------------------------------


@once
def stalls(m):
    """True at drawings traced two or more in a row in full swing: wide steps lead into them and out of them, the same way,
    (..., drawings). One alone is a drawing that hangs back, and told as that."""
    rests = m.rests
    if not rests.any():
        return rests
    rests = rests & (m.stack.earlier(rests, -1) | m.stack.later(rests, -1))
    step, wide = m.step[..., -1], in_full_swing(m)
    earlier, later = m.stack.earlier, m.stack.later
    into, out, came, goes = earlier(step, -1), later(step, -1), earlier(wide, -1), later(wide, -1)
    for _ in range(FEW - 1):    # past the other drawings that stand still
        into, came = (np.where(earlier(rests, -1), earlier(of, -1), of) for of in (into, came))
        out, goes = (np.where(later(rests, -1), later(of, -1), of) for of in (out, goes))
    return rests & came & goes & _onward(into, out)


def stallings(limb, m, name, flags):
    """A finding for each run of drawings traced in full swing; `flags` of `stalls`."""
    return [_stalling(limb, m, name, group) for group in runs(flags & m.drawn, m.loop)]


def _stalling(limb, m, name, group):
    joint, numbers = limb.joints[-1], tuple(d + 1 for d in group)
    first, last = int(m.stack.before[group[0]]), int(m.stack.after[group[-1]])
    into, out = m.distance[first, -1], m.distance[last, -1]
    still = max(float(m.distance[d, -1]) for d in group)
    allowed = FULL_SWING * max(float(m.distance[:, -1].max()), LEAST_STEP)
    on = run(numbers)
    return Finding(
        rule=name, limb=limb.name, joint=joint, drawings=numbers, measured=still, allowed=allowed, unit="mm",
        head=f"{first + 1} stands still in full swing.",
        amount=f"It is traced on {on}: {the(joint)} {verb(joint, 'goes', 'go')} {into:.0f} mm into it and {out:.0f} mm out of it.",
        begin=f"Put {on} between {first + 1} and {last + 1}, or leave {'it' if len(numbers) == 1 else 'them'} out.",
        cells=tuple((d, len(limb.joints) - 1) for d in group), moves=numbers, one_run=True,
        shows=f"{still:.0f} mm in full swing", looked_for="a wide gap", short=f"traced on {on} in full swing",
    )


# ---- gaps too wide --------------------------------------------------------------------


def strobes(limb, m, brief, at_fault=()):
    """Advice where the widest gap of the end joint is so wide that the eye does not join it."""
    if not m.segments or m.stack is None:
        return []
    distance, whole = m.distance[:, -1], sum(m.lengths.tolist())
    most = brief.tolerance(STROBING.name) * whole
    if max(distance.tolist()) <= most:
        return []
    # Where a drawing is at fault, its gaps are not what they will be.
    wide = [d for d in np.argsort(-distance) if distance[d] > most
            and not {d + 1, m.stack.before[d] + 1} & set(at_fault)]
    if not wide:
        return []
    d, joint = int(wide[0]), limb.joints[-1]
    before = int(m.stack.before[d])
    return [f"{capital(the(joint))} {verb(joint, 'goes', 'go')} {distance[d]:.0f} mm from {before + 1} to {d + 1}, and the "
            f"whole {limb.name} is {whole:.0f} mm long: the eye sees two drawings and no swing. Put a drawing between "
            f"{before + 1} and {d + 1}."]
