"""Mistakes in units.md: the unit library sees plain unit names only, and no spelling may stand for two units (F24–F26)."""

from __future__ import annotations

import pytest

UNITS = "units.md"
MEND = "Write unit names of the unit library joined by *, / and **."

DEFINITIONS = {
    "an unknown unit": ("furlongg", '"furlongg" is not a unit of the unit library.'),
    "a number": ("1000 * watt", '"1000 * watt" is not a product of units.'),
    "a sum": ("watt + watt", '"watt + watt" is not a product of units.'),
    "two names without a sign": ("newton meter", '"newton meter" is not a product of units.'),
    "a sign at the end": ("watt /", '"watt /" is not a product of units.'),
    "a power without a number": ("meter **", '"meter **" is not a product of units.'),
    "a broken power": ("meter ** 0.5", '"meter ** 0.5" is not a product of units.'),
    "a call": ("__import__('os')", "\"__import__('os')\" is not a product of units."),
    "F27 a tower of powers": ("9**9**9", '"9**9**9" is not a product of units.'),
    "F24 a scale with its nought elsewhere in a product": (
        "degree_Celsius / meter", '"degree_Celsius / meter" multiplies a scale that has its nought elsewhere: use kelvin.',
    ),
    "F24 the same under another name": ("celsius / meter", '"celsius / meter" multiplies a scale that has its nought elsewhere: use kelvin.'),
    "a dimension of no use here": ("candela", "its dimension [luminosity] is not used here."),
}  # fmt: skip


@pytest.mark.parametrize("name", DEFINITIONS)
def test_a_definition_that_is_no_product_of_units_is_refused(small, name):
    definition, what = DEFINITIONS[name]
    small.change(UNITS, "W: {is: watt}", f'W: {{is: "{definition}"}}')
    small.expect(UNITS, "  W: {is", f"units.W.is: {what} {MEND}")


def test_a_missing_definition_is_reported_once(small):
    small.change(UNITS, "W: {is: watt}", "W: {spoken: watts}")
    small.expect(UNITS, "  W: {spoken", 'units.W.is: is missing. Add a line "is: …".')


def test_a_kind_that_lists_an_unknown_unit_is_refused(small):
    small.change(UNITS, "power: {title: power, units: [W]}", "power: {title: power, units: [W, kW]}")
    small.expect(
        UNITS,
        "power: {title",
        'kinds.power.units: "kW" is not among the units below. Add it there or correct the spelling.',
    )


def test_a_kind_without_units_is_refused(small):
    small.change(UNITS, "power: {title: power, units: [W]}", "power: {title: power, units: []}")
    assert (
        f'content/units.md:{small.line(UNITS, "power: {title")}: kinds.power.units: is empty. Write "- …" lines below it.'
        in small.problems()
    )


def test_units_of_two_dimensions_cannot_share_a_kind(small):
    small.change(UNITS, "power: {title: power, units: [W]}", "power: {title: power, units: [W, J]}")
    small.expect(
        UNITS,
        "power: {title",
        "kinds.power.units: units of different dimensions stand in one kind. Give each dimension a kind of its own.",
    )


def test_a_unit_that_no_kind_lists_is_refused(small):
    small.change(UNITS, "  W: {is: watt}\n", "  W: {is: watt}\n  kW: {is: kilowatt}\n")
    small.expect(UNITS, "  kW:", "units.kW: no kind lists this unit. List it or remove it.")


def test_an_unknown_nature_is_refused(small):
    small.change(UNITS, "nature: rise", "nature: ris")
    small.expect(
        UNITS,
        "nature: ris",
        'kinds.temperature difference.nature: "ris" is not known here. Did you mean "rise"?',
    )


def test_a_sort_that_has_no_word_is_refused(small):
    small.change(UNITS, "sort: reading", "sort: scale")
    assert small.problems() == [
        "content/words/common.md:1: words.sort_scale: is missing. Add the word to one of the files of content/words/."
    ]


@pytest.mark.parametrize("spelling", ["kPa", "KPA", "k P a", "kpa."])
def test_f25_a_spelling_that_can_mean_two_units_of_a_kind_is_refused(small, spelling):
    """Capitals, spaces and a closing point make no other spelling of it."""
    small.change(UNITS, "names: [lbf/in²]", f'names: [lbf/in², "{spelling}"]')
    said = small.problems()
    assert len(said) == 4
    assert said[0] == (
        f'content/units.md:{small.line(UNITS, "  gauge pressure:")}: kinds.gauge pressure.units: "{spelling}" can mean kPa and psi.'
        " Leave the spelling to one of them."
    )


def test_one_spelling_may_stand_for_units_of_two_kinds(small):
    small.change(UNITS, "  mm: {is: millimeter}", "  mm: {is: millimeter, names: [cc]}")
    assert small.book().units["units"]["mm"]["names"] == ["mm", "cc"]


def test_spellings_of_a_kind_belong_to_its_own_units(small):
    small.change(UNITS, "spellings: {psi: [psia]}", "spellings: {bar: [bara]}")
    small.expect(
        UNITS,
        "bara",
        "kinds.absolute pressure.spellings.bar: is not among this kind's units. Correct the spelling.",
    )


def test_an_ambiguous_name_can_mean_known_units_only(small):
    small.change(UNITS, "gal: [L/h]", "gal: [L/h, gph]")
    small.expect(UNITS, "gal: [", 'asked.gal: "gph" is not among the units. Correct the spelling.')


def test_without_units_nothing_else_is_judged(small):
    (small.folder / UNITS).unlink()
    small.change("help/typing.md", "summary:", "sumary:")
    assert [problem.partition(": ")[0] for problem in small.problems()] == [
        "content/help/typing.md:3",
        "content/units.md:1",
    ]
