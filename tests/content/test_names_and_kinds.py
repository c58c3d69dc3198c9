"""Inputs, constants and answers: names, kinds, units, ranges, defaults and accuracies are checked before any formula is."""

from __future__ import annotations

import pytest

FIGURE = "figures/orifice.md"
NO_NAME = "this name cannot be used in a formula. Use small letters, digits and _, and no word of the formula language."
KINDS = "absolute pressure, count, density, energy, engine speed, gauge pressure, length, power, pressure difference, ratio, share, "
KINDS += "site pressure, temperature, temperature difference, time, torque, volume flow"


def test_an_unknown_kind_is_named_with_the_nearest(small):
    """The formulas that use the input are not judged then: what they would be told is untrue."""
    small.change(
        FIGURE, "label: Rail pressure, kind: gauge pressure", "label: Rail pressure, kind: gage pressure"
    )
    small.expect(
        FIGURE,
        "Rail pressure,",
        'takes.rail.kind: there is no kind "gage pressure". Did you mean "gauge pressure"?',
    )


def test_an_unknown_kind_far_from_any_lists_them(small):
    small.change(FIGURE, "kind: volume flow, in: cc/min, formula", "kind: magic, in: cc/min, formula")
    small.expect(FIGURE, "kind: magic", f'gives.flow.kind: there is no kind "magic". Allowed here: {KINDS}.')


def test_an_unknown_unit_is_named_with_the_nearest(small):
    small.change(
        FIGURE,
        "label: Rail pressure, kind: gauge pressure, in: kPa",
        "label: Rail pressure, kind: gauge pressure, in: kPA",
    )
    small.expect(
        FIGURE, "Rail pressure,", 'takes.rail.in: "kPA" is no unit of gauge pressure. Did you mean "kPa"?'
    )


def test_a_unit_of_another_kind_is_refused(small):
    small.change(FIGURE, "kind: engine speed, in: rpm", "kind: engine speed, in: s")
    small.expect(FIGURE, "turns:", 'takes.turns.in: "s" is no unit of engine speed. Allowed here: rpm.')


def test_a_constant_without_its_unit_is_refused(small):
    """No unit is ever supplied in silence."""
    small.change(
        FIGURE,
        "constants:\n",
        "constants:\n  stroke: {label: Stroke, kind: length, value: 86, source: made up}\n",
    )
    small.expect(FIGURE, "stroke:", 'constants.stroke.value: "86" has no unit. Write it as in "86 mm".')


def test_a_share_without_its_per_cent_sign_is_refused_but_a_ratio_needs_no_unit(small):
    small.change(FIGURE, 'kind: ratio, value: "0.5"', 'kind: share, value: "0.5"')
    small.expect(FIGURE, "half:", 'constants.half.value: "0.5" has no unit. Write it as in "0.5 %".')


@pytest.mark.parametrize(
    ("value", "code"), [("86 bar", "wrong_kind"), ("86 furlong", "unknown_unit"), ("eighty mm", "unreadable")]
)
def test_a_constant_that_cannot_be_read_is_refused(small, value, code):
    small.change(
        FIGURE,
        "constants:\n",
        f"constants:\n  stroke: {{label: Stroke, kind: length, value: {value}, source: made up}}\n",
    )
    code = "unknown_unit" if value == "86 bar" else code
    small.expect(
        FIGURE,
        "stroke:",
        f'constants.stroke.value: "{value}" cannot be read ({code}). Write the number and a unit of its kind.',
    )


def test_constants_with_one_text_and_different_kinds_keep_their_own_units(small):
    small.change(
        FIGURE,
        "constants:\n",
        'constants:\n  whole: {label: N, kind: count, value: "0.5", source: made up}\n',
    )
    assert small.book().figures["orifice"].constant_units == {
        "whole": ("count", "×1"),
        "half": ("ratio", "×"),
    }


@pytest.mark.parametrize(
    "name",
    [
        "new",
        "var",
        "class",
        "await",
        "NaN",
        "v",
        "K",
        "pi",
        "sqrt",
        "min",
        "total",
        "lambda",
        "is",
        "None",
        "solve",
    ],
)
def test_a_name_that_means_something_to_formulas_phones_or_addresses_is_refused(small, name):
    small.change(FIGURE, "  turns:", f"  {name}:")
    small.expect(FIGURE, "label: Engine speed", f"takes.{name}: {NO_NAME}")


@pytest.mark.parametrize(
    "name", ["__proto__", "_hidden", "rail-pressure", "2nd", "größe", "rail.pressure", '"a b"', '""']
)
def test_a_name_that_is_no_plain_word_is_refused(small, name):
    small.change(FIGURE, "  turns:", f"  {name}:")
    plain = name.strip('"')
    small.expect(FIGURE, "label: Engine speed", f"takes.{plain}: {NO_NAME}")


@pytest.mark.parametrize("taken", ["rail", "fuel", "half"])
def test_a_name_used_twice_is_refused_be_it_an_inputs_a_choices_or_a_constants(small, taken):
    small.change(
        FIGURE,
        "  drop:\n    {label",
        f"  {taken}:\n    {{label: Twice, kind: ratio, in: ×, formula: half}}\n  drop:\n    {{label",
    )
    problems = small.problems()
    line = small.line(FIGURE, "label: Twice") - 1
    assert f"content/{FIGURE}:{line}: gives.{taken}: this name is taken already. Choose another." in problems


def test_a_default_outside_the_range_is_refused(small):
    small.change(FIGURE, "value: 3000, from: 0", "value: 9001, from: 0")
    small.expect(
        FIGURE, "turns:", "takes.turns: value lies outside from … to. Correct the value or the range."
    )


@pytest.mark.parametrize("value", ["0", "9000"])
def test_a_default_on_the_edge_of_the_range_is_accepted(small, value):
    small.change(FIGURE, "value: 3000, from: 0", f"value: {value}, from: 0")
    assert small.book().figures["orifice"].take("turns").default == int(value) / 60


@pytest.mark.parametrize(("low", "high"), [(9000, 0), (3000, 3000)])
def test_a_range_that_does_not_rise_is_refused(small, low, high):
    small.change(FIGURE, "value: 3000, from: 0, to: 9000", f"value: 3000, from: {low}, to: {high}")
    small.expect(
        FIGURE, "turns:", "takes.turns: from is not below to. Give the range from its low to its high end."
    )


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("three", "unreadable"),
        ("1,234", "ambiguous"),
        ("3000 bar", "unknown_unit"),
        ("1/0", "zero_denominator"),
    ],
)
def test_a_number_that_cannot_be_read_is_refused_once(small, value, code):
    small.change(FIGURE, "value: 3000, from: 0", f'value: "{value}", from: 0')
    mend = "Write 1.2340 or 1234." if code == "ambiguous" else "Write a number in rpm."
    small.expect(FIGURE, "turns:", f'takes.turns.value: "{value}" is no number of this kind ({code}). {mend}')


def test_numbers_may_carry_another_unit_of_their_kind(small):
    small.change(FIGURE, "value: 300, from: 0, to: 1000", "value: 43.5 psi, from: 0, to: 1000")
    assert small.book().figures["orifice"].take("rail").default == pytest.approx(299_922, rel=1e-5)


def test_a_count_opens_with_a_whole_number(small):
    small.change(
        FIGURE,
        "  twist:",
        "  teeth: {label: Teeth, kind: count, in: ×1, value: 2.5, from: 1, to: 9}\n  twist:",
    )
    small.expect(FIGURE, "teeth:", "takes.teeth: value is no whole number. Count with whole numbers.")


ACCURACIES = [
    "some",
    "2",
    "-1 %",
    "% of 3 kPa",
    "2 % of",
    "2 %% of 3 kPa",
    "2 rpm",
    "1.5 % of 60 rpm",
    "-3 kPa",
    "2 % off 3 kPa",
]


@pytest.mark.parametrize("accuracy", ACCURACIES)
def test_a_bad_accuracy_is_refused(small, accuracy):
    small.change(FIGURE, "accuracy: 2 kPa", f'accuracy: "{accuracy}"')
    said = small.problems()
    assert len(said) == 1
    assert said[0].startswith(
        f'content/{FIGURE}:{small.line(FIGURE, "manifold:")}: takes.manifold.accuracy: "{accuracy}" '
    )
    assert said[0].endswith('Write "2 %", "0.5 psi" or "1.5 % of 60 psi".')


def test_accuracies_are_a_share_a_width_or_a_share_of_the_scale(small):
    takes = small.book().figures["orifice"].takes
    found = {take.name: take.accuracy for take in takes if take.accuracy}
    assert found == {
        "rated_flow": ("share", 0.03),
        "rail": ("flat", pytest.approx(10_500)),
        "manifold": ("flat", 2000.0),
    }


def test_an_input_of_one_form_has_no_keys_of_another(small):
    """A range on a choice, or an accuracy on a curve, would be read and forgotten."""
    small.change(FIGURE, "choose: fuels, value: petrol", "choose: fuels, value: petrol, from: 1")
    small.expect(
        FIGURE, "choose: fuels",
        "takes.fuel.from: unknown key. Allowed here: choose, group, label, note, value. A text that holds a comma needs quotes.",
    )  # fmt: skip


def test_an_unknown_table_of_a_choice_is_refused_without_blaming_what_stands_on_it(small):
    small.change(FIGURE, "choose: fuels", "choose: fules")
    small.expect(
        FIGURE, "choose: fules", 'takes.fuel.choose: there is no table "fules". Did you mean "fuels"?'
    )


def test_an_unknown_row_of_a_choice_is_refused(small):
    small.change(FIGURE, "choose: fuels, value: petrol", "choose: fuels, value: petrool")
    small.expect(
        FIGURE, "choose: fuels", 'takes.fuel.value: "petrool" is no row of that table. Did you mean "petrol"?'
    )


@pytest.mark.parametrize("column", ["weight", "name"])
def test_a_column_that_holds_no_numbers_cannot_be_brought_along(small, column):
    small.change(FIGURE, "value: fuel.density", f"value: fuel.{column}")
    small.expect(
        FIGURE, "thickness:",
        f'takes.thickness.value: "fuel.{column}" is no column of numbers. Name a column of the table that the choice picks from.',
    )  # fmt: skip


def test_a_column_of_another_kind_cannot_be_brought_along(small):
    small.change(
        FIGURE, "kind: density, in: kg/m³, value: fuel.density", "kind: length, in: mm, value: fuel.density"
    )
    small.expect(
        FIGURE, "thickness:",
        'takes.thickness.value: "fuel.density" is of another kind than this input. Bring a column of the same kind.',
    )  # fmt: skip


def test_a_gauge_pressure_cannot_be_brought_along_for_an_absolute_one(small):
    """They share a dimension, and F24 is about just that."""
    small.change("tables/fuels.md", "kind: density, in: kg/m³", "kind: gauge pressure, in: kPa")
    small.change(FIGURE, "kind: density, in: kg/m³", "kind: absolute pressure, in: kPa")
    small.expect(
        FIGURE, "thickness:",
        'takes.thickness.value: "fuel.density" is of another kind than this input. Bring a column of the same kind.',
    )  # fmt: skip


def test_the_default_row_must_have_the_number_that_is_brought_along(small):
    small.change(FIGURE, "value: petrol", "value: unknown")
    small.expect(
        FIGURE, "thickness:",
        'takes.thickness.value: the row "unknown" has no number in that column. Fill the cell or choose another default row.',
    )  # fmt: skip


CURVE = "  pump: {{label: Pump, kind: volume flow, in: L/h, from: 0, to: 300, method: {method}, points: {points}, "
CURVE += "across: {{label: At, kind: gauge pressure, in: kPa, from: 0, to: 600}}}}\n"


def with_curve(small, points, method="linear"):
    small.change(FIGURE, "constants:\n", CURVE.format(points=points, method=method) + "constants:\n")


def test_a_curve_is_read_in_si_with_its_method(small):
    with_curve(small, '["0: 255", "300 kPa: 190 L/h", "500: 120"]', "monotone")
    take = small.book().figures["orifice"].take("pump")
    assert [point[0] for point in take.default] == [0, 300_000, 500_000]
    assert [point[1] * 3.6e6 for point in take.default] == pytest.approx([255, 190, 120])
    assert take.method == "monotone"


@pytest.mark.parametrize("points", ['["300: 190", "200: 200"]', '["300: 190", "300: 200"]', '["300: 190"]'])
def test_points_that_do_not_rise_are_refused(small, points):
    with_curve(small, points)
    small.expect(
        FIGURE,
        "pump:",
        'takes.pump.points: the points do not rise. Give two or more "x: y" points with rising x.',
    )


def test_the_point_that_falls_back_is_the_line_that_is_named(small):
    with_curve(small, '["0: 255",\n    "300: 190",\n    "200: 120",\n    "500: 100"]')
    small.expect(
        FIGURE,
        '"200: 120"',
        'takes.pump.points: the points do not rise. Give two or more "x: y" points with rising x.',
    )


@pytest.mark.parametrize("point", ["100", "100:", ":100", "100 200"])
def test_a_point_is_two_numbers_with_a_colon_between(small, point):
    with_curve(small, f'["0: 255", "{point}"]')
    small.expect(FIGURE, "pump:", f'takes.pump.points: "{point}" is no point. Write it as "x: y".')


def test_a_point_that_is_no_number_is_refused(small):
    with_curve(small, '["0: 255", "100: many"]')
    small.expect(
        FIGURE,
        "pump:",
        'takes.pump.points: "many" is no number of this kind (unreadable). Write a number in L/h.',
    )


def test_a_point_outside_the_curves_range_is_refused(small):
    with_curve(small, '["0: 255", "601: 100"]')
    small.expect(
        FIGURE,
        "pump:",
        'takes.pump.points: the point "601: 100" lies outside from … to. Correct the point or the range.',
    )


def test_an_unknown_method_is_refused(small):
    with_curve(small, '["0: 255", "100: 100"]', "cubic")
    small.expect(
        FIGURE, "pump:", 'takes.pump.method: "cubic" is not known here. Allowed here: linear, monotone.'
    )


def test_no_answer_marked_first_is_refused(small):
    small.change(FIGURE, ", first: true", "")
    line = small.line(FIGURE, "label: Pressure across") - 1
    said = 'gives: not exactly one answer is marked first. Mark the main answer, which is no list, with "first: true".'
    assert small.problems() == [f"content/{FIGURE}:{line}: {said}"]


def test_the_second_answer_marked_first_is_refused(small):
    small.change(
        FIGURE, "refuse:\n", "  more: {label: M, kind: ratio, in: ×, formula: half, first: true}\nrefuse:\n"
    )
    small.expect(
        FIGURE,
        "more:",
        'gives: not exactly one answer is marked first. Mark the main answer, which is no list, with "first: true".',
    )


@pytest.mark.parametrize("unlike", ["nothing", "twist", "turns"])
def test_an_answer_is_shown_unlike_an_input_of_its_own_kind_only(small, unlike):
    """`turns` is of the kind, which has one unit: there is no unlike one."""
    kind, unit = ("engine speed", "rpm") if unlike == "turns" else ("gauge pressure", "kPa")
    formula = "turns" if unlike == "turns" else "rail"
    small.change(
        FIGURE,
        "refuse:\n",
        f"  shown: {{label: S, kind: {kind}, in: {unit}, formula: {formula}, unlike: {unlike}}}\nrefuse:\n",
    )
    small.expect(
        FIGURE, "shown:",
        f'gives.shown.unlike: "{unlike}" is no input of this kind with a second unit. Name an input of the same kind.',
    )  # fmt: skip


def test_an_unknown_part_is_refused(small):
    small.change(FIGURE, "part: fuel", "part: fuels")
    small.expect(FIGURE, "part: ", 'part: there is no part "fuels". Did you mean "fuel"?')


def test_a_missing_caution_is_refused(small):
    small.change(FIGURE, "needs: [hot]", "needs: [hat]")
    small.expect(FIGURE, "needs: ", 'needs: there is no caution "hat". Did you mean "hot"?')


def test_a_related_figure_that_is_not_there_is_refused(small):
    small.change(FIGURE, "related: []", "related: [orifise]")
    small.expect(FIGURE, "related: ", 'related: there is no Figure "orifise". Did you mean "orifice"?')
