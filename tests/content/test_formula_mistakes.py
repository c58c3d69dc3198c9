"""Formulas in content files: what is no formula, what names or calls something unknown, and what mixes up kinds (F24, F27)."""

from __future__ import annotations

import pytest

FIGURE = "figures/orifice.md"
GAUGE = "Make it absolute first by adding the site pressure, or use difference(…) for its height above the surrounding air."
ONE_DIMENSION = 'Both sides need one dimension: divide or multiply first, as in "a * b / c".'
PRESSURE = "length^-1 · mass · time^-2"


def expect(small, *sentences):
    small.expect(FIGURE, "asked_for:", *(f"gives.asked_for.formula: {sentence}" for sentence in sentences))


def test_an_unknown_name_is_named_with_the_nearest(small):
    small.formula("rial / rated_drop")
    expect(small, 'the name "rial" is not declared. Did you mean "rail"?')


def test_an_answer_further_down_is_not_known_yet(small):
    small.change(FIGURE, "formula: rail - manifold", "formula: flow * rated_drop / rated_flow")
    assert (
        f'content/{FIGURE}:{small.line(FIGURE, "formula: flow *")}: gives.drop.formula: the name "flow" is not declared.'
        in small.problems()[0]
    )


def test_an_answer_cannot_stand_in_its_own_formula(small):
    small.formula("asked_for + 1")
    assert 'the name "asked_for" is not declared.' in small.problems()[0]


@pytest.mark.parametrize("name", ["E", "I", "N", "S", "Q", "oo", "zoo", "Symbol"])
def test_names_that_the_formula_library_has_of_its_own_are_unknown_here(small, name):
    small.formula(f"{name} * 2")
    assert f'gives.asked_for.formula: the name "{name}" is not declared.' in small.problems()[0]


@pytest.mark.parametrize(
    "call",
    [
        "eval(half)",
        "exec(half)",
        "open(half)",
        "print(half)",
        "diff(half)",
        "Integral(half)",
        "gamma(half)",
        "sign(half)",
    ],
)
def test_a_function_that_is_not_on_the_list_is_refused(small, call):
    small.formula(call)
    name = call.partition("(")[0]
    said = small.problems()[0]
    assert (
        f'content/{FIGURE}:{small.line(FIGURE, "asked_for:")}: gives.asked_for.formula: the function "{name}" is not allowed.'
        in said
    )


ATTACKS = {
    "half.__class__": '"half.__class__" is not declared.',
    "half.__class__.__bases__": '"half.__class__.__bases__" is not declared.',
    "().__class__": '"().__class__" is not declared.',
    "fuel.__init__": '"fuel.__init__" is not declared.',
    "(half).real": '"half.real" is not declared.',
    "__import__('os')": 'the function "__import__" is not allowed.',
    "half.real()": 'the function "…" is not allowed.',
    "(lambda: half)()": 'the function "…" is not allowed.',
    "lambda: half": '"lambda: half" may not stand in a formula.',
    "[half for k in half]": '"[half for k in half]" may not stand in a formula.',
    "{half: 1}": '"{half: 1}" may not stand in a formula.',
    "(half, 1)": '"(half, 1)" may not stand in a formula.',
    "half[0]": '"half[0]" may not stand in a formula.',
    "f'{half}'": """"f'{half}'" may not stand in a formula.""",
    "'half'": "'half' may not stand in a formula.",
    "b'half'": "b'half' may not stand in a formula.",
    "(half := 3)": '"(half := 3)" may not stand in a formula.',
    "await half": '"await half" may not stand in a formula.',
    "half; half": '"half; half" is not a formula:',
    "import os": '"import os" is not a formula:',
    "half = 3": '"half = 3" is not a formula:',
    "half half": '"half half" is not a formula:',
    "half \u00d7 2": '"half × 2" is not a formula:',
    "2half": '"2half" is not a formula:',
    "half ^ 2": '"half ^ 2" may not stand in a formula.',
    "half // 2": '"half // 2" may not stand in a formula.',
    "half % 2": '"half % 2" may not stand in a formula.',
    "half @ 2": '"half @ 2" may not stand in a formula.',
    "half << 2": '"half << 2" may not stand in a formula.',
    "~half": "the sign ~ may not stand in a formula.",
    "True": "True may not stand in a formula.",
    "None": "None may not stand in a formula.",
    "...": "Ellipsis may not stand in a formula.",
    "2j": "2j may not stand in a formula.",
    "half < 1": "a condition stands where a number is wanted.",
    "1 if half else 2": "a number stands where a condition is wanted.",
    "1 if 0 < half < 2 else 2": "this comparison may not stand in a formula.",
    "1 if half in (1, 2) else 2": "this comparison may not stand in a formula.",
    "1 if half is half else 2": "this comparison may not stand in a formula.",
    "sqrt(half, 2)": "sqrt( ) is given 2 values. It takes 1.",
    "min(half)": "min( ) is given 1 values. It takes 2 to 9.",
    "sqrt()": "sqrt( ) is given 0 values. It takes 1.",
    "sqrt(x=half)": "sqrt( ) is given named or starred arguments.",
    "min(*half)": "min( ) is given named or starred arguments.",
    "total(half, 1, 3, half)": "total( ) needs a new name as its counter.",
    "total(sqrt, 1, 3, 1)": "total( ) needs a new name as its counter.",
    "total(1, 1, 3, 1)": "total( ) needs a new name as its counter.",
    "1e999": "a number is too large to be exact.",
    "9" * 30: "a number is too large to be exact.",
    "1 if (2 if half > 1 else 3) > 2 else 4": "a condition holds a choice of its own.",
}  # fmt: skip


@pytest.mark.parametrize("formula", ATTACKS)
def test_what_is_not_on_the_list_of_formula_parts_is_refused(small, formula):
    small.formula(formula)
    (said,) = small.problems()
    assert said.startswith(
        f"content/{FIGURE}:{small.line(FIGURE, 'asked_for:')}: gives.asked_for.formula: {ATTACKS[formula]}"
    )


@pytest.mark.parametrize(
    "nested", ["-" * 1900 + "1", "+".join(["half"] * 300), "sqrt(" * 200 + "half" + ")" * 200]
)
def test_f27_huge_nesting_is_refused(small, nested):
    small.formula(nested)
    expect(small, "the formula is nested more than 60 deep. Split it over several answers.")


def test_f27_more_brackets_than_any_parser_takes_are_refused_and_not_repeated_in_full(small):
    small.formula("(" * 900 + "half" + ")" * 900)
    (said,) = small.problems()
    assert '((…" is not a formula: ' in said
    assert len(said) < 400


def test_f27_a_long_formula_is_refused(small):
    small.formula("half + " * 300 + "half")
    expect(small, "the formula is longer than 2000 characters. Split it over several answers.")


def test_f27_a_tower_of_powers_is_never_worked_out_while_reading(small):
    """9**9**9 has 370 million digits; here it is three numbers, and too large for an answer when it is computed."""
    small.formula("9**9**9**9")
    small.change(FIGURE, "expect: {flow", "expect: {asked_for: 1, flow")
    (said,) = small.problems()
    assert "checks: the Figure refuses" in said


def test_an_empty_formula_is_reported_once(small):
    small.formula("")
    small.expect(FIGURE, "asked_for:", "gives.asked_for.formula: is empty. Write the text behind the colon.")


KIND_MISTAKES = {
    "adds a pressure to a torque": ("rail + twist", f"adds {PRESSURE} and length^2 · mass · time^-2.", ONE_DIMENSION),
    "compares two dimensions": ("1 if rail > twist else 2", f"compares {PRESSURE} and length^2 · mass · time^-2.", ONE_DIMENSION),
    "chooses between two dimensions": ("rail if half > 1 else 5", f"chooses between {PRESSURE} and a plain number.", ONE_DIMENSION),
    "F24 adds two gauge pressures": ("rail + manifold", "adds a gauge pressure and a gauge pressure.", GAUGE),
    "F24 mixes gauge and absolute": ("rail - site", "subtracts a gauge pressure and a site pressure.", GAUGE),
    "F24 compares gauge and absolute": ("1 if rail > site else 2", "compares a gauge pressure and a site pressure.", GAUGE),
    "F24 takes the larger of gauge and absolute": ("max(rail, site)", "takes max of a gauge pressure and a site pressure.", GAUGE),
    "F24 multiplies a gauge pressure": ("rail * 2", "a gauge pressure is multiplied or divided.", GAUGE),
    "F24 multiplies by a gauge pressure": ("2 * rail", "a gauge pressure is multiplied or divided.", GAUGE),
    "F24 turns a gauge pressure round": ("-rail", "a gauge pressure is turned round with a minus.", GAUGE),
    "F24 subtracts a gauge pressure from nothing": ("0 - rail", "a gauge pressure is turned round with a minus.", GAUGE),
    "F24 divides two gauge pressures": ("rail / manifold", "a gauge pressure is multiplied or divided.", GAUGE),
    "F24 takes the root of a gauge pressure": ("sqrt(rail)", "a gauge pressure is raised to a power.", GAUGE),
    "F24 takes the size of a gauge pressure": ("abs(rail)", "abs( ) is given a gauge pressure.", "Use difference(…) inside it."),
    "F24 sums gauge pressures": ("total(k, 1, 3, rail)", "adds a gauge pressure and a gauge pressure.", GAUGE),
    "F24 adds two readings of temperature": ("charge + outside", "adds a temperature reading and a temperature reading.", "Subtract two readings to get a difference."),
    "F24 compares a reading with nothing": ("1 if charge > 0 else 2", "compares temperature and a plain number.", ONE_DIMENSION),
    "a reading compared with a rise": ("1 if charge > charge - outside else 2", "compares a temperature reading and a temperature difference.", "Subtract two readings to get a difference."),
    "torque times turns": ("twist * turns", "a torque is multiplied by turns a second.", "Use angular(…) where radians a second are meant."),
    "turns times torque": ("turns * twist", "a torque is multiplied by turns a second.", "Use angular(…) where radians a second are meant."),
    "a power with a unit above": ("half ** rail", f"an exponent is given {PRESSURE}.", "Divide by a quantity of the same kind first."),
    "a quantity to a power that is no plain number": ("rated_drop ** half", "a quantity with a unit is raised to a power that is not a plain number.", "Divide by a quantity of the same kind first."),
    "the sine of a pressure": ("sin(rated_drop)", f"sin( ) is given {PRESSURE}.", "Divide by a quantity of the same kind first."),
    "the whole part of a flow": ("floor(rated_flow)", "floor( ) is given length^3 · time^-1.", "Divide by a quantity of the same kind first."),
    "an end of a sum with a unit": ("total(k, 1, rated_drop, 1)", f"an end of total( ) is given {PRESSURE}.", "Divide by a quantity of the same kind first."),
    "difference of something else": ("difference(site)", "difference( ) is given something other than a gauge pressure.", "Give it a gauge pressure."),
    "angular of something else": ("angular(half)", "angular( ) is given something other than turns a second.", "Give it an engine speed."),
}  # fmt: skip


@pytest.mark.parametrize("name", KIND_MISTAKES)
def test_a_formula_that_mixes_up_kinds_is_refused(small, name):
    formula, what, mend = KIND_MISTAKES[name]
    small.formula(formula)
    expect(small, f"{what} {mend}")


DECLARED_WRONG = {
    "a flow for a pressure": ("rated_flow", "pressure difference", "kPa", f"the formula gives length^3 · time^-1, but the kind declared has {PRESSURE}.", "Correct the formula or the kind."),
    "the larger of nothing and a flow for a pressure": ("max(0, rated_flow)", "pressure difference", "kPa", f"the formula gives length^3 · time^-1, but the kind declared has {PRESSURE}.", "Correct the formula or the kind."),
    "a number for a torque": ("half", "torque", "N·m", "the formula gives a plain number, but the kind declared has length^2 · mass · time^-2.", "Correct the formula or the kind."),
    "a torque for an energy": ("twist", "energy", "J", "the formula gives a torque, but the kind declared is an energy.", "A torque is not an energy: torque * angular(speed) is a power, and that times a time is an energy."),
    "a torque times a number for an energy": ("twist * 6", "energy", "J", "the formula gives a torque, but the kind declared is an energy.", "A torque is not an energy: torque * angular(speed) is a power, and that times a time is an energy."),
    "F24 a gauge pressure for an absolute one": ("rail", "absolute pressure", "kPa", "the formula gives a gauge pressure, but the kind declared is an absolute pressure.", GAUGE),
    "F24 a difference for a gauge pressure": ("rail - manifold", "gauge pressure", "kPa", "the formula gives a pressure difference, but the kind declared is a gauge pressure.", GAUGE),
    "F24 an absolute pressure for a gauge one": ("site", "gauge pressure", "kPa", "the formula gives a site pressure, but the kind declared is a gauge pressure.", GAUGE),
    "F24 a rise for a reading": ("charge - outside", "temperature", "°C", "the formula gives a temperature difference, but the kind declared is a temperature reading.", "Subtract two readings to get a difference."),
    "F24 a reading for a rise": ("charge", "temperature difference", "ΔK", "the formula gives a temperature reading, but the kind declared is a temperature difference.", "Subtract two readings to get a difference."),
    "F24 nothing for a reading": ("0", "temperature", "°C", "the formula gives a plain number, but the kind declared has temperature.", "Correct the formula or the kind."),
    "F24 unknown product for a gauge pressure": ("rated_flow * rated_drop / rated_flow", "gauge pressure", "kPa", "the formula gives a plain quantity, but the kind declared is a gauge pressure.", GAUGE),
}  # fmt: skip


@pytest.mark.parametrize("name", DECLARED_WRONG)
def test_a_formula_that_gives_another_kind_than_declared_is_refused(small, name):
    formula, kind, unit, what, mend = DECLARED_WRONG[name]
    small.formula(formula, kind, unit)
    expect(small, f"{what} {mend}")


SOUND = {
    "F24 gauge and site make absolute": ("rail + site", "absolute pressure", "kPa"),
    "F24 absolute less site makes gauge": ("(rail + site) - site", "gauge pressure", "kPa"),
    "F24 gauge less gauge makes a difference": ("rail - manifold", "pressure difference", "kPa"),
    "F24 gauge and a difference stay gauge": ("rail - drop", "gauge pressure", "kPa"),
    "F24 a gauge pressure's height over the air": ("difference(rail) * 2", "pressure difference", "kPa"),
    "F24 a ratio of absolute pressures": ("(rail + site) / site", "ratio", "×"),
    "F24 reading less reading is a rise": ("charge - outside", "temperature difference", "ΔK"),
    "F24 a reading and a rise are a reading": ("charge + (charge - outside)", "temperature", "°C"),
    "F24 a reading scaled from absolute nought": ("charge * 1.1", "temperature", "°C"),
    "power from torque and radians a second": ("twist * angular(turns)", "power", "W"),
    "energy from power and time": ("twist * angular(turns) / turns", "energy", "J"),
    "turns times time are a number": ("turns / turns", "ratio", "×"),
    "half the turns are turns": ("turns / 2", "engine speed", "rpm"),
    "the nought of any kind": ("max(drop, 0)", "pressure difference", "kPa"),
    "a condition with and, or and not": (
        "1 if not (rail > manifold and drop > 0 or half == 1) else 2",
        "ratio",
        "×",
    ),
    "nested choices": ("1 if half > 1 else (2 if half > 0.5 else 3)", "ratio", "×"),
    "a sum over whole numbers": ("total(k, 1, 4, k * half)", "ratio", "×"),
    "a column of the chosen row": ("fuel.density / thickness", "ratio", "×"),
}


@pytest.mark.parametrize("name", SOUND)
def test_a_formula_that_keeps_its_kinds_apart_is_accepted(small, name):
    small.formula(*SOUND[name])
    assert small.book().figures["orifice"].give("asked_for").type == "formula"
