"""Arithmetic that never raises: where mathematics has no answer it gives NaN or an infinity, exactly as JavaScript does.

So a formula fails in the same place on server and phone, and one rule ('an answer must be finite') refuses on both sides.
"""

from __future__ import annotations

import math
from collections.abc import Callable

NAN = math.nan


def divide(a: float, b: float) -> float:
    if b:
        return a / b
    if not a or math.isnan(a) or math.isnan(b):
        return NAN
    return math.copysign(math.inf, math.copysign(1.0, a) * math.copysign(1.0, b))


def power(a: float, b: float) -> float:
    try:
        return math.pow(a, b)
    except OverflowError:
        return math.inf if a > 0 or b % 2 == 0 else -math.inf
    except ValueError:
        return math.inf if a == 0 else NAN


def guarded(function: Callable[[float], float], beyond: float = NAN) -> Callable[[float], float]:
    """`function` with NaN instead of a domain error and `beyond` instead of an overflow."""

    def safe(x: float) -> float:
        try:
            return function(x)
        except ValueError:
            return NAN
        except OverflowError:
            return beyond

    return safe


def _log(x: float) -> float:
    return -math.inf if x == 0 else math.log(x)


def least(*values: float) -> float:
    for value in values:
        if value != value:
            return NAN
    return min(values)


def most(*values: float) -> float:
    for value in values:
        if value != value:
            return NAN
    return max(values)


def _rounded(function: Callable[[float], int]) -> Callable[[float], float]:
    return lambda x: float(function(x)) if math.isfinite(x) else x


FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": guarded(math.sqrt),
    "exp": guarded(math.exp, math.inf),
    "log": guarded(_log),
    "sin": guarded(math.sin),
    "cos": guarded(math.cos),
    "tan": guarded(math.tan),
    "asin": guarded(math.asin),
    "acos": guarded(math.acos),
    "atan": math.atan,
    "abs": abs,
    "floor": _rounded(math.floor),
    "ceiling": _rounded(math.ceil),
    "min": least,
    "max": most,
}
