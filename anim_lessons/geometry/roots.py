"""Roots of many functions at once."""

import numpy as np

_NEWTON_STEPS = 12  # about 5 are needed; where the slope vanishes they are short, and bisection is faster
_STEPS = 80  # Newton's and bisection together: enough to halve an interval down to rounding
_ROUNDING = 4e-16  # relative


def bracketed_newton(function, low, start, high, scale=0.0):
    """Roots by Newton's method within brackets that close; bisection where a step would leave its bracket.

    Parameters
    ----------
    function : callable
        Gives values and slopes, each (...), at x (...). It rises through 0 between `low` and `high`.
    low, start, high : ndarrays, shape (...)
    scale : float
        A step below 4e-16 of this, or of x if that is larger, ends the search.

    Returns
    -------
    ndarray, shape (...)

    Examples
    --------
    >>> bracketed_newton(lambda x: (x * x - 2, 2 * x), np.array([0.0]), np.array([1.0]), np.array([2.0]))
    array([1.41421356])
    """
    x = start
    for attempt in range(_STEPS):
        value, slope = function(x)
        # A zero through which the function falls is not the one looked for: go on above it.
        low = np.where(value <= 0.0, x, low)
        high = np.where((value > 0.0) | ((value == 0.0) & (slope >= 0.0)), x, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = x - value / slope
        inside = (slope > 0.0) & (low <= newton) & (newton <= high) & (attempt < _NEWTON_STEPS)
        before, x = x, np.where(inside, newton, 0.5 * (low + high))
        if (np.abs(x - before) <= _ROUNDING * np.maximum(np.abs(before), scale)).all():
            break
    return x
