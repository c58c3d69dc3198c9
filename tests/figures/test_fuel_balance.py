"""Fuel headroom holds together: mass in is mass out, and each number moves the way that physics says.

Sources: conservation of mass; orifice law; J. B. Heywood, Internal Combustion Engine Fundamentals (1988), sections 2.10 and 6.8
(from memory).
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from webapp.book import Book, load_book
from webapp.figures.calculator import Calculator
from webapp.figures.checking import default_givens

GAS = 287.05287
KEPT = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
# What a garage may change, each within what still is such a car.
CARS = st.fixed_dictionaries(
    {
        "displacement": st.floats(2.4e-3, 4.5e-3),
        "ve_redline": st.floats(0.75, 1.0),
        "altitude": st.floats(0, 2500),
        "inlet": st.floats(270, 315),
        "volume": st.floats(0.8e-3, 1.5e-3),
        "blower_pulley": st.floats(0.060, 0.090),
        "efficiency": st.floats(0.5, 0.75),
        "cooling": st.floats(0, 0.8),
        "target": st.floats(0.72, 0.9),
        "rated_flow": st.floats(3e-6, 12e-6),
        "boost_rate": st.floats(0, 1),
        "pump_share": st.floats(0.7, 2.0),
    }
)
SPEEDS = st.floats(1500 / 60, 6200 / 60)


@pytest.fixture(scope="module")
def calculator() -> Calculator:
    return load_book().calculator("fuel-headroom")


@pytest.fixture(scope="module")
def start(calculator: Calculator) -> dict[str, Any]:
    return default_givens(calculator.figure)


def at(calculator: Calculator, givens: dict[str, Any], speed: float) -> dict[str, Any]:
    """Everything that is known at an engine speed; the example is dropped where the Figure refuses."""
    outcome = calculator.evaluate(givens)
    assume(outcome.refusal is None and outcome.run is not None)
    assert outcome.run is not None
    values = outcome.run.at(speed)
    assume(values is not None)
    assert values is not None
    return values


@KEPT
@given(CARS, SPEEDS)
def test_the_air_that_the_blower_moves_is_the_air_that_the_engine_takes(calculator, start, car, speed):
    v = at(calculator, {**start, **car}, speed)
    moved = v["volume"] * v["blower_speed"] * v["blower_filling"] * v["before"] / (GAS * v["inlet"])
    if v["supply"] > v["least"]:
        assert v["air"] == pytest.approx(moved, rel=1e-6)
    else:  # its bypass lets the engine draw by itself, which then takes more than the blower moves
        assert v["air"] >= moved * (1 - 1e-6)


@KEPT
@given(CARS, SPEEDS)
def test_the_fuel_is_the_sum_of_the_injectors_and_fits_the_air(calculator, start, car, speed):
    v = at(calculator, {**start, **car}, speed)
    assert v["fuel_mass"] * v["target"] * v["stoich"] == pytest.approx(v["air"], rel=1e-12)
    open_share = min((v["pulse"] - v["dead_time"]) / v["longest"], 1)
    through = v["injectors"] * v["one"] * open_share
    assert through == pytest.approx(v["delivered"], rel=1e-6) or v["delivered"] < v["need"]
    burnt = v["delivered"] * v["density"] * v["lambda_true"] * v["stoich"]
    assert burnt == pytest.approx(v["air"], rel=1e-9)


@KEPT
@given(CARS, SPEEDS)
def test_the_rail_never_stands_above_what_the_regulator_wants_nor_gives_more_than_pump_or_injectors(
    calculator, start, car, speed
):
    v = at(calculator, {**start, **car}, speed)
    assert v["rail"] <= v["rail_set"] + 1.0
    assert v["delivered"] <= v["deliverable"] * (1 + 1e-12)
    assert v["deliverable"] <= v["all_set"] * (1 + 1e-9)
    assert v["lambda_true"] >= v["target"] * (1 - 1e-12)


@KEPT
@given(CARS, SPEEDS, st.floats(0.85, 0.98))
def test_a_smaller_blower_pulley_makes_more_boost_and_asks_for_more_fuel(
    calculator, start, car, speed, smaller
):
    here = at(calculator, {**start, **car}, speed)
    there = at(calculator, {**start, **car, "blower_pulley": car["blower_pulley"] * smaller}, speed)
    assert there["manifold"] >= here["manifold"] * (1 - 1e-9)
    assert there["need"] >= here["need"] * (1 - 1e-9)
    if here["supply"] > here["least"]:
        assert there["boost"] > here["boost"] and there["charge"] > here["charge"] - 1e-9


@KEPT
@given(CARS, SPEEDS, st.floats(100, 1500))
def test_higher_up_the_manifold_holds_less_pressure_and_the_engine_less_air(
    calculator, start, car, speed, higher
):
    here = at(calculator, {**start, **car}, speed)
    there = at(calculator, {**start, **car, "altitude": car["altitude"] + higher}, speed)
    assert there["manifold"] < here["manifold"]
    assert there["air"] < here["air"]


@KEPT
@given(CARS, SPEEDS, st.floats(1.05, 1.6))
def test_open_time_goes_with_the_root_of_the_pressure_across_the_injector(
    calculator, start, car, speed, more
):
    """Where the pump holds both rails, the share of time open goes with 1/√drop."""
    first = {**start, **car, "pump_share": 6.0}
    here = at(calculator, first, speed)
    there = at(calculator, {**first, "base": first["base"] * more}, speed)
    assume(min(here["margin"], there["margin"]) > 0)
    opened = [(v["pulse"] - v["dead_time"]) / v["longest"] for v in (here, there)]
    assert opened[1] / opened[0] == pytest.approx(math.sqrt(here["drop"] / there["drop"]), rel=1e-9)


@KEPT
@given(CARS, st.floats(1.02, 1.5))
def test_larger_injectors_never_bring_the_limit_down(calculator, start, car, larger):
    outcomes = [
        calculator.evaluate({**start, **car, "rated_flow": car["rated_flow"] * factor})
        for factor in (1.0, larger)
    ]
    assume(not any(outcome.refusal for outcome in outcomes))
    small, large = (outcome.values for outcome in outcomes)
    assert large["duty_speed"] >= small["duty_speed"] * (1 - 1e-9)
    assert large["worst_duty"] <= small["worst_duty"] * (1 + 1e-9)


def test_each_remedy_brings_its_number_to_the_limit(calculator: Calculator, start: dict[str, Any]) -> None:
    """Put in, an injector or a pulley keeps duty within the limit over the whole run; a pump its spare."""
    for changed in ({}, {"rated_flow": 4e-6}, {"pump_share": 0.72, "volts": 11.8}):
        givens = {**start, **changed}
        outcome = calculator.evaluate(givens)
        offered = calculator.remedies(givens, outcome)
        assert offered
        for number, value in offered:
            remedy = calculator.figure.remedies[number]
            if value is None:
                continue
            mended = calculator.evaluate({**givens, remedy.solve: value}).values
            if remedy.answer == "duty":
                assert mended["worst_duty"] <= givens["duty_limit"] * 1.003, remedy.solve
            else:
                assert mended["tight_margin"] >= givens["pump_spare"] - 0.003, remedy.solve


def test_the_verdict_names_the_very_numbers_of_the_run(calculator: Calculator, book: Book) -> None:
    from webapp.figures.present import present

    view = present(book, "en", calculator.figure, {"rated_flow": "240 cc/min"})
    answers = {answer["name"]: f"{answer['number']} {answer['unit']}" for answer in view["answers"]}
    assert view["verdict"]["level"] == "stop"
    for name in ("duty_speed", "static_speed", "safe"):
        assert answers[name] in view["verdict"]["text"], name
