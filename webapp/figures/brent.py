"""Root of a function inside a bracket: bisection made faster by inverse interpolation, never leaving the bracket.

Source: R. P. Brent, Algorithms for Minimization without Derivatives (1973), chapter 4 (from memory).
static/js/lib/search.js holds the same algorithm step for step, so that server and phone stop on the same number.
"""

from __future__ import annotations

from collections.abc import Callable

EPSILON = 2.0**-52
MOST_STEPS = 200


def root_between(
    function: Callable[[float], float], low: float, high: float, at_low: float, at_high: float
) -> float:
    """x in [low, high] where `function` changes sign, to the last bits of a float.

    at_low, at_high   the function's values at the ends; of unlike sign, or one of them nought.
    """
    a, b, fa, fb = low, high, at_low, at_high
    if abs(fa) < abs(fb):
        a, b, fa, fb = b, a, fb, fa
    c, fc, d, bisected = a, fa, a, True
    for _ in range(MOST_STEPS):
        if fb == 0 or abs(b - a) <= 2 * EPSILON * abs(b) + 1e-300:
            return b
        s = _guess(a, b, c, fa, fb, fc)
        between = min((3 * a + b) / 4, b) < s < max((3 * a + b) / 4, b)
        last = abs(b - c) if bisected else abs(c - d)
        if not between or abs(s - b) >= last / 2 or last < EPSILON * abs(b):
            s, bisected = (a + b) / 2, True
        else:
            bisected = False
        fs = function(s)
        d, c, fc = c, b, fb
        if (fa < 0) != (fs < 0):
            b, fb = s, fs
        else:
            a, fa = s, fs
        if abs(fa) < abs(fb):
            a, b, fa, fb = b, a, fb, fa
    return b


def _guess(a: float, b: float, c: float, fa: float, fb: float, fc: float) -> float:
    if fa != fc and fb != fc:
        return (
            a * fb * fc / ((fa - fb) * (fa - fc))
            + b * fa * fc / ((fb - fa) * (fb - fc))
            + c * fa * fb / ((fc - fa) * (fc - fb))
        )
    return b - fb * (b - a) / (fb - fa)
