"""The value of a curve through points, linear or monotone cubic, never extrapolated.

Monotone cubic: F. N. Fritsch and R. E. Carlson, Monotone Piecewise Cubic Interpolation, SIAM J. Numer. Anal. 17 (1980), in the
harmonic-mean form of Fritsch and Butland (1984), from memory; tested against SciPy's PCHIP, which uses the same rule.
"""

from __future__ import annotations

from collections.abc import Sequence


class OutsideCurve(Exception):
    """A curve was asked beyond its first or last point; `name` is the curve's, `end` the SI x at which its points end there."""

    def __init__(self, name: str, end: float) -> None:
        self.name, self.end = name, end
        super().__init__(name)


def on_curve(name: str, points: Sequence[Sequence[float]], method: str, x: float) -> float:
    """y at x. points: [x, y] SI pairs with rising x, two or more. Raises OutsideCurve beyond the ends."""
    if not points[0][0] <= x <= points[-1][0]:
        raise OutsideCurve(name, points[0][0] if x < points[0][0] else points[-1][0])
    k = 0
    while k < len(points) - 2 and x > points[k + 1][0]:
        k += 1
    (x0, y0), (x1, y1) = points[k], points[k + 1]
    t = (x - x0) / (x1 - x0)
    if method == "linear":
        return y0 + t * (y1 - y0)
    h = x1 - x0
    d0, d1 = slope_at(points, k), slope_at(points, k + 1)
    return (
        y0 * (1 + 2 * t) * (1 - t) * (1 - t)
        + h * d0 * t * (1 - t) * (1 - t)
        + y1 * t * t * (3 - 2 * t)
        + h * d1 * t * t * (t - 1)
    )


def slope_at(points: Sequence[Sequence[float]], k: int) -> float:
    """Slope of the monotone cubic at point k."""
    last = len(points) - 1
    if last == 1:
        return _secant(points, 0)
    if k in (0, last):
        return _end_slope(points, k)
    left, right = _secant(points, k - 1), _secant(points, k)
    if left * right <= 0:
        return 0.0
    h0, h1 = points[k][0] - points[k - 1][0], points[k + 1][0] - points[k][0]
    w0, w1 = 2 * h1 + h0, h1 + 2 * h0
    return (w0 + w1) / (w0 / left + w1 / right)


def _end_slope(points: Sequence[Sequence[float]], k: int) -> float:
    # Three-point end formula, limited so that the curve stays monotone.
    near, far = (0, 1) if k == 0 else (len(points) - 2, len(points) - 3)
    h0, h1 = points[near + 1][0] - points[near][0], points[far + 1][0] - points[far][0]
    s0, s1 = _secant(points, near), _secant(points, far)
    slope = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1)
    if slope * s0 <= 0:
        return 0.0
    if s0 * s1 <= 0 and abs(slope) > abs(3 * s0):
        return 3 * s0
    return slope


def _secant(points: Sequence[Sequence[float]], k: int) -> float:
    return (points[k + 1][1] - points[k][1]) / (points[k + 1][0] - points[k][0])
