"""Each thing a Figure's file can say, in one compact Figure each, with values worked by hand or by SciPy."""

from __future__ import annotations

import math

import pytest
from figures.one_figure import worked
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

ORIFICE = """
takes:
  rail: {label: R, kind: gauge pressure, in: kPa, value: 300, from: 0, to: 1000}
  manifold: {label: M, kind: gauge pressure, in: kPa, value: 0, from: -100, to: 300}
  holes: {label: N, kind: count, in: ×1, value: 4, from: 1, to: 12}
gives:
  drop: {label: D, kind: pressure difference, in: kPa, formula: rail - manifold}
  share: {label: S, kind: ratio, in: ×, formula: sqrt(drop / rated) * holes, first: true}
constants:
  rated: {label: D, kind: pressure difference, value: 3 bar, source: made up}
refuse:
  - {when: holes > 8, say: "Too many."}
  - {when: drop <= 0, say: "No flow at {drop}."}
"""


# -- ranges and refusals -------------------------------------------------------------------------------------


def test_answers_are_si_numbers_in_the_order_of_the_file():
    values = worked(ORIFICE).answers(manifold="-75 kPa")
    assert list(values) == ["drop", "share"]
    assert values["drop"] == 375_000
    assert values["share"] == pytest.approx(4 * math.sqrt(1.25), rel=1e-15)


@pytest.mark.parametrize(("name", "low", "high"), [("rail", 0.0, 1e6), ("manifold", -1e5, 3e5)])
def test_the_ends_of_a_range_are_accepted_and_one_step_past_is_refused(name, low, high):
    figure = worked(ORIFICE)
    givens = {**figure.givens(), "rail": 1e6, "manifold": -1e5}
    for end in (low, high):
        refusal = figure.calculator.evaluate({**givens, name: end}).refusal
        assert refusal is None or refusal.reason == "said"
    below = figure.calculator.evaluate({**givens, name: math.nextafter(low, -math.inf)}).refusal
    above = figure.calculator.evaluate({**givens, name: math.nextafter(high, math.inf)}).refusal
    assert below and (below.reason, below.name, below.limit) == ("below", name, low)
    assert above and (above.reason, above.name, above.limit) == ("above", name, high)


@pytest.mark.parametrize("holes", [2.5, math.nextafter(4, 5), math.nan])
def test_a_count_that_is_not_whole_is_refused(holes):
    figure = worked(ORIFICE)
    refusal = figure.calculator.evaluate({**figure.givens(), "holes": holes}).refusal
    assert refusal
    assert (refusal.reason, refusal.name) == ("not whole", "holes")


def test_a_refusal_speaks_as_soon_as_its_condition_can_be_judged():
    """The drop is worked out, so that the sentence can name it; the root of a negative number is never reached."""
    outcome = worked(ORIFICE).evaluate(manifold="300 kPa", rail="299 kPa")
    assert outcome.refusal
    assert (outcome.refusal.reason, outcome.refusal.index) == ("said", 1)
    assert outcome.values == {"drop": pytest.approx(-1000)}
    early = worked(ORIFICE).evaluate(holes="9", manifold="300 kPa", rail="299 kPa")
    assert early.refusal
    assert (early.refusal.index, early.values) == (0, {})


def test_a_refusal_on_its_limit_holds_as_written():
    assert worked(ORIFICE).refusal(rail="300 kPa", manifold="300 kPa") == ("said", "1")
    assert worked(ORIFICE).evaluate(holes="8").refusal is None


def test_an_answer_that_is_no_number_is_refused_by_name():
    figure = worked("""
takes: {x: {label: X, kind: ratio, in: ×, value: "1", from: -5, to: 5}}
gives:
  safe: {label: S, kind: ratio, in: ×, formula: x + 1}
  root: {label: R, kind: ratio, in: ×, formula: sqrt(x), first: true}
  part: {label: P, kind: ratio, in: ×, formula: 1 / x}
""")
    assert figure.refusal(x="-1") == ("no value", "root")
    assert figure.refusal(x="0") == ("no value", "part")
    assert figure.evaluate(x="-1").values == {"safe": 0.0}


def test_no_answer_is_minus_nought():
    """It would be shown as −0."""
    figure = worked("""
takes: {x: {label: X, kind: ratio, in: ×, value: "0", from: -5, to: 5}}
gives: {y: {label: Y, kind: ratio, in: ×, formula: x * -1, first: true}}
""")
    assert math.copysign(1, figure.answers()["y"]) == 1.0


# -- cases, words, verdicts ----------------------------------------------------------------------------------

PIECES = """
takes: {x: {label: X, kind: ratio, in: ×, value: "1", from: -10, to: 10}}
gives:
  y: {label: Y, kind: ratio, in: ×, first: true, cases: [{when: x < 0, is: 0 - x}, {when: x < 2, is: x ** 2}, {is: 4}]}
  size: {label: S, words: [{when: x < 0, say: below}, {when: x == 0, say: nothing}, {say: above}]}
warn: [{when: y >= 4, say: Much.}, {when: x <= 0, say: Little.}]
verdict: [{when: y > 3, level: stop, say: Stop.}, {when: y > 2, level: near, say: Near.}, {level: ok, say: Fine.}]
"""


@pytest.mark.parametrize(
    ("x", "y", "size", "warnings", "verdict"),
    [
        ("-3", 3, 0, [1], 1),
        ("-4", 4, 0, [0, 1], 0),
        ("0", 0, 1, [1], 2),
        ("1.5", 2.25, 2, [], 1),
        ("2", 4, 2, [0], 0),
        ("1.9", 3.61, 2, [], 0),
        ("9", 4, 2, [0], 0),
    ],
)
def test_the_first_row_whose_condition_holds_is_the_one_that_counts(x, y, size, warnings, verdict):
    outcome = worked(PIECES).evaluate(x=x)
    assert outcome.refusal is None
    assert outcome.values == {"y": pytest.approx(y), "size": size}
    assert (outcome.warnings, outcome.verdict) == (warnings, verdict)


def test_a_figure_without_verdicts_has_none():
    assert worked(ORIFICE).evaluate().verdict is None


# -- implicit equations --------------------------------------------------------------------------------------

BOOST = """
takes:
  filling: {label: D, kind: ratio, in: ×, value: "1.8", from: 0.5, to: 4}
  efficiency: {label: E, kind: share, in: "%", value: 55, from: 10, to: 100}
constants: {k: {label: K, kind: ratio, value: "0.2857", source: made up}}
gives:
  pr: {label: P, kind: ratio, in: ×, first: true, from: 1, to: 30, equation: pr / warm == filling, where: {rise: (pr ** k - 1) / efficiency, warm: 1 + rise}}
  twice: {label: T, kind: ratio, in: ×, formula: pr * 2}
"""


@settings(max_examples=60)
@given(st.floats(1, 3.9), st.floats(30, 100))
def test_an_implicit_equation_is_solved_as_by_scipy(filling, efficiency):
    """The pressure ratio of a positive-displacement blower, whose air is warmed by being squeezed."""
    figure = worked(BOOST)
    values = figure.answers(filling=f"{filling:.4f}", efficiency=f"{efficiency:.4f} %")
    share = figure.si("efficiency", f"{efficiency:.4f} %")
    wanted = figure.si("filling", f"{filling:.4f}")
    theirs = brentq(lambda pr: pr / (1 + (pr**0.2857 - 1) / share) - wanted, 1, 30, xtol=1e-14, rtol=1e-14)
    assert values["pr"] == pytest.approx(theirs, rel=1e-11)
    assert values["twice"] == 2 * values["pr"]


def test_an_implicit_answer_outside_its_bracket_is_refused_by_name():
    assert worked(BOOST.replace("to: 30,", "to: 1.5,")).refusal() == ("no root", "pr")


def test_an_implicit_answer_may_lie_on_the_end_of_its_bracket():
    figure = worked("""
takes: {x: {label: X, kind: ratio, in: ×, value: "2", from: 0, to: 9}}
gives: {y: {label: Y, kind: ratio, in: ×, first: true, from: 0, to: 3, equation: y * 2 == x}}
""")
    assert figure.answers(x="0")["y"] == 0
    assert figure.answers(x="6")["y"] == 3
    assert figure.refusal(x="6.1") == ("no root", "y")


@pytest.mark.parametrize("equation", ["1 / (y - 1) == 0", "(1 if y > 1 else 0 - 1) == 0"])
def test_an_equation_whose_sides_jump_past_each_other_has_no_root(equation):
    figure = worked(f"""
takes: {{x: {{label: X, kind: ratio, in: ×, value: "2", from: 0, to: 9}}}}
gives: {{y: {{label: Y, kind: ratio, in: ×, first: true, from: 0.1, to: 3, equation: {equation}}}}}
""")
    assert figure.refusal() == ("no root", "y")


def test_a_bracket_may_depend_on_inputs_and_stand_in_a_unit():
    figure = worked("""
takes: {site: {label: S, kind: site pressure, in: kPa, value: 100, from: 50, to: 110}}
gives: {inside: {label: P, kind: absolute pressure, in: bar, first: true, from: site, to: 4 bar, equation: inside == site * 2}}
""")
    assert figure.answers()["inside"] == pytest.approx(200_000, rel=1e-12)


# -- totals and series ---------------------------------------------------------------------------------------

THREADS = """
takes: {threads: {label: N, kind: count, in: ×1, value: 4, from: 1, to: 600}}
gives:
  whole: {label: W, kind: ratio, in: ×, formula: "total(k, 1, threads, 1 / k ** 2)", first: true}
  rows: {label: R, over: n, from: 1, to: threads, each: Thread, columns: {
    share: {label: S, kind: ratio, in: ×, formula: 1 / n ** 2},
    left: {label: L, kind: ratio, in: ×, formula: whole - share}}}
"""


def test_a_sum_over_whole_numbers_and_a_row_for_each():
    values = worked(THREADS).answers()
    assert values["whole"] == pytest.approx(1 + 1 / 4 + 1 / 9 + 1 / 16, rel=1e-15)
    assert [row[0] for row in values["rows"]] == [1, 2, 3, 4]
    assert [row[1] for row in values["rows"]] == pytest.approx([1, 1 / 4, 1 / 9, 1 / 16])
    assert [row[2] for row in values["rows"]] == pytest.approx(
        [values["whole"] - row[1] for row in values["rows"]]
    )


def test_a_series_of_absurd_length_is_refused():
    assert len(worked(THREADS).answers(threads="500")["rows"]) == 500
    assert worked(THREADS).refusal(threads="501") == ("no value", "rows")


def test_a_series_with_a_cell_that_is_no_number_is_refused():
    assert worked(THREADS.replace("whole - share", "sqrt(2 - n)")).refusal() == ("no value", "rows")


def test_a_series_that_would_run_backwards_is_refused():
    assert worked(
        THREADS.replace("over: n, from: 1, to: threads", "over: n, from: threads + 1, to: threads")
    ).refusal() == ("no value", "rows")


def test_rows_can_be_ordered_by_more_than_one_number():
    figure = worked("""
takes: {count: {label: N, kind: count, in: ×1, value: 6, from: 1, to: 99}}
gives:
  order: {label: O, over: n, from: 1, to: count, each: Bolt, rank: Turn, by: ["abs(n - 3.5)", 0 - n],
    columns: {away: {label: A, kind: ratio, in: ×, formula: abs(n - 3.5)}}}
  whole: {label: W, kind: ratio, in: ×, formula: count * 1, first: true}
""")
    assert [row[0] for row in figure.answers()["order"]] == [4, 3, 5, 2, 6, 1]


# -- choices -------------------------------------------------------------------------------------------------

FUELS = """---
title: F
summary: S
order: 1
columns: {name: {label: N}, density: {label: D, kind: density, in: kg/m³}, air: {label: A, kind: air-fuel ratio, in: AFR}}
sources: [Made up.]
---
| id | name | density | air |
|---|---|---|---|
| petrol | Petrol | 740 | 14.7 |
| alcohol | Alcohol | 790 | 9 |
| open | Open | — | 12 |
"""
CHOICE = """
takes:
  fuel: {label: F, choose: fuels, value: petrol}
  thickness: {label: D, kind: density, in: kg/m³, value: fuel.density, from: 600, to: 900}
gives:
  mix: {label: M, kind: air-fuel ratio, in: AFR, formula: fuel.air * 2, first: true}
  weight: {label: W, kind: density, in: kg/m³, formula: thickness * 1}
"""


def test_a_choice_brings_several_values_along():
    values = worked(CHOICE, fuels=FUELS).answers(fuel="alcohol")
    assert values == {"mix": 18.0, "weight": 790.0}


def test_a_typed_number_wins_over_what_the_choice_brings():
    assert worked(CHOICE, fuels=FUELS).answers(fuel="alcohol", thickness="800")["weight"] == 800.0


def test_what_a_row_leaves_open_is_refused_where_it_is_needed_and_only_there():
    figure = worked(CHOICE, fuels=FUELS)
    assert figure.answers(fuel="open", thickness="800") == {"mix": 24.0, "weight": 800.0}
    needs_it = worked(CHOICE.replace("fuel.air * 2", "fuel.air * fuel.density / thickness"), fuels=FUELS)
    assert needs_it.refusal(fuel="open", thickness="800") == ("no value", "mix")


# -- remedies and sweeps -------------------------------------------------------------------------------------

REMEDY = """
takes:
  rail: {label: R, kind: gauge pressure, in: kPa, value: 200, from: 0, to: 600}
  manifold: {label: M, kind: gauge pressure, in: kPa, value: 100, from: -100, to: 300}
gives: {drop: {label: D, kind: pressure difference, in: kPa, formula: rail - manifold, first: true}}
constants: {least: {label: L, kind: pressure difference, value: 300 kPa, source: made up}}
remedies:
  - {solve: rail, for: drop, equals: least, when: drop < least, say: "Raise it to {rail}."}
  - {solve: manifold, for: drop, equals: least * 2, when: drop < least / 2, say: "Lower it to {manifold}."}
sweeps:
  - {over: rail, from: manifold, to: manifold + least, steps: 3, draw: [drop]}
"""


def test_a_remedy_says_what_an_input_must_be_so_that_an_answer_meets_its_limit():
    figure = worked(REMEDY)
    outcome = figure.evaluate()
    assert figure.calculator.remedies(figure.givens(), outcome) == [(0, pytest.approx(400_000)), (1, None)]


def test_a_remedy_that_is_not_needed_is_not_offered():
    figure = worked(REMEDY)
    assert figure.calculator.remedies(figure.givens(rail="500 kPa"), figure.evaluate(rail="500 kPa")) == []


def test_a_refused_figure_has_no_remedies():
    figure = worked(REMEDY)
    outcome = figure.calculator.evaluate({**figure.givens(), "rail": 1e9})
    assert figure.calculator.remedies({**figure.givens(), "rail": 1e9}, outcome) == []


def swept(figure):
    return figure.calculator.sweep(
        figure.figure.sweeps[0], figure.givens(), figure.calculator.evaluate(figure.givens())
    )


def test_a_sweep_runs_over_one_input_from_end_to_end():
    figure = worked(REMEDY)
    rows = swept(figure)
    assert [x for x, _ in rows] == pytest.approx([100e3, 200e3, 300e3, 400e3])
    assert [y for _, y in rows] == pytest.approx([0, 100e3, 200e3, 300e3])


def test_a_sweep_shows_a_gap_where_the_figure_refuses():
    figure = worked(REMEDY + 'refuse: [{when: drop > least / 2, say: "Too much."}]\n')
    rows = swept(figure)
    assert [math.isnan(y) for _, y in rows] == [False, False, True, True]


@settings(max_examples=100)
@given(st.integers(1, 90_000), st.integers(1, 90_000), st.integers(1, 500))
def test_a_sweep_over_the_whole_range_has_an_answer_at_both_ends(low, width, steps):
    """Rounding must not carry the last step past the range's end."""
    high = low + width
    figure = worked(f"""
takes:
  speed: {{label: N, kind: engine speed, in: rpm, value: {low}, from: {low}, to: {high}}}
  low: {{label: L, kind: engine speed, in: rpm, value: {low}, from: 0, to: 999999}}
  high: {{label: H, kind: engine speed, in: rpm, value: {high}, from: 0, to: 999999}}
gives: {{half: {{label: Y, kind: engine speed, in: rpm, formula: speed / 2, first: true}}}}
sweeps: [{{over: speed, from: low, to: high, steps: {steps}, draw: [half]}}]
""")
    rows = swept(figure)
    assert len(rows) == steps + 1
    assert rows[0] == pytest.approx([low / 60, low / 120])
    assert rows[-1] == pytest.approx([high / 60, high / 120])


# -- F23 -----------------------------------------------------------------------------------------------------


def test_f23_a_four_stroke_at_6000_rpm_injects_50_times_a_second_and_power_counts_radians():
    figure = worked("""
takes:
  speed: {label: N, kind: engine speed, in: rpm, value: 6000, from: 0, to: 9000}
  torque: {label: T, kind: torque, in: N·m, value: 100, from: 0, to: 900}
gives:
  injections: {label: I, kind: engine speed, in: 1/s, formula: speed / 2, first: true}
  power: {label: P, kind: power, in: kW, formula: torque * angular(speed)}
""")
    values = figure.answers()
    assert values["injections"] == 50.0
    assert values["power"] == pytest.approx(100 * 2 * math.pi * 100, rel=1e-15)
