"""How sure an answer is: root-sum-square and worst case against calculus and against drawn errors, and which input matters most."""

from __future__ import annotations

import math

import numpy as np
import pytest
from figures.one_figure import worked

FLOW = """
takes:
  rated_flow: {label: R, kind: volume flow, in: cc/min, value: 310, from: 20, to: 5000}
  rail: {label: P, kind: gauge pressure, in: kPa, value: 300, from: 0, to: 1000}
  manifold: {label: M, kind: gauge pressure, in: kPa, value: 50, from: -100, to: 300}
gives:
  drop: {label: D, kind: pressure difference, in: kPa, formula: rail - manifold}
  flow: {label: F, kind: volume flow, in: cc/min, formula: rated_flow * sqrt(drop / rated_drop), first: true}
  kind_of: {label: K, words: [{when: drop > 0, say: flows}, {say: stands}]}
constants:
  rated_drop: {label: D, kind: pressure difference, value: 300 kPa, source: made up}
refuse: [{when: drop <= 0, say: "No flow."}]
"""
ACCURACIES = {"rated_flow": 0.03 * 310 / 6e7, "rail": 3000.0, "manifold": 1000.0}


def spreads(accuracies=ACCURACIES, **typed):
    figure = worked(FLOW)
    return figure.calculator.spreads(figure.givens(**typed), accuracies)


def test_the_likely_spread_is_the_root_of_the_sum_of_squares_by_calculus():
    """Q = R sqrt(d/d0): Q falls by dR/R, and by 1 − sqrt(1 − dp/d) for each pressure, which is a little more than it rises by."""
    found = spreads()["flow"]
    flow = worked(FLOW).answers()["flow"]
    shares = {"rated_flow": 0.03, "rail": 1 - math.sqrt(1 - 3 / 250), "manifold": 1 - math.sqrt(1 - 1 / 250)}
    assert dict(found.shares) == {
        name: pytest.approx(flow * share, rel=1e-9) for name, share in shares.items()
    }
    assert found.likely == pytest.approx(
        flow * math.sqrt(sum(share**2 for share in shares.values())), rel=1e-9
    )
    assert found.worst == pytest.approx(flow * sum(shares.values()), rel=1e-9)


def test_the_spread_of_a_difference_is_exact():
    found = spreads()["drop"]
    assert found.likely == pytest.approx(math.hypot(3000, 1000), rel=1e-12)
    assert found.worst == pytest.approx(4000, rel=1e-12)


def test_the_shares_stand_largest_first():
    assert [name for name, _ in spreads()["flow"].shares] == ["rated_flow", "rail", "manifold"]
    assert [name for name, _ in spreads(accuracies={**ACCURACIES, "manifold": 9000.0})["drop"].shares][
        :2
    ] == ["manifold", "rail"]


def test_the_likely_spread_is_that_of_drawn_errors():
    """A million readings with independent errors, each within its accuracy two times of three (one standard deviation)."""
    draw = np.random.default_rng(2024)
    count = 1_000_000
    rated = 310 / 6e7 + draw.normal(0, ACCURACIES["rated_flow"], count)
    drop = 250e3 + draw.normal(0, ACCURACIES["rail"], count) - draw.normal(0, ACCURACIES["manifold"], count)
    drawn = float(np.std(rated * np.sqrt(drop / 300e3)))
    assert spreads()["flow"].likely == pytest.approx(drawn, rel=0.005)


def test_no_reading_within_its_accuracy_is_further_off_than_the_worst_case():
    """Up to the curving of the answer within these widths, which is some hundredths of the spread."""
    figure = worked(FLOW)
    middle, worst = figure.answers()["flow"], spreads()["flow"].worst
    for signs in ((1, 1, -1), (-1, -1, 1), (1, -1, 1), (-1, 1, -1)):
        givens = figure.givens()
        for (name, width), sign in zip(ACCURACIES.items(), signs, strict=True):
            givens[name] += sign * width
        assert abs(figure.calculator.answer("flow", givens) - middle) <= worst * 1.02


def test_without_accuracies_an_answer_has_no_spread():
    found = spreads(accuracies={})["flow"]
    assert (found.likely, found.worst, found.shares) == (0.0, 0.0, ())


def test_only_answers_that_are_numbers_have_a_spread():
    assert set(spreads()) == {"drop", "flow"}


@pytest.mark.parametrize("rail", ["0 kPa", "1000 kPa"])
def test_at_the_edge_of_a_range_the_one_side_that_has_an_answer_counts_in_full(rail):
    """Half of a one-sided change would call the answer twice as sure as it is."""
    found = spreads(accuracies={"rail": 3000.0}, rail=rail, manifold="-100 kPa")["drop"]
    assert found.likely == pytest.approx(3000, rel=1e-12)


def test_beside_a_refusal_the_one_side_that_has_an_answer_counts_in_full():
    found = spreads(accuracies={"manifold": 60_000.0}, manifold="250 kPa")["drop"]
    assert found.likely == pytest.approx(60_000, rel=1e-12)


def test_an_input_that_has_no_answer_on_either_side_adds_nothing():
    found = spreads(accuracies={"rail": 2e6, "manifold": 1000.0})["drop"]
    assert found.likely == pytest.approx(1000, rel=1e-12)


def test_a_refused_figure_has_no_spread_to_state():
    figure = worked(FLOW)
    assert figure.calculator.spreads(figure.givens(manifold="300 kPa"), ACCURACIES) == {}


HUMP = """
takes:
  x: {label: X, kind: ratio, in: ×, value: 2, from: 0, to: 10}
  n: {label: N, kind: ratio, in: ×, value: 1, from: 0, to: 10}
gives:
  y: {label: Y, kind: ratio, in: ×, formula: 9 - (x - 2) ** 2, first: true}
"""


def test_on_top_of_a_hump_an_answer_is_not_called_exact():
    """9 − (x − 2)² falls by 0.25 to both sides of x = 2 ± 0.5: both ends are alike, and yet it is not sure."""
    figure = worked(HUMP)
    found = figure.calculator.spreads(figure.givens(), {"x": 0.5})["y"]
    assert found.likely == pytest.approx(0.25, rel=1e-12)


def test_beside_a_hump_the_side_on_which_the_answer_moves_more_counts():
    """At x = 2.1 ± 0.5: to 9 − 0.6² on one side (0.35 lower), to 9 − 0.4² on the other (0.15 lower)."""
    figure = worked(HUMP)
    found = figure.calculator.spreads(figure.givens(x="2.1"), {"x": 0.5})["y"]
    assert found.likely == pytest.approx(0.35, rel=1e-9)
