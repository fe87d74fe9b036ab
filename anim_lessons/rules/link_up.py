"""Link-up: the last drawing runs on into the first.

A jump at the seam leaves the last drawing over on one side and the first on
the other. The measure is the jump that best explains what is left over on
both sides of the seam, against the local spacing; it counts only where it
explains more than any one drawing out of place would. A last drawing that does
not run into the first jumps with several joints. Where one joint jumps by itself,
a quick hand may only be turning sharply between few drawings: its jump must also
stand clear of what it leaves unexplained.
Source: common practice, no source. Tolerance chosen by trial.
"""

from functools import lru_cache

import numpy as np

from ..geometry.angles import times
from ..model.words import shown, the, told_apart, verb
from .finding import WHOLE, Finding
from .rule import LOOP, SEEN, Rule, Tolerance

NAME = "link-up"
LEAST = 1.5    # mm, for pencils have a width
TWIN = 0.5  # of what stands out round the seam, squared
UNLIKE = 1.6  # times as much where exposures round the seam differ
CLEAR = 0.955  # a jump explains about 1.07 times what one drawing out of place would, such a drawing 0.94 times
SHARED = 0.5   # of what is allowed: a joint that jumps less takes no part in another's jump
SURE = 2.0     # times what a joint's jump leaves unexplained, where it jumps by itself
ROUND = 3      # drawings on either side of the seam in which that is looked for


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    if not m.loop:
        return "this action does not loop, so nothing links up"
    return "" if m.enough else f"{m.count} drawings are too few to see a link-up"


@lru_cache(maxsize=64)
def _patterns(stack):
    """What a jump of 1 mm at the seam leaves standing out, and each of the four drawings round it out of place by as much,
    shape (5, drawings), with the square of each, (5,); last, what an unsteadiness of 1 mm does to the jump."""
    # A steady drift is smooth everywhere but at the seam, where the next turn begins one jump back.
    seam = -stack.outlier @ stack.time
    leaves = np.stack([seam, *stack.outlier[:, [-2, -1, 0, 1]].T])
    sizes = (leaves**2).sum(axis=1)
    return leaves, sizes, np.linalg.norm(seam @ stack.outlier) / sizes[0]


def jump(m):
    """Jump of each joint at the seam, complex mm, (..., joints), and whether it explains what stands out
    better than one drawing out of place would, (...)."""
    leaves, sizes, _ = _patterns(m.stack)
    found = times(leaves, m.outlier)
    explained = (np.abs(found) ** 2).sum(axis=-1) / sizes
    return found[..., 0, :] / sizes[0], explained[..., 0] > CLEAR * explained[..., 1:].max(axis=-1)


def allowed(m, brief):
    """What is allowed, mm, (..., joints)."""
    fit, most = jump(m)[0], _usual(m, brief)
    by_itself = (np.abs(fit) > SHARED * most).sum(axis=-1, keepdims=True) < 2
    return most + np.where(by_itself, SURE * _unexplained(m, fit), 0.0)


def _usual(m, brief):
    """What is allowed where several joints jump, mm, (..., joints)."""
    # The step across the seam itself is the one in question, so it has no say.
    local = (m.distance[..., -1, :] + m.distance[..., 1, :]) / 2.0
    least = np.maximum(LEAST, 4.5 * _patterns(m.stack)[-1] * m.unsteady[..., 0])
    most = np.maximum(brief.tolerance(NAME) * local, least)
    return most if m.stack.alike[[-1, 0]].all() else UNLIKE * most


def _unexplained(m, fit):
    """What still stands out round the seam once the jump is taken out, as the size of a jump, mm, (..., joints)."""
    leaves, sizes, _ = _patterns(m.stack)
    near = np.unique(np.arange(-ROUND, ROUND) % m.count)
    left = m.outlier[..., near, :] - leaves[0, near, None] * fit[..., None, :]
    return np.sqrt((np.abs(left) ** 2).sum(axis=-2) / sizes[0])


def broken_whole(m, brief):
    """True where a joint jumps from the last drawing to the first, (..., joints)."""
    fit, seam = jump(m)
    flags = (np.abs(fit) > _usual(m, brief)) & seam[..., None]
    return flags & (np.abs(fit) > allowed(m, brief) + SEEN) & ~_twin(m) if flags.any() else flags


def _twin(m):
    """True where half a loop from the seam as much stands out: that is the shape of the movement, (..., joints)."""
    out, seam = np.abs(m.outlier) ** 2, np.arange(-2, 2)
    far = m.stack.opposite[:, seam].ravel()
    return out[..., np.unique(far), :].sum(axis=-2) > TWIN * out[..., seam, :].sum(axis=-2)


def findings(limb, m, brief):
    flags = broken_whole(m, brief)
    if not flags.any():
        return []
    fit = np.abs(jump(m)[0])
    limit = allowed(m, brief)
    j = int(np.argmax(np.where(flags, fit / limit, 0.0)))
    joint, last = limb.joints[j], m.count
    gap = m.distance[0, j]
    beside = (m.distance[-1, j] + m.distance[1, j]) / 2.0
    jumps, most = told_apart(fit[j], limit[j], 1)
    return [Finding(
        rule=NAME, limb=limb.name, joint=joint, drawings=(last, 1),
        measured=float(fit[j]), allowed=float(limit[j]), unit="mm",
        head=f"{last} doesn't run into 1.",
        amount=f"The step of {the(joint)} is {gap:.0f} mm and the ones beside it {beside:.0f} mm; it lands {jumps} mm "
               "aside of where it should.",
        then=f"Flip {last - 1}, {last}, 1, 2 as one swing.", cells=tuple((WHOLE, k) for k in range(m.joints)),
        shows=f"jumps {jumps} mm", looked_for=f"at most {most} mm",
        short=f"{shown(joint)} {verb(joint, 'jumps', 'jump')} {jumps} mm from {last} to 1",
    )]


RULE = Rule(
    name=NAME, order=8, flip=1, lessons=("08_link_up",), scope=LOOP,
    asks="the last drawing runs on into the first", why="a jump between last and first comes back in every round",
    kept="the last drawing runs into the first",
    tolerances=(Tolerance(NAME, 0.6, "local spacing; never less than 1.5 mm", 0.9, 0.4),),
    about="seam", rank=4, cure="share", judged=judged, broken_whole=broken_whole, findings=findings,
)
