"""Every conversion that NIST SP 811 prints for our units comes out, to the digits that it prints (F23–F26)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from figures.one_figure import real_units

from webapp.figures.display import in_unit
from webapp.figures.numbers import read_quantity

PRINTED = json.loads(Path(__file__).with_name("nist_sp811.json").read_text(encoding="utf-8"))
UNITS = real_units().table


def converted(case: dict) -> tuple[float, float]:
    """The number we give in the unit of the printed one, and the printed one."""
    first = UNITS["kinds"][case["kind"]]["units"][0]
    ours = read_quantity(case["of"], case["kind"], UNITS, first)
    theirs = read_quantity(case["is"], case["kind"], UNITS, first)
    return in_unit(ours.si, UNITS["units"][theirs.unit]), theirs.number


@pytest.mark.parametrize("case", PRINTED["numbers"], ids=lambda case: f"{case['of']} of {case['kind']}")
def test_a_printed_conversion_comes_out(case):
    ours, theirs = converted(case)
    assert ours == pytest.approx(theirs, rel=case["rel"], abs=0)


def test_each_printed_number_names_its_source():
    assert {case["from"] for case in PRINTED["numbers"]} == set(PRINTED["sources"])


def test_f26_pounds_of_force_and_mass_and_the_two_gallons_and_horsepowers_are_told_apart():
    """The pairs that are mixed up, by the ratio of the two: standard gravity, 277.42/231 cubic inches, 745.7/735.5 watts."""
    factors = {unit: spec["factor"] for unit, spec in UNITS["units"].items()}
    assert factors["lbf"] / factors["lb"] == pytest.approx(9.80665, rel=1e-14)
    assert factors["imp gal"] / factors["US gal"] == pytest.approx(4.54609 / 3.785411784, rel=1e-14)
    assert factors["hp"] / factors["PS"] == pytest.approx(745.6998715822702 / 735.49875, rel=1e-14)
    assert factors["imp fl oz"] * 160 == pytest.approx(factors["imp gal"], rel=1e-14)
    assert factors["US fl oz"] * 128 == pytest.approx(factors["US gal"], rel=1e-14)
    assert factors["US pt"] * 8 == pytest.approx(factors["US gal"], rel=1e-14)
    assert factors["imp qt"] * 4 == pytest.approx(factors["imp gal"], rel=1e-14)
    assert factors["imp pt"] * 8 == pytest.approx(factors["imp gal"], rel=1e-14)
    assert factors["US qt"] * 4 == pytest.approx(factors["US gal"], rel=1e-14)
    assert factors["oz"] * 16 == pytest.approx(factors["lb"], rel=1e-14)
