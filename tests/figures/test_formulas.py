"""Formulas computed: what the program of a formula gives is what mathematics, or NumPy's arithmetic, makes of its text."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from figures.formula_trees import CONDITIONS, FORMULAS, NAMES, SUMS, VALUES, Tree, same
from hypothesis import example, given, settings
from hypothesis import strategies as st

from webapp.errors import FormulaError
from webapp.figures import arithmetic
from webapp.figures.dimensions import literal
from webapp.figures.lower import lower
from webapp.figures.parse import Parser, read_tree
from webapp.figures.program import MOST_TERMS, compiled

PARSER = Parser(dict.fromkeys(NAMES), {"pump": None})


def program(text: str) -> Any:
    return lower(PARSER.expression(read_tree(text)))


def computed(text: str, **values: Any) -> float:
    result: float = compiled(program(text))(values)
    return result


@settings(max_examples=250)
@given(FORMULAS, VALUES)
@example(Tree("(a) ** (0.5)", lambda v: np.power(np.float64(v["a"]), 0.5)), dict.fromkeys(NAMES, -4.0))
@example(Tree("(a) / (0)", lambda v: np.divide(np.float64(v["a"]), 0.0)), dict.fromkeys(NAMES, -1.0))
@example(Tree("exp(a)", lambda v: np.float64(math.inf)), dict.fromkeys(NAMES, 1e6))
def test_a_formula_gives_what_its_text_says_whatever_the_numbers(tree, values):
    with np.errstate(all="ignore"):
        expected = tree.value(values)
    assert same(compiled(program(tree.text))(values), expected), tree.text


@settings(max_examples=100)
@given(SUMS, VALUES)
def test_a_sum_over_whole_numbers_gives_what_its_text_says(tree, values):
    with np.errstate(all="ignore"):
        expected = tree.value(values)
    assert same(compiled(program(tree.text))(values), expected), tree.text


@settings(max_examples=200)
@given(CONDITIONS, VALUES)
def test_a_condition_holds_when_its_text_says_so(tree, values):
    made = lowered(tree.text)
    if made is None:
        # The formula library sees that it can never hold, whatever the names stand for.
        assert not tree.value(values)
    else:
        assert bool(compiled(made)(values)) is bool(tree.value(values)), tree.text


def lowered(condition: str) -> Any:
    """The program of a condition; None for one that can never hold."""
    try:
        return lower(PARSER.condition(read_tree(condition)))
    except FormulaError as error:
        if error.what != "the condition can never hold.":
            raise
        return None


@settings(max_examples=100)
@given(FORMULAS)
def test_a_formula_is_lowered_to_the_same_program_every_time(tree):
    assert program(tree.text) == program(tree.text)


WORKED = {
    "2 + 3 * 4": 14,
    "2 ** 3 ** 2": 512,
    "-2 ** 2": -4,
    "(-2) ** 2": 4,
    "2 ** -1": 0.5,
    "7 - 4 - 2": 1,
    "7 - (4 - 2)": 5,
    "100 / 10 / 5": 2,
    "100 / (10 / 5)": 50,
    "1 / 4": 0.25,
    "1 / 8 * 8": 1,
    "+3": 3,
    "--3": 3,
    "min(3, 1, 2)": 1,
    "max(3, 1, 2)": 3,
    "min(a, a)": 3,
    "floor(-2.5)": -3,
    "ceiling(-2.5)": -2,
    "abs(-2.5)": 2.5,
    "sqrt(16)": 4,
    "8 ** (1 / 3)": 2,
    "log(exp(2))": 2,
    "sin(pi / 6)": 0.5,
    "total(k, 1, 10, k)": 55,
    "total(k, 3, 2, k)": 0,
    "total(k, 1, 3, total(m, 1, k, m))": 10,
    "1 if a > 3 else 2 if a == 3 else 4": 2,
    "1 if a >= 3 and not a > 3 else 4": 1,
    "1 if a < 3 or a != 3 else 4": 4,
    "1e3 + 0x10 + 1_000": 2016,
    "0.1 + 0.2": 0.1 + 0.2,
}


@pytest.mark.parametrize("text", WORKED)
def test_formulas_worked_by_hand(text):
    assert computed(text, a=3.0) == pytest.approx(WORKED[text], rel=1e-15)


WHERE_THERE_IS_NO_ANSWER = {
    "sqrt(0 - 1)": math.nan,
    "(0 - 8) ** (1 / 3)": math.nan,
    "log(0 - 1)": math.nan,
    "asin(2)": math.nan,
    "0 / 0": math.nan,
    "1 / 0": math.inf,
    "(0 - 1) / 0": -math.inf,
    "log(0)": -math.inf,
    "exp(1000)": math.inf,
    "10 ** 400": math.inf,
    "(0 - 10) ** 401": -math.inf,
    "0 ** (0 - 1)": math.inf,
    "9 ** 9 ** 9": math.inf,
    "min(1, 0 / 0)": math.nan,
    "max(1, 0 / 0)": math.nan,
    "floor(1 / 0)": math.inf,
    "abs(0 / 0)": math.nan,
}


@pytest.mark.parametrize("text", WHERE_THERE_IS_NO_ANSWER)
def test_where_mathematics_has_no_answer_nothing_is_raised(text):
    assert same(computed(text), WHERE_THERE_IS_NO_ANSWER[text])


def test_nought_below_a_fraction_keeps_its_sign_as_in_javascript():
    assert arithmetic.divide(1.0, -0.0) == -math.inf
    assert arithmetic.divide(-1.0, -0.0) == math.inf
    assert math.isnan(arithmetic.divide(0.0, -0.0))
    assert math.isnan(arithmetic.divide(math.nan, 0.0))


def test_comparisons_with_what_is_no_number_never_hold_but_unlike():
    for sign in ("<", "<=", ">", ">=", "=="):
        assert computed(f"1 if 0 / 0 {sign} 0 / 0 else 2") == 2
    assert computed("1 if 0 / 0 != 0 / 0 else 2") == 1


def test_only_the_row_that_holds_is_worked_out():
    """A curve asked beyond its ends in the other row must not refuse the whole."""
    pump = {"points": [[0.0, 1.0], [1.0, 2.0]], "method": "linear"}
    assert computed("pump(a) if a <= 1 else 5", a=3.0, pump=pump) == 5


def test_f27_a_sum_over_too_many_terms_gives_no_number_at_once():
    assert math.isnan(computed("total(k, 1, a, k)", a=float(MOST_TERMS + 1)))
    assert computed("total(k, 1, a, 1)", a=float(MOST_TERMS)) == MOST_TERMS
    assert math.isnan(computed("total(k, 1, a, k)", a=math.inf))
    assert math.isnan(computed("total(k, a, 5, k)", a=math.nan))


def test_f27_a_sum_beyond_the_exact_whole_numbers_ends_too():
    """There k + 1 is k: counting up would never come to the end."""
    assert math.isnan(computed("total(k, a, a, k)", a=1e300))


def test_the_counter_of_a_sum_is_not_known_outside_it():
    with pytest.raises(FormulaError, match='the name "k" is not declared'):
        program("total(k, 1, 3, k) + k")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2", 2),
        ("0.5", 0.5),
        ("-1", -1),
        ("1/2", 0.5),
        ("-3/2", -1.5),
        ("1/0", None),
        ("a", None),
        ("1 + 1", None),
    ],
)
def test_an_exponent_counts_as_a_literal_when_it_is_one(text, value):
    found = literal(read_tree(text))
    assert (found if found is None else float(found)) == value


@given(st.text("abcdefghijklmnopqrstuvwxyz0123456789.+-*/()<>=!~^%&|@,:;'\"[]{} _\\\n#$?`", max_size=40))
@settings(max_examples=200)
@example("0" * 39)
@example("((((((((((((((((((((")
@example("\x00")
@example("a if")
def test_f27_any_text_is_a_formula_of_the_listed_parts_or_refused_in_a_sentence(text):
    try:
        made = program(text)
    except FormulaError as error:
        made = error
    if isinstance(made, FormulaError):
        assert made.what.endswith(".")
        assert made.mend.endswith(".") or made.mend.endswith("?")
    else:
        assert isinstance(made, int | float | list)
