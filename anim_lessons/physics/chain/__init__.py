"""Weight and springs: a chain of parts that hangs from a moving joint.

    equations    the equations of motion of rods in the plane, and their Jacobian
    collocation  periodic functions on a collocation grid, and its differentiation matrices
    radau        implicit time steps, and the monodromy matrix of a loop
    krylov       a Newton correction on a fine grid by GMRES
    solver       the periodic motion by Newton's method on a coarse grid, corrected on a finer one
    search       first guesses for Newton's method, in the order in which they are tried
    batch        many settings in one pass
    parameters   settings of a chain and the path of its joint, checked
    settled      settled_loop: the one entry, and the words for what was found
    transient    action that does not loop, from rest
    weighted     the same in mm, degrees, drawings and swings a second
"""

from .settled import SettledLoop, settled_loop, settled_loops

__all__ = ["SettledLoop", "settled_loop", "settled_loops"]
