"""A series over the rows of a table: which rows, in what order, and what the first of them brings to later formulas."""

from __future__ import annotations

import pytest
from figures.one_figure import worked

DRILLS = """---
title: D
summary: S
order: 1
columns: {name: {label: N}, size: {label: D, kind: length, in: mm}, parts: {label: P, kind: count, in: ×1}}
sources: [Made up.]
---
| id | name | size | parts |
|---|---|---|---|
| a | A | 5.9436 | — |
| half | 1/2 in | 12.7 | 32 |
| quarter | 1/4 in | 6.35 | 16 |
| open | Open | — | 1 |
"""
NEAR = """
takes: {size: {label: S, kind: length, in: mm, value: 6, from: 1, to: 100}}
gives:
  near: {label: N, over: row, of: drills, each: Drill, by: [abs(gap / size)], columns: {
    drill: {label: D, kind: length, in: mm, formula: row.size},
    gap: {label: G, kind: length, in: mm, formula: drill - size}}}
  off: {label: O, kind: length, in: mm, formula: near.gap, first: true}
"""


def test_rows_stand_by_their_order_and_each_knows_its_place_in_the_table():
    rows = worked(NEAR, drills=DRILLS).answers()["near"]
    assert [(row[0], 1000 * row[1]) for row in rows] == [
        (0, pytest.approx(5.9436)),
        (2, pytest.approx(6.35)),
        (1, pytest.approx(12.7)),
    ]


def test_a_row_that_leaves_a_needed_cell_open_is_left_out():
    assert 3 not in [row[0] for row in worked(NEAR, drills=DRILLS).answers()["near"]]


def test_only_rows_that_meet_the_condition_count_and_an_open_cell_meets_none():
    only = NEAR.replace("each: Drill", "each: Drill, only: row.parts > 0")
    assert [row[0] for row in worked(only, drills=DRILLS).answers()["near"]] == [2, 1]
    by_column = NEAR.replace("each: Drill", "each: Drill, only: abs(gap) < 1 * size / 6")
    assert [row[0] for row in worked(by_column, drills=DRILLS).answers()["near"]] == [0, 2]


def test_so_many_rows_are_kept_and_no_more():
    most = NEAR.replace("each: Drill", "each: Drill, most: 2")
    assert [row[0] for row in worked(most, drills=DRILLS).answers()["near"]] == [0, 2]
    assert len(worked(most.replace("most: 2", "most: 9"), drills=DRILLS).answers()["near"]) == 3


def test_the_first_row_serves_later_formulas():
    figure = worked(NEAR, drills=DRILLS)
    assert figure.answers()["off"] == pytest.approx(-0.0000564)
    assert figure.answers(size="12 mm")["off"] == pytest.approx(0.0007)


def test_where_no_row_is_left_what_needs_one_has_no_answer():
    none = NEAR.replace("each: Drill", "each: Drill, only: row.parts > 99")
    assert worked(none, drills=DRILLS).refusal() == ("no value", "off")
    without = none.replace("near.gap", "size / 2")
    assert worked(without, drills=DRILLS).answers()["near"] == []


def test_a_remedy_may_look_at_the_first_row():
    remedy = """remedies:
  - {solve: size, for: off, equals: size * 0, when: near.gap > size * 0, say: "Take {size}."}
"""
    quarter = NEAR.replace("each: Drill", "each: Drill, only: row.parts == 16")
    figure = worked(quarter + remedy, drills=DRILLS)
    assert figure.calculator.remedies(figure.givens(), figure.evaluate()) == [(0, pytest.approx(0.00635))]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("of: drills", "of: drils", 'there is no table "drils". Did you mean "drills"?'),
        ("formula: row.size", "formula: row.length", '"row.length" is not declared.'),
        ("formula: row.size", "formula: row.parts * 2", "the formula gives a plain number"),
        ("each: Drill", "each: Drill, most: -1", "is below nought."),
        ("each: Drill", "each: Drill, only: row.size", "a number stands where a condition is wanted."),
        ("formula: near.gap", "formula: near.row", '"near.row" is not declared.'),
        ("formula: near.gap", "formula: row.size", '"row.size" is not declared.'),
    ],
)
def test_a_mistake_is_reported_with_how_to_mend_it(old: str, new: str, said: str):
    assert old in NEAR
    with pytest.raises(AssertionError, match=r"content/figures/one\.md") as report:
        worked(NEAR.replace(old, new), drills=DRILLS)
    assert said in str(report.value)
