"""Numbers as people type them and as the app writes them. The table of cases is read by the browser tests too."""

from __future__ import annotations

import ast
import math
import re
from typing import Any

import pytest
import yaml
from figures.number_material import (
    CASES,
    REPO,
    WORDS,
    hostile_texts,
    outcome,
    outcome_of_case,
    rounded,
    values_to_write,
    written_arguments,
)
from hypothesis import assume, given
from hypothesis import strategies as st

import webapp.figures.numbers as numbers_module
from webapp.figures.numbers import (
    NORMAL,
    NumberProblem,
    first_power,
    read_number,
    read_quantity,
    split_quantity,
    write_full,
    write_number,
)
from webapp.figures.unit_names import unit_key

UNITS = CASES["units"]
NEVER = re.compile(r"nan|inf|undefined|none|null|∞|[-−]0(?![0-9.,])", re.IGNORECASE)
MARKS = pytest.mark.parametrize("mark", [".", ","])


def text_of(case: dict[str, Any]) -> str:
    return ascii(case["text"])


@pytest.fixture(scope="module")
def shipped_units() -> dict[str, Any]:
    """Kinds and spellings of content/units.md; factors do not matter here."""
    table = yaml.safe_load((REPO / "content" / "units.md").read_text(encoding="utf-8").split("---\n")[1])
    for name, unit in table["units"].items():
        unit |= {"symbol": unit.get("symbol", name), "names": unit["names"], "factor": 1.0, "offset": 0.0}
    for kind in table["kinds"].values():
        listed = kind.pop("spellings", {}).items()
        kind["spellings"] = {text: unit for unit, texts in listed for text in texts}
    return table


def refusal(text: str, kind: str, units: dict[str, Any], default: str) -> NumberProblem:
    with pytest.raises(NumberProblem) as caught:
        read_quantity(text, kind, units, default)
    return caught.value


# Reading


@pytest.mark.parametrize("case", CASES["numbers"], ids=text_of)
def test_a_typed_number_is_read_or_refused_as_the_table_says(case):
    found = outcome_of_case(case)
    assert found.get("code") == case.get("problem")
    assert found.get("result") == case.get("value")
    assert found.get("fields") == case.get("fields", found.get("fields"))


@pytest.mark.parametrize("case", CASES["quantities"], ids=text_of)
def test_a_typed_quantity_is_read_or_refused_as_the_table_says(case):
    found = outcome_of_case(case)
    assert found.get("code") == case.get("problem")
    assert found.get("fields") == case.get("fields", found.get("fields"))
    if "problem" not in case:
        result = found["result"]
        assert (result["number"], result["unit"]) == (case["number"], case["unit"])
        assert math.isclose(result["si"], case["si"], rel_tol=1e-13)


@pytest.mark.parametrize("case", CASES["split"], ids=text_of)
def test_a_typed_text_is_split_into_number_and_unit_without_losing_any_of_it(case):
    assert split_quantity(case["text"]) == (case["number"], case["unit"])


def test_a_text_that_is_too_long_is_not_split():
    assert split_quantity("9 psi" * 20) == ("9 psi" * 20, "")


def test_the_table_of_numbers_is_as_long_as_it_must_be():
    assert len(CASES["numbers"]) >= 60


@MARKS
@given(head=st.integers(1, 999), tail=st.integers(0, 999), sign=st.sampled_from(["", "-", "−"]))
def test_F15_lone_separator_with_three_digits_is_asked_back(mark, head, tail, sign):
    with pytest.raises(NumberProblem) as caught:
        read_number(f"{sign}{head}{mark}{tail:03}")
    fields = caught.value.fields
    assert caught.value.code == "ambiguous"
    meant = (-1 if sign else 1) * (head + tail / 1000), (-1 if sign else 1) * (head * 1000 + tail)
    assert (read_number(fields["type_a"]), read_number(fields["type_b"])) == pytest.approx(meant, rel=1e-15)


def test_F15_comma_and_point_both_mark_decimals():
    assert read_number("1,5") == read_number("1.5") == 1.5
    assert read_number("1.234,5") == read_number("1,234.5") == 1234.5


@pytest.mark.parametrize("text", ["12,", "1..2", "abc", "--5"])
def test_F17_an_unfinished_number_is_refused_with_what_was_typed(text):
    assert f"“{text}”" in outcome(lambda: read_number(text))["sentence"]


def test_F18_two_pasted_cells_are_not_taken_for_one_number():
    for between in ("\n", "\r\n", "\t", "\u2028"):
        assert outcome(lambda between=between: read_number(f"12{between}500"))["code"] == "unreadable"


def test_F18_every_sign_of_the_table_stands_for_plain_characters():
    assert all(re.fullmatch(r"[ -~]*", meant) for meant in NORMAL.values())
    assert all(len(sign) == 1 for sign in NORMAL)


def test_F19_the_sign_of_a_mixed_number_covers_its_fraction():
    assert [read_number(text) for text in ("-1 1/2", "−1½", "-1-1/2")] == [-1.5] * 3


@pytest.mark.parametrize(
    "text", ["nan", "NaN", "inf", "Infinity", "-Infinity", "1e400", "-1e-400", "0x10", "", " "]
)
def test_F20_what_is_no_finite_number_is_refused(text):
    assert outcome(lambda: read_number(text))["code"] in ("unreadable", "not_finite", "empty")


def test_F20_a_value_beyond_all_numbers_in_SI_is_refused():
    assert refusal("9e305 MPa", "gauge pressure", UNITS, "bar").code == "not_finite"


# Units


def test_F25_every_spelling_of_the_units_page_reads_as_its_unit(shipped_units):
    wrong = []
    for kind, entry in shipped_units["kinds"].items():
        for unit in entry["units"]:
            record = shipped_units["units"][unit]
            own = [text for text, meant in entry["spellings"].items() if meant == unit]
            for name in filter(None, [unit, record["symbol"], *record["names"], *own]):
                found = outcome(lambda: read_quantity(f"1 {name}", kind, shipped_units, entry["units"][0]))  # noqa: B023
                if found.get("result", {}).get("unit") != unit:
                    wrong.append((kind, unit, name, found))
    assert wrong == []


@pytest.mark.parametrize(
    ("text", "kind", "unit"),
    [
        ("cfm", "volume flow", "cfm"),
        ("Nm", "torque", "N·m"),
        ("nm", "torque", "N·m"),
        ("PS", "power", "PS"),
        ("mb", "site pressure", "mbar"),
        ("C", "temperature", "°C"),
        ("F", "temperature", "°F"),
        ("C", "temperature difference", "Δ°C"),
        ("ft-lb", "torque", "lbf·ft"),
        ("lb-ft", "torque", "lbf·ft"),
        ("lbft", "torque", "lbf·ft"),
        ("ft·lbf", "torque", "lbf·ft"),
        ("inHg", "gauge pressure", "inHg"),
        ('"', "length", "in"),
        ("kgm", "torque", "kgf·m"),
        ("°", "angle", "°"),
    ],
)
def test_F25_a_trade_spelling_means_the_trade_s_unit(shipped_units, text, kind, unit):
    default = shipped_units["kinds"][kind]["units"][0]
    assert read_quantity(f"12.5 {text}", kind, shipped_units, default).unit == unit


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("mil", "length"),
        ("L/100km", "specific fuel consumption"),
        ("k", "length"),
        ("°", "temperature"),
        ("μ", "length"),
    ],
)
def test_F25_a_spelling_outside_the_table_is_refused_with_what_can_stand_there(shipped_units, text, kind):
    problem = refusal(f"100 {text}", kind, shipped_units, shipped_units["kinds"][kind]["units"][0])
    assert problem.code in ("unknown_unit", "wrong_kind")
    assert problem.fields["choices"]


def test_F25_milli_and_mega_are_never_taken_for_each_other(shipped_units):
    for text, kind in (("mPa", "stress"), ("ML", "volume"), ("MΩ", "resistance"), ("Mbar", "site pressure")):
        problem = refusal(f"3 {text}", kind, shipped_units, shipped_units["kinds"][kind]["units"][0])
        assert problem.code == "unknown_unit"
        assert problem.fields["near"]


LETTERS = st.text(st.characters(categories=["L", "Sm", "So", "Sc"]), min_size=1, max_size=6)


@given(first=LETTERS, joint=st.sampled_from(["", " ", "·", "*", "**", "/", "^"]), second=LETTERS)
def test_F25_no_text_outside_the_table_is_a_unit(first, joint, second):
    text = first + joint + second
    known = {
        unit_key(name).lower()
        for unit, entry in UNITS["units"].items()
        for name in (unit, entry["symbol"], *entry["names"])
    } | {"psig", "psia"}
    # Whatever looks like more of the number is refused as a number, so only real unit texts are of interest here.
    cleaned = text.translate(str.maketrans(NORMAL)).strip(" ")
    assume(unit_key(cleaned).lower() not in known and not re.match(r"[-+0-9.,'/]", cleaned))
    assert refusal(f"5 {text}", "gauge pressure", UNITS, "bar").code in ("unknown_unit", "wrong_kind")


@pytest.mark.parametrize(
    ("text", "kind", "stated"),
    [
        ("gal", "volume", "US gal"),
        ("gal", "volume", "imp gal"),
        ("horsepower", "power", "PS"),
    ],
)
def test_F26_an_ambiguous_name_asks_or_means_the_field_s_stated_unit(shipped_units, text, kind, stated):
    first = next(
        unit for unit in shipped_units["kinds"][kind]["units"] if unit not in shipped_units["asked"][text]
    )
    problem = refusal(f"5 {text}", kind, shipped_units, first)
    assert problem.code == "asked_unit"
    assert stated in problem.fields["choices"]
    assert read_quantity(f"5 {text}", kind, shipped_units, stated).unit == stated


@pytest.mark.parametrize("stated", ["lbf·ft", "lbf·in", "N·m"])
def test_F26_a_torque_in_pounds_alone_is_always_asked_back(shipped_units, stated):
    assert refusal("9 lb", "torque", shipped_units, stated).code == "asked_unit"


def test_F26_a_plain_number_in_a_share_field_is_not_multiplied_by_a_hundred():
    assert read_quantity("14.7", "ratio", UNITS, "%").si == pytest.approx(0.147)


# Hostile texts


def test_F27_a_thousand_hostile_texts_are_each_answered_or_refused_in_a_sentence():
    for text in hostile_texts(1000):
        for found in (
            outcome(lambda text=text: read_number(text)),
            outcome(lambda text=text: read_quantity(text, "gauge pressure", UNITS, "bar")),
        ):
            assert "result" in found or found["sentence"].endswith(".")
            numbers = found.get("result", 0.0)
            for number in [numbers] if isinstance(numbers, float) else [numbers["number"], numbers["si"]]:
                assert math.isfinite(number)
                assert math.copysign(1, number or 1) == math.copysign(1, number)


@given(st.text(max_size=70))
def test_F27_any_text_is_answered_or_refused(text):
    for kind, default in (("torque", "N·m"), ("count", "×1")):
        found = outcome(lambda kind=kind, default=default: read_quantity(text, kind, UNITS, default))
        assert ("result" in found) != ("code" in found)


def test_F27_the_length_is_looked_at_before_anything_else():
    assert outcome(lambda: read_number("9" * 10_000_000))["code"] == "too_long"
    assert read_number("9" * 64) == 1e64


def test_no_text_is_evaluated_and_no_unit_library_is_asked():
    source = (REPO / "webapp" / "figures" / "numbers.py").read_text(encoding="utf-8")
    called = {
        node.func.id
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call) and hasattr(node.func, "id")
    }
    assert not called & {"eval", "exec", "compile", "Fraction", "Decimal", "complex"}
    assert "pint" not in vars(numbers_module)


# Sentences


@pytest.mark.parametrize(
    "case", [case for case in CASES["numbers"] + CASES["quantities"] if "problem" in case], ids=text_of
)
def test_every_refusal_has_a_whole_sentence(case):
    found = outcome_of_case(case)
    typed = {name: "here" for name in ("text", "unit") if name in found["fields"]}
    sentence = NumberProblem(found["code"], **(found["fields"] | typed)).sentence(WORDS)
    assert re.fullmatch(r"[A-Z“].*[^ ]\.", sentence)
    assert not re.search(r"[{}]|: \.|  ", sentence)


def test_the_question_back_names_both_numbers_and_what_to_type_for_each():
    assert (
        outcome(lambda: read_number("1,234"))["sentence"]
        == "“1,234” can mean 1.234 or 1234. Type 1.2340 or 1234."
    )


def test_the_sentences_are_those_that_can_be_needed_and_no_others():
    cases = [outcome_of_case(case) for case in CASES["numbers"] + CASES["quantities"] if "problem" in case]
    keys = {NumberProblem(case["code"], **case["fields"]).key for case in cases}
    assert keys == set(WORDS)


# Writing


@pytest.mark.parametrize(
    ("value", "power", "digit"), [(0.025, -2, 2), (-43.5, 1, 4), (1e20, 20, 1), (9e-12, -12, 9), (7, 0, 7)]
)
def test_the_first_power_is_that_of_the_first_digit_that_is_not_nought(value, power, digit):
    assert first_power(value) == (power, digit)


@pytest.mark.parametrize("case", CASES["written"], ids=text_of)
def test_a_value_is_written_as_the_table_says(case):
    assert write_number(*written_arguments(case)) == case["text"]


@MARKS
def test_F18_ten_thousand_written_values_read_back_as_what_was_written(mark):
    for value, place, digits in values_to_write(10_000):
        text = write_number(value, place, digits, mark)
        assert read_number(text) == rounded(value, place, digits), (value, place, digits, text)


@MARKS
@given(value=st.floats(allow_nan=False, allow_infinity=False))
def test_F18_a_value_written_in_full_reads_back_as_itself(mark, value):
    assert read_number(write_full(value, mark)) == value


@MARKS
@given(value=st.floats(allow_nan=False, allow_infinity=False), digits=st.integers(1, 20))
def test_F22_rounding_to_digits_is_that_of_decimal_arithmetic(mark, value, digits):
    assume(abs(value) < 1e308)
    assert read_number(write_number(value, digits=digits, decimal=mark)) == rounded(value, None, digits)


@MARKS
@given(value=st.floats(-1e15, 1e15), place=st.integers(-9, 9))
def test_F22_rounding_to_a_place_is_that_of_decimal_arithmetic(mark, value, place):
    assert read_number(write_number(value, place, decimal=mark)) == rounded(value, place, None)


@MARKS
@given(value=st.floats(), place=st.none() | st.integers(-30, 30))
def test_F20_nothing_written_is_nan_infinity_or_minus_zero(mark, value, place):
    found = outcome(lambda: write_number(value, place, None, mark))
    assert found.get("code") == (None if math.isfinite(value) else "not_finite")
    assert not NEVER.search(found.get("result", ""))


def test_F22_a_unit_written_behind_a_number_reads_back():
    for kind, entry in UNITS["kinds"].items():
        for unit in entry["units"]:
            text = f"{write_number(12345.675, -2)} {UNITS['units'][unit]['symbol']}"
            assert read_quantity(text, kind, UNITS, unit).unit == unit
            assert read_quantity(text, kind, UNITS, entry["units"][0]).number == 12345.68


@pytest.mark.parametrize(
    ("place", "digits", "mark"), [(0, 3, "."), (None, 0, "."), (None, -1, "."), (None, None, "٫")]
)
def test_a_writing_that_makes_no_sense_is_an_error_of_the_caller(place, digits, mark):
    with pytest.raises(ValueError, match=r"place .*, digits .*, decimal"):
        write_number(1.0, place, digits, mark)
