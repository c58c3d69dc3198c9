"""Solving for an input: the root inside a bracket, the crossing nearest to what was given, and what is said when there is none."""

from __future__ import annotations

import math

import pytest
from figures.one_figure import worked
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from webapp.errors import NoSolution
from webapp.figures.brent import root_between
from webapp.figures.search import nearest_crossing

FAMILY = {
    "a line": (lambda x: 3 * x - 1, -5, 7),
    "a cubic": (lambda x: x**3 - 2 * x - 5, 2, 3),
    "a flat cubic": (lambda x: (x - 1) ** 3, -3, 4),
    "a ninth power": (lambda x: x**9 - 1e-5, -0.4, 1.3),
    "an exponential": (lambda x: math.exp(x) - 2, -4, 4),
    "a steep exponential": (lambda x: math.exp(50 * x) - 1e9, 0, 1),
    "a cosine": (lambda x: math.cos(x) - x, 0, 1),
    "a logarithm": (math.log, 0.1, 30),
    "a root of its own": (lambda x: math.copysign(math.sqrt(abs(x - 0.3)), x - 0.3), -1, 1),
    "a near pole": (lambda x: 1 / (x + 1e-6) - 3, 0, 1),
    "a hyperbolic tangent": (lambda x: math.tanh(1000 * (x - 0.7)), 0, 1),
    "a tiny scale": (lambda x: 1e-200 * (x - 0.25), 0, 1),
    "a large scale": (lambda x: 1e200 * (x - 0.25), 0, 1),
}  # fmt: skip


def bracketed(function, low, high):
    return root_between(function, low, high, function(low), function(high))


@pytest.mark.parametrize("name", FAMILY)
def test_the_root_inside_a_bracket_is_that_of_scipy(name):
    function, low, high = FAMILY[name]
    theirs = brentq(function, low, high, xtol=1e-15, rtol=8.9e-16, maxiter=1000)
    ours = bracketed(function, low, high)
    room = 1e-5 if name == "a flat cubic" else 1e-12
    assert ours == pytest.approx(theirs, rel=room, abs=1e-13)
    assert low <= ours <= high


@pytest.mark.parametrize("name", FAMILY)
def test_the_order_of_the_ends_makes_no_difference(name):
    function, low, high = FAMILY[name]
    room = 1e-5 if name == "a flat cubic" else 1e-12
    assert bracketed(function, high, low) == pytest.approx(
        bracketed(function, low, high), rel=room, abs=1e-13
    )


def test_an_end_that_is_the_root_is_it():
    assert bracketed(lambda x: x - 2, 2, 5) == 2
    assert bracketed(lambda x: x - 5, 2, 5) == 5


@settings(max_examples=200)
@given(st.floats(-1e3, 1e3), st.floats(1e-3, 1e3), st.floats(1e-3, 1e3), st.integers(1, 5))
def test_the_root_of_an_odd_power_is_found_wherever_it_lies(root, below, above, power):
    calls = []

    def function(x):
        calls.append(x)
        return (x - root) * (1 + abs(x - root) ** power)

    found = bracketed(function, root - below, root + above)
    assert found == pytest.approx(root, rel=1e-12, abs=1e-12)
    assert all(root - below <= x <= root + above for x in calls)
    assert len(calls) < 210


# -- crossings in a range ------------------------------------------------------------------------------------


def cross(answer, low, high, near, wanted):
    return nearest_crossing(lambda x: answer(x) - wanted, low, high, near, wanted)


def test_of_several_crossings_the_one_nearest_to_the_given_value_is_taken():
    """sin x = 0.5 at 30, 150, 390 and 510 degrees."""
    for near, root in ((0, 30), (95, 150), (250, 150), (300, 390), (720, 510)):
        found = cross(lambda x: math.sin(math.radians(x)), 0, 720, near, 0.5)
        assert found == pytest.approx(root, rel=1e-12)


@given(st.floats(0.51, 99), st.floats(0, 100))
def test_a_rising_answer_has_its_one_crossing_wherever_one_looks_first(wanted_at, near):
    assert cross(lambda x: x**3 + x, 0, 100, near, wanted_at**3 + wanted_at) == pytest.approx(
        wanted_at, rel=1e-12
    )


def test_a_wide_range_is_walked_through_in_equal_ratios():
    """From 1 to a million, equal steps would jump over both crossings of this hump in one stride."""
    hump = lambda x: 1 / (1 + (math.log10(x) - 1) ** 2)  # noqa: E731
    low = cross(hump, 1, 1e6, 1, 0.9)
    high = cross(hump, 1, 1e6, 1e6, 0.9)
    assert math.log10(low) == pytest.approx(1 - 1 / 3, rel=1e-9)
    assert math.log10(high) == pytest.approx(1 + 1 / 3, rel=1e-9)


@pytest.mark.parametrize("wanted", [0.0, 3.0, 10.0])
def test_an_answer_reached_at_an_end_of_the_range_counts(wanted):
    assert cross(lambda x: x, 0, 10, 5, wanted) == wanted


def test_just_beyond_what_can_be_reached_there_is_none_and_the_reachable_range_is_told():
    with pytest.raises(NoSolution) as caught:
        cross(lambda x: 2 * x, 1, 10, 5, math.nextafter(20, 21))
    assert (caught.value.lowest, caught.value.highest) == (2, 20)


def test_a_pole_is_no_root():
    with pytest.raises(NoSolution):
        cross(lambda x: 1 / (x - 5.0123) if x != 5.0123 else math.inf, 0, 10, 5, 0.0)


@pytest.mark.parametrize("jump", [0.01, 1.0, 1e6])
def test_a_jump_over_the_wanted_answer_is_no_root(jump):
    """Piecewise formulas jump: an answer that is never given must not be claimed."""
    with pytest.raises(NoSolution) as caught:
        cross(lambda x: 10 - jump if x < 3.21 else 10 + jump, 0, 10, 5, 10.0)
    assert (caught.value.lowest, caught.value.highest) == (10 - jump, 10 + jump)


def test_a_jump_elsewhere_does_not_hide_a_root():
    assert cross(lambda x: x if x < 7 else x + 100, 0, 10, 9, 4.5) == pytest.approx(4.5)


def test_a_crossing_between_the_border_of_what_has_an_answer_and_the_next_sample_is_found():
    """sqrt(x - 5.01) has answers from 5.01 only; the wanted one lies just inside."""
    answer = lambda x: math.sqrt(x - 5.01) if x >= 5.01 else math.nan  # noqa: E731
    assert cross(answer, 0, 10, 0, 0.01) == pytest.approx(5.0101, rel=1e-9)
    assert cross(answer, 0, 10, 0, 0.0) == pytest.approx(5.01, rel=1e-12)


def test_the_reachable_range_goes_up_to_the_border_of_what_has_an_answer():
    answer = lambda x: 2 * x if x <= 7.77 else math.nan  # noqa: E731
    with pytest.raises(NoSolution) as caught:
        cross(answer, 0, 10, 0, 16)
    assert caught.value.highest == pytest.approx(15.54, rel=1e-12)


def test_no_root_is_claimed_across_a_gap_without_answers():
    answer = lambda x: (-1.0 if x < 5 else 1.0) if abs(x - 5) > 1 else math.nan  # noqa: E731
    with pytest.raises(NoSolution):
        cross(answer, 0, 10, 5, 0.0)


def test_without_any_answer_no_reachable_range_is_claimed():
    with pytest.raises(NoSolution) as caught:
        cross(lambda x: math.nan, 0, 10, 5, 1.0)
    assert (caught.value.lowest, caught.value.highest) == (None, None)


def test_where_the_answer_stays_at_the_wanted_one_the_edge_of_the_stretch_is_taken():
    answer = lambda x: min(max(x, 3.0), 6.0)  # noqa: E731
    assert cross(answer, 0, 10, 0, 3.0) == pytest.approx(3.0, rel=1e-12)
    assert cross(answer, 0, 10, 9, 6.0) == pytest.approx(6.0, rel=1e-12)


@pytest.mark.parametrize(("near", "found"), [(4.0, 4.0), (-1.0, 0.0), (11.0, 10.0)])
def test_an_input_that_changes_nothing_may_stay_where_it_is(near, found):
    assert cross(lambda x: 7.0, 0, 10, near, 7.0) == found


def test_an_input_that_changes_nothing_cannot_give_another_answer():
    with pytest.raises(NoSolution) as caught:
        cross(lambda x: 7.0, 0, 10, 5, 8.0)
    assert (caught.value.lowest, caught.value.highest) == (7.0, 7.0)


# -- through a Figure ----------------------------------------------------------------------------------------

ORIFICE = """
takes:
  rated_flow: {label: R, kind: volume flow, in: cc/min, value: 310, from: 20, to: 5000}
  rail: {label: P, kind: gauge pressure, in: psi, value: 43.5, from: 5, to: 150}
  manifold: {label: M, kind: gauge pressure, in: psi, value: 8, from: -14, to: 40}
  cylinders: {label: N, kind: count, in: ×1, value: 4, from: 1, to: 12}
gives:
  drop: {label: D, kind: pressure difference, in: psi, formula: rail - manifold}
  flow: {label: F, kind: volume flow, in: cc/min, formula: rated_flow * sqrt(drop / drop_rated) * cylinders, first: true}
constants:
  drop_rated: {label: D, kind: pressure difference, value: 3 bar, source: made up}
refuse: [{when: drop <= 0, say: "No flow."}]
"""


def test_an_input_is_found_for_a_wanted_answer_and_gives_it_back():
    figure = worked(ORIFICE)
    wanted = figure.si("flow", "1000 cc/min")
    found = figure.calculator.solve("rail", "flow", wanted, figure.givens())
    assert figure.calculator.answer("flow", {**figure.givens(), "rail": found}) == pytest.approx(
        wanted, rel=1e-12
    )
    by_hand = figure.si("manifold", "8 psi") + 3e5 * (1000 / (310 * 4)) ** 2
    assert found == pytest.approx(by_hand, rel=1e-12)


def test_any_numeric_answer_can_be_wanted():
    figure = worked(ORIFICE)
    found = figure.calculator.solve("manifold", "drop", figure.si("drop", "40 psi"), figure.givens())
    assert found == pytest.approx(figure.si("manifold", "3.5 psi"), rel=1e-12)


def test_beyond_the_range_the_answers_that_can_be_reached_are_told():
    figure = worked(ORIFICE)
    with pytest.raises(NoSolution) as caught:
        figure.calculator.solve("rail", "flow", figure.si("flow", "9000 cc/min"), figure.givens())
    assert caught.value.lowest == pytest.approx(0, abs=figure.si("flow", "0.1 cc/min"))
    assert caught.value.highest == pytest.approx(
        figure.calculator.answer("flow", figure.givens(rail="150 psi")), rel=1e-12
    )


def test_a_count_is_found_as_a_whole_number_or_not_at_all():
    figure = worked(ORIFICE)
    six = figure.calculator.answer("flow", figure.givens(cylinders="6"))
    assert figure.calculator.solve("cylinders", "flow", six, figure.givens()) == 6.0
    with pytest.raises(NoSolution) as caught:
        figure.calculator.solve("cylinders", "flow", six * 1.01, figure.givens())
    assert caught.value.lowest == pytest.approx(six / 6)
    assert caught.value.highest == pytest.approx(six * 2)


HOLLOW = """
takes:
  n: {label: N, kind: count, in: ×1, value: 4, from: 1, to: 9}
gives:
  y: {label: Y, kind: ratio, in: ×, formula: (n - 4) ** 2, first: true}
"""


@pytest.mark.parametrize(("typed", "found"), [("2", 2.0), ("8", 6.0), ("9", 6.0), ("1", 2.0), ("4", 2.0)])
def test_of_several_counts_the_one_nearest_to_what_was_typed_is_found(typed, found):
    """(n − 4)² is 4 at n = 2 and at n = 6; of two as near, the smaller."""
    figure = worked(HOLLOW)
    assert figure.calculator.solve("n", "y", 4.0, figure.givens(n=typed)) == found


def test_an_answer_that_does_not_depend_on_the_unknown_says_what_it_is():
    figure = worked(ORIFICE)
    drop = figure.answers()["drop"]
    with pytest.raises(NoSolution) as caught:
        figure.calculator.solve("rated_flow", "drop", drop * 2, figure.givens())
    assert (caught.value.lowest, caught.value.highest) == (pytest.approx(drop), pytest.approx(drop))


@settings(max_examples=60)
@given(st.floats(6, 149), st.floats(-13, 5))
def test_forth_and_back_comes_out_for_any_pressures(rail, manifold):
    figure = worked(ORIFICE)
    givens = figure.givens(manifold=f"{manifold:.4f} psi")
    true = figure.si("rail", f"{rail:.4f} psi")
    wanted = figure.calculator.answer("flow", {**givens, "rail": true})
    found = figure.calculator.solve("rail", "flow", wanted, givens)
    assert found == pytest.approx(true, rel=1e-9)
