"""A number typed with its unit. Values from outside: NIST SP 811 (2008), appendix B.8, as exact factors (from memory)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st


def shown(finding, text):
    """unit of the sense -> {unit: number} of the same in other units."""
    quantity = finding.answer(text).quantity
    return {(s.unit, *s.kinds): {o["unit"]: o["number"] for o in s.others} for s in quantity.senses}


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("13 ft lb", "N·m", "17.63"),  # 1 lbf·ft = 1.355 818 N·m
        ("43.5 psi", "kPa", "299.9"),  # 1 psi = 6.894 757 kPa
        ("6 bar", "psi", "87.02"),
        ("330 cc", "L", "0.33"),
        ("1 1/8 in", "mm", "28.58"),  # 1 in = 25.4 mm
        ("20 C", "°F", "68"),
        ("10 US gal", "L", "37.85"),  # 1 US gal = 3.785 412 L
    ],
)
def test_a_number_with_a_unit_is_answered_in_the_others_of_its_kind(finding, text, unit, number):
    assert number in [units.get(unit) for units in shown(finding, text).values()]


def test_a_pressure_may_be_gauge_absolute_or_a_difference_and_says_so(finding):
    (sense,) = finding.answer("6 bar").quantity.senses
    assert sense.sorts == ["gauge", "absolute", "difference"]


def test_F16_a_reading_of_temperature_and_a_rise_are_two_answers(finding):
    reading, rise = finding.answer("10 C").quantity.senses
    assert (reading.sorts, rise.sorts) == (["reading"], ["difference"])
    assert [one["number"] for one in reading.others if one["unit"] == "°F"] == ["50"]
    assert [one["number"] for one in rise.others if one["unit"] == "°F"] == ["18"]


def test_a_bare_cc_is_a_volume_first_and_may_be_a_flow_as_the_trade_writes_it(finding):
    volume, flow = finding.answer("330 cc").quantity.senses
    assert (volume.unit, volume.read_as) == ("cc", "")
    assert (flow.unit, flow.read_as) == ("cc/min", "cc/min")
    (only,) = finding.answer("330 cc/min").quantity.senses
    assert (only.unit, only.read_as) == ("cc/min", "")


def test_a_kind_of_its_own_is_named(finding):
    assert [sense.kinds for sense in finding.answer("80 N/mm2").quantity.senses] == [
        ["gauge pressure", "absolute pressure", "pressure difference"],
        ["stress"],
    ]


def test_the_figures_that_take_it_are_filled_with_it(finding):
    paths = [link.path for link in finding.answer("330 cc").links]
    assert "figures/injector-flow/?rated_flow=330+cc/min" in paths
    assert "figures/fluid-volumes/?volume=330+cc" in paths
    assert next(link.path for link in finding.answer("13 ft lb").links) == (
        "figures/torque-units/?torque=13+lbf%C2%B7ft"
    )


def test_a_figure_whose_range_does_not_reach_so_far_is_left_out(finding):
    titles = {link.path.partition("?")[0] for link in finding.answer("900000 psi").links}
    assert "figures/injector-flow/" not in titles


@pytest.mark.parametrize(
    ("text", "code", "choices"),
    [
        ("5 gal", "5 US gal|5 imp gal", 0),
        ("13 lb", "13 lbf·ft|13 lbf·in", 1),
        ("1,234 psi", "1.2340 psi|1234 psi", 0),
    ],
)
def test_what_can_mean_two_things_is_asked_back_with_the_choices(finding, text, code, choices):
    answer = finding.answer(text)
    assert answer.choices == code.split("|")
    assert answer.sentence
    assert len(answer.quantity.senses) == choices
    for choice in answer.choices:
        assert finding.answer(choice).quantity.senses, choice


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("1/0 in", "divides by 0"),
        ("1..2 psi", "cannot be read as one number"),
        ("13 ft lbz", "Nearest in spelling"),
        ("xyzzyx", "Nothing found for “xyzzyx”"),
        ("x" * 65, "longer than 64 characters"),
    ],
)
def test_F26_wrong_text_gets_a_sentence(finding, text, sentence):
    assert sentence in finding.answer(text).sentence


def test_a_unit_that_is_nearly_right_is_offered_right(finding):
    assert "13 lbf·ft" in finding.answer("13 ft lbz").choices


def test_an_entry_that_is_called_just_so_stands_beside_the_number(finding):
    assert "tables/wrench-openings/#row-mm-13" in [entry.path for entry in finding.answer("13 mm").entries]
    assert finding.answer("13 ft lb").entries == []


def test_a_number_without_a_unit_is_looked_for_by_its_digits(finding):
    assert finding.answer("8.8").quantity is None
    assert finding.answer("8.8").entries


def test_nothing_typed_is_nothing_to_answer(finding):
    assert finding.answer("").state == finding.answer("   ").state == "empty"


@given(st.text(max_size=80))
def test_F27_every_text_has_an_answer(finding, text):
    answer = finding.answer(text)
    assert answer.state in ("empty", "found", "nothing", "long")
    assert (answer.state == "empty") == (not text.strip(" "))
    assert len(answer.entries) <= 12 and len(answer.links) <= 12
    if answer.state in ("nothing", "long"):
        assert answer.sentence
