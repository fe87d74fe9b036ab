"""Settings of a chain and the path of its joint, checked and put into the equations' own numbers."""

from dataclasses import dataclass, fields, replace

import numpy as np

from ...geometry.angles import as_complex
from ...model.action import ActionError
from .collocation import Path
from .equations import mass_coupling, scaled_rods
from .solver import Problem

MOST_RODS = 12
STANDARD_GRAVITY = 9.80665  # m/s^2; third General Conference on Weights and Measures 1901
STOP_SWINGS, STOP_DAMPING_RATIO = 4.0, 0.5  # of a stop, if not given: swings a loop, and no unit
NO_STOP = 1e6  # radians: stands for infinity, so far off that a stop there never pushes
WITHIN = 1e-5  # radians: greatest error of a motion that is called found


@dataclass(frozen=True, eq=False)
class ChainSettings:
    """A chain by itself. Each number is as for `settled_loop`, (rods,); any may have an axis of settings in
    front."""

    lengths: np.ndarray
    mass: np.ndarray
    stiffness: np.ndarray
    damping: np.ndarray
    rest: np.ndarray
    gravity: float = STANDARD_GRAVITY
    air: np.ndarray = 0.0
    wind: np.ndarray = (0.0, 0.0)
    stops: np.ndarray = None
    stop_stiffness: np.ndarray = None
    stop_damping: np.ndarray = None
    centre: np.ndarray = 0.5
    inertia: np.ndarray = None

    def spread(self, front, settings):
        """The same with axes `front` in front of every number, which has `settings` axes in front now."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        return replace(self, **{name: value if value is None
                                else np.broadcast_to(value, front + value.shape[settings:])
                                for name, value in values.items()})


@dataclass(frozen=True, eq=False)
class Carrier:
    """What carries a chain: places of its joint, root (samples, 2), m, and angles of the parent (samples,),
    radians, evenly in time over `period` seconds. `harmonics` of both are kept, None keeps all."""

    root: np.ndarray
    period: float
    parent: np.ndarray = None
    harmonics: int = None


def inertia_beyond(lengths, mass, centre=0.5, inertia=None):
    """Inertia of all that each joint carries, stretched out straight, about that joint, kg m^2, shape (...,
    rods).

    Examples
    --------
    Two rods of 1 m and 3 kg: 6^2 / 6 and 1.

    >>> inertia_beyond([1, 1], [3, 3])
    array([8., 1.])
    """
    lengths, mass = np.asarray(lengths, float), np.asarray(mass, float)
    centre = np.broadcast_to(np.asarray(centre, float), np.broadcast_shapes(lengths.shape, mass.shape))
    own = mass * lengths**2 / 12.0 if inertia is None else np.asarray(inertia, float)
    coupled, _ = mass_coupling(*np.broadcast_arrays(lengths, mass, centre))
    with_own = coupled + own[..., None] * np.eye(lengths.shape[-1])
    outward = np.cumsum(np.cumsum(np.flip(with_own, (-2, -1)), -2), -1)
    return np.flip(outward, (-2, -1)).diagonal(0, -2, -1).copy()


def looping_problem(chain, carrier, turns=None, within=WITHIN):
    """Problem, whole turns of the first guess (..., rods), samples; arguments as for `chain.settled_loop`.

    Parameters
    ----------
    chain : ChainSettings
    carrier : Carrier
    turns : array-like of int, shape (rods,), or None
    within : float
    """
    drawn, parent_turns = _path(carrier.root, carrier.parent, least=4)
    omega, chain = checked(chain, carrier.period)
    front = omega.shape
    if drawn.ndim > 2:
        front = np.broadcast_shapes(front, drawn.shape[:-2])
    if len(front) > 1:
        raise ActionError(f"settings have the shape {front}; give them along one axis")
    if front:
        chain, omega = chain.spread(front, omega.ndim), np.broadcast_to(omega, front)
        drawn = np.broadcast_to(drawn, front + drawn.shape[-2:])
        parent_turns = np.broadcast_to(parent_turns, front)
    harmonics = carrier.harmonics
    if harmonics is not None and not (harmonics == int(harmonics) and harmonics >= 1):
        raise ActionError(f"{harmonics} harmonics; give a whole number, 1 or more, or None for all")
    path = Path(drawn, parent_turns, harmonics)
    if not 1e-9 <= within <= 0.1:
        raise ActionError(f"within {within:g} rad; give 1e-9 to 0.1")
    problem = Problem(scaled_rods(chain, omega), path, float(within))
    return problem, _turns(turns, chain, path.turns), drawn.shape[-1]


def transient_problem(chain, carrier):
    """Root (samples, 2), parent's angle (samples,), Rods; as for `transient.run_from_rest`."""
    drawn, _ = _path(carrier.root, None, least=6)
    root = drawn[..., :2, :].swapaxes(-1, -2)
    parent = np.zeros(len(root)) if carrier.parent is None else np.asarray(carrier.parent, float)
    parent = np.full(len(root), float(parent)) if parent.ndim == 0 else parent
    if root.ndim != 2 or parent.shape != root.shape[:1]:
        raise ActionError(f"{root.shape[-2]} places of the root, but {parent.size} angles of the parent; "
                          f"give one each, of one action")
    _check_finite("parent's angle", parent)
    omega, chain = checked(chain, carrier.period)
    if omega.ndim:
        raise ActionError(f"{len(omega)} settings were given; run them one by one")
    return root, np.unwrap(parent), scaled_rods(chain, omega)


def _path(root, parent, least):
    """x, y and the parent's angle (..., 3, samples), radians, without its whole turns; the turns (...)."""
    root = np.asarray(root, float)
    if root.ndim < 2 or root.shape[-1] != 2 or root.shape[-2] < least:
        raise ActionError(f"the root's places have the shape {root.shape}; give (samples, 2), {least} "
                          f"samples or more")
    samples = root.shape[-2]
    parent = np.asarray(0.0 if parent is None else parent, float)
    if parent.ndim and parent.shape[-1] != samples:
        raise ActionError(f"{samples} places of the root, but {parent.shape[-1]} angles of the parent; give "
                          f"one each")
    front = root.shape[:-2]
    if parent.ndim > 1:
        front = np.broadcast_shapes(front, parent.shape[:-1])
    drawn = np.empty(front + (3, samples))
    drawn[..., :2, :] = root.swapaxes(-2, -1)
    drawn[..., 2, :] = parent
    if not np.isfinite(drawn).all():
        _check_finite("root's place", drawn[..., :2, :])
        _check_finite("parent's angle", drawn[..., 2, :])
    steps = np.diff(drawn[..., 2, :], append=drawn[..., 2, :1])
    whole = np.round(steps / (2.0 * np.pi))  # jumps between the same angle and itself a turn further
    turns = 0.0 - whole.sum(-1)
    if whole.any():
        drawn[..., 2, 1:] -= 2.0 * np.pi * np.cumsum(whole[..., :-1], axis=-1)
        drawn[..., 2, :] -= turns[..., None] * (2.0 * np.pi / samples) * np.arange(samples)
    return drawn, turns


def _check_finite(what, samples):
    wrong = np.argwhere(~np.isfinite(samples))
    if len(wrong):
        raise ActionError(f"drawing {wrong[0][-1] + 1}: the {what} is not a number; give it")


def checked(chain, period):
    """Radians of the loop a second (...), and the settings as arrays with the same axes in front, defaults
    filled in.

    The wind comes back as a complex number.
    """
    lengths = np.atleast_1d(np.asarray(chain.lengths, float))
    count = lengths.shape[-1]
    if not 1 <= count <= MOST_RODS:
        raise ActionError(f"{count} segments; by weight and springs give 1 to {MOST_RODS}, or let a longer "
                          f"rope follow the pull with a return")
    each = {"length": lengths, "mass": chain.mass, "stiffness": chain.stiffness, "damping": chain.damping,
            "air": chain.air, "centre": chain.centre, "inertia": chain.inertia,
            "stop_stiffness": chain.stop_stiffness, "stop_damping": chain.stop_damping, "rest": chain.rest}
    each = {name: np.asarray(value, float) for name, value in each.items() if value is not None}
    period, gravity = np.asarray(period, float), np.asarray(chain.gravity, float)
    for name, value in each.items():
        if value.ndim and value.shape[-1] not in (1, count):
            raise ActionError(f"{name}: {value.shape[-1]} numbers for {count} segments; give one a segment")
    stops = None if chain.stops is None else _checked_stops(chain.stops, count)
    front = {v.shape[:-1] for v in each.values()} | {period.shape, gravity.shape}
    front |= {() if stops is None else stops.shape[:-2]}
    front = np.broadcast_shapes(*front) if len(front) > 1 else ()
    if front:
        period, gravity = np.broadcast_to(period, front), np.broadcast_to(gravity, front)
    table = np.empty((len(each),) + front + (count,))
    for one, value in zip(table, each.values()):
        one[...] = value
    each = dict(zip(each, table))
    _check_each(each, table)
    if not ((period > 0) & (period < np.inf)).all():
        raise ActionError(f"the period is {period.min():g} s; give a time above 0")
    if not np.isfinite(gravity).all():
        raise ActionError("gravity is not a number; give it in m/s^2, 0 or more")
    wind = _checked_wind(chain.wind, each["air"])
    lengths, mass = each.pop("length"), each["mass"]
    if "inertia" not in each:
        each["inertia"] = mass * lengths * lengths / 12.0
    if not (each["inertia"] > 0).all():
        moved = mass_coupling(lengths, mass, each["centre"])[0].diagonal(0, -2, -1) + each["inertia"]
        if not (moved > 0).all():
            raise ActionError(f"segment {np.argwhere(~(moved > 0))[0][-1] + 1} and all it carries have no "
                              f"mass; give it some")
    omega = 2.0 * np.pi / period
    if stops is not None:
        stops = np.broadcast_to(stops, front + (count, 2))
        beyond = inertia_beyond(lengths, mass, each["centre"], each["inertia"])
        each.setdefault("stop_stiffness", beyond * (STOP_SWINGS * omega[..., None]) ** 2)
        each.setdefault("stop_damping", 2.0 * STOP_DAMPING_RATIO * np.sqrt(beyond * each["stop_stiffness"]))
    wind = np.broadcast_to(wind, front) if front else wind
    return omega, ChainSettings(lengths, gravity=gravity, wind=wind, stops=stops, **each)


def _checked_stops(stops, count):
    stops = np.asarray(stops, float)
    if stops.shape[-2:] != (count, 2):
        raise ActionError(f"stops have the shape {stops.shape}; give ({count}, 2): least and greatest bend a "
                          f"segment")
    if not (stops[..., 0] < stops[..., 1]).all():
        number = np.argwhere(~(stops[..., 0] < stops[..., 1]))[0][-1] + 1
        raise ActionError(f"segment {number}: its stops are the wrong way round; give the least bend first")
    return np.where(np.isfinite(stops), stops, np.copysign(NO_STOP, stops))


def _checked_wind(wind, air):
    wind = np.asarray(wind, float)
    if wind.shape[-1:] != (2,) or not np.isfinite(wind).all():
        raise ActionError(f"wind {wind.tolist()} is not one speed in x and one in y; give two numbers, m/s")
    if wind.any() and not air.any():
        raise ActionError("there is wind but no air to carry it; give the segments some air")
    return as_complex(wind)


def _check_each(values, together):
    """Refuse the first number, by segment and name, that no chain can have; `rest` stands last."""
    fine = np.isfinite(together)
    if fine.all() and together[:-1].min() >= 0 and values["length"].min() > 0:
        return
    least = np.array([-np.inf if name == "rest" else 1e-300 if name == "length" else 0.0 for name in values])
    wrong = ~fine | (together < least.reshape(-1, *[1] * (together.ndim - 1)))
    if wrong.any():
        which, *place = np.argwhere(wrong)[0]
        name = list(values)[which]
        wanted = {"rest": "a number", "length": "more than 0"}.get(name, "0 or more")
        raise ActionError(f"segment {place[-1] + 1}: {name} is {together[which][tuple(place)]:g}; give "
                          f"{wanted}")


def _turns(turns, chain, parent_turns):
    """Whole turns of the first guess (..., rods)."""
    shape = chain.lengths.shape
    if turns is not None:
        turns = np.asarray(turns, float)
        if turns.shape[-1:] != shape[-1:] or (turns != np.round(turns)).any():
            raise ActionError(f"turns {turns.tolist()}: give one whole number a segment, {shape[-1]} in all")
        return np.array(np.broadcast_to(turns, shape))
    if not parent_turns.any():
        return np.zeros(shape)
    tied = chain.stiffness > 0
    if chain.stops is not None:
        tied = tied | (np.abs(chain.stops) < NO_STOP).any(-1)
    # A rod beyond a free joint does not take on the parent's turns.
    return np.cumprod(tied, axis=-1) * parent_turns[..., None] + 0.0
