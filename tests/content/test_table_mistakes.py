"""Mistakes in a table, in a caution, on the emergency page and among the words."""

from __future__ import annotations

import pytest

TABLE, CAUTION, WORDS = "tables/fuels.md", "cautions/hot.md", "words/common.md"


def test_cells_are_si_numbers_texts_or_nothing(small):
    table = small.book().tables["fuels"]
    assert table["rows"] == {
        "petrol": {"name": "Petrol", "density": 740.0},
        "unknown": {"name": "Unknown", "density": None},
    }


@pytest.mark.parametrize(
    "header",
    ["| id | name |", "| name | id | density |", "| id | Name | density |", "| id | name | density | more |"],
)
def test_a_header_that_does_not_match_the_columns_is_refused(small, header):
    small.change(TABLE, "| id | name | density |", header)
    count = header.count("|") - 1
    small.change(TABLE, "|---|---|---|", "|---" * count + "|")
    said = f"content/{TABLE}:{small.line(TABLE, header)}: the table's header does not match the columns. It should read | id | name | density |."
    assert said in small.problems()


def test_a_table_file_without_a_table_is_refused(small):
    text = small.text(TABLE)
    small.write(TABLE, text[: text.index("| id")])
    assert (
        f"content/{TABLE}:11: the table's header does not match the columns. It should read | id | name | density |."
        in small.problems()
    )


def test_a_cell_that_is_no_number_is_refused_without_blaming_the_figure(small):
    small.change(TABLE, "| petrol | Petrol | 740 |", "| petrol | Petrol | heavy |")
    small.expect(
        TABLE,
        "| petrol",
        'density: "heavy" is no number of this kind (unreadable). Write a number in kg/m³, or —.',
    )


def test_a_table_without_a_row_is_refused(small):
    small.change(TABLE, "| petrol | Petrol | 740 |\n| unknown | Unknown | — |\n", "")
    small.expect(TABLE, "| id |", "the table has no rows. Write them below its header.")


def test_a_row_that_stands_twice_is_refused(small):
    small.change(TABLE, "| unknown | Unknown | — |", "| petrol | Again | 750 |")
    small.expect(TABLE, "Again", 'the row id "petrol" stands twice. Give each row its own.')


def test_an_unknown_kind_of_a_column_is_refused_without_blaming_the_figure(small):
    small.change(TABLE, "kind: density", "kind: weight")
    (said,) = small.problems()
    assert said.startswith(
        f'content/{TABLE}:{small.line(TABLE, "kind: weight")}: columns.density.kind: there is no kind "weight".'
    )


def test_an_unknown_unit_of_a_column_is_refused(small):
    small.change(TABLE, "in: kg/m³", "in: kg/l")
    (said,) = small.problems()
    assert said.startswith(
        f'content/{TABLE}:{small.line(TABLE, "in: kg/l")}: columns.density.in: "kg/l" is no unit of density.'
    )


def test_a_caution_that_a_table_needs_must_be_there(small):
    small.change(TABLE, "needs: []", "needs: [cold]")
    small.expect(TABLE, "needs:", 'needs: there is no caution "cold". Allowed here: hot.')


# -- cautions ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("part", ["can_happen", "have_ready", "do_first", "never", "goes_wrong", "clean_up"])
def test_every_part_of_a_caution_must_be_there(small, part):
    text = small.text(CAUTION)
    start = text.index(f"{part}:\n")
    small.write(CAUTION, text[:start] + text[text.index("\n", text.index("- {say", start)) + 1 :])
    assert f'content/{CAUTION}:2: {part}: is missing. Add a line "{part}: …".' in small.problems()


@pytest.mark.parametrize(("sources", "what"), [("from: []", "is empty."), ("", "is missing.")])
def test_every_statement_of_a_caution_names_its_sources(small, sources, what):
    small.change(
        CAUTION, "{say: Wait., from: [own]}", "{" + ", ".join(filter(None, ["say: Wait.", sources])) + "}"
    )
    (said,) = small.problems()
    assert said.startswith(f"content/{CAUTION}:{small.line(CAUTION, 'say: Wait.')}: do_first[1].from: {what}")


def test_a_source_that_is_not_declared_is_refused_on_the_statements_line(small):
    small.change(CAUTION, "{say: Wait., from: [own]}", "{say: Wait., from: [owl]}")
    small.expect(
        CAUTION, "owl", 'sources: "owl" is named by a statement but not declared. Declare it under sources.'
    )


def test_a_source_that_nobody_names_is_refused_on_its_own_line(small):
    small.change(CAUTION, "from: [own, book]", "from: [own]")
    small.expect(
        CAUTION, "book: {", 'sources: "book" is declared but no statement names it. Remove it or name it.'
    )


def test_an_unknown_basis_of_a_source_is_refused(small):
    small.change(CAUTION, "basis: memory", "basis: hearsay")
    small.expect(
        CAUTION,
        "hearsay",
        'sources.book.basis: "hearsay" is not known here. Allowed here: memory, own, part, practice, read.',
    )


def test_an_unknown_signal_word_is_refused(small):
    small.change(CAUTION, "signal: WARNING", "signal: WARN")
    small.expect(CAUTION, "signal:", 'signal: "WARN" is not known here. Did you mean "WARNING"?')


def test_a_sign_without_a_name_is_refused(small):
    small.change(CAUTION, "signs: [W017]", "signs: [W017, W099]")
    assert small.problems() == [
        f"content/{WORDS}:1: words.sign_W099: is missing. Add the word to one of the files of content/words/."
    ]


def test_the_emergency_page_names_its_sources_too(small):
    small.change("emergency.md", "{say: Shout., from: [own]}", "{say: Shout., from: [me]}")
    said = [problem.partition(": ")[2] for problem in small.problems()]
    assert said == [
        'sources: "me" is named by a statement but not declared. Declare it under sources.',
        'sources: "own" is declared but no statement names it. Remove it or name it.',
    ]


# -- words ---------------------------------------------------------------------------------------------------


def test_a_word_that_pages_need_is_asked_for(small):
    small.change(WORDS, "  part_fuel: Some words\n", "")
    assert small.problems() == [
        f"content/{WORDS}:1: words.part_fuel: is missing. Add the word to one of the files of content/words/."
    ]


def test_a_word_in_two_files_is_refused(small):
    small.write("words/site.md", "---\nwords:\n  other: One\n  part_fuel: Two\n---\n")
    small.expect("words/site.md", "part_fuel", "words.part_fuel: stands in two files of words. Remove one.")


@pytest.mark.parametrize("text", ["a {", "a }", "a {}", "a {two words}", "a {b", "a b}", "{a{b}}"])
def test_a_brace_that_holds_no_field_name_is_refused_in_its_own_file(small, text):
    small.write("words/site.md", f'---\nwords:\n  other: One\n  told: "{text}"\n---\n')
    small.expect("words/site.md", "told:", "words.told: has a brace that holds no field name. Write {name}.")
