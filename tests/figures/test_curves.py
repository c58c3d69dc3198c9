"""Curves through points: the same as SciPy's and NumPy's between the points, and never a value beyond them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from figures.one_figure import worked
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from webapp.figures.curves import OutsideCurve, on_curve, slope_at

STEPS = st.lists(st.floats(0.01, 100), min_size=1, max_size=9)
# To a millionth: what lies so much closer to nought that its square vanishes is no height of a pump's curve.
HEIGHTS = st.integers(-(10**9), 10**9).map(lambda millionths: millionths / 1e6)


@st.composite
def curves(draw) -> list[list[float]]:
    """[x, y] points with rising x."""
    xs = np.cumsum([draw(st.floats(-100, 100)), *draw(STEPS)])
    return [[float(x), draw(HEIGHTS)] for x in xs]


def sides(points: list[list[float]]) -> tuple[list[float], list[float]]:
    return [x for x, _ in points], [y for _, y in points]


def between(points: list[list[float]], share: float) -> float:
    first, last = points[0][0], points[-1][0]
    return min(max(first + (last - first) * share, first), last)


@given(curves(), st.floats(0, 1))
def test_a_linear_curve_is_that_of_numpy(points, share):
    x = between(points, share)
    assert on_curve("c", points, "linear", x) == pytest.approx(
        float(np.interp(x, *sides(points))), rel=1e-9, abs=1e-9
    )


@given(curves(), st.floats(0, 1))
def test_a_monotone_curve_is_that_of_scipy(points, share):
    x = between(points, share)
    assert on_curve("c", points, "monotone", x) == pytest.approx(
        float(PchipInterpolator(*sides(points))(x)), rel=1e-9, abs=1e-9
    )


@given(curves())
def test_the_slopes_of_a_monotone_curve_are_those_of_scipy(points):
    theirs = PchipInterpolator(*sides(points)).derivative()(sides(points)[0])
    ours = [slope_at(points, k) for k in range(len(points))]
    assert ours == pytest.approx(list(theirs), rel=1e-7, abs=1e-7)


@given(curves(), st.sampled_from(["linear", "monotone"]))
def test_a_curve_goes_through_its_points(points, method):
    for x, y in points:
        assert on_curve("c", points, method, x) == pytest.approx(y, rel=1e-12, abs=1e-12)


@given(curves(), st.sampled_from(["linear", "monotone"]), st.floats(0, 1))
def test_a_curve_never_leaves_the_heights_of_the_two_points_it_runs_between(points, method, share):
    x = between(points, share)
    y = on_curve("c", points, method, x)
    k = max(n for n, (left, _) in enumerate(points[:-1]) if left <= x)
    low, high = sorted((points[k][1], points[k + 1][1]))
    room = 1e-9 * (1 + abs(low) + abs(high))
    assert low - room <= y <= high + room


@given(curves(), st.sampled_from(["linear", "monotone"]))
def test_a_curve_is_never_drawn_on_beyond_its_ends(points, method):
    for x in (
        math.nextafter(points[0][0], -math.inf),
        math.nextafter(points[-1][0], math.inf),
        math.nan,
        math.inf,
    ):
        with pytest.raises(OutsideCurve) as caught:
            on_curve("pump", points, method, x)
        assert caught.value.name == "pump"


PUMP = """
takes:
  pressure: {label: P, kind: gauge pressure, in: kPa, value: 100, from: 0, to: 900}
  pump:
    {label: Pump, kind: volume flow, in: L/h, from: 0, to: 300, method: %s, points: ['0: 255', '300: 190', '600: 20'],
      across: {label: At, kind: gauge pressure, in: kPa, from: 0, to: 600}}
gives:
  flow: {label: Q, kind: volume flow, in: L/h, formula: pump(pressure), first: true}
"""


@pytest.mark.parametrize(
    ("method", "pressure", "flow"),
    [
        ("linear", "150 kPa", 222.5),
        ("linear", "450 kPa", 105),
        ("monotone", "300 kPa", 190),
        ("monotone", "0 kPa", 255),
        ("linear", "600 kPa", 20),
    ],
)
def test_a_figure_reads_its_curve(method, pressure, flow):
    assert worked(PUMP % method).answers(pressure=pressure)["flow"] * 3.6e6 == pytest.approx(flow)


def test_a_monotone_figure_agrees_with_scipy_between_its_points():
    curve = PchipInterpolator([0, 300, 600], [255, 190, 20])
    figure = worked(PUMP % "monotone")
    for kpa in (17, 150, 299, 301, 450, 599):
        assert figure.answers(pressure=f"{kpa} kPa")["flow"] * 3.6e6 == pytest.approx(
            float(curve(kpa)), rel=1e-12
        )


def test_beyond_the_points_the_figure_refuses_and_names_the_curve():
    assert worked(PUMP % "linear").refusal(pressure="601 kPa") == ("curve", "pump")


def test_typed_points_take_the_place_of_the_files_own_and_must_rise():
    figure = worked(PUMP % "linear")
    assert figure.answers(pressure="1 bar", pump="0: 100; 2 bar: 50 L/h")["flow"] * 3.6e6 == pytest.approx(75)
    assert figure.refusal(pressure="1 bar", pump="0: 100; 0: 50") == ("points", "pump")
    assert figure.refusal(pressure="1 bar", pump="0: 100") == ("points", "pump")
