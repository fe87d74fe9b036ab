"""Link-up: the last drawing runs on into the first.

A jump at the seam leaves the last drawing over on one side and the first on
the other. The measure is the jump that best explains what is left over on
both sides of the seam, against the local spacing; it counts only where it
explains more than any one drawing out of place would.
Source: common practice, no source. Tolerance chosen by trial.
"""

import numpy as np

from ..finding import Finding

NAME = "link-up"
LEAST = 2.0  # mm, for pencils have a width


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    if not m.loop:
        return "this action does not loop, so nothing links up"
    return "" if m.enough else f"{m.count} drawings are too few to see a link-up"


def jump(m):
    """Jump of each joint at the seam, complex mm, (..., joints), and whether it explains the seam
    better than one drawing out of place would, (...)."""
    operator = m.stack.left_over
    n = m.count
    shape = operator @ (np.arange(n) >= n // 2).astype(float)   # a step at the seam, and one far from it
    near = np.array([n - 3, n - 2, n - 1, 0, 1, 2])
    shape = shape[near]
    left = m.left_over[..., near, :]
    size = shape @ shape
    fit = np.einsum("d,...dj->...j", shape, left) / size
    explained = (np.abs(fit) ** 2).sum(axis=-1) * size
    single = operator[:, near[1:-1]]                      # each column: one drawing out of place by 1 mm
    weight = (single**2).sum(axis=0)
    alone = np.abs(np.einsum("dk,...dj->...kj", single, m.left_over)) ** 2
    alone = (alone.sum(axis=-1) / weight).max(axis=-1)
    return fit, explained > alone


def allowed(m, brief):
    """What is allowed, mm, (..., joints)."""
    local = (m.spacing[..., -1, :] + m.spacing[..., 0, :]) / 2.0
    least = np.maximum(LEAST, 6.0 * m.unsteady[..., 0])
    return np.maximum(brief.tolerance(NAME) * local, least)


def broken(m, brief):
    """True where a joint jumps from the last drawing to the first, (..., joints)."""
    fit, seam = jump(m)
    return (np.abs(fit) > allowed(m, brief)) & seam[..., None]


def findings(limb, m, brief):
    flags = broken(m, brief)
    if not flags.any():
        return []
    fit = np.abs(jump(m)[0])
    limit = allowed(m, brief)
    j = int(np.argmax(np.where(flags, fit / limit, 0.0)))
    joint, last = limb.joints[j], m.count
    gap = m.distance[0, j]
    beside = (m.distance[-1, j] + m.distance[1, j]) / 2.0
    return [Finding(
        rule=NAME, limb=limb.name, joint=joint, drawings=(last, 1),
        measured=float(fit[j]), allowed=float(limit[j]), unit="mm",
        head=f"{last} doesn't run into 1.",
        text=f"The step of the {joint} is {gap:.0f} mm and the ones beside it {beside:.0f}; it jumps {fit[j]:.1f} mm "
             f"aside of where it should go. Flip {last - 1}, {last}, 1, 2 as one swing. Where each drawing is a "
             "little further round than it should be, share the jump over all of them.",
        shows=f"jumps {fit[j]:.1f} mm", looked_for=f"at most {limit[j]:.1f} mm",
        short=f"{joint} jumps {fit[j]:.1f} mm from {last} to 1",
    )]
