"""Belts and pulleys against hulls laid around circles, and speeds counted turn by turn."""

from __future__ import annotations

import math
from typing import Any

import pytest
from reference.real_air import asked, belt_around, found, refusal


@pytest.mark.parametrize(
    ("crank", "blower", "centre"), [(165, 72, 250), (140, 60, 220), (60, 160, 180), (90, 90, 400)]
)
def test_a_belt_is_as_long_as_the_hull_around_both_pulleys(
    book: Any, crank: int, blower: int, centre: int
) -> None:
    """scipy: convex hull of 80,000 points, no trigonometry of belts in it."""
    length, (on_crank, on_blower) = belt_around([(0, 0, crank), (centre, 0, blower)])
    given = {"crank_pulley": f"{crank} mm", "blower_pulley": f"{blower} mm", "centre": f"{centre} mm"}
    belt = asked(book, "belt-length", **given)
    assert belt("length") * 1000 == pytest.approx(length, abs=0.001)
    assert belt("wrap_blower") == pytest.approx(on_blower, abs=4e-4)
    assert belt("wrap_crank") == pytest.approx(on_crank, abs=4e-4)


def test_a_swap_on_a_drive_of_three_pulleys_changes_the_belt_by_half_the_wrap(book: Any) -> None:
    """scipy: hulls around three circles before and after; the wrap is the one with the middle of both diameters."""

    def drive(blower: float) -> tuple[float, list[float]]:
        return belt_around([(0, 0, 165), (210, 120, blower), (-60, 240, 80)])

    before, after = drive(72)[0], drive(66)[0]
    wrap = drive(69)[1][1]
    given = {"blower_pulley": "72 mm", "new_pulley": "66 mm", "wrap": f"{wrap:.9f} rad"}
    assert asked(book, "belt-length", **given)("change") * 1000 == pytest.approx(after - before, abs=0.01)


def test_pulleys_that_touch_have_no_belt(book: Any) -> None:
    assert "touch" in refusal(book, "belt-length", centre="118 mm")
    assert "touch" in refusal(book, "belt-length", centre="130 mm", new_pulley="100 mm")


def test_F23_belt_and_blower_speed_count_turns(book: Any) -> None:
    """Turn by turn: 6000 rpm are 100 turns a second, and each turn of a 165 mm pulley lays out 518.36 mm of belt."""
    drive = asked(book, "blower-speed", speed="6000 rpm", crank_pulley="165 mm", blower_pulley="55 mm")
    assert drive("belt_speed") == pytest.approx(100 * 0.51836, rel=1e-5)
    assert drive("blower_speed") == pytest.approx(300)
    assert asked(book, "blower-speed", speed="100 Hz", blower_pulley="55 mm")(
        "blower_speed"
    ) == pytest.approx(300)


def test_too_fast_a_blower_is_told_the_pulley_that_keeps_it_whole(book: Any) -> None:
    """6200 rpm times 165 over 12000 rpm, by hand: 85.25 mm."""
    from webapp.figures.answer import answer

    result = answer(book, "en", "blower-speed", {"limit": "12000 rpm"})
    assert result["verdict"]["level"] == "stop"
    assert any("85.25 mm" in sentence for sentence in result["remedies"])
    assert found(book, "blower-speed", "blower_pulley", blower_speed="12000 rpm") == pytest.approx(
        0.08525, rel=1e-9
    )


def test_a_belts_grip_builds_up_along_the_wrap(book: Any) -> None:
    """Each small piece of belt adds friction times its angle to the pull: 100,000 pieces, added up one by one."""
    given = {"blower_pulley": "100 mm", "new_pulley": "100 mm", "crank_pulley": "100 mm", "friction": "0.5"}
    pull, pieces = 1.0, 100_000
    for _ in range(pieces):
        pull += pull * 0.5 * (math.pi + math.radians(40)) / pieces
    assert asked(book, "belt-length", **given, idler="40°")("grip") == pytest.approx(pull, rel=1e-4)
