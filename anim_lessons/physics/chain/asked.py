"""What is asked of a chain, checked and put into the equations' own numbers."""

import numpy as np

from ...model.action import ActionError
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
    drawn, parent_turns = _path(root, parent, least=4)
    numbers = _numbers(period, lengths, mass, stiffness, damping, rest, gravity, air, wind, stops, stop_stiffness,
                       stop_damping, centre, inertia)
    front = numbers["omega"].shape
    if drawn.ndim > 2:
        front = np.broadcast_shapes(front, drawn.shape[:-2])
    if len(front) > 1:
        raise ActionError(f"settings have the shape {front}; give them along one axis")
    if front:
        numbers = {name: value if value is None else np.broadcast_to(value, front + value.shape[numbers["omega"].ndim:])
                   for name, value in numbers.items()}
        drawn = np.broadcast_to(drawn, front + drawn.shape[-2:])
        parent_turns = np.broadcast_to(parent_turns, front)
    if harmonics is not None and not (harmonics == int(harmonics) and harmonics >= 1):
        raise ActionError(f"{harmonics} harmonics; give a whole number, 1 or more, or None for all")
    path = Path(drawn, parent_turns, harmonics)
    if not 1e-9 <= within <= 0.1:
        raise ActionError(f"within {within:g} rad; give 1e-9 to 0.1")
    return Problem(rods(**numbers), path, float(within)), _turns(turns, numbers, path.turns), drawn.shape[-1]


def _path(root, parent, least):
    """x, y and the parent's angle (..., 3, samples), radians, without its whole turns; the turns (...)."""
    root = np.asarray(root, float)
    if root.ndim < 2 or root.shape[-1] != 2 or root.shape[-2] < least:
        raise ActionError(f"the root's places have the shape {root.shape}; give (samples, 2), {least} samples or more")
    samples = root.shape[-2]
    parent = np.asarray(0.0 if parent is None else parent, float)
    if parent.ndim and parent.shape[-1] != samples:
        raise ActionError(f"{samples} places of the root, but {parent.shape[-1]} angles of the parent; give one each")
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
    whole = np.round(steps / (2.0 * np.pi))  # jumps from an angle to the same one told otherwise
    turns = 0.0 - whole.sum(-1)
    if whole.any():
        drawn[..., 2, 1:] -= 2.0 * np.pi * np.cumsum(whole[..., :-1], axis=-1)
        drawn[..., 2, :] -= turns[..., None] * (2.0 * np.pi / samples) * np.arange(samples)
    return drawn, turns


def _check_finite(what, samples):
    wrong = np.argwhere(~np.isfinite(samples))
    if len(wrong):
        raise ActionError(f"drawing {wrong[0][-1] + 1}: the {what} is not a number; give it")


def _numbers(period, lengths, mass, stiffness, damping, rest, gravity, air, wind, stops, stop_stiffness, stop_damping,
             centre, inertia):
    """Arguments of `rods`, all with the same settings in front."""
    lengths = np.asarray(lengths, float)
    if lengths.ndim == 0:
        lengths = lengths[None]
    count = lengths.shape[-1]
    if not 1 <= count <= MOST:
        raise ActionError(f"{count} segments; by weight and springs give 1 to {MOST}, or let a longer rope follow the "
                          "pull with a return")
    each = {"length": lengths, "mass": mass, "stiffness": stiffness, "damping": damping, "air": air, "centre": centre,
            "inertia": inertia, "stop_stiffness": stop_stiffness, "stop_damping": stop_damping, "rest": rest}
    each = {name: np.asarray(value, float) for name, value in each.items() if value is not None}
    period, gravity = np.asarray(period, float), np.asarray(gravity, float)
    for name, value in each.items():
        if value.ndim and value.shape[-1] not in (1, count):
            raise ActionError(f"{name}: {value.shape[-1]} numbers for {count} segments; give one a segment")
    if stops is not None:
        stops = np.asarray(stops, float)
        if stops.shape[-2:] != (count, 2):
            raise ActionError(f"stops have the shape {stops.shape}; give ({count}, 2): least and greatest bend a segment")
        if not (stops[..., 0] < stops[..., 1]).all():
            number = np.argwhere(~(stops[..., 0] < stops[..., 1]))[0][-1] + 1
            raise ActionError(f"segment {number}: its stops are the wrong way round; give the least bend first")
    front = {v.shape[:-1] for v in each.values()} | {period.shape, gravity.shape, () if stops is None else stops.shape[:-2]}
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
    wind = np.asarray(wind, float)
    if wind.shape[-1:] != (2,) or not np.isfinite(wind).all():
        raise ActionError(f"wind {wind.tolist()} is not one speed in x and one in y; give two numbers, m/s")
    if wind.any() and not each["air"].any():
        raise ActionError("there is wind but no air to carry it; give the segments some air")
    lengths, mass = each.pop("length"), each["mass"]
    own = each.pop("inertia") if "inertia" in each else mass * lengths * lengths / 12.0
    if not (own > 0).all():
        moved = carried(lengths, mass, each["centre"])[0].diagonal(0, -2, -1) + own
        if not (moved > 0).all():
            raise ActionError(f"segment {np.argwhere(~(moved > 0))[0][-1] + 1} and all it carries have no mass; give it some")
    omega = 2.0 * np.pi / period
    push, brake = each.pop("stop_stiffness", None), each.pop("stop_damping", None)
    if stops is not None:
        stops = np.broadcast_to(stops, front + (count, 2))
        stops = np.where(np.isfinite(stops), stops, np.copysign(1e6, stops))  # so far off that it never pushes
        beyond = inertia_beyond(lengths, mass, each["centre"], own)
        if push is None:
            push = beyond * (STOP_SWINGS * omega[..., None]) ** 2
        if brake is None:
            brake = 2.0 * STOP_SETTLES * np.sqrt(beyond * push)
    return {"omega": omega, "lengths": lengths, **each, "gravity": gravity, "wind": _plane(wind, front), "stops": stops,
            "stop_stiffness": push, "stop_damping": brake, "inertia": own}


def _plane(wind, front):
    out = wind[..., 0] + 1j * wind[..., 1]
    return np.broadcast_to(out, front) if front else out


def _check_each(values, together):
    """Refuse the first number, by segment and name, that no chain can have; the rest stands last."""
    fine = np.isfinite(together)
    if fine.all() and together[:-1].min() >= 0 and values["length"].min() > 0:
        return
    least = np.array([-np.inf if name == "rest" else 1e-300 if name == "length" else 0.0 for name in values])
    wrong = ~fine | (together < least.reshape(-1, *[1] * (together.ndim - 1)))
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
    if not parent_turns.any():
        return np.zeros(lengths.shape)
    tied = numbers["stiffness"] > 0
    if numbers["stops"] is not None:
        tied = tied | (np.abs(numbers["stops"]) < 1e6).any(-1)
    # A free joint ahead of it leaves a rod without the parent's turns.
    return np.cumprod(tied, axis=-1) * parent_turns[..., None] + 0.0


def run_numbers(root, parent, duration, *numbers):
    """Root (samples,) complex, parent's angle (samples,), arguments of `rods`; as for `run.run_from_rest`."""
    drawn, _ = _path(root, None, least=6)
    place = drawn[..., 0, :] + 1j * drawn[..., 1, :]
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
