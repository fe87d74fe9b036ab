"""Weight and springs where the action does not loop: start, stop, settle.

The chain hangs still until the first drawing and is then run through the action in steps of
time, again with steps half as long until the drawings agree. The same equations as `chain`.
"""

from dataclasses import dataclass

import numpy as np

from .asked import STANDARD, run_numbers
from .equations import Drive, forces, residual, rods, still
from .grid import STAGES
from .steps import NoStep, part, step

AGREE = 1e-5  # radians, to which two runs agree that are called right
FINEST = 64  # steps from one sample to the next


@dataclass(frozen=True, eq=False)
class Settling:
    """What a chain does in an action that does not loop.

    Attributes
    ----------
    found : bool
        True: the angles are right to within `error`.
    angles : ndarray, shape (samples, rods), or None
        On the paper, radians, at the samples of the root.
    rest : ndarray, shape (rods,), or None
        The pose in which it hangs still before the action.
    moving : float
        How fast the fastest rod still turns at the last sample, rad/s; not a number where nothing was found.
    error : float
        rad.
    says : str
    """

    found: bool
    angles: np.ndarray
    rest: np.ndarray
    moving: float
    error: float
    says: str


def run_from_rest(root, lengths, duration, mass, stiffness, damping, rest, gravity=STANDARD, *, parent=None, air=0.0,
                  wind=(0.0, 0.0), stops=None, stop_stiffness=None, stop_damping=None, centre=0.5, inertia=None):
    """A chain that hangs still and is then carried through an action that does not loop.

    Parameters
    ----------
    root : array-like, shape (samples, 2)
        Places of the joint, m, evenly in time from the first moment to the last; 6 or more. It
        starts from a stand.
    duration : float
        s, from the first sample to the last. Stops of the default stiffness swing 4 times in it.
    parent : array-like, shape (samples,), or None
        rad.

    The rest as for `chain.settled_loop`.

    Returns
    -------
    Settling

    Raises
    ------
    ActionError
        If what is asked for cannot be worked out.

    Examples
    --------
    A lantern on its hook, stopped short from 0.5 m/s: it swings on, and hangs still again.

    >>> time = np.arange(97) / 24
    >>> hook = np.column_stack([0.25 * np.clip(time, 0, 1) ** 2 * (3 - 2 * np.clip(time, 0, 1)), 0 * time])
    >>> run = run_from_rest(hook, [0.3], 4.0, [1.0], [0.0], [0.2], [0.0])
    >>> run.found, bool(np.abs(run.angles[-1] + np.pi / 2) < 0.01)
    (True, True)
    """
    place, swing, numbers = run_numbers(root, parent, duration, lengths, mass, stiffness, damping, rest, gravity, air,
                                        wind, stops, stop_stiffness, stop_damping, centre, inertia)
    chain = rods(**numbers)
    between = _smooth(place, swing)
    pose = _hangs(chain, between)
    if pose is None:
        return Settling(False, None, None, np.nan, np.inf, "The chain finds no pose in which it hangs still before the action. "
                        "Stiffen its joints.")
    last, error = None, np.inf
    steps = 2
    while steps <= FINEST:
        try:
            angles, speed = _run(chain, between, len(place), steps, pose)
        except NoStep:
            last = None
        else:
            if last is not None:
                # Order 5: what halving the steps changed is some 30 times the error left.
                error = float(np.abs(angles - last).max())
                if error < AGREE:
                    break
            last = angles
        steps *= 2
    else:
        return Settling(False, None, pose, np.nan, error, "The chain whips too sharply to be followed. Damp its joints more, "
                        "or move the root less suddenly.")
    moving = float(np.abs(speed).max() * 2.0 * np.pi / duration)
    says = ("It has settled by the last drawing." if moving < 0.05 else
            f"At the last drawing it still moves, by up to {np.degrees(moving):.0f} degrees a second: hold longer to see it settle.")
    return Settling(True, angles, pose, moving, error, says)


def _smooth(place, swing):
    """Root and parent between the samples: splines of degree 5 that start from a stand, over 0 to 2 pi."""
    from scipy.interpolate import make_interp_spline

    at = np.linspace(0.0, 2.0 * np.pi, len(place))
    values = np.column_stack([place.real, place.imag, swing])
    none = np.zeros(3)
    return make_interp_spline(at, values, k=5, bc_type=([(1, none), (2, none)], [(3, none), (4, none)]))


def _drive(between, at):
    value, speed, acceleration = between(at), between(at, 1), between(at, 2)
    to_plane = [1.0, 1.0j]
    return Drive(speed[:, :2] @ to_plane, acceleration[:, :2] @ to_plane, value[:, 2], speed[:, 2])


def _hangs(chain, between):
    """The pose (rods,) in which it hangs still at the first sample, or None."""
    force = forces(chain, _drive(between, np.zeros(1)))
    pose, none = still(chain, force)[None, :], np.zeros((1, chain.rows.shape[-1]))
    for _ in range(50):
        r, (_, _, by_angle) = residual(chain, force, pose, none, none, slopes=True)
        try:
            change = np.linalg.solve(by_angle[0], r[0])
        except np.linalg.LinAlgError:
            return None
        size = np.abs(change).max()
        pose = pose - change * min(1.0, 0.3 / max(size, 1e-300))
        if size < 1e-10:
            return pose[0]
    return None


def _run(chain, between, samples, steps, pose):
    """Angles at the samples, and the last speed, with so many steps between samples."""
    h = 2.0 * np.pi / ((samples - 1) * steps)
    at = (h * (np.arange((samples - 1) * steps)[:, None] + STAGES)).ravel()
    force = forces(chain, _drive(between, at))
    angle, speed, guess = pose, np.zeros_like(pose), np.zeros((3, len(pose)))
    angles = [angle]
    for k in range((samples - 1) * steps):
        angle, speed, guess = step(chain, part(force, slice(3 * k, 3 * k + 3)), h, angle, speed, guess, 1e-9)
        guess = np.repeat(guess[2:], 3, axis=0)
        if (k + 1) % steps == 0:
            angles.append(angle)
    return np.array(angles), speed
