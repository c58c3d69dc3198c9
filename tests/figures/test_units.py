"""The units of content/units.md: turns, readings and rises, US and imperial, and that no spelling is torn between two (F23–F26)."""

from __future__ import annotations

from collections import Counter

import pytest
from figures.one_figure import real_units
from hypothesis import given
from hypothesis import strategies as st

from webapp.figures.display import all_units, in_unit
from webapp.figures.numbers import NumberProblem, read_quantity
from webapp.figures.unit_names import unit_key

UNITS = real_units().table
PAIRS = [(kind, unit) for kind, entry in UNITS["kinds"].items() for unit in entry["units"]]

FIRST = {
    "torque": "N·m", "gauge pressure": "kPa", "absolute pressure": "kPa", "site pressure": "kPa", "pressure difference": "kPa",
    "temperature": "°C", "temperature difference": "Δ°C", "engine speed": "rpm", "ratio": "×", "share": "%", "lambda": "λ",
    "air-fuel ratio": "AFR", "equivalence ratio": "φ", "count": "×1", "factor": "×1", "mass flow": "g/s", "volume flow": "cc/min",
    "length": "mm", "altitude": "m", "area": "mm²", "volume": "cc", "mass": "g", "force": "N", "stress": "MPa", "power": "kW",
    "energy": "kJ", "speed": "m/s", "time": "ms", "voltage": "V", "current": "A", "resistance": "Ω", "density": "kg/m³", "angle": "°",
    "specific gas constant": "J/(kg·K)", "specific heat": "J/(kg·K)", "acceleration": "m/s²", "temperature gradient": "K/m",
    "resistivity": "Ω·m", "kinematic viscosity": "mm²/s", "specific fuel consumption": "g/(kW·h)",
    "resistance by length": "mΩ/m", "per kelvin": "1/K",
}  # fmt: skip
SORTS = {
    "gauge pressure": "gauge", "absolute pressure": "absolute", "site pressure": "absolute", "pressure difference": "difference",
    "temperature": "reading", "temperature difference": "difference",
}  # fmt: skip


def si(text: str, kind: str) -> float:
    return read_quantity(text, kind, UNITS, UNITS["kinds"][kind]["units"][0]).si


def shown(text: str, kind: str, unit: str) -> float:
    return in_unit(si(text, kind), UNITS["units"][unit])


@pytest.mark.parametrize("kind", FIRST)
def test_the_unit_that_stands_first_for_a_kind_stays_the_one_people_expect(kind):
    assert UNITS["kinds"][kind]["units"][0] == FIRST[kind]


def test_an_answer_is_not_told_in_a_unit_in_which_it_is_a_row_of_noughts():
    """0.1 ms of dead time is 0.0001 s, and 0.000000028 h to nobody; nought and what is below it are told like any other."""

    def others(milliseconds):
        kinds, units = UNITS["kinds"]["time"], UNITS["units"]
        return [
            (one["number"], one["unit"]) for one in all_units(milliseconds / 1000, kinds, units, "ms", 0, ".")
        ]

    assert others(0.1) == [("0.0001", "s"), ("0.0000016667", "min")]
    assert others(-0.1) == [("−0.0001", "s"), ("−0.0000016667", "min")]
    assert others(0) == [("0", "s"), ("0", "min"), ("0", "h")]


def test_every_kind_has_units_a_title_and_the_word_beside_its_numbers():
    for kind, entry in UNITS["kinds"].items():
        assert entry["units"], kind
        assert entry["title"], kind
        assert entry["sort"] == SORTS.get(kind, ""), kind
        assert len(set(entry["units"])) == len(entry["units"]), kind


def test_every_unit_has_a_finite_factor_above_nought_and_something_to_say():
    for unit, entry in UNITS["units"].items():
        assert 0 < entry["factor"] < 1e12, unit
        assert entry["names"][0] == unit
        assert entry["spoken"] or entry["symbol"] == "", unit


def test_f23_turns_are_counted_and_never_become_radians():
    assert si("60 rpm", "engine speed") == 1.0
    assert shown("1 1/s", "engine speed", "rpm") == pytest.approx(60, rel=1e-15)
    assert si("3000 rpm", "engine speed") == 50.0
    assert si("6000 rpm", "engine speed") / 2 == 50.0  # a four-stroke injects once in two turns
    assert si("60 rpm", "engine speed") != pytest.approx(6.283, rel=0.5)


def test_f24_a_rise_of_10_degrees_celsius_is_18_fahrenheit_and_a_reading_of_10_is_50():
    assert shown("10 °C", "temperature difference", "Δ°F") == pytest.approx(18, rel=1e-15)
    assert shown("10 °C", "temperature", "°F") == pytest.approx(50, rel=1e-14)
    assert shown("-40 °C", "temperature", "°F") == pytest.approx(-40, rel=1e-14)
    assert shown("212 °F", "temperature", "°C") == pytest.approx(100, rel=1e-14)
    assert shown("0 K", "temperature", "°C") == -273.15
    assert si("10 °C", "temperature difference") == si("10 K", "temperature difference") == 10.0


def test_f24_psig_and_psia_say_the_kind_and_count_in_their_own_field_only():
    assert si("10 psig", "gauge pressure") == si("10 psi", "gauge pressure")
    assert si("10 psia", "absolute pressure") == si("10 psi", "absolute pressure")
    for text, kind in (
        ("10 psia", "gauge pressure"),
        ("10 psig", "absolute pressure"),
        ("1 barg", "pressure difference"),
    ):
        with pytest.raises(NumberProblem) as caught:
            si(text, kind)
        assert caught.value.code == "wrong_kind"


def test_f26_us_and_imperial_volumes_are_two_things():
    assert shown("1 imp gal", "volume", "US gal") == pytest.approx(1.2009499, rel=1e-7)
    assert shown("1 imp fl oz", "volume", "US fl oz") == pytest.approx(0.9607599, rel=1e-7)
    with pytest.raises(NumberProblem) as caught:
        si("1 gal", "volume")
    assert (caught.value.code, caught.value.fields["choices"]) == ("asked_unit", ["US gal", "imp gal"])


@pytest.mark.parametrize(
    ("name", "choices", "ratio"),
    [
        ("qt", ["US qt", "imp qt"], 1.2009499),
        ("quarts", ["US qt", "imp qt"], 1.2009499),
        ("pint", ["US pt", "imp pt"], 1.2009499),
    ],
)
def test_f26_quarts_and_pints_of_two_countries_are_asked_back(name, choices, ratio):
    """Weights and Measures Act 1985: 4.54609 L in 4 quarts, 8 pints; NIST SP 811: 3.785412 L in as many."""
    us, imperial = choices
    assert shown(f"1 {imperial}", "volume", us) == pytest.approx(ratio, rel=1e-7)
    with pytest.raises(NumberProblem) as caught:
        si(f"5 {name}", "volume")
    assert (caught.value.code, caught.value.fields["choices"]) == ("asked_unit", choices)


def test_f26_mechanical_and_metric_horsepower_are_two_things():
    assert si("100 hp", "power") == pytest.approx(74_569.987, rel=1e-7)
    assert si("100 PS", "power") == pytest.approx(73_549.875, rel=1e-12)


def test_f26_per_cent_are_hundredths_and_a_plain_ratio_is_itself():
    assert si("85 %", "share") == 0.85
    assert si("14.7", "ratio") == 14.7
    assert shown("0.85", "ratio", "%") == pytest.approx(85)


def test_f26_a_torque_is_never_given_in_mass_pounds():
    assert si("1 lb-ft", "torque") == pytest.approx(1.3558179483314, rel=1e-12)
    for spelling in ("lb", "lbs", "kg"):
        with pytest.raises(NumberProblem) as caught:
            si(f"13 {spelling}", "torque")
        assert caught.value.code == "asked_unit"


@pytest.mark.parametrize("kind", UNITS["kinds"])
def test_f25_no_spelling_stands_for_two_units_of_one_kind_in_any_capitals(kind):
    entry = UNITS["kinds"][kind]
    meant: dict[str, set[str]] = {}
    for unit in entry["units"]:
        spec = UNITS["units"][unit]
        own = [name for name, other in entry["spellings"].items() if other == unit]
        for name in [spec["symbol"], *spec["names"], *own]:
            meant.setdefault(unit_key(name).casefold(), set()).add(unit)
    assert {name: units for name, units in meant.items() if len(units) > 1} == {}


def test_f25_an_ambiguous_name_is_no_spelling_of_a_unit_in_the_kinds_it_is_asked_for():
    for name, choices in UNITS["asked"].items():
        kinds = [kind for kind, entry in UNITS["kinds"].items() if set(choices) & set(entry["units"])]
        for kind in kinds:
            for unit in UNITS["kinds"][kind]["units"]:
                keys = [unit_key(text).casefold() for text in UNITS["units"][unit]["names"]]
                assert unit_key(name).casefold() not in keys, (name, kind, unit)


def test_symbols_within_a_kind_are_distinct_so_that_an_answer_can_be_told_from_another():
    for kind, entry in UNITS["kinds"].items():
        symbols = Counter(UNITS["units"][unit]["symbol"] for unit in entry["units"])
        assert max(symbols.values()) == 1, kind


@given(st.sampled_from(PAIRS), st.floats(-1e9, 1e9, allow_nan=False))
def test_a_number_in_any_unit_of_any_kind_comes_back_as_itself(pair, number):
    """Out of the unit and back in: what is lost is less than two bits, of the number or of the unit's nought."""
    spec = UNITS["units"][pair[1]]
    value = number * spec["factor"] + spec["offset"]
    size = max(abs(number), abs(spec["offset"] / spec["factor"]))
    assert abs(in_unit(value, spec) - number) <= 4 * 2.0**-52 * size + 1e-290


@given(
    st.sampled_from([pair for pair in PAIRS if pair[0] != "count"]),
    st.sampled_from(PAIRS),
    st.floats(0.01, 1e4),
)
def test_the_same_quantity_typed_in_two_units_of_its_kind_is_one_si_number(first, second, number):
    if first[0] != second[0]:
        second = first
    one, other = UNITS["units"][first[1]], UNITS["units"][second[1]]
    value = number * one["factor"] + one["offset"]
    again = in_unit(value, other) * other["factor"] + other["offset"]
    assert again == pytest.approx(value, rel=1e-14, abs=1e-14 * abs(other["offset"]))
