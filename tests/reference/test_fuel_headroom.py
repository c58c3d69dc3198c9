"""Fuel headroom against the same engine worked out from handbook formulas in headroom_by_hand.py."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from reference.headroom_by_hand import PSI, RPM, Car, chain
from scipy.optimize import brentq

from webapp.book import Book, load_book
from webapp.figures.checking import default_givens
from webapp.paths import content_dir

WITHIN = 1e-3
CLOSE = dict.fromkeys(
    ("manifold", "charge", "air", "need", "pump_pressure", "available", "rail", "drop"), WITHIN
)
CLOSE |= dict.fromkeys(("pulse", "duty", "lambda_true"), WITHIN)


@pytest.fixture(scope="module")
def book() -> Book:
    return load_book()


def at(book: Book, rpm: float, **changed: Any) -> dict[str, float]:
    """The page's numbers at a speed, SI: the sweep holds them."""
    calculator = book.calculator("fuel-headroom")
    run = calculator.evaluate({**default_givens(book.figures["fuel-headroom"]), **changed}).run
    assert run is not None
    values = run.at(rpm * RPM)
    assert values is not None
    return values


CASES = {
    "as it stands": ({}, Car()),
    "regulator that does not follow boost": ({"boost_rate": 0.0}, Car(boost_rate=0.0)),
    "a tired pump": ({"pump_share": 0.72, "volts": 11.8}, Car(pump_share=0.72, volts=11.8)),
    "cooler and smaller pulley": (
        {"cooling": 0.7, "cooler_loss": 4e3, "blower_pulley": 0.066},
        Car(cooling=0.7, cooler_loss=4e3, blower_pulley=0.066),
    ),
    "small injectors on a mountain": (
        {"rated_flow": 240e-6 / 60, "altitude": 2200.0},
        Car(rated_flow=240e-6 / 60, altitude=2200.0),
    ),
}


@pytest.mark.parametrize("rpm", [2000, 4000, 6000])
@pytest.mark.parametrize("case", CASES)
def test_three_speeds_agree_with_the_hand_calculation(book: Book, case: str, rpm: int) -> None:
    changed, car = CASES[case]
    here, there = at(book, rpm, **changed), chain(car, rpm)
    assert here["boost"] == pytest.approx(there["boost"], abs=WITHIN * here["manifold"])
    for name, within in CLOSE.items():
        assert here[name] == pytest.approx(there[name], rel=within), name


def test_the_speed_at_the_duty_limit_agrees_with_the_hand_calculation(book: Book) -> None:
    figure = book.figures["fuel-headroom"]
    found = book.calculator("fuel-headroom").evaluate(default_givens(figure)).values
    limit = brentq(lambda rpm: chain(Car(), rpm)["duty"] - 0.85, 3000, 6200)
    assert found["duty_speed"] / RPM == pytest.approx(limit, rel=WITHIN)
    assert found["safe"] == found["duty_speed"]
    assert found["static_speed"] == float("inf")


def test_the_speed_where_small_injectors_stay_open_and_how_lean_it_gets(book: Book) -> None:
    figure = book.figures["fuel-headroom"]
    small = {**default_givens(figure), "rated_flow": 240e-6 / 60}
    found = book.calculator("fuel-headroom").evaluate(small).values
    car = replace(Car(), rated_flow=240e-6 / 60)
    open_from = brentq(lambda rpm: chain(car, rpm)["duty"] - 1, 3000, 6200)
    assert found["static_speed"] / RPM == pytest.approx(open_from, rel=WITHIN)
    leanest = max(chain(car, rpm)["lambda_true"] for rpm in range(800, 6201, 100))
    assert found["leanest"] == pytest.approx(leanest * 14.7, rel=WITHIN)


def test_a_measured_boost_is_what_the_sweep_then_shows_at_that_speed(book: Book) -> None:
    figure = book.figures["fuel-headroom"]
    changed = {"boost_known": "measured", "measured_boost": 6.5 * PSI, "measured_speed": 5000 * RPM}
    run = book.calculator("fuel-headroom").evaluate({**default_givens(figure), **changed}).run
    assert run is not None
    there = run.at(5000 * RPM)
    assert there is not None and there["boost"] == pytest.approx(6.5 * PSI, rel=1e-9)


def test_the_page_of_the_hand_calculation_holds_its_numbers() -> None:
    page = (content_dir() / "help" / "fuel-headroom-by-hand.md").read_text(encoding="utf-8")
    printed = [
        [float(cell) for cell in row.split("|")[2:5]]
        for row in page.splitlines()
        if row.startswith("| ") and row.split("|")[2].strip().replace(".", "").isdigit()
    ]
    worked = [chain(Car(), rpm) for rpm in (2000, 4000, 6000)]
    scales = (
        ("manifold", 1e3, 0.0),
        ("boost", PSI, 0.0),
        ("charge", 1.0, 273.15),
        ("air", 1e-3, 0.0),
        ("need", 1 / 3.6e6, 0.0),
        ("pump_pressure", PSI, 0.0),
        ("available", 1 / 3.6e6, 0.0),
        ("rail", PSI, 0.0),
        ("pulse", 1e-3, 0.0),
        ("duty", 0.01, 0.0),
    )
    assert len(printed) == len(scales)
    for cells, (name, unit, zero) in zip(printed, scales, strict=True):
        assert cells == pytest.approx([(each[name] - zero) / unit for each in worked], abs=0.06, rel=2e-4), (
            name
        )
