"""Right movements by kind, for the trial of the rules: nothing right is blamed.

Each kind is a function of a random generator and gives an Action. Shares no code with anim_lessons or tests/loops.py, and
never asks the rules: a movement is taken by what its smooth function does, sampled finely (`limb_makes.sound`). How a swing is
timed, that an extreme is held, that exposures are mixed, that arms oppose each other: common practice, no source.
"""

import numpy as np
import waves
from driven_chains import chain
from limb_makes import FINE, MAKES, TRIES, Make, NoneFound, hitched, make, on_sheet, placed, plainly, sound, whole_lags
from right_shapes import SHAPES


def movement(rng, course, names=MAKES, temper=None, uneven=1.6):
    """A Make and a Wave that are right together; `course` gives a Wave, of the generator."""
    for i in range(TRIES):
        if i % 200 == 0:        # the same limb for a while, so that those which are harder to make come as often
            name = rng.choice(names)
        wave, made = course(rng), make(rng, name, temper)
        if wave.whole:
            whole_lags(made, wave.drawings)
        if sound(made, wave.at, uneven=uneven) and not hitched(made.z(wave.at, np.arange(wave.drawings) / wave.drawings)):
            return made, wave
    raise NoneFound(f"no movement in {TRIES} tries")


def timed(course, temper=None):
    """The kind of that timing, all drawings exposed alike."""
    def kind(rng):
        made, wave = movement(rng, course, temper=temper)
        start = rng.integers(wave.drawings) / wave.drawings if wave.whole else rng.random()
        z = made.z(wave.at, np.arange(wave.drawings) / wave.drawings + start)
        return on_sheet([(made.name, made, z)], plainly(rng), title=made.name)
    return kind


# ---- holds ------------------------------------------------------------------------------


def held(by_exposure=False, drift=False):
    """At an extreme all parts rest, the last ones to come as well: by tracing, by exposure; or they drift on."""
    def kind(rng):
        for _ in range(TRIES):
            made = make(rng, rng.choice(MAKES))
            guess = int(rng.integers(16, 40))
            whole_lags(made, guess)
            late = np.round(made.lag * guess).astype(int)
            if len(late) and late[-1] > 8:
                continue
            wave = waves.rest(rng, late[-1] if len(late) else 0, rng.uniform(0.04, 0.1) if drift else 0.0)
            made.lag = late / wave.drawings
            n = wave.drawings
            if n <= waves.LONGEST and sound(made, wave.at) and not hitched(made.z(wave.at, np.arange(n) / n)):
                break
        else:
            raise NoneFound("no hold")
        on = plainly(rng)
        z = np.roll(made.z(wave.at, np.arange(n) / n), -rng.integers(n), axis=0)
        exposure = np.full(n, on)
        if by_exposure:
            same = np.abs(z - np.roll(z, 1, axis=0)).max(axis=-1) < 1e-6
            z = np.roll(z, -np.flatnonzero(~same)[0], axis=0)       # no run of traced drawings goes over the seam
            first = np.flatnonzero(np.abs(z - np.roll(z, 1, axis=0)).max(axis=-1) >= 1e-6)
            exposure = np.diff([*first, n])
            exposure = np.where(exposure > 1, rng.integers(4, 11), on)
            z = z[first]
            turn = rng.integers(len(z))
            z, exposure = np.roll(z, turn, axis=0), np.roll(exposure, turn)
        return on_sheet([(made.name, made, z)], exposure, title=made.name)
    return kind


# ---- mixed exposures --------------------------------------------------------------------


def _random_12(rng, n, speed):
    return rng.integers(1, 3, n)


def _random_123(rng, n, speed):
    return rng.integers(1, 4, n)


def _first_third(rng, n, speed):
    return np.where(np.arange(n) < n / 3, 1, 2)


def _half(rng, n, speed):
    return np.where(np.arange(n) < n / 2, 1, 2)


def _by_speed(rng, n, speed):
    """Fast ones, slow threes: walked through frame by frame, so that each drawing's own moment tells."""
    frames, at, exposure = 2 * n, 0, []
    while at < frames:
        here = speed(at / frames)
        exposure.append(min(1 if here > 0.6 else 2 if here > 0.35 else 3, frames - at))
        at += exposure[-1]
    return np.array(exposure)


def _one_six(rng, n, speed):
    """One drawing held for six where least moves, else on twos."""
    frames = 2 * (n - 1) + 6
    moved = [sum(speed((d * 2 + f) / frames) for f in range(6)) for d in range(n)]
    exposure = np.full(n, 2)
    exposure[int(np.argmin(moved))] = 6
    return exposure


EXPOSED = {"random ones and twos": _random_12, "random ones, twos, threes": _random_123,
           "first third on ones": _first_third, "half on ones, half on twos": _half,
           "fast on ones, slow on threes": _by_speed, "one drawing held six": _one_six}


def at_true_times(rng, made, wave, exposed, start):
    """Exposures, and moments in turns at which each drawing is first seen; None where one that is held freezes a movement."""
    fine = np.arange(FINE) / FINE
    z = made.z(wave.at, fine + start)
    pace = np.abs(np.roll(z, -1, axis=0) - z).max(axis=-1)
    speed = lambda t: pace[int(t * FINE) % FINE] / pace.max()  # noqa: E731
    exposure = exposed(rng, wave.drawings, speed)
    times = np.concatenate([[0], np.cumsum(exposure)[:-1]]) / exposure.sum()
    if exposed is _one_six:
        step = np.abs(np.diff(made.z(wave.at, np.append(times, 1.0) + start)[:, -1]))
        if step[np.argmax(exposure)] > np.median(step):
            return None
    return exposure, times


def mixed(exposed):
    def kind(rng):
        for _ in range(TRIES):
            made, wave = movement(rng, waves.smooth)
            start = rng.random()
            seen = wave.drawings >= 12 and at_true_times(rng, made, wave, exposed, start)
            if seen and 8 <= len(seen[0]) <= waves.LONGEST:
                return on_sheet([(made.name, made, made.z(wave.at, seen[1] + start))], seen[0], title=made.name)
        raise NoneFound("no exposures")
    return kind


def two_arms(exposed):
    """Near and far arm of one figure, half a turn apart, both at their true times."""
    def kind(rng):
        for _ in range(TRIES):
            made, wave = movement(rng, waves.smooth, ("two-part arm", "three-part arm"))
            start = rng.random()
            seen = wave.drawings >= 12 and at_true_times(rng, made, wave, exposed, start)
            if seen and 8 <= len(seen[0]) <= waves.LONGEST:
                near, far = (made.z(wave.at, seen[1] + start + late) for late in (0, 0.5))
                apart = made.lengths[0] * complex(rng.uniform(-0.2, 0.2), rng.uniform(0, 0.1))
                return on_sheet([("near arm", made, near), ("far arm", made, far + apart)], seen[0], title=made.name)
        raise NoneFound("no arms")
    return kind


def _alike(rng, n, speed):
    return np.full(n, plainly(rng))


# ---- by mechanics -----------------------------------------------------------------------


WIDEST = 0.5    # of the chain: a tip that goes further from drawing to drawing wants more drawings


def mechanical(loose):
    """A chain driven at its first part, as uniform rods with springs and damping move it; no stops but those it reaches."""
    def kind(rng):
        for _ in range(TRIES):
            found = chain(rng, loose)
            if found is None:
                continue
            angle, lengths = found
            n = waves.number(rng, 10)
            times = (np.arange(n) / n + rng.random()) * len(angle)
            drawn = [np.interp(times, np.arange(len(angle)), part, period=len(angle)) for part in angle.T]
            z = placed(np.zeros(n), np.stack(drawn, axis=-1), lengths)
            if np.abs(np.roll(z[:, -1], -1) - z[:, -1]).max() < WIDEST * lengths.sum():
                break
        else:
            raise NoneFound("no chain")
        bend = np.abs(np.diff(angle, axis=-1)).max(axis=0) + 10
        made = Make("chain", lengths, None, None, np.zeros(len(lengths)),
                    np.array([[-270.0, 90.0], *np.stack([-bend, bend], -1)]), 0.0, 1, 0)
        return on_sheet([("chain", made, z)], plainly(rng), title="chain")
    return kind


# ---- not looping ------------------------------------------------------------------------

SHARE = 0.5     # of the time in which a half swing is done, in turns
ONCE = {
    "starts from rest": (lambda t: 2 * waves.min_jerk(t) - 1, 0.0, 0.55),
    "comes to rest": (lambda t: 2 * waves.min_jerk(t) - 1, 0.4, 1.0),
    "there and back": (lambda t: 2 * waves.min_jerk(t / SHARE) - 1 - 2 * waves.min_jerk((t - SHARE) / (1 - SHARE)), 0.0, 1.0),
    "anticipation, then the swing": (lambda t: -0.7 - 0.3 * waves.min_jerk(t / 0.4)
                                     + 2 * waves.min_jerk((t - 0.4) / 0.6), 0.0, 1.0),
}


def once(name):
    """An action with a first and a last drawing; parts that come later are given the time to come."""
    course, begin, end = ONCE[name]

    def kind(rng):
        for _ in range(TRIES):
            made = make(rng, rng.choice(MAKES))
            made.lag = made.lag * rng.uniform(0.5, 1.0)
            stop = end + (made.lag[-1] if len(made.lag) else 0)
            n = waves.number(rng, 10)
            if sound(made, course, np.linspace(begin, stop, FINE)):
                break
        else:
            raise NoneFound(name)
        rests = rng.integers(0, 3, 2)       # traced at the beginning and at the end, where it rests there
        times = np.linspace(begin, stop, n)
        times = np.concatenate([[begin] * (rests[0] if begin == 0 else 0), times, [stop] * (rests[1] if end == 1 else 0)])
        return on_sheet([(made.name, made, made.z(course, times))], plainly(rng), loop=False, title=made.name)
    return kind


KINDS = {
    **{f"timing: {name}": timed(course) for name, course in waves.LOOPING.items()},
    "hold: traced": held(), "hold: by exposure": held(by_exposure=True), "hold: moving": held(drift=True),
    "hold: hovers": timed(waves.hover),
    **{f"exposure: {name}": mixed(exposed) for name, exposed in EXPOSED.items()},
    **{f"shape: {name}": shape for name, shape in SHAPES.items()},
    "two arms: exposed alike": two_arms(_alike),
    **{f"two arms: {name}": two_arms(exposed) for name, exposed in EXPOSED.items()},
    "mechanics: natural chain": mechanical(loose=False), "mechanics: loose chain": mechanical(loose=True),
    **{f"once: {name}": once(name) for name in ONCE},
    "style: shy": timed(waves.smooth, "shy"), "style: exaggerated": timed(waves.smooth, "exaggerated"),
}
# Overlap is a convention of drawn action that bodies do not keep.
UNCOUNTED = {name: {"overlap"} for name in KINDS if name.startswith("mechanics")}


def jittered(action, rng, mm=0.2):
    """The action as an unsteady pencil draws it: `mm` is one standard deviation of each coordinate."""
    return action.redrawn(*(limb.drawings + rng.normal(0, mm, limb.drawings.shape) for limb in action.limbs))
