"""How kinds may be reckoned with: the whole table of sums and differences, and that what it lets through balances its noughts (F24)."""

from __future__ import annotations

import ast
from fractions import Fraction

import pytest
from figures.one_figure import real_units, worked
from hypothesis import given
from hypothesis import strategies as st

from webapp.errors import FormulaError
from webapp.figures.dimensions import Dimensions
from webapp.figures.natures import (
    NATURES,
    NOUGHT,
    NUMBER,
    Sort,
    added,
    alike,
    check_declared,
    multiplied,
    negated,
    raised,
    spell,
    subtracted,
)

PRESSURE = (("length", Fraction(-1)), ("mass", Fraction(1)), ("time", Fraction(-2)))
WARMTH = (("temperature", Fraction(1)),)
ENERGY = (("length", Fraction(2)), ("mass", Fraction(1)), ("time", Fraction(-2)))
PER_TIME = (("time", Fraction(-1)),)
OF_PRESSURE = ["gauge", "absolute", "site", "difference", "stress", "plain"]


def pressure(nature: str) -> Sort:
    return Sort(PRESSURE, nature)


def result(operation, *sorts) -> str:
    """Nature that comes out, or 'refused'."""
    try:
        return operation(*sorts).nature
    except FormulaError:
        return "refused"


# Rows: the left side; columns: the right side, in the order of OF_PRESSURE. `-` stands for refused.
SUMS = """
gauge       -         -         absolute  gauge       -       gauge
absolute    -         -         -         absolute    -       absolute
site        absolute  -         -         absolute    -       site
difference  gauge     absolute  absolute  difference  -       difference
stress      -         -         -         -           stress  stress
plain       gauge     absolute  site      difference  stress  plain
"""
DIFFERENCES = """
gauge       difference  -           -           gauge       -       gauge
absolute    -           difference  gauge       absolute    -       absolute
site        -           difference  difference  absolute    -       site
difference  -           -           -           difference  -       difference
stress      -           -           -           -           stress  stress
plain       -           plain       plain       difference  stress  plain
"""


def grid(table: str) -> list[tuple[str, str, str]]:
    rows = [line.split() for line in table.strip().splitlines()]
    return [
        (left, right, "refused" if cell == "-" else cell)
        for left, *cells in rows
        for right, cell in zip(OF_PRESSURE, cells, strict=True)
    ]


@pytest.mark.parametrize(("left", "right", "expected"), grid(SUMS))
def test_f24_a_sum_of_two_pressures_is_what_the_table_says(left, right, expected):
    assert result(added, pressure(left), pressure(right)) == expected


@pytest.mark.parametrize(("left", "right", "expected"), grid(DIFFERENCES))
def test_f24_a_difference_of_two_pressures_is_what_the_table_says(left, right, expected):
    assert result(subtracted, pressure(left), pressure(right)) == expected


@pytest.mark.parametrize(
    ("left", "sign", "right", "expected"),
    [
        ("reading", "-", "reading", "rise"),
        ("reading", "+", "reading", "refused"),
        ("reading", "+", "rise", "reading"),
        ("rise", "+", "reading", "reading"),
        ("reading", "-", "rise", "reading"),
        ("rise", "-", "reading", "refused"),
        ("rise", "+", "rise", "rise"),
        ("rise", "-", "rise", "rise"),
    ],
)
def test_f24_readings_and_rises_of_temperature(left, sign, right, expected):
    operation = added if sign == "+" else subtracted
    assert result(operation, Sort(WARMTH, left), Sort(WARMTH, right)) == expected


def test_f24_gauge_less_gauge_is_a_difference_and_gauge_plus_site_is_absolute():
    assert subtracted(pressure("gauge"), pressure("gauge")) == pressure("difference")
    assert added(pressure("gauge"), pressure("site")) == pressure("absolute")


def test_f24_one_bar_gauge_at_a_site_of_0_8_bar_is_1_8_bar_absolute():
    figure = worked("""
takes:
  boost: {label: B, kind: gauge pressure, in: bar, value: 1, from: -1, to: 4}
  site: {label: S, kind: site pressure, in: bar, value: 0.8, from: 0.5, to: 1.1}
gives:
  manifold: {label: M, kind: absolute pressure, in: bar, formula: boost + site, first: true}
""")
    assert figure.answers()["manifold"] == pytest.approx(1.8e5, rel=1e-15)


@pytest.mark.parametrize("nature", sorted(NATURES))
def test_a_product_with_a_bare_number_keeps_the_nature_and_that_of_a_gauge_pressure_is_refused(nature):
    sort = Sort(PRESSURE, nature)
    kept = {"site": "absolute", "plain": "plain", "gauge": "refused"}.get(nature, nature)
    assert result(multiplied, sort, NUMBER) == kept
    assert result(multiplied, NUMBER, sort) == kept
    assert result(multiplied, sort, NUMBER, -1) == kept
    assert result(multiplied, NUMBER, sort, -1) == ("refused" if nature == "gauge" else "plain")


def test_a_ratio_of_two_quantities_of_a_kind_is_a_plain_number():
    for nature in ("absolute", "difference", "reading", "torque", "turns"):
        assert multiplied(Sort(WARMTH, nature), Sort(WARMTH, nature), -1) == NUMBER


def test_torque_and_turns_never_meet_without_angular():
    torque, turns = Sort(ENERGY, "torque"), Sort(PER_TIME, "turns")
    for sides in ((torque, turns), (turns, torque)):
        with pytest.raises(FormulaError, match="a torque is multiplied by turns a second"):
            multiplied(*sides)
    names = {"torque": torque, "turns": turns}
    found = Dimensions(names, {}).of(ast.parse("torque * angular(turns)", mode="eval").body)
    assert found == Sort((("length", Fraction(2)), ("mass", Fraction(1)), ("time", Fraction(-3))))
    check_declared(found, real_units().sort_of("power"))


def test_a_torque_is_no_energy_though_they_share_a_dimension():
    torque, energy = real_units().sort_of("torque"), real_units().sort_of("energy")
    assert torque.dimension == energy.dimension
    for found, declared in ((torque, energy), (energy, torque)):
        with pytest.raises(
            FormulaError,
            match=r"the formula gives an? (torque|energy), but the kind declared is an? (torque|energy)",
        ):
            check_declared(found, declared)
    assert result(added, torque, energy) == "refused"
    assert result(alike, "compares", torque, energy) == "refused"


def test_nought_fits_every_kind_but_a_reading():
    for nature in NATURES - {"reading", "gauge"}:
        sort = Sort(PRESSURE, nature)
        assert added(sort, NOUGHT) == sort
        assert subtracted(sort, NOUGHT) == sort
        assert alike("compares", NOUGHT, sort) == alike("compares", sort, NOUGHT) == sort
    assert alike("compares", pressure("gauge"), NOUGHT) == pressure("gauge")
    check_declared(NOUGHT, pressure("difference"))
    with pytest.raises(FormulaError, match="temperature and a plain number"):
        alike("compares", Sort(WARMTH, "reading"), NOUGHT)


def test_what_is_turned_round_with_a_minus_is_no_reading_or_absolute_pressure_any_more():
    assert negated(pressure("absolute")).nature == negated(Sort(WARMTH, "reading")).nature == "plain"
    assert negated(pressure("difference")) == pressure("difference")
    assert subtracted(NOUGHT, pressure("absolute")) == negated(pressure("absolute"))
    assert result(negated, pressure("gauge")) == result(subtracted, NOUGHT, pressure("gauge")) == "refused"


def test_powers_multiply_the_exponents_of_the_dimension():
    assert raised(Sort(PRESSURE), Fraction(1, 2)).dimension == tuple((base, e / 2) for base, e in PRESSURE)
    assert raised(Sort(PRESSURE), Fraction(0)) == NUMBER
    assert raised(NUMBER, None) == NUMBER
    with pytest.raises(FormulaError, match="a power that is not a plain number"):
        raised(Sort(PRESSURE), None)


def test_dimensions_are_spelled_in_words():
    assert spell(PRESSURE) == "length^-1 · mass · time^-2"
    assert spell(()) == "a plain number"


# -- soundness: an affine count of noughts, kept apart from the code's own tables ------------------------------
#
# A pressure above vacuum is P, above the air P - S with S the air's. Written as counts (of P, of -S): absolute (1, 0), gauge
# (1, 1), difference (0, 0), and the air itself is (0, -1) as S or (1, 0) as a pressure like any other. A sum adds the counts.

LEAVES = {"gauge": {(1, 1)}, "absolute": {(1, 0)}, "site": {(0, -1), (1, 0)}, "difference": {(0, 0)}}
NAMES = {nature: pressure(nature) for nature in LEAVES}


@st.composite
def sums_of_pressures(draw, depth: int = 4) -> str:
    if depth == 0 or draw(st.booleans()):
        return draw(st.sampled_from(sorted(LEAVES)))
    left, right = draw(sums_of_pressures(depth - 1)), draw(sums_of_pressures(depth - 1))
    return f"({left} {draw(st.sampled_from('+-'))} {right})"


def counts(node: ast.expr) -> set[tuple[int, int]]:
    """Every pair of counts that a sum can be read as."""
    if isinstance(node, ast.Name):
        return LEAVES[node.id]
    assert isinstance(node, ast.BinOp)
    sign = 1 if isinstance(node.op, ast.Add) else -1
    return {(a + sign * c, b + sign * d) for a, b in counts(node.left) for c, d in counts(node.right)}


@given(sums_of_pressures())
def test_f24_whatever_sum_of_pressures_is_let_through_balances_its_noughts(text):
    tree = ast.parse(text, mode="eval").body
    try:
        nature = Dimensions(NAMES, {}).of(tree).nature
    except FormulaError:
        return
    assert LEAVES[nature] & counts(tree), (text, nature)


@st.composite
def sums_of_temperatures(draw, depth: int = 4) -> str:
    if depth == 0 or draw(st.booleans()):
        return draw(st.sampled_from(["reading", "rise"]))
    left, right = draw(sums_of_temperatures(depth - 1)), draw(sums_of_temperatures(depth - 1))
    return f"({left} {draw(st.sampled_from('+-'))} {right})"


@given(sums_of_temperatures())
def test_f24_a_sum_of_temperatures_is_let_through_if_and_only_if_its_readings_count_to_nought_or_one(text):
    """Counted at every step, as each bracket must mean something by itself."""

    def readings(node: ast.expr) -> int | None:
        if isinstance(node, ast.Name):
            return int(node.id == "reading")
        assert isinstance(node, ast.BinOp)
        left, right = readings(node.left), readings(node.right)
        if left is None or right is None:
            return None
        count = left + right if isinstance(node.op, ast.Add) else left - right
        return count if count in (0, 1) else None

    tree = ast.parse(text, mode="eval").body
    names = {"reading": Sort(WARMTH, "reading"), "rise": Sort(WARMTH, "rise")}
    count = readings(tree)
    expected = "refused" if count is None else ("rise", "reading")[count]
    assert result(Dimensions(names, {}).of, tree) == expected
