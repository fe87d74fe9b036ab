"""What the marks of a sheet say: which drawing, on which layout, of which stack.

A sheet has twelve marks of the dictionary AprilTag 36h11. A mark's id says where on the sheet it stands and one number
below 47. The twelve numbers are the values of one polynomial of degree 3 at 1 to 12, modulo 47 (a Reed-Solomon code):
any four marks tell the sheet, and each one more confirms it. So a sheet may be half hidden, and marks of two sheets in
one picture are told apart. Two different sheets agree in three marks at most.

References
----------
Reed and Solomon 1960, Polynomial codes over certain finite fields (from memory).
Olson 2011, AprilTag: a robust and flexible visual fiducial system (from memory).
"""

import hashlib
from dataclasses import dataclass
from itertools import combinations

PRIME = 47
MARKS = 12  # 12 times 47 ids; the dictionary has 587
NEEDED = 4  # marks that tell a sheet
CLEAR = 7  # marks that never agree by chance
LAYOUTS = 48
STACKS = 397  # 256 numbers, 48 layouts and 397 stacks fill 47 to the power of 4
NUMBERS = 256


@dataclass(frozen=True)
class Stamp:
    """What a sheet says of itself.

    Attributes
    ----------
    number : int
        Of the first drawing on it, from 1; 0 is a planning sheet.
    layout : int
        Below LAYOUTS.
    stack : int
        Below STACKS: `stack_of` its action.
    """

    number: int
    layout: int
    stack: int


def stack_of(action):
    """A number that tells the sheets of one stack from others: by limbs, joints, number of drawings and paper.

    Drawings are not in it, for they change after a sheet is printed. Two stacks of different make have the same number
    once in 397.
    """
    made = repr(
        (action.count, [round(side, 1) for side in action.paper], [(limb.name, limb.joints) for limb in action.limbs])
    )
    return int.from_bytes(hashlib.sha256(made.encode()).digest()[:8], "big") % STACKS


def ids(stamp):
    """The ids of the marks, in the order of their places; a tuple of MARKS.

    Examples
    --------
    >>> ids(Stamp(0, 0, 0))[:3]
    (0, 47, 94)
    """
    word = (stamp.number * LAYOUTS + stamp.layout) * STACKS + stamp.stack
    digits = [word // PRIME**k % PRIME for k in range(NEEDED)]
    return tuple(PRIME * place + _value(digits, place + 1) for place in range(MARKS))


def read(found):
    """The stamp that most of the ids found agree on.

    Parameters
    ----------
    found : iterable of int

    Returns
    -------
    Stamp or None, set of int
        None where fewer than NEEDED agree, or hardly more on one stamp than on another; and the ids that say it.
    """
    seen = sorted({i for i in found if 0 <= i < PRIME * MARKS})
    heard = {}
    for four in combinations(seen, NEEDED):
        if len({i // PRIME for i in four}) < NEEDED:
            continue
        stamp = _solved([(i // PRIME + 1, i % PRIME) for i in four])
        if stamp is None or stamp in heard:
            continue
        heard[stamp] = set(ids(stamp)) & set(seen)
        if len(heard[stamp]) >= CLEAR:
            return stamp, heard[stamp]
    ranked = sorted(heard.items(), key=lambda one: -len(one[1]))
    if not ranked:
        return None, set()
    best, next_best = len(ranked[0][1]), len(ranked[1][1]) if len(ranked) > 1 else 0
    # Two more than on anything else, or all that are seen.
    clear = best - next_best >= 2 or best == len(seen)
    return ranked[0] if clear else (None, set())


def _value(digits, x):
    return sum(digit * x**k for k, digit in enumerate(digits)) % PRIME


def _solved(points):
    """The stamp whose polynomial goes through four points, by Lagrange's formula; None where it is none."""
    digits = [0] * NEEDED
    for i, (x, y) in enumerate(points):
        basis, scale = [1], y
        for j, (other, _) in enumerate(points):
            if j != i:
                basis = [(a - other * b) % PRIME for a, b in zip([0, *basis], [*basis, 0])]
                scale = scale * pow(x - other, -1, PRIME) % PRIME
        digits = [(have + scale * more) % PRIME for have, more in zip(digits, basis)]
    word = sum(digit * PRIME**k for k, digit in enumerate(digits))
    number, rest = divmod(word, LAYOUTS * STACKS)
    return Stamp(number, *divmod(rest, STACKS)) if number < NUMBERS else None
