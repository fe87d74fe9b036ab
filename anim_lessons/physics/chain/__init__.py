"""Weight and springs: a chain of parts that hangs from a moving joint.

    equations   the equations of motion of rods in the plane, and their slopes
    grid        a row of times round a loop, and what is even on it
    steps       by time steps, for what does not loop and for what becomes of a nudge
    thorough    a correction where the coarse row does not tell enough
    solver      the looping motion itself, by Newton's method on that row
    search      where to begin, and what to try next
    many        many settings in one pass
    asked       what is asked for, in the numbers of physics, or why it cannot be
    settled     settled_loop: the one entry, and what it says
    run         action that does not loop, from rest
    felt        the same in mm, degrees, drawings and how it swings
"""

from .settled import SettledLoop, settled_loop, settled_loops

__all__ = ["SettledLoop", "settled_loop", "settled_loops"]
