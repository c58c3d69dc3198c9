"""Answers found along a run, on a Figure whose answers are known in closed form."""

from __future__ import annotations

import math

import pytest
from figures.one_figure import worked

# Pressure 2 x - x²/4 over the place x from 0 to 6: 0 at 0, at most 4 at x = 4, 3 at 6; it comes to 3 at x = 2.
HILL = """
takes:
  steep: {label: S, kind: factor, in: ×1, value: 1, from: 0.1, to: 10, accuracy: 1 %}
  level: {label: L, kind: pressure difference, in: kPa, value: 3, from: 0, to: 99, accuracy: 1 %}
  last: {label: E, kind: length, in: m, value: 6, from: 1, to: 9}
constants:
  one: {label: O, kind: pressure difference, value: 1 kPa, source: Own choice.}
  metre: {label: M, kind: length, value: 1 m, source: Own choice.}
gives:
  x: {label: X, kind: length, in: m, formula: last}
  y: {label: Y, kind: pressure difference, in: kPa, formula: steep * one * (2 * x / metre - (x / metre) ** 2 / 4), first: true}
  there: {label: R, kind: length, in: m, reach: y, at_least: level}
  never: {label: N, kind: length, in: m, reach: y, at_least: 9 * one * steep}
  gone: {label: G, kind: length, in: m, reach: y, at_most: 0.75 * one}
  top: {label: T, kind: length, in: m, highest: y}
  foot: {label: F, kind: length, in: m, lowest: y}
  most: {label: H, kind: pressure difference, in: kPa, look: y, at: top}
  sooner: {label: Q, kind: length, in: m, formula: "min(there, never)"}
remedies:
  - {solve: steep, for: y, equals: level, at: top, when: most > level, say: "{steep}"}
sweeps: [{over: x, from: 0, to: last, steps: 60, draw: [y]}]
"""


def test_a_level_is_reached_where_the_answer_first_comes_to_it():
    found = worked(HILL).answers()
    assert found["there"] == pytest.approx(2.0, rel=1e-12)
    assert found["sooner"] == found["there"]


def test_a_level_that_is_never_reached_is_infinitely_far():
    assert worked(HILL).answers()["never"] == math.inf


def test_a_level_that_holds_from_the_start_is_reached_there():
    assert worked(HILL).answers()["gone"] == 0.0


def test_the_highest_and_the_lowest_place_and_what_is_found_there():
    found = worked(HILL).answers()
    assert (found["top"], found["foot"]) == (pytest.approx(4.0), 0.0)
    assert found["most"] == pytest.approx(4e3, rel=1e-12)


def test_the_answers_of_its_own_place_stand_at_the_end_of_the_run():
    found = worked(HILL).answers()
    assert (found["x"], found["y"]) == (6.0, pytest.approx(3e3))


def test_a_remedy_holds_at_its_place():
    """At x = 4 the hill is 4 steep: 3 is reached with a steepness of 3/4."""
    figure = worked(HILL)
    ((_, found),) = figure.calculator.remedies(figure.givens(), figure.calculator.evaluate(figure.givens()))
    assert found == pytest.approx(0.75, rel=1e-9)


def test_the_spread_of_a_place_follows_the_slope():
    """y = 3 at x = 2, where the slope is 1 a metre: 1 % of the level moves the place by 0.03, 1 % of the steepness as much."""
    figure = worked(HILL)
    spread = figure.calculator.spreads(figure.givens(), {"steep": 0.01, "level": 30.0})["there"]
    assert dict(spread.shares) == {
        "steep": pytest.approx(0.03, rel=1e-3),
        "level": pytest.approx(0.03, rel=1e-3),
    }
    assert "never" not in figure.calculator.spreads(figure.givens(), {"level": 30.0})


def test_what_needs_the_whole_run_is_not_asked_for_backwards():
    figure = worked(HILL).figure
    assert [give.name for give in figure.wantable] == ["x", "y"]
    assert figure.asked is not None and figure.asked.name == "y"


def test_a_place_without_an_answer_is_passed_over():
    refusing = HILL + "refuse: [{when: x > 1.5 * metre and x < 2.5 * metre, say: Too much.}]\n"
    found = worked(refusing).answers()
    assert found["there"] == pytest.approx(2.5, abs=0.2)
    assert found["top"] == pytest.approx(4.0)
