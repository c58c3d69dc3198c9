"""Conditions and the sentences they bring: refusals, warnings, verdicts, remedies, sweeps, words, cases, equations, series."""

from __future__ import annotations

import pytest

FIGURE = "figures/orifice.md"
KNOWN = "charge, drop, flow, fuel, half, manifold, outside, rail, rated_drop, rated_flow, site, thickness, turns, twist"


def give(small, text):
    """One more answer, `asked_for`, whose keys stand a line each."""
    small.change(FIGURE, "refuse:\n", f"  asked_for:\n    label: Asked for\n{text}refuse:\n")


def section(small, text):
    small.change(FIGURE, "needs: [hot]\n", f"{text}needs: [hot]\n")


# -- refusals and warnings -----------------------------------------------------------------------------------


def test_a_refusal_that_names_an_unknown_field_is_refused_on_its_sentences_line(small):
    small.change(FIGURE, "Manifold {manifold}", "Manifold {manifoild}")
    small.expect(
        FIGURE, "{manifoild}",
        'refuse: the sentence names "{manifoild}", which is neither input nor answer. Did you mean "manifold"?',
    )  # fmt: skip


def test_a_warning_that_names_an_unknown_field_lists_the_known_ones(small):
    small.change(FIGURE, "Only {drop}", "Only {x}")
    small.expect(
        FIGURE,
        "Only {x}",
        f'warn: the sentence names "{{x}}", which is neither input nor answer. Allowed here: {KNOWN}.',
    )


@pytest.mark.parametrize(
    "sentence",
    [
        "Only {",
        "Only }",
        "Only {drop!r}",
        "Only {drop:.1f}",
        "Only {}",
        "Only {{drop}}",
        "Only {drop.real}",
        "Only {0}x{",
    ],
)
def test_a_brace_that_holds_no_plain_name_is_refused(small, sentence):
    small.change(FIGURE, "Only {drop} across.", sentence)
    said = small.problems()
    place = f"content/{FIGURE}:{small.line(FIGURE, 'Only ')}: warn: "
    assert place + "the sentence has a brace that holds no name. Write it as in {name}." in said


def test_a_refusal_that_names_an_answer_not_worked_out_by_then_is_refused(small):
    """It speaks as soon as it can, so that a root of a negative number is never met; `flow` has no number then."""
    small.change(FIGURE, "at or above rail {rail}", "at or above rail {rail}, flow {flow}")
    small.expect(
        FIGURE, "flow {flow}",
        'refuse: the sentence names "{flow}", which is not worked out yet when it refuses.'
        " Name only inputs and answers that its condition uses.",
    )  # fmt: skip


def test_a_refusal_may_name_the_answers_its_condition_uses(small):
    small.change(FIGURE, "at or above rail {rail}", "at or above rail {rail}, drop {drop}")
    assert small.book().figures["orifice"].refuse[0].after == 1


def test_a_refusal_without_a_condition_is_refused(small):
    small.change(FIGURE, "  - when: drop <= 0\n    say:", "  - say:")
    small.expect(FIGURE, "Manifold {manifold}", 'refuse[1].when: is missing. Add a line "when: …".')


def test_a_number_is_no_condition(small):
    small.change(FIGURE, "when: drop <= 0", "when: drop")
    assert small.problems() == [
        f"content/{FIGURE}:{small.line(FIGURE, 'Manifold {manifold}') - 1}: refuse.when: a number stands where a condition is wanted."
        ' Compare it, as in "drop <= 0".'
    ]


def test_a_condition_that_can_never_hold_is_refused(small):
    small.change(FIGURE, "when: drop <= 0", "when: drop <= 0 and drop > 0")
    small.expect(
        FIGURE, "drop > 0", "refuse.when: the condition can never hold. Correct it or remove the row."
    )


def test_a_condition_that_mixes_kinds_is_refused(small):
    small.change(FIGURE, "when: drop <= 0", "when: rail <= site")
    small.expect(
        FIGURE, "rail <= site",
        "refuse.when: compares a gauge pressure and a site pressure."
        " Make it absolute first by adding the site pressure, or use difference(…) for its height above the surrounding air.",
    )  # fmt: skip


# -- verdicts and words --------------------------------------------------------------------------------------


def test_a_verdict_list_ends_with_a_row_that_always_holds(small):
    section(small, "verdict:\n  - {level: ok, when: flow > 0 * flow, say: Fine.}\n")
    small.expect(
        FIGURE,
        "level: ok",
        "verdict: the last row has a condition. End the list with a row that always holds.",
    )


def test_a_verdict_below_one_that_always_holds_would_never_be_said(small):
    section(small, "verdict:\n  - {level: ok, say: Fine.}\n  - {level: stop, say: Stop.}\n")
    small.expect(
        FIGURE,
        "level: ok",
        "verdict: a row above the last has no condition. Give it one, or move it to the end.",
    )


def test_an_unknown_level_is_refused(small):
    section(small, "verdict:\n  - {level: bad, say: Stop.}\n")
    small.expect(
        FIGURE, "level: bad", 'verdict[1].level: "bad" is not known here. Allowed here: near, ok, stop.'
    )


def test_words_end_with_a_row_that_always_holds(small):
    give(small, "    words:\n      - {when: drop > 0, say: it flows}\n")
    small.expect(
        FIGURE,
        "it flows",
        "gives.asked_for: the last row has a condition. End the list with a row that always holds.",
    )


def test_words_without_a_row_are_refused(small):
    give(small, "    words: []\n")
    small.expect(FIGURE, "words: []", 'gives.asked_for.words: is empty. Write "- …" lines below it.')


# -- cases, equations and series -----------------------------------------------------------------------------

LAST_ROW = 'gives.asked_for.cases: the last row, and only the last, must stand without a condition. End the list with "- {is: …}".'
CASES = "    kind: ratio\n    in: ×\n    cases:\n"


def test_cases_without_a_last_row_are_refused(small):
    give(small, CASES + "      - {when: half > 1, is: half}\n")
    small.expect(FIGURE, "    cases:", LAST_ROW)


def test_cases_with_a_row_that_hides_the_rest_are_refused(small):
    give(small, CASES + "      - {is: half}\n      - {is: half}\n")
    small.expect(FIGURE, "    cases:", LAST_ROW)


def test_cases_without_any_row_are_refused(small):
    give(small, "    kind: ratio\n    in: ×\n    cases: []\n")
    small.expect(FIGURE, "    cases:", LAST_ROW)


def test_a_mistake_in_a_row_of_cases_has_that_rows_line(small):
    give(
        small,
        CASES
        + "      - {when: half > 1, is: half}\n      - {when: half > 2, is: haalf}\n      - {is: half}\n",
    )
    small.expect(
        FIGURE, "haalf", 'gives.asked_for.cases: the name "haalf" is not declared. Did you mean "half"?'
    )


def test_a_mistake_in_a_condition_of_cases_has_that_conditions_line(small):
    give(
        small,
        CASES
        + "      - {when: half > 1, is: half}\n      - is: half\n        when: rail > site\n      - {is: half}\n",
    )
    (said,) = small.problems()
    assert said.startswith(
        f"content/{FIGURE}:{small.line(FIGURE, 'rail > site')}: gives.asked_for.cases: compares a gauge pressure"
    )


ROOT = "    kind: ratio\n    in: ×\n    from: {low}\n    to: {high}\n    equation: {equation}\n"


@pytest.mark.parametrize(
    "equation", ["asked_for * 2", "asked_for >= 2", "asked_for == 2 == half", "asked_for = 2"]
)
def test_an_equation_without_its_two_equals_signs_is_refused(small, equation):
    give(small, ROOT.format(low=0, high=9, equation=equation))
    said = 'the equation has no == between two sides. Write it as "left == right".'
    if equation == "asked_for = 2":
        said = f'"{equation}" is not a formula: '
    (problem,) = small.problems()
    assert problem.startswith(
        f"content/{FIGURE}:{small.line(FIGURE, 'equation:')}: gives.asked_for.equation: {said}"
    )


def test_the_two_sides_of_an_equation_are_of_one_kind(small):
    give(small, ROOT.format(low=0, high=9, equation="asked_for == rail"))
    assert (
        "gives.asked_for.equation: compares a plain number and length^-1 · mass · time^-2."
        in small.problems()[0]
    )


def test_an_end_of_a_bracket_that_is_neither_number_nor_formula_is_refused(small):
    give(small, ROOT.format(low="0 bar", high=9, equation="asked_for == half"))
    small.expect(
        FIGURE, "from: 0 bar",
        'gives.asked_for.from: "0 bar" is not a formula: invalid syntax. Write it as in "a * b / c"; powers are **, the root is sqrt( ).',
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "what"),
    [("rail", "this name is taken already. Choose another."), ("new", "this name cannot be used")],
)
def test_a_local_name_of_an_equation_is_a_new_plain_word(small, name, what):
    give(small, ROOT.format(low=0, high=9, equation="asked_for == half") + f"    where: {{{name}: half}}\n")
    (said,) = small.problems()
    assert f":{small.line(FIGURE, 'where:')}: gives.asked_for.where.{name}: {what}" in said


def test_a_local_name_counts_inside_its_equation_only(small):
    give(small, ROOT.format(low=0, high=9, equation="asked_for == twice") + "    where: {twice: half * 2}\n")
    small.change(FIGURE, "when: drop < half * rated_drop", "when: drop < twice * rated_drop")
    assert 'warn.when: the name "twice" is not declared.' in small.problems()[0]


SERIES = "    over: {over}\n    from: 1\n    to: {to}\n    each: Row\n    columns:\n      {column}: {{label: C, kind: ratio, in: ×, formula: {formula}}}\n"


def series(small, over="row", to="3", column="size", formula="row * half"):
    give(small, SERIES.format(over=over, to=to, column=column, formula=formula))


@pytest.mark.parametrize(
    ("over", "what"),
    [("rail", "this name is taken already. Choose another."), ("new", "this name cannot be used")],
)
def test_the_counter_of_a_series_is_a_new_plain_word(small, over, what):
    series(small, over=over, formula="half")
    (said,) = small.problems()
    assert f":{small.line(FIGURE, 'over:')}: gives.asked_for.over.{over}: {what}" in said


def test_a_column_named_like_an_input_would_take_its_label_and_is_refused(small):
    series(small, column="rail")
    small.expect(
        FIGURE, "label: C,", "gives.asked_for.columns.rail: this name is taken already. Choose another."
    )


def test_the_ends_of_a_series_are_plain_numbers(small):
    series(small, to="drop")
    assert (
        "gives.asked_for.to: the formula gives length^-1 · mass · time^-2, but the kind declared has a plain number."
        in small.problems()[0]
    )


def test_a_column_of_a_series_has_a_formula_and_nothing_else(small):
    series(small)
    small.change(FIGURE, "formula: row * half}", "formula: row * half, first: true}")
    assert "gives.asked_for.columns.size.first: unknown key." in small.problems()[0]


def test_a_series_cannot_be_the_main_answer(small):
    series(small)
    small.change(FIGURE, ", first: true", "")
    small.change(FIGURE, "label: Asked for\n", "label: Asked for\n    first: true\n")
    assert "gives: not exactly one answer is marked first." in small.problems()[0]


# -- remedies and sweeps -------------------------------------------------------------------------------------

REMEDY = "remedies:\n  - {{solve: {solve}, for: {for_}, equals: {equals}, when: {when}, say: '{say}'}}\n"


def remedy(
    small, solve="rail", for_="drop", equals="rated_drop", when="drop < rated_drop", say="Set {rail}."
):
    section(small, REMEDY.format(solve=solve, for_=for_, equals=equals, when=when, say=say))


def test_a_remedy_without_a_mistake_is_accepted(small):
    remedy(small)
    assert small.book().figures["orifice"].remedies[0].solve == "rail"


REMEDY_MISTAKES = {
    "an unknown input": ({"solve": "rial"}, 'remedies.solve: "rial" is not declared. Did you mean "rail"?'),
    "a choice as the input": ({"solve": "fuel"}, 'remedies.solve: "fuel" is not declared.'),
    "an unknown answer": ({"for_": "dorp"}, 'remedies.for: "dorp" is not declared. Did you mean "drop"?'),
    "an unknown name in its limit": ({"equals": "drap"}, 'remedies.equals: the name "drap" is not declared. Did you mean "drop"?'),
    "a limit of another kind": ({"equals": "flow"}, "remedies.equals: the formula gives length^3 · time^-1, but the kind declared has"),
    "no condition": ({"when": "drop"}, "remedies.when: a number stands where a condition is wanted."),
    "an unknown field": ({"say": "Set {rial}."}, 'remedies.say: the sentence names "{rial}", which is neither input nor answer. Did you mean "rail"?'),
}  # fmt: skip


@pytest.mark.parametrize("name", REMEDY_MISTAKES)
def test_a_remedy_with_a_mistake_is_refused(small, name):
    change, said = REMEDY_MISTAKES[name]
    remedy(small, **change)
    (problem,) = small.problems()
    assert problem.startswith(f"content/{FIGURE}:{small.line(FIGURE, '- {solve:')}: {said}")


SWEEP = "sweeps:\n  - {{over: {over}, from: {low}, to: {high}, steps: {steps}, draw: [{draw}]}}\n"


def sweep(small, over="rail", low="manifold", high="manifold + rated_drop", steps="60", draw="flow"):
    section(small, SWEEP.format(over=over, low=low, high=high, steps=steps, draw=draw))


def test_a_sweep_without_a_mistake_is_accepted(small):
    sweep(small)
    assert small.book().figures["orifice"].sweeps[0].draw == ("flow",)


SWEEP_MISTAKES = {
    "an unknown input": ({"over": "rial"}, 'sweeps.over: "rial" is not declared. Did you mean "rail"?'),
    "an unknown answer to draw": (
        {"draw": "flaw"},
        'sweeps.draw: "flaw" is not declared. Did you mean "flow"?',
    ),
    "an end of another kind": (
        {"low": "half"},
        "sweeps.from: the formula gives a plain number, but the kind declared has",
    ),
    "an end that an answer gives, which is worked out later": (
        {"high": "manifold + drop"},
        'sweeps.to: the name "drop" is not declared.',
    ),
    "no step": ({"steps": "0"}, "sweeps.steps: a sweep of 0 steps cannot be drawn. Write 1 to 500 steps."),
    "steps backwards": (
        {"steps": "-5"},
        "sweeps.steps: a sweep of -5 steps cannot be drawn. Write 1 to 500 steps.",
    ),
    "too many steps": (
        {"steps": "501"},
        "sweeps.steps: a sweep of 501 steps cannot be drawn. Write 1 to 500 steps.",
    ),
    "steps that are no number": (
        {"steps": "many"},
        'sweeps[1].steps: "many" is not a whole number. Write digits only.',
    ),
}


@pytest.mark.parametrize("name", SWEEP_MISTAKES)
def test_a_sweep_with_a_mistake_is_refused(small, name):
    change, said = SWEEP_MISTAKES[name]
    sweep(small, **change)
    (problem,) = small.problems()
    assert problem.startswith(f"content/{FIGURE}:{small.line(FIGURE, '- {over:')}: {said}")


def test_an_estimate_names_inputs_and_answers_too(small):
    section(small, "estimate: 'Rests on {halff}.'\n")
    small.expect(
        FIGURE,
        "{halff}",
        'estimate: the sentence names "{halff}", which is neither input nor answer. Did you mean "half"?',
    )
