"""Timing charts, slow in and slow out: how far along each drawing stands.

An easing takes the share of the time that is gone, 0 to 1, and gives the share
of the way that is done: 0 at the first extreme, 1 at the second. A timing chart
is the row of ticks at the edge of an extreme: the share of the way at which
each inbetween stands. Easings work on single numbers and on arrays of any shape.

The trade says slow out for leaving an extreme by small steps and slow in for
closing up on the next one. Pages on the web name it from the other end: their
"ease-in" begins slowly, so it is a slow out.
"""

import numpy as np

from ..model.action import ActionError
from .roots import bracketed_newton

# ---- easings -------------------------------------------------------------------


def even(time):
    """Equal steps: mechanical, for machines and for things that are carried along."""
    return _time(time)


def slow_in_out(time):
    """Small steps at both extremes, the largest half way.

    Notes
    -----
    ``(1 - cos(pi t)) / 2``: a point going half round a circle at an even pace,
    seen edge on (simple harmonic motion).

    Examples
    --------
    >>> slow_in_out([0, 1/4, 1/3, 1/2, 1]).round(3)
    array([0.   , 0.146, 0.25 , 0.5  , 1.   ])
    """
    return 0.5 - 0.5 * np.cos(np.pi * _time(time))


def slow_out(time):
    """Small steps on leaving the first extreme, none held back at the second.

    ``1 - cos(pi t / 2)``: the first half of `slow_in_out`, drawn out.

    Examples
    --------
    >>> slow_out([0, 2/3, 1]).round(3)
    array([0. , 0.5, 1. ])
    """
    return 1.0 - np.cos(0.5 * np.pi * _time(time))


def slow_in(time):
    """Closing up on the second extreme: `slow_out` played backwards, ``sin(pi t / 2)``.

    Examples
    --------
    >>> slow_in([0, 1/3, 1]).round(3)
    array([0. , 0.5, 1. ])
    """
    return np.sin(0.5 * np.pi * _time(time))


def fall(time):
    """A thing let go: after equal times its steps are as 1 to 3 to 5 to 7.

    ``t * t``, without air in the way.

    Examples
    --------
    >>> np.diff(fall(np.linspace(0, 1, 5))) * 16
    array([1., 3., 5., 7.])

    References
    ----------
    Galileo Galilei, Two New Sciences (1638), third day: the odd numbers. From memory.
    """
    return _time(time) ** 2


def minimum_jerk(time):
    """The smoothest way for a hand to reach from rest to rest.

    ``10 t^3 - 15 t^4 + 6 t^5``; half way it goes 1.875 times as fast as an even pace.

    Examples
    --------
    >>> minimum_jerk([0, 0.25, 0.5, 1]).round(3)
    array([0.   , 0.104, 0.5  , 1.   ])

    References
    ----------
    Flash and Hogan (1985), Journal of Neuroscience 5:1688. Formula and greatest speed
    seen in public course texts, the paper itself not.
    """
    t = _time(time)
    return t * t * t * (10.0 + t * (6.0 * t - 15.0))


def cubic_bezier(x1, y1, x2, y2):
    """An easing shaped by two handles, as style sheets of the web write it.

    Parameters
    ----------
    x1, y1, x2, y2 : float
        The handles. `x1` and `x2` are shares of the time and lie from 0 to 1; `y1` and
        `y2` are shares of the way and may lie outside: below 0 it goes back first, above 1
        it overshoots.

    Returns
    -------
    function
        An easing. It solves for the time exactly, to the rounding of the numbers.

    Raises
    ------
    ActionError
        If a handle is not a number, or its time lies outside 0 to 1.

    Examples
    --------
    >>> cubic_bezier(0.42, 0, 0.58, 1)([0, 0.25, 0.5, 1]).round(4)
    array([0.    , 0.1292, 0.5   , 1.    ])

    References
    ----------
    CSS Easing Functions Level 1 (W3C), ``cubic-bezier()``. Seen.
    """
    handles = np.array([x1, y1, x2, y2], float)
    if not np.isfinite(handles).all():
        raise ActionError(f"cubic_bezier{x1, y1, x2, y2}: a handle is not a number; give four numbers")
    for name, x in (("x1", x1), ("x2", x2)):
        if not 0.0 <= x <= 1.0:
            raise ActionError(f"cubic_bezier: {name} is {x:g}; a handle's time must lie from 0 to 1, "
                              "or the curve would be in two places at one time")

    def easing(time):
        t = _time(time)
        s = _solve(x1, x2, t)
        return _bezier(y1, y2, s)

    return easing


def _bezier(a, b, s):
    # From 0 to 1 with handles a and b, nested so that s = 1 gives 1 exactly where a = 0, b = 1.
    r = 1.0 - s
    return s * (3.0 * r * (r * a + s * b) + s * s)


def _solve(x1, x2, t):
    """The s at which the curve's time is t."""
    def time_left(s):
        r = 1.0 - s
        return _bezier(x1, x2, s) - t, 3.0 * (r * r * x1 + 2.0 * r * s * (x2 - x1) + s * s * (1.0 - x2))

    return bracketed_newton(time_left, np.zeros_like(t), t, np.ones_like(t))



# ---- timing charts --------------------------------------------------------------


def timing_chart(inbetweens, easing=slow_in_out):
    """Ticks of a timing chart: how far along each drawing stands.

    Parameters
    ----------
    inbetweens : int
        Drawings between the two extremes, 0 or more.
    easing : function
        One of this module, or any other from time to way.

    Returns
    -------
    ndarray, shape (inbetweens + 2,)
        The extremes included: 0 at the first, 1 at the second.

    Examples
    --------
    >>> timing_chart(3).round(3)
    array([0.   , 0.146, 0.5  , 0.854, 1.   ])
    >>> timing_chart(3, even)
    array([0.  , 0.25, 0.5 , 0.75, 1.  ])
    """
    if inbetweens != int(inbetweens) or inbetweens < 0:
        raise ActionError(f"{inbetweens} inbetweens; give a whole number, 0 or more")
    return np.asarray(easing(np.linspace(0.0, 1.0, int(inbetweens) + 2)), float)


def _time(time):
    t = np.asarray(time, float)
    if not ((t >= 0.0) & (t <= 1.0)).all():
        worst = t[~((t >= 0.0) & (t <= 1.0))].flat[0]
        raise ActionError(f"{worst:g} of the time is gone; give a share from 0 to 1")
    return t
