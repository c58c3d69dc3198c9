"""The order in which bolts are tightened: the published cross patterns, and what any sound order must keep."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

import pytest

from webapp.figures.answer import answer

CIRCLES = range(3, 65)
SIZES = [(1, 1), (3, 1), (5, 2), (6, 2), (4, 4), (5, 3), (7, 1), (9, 4), (64, 3)]
FRAMES = [(2, 2), (3, 2), (4, 3), (6, 4), (8, 3), (3, 8), (20, 10)]


def table(book: Any, pattern: str, across: int, down: int = 1) -> list[list[float]]:
    """Rows [bolt, place across, place down, …] in the order of tightening."""
    given = {"pattern": pattern, "across": str(across), "down": str(down), "top": "2000 N·m"}
    result = answer(book, "en", "tightening-order", given)
    assert result["refused"] is None, result["refused"]
    rows: list[list[float]] = result["gives"]["order"]["value"]
    return rows


def order(book: Any, pattern: str, across: int, down: int = 1) -> list[int]:
    return [int(row[0]) for row in table(book, pattern, across, down)]


def apart(one: int, other: int, count: int) -> int:
    """Steps round the circle between two bolts, the shorter way."""
    return min((one - other) % count, (other - one) % count)


# ASME PCC-1-2013 and PCC-1-2019, cross-pattern sequences of the legacy method (from memory; not seen).
PCC1 = {
    4: [1, 3, 2, 4],
    8: [1, 5, 3, 7, 2, 6, 4, 8],
    12: [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12],
    16: [1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
    20: [1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19],
    24: [1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24],
}


@pytest.mark.parametrize("count", PCC1)
def test_the_published_cross_patterns_come_out_exactly(book: Any, count: int) -> None:
    assert order(book, "circle", count) == PCC1[count]


@pytest.mark.parametrize("count", CIRCLES)
def test_on_any_circle_each_bolt_has_its_turn_and_each_is_far_from_the_last(book: Any, count: int) -> None:
    found = order(book, "circle", count)
    assert sorted(found) == list(range(1, count + 1))
    assert found[0] == 1
    steps = [apart(a, b, count) for a, b in pairwise(found)]
    # Even: after each odd step its opposite. Odd: always nearly opposite. Five and more: never beside the last.
    if count % 2 == 0:
        assert all(step == count // 2 for step in steps[::2])
    else:
        assert all(step == (count - 1) // 2 for step in steps)
    assert count < 5 or all(step >= 2 for step in steps)


def test_a_quarter_of_the_circle_is_never_left_bare_for_long(book: Any) -> None:
    """With 4, 8, 12 … bolts every four steps in a row touch all four quarters: that is what a cross pattern is for."""
    for count in range(4, 65, 4):
        found = order(book, "circle", count)
        for first in range(0, count, 4):
            assert len({(bolt - 1) * 4 // count for bolt in found[first : first + 4]}) == 4, count


def test_two_rows_of_five_go_from_the_middle_outward_side_to_side(book: Any) -> None:
    """Bolts 1 to 5 above, 6 to 10 below; written down by hand from the rule."""
    assert order(book, "rows", 5, 2) == [3, 8, 2, 9, 7, 4, 1, 10, 6, 5]


def test_one_row_goes_from_the_middle_outward_left_and_right_in_turn(book: Any) -> None:
    """By hand from the rule; with an even number the middle lies between two bolts."""
    assert order(book, "rows", 7) == [4, 3, 5, 2, 6, 1, 7]
    assert order(book, "rows", 4) == [2, 3, 1, 4]
    assert order(book, "rows", 1, 5) == [3, 2, 4, 1, 5]


@pytest.mark.parametrize(("across", "down"), SIZES)
def test_in_rows_each_has_its_turn_and_none_lies_further_in_than_one_before_it(
    book: Any, across: int, down: int
) -> None:
    rows = table(book, "rows", across, down)
    assert sorted(row[0] for row in rows) == list(range(1, across * down + 1))
    places = [divmod(int(row[0]) - 1, across) for row in rows]
    assert [(row[2], row[1]) for row in rows] == places
    outward = [(2 * x - across + 1) ** 2 + (2 * y - down + 1) ** 2 for y, x in places]
    assert outward == sorted(outward)
    sides = [2 * x - across + 1 for _, x in places]
    for k in range(len(sides) - 1):
        # Of those equally far to both sides no two of one side follow each other.
        if sides[k] and abs(sides[k]) == abs(sides[k + 1]) and outward[k] == outward[k + 1]:
            assert sides[k] == -sides[k + 1]


@pytest.mark.parametrize(("across", "down"), FRAMES)
def test_a_frame_has_each_bolt_on_its_outline_once_and_its_corners_last(
    book: Any, across: int, down: int
) -> None:
    rows = table(book, "frame", across, down)
    count = 2 * across + 2 * down - 4
    assert sorted(row[0] for row in rows) == list(range(1, count + 1))
    places = [(row[1], row[2]) for row in rows]
    outline = {(x, y) for x in range(across) for y in range(down)}
    outline -= {(x, y) for x in range(1, across - 1) for y in range(1, down - 1)}
    assert set(places) == outline
    corners = {(0, 0), (0, down - 1), (across - 1, 0), (across - 1, down - 1)}
    assert set(places[-len(corners) :]) == corners
    # Numbered round the frame: neighbours in number are neighbours on it.
    by_number = [place for _, place in sorted(zip((row[0] for row in rows), places, strict=True))]
    for (x0, y0), (x1, y1) in zip(by_number, [*by_number[1:], by_number[0]], strict=True):
        assert abs(x0 - x1) + abs(y0 - y1) == 1


def test_a_frame_starts_in_the_middle_of_its_long_sides_and_crosses_over(book: Any) -> None:
    """Six by four, numbered clockwise from the top left: 3 and 4 are the middle of the top, 11 and 12 of the bottom."""
    found = order(book, "frame", 6, 4)
    assert found[:4] == [3, 11, 12, 4]
    assert order(book, "frame", 2, 2) == [1, 3, 4, 2]


def test_the_picture_shows_each_bolt_where_it_sits_with_its_step(book: Any) -> None:
    from webapp.figures.present import present

    given = {"pattern": "circle", "across": "4"}
    view = present(book, "en", book.figures["tightening-order"], given)
    shown = next(a for a in view["answers"] if a["name"] == "order")
    assert shown["picture"] == [
        {"x": "50", "y": "0", "label": "1"},
        {"x": "50", "y": "100", "label": "2"},
        {"x": "100", "y": "50", "label": "3"},
        {"x": "0", "y": "50", "label": "4"},
    ]
    assert [column["label"] for column in shown["columns"]] == ["Step", "Bolt"]
    assert json.dumps(shown["rows"]) == '[["1", "1"], ["2", "3"], ["3", "2"], ["4", "4"]]'


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"pattern": "circle", "across": "2"}, "Choose rows"),
        ({"pattern": "frame", "across": "5", "down": "1"}, "Choose rows"),
        ({"pattern": "rows", "across": "64", "down": "64"}, "up to 200"),
        ({"across": "2.5"}, "whole number"),
    ],
)
def test_what_is_no_pattern_is_refused_with_what_to_do(book: Any, given: dict[str, str], said: str) -> None:
    assert said in answer(book, "en", "tightening-order", given)["refused"]


def test_rounds_below_a_fifth_of_the_wrench_are_called_out(book: Any) -> None:
    """Full torque 24 lbf·ft on a wrench of 80: its lowest fifth ends at 16, and the first round is 7.2."""
    given = {"torque": "24 lbf·ft", "top": "80 lbf·ft"}
    assert any("first round" in text for text in answer(book, "en", "tightening-order", given)["warnings"])
    given["torque"] = "90 lbf·ft"
    assert any("larger wrench" in text for text in answer(book, "en", "tightening-order", given)["warnings"])
    given["torque"] = "13 lbf·ft"
    assert any("full torque" in text for text in answer(book, "en", "tightening-order", given)["warnings"])
