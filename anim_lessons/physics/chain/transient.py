"""Weight and springs where the action does not loop: start, stop, settle.

The chain hangs still until the first sample and is then run through the action by implicit time
steps. The steps are halved until two runs agree.
"""

from dataclasses import dataclass

import numpy as np

from ...geometry.angles import as_complex
from .collocation import stage_times
from .equations import Drive, forces, residual, static_pose
from .parameters import transient_problem
from .radau import NoStep, integrate

AGREE = 1e-5  # radians, to which the last two runs agree
FIRST_STEPS, MOST_STEPS = 2, 64  # from one sample to the next
SETTLED = 0.05  # radians a second: slower than this the chain is called settled


@dataclass(frozen=True, eq=False)
class Settling:
    """What a chain does in an action that does not loop.

    Attributes
    ----------
    found : bool
        True: the angles are right to within `error`.
    angles : ndarray, shape (samples, rods), or None
        On the paper, radians, at the samples of the root.
    pose : ndarray, shape (rods,), or None
        The pose in which it hangs still before the action.
    moving : float
        How fast the fastest rod still turns at the last sample, rad/s; not a number where nothing was found.
    error : float
        rad.
    says : str
    """

    found: bool
    angles: np.ndarray
    pose: np.ndarray
    moving: float
    error: float
    says: str


def run_from_rest(chain, carrier):
    """A chain that hangs still and is then carried through an action that does not loop.

    Parameters
    ----------
    chain : ChainSettings
    carrier : Carrier
        6 samples or more; its period is the time from the first sample to the last. The joint starts from a
        stand. Stops without a stiffness of their own swing 4 times in that time.

    Returns
    -------
    Settling

    Raises
    ------
    ActionError
        If the settings are not those of a chain.

    Examples
    --------
    A lantern on its hook is carried 0.25 m and stopped; it swings on, and hangs still again.

    >>> time = np.arange(97) / 24
    >>> hook = np.column_stack([0.25 * np.clip(time, 0, 1) ** 2 * (3 - 2 * np.clip(time, 0, 1)), 0 * time])
    >>> from anim_lessons.physics.chain.parameters import Carrier, ChainSettings
    >>> lantern = ChainSettings(lengths=[0.3], mass=[1.0], stiffness=[0.0], damping=[0.2], rest=[0.0])
    >>> run = run_from_rest(lantern, Carrier(hook, 4.0))
    >>> run.found, bool(np.abs(run.angles[-1] + np.pi / 2) < 0.01)
    (True, True)
    """
    root, parent, rods = transient_problem(chain, carrier)
    spline = _smooth(root, parent)
    pose = _hanging_pose(rods, spline)
    if pose is None:
        return Settling(False, None, None, np.nan, np.inf, "The chain finds no pose in which it hangs still "
                                                           "before the action. Stiffen its joints.")
    last, error, steps = None, np.inf, FIRST_STEPS
    while steps <= MOST_STEPS:
        try:
            angles, speed = _run(rods, spline, len(root), steps, pose)
        except NoStep:
            last = None
        else:
            if last is not None:
                # The method is of order 5: halving the steps leaves about 1/32 of the error.
                error = float(np.abs(angles - last).max())
                if error < AGREE:
                    break
            last = angles
        steps *= 2
    else:
        return Settling(False, None, pose, np.nan, error, "The chain whips too sharply to be followed. Damp "
                                                          "its joints more, or move the root less suddenly.")
    moving = float(np.abs(speed).max() * 2.0 * np.pi / carrier.period)
    says = ("It has settled by the last drawing." if moving < SETTLED else
            f"At the last drawing it still moves, by up to {np.degrees(moving):.0f} degrees a second: hold "
            f"longer to see it settle.")
    return Settling(True, angles, pose, moving, error, says)


def _smooth(root, parent):
    """Root and parent between the samples: splines of degree 5 that start from a stand, over 0 to 2 pi."""
    from scipy.interpolate import make_interp_spline

    at = np.linspace(0.0, 2.0 * np.pi, len(root))
    values = np.column_stack([root, parent])
    zero = np.zeros(3)
    return make_interp_spline(at, values, k=5, bc_type=([(1, zero), (2, zero)], [(3, zero), (4, zero)]))


def _drive(spline, at):
    value, speed, acceleration = spline(at), spline(at, 1), spline(at, 2)
    return Drive(as_complex(speed[:, :2]), as_complex(acceleration[:, :2]), value[:, 2], speed[:, 2])


def _hanging_pose(rods, spline):
    """The pose (rods,) in which the chain hangs still at the first sample, or None, by Newton's method."""
    force = forces(rods, _drive(spline, np.zeros(1)))
    pose, zero = static_pose(rods, force)[None, :], np.zeros((1, rods.scale.shape[-1]))
    for _ in range(50):
        r, (_, _, by_angle) = residual(rods, force, pose, zero, zero, jacobian=True)
        try:
            change = np.linalg.solve(by_angle[0], r[0])
        except np.linalg.LinAlgError:
            return None
        size = np.abs(change).max()
        pose = pose - change * min(1.0, 0.3 / max(size, 1e-300))
        if size < 1e-10:
            return pose[0]
    return None


def _run(rods, spline, samples, steps, pose):
    """Angles at the samples, and the last speed, with so many steps between samples."""
    steps_in_all = (samples - 1) * steps
    force = forces(rods, _drive(spline, stage_times(steps_in_all)))
    angles, speed = integrate(rods, force, steps_in_all, pose, np.zeros_like(pose), within=1e-9)
    return angles[::steps], speed
