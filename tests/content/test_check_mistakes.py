"""The checks that a Figure's file carries: each must come out, and each must be able to."""

from __future__ import annotations

import pytest

from webapp.binding import build_book

FIGURE = "figures/orifice.md"
CHECK = "{given: {rail: 300 kPa}, expect: {flow: 310 cc/min}, within: 0.1 %, source: by hand}"


def checks(small, check):
    small.change(FIGURE, CHECK, check)


def test_a_check_that_does_not_come_out_says_both_numbers_and_its_source(small):
    checks(small, "{given: {rail: 150 kPa}, expect: {flow: 310 cc/min}, within: 0.1 %, source: by hand}")
    small.expect(
        FIGURE, "given:",
        "checks: flow comes to 219.2031022 cc/min, expected 310 cc/min. Correct the formula or the check (by hand).",
    )  # fmt: skip


def test_the_second_of_two_checks_is_named_by_its_own_line(small):
    checks(
        small,
        CHECK
        + "\n  - given: {rail: 75 kPa}\n    expect: {flow: 156 cc/min}\n    within: 0.1 %\n    source: by hand",
    )
    (said,) = small.problems()
    assert said.startswith(
        f"content/{FIGURE}:{small.line(FIGURE, 'rail: 75 kPa')}: checks: flow comes to 155 cc/min, expected 156 cc/min."
    )


@pytest.mark.parametrize(
    ("expected", "comes_out"), [("310.31", True), ("310.32", False), ("309.7", True), ("309.68", False)]
)
def test_a_tolerance_is_a_share_of_the_expected_number_and_holds_both_ways(small, expected, comes_out):
    checks(small, CHECK.replace("310 cc", f"{expected} cc"))
    if comes_out:
        assert build_book(small.folder)
    else:
        assert len(small.problems()) == 1


@pytest.mark.parametrize(
    ("within", "comes_out"),
    [("1.1 cc/min", True), ("0.9 cc/min", False), ("0.07 L/h", True), ("0.05 L/h", False)],
)
def test_a_tolerance_may_be_a_width_in_any_unit_of_the_answer(small, within, comes_out):
    checks(small, CHECK.replace("310 cc", "311 cc").replace("0.1 %", within))
    if comes_out:
        assert build_book(small.folder)
    else:
        assert len(small.problems()) == 1


def test_a_tolerance_of_a_reading_is_a_width_on_its_scale(small):
    """A width of 1 °C is not 274.15 K."""
    small.formula("charge", "temperature", "°C")
    checks(small, "{given: {charge: 40 °C}, expect: {asked_for: 41.1 °C}, within: 1 °C, source: by hand}")
    assert "asked_for comes to 40 °C, expected 41.1 °C." in small.problems()[0]


@pytest.mark.parametrize("within", ["close", "-0.1 %", "0.1 % or so", "about 1 %", "1/0 %"])
def test_a_bad_tolerance_is_refused(small, within):
    checks(small, CHECK.replace("0.1 %", within))
    (said,) = small.problems()
    place = f"content/{FIGURE}:{small.line(FIGURE, 'given:')}: checks"
    assert said.startswith((f'{place}.within: "{within}" is no tolerance', f'{place}: "'))


def test_a_tolerance_in_a_unit_of_another_kind_is_refused(small):
    checks(small, CHECK.replace("0.1 %", "2 kPa"))
    small.expect(
        FIGURE,
        "given:",
        'checks: "kPa" in it cannot be read (wrong_kind). Write a number and a unit of the right kind.',
    )


def test_a_tolerance_without_a_unit_is_refused_where_there_are_units(small):
    checks(small, CHECK.replace("0.1 %", '"2"'))
    small.expect(
        FIGURE,
        "given:",
        'checks: "2" in it cannot be read (unknown_unit). Write a number and a unit of the right kind.',
    )


def test_a_tolerance_of_a_plain_ratio_needs_no_unit(small):
    small.formula("half")
    checks(small, '{given: {}, expect: {asked_for: "0.51"}, within: "0.02", source: by hand}')
    assert build_book(small.folder)


BAD_CHECKS = {
    "an unknown input": (CHECK.replace("rail:", "rial:"), 'checks.given: "rial" is not declared. Did you mean "rail"?'),
    "an unknown answer": (CHECK.replace("{flow:", "{flaw:"), 'checks.expect: "flaw" is not declared. Did you mean "flow"?'),
    "a row that the table lacks": (CHECK.replace("rail: 300 kPa", "fuel: petrool"), 'checks.given.fuel: "petrool" is not declared. Did you mean "petrol"?'),
    "nothing expected": (CHECK.replace("expect: {flow: 310 cc/min}, ", ""), 'checks[1].expect: is missing. Add a line "expect: …".'),
    "an empty expectation": (CHECK.replace("{flow: 310 cc/min}", "{}"), 'checks[1].expect: is empty. Write "name: {…}" lines below it.'),
    "no source": (CHECK.replace(", source: by hand", ""), 'checks[1].source: is missing. Add a line "source: …".'),
    "no tolerance": (CHECK.replace("within: 0.1 %, ", ""), 'checks[1].within: is missing. Add a line "within: …".'),
    "a unit of another kind": (CHECK.replace("300 kPa", "300 rpm"), 'checks: "rpm" in it cannot be read (wrong_kind). Write a number and a unit of the right kind.'),
    "an unknown unit": (CHECK.replace("310 cc/min", "310 cups"), 'checks: "cups" in it cannot be read (unknown_unit). Write a number and a unit of the right kind.'),
    "a number that can mean two": (CHECK.replace("300 kPa", '"1,234 kPa"'), 'checks: "1,234" in it cannot be read (ambiguous). Write 1.2340 or 1234.'),
    "a row without the number it should bring": (CHECK.replace("rail: 300 kPa", "fuel: unknown"), 'checks: "fuel.density of unknown" in it cannot be read (empty). Write a number and a unit of the right kind.'),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD_CHECKS)
def test_a_check_that_cannot_be_made_is_refused(small, name):
    check, said = BAD_CHECKS[name]
    checks(small, check)
    small.expect(FIGURE, "given:", said)


def test_a_check_on_an_answer_of_words_is_refused(small):
    small.change(
        FIGURE, "refuse:\n", "  told:\n    label: Told\n    words:\n      - {say: it flows}\nrefuse:\n"
    )
    checks(small, CHECK.replace("{flow: 310 cc/min}", "{told: it flows}"))
    small.expect(FIGURE, "given:", 'checks.expect: "told" is not declared. Allowed here: drop, flow.')


def test_a_check_that_is_refused_says_so(small):
    checks(small, CHECK.replace("rail: 300 kPa", "rail: 100 kPa, manifold: 100 kPa"))
    (said,) = small.problems()
    assert said.startswith(
        f"content/{FIGURE}:{small.line(FIGURE, 'given:')}: checks: the Figure refuses (refuse[1])."
    )


def test_a_check_brings_the_rows_numbers_along(small):
    small.formula("thickness", "density", "kg/m³")
    checks(small, "{given: {fuel: petrol}, expect: {asked_for: 740 kg/m³}, within: 0 %, source: the table}")
    assert build_book(small.folder)


def test_a_typed_number_wins_over_the_one_a_row_lacks(small):
    small.formula("thickness", "density", "kg/m³")
    checks(
        small,
        "{given: {fuel: unknown, thickness: 800 kg/m³}, expect: {asked_for: 800 kg/m³}, within: 0 %, source: typed}",
    )
    assert build_book(small.folder)


def test_a_check_can_give_a_curve_of_its_own(small):
    pump = (
        "  pump: {label: Pump, kind: volume flow, in: L/h, from: 0, to: 300, points: ['0: 255', '300: 190'], "
    )
    small.change(
        FIGURE,
        "constants:\n",
        pump + "across: {label: At, kind: gauge pressure, in: kPa, from: 0, to: 600}}\nconstants:\n",
    )
    small.formula("pump(rail)", "volume flow", "L/h")
    checks(
        small,
        "{given: {pump: '0: 100; 400 kPa: 20 L/h', rail: 200 kPa}, expect: {asked_for: 60 L/h}, within: 0.0001 %, source: a line}",
    )
    assert build_book(small.folder)


def test_a_check_is_run_though_another_file_has_a_mistake(small):
    """All mistakes come out in one run."""
    checks(small, CHECK.replace("310 cc", "311 cc"))
    small.change("help/typing.md", "summary:", "sumary:")
    assert [problem.split(": ")[1] for problem in small.problems()] == ["checks", "sumary"]
