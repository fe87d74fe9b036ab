"""What is asked of a chain, checked and put into the equations' own numbers."""

import numpy as np

from ..action import ActionError
from .equations import carried, rods
from .grid import Path
from .solver import Problem

MOST = 12  # rods
STANDARD = 9.80665  # m/s^2: standard gravity, third General Conference on Weights and Measures 1901
STOP_SWINGS, STOP_SETTLES = 4.0, 0.5  # a stop's own swings a loop, and its damping ratio


def inertia_beyond(lengths, mass, centre=0.5, inertia=None):
    """Inertia of all that each joint carries, stretched out straight, about that joint, kg m^2, shape (..., rods).

    Examples
    --------
    Two rods of 1 m and 3 kg: 6^2 / 6 and 1.

    >>> inertia_beyond([1, 1], [3, 3])
    array([8., 1.])
    """
    lengths, mass = np.asarray(lengths, float), np.asarray(mass, float)
    centre = np.broadcast_to(np.asarray(centre, float), np.broadcast_shapes(lengths.shape, mass.shape))
    own = mass * lengths**2 / 12.0 if inertia is None else np.asarray(inertia, float)
    coupled, _ = carried(*np.broadcast_arrays(lengths, mass, centre))
    with_own = coupled + own[..., None] * np.eye(lengths.shape[-1])
    return np.flip(np.cumsum(np.cumsum(np.flip(with_own, (-2, -1)), -2), -1), (-2, -1)).diagonal(0, -2, -1).copy()


def looping_problem(root, lengths, period, mass, stiffness, damping, rest, gravity, parent, air, wind, stops,
                    stop_stiffness, stop_damping, centre, inertia, turns, harmonics, within):
    """Problem, whole turns to begin with (..., rods), samples; arguments as for `chain.settled_loop`."""
    root, parent, parent_turns = _path(root, parent, least=4)
    numbers = _numbers(period, lengths, mass, stiffness, damping, rest, gravity, air, wind, stops, stop_stiffness,
                       stop_damping, centre, inertia)
    front = np.broadcast_shapes(numbers["omega"].shape, root.shape[:-1], parent.shape[:-1])
    if len(front) > 1:
        raise ActionError(f"settings have the shape {front}; give them along one axis")
    if front:
        numbers = {name: value if value is None else np.broadcast_to(value, front + value.shape[numbers["omega"].ndim:])
                   for name, value in numbers.items()}
        root, parent = (np.broadcast_to(v, front + v.shape[-1:]) for v in (root, parent))
        parent_turns = np.broadcast_to(parent_turns, front)
    samples = root.shape[-1]
    if harmonics is not None and not (harmonics == int(harmonics) and harmonics >= 1):
        raise ActionError(f"{harmonics} harmonics; give a whole number, 1 or more, or None for all")
    path = Path(root, parent, parent_turns, harmonics)
    if not 1e-9 <= within <= 0.1:
        raise ActionError(f"within {within:g} rad; give 1e-9 to 0.1")
    return Problem(rods(**numbers), path, float(within)), _turns(turns, numbers, path.turns), samples


def _path(root, parent, least):
    """Root (..., samples) complex; parent's angle (..., samples), radians, without its whole turns; the turns (...)."""
    root = np.asarray(root, float)
    if root.ndim < 2 or root.shape[-1] != 2 or root.shape[-2] < least:
        raise ActionError(f"the root's places have the shape {root.shape}; give (samples, 2), {least} samples or more")
    samples = root.shape[-2]
    parent = np.zeros(samples) if parent is None else np.asarray(parent, float)
    if parent.ndim == 0:
        parent = np.full(samples, float(parent))
    if parent.shape[-1] != samples:
        raise ActionError(f"{samples} places of the root, but {parent.shape[-1]} angles of the parent; give one each")
    _check_finite("root's place", np.moveaxis(root, -2, -1))
    _check_finite("parent's angle", parent)
    closed = np.unwrap(np.concatenate([parent, parent[..., :1]], axis=-1))
    turns = np.round((closed[..., -1] - closed[..., 0]) / (2.0 * np.pi))
    swing = closed[..., :-1] - turns[..., None] * (2.0 * np.pi / samples) * np.arange(samples)
    return root @ [1.0, 1.0j], swing, turns


def _check_finite(what, samples):
    wrong = np.argwhere(~np.isfinite(samples))
    if len(wrong):
        raise ActionError(f"drawing {wrong[0][-1] + 1}: the {what} is not a number; give it")


def _numbers(period, lengths, mass, stiffness, damping, rest, gravity, air, wind, stops, stop_stiffness, stop_damping,
             centre, inertia):
    """Arguments of `rods`, all with the same settings in front."""
    lengths = np.atleast_1d(np.asarray(lengths, float))
    count = lengths.shape[-1]
    if not 1 <= count <= MOST:
        raise ActionError(f"{count} segments; by weight and springs give 1 to {MOST}, or let a longer rope follow the "
                          "pull with a return")
    each = {name: np.asarray(value, float) for name, value in (
        ("mass", mass), ("stiffness", stiffness), ("damping", damping), ("rest", rest), ("air", air), ("centre", centre))}
    one = {"period": np.asarray(period, float), "gravity": np.asarray(gravity, float)}
    for name, value in each.items():
        if value.ndim and value.shape[-1] not in (1, count):
            raise ActionError(f"{name}: {value.shape[-1]} numbers for {count} segments; give one a segment")
    extra = {"stop_stiffness": stop_stiffness, "stop_damping": stop_damping, "inertia": inertia}
    extra = {name: None if value is None else np.asarray(value, float) for name, value in extra.items()}
    if stops is not None:
        stops = np.asarray(stops, float)
        if stops.shape[-2:] != (count, 2):
            raise ActionError(f"stops have the shape {stops.shape}; give ({count}, 2): least and greatest bend a segment")
        if not (stops[..., 0] < stops[..., 1]).all():
            number = np.argwhere(~(stops[..., 0] < stops[..., 1]))[0][-1] + 1
            raise ActionError(f"segment {number}: its stops are the wrong way round; give the least bend first")
    front = np.broadcast_shapes(*(v.shape[:-1] for v in (lengths, *each.values()) if v.ndim),
                                *(v.shape[:-1] for v in extra.values() if v is not None and v.ndim),
                                *(v.shape for v in one.values()), () if stops is None else stops.shape[:-2])
    lengths = np.broadcast_to(lengths, front + (count,))
    each, extra = ({name: value if value is None else np.broadcast_to(value, front + (count,))
                    for name, value in group.items()} for group in (each, extra))
    period, gravity = (np.broadcast_to(v, front) for v in one.values())
    _check_each({"length": lengths, **each, **extra})
    if not ((period > 0) & np.isfinite(period)).all():
        raise ActionError(f"the period is {period.min():g} s; give a time above 0")
    if not np.isfinite(gravity).all():
        raise ActionError("gravity is not a number; give it in m/s^2, 0 or more")
    wind = np.asarray(wind, float)
    if wind.shape[-1:] != (2,) or not np.isfinite(wind).all():
        raise ActionError(f"wind {wind.tolist()} is not one speed in x and one in y; give two numbers, m/s")
    if np.any(wind) and not np.any(each["air"]):
        raise ActionError("there is wind but no air to carry it; give the segments some air")
    own = each["mass"] * lengths**2 / 12.0 if extra["inertia"] is None else extra["inertia"]
    moved = np.diagonal(carried(lengths, each["mass"], each["centre"])[0], axis1=-2, axis2=-1) + own
    if not (moved > 0).all():
        raise ActionError(f"segment {np.argwhere(~(moved > 0))[0][-1] + 1} and all it carries have no mass; give it some")
    omega = 2.0 * np.pi / period
    if stops is not None:
        stops = np.broadcast_to(stops, front + (count, 2))
        stops = np.where(np.isfinite(stops), stops, np.copysign(1e6, stops))  # so far off that it never pushes
        beyond = inertia_beyond(lengths, each["mass"], each["centre"], own)
        swings = STOP_SWINGS * omega[..., None]
        if extra["stop_stiffness"] is None:
            extra["stop_stiffness"] = beyond * swings**2
        if extra["stop_damping"] is None:
            extra["stop_damping"] = 2.0 * STOP_SETTLES * np.sqrt(beyond * extra["stop_stiffness"])
    return {"omega": omega, "lengths": lengths, **each, "gravity": gravity,
            "wind": np.broadcast_to(wind @ [1.0, 1.0j], front), "stops": stops, **extra, "inertia": own}


def _check_each(values):
    """Refuse the first number, by segment and name, that no chain can have."""
    values = {name: value for name, value in values.items() if value is not None}
    least = np.array([-np.inf if name == "rest" else 1e-300 if name == "length" else 0.0 for name in values])
    together = np.array(list(values.values()))
    wrong = ~np.isfinite(together) | (together < least.reshape(-1, *[1] * (together.ndim - 1)))
    if wrong.any():
        which, *place = np.argwhere(wrong)[0]
        name = list(values)[which]
        wanted = {"rest": "a number", "length": "more than 0"}.get(name, "0 or more")
        raise ActionError(f"segment {place[-1] + 1}: {name} is {together[which][tuple(place)]:g}; give {wanted}")


def _turns(turns, numbers, parent_turns):
    """Whole turns (..., rods) with which a search begins."""
    lengths = numbers["lengths"]
    if turns is not None:
        turns = np.asarray(turns, float)
        if turns.shape[-1:] != lengths.shape[-1:] or (turns != np.round(turns)).any():
            raise ActionError(f"turns {turns.tolist()}: give one whole number a segment, {lengths.shape[-1]} in all")
        return np.array(np.broadcast_to(turns, lengths.shape))
    tied = numbers["stiffness"] > 0
    if numbers["stops"] is not None:
        tied = tied | (np.abs(numbers["stops"]) < 1e6).any(-1)
    # A free joint ahead of it leaves a rod without the parent's turns.
    return np.cumprod(tied, axis=-1) * parent_turns[..., None] + 0.0


def run_numbers(root, parent, duration, *numbers):
    """Root (samples,) complex, parent's angle (samples,), arguments of `rods`; as for `run.run_from_rest`."""
    place, _, _ = _path(root, None, least=6)
    parent = np.zeros(len(place)) if parent is None else np.asarray(parent, float)
    parent = np.full(len(place), float(parent)) if parent.ndim == 0 else parent
    if place.ndim != 1 or parent.shape != place.shape:
        raise ActionError(f"{place.shape[-1]} places of the root, but {parent.size} angles of the parent; give one each, of "
                          "one action")
    _check_finite("parent's angle", parent)
    numbers = _numbers(duration, *numbers)
    if numbers["omega"].ndim:
        raise ActionError(f"{len(numbers['omega'])} settings were given; run them one by one")
    return place, np.unwrap(parent), numbers
