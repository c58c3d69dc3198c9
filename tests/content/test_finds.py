"""Further words to be found by, in content files: read strictly, handed on with the texts."""

from __future__ import annotations

import pytest
from content.small_content import CAUTION, FIGURE, PAGE, TABLE, SmallContent

from webapp.content.finds import LONGEST, with_anchors

GLOSSARY = PAGE.replace("---\nSome text.\n", "finds:\n  lambda: [lam]\n---\n**Lambda (λ).** A ratio. More.\n")


@pytest.fixture
def small(tmp_path) -> SmallContent:
    return SmallContent(tmp_path / "content")


@pytest.mark.parametrize(
    ("file", "after", "texts"),
    [
        ("figures/orifice.md", "order: 1\n", "figures/orifice"),
        ("cautions/hot.md", "order: 1\n", "cautions/hot"),
        ("tables/fuels.md", "order: 1\n", "tables/fuels"),
    ],
)
def test_a_list_of_further_words_is_handed_on(small, file, after, texts):
    assert after in FIGURE and after in CAUTION and after in TABLE
    small.change(file, after, f'{after}finds: [squirter, "10 mm"]\n')
    folder, name = texts.split("/")
    assert small.book().texts["en"][folder][name]["finds"] == ["squirter", "10 mm"]


def test_without_a_list_there_are_no_further_words(small):
    assert small.book().texts["en"]["figures"]["orifice"]["finds"] == []


def test_a_part_of_the_emergency_page_may_have_them_too(small):
    small.change("emergency.md", "    title: Fire\n", "    title: Fire\n    finds: [flames]\n")
    assert small.book().texts["en"]["emergency"]["parts"][0]["finds"] == ["flames"]


def test_the_same_word_twice_is_a_problem_whatever_its_capitals(small):
    small.change("figures/orifice.md", "order: 1\n", "order: 1\nfinds: [Jet, jet]\n")
    small.expect("figures/orifice.md", "finds:", 'finds: "jet" stands twice. Remove one.')


def test_a_whole_sentence_is_a_problem(small):
    long = "x" * (LONGEST + 1)
    small.change("tables/fuels.md", "order: 1\n", f"order: 1\nfinds: [{long}]\n")
    small.expect(
        "tables/fuels.md",
        "finds:",
        f'finds: "{long}" is longer than {LONGEST} characters. Write what a person would type, a word or two.',
    )


def test_a_word_that_the_glossary_has_not_is_a_problem(small):
    small.write("glossary.md", GLOSSARY.replace("lambda: [lam]", "lamda: [lam]"))
    small.expect("glossary.md", "lamda:", 'finds.lamda: is no word of the glossary. Did you mean "lambda"?')


def test_two_words_of_the_glossary_with_one_address_are_a_problem(small):
    small.write("glossary.md", GLOSSARY + "\n**Lambda (again).** The same.\n")
    assert any('have the address "lambda"' in problem for problem in small.problems())


def test_each_word_of_the_glossary_has_its_place_and_its_first_sentence(small):
    small.write("glossary.md", GLOSSARY)
    text = small.book().texts["en"]["glossary"]
    assert text["terms"] == [{"id": "lambda", "word": "Lambda (λ)", "says": "A ratio.", "finds": ["lam"]}]
    assert '<p id="lambda"><strong>' in text["body"]


def test_a_paragraph_that_opens_with_no_bold_word_is_left_as_it_is():
    html = "<p>Some <strong>bold</strong> text.</p>\n"
    assert with_anchors(html) == (html, [])


def test_the_real_content_gives_every_figure_table_and_caution_further_words(book):
    texts = book.texts["en"]
    for folder in ("figures", "tables", "cautions"):
        assert [name for name, text in texts[folder].items() if not text["finds"]] == []
