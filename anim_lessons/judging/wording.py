"""What was moved, in an instructor's words: swing the forearm 9° on."""

import numpy as np

from ..geometry.angles import as_complex, wrapped
from ..model.words import capital, part, run, shown, the

ASLANT = 0.4    # of one direction: less of the other is not named
SEEN = 0.5      # degrees and mm: an eye does not tell less, so it is not named
FEW = 3         # drawings of which each is named with what it needs
ALIKE = 0.5     # degrees: parts that turn alike but for so much are swung in one piece


def redrawn(limb, loop, d, points):
    """How the joints given differ from drawing d (from 0): "swing the upper arm 3° back and the hand 8° on".

    A part that only comes along, at the angle it has, is not named. "On" is the way the part swings at that
    drawing, "back" against it.

    Parameters
    ----------
    limb : Limb
        As it is drawn.
    loop : bool
    d : int
    points : ndarray, shape (joints, 2)
        mm.
    """
    old, new = as_complex(limb.drawings[d]), as_complex(points)
    before, after = np.diff(old), np.diff(new)
    longer = np.abs(after) - np.abs(before)
    turn = wrapped(np.degrees(np.angle(after) - np.angle(before)))
    root, does = new[0] - old[0], []
    if abs(root) > SEEN:
        does.append(f"move {_by(the(limb.joints[0]), millimetres(abs(root)))}{_way_of_root(limb, loop, d, root)}")
    lengths = [f"the {_longer(part(limb, k), longer[k])}" for k in np.flatnonzero(np.abs(longer) > SEEN)]
    does += [f"draw {listed(lengths)}"] if lengths else []
    swings = []
    for k in np.flatnonzero(np.abs(turn) > SEEN):
        # Parts that turn alike, one after the other, are swung in one piece.
        if swings and swings[-1][-1] == k - 1 and abs(turn[k] - turn[k - 1]) < ALIKE:
            swings[-1].append(k)
        else:
            swings.append([k])
    swung = [f"the {_by(_piece(limb, group), degrees(turn[group[0]]))} {way(limb, loop, d, group[0], turn[group[0]])}"
             for group in swings]
    does += [f"swing {listed(swung)}"] if swung else []
    return "; ".join(does) if does else "move all of it by less than the width of a line"


def seen(limb, d, points):
    """True where an eye sees how the joints given, (joints, 2) mm, differ from drawing d (from 0): something of it is named."""
    old, new = as_complex(limb.drawings[d]), as_complex(points)
    before, after = np.diff(old), np.diff(new)
    turn = wrapped(np.degrees(np.angle(after) - np.angle(before)))
    return bool(abs(new[0] - old[0]) > SEEN or (np.abs(np.abs(after) - np.abs(before)) > SEEN).any() or (np.abs(turn) > SEEN).any())


def label(limb, loop, d, points):
    """The largest piece of what `redrawn` tells: the label beside a ghost and its sentence, by one amount and one way.

    Parameters
    ----------
    As for `redrawn`.

    Returns
    -------
    tuple of (str, str)
        "forearm 14° on", and "Swing the forearm 14° on, to the ghost."
    """
    old, new = as_complex(limb.drawings[d]), as_complex(points)
    before, after = np.diff(old), np.diff(new)
    turn = wrapped(np.degrees(np.angle(after) - np.angle(before)))
    longer = np.abs(after) - np.abs(before)
    # The piece that does most; where several do alike, the one nearest the root.
    share = np.maximum(np.abs(np.radians(turn)) * np.abs(after), np.abs(longer))
    shift = new[0] - old[0]
    named = (np.abs(turn) > SEEN) | (np.abs(longer) > SEEN)
    if not named.any():
        if abs(shift) <= SEEN:
            return "by less than a line", "Move all of it by less than the width of a line, to the ghost."
        by = f"{millimetres(abs(shift))}{_way_of_root(limb, loop, d, shift)}"
        return _by(shown(limb.joints[0]), by), f"Move {_by(the(limb.joints[0]), by)}, to the ghost."
    share = np.where(named, share, 0.0)
    k = int(np.flatnonzero(share >= 0.5 * share.max())[0])
    name = part(limb, k)
    if abs(longer[k]) > abs(np.radians(turn[k])) * abs(after[k]):
        says = _longer(name, longer[k])
        does = f"Draw the {says}"
    else:
        says = _by(name, f"{degrees(turn[k])} {way(limb, loop, d, k, turn[k])}")
        does = f"Swing the {says}"
    others = (np.abs(turn) > SEEN) & (np.abs(turn - turn[k]) >= ALIKE) | (np.abs(longer) > SEEN)
    others[k] = abs(shift) > SEEN or abs(turn[k]) > SEEN and abs(longer[k]) > SEEN
    return says, f"{does}{', the rest a little' if others.any() else ''}, to the ghost."


def redrawn_all(limb, loop, poses, named=()):
    """What several drawings need, as one sentence: "On 9 swing the hand 11° back; on 10 swing the hand 15° back."

    Parameters
    ----------
    limb : Limb
        As it is drawn.
    loop : bool
    poses : dict of int to ndarray, shape (joints, 2)
        Drawing, from 1 -> its joints as corrected, mm.
    named : tuple of int
        Drawings that the fault itself names; a single one of them needs no number.
    """
    says = {number: redrawn(limb, loop, number - 1, pose) for number, pose in poses.items()}
    if len(says) == 1:
        ((number, does),) = says.items()
        before, after = (d + 1 for d in _beside(limb, loop, number - 1))
        flip = f", then flip {run_of(before, number, after)}."
        return (capital(does) if named[:1] == (number,) else f"On {number}, {does}") + flip
    alike = {}
    for number, does in says.items():
        alike.setdefault(does, []).append(number)
    if len(alike) == 1 and len(says) == len(limb.drawings):
        return f"In every drawing, {next(iter(alike))}."
    if len(alike) <= FEW:
        return capital("; ".join(f"on {_numbers(numbers, len(limb.drawings))} {does}" for does, numbers in alike.items())) + "."
    far = {number: np.hypot(*(pose - limb.drawings[number - 1]).T).max() for number, pose in poses.items()}
    most = max(far, key=far.get)
    return f"Redraw {_numbers(list(says), len(limb.drawings))}: on {most} {says[most]}, on the others less."


def _numbers(numbers, count):
    """Drawings in a sentence: "3 to 6" where they stand in a row, round the seam too, else "3, 7, 12"."""
    in_a_row = sum((number % count) + 1 not in numbers for number in numbers) <= 1
    return run(numbers) if in_a_row else run_of(*sorted(numbers))


def run_of(*numbers):
    """Numbers to be flipped, each once: "11, 12, 13"."""
    return ", ".join(str(number) for number in dict.fromkeys(numbers))


def _by(name, amount):
    """A name and an amount: "forearm 14° on"; a number at the name's end is kept apart: "part ending in fold 1 by 13° on"."""
    return f"{name} by {amount}" if name[-1:].isdigit() else f"{name} {amount}"


def _longer(name, by):
    """A name and what it grows by, mm: "hand 4 mm shorter", "part ending in fold 1 longer by 3 mm"."""
    what = "longer" if by > 0 else "shorter"
    return f"{name} {what} by {millimetres(by)}" if name[-1:].isdigit() else f"{name} {millimetres(by)} {what}"


def _piece(limb, group):
    """The parts of a run, swung in one piece: "forearm with the hand"."""
    if len(group) == 1:
        return part(limb, group[0])
    if len(group) > 2 and group[-1] == len(limb.lengths) - 1:
        return f"{part(limb, group[0])} with all that hangs on it"
    return f"{part(limb, group[0])} with the {part(limb, group[-1])}"


def way(limb, loop, d, k, turn):
    """"on" where a turn goes the way part k is swinging at drawing d, else "back"."""
    z = as_complex(limb.drawings)
    before, after = _beside(limb, loop, d)
    swing = wrapped(np.degrees(np.angle(z[after, k + 1] - z[after, k]) - np.angle(z[before, k + 1] - z[before, k])))
    return "on" if swing * turn >= 0 else "back"


def _way_of_root(limb, loop, d, shift):
    before, after = _beside(limb, loop, d)
    goes = (limb.drawings[after, 0] - limb.drawings[before, 0]) @ [1, 1j]
    along = (shift * goes.conjugate()).real
    # Words for along the path only where it is along the path.
    if abs(goes) and abs(along) >= 0.8 * abs(shift) * abs(goes):
        return " on" if along > 0 else " back"
    up, right = shift.imag, shift.real
    sides = [("up" if up > 0 else "down", abs(up) > ASLANT * abs(right)), ("to the right" if right > 0 else "to the left", abs(right) > ASLANT * abs(up))]
    return f" {' and '.join(word for word, named in sides if named)}"


def _beside(limb, loop, d):
    last = len(limb.drawings) - 1
    return ((d - 1) % (last + 1), (d + 1) % (last + 1)) if loop else (max(d - 1, 0), min(d + 1, last))


def done(moves, later):
    """What was done, in one sentence."""
    if not moves:
        return "No drawing was moved."
    if later:
        begun = listed([f"the {limb} begins {abs(by):g} drawing{'s' if abs(by) != 1 else ''} "
                        f"{'later' if by > 0 else 'earlier'}" for limb, by in later.items()])
        others = {move.drawing for move in moves if move.limb not in later}
        return capital(begun) + (f", and {_drawings(len(others))} moved." if others else ".")
    count = len({move.drawing for move in moves})
    return f"{_drawings(count)} moved, by {millimetres(max(move.mm for move in moves))}{' at most' if count > 1 else ''}."


def _drawings(count):
    return f"{count} drawing{'s were' if count != 1 else ' was'}"


def degrees(turn):
    return f"{abs(turn):.0f}°" if abs(turn) >= 2 or abs(turn % 1 - 0.5) > 0.45 else f"{abs(turn):.1f}°"


def millimetres(mm):
    return f"{abs(mm):.0f} mm" if abs(mm) >= 2 else f"{abs(mm):.1f} mm"


def listed(words):
    """Words as a list in a sentence: "a, b and c"."""
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else words[0]
