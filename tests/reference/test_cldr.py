"""Every unit that the Unicode CLDR data knows has the same factor here, in exact fractions to 1e-14 (F23, F24, F26)."""

from __future__ import annotations

import json
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from figures.one_figure import real_units

DATA = Path(__file__).parent.parent / "node_modules" / "cldr-core" / "supplemental" / "units.json"
OURS = real_units().table
CLOSE = Fraction(1, 10**14)

# Our unit -> the same in CLDR's units: "prefix:unit^power" each.
SAME = {
    "N·m": "newton meter", "lbf·ft": "pound-force foot", "lbf·in": "pound-force inch",
    "kgf·m": "kilogram-force meter", "kgf·cm": "kilogram-force centi:meter",
    "Pa": "pascal", "kPa": "kilo:pascal", "MPa": "mega:pascal", "GPa": "giga:pascal", "ksi": "kilo:pound-force inch^-2",
    "bar": "bar", "mbar": "milli:bar", "psi": "pound-force inch^-2", "kgf/cm²": "kilogram-force centi:meter^-2",
    "inHg": "inch ofhg", "mmHg": "milli:meter ofhg", "atm": "atmosphere",
    "°C": "celsius", "°F": "fahrenheit", "K": "kelvin", "Δ°C": "kelvin", "Δ°F": "rankine", "ΔK": "kelvin",
    "rpm": "revolution minute^-1", "1/s": "hertz", "%": "percent", "×": "part",
    "g/s": "gram second^-1", "kg/h": "kilogram hour^-1", "lb/h": "pound hour^-1", "lb/min": "pound minute^-1",
    "cc/min": "centi:meter^3 minute^-1", "L/h": "liter hour^-1", "L/min": "liter minute^-1", "US gal/h": "gallon hour^-1",
    "cfm": "foot^3 minute^-1", "m³/h": "meter^3 hour^-1",
    "mm": "milli:meter", "cm": "centi:meter", "m": "meter", "km": "kilo:meter", "in": "inch", "ft": "foot",
    "mm²": "milli:meter^2", "cm²": "centi:meter^2", "in²": "inch^2",
    "cc": "centi:meter^3", "mL": "milli:liter", "L": "liter", "m³": "meter^3", "in³": "inch^3",
    "US fl oz": "fluid-ounce", "imp fl oz": "fluid-ounce-imperial", "US pt": "pint", "imp pt": "pint-imperial", "US qt": "quart", "imp qt": "quart-imperial", "US gal": "gallon", "imp gal": "gallon-imperial",
    "mg": "milli:gram", "g": "gram", "kg": "kilogram", "oz": "ounce", "lb": "pound",
    "N": "newton", "kN": "kilo:newton", "lbf": "pound-force", "kgf": "kilogram-force",
    "W": "watt", "kW": "kilo:watt", "hp": "horsepower", "J": "joule", "kJ": "kilo:joule", "Wh": "watt hour",
    "m/s": "meter second^-1", "ft/min": "foot minute^-1", "km/h": "kilo:meter hour^-1", "mph": "mile hour^-1",
    "ms": "milli:second", "s": "second", "min": "minute", "h": "hour",
    "V": "volt", "mV": "milli:volt", "A": "ampere", "mA": "milli:ampere", "Ω": "ohm", "mΩ": "milli:ohm",
    "kg/m³": "kilogram meter^-3", "g/cc": "gram centi:meter^-3", "lb/US gal": "pound gallon^-1", "lb/ft³": "pound foot^-3",
    "J/(kg·K)": "joule kilogram^-1 kelvin^-1", "kJ/(kg·K)": "kilo:joule kilogram^-1 kelvin^-1",
    "m/s²": "meter second^-2", "K/m": "kelvin meter^-1", "K/km": "kelvin kilo:meter^-1", "1/K": "kelvin^-1",
    "Ω·m": "ohm meter", "mm²/s": "milli:meter^2 second^-1", "m²/s": "meter^2 second^-1",
    "g/(kW·h)": "gram kilo:watt^-1 hour^-1", "lb/(hp·h)": "pound horsepower^-1 hour^-1",
    "mΩ/m": "milli:ohm meter^-1", "Ω/m": "ohm meter^-1", "Ω/km": "ohm kilo:meter^-1", "Ω/ft": "ohm foot^-1",
}  # fmt: skip
# Not among CLDR's units: made of its exact constants by the unit's definition (75 kgf·m/s; a column of 1000 kg/m³).
MADE = {"PS": (75, "kilogram-force meter second^-1"), "inH2O": (1000, "kilogram meter^-3 g-force inch")}
# Angles are turns there and radians here: compared with each other below.
ANGLES = {"°": "degree", "rad": "radian"}
# Numbers of this trade that CLDR has no word for; each is 1.
NUMBERS = {"λ", "AFR", "φ", "×1"}
PI_DIGITS = Fraction(3141592653589793238462643383279502884197, 10**39)


class Cldr:
    """The units of CLDR as exact fractions of their base units."""

    def __init__(self) -> None:
        data = json.loads(DATA.read_text(encoding="utf-8"))["supplemental"]
        self.constants = {name: entry["_value"] for name, entry in data["unitConstants"].items()}
        self.prefixes = {
            name: Fraction(10) ** int(entry.get("_power10", 0))
            for name, entry in data["unitPrefixes"].items()
        }
        self.units = data["convertUnits"]

    def number(self, text: str) -> Fraction:
        """Value of '231*in3_to_m3' or 'ft3_to_m3/12*12*12', where a product binds more tightly than a division."""
        over, *under = (self._product(part) for part in text.replace(" ", "").split("/"))
        for divisor in under:
            over /= divisor
        return over

    def _product(self, text: str) -> Fraction:
        value = Fraction(1)
        for name in text.split("*"):
            value *= self.number(self.constants[name]) if name in self.constants else Fraction(name)
        return value

    def factor(self, text: str) -> Fraction:
        """Base units in one 'kilo:watt hour^-1'."""
        value = Fraction(1)
        for term in text.split():
            name, _, power = term.partition("^")
            prefix, _, unit = name.rpartition(":")
            one = self.number(self.units[unit].get("_factor", "1")) * (self.prefixes[prefix] if prefix else 1)
            value *= one ** int(power or "1")
        return value

    def offset(self, name: str) -> Fraction:
        return self.number(self.units[name].get("_offset", "0"))


CLDR = Cldr()


def share_off(ours: float, exact: Fraction) -> Fraction:
    return abs(Fraction(ours) / exact - 1)


@pytest.mark.parametrize("unit", SAME)
def test_a_unit_that_cldr_knows_has_the_same_factor(unit):
    assert share_off(OURS["units"][unit]["factor"], CLDR.factor(SAME[unit])) <= CLOSE


@pytest.mark.parametrize("unit", MADE)
def test_a_unit_that_cldr_lacks_follows_from_its_constants(unit):
    number, same = MADE[unit]
    assert share_off(OURS["units"][unit]["factor"], number * CLDR.factor(same)) <= CLOSE


def test_f23_angles_are_to_each_other_as_cldr_says_and_turns_are_no_radians():
    ratio = CLDR.factor("degree") / CLDR.factor("radian")
    ours = Fraction(OURS["units"]["°"]["factor"]) / Fraction(OURS["units"]["rad"]["factor"])
    assert abs(ours / ratio - 1) <= CLOSE
    assert share_off(OURS["units"]["°"]["factor"], PI_DIGITS / 180) <= CLOSE
    assert OURS["units"]["rpm"]["factor"] == pytest.approx(1 / 60, rel=1e-15)


@pytest.mark.parametrize(("unit", "name"), [("°C", "celsius"), ("°F", "fahrenheit"), ("K", "kelvin")])
def test_f24_a_reading_has_the_same_nought_and_a_difference_has_none(unit, name):
    offset = CLDR.offset(name)
    assert abs(Fraction(OURS["units"][unit]["offset"]) - offset) <= CLOSE * max(offset, Fraction(1))
    assert OURS["units"][f"Δ{unit}"]["offset"] == 0


def test_only_readings_of_temperature_have_an_offset():
    assert {unit for unit, spec in OURS["units"].items() if spec["offset"]} == {"°C", "°F"}


@pytest.mark.parametrize("unit", sorted(NUMBERS))
def test_a_plain_number_is_one(unit):
    assert (OURS["units"][unit]["factor"], OURS["units"][unit]["offset"]) == (1.0, 0.0)


def test_every_unit_of_ours_is_in_one_of_these_lists():
    """A unit added to units.md must be looked up in CLDR, or be said to be missing there."""
    listed = Counter([*SAME, *MADE, *ANGLES, *NUMBERS])
    assert set(listed) == set(OURS["units"])
    assert max(listed.values()) == 1


def test_a_product_binds_more_tightly_than_a_division_in_cldr():
    assert CLDR.number("in3_to_m3") == Fraction(254, 10000) ** 3
    assert CLDR.number("2298.35/9") == Fraction(229835, 900)
