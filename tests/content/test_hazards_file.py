"""content/hazards.md: the words that lead to a hazard, what is read of them, and each mistake with its line and remedy."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

HAZARDS = "hazards.md"


@pytest.fixture
def named(small):
    """The small content with one hazard on its one sheet."""
    sheet = next(Path(small.folder / "cautions").glob("*.md")).stem
    small.write(
        HAZARDS,
        f"---\nhazards:\n  belt:\n    words: [belt, drive belt]\n    besides: [seat belt]\n    sheets: [{sheet}]\n---\nWords.\n",
    )
    return small, sheet


def test_the_words_go_with_the_language_and_the_sheets_do_not(named):
    small, sheet = named
    book = small.book()
    assert book.hazards == {"belt": [sheet]}
    assert book.texts["en"]["hazards"] == {
        "belt": {"words": ["belt", "drive belt"], "besides": ["seat belt"]}
    }


def test_a_folder_without_the_file_has_none(small):
    assert (small.book().hazards, small.book().texts["en"]["hazards"]) == ({}, {})


def test_a_sheet_that_is_not_there_is_named_with_its_line(named):
    small, sheet = named
    small.change(HAZARDS, f"sheets: [{sheet}]", f"sheets: [{sheet}s]")
    (problem,) = small.problems()
    place = re.escape(f"content/{HAZARDS}:{small.line(HAZARDS, 'sheets:')}: hazards.belt.sheets: ")
    assert re.match(place + f'there is no caution "{sheet}s". Did you mean "{sheet}"', problem)


@pytest.mark.parametrize("key", ["words", "sheets"])
def test_a_hazard_without_words_or_sheets_leads_nowhere_and_is_refused(named, key):
    small, _ = named
    text = (small.folder / HAZARDS).read_text(encoding="utf-8")
    small.write(HAZARDS, re.sub(rf"    {key}: .*\n", "", text))
    (problem,) = small.problems()
    assert problem.startswith(f"content/{HAZARDS}:") and f"hazards.belt.{key}" in problem
