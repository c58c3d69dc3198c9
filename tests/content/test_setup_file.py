"""content/setup.md and the Figures that name its fields: what is read, and each mistake with its line and remedy."""

from __future__ import annotations

import pytest

SETUP, FIGURE = "setup.md", "figures/orifice.md"
FIELDS = """---
groups:
  injectors:
    label: Injectors
    fields:
      size: {label: Rated flow, kind: volume flow, in: cc/min, from: 20, to: 5000}
      holes: {label: Holes, kind: count, in: ×1, from: 1, to: 9}
  fuel:
    label: Fuel
    fields:
      fuel: {label: Fuel, note: in the tank, choose: fuels}
---
Type what you know.
"""
COUNT = "  holes: {label: Holes, kind: count, in: ×1, value: 4, from: 1, to: 9, setup: holes}\nconstants:"


@pytest.fixture
def entered(small):
    """The small content with a setup that its Figure uses."""
    small.write(SETUP, FIELDS)
    small.change(FIGURE, "accuracy: 3 %}", "accuracy: 3 %, setup: size}")
    small.change(FIGURE, "choose: fuels, value: petrol}", "choose: fuels, value: petrol, setup: fuel}")
    small.change(FIGURE, "constants:", COUNT)
    return small


def test_a_setup_becomes_plain_data_and_texts(entered):
    book = entered.book()
    assert book.setup["groups"] == {"injectors": ["size", "holes"], "fuel": ["fuel"]}
    size = book.setup["fields"]["size"]
    assert (size["type"], size["kind"], size["unit"]) == ("quantity", "volume flow", "cc/min")
    assert size["low"] == pytest.approx(20e-6 / 60) and size["high"] == pytest.approx(5000e-6 / 60)
    assert book.setup["fields"]["holes"]["type"] == "count"
    assert book.setup["fields"]["fuel"]["table"] == "fuels"
    texts = book.texts["en"]["setup"]
    assert texts["groups"] == {"injectors": "Injectors", "fuel": "Fuel"}
    assert texts["labels"]["fuel"] == {"label": "Fuel", "note": "in the tank"}
    assert "Type what you know" in texts["body"]


def test_inputs_and_answers_carry_the_name_of_their_field(entered):
    entered.change(
        FIGURE, "formula: rated_flow * sqrt(drop / rated_drop),", "formula: rated_flow, setup: size,"
    )
    entered.change(FIGURE, "{flow: 310 cc/min}", "{flow: 310 cc/min}")
    figure = entered.book().figures["orifice"]
    named = {take.name: take.setup for take in figure.takes if take.setup}
    assert named == {"rated_flow": "size", "fuel": "fuel", "holes": "holes"}
    assert {give.name: give.setup for give in figure.gives if give.setup} == {"flow": "size"}


def test_a_folder_without_a_setup_has_none(small):
    book = small.book()
    assert book.setup == {"groups": {}, "fields": {}}
    assert book.texts["en"]["setup"] == {"groups": {}, "labels": {}, "body": ""}


def test_a_field_that_does_not_exist_is_named_with_the_nearest_one(entered):
    entered.change(FIGURE, "setup: size}", "setup: sise}")
    line = entered.line(FIGURE, "rated_flow: {")
    assert entered.problems() == [
        f'content/{FIGURE}:{line}: takes.rated_flow.setup: content/setup.md has no field "sise". Did you mean "size"?',
        f"content/{SETUP}:{entered.line(SETUP, 'size:')}: fields.size: no Figure uses this field. "
        'Write "setup: size" beside an input of a Figure, or remove it.',
    ]


def test_a_field_named_without_any_setup_says_where_to_declare_it(small):
    small.change(FIGURE, "accuracy: 3 %}", "accuracy: 3 %, setup: size}")
    small.expect(
        FIGURE,
        "rated_flow: {",
        'takes.rated_flow.setup: content/setup.md has no field "size". Declare it there.',
    )


@pytest.mark.parametrize(
    ("old", "new", "part", "nature"),
    [
        (
            "kind: volume flow, in: cc/min, from",
            "kind: length, in: mm, from",
            "rated_flow: {",
            'of kind "length"',
        ),
        ("choose: fuels}", "kind: length, in: mm, from: 1, to: 2}", "fuel: {label", 'of kind "length"'),
    ],
)
def test_kind_and_table_of_field_and_input_must_agree(entered, old, new, part, nature):
    entered.change(SETUP, old, new)
    (problem,) = entered.problems()
    assert problem.startswith(f"content/{FIGURE}:{entered.line(FIGURE, part)}: takes.")
    assert f"is {nature}, this is" in problem
    assert problem.endswith("Name a field of the same kind, or of the same table.")


def test_an_answer_of_another_kind_cannot_be_put_into_a_field(entered):
    entered.change(FIGURE, "formula: rail - manifold}", "formula: rail - manifold, setup: size}")
    entered.expect(
        FIGURE,
        "formula: rail - manifold",
        'gives.drop.setup: the field "size" is of kind "volume flow", this is of kind "pressure difference". '
        "Name a field of the same kind, or of the same table.",
    )


def test_words_cannot_be_put_into_a_field(entered):
    entered.change(FIGURE, "refuse:\n", "  told: {label: Told, setup: size, words: [{say: so}]}\nrefuse:\n")
    entered.expect(
        FIGURE, "told:", "gives.told.setup: only a number can be put into the setup. Remove the key."
    )


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "kind: volume flow, in: cc/min, from",
            "kind: flow, in: cc/min, from",
            'fields.size.kind: there is no kind "flow".',
        ),
        ("in: cc/min, from", "in: mm, from", 'fields.size.in: "mm" is no unit of volume flow.'),
        (
            "from: 20, to: 5000",
            "from: 5000, to: 20",
            "fields.size: from is not below to. Give the low end first.",
        ),
        (
            "from: 20, to: 5000",
            "from: few, to: 5000",
            'fields.size.from: "few" is no number of this kind (unreadable). Write a number in cc/min.',
        ),
        (
            "from: 20, to: 5000}",
            "from: 20, to: 5000, value: 3}",
            "groups.injectors.fields.size.value: unknown key.",
        ),
        (
            "from: 20, to: 5000}",
            "from: 20}",
            'groups.injectors.fields.size.to: is missing. Add a line "to: …".',
        ),
    ],
)
def test_a_field_that_cannot_be_read_is_told_with_its_line(entered, old, new, said):
    entered.change(SETUP, old, new)
    assert any(
        problem.startswith(f"content/{SETUP}:{entered.line(SETUP, 'size:')}: {said}")
        for problem in entered.problems()
    )


def test_a_table_that_does_not_exist_is_told(entered):
    entered.change(SETUP, "choose: fuels", "choose: fuel")
    said = f'content/{SETUP}:{entered.line(SETUP, "choose")}: fields.fuel.choose: there is no table "fuel". Did you mean "fuels"?'
    assert said in entered.problems()


def test_a_field_in_two_groups_is_told(entered):
    entered.change(SETUP, "      fuel: {", "      holes: {label: Again, choose: fuels}\n      fuel: {")
    entered.expect(SETUP, "Again", "fields.holes: stands here twice. Rename or remove one.")


def test_a_link_on_the_setup_must_lead_somewhere_and_pages_may_link_to_it(entered):
    entered.change("help/typing.md", "Some text.", "Some text, and [the setup](setup).")
    entered.book()
    entered.change(SETUP, "Type what you know.", "Type [what you know](figures/none).")
    (problem,) = entered.problems()
    assert problem.startswith(
        f'content/{SETUP}:{entered.line(SETUP, "Type [")}: the link "figures/none" leads nowhere.'
    )
