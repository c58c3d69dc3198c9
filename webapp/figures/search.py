"""Where does a function cross nought inside a range? Used to solve a Figure for one of its inputs.

static/js/lib/search.js is the same search step for step.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from ..errors import NoSolution
from .brent import root_between

STEPS = 96
# A range over more than this factor is walked through in equal ratios instead of equal steps.
WIDE = 50.0
BORDER_STEPS = 60
# How far, relative to the wanted answer, the found input's answer may be off before it counts as a jump instead of a root.
CLOSE = 1e-6


def nearest_crossing(
    off: Callable[[float], float], low: float, high: float, near: float, wanted: float
) -> float:
    """x in [low, high] with off(x) = 0; of several, the one nearest to `near`.

    off       the answer at x less the wanted one; NaN where there is no answer
    wanted    the wanted answer, needed to report what can be reached
    Raises    NoSolution with the lowest and highest answer met.
    """
    samples = [(x, off(x)) for x in _grid(low, high)]
    known = _with_borders(off, samples)
    roots = []
    for (x0, f0), (x1, f1) in pairwise(known):
        if (f0 == 0) != (f1 == 0) and _gapless(samples, x0, x1):
            # Where the answer stays at the wanted one over a stretch, its edge is the root, not whichever sample lies in it.
            roots.append(_edge(lambda x: off(x) == 0, *((x0, x1) if f0 == 0 else (x1, x0))))
        elif (f0 < 0) != (f1 < 0) and f0 != 0 and _gapless(samples, x0, x1):
            x = root_between(off, x0, x1, f0, f1)
            if abs(off(x)) <= CLOSE * max(abs(wanted), abs(f0), abs(f1)):
                roots.append(x)
    if known and all(f == 0 for _, f in known):
        # Every value gives the wanted answer, so the given one may stay.
        return min(max(near, low), high)
    if roots:
        return min(roots, key=lambda x: abs(x - near))
    answers = [f + wanted for _, f in known]
    raise NoSolution(answers)


def _grid(low: float, high: float) -> list[float]:
    if low > 0 and high / low > WIDE:
        return [low * (high / low) ** (n / STEPS) for n in range(STEPS)] + [high]
    return [low + (high - low) * n / STEPS for n in range(STEPS)] + [high]


def _with_borders(
    off: Callable[[float], float], samples: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    """The samples that have an answer, with a further one at each border beyond which there is none."""
    known = []
    for (x0, f0), (x1, f1) in pairwise(samples):
        if math.isfinite(f0):
            known.append((x0, f0))
        if math.isfinite(f0) != math.isfinite(f1):
            inside, outside = (x0, x1) if math.isfinite(f0) else (x1, x0)
            border = _edge(lambda x: math.isfinite(off(x)), inside, outside)
            known.append((border, off(border)))
    if math.isfinite(samples[-1][1]):
        known.append(samples[-1])
    return known


def _edge(holds: Callable[[float], bool], inside: float, outside: float) -> float:
    """The last x towards `outside` for which `holds`, which it does at `inside`."""
    for _ in range(BORDER_STEPS):
        middle = (inside + outside) / 2
        if holds(middle):
            inside = middle
        else:
            outside = middle
    return inside


def _gapless(samples: list[tuple[float, float]], x0: float, x1: float) -> bool:
    """Whether no sample without an answer lies between two neighbours."""
    return not any(x0 < x < x1 and not math.isfinite(f) for x, f in samples)
