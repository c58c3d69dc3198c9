"""The folder as a whole: sound content is read, every mistake of every file comes out in one run, and then nothing is written."""

from __future__ import annotations

import re

import pytest

from webapp.binding import build_book
from webapp.book import load_book
from webapp.cli import main
from webapp.errors import ContentError, Problem, did_you_mean

FIGURE = "figures/orifice.md"


def test_content_without_a_mistake_becomes_a_book(small):
    book = small.book()
    assert list(book.figures) == ["orifice"]
    assert list(book.cautions) == ["hot"]
    assert list(book.tables) == ["fuels"]
    assert book.texts["en"]["pages"]["typing"]["title"] == "A page"
    assert book.texts["en"]["figures"]["orifice"]["refuse"] == [
        "Manifold {manifold} stands at or above rail {rail}."
    ]
    assert book.version == "About something."


def test_the_check_command_counts_sound_content_by_kind(small, capsys):
    assert main(["check", str(small.folder)]) == 0
    counts = dict(reversed(line.split(maxsplit=1)) for line in capsys.readouterr().out.splitlines())
    assert (
        counts["figures"],
        counts["cautions"],
        counts["tables"],
        counts["help pages"],
        counts["checks"],
    ) == ("1",) * 5


def test_many_mistakes_in_many_files_come_out_in_one_run_sorted_by_file_and_line(small, capsys):
    small.change(FIGURE, "related: []", "relatd: []")
    small.change(FIGURE, "needs: [hot]", "needs: [hat]")
    small.change(FIGURE, "formula: rail - manifold", "formula: rail * manifold")
    small.change("cautions/hot.md", "signal: WARNING", "signal: WARN")
    small.change("tables/fuels.md", "| 740 |", "| heavy |")
    small.change("units.md", "W: {is: watt}", "W: {is: wat}")
    small.change("help/typing.md", "Some text.", "# Typing\n\n[a](b)")
    small.write("help/away.md", "No front matter.\n")
    assert main(["check", str(small.folder)]) == 1
    output = capsys.readouterr()
    assert not output.out
    lines = output.err.strip().split("\n")
    assert all(re.match(r"content/[a-z/]+\.md:[0-9]+: .+\. .+[.?)]$", line) for line in lines)
    places = [re.match(r"content/(.+):([0-9]+): ", line) for line in lines]
    found = [(place[1], int(place[2])) for place in places if place]
    wanted = [
        ("cautions/hot.md", small.line("cautions/hot.md", "signal:")),
        (FIGURE, small.line(FIGURE, "rail * manifold")),
        (FIGURE, small.line(FIGURE, "needs: [hat]")),
        (FIGURE, small.line(FIGURE, "relatd")),
        ("help/away.md", 1),
        ("help/typing.md", small.line("help/typing.md", "# Typing")),
        ("help/typing.md", small.line("help/typing.md", "[a](b)")),
        ("tables/fuels.md", small.line("tables/fuels.md", "heavy")),
        ("units.md", small.line("units.md", "wat}")),
    ]
    assert found == wanted


def test_a_content_error_carries_each_problem_once_and_sorted():
    late, early = (
        Problem("content/b.md", 2, "k", "what.", "Mend."),
        Problem("content/b.md", 1, "", "what.", ""),
    )
    other = Problem("content/a.md", 9, "k", "what.", "Mend.")
    error = ContentError([late, early, other, late])
    assert (
        str(error) == "content/a.md:9: k: what. Mend.\ncontent/b.md:1: what.\ncontent/b.md:2: k: what. Mend."
    )


@pytest.mark.parametrize("name", ["units.md", "emergency.md", "glossary.md", "changes.md"])
def test_a_file_that_every_folder_needs_is_asked_for(small, name):
    (small.folder / name).unlink()
    assert small.problems() == [f"content/{name}:1: the file is missing. Every content folder needs it."]


def test_a_folder_that_is_not_there_has_problems_too(tmp_path, capsys):
    assert main(["check", str(tmp_path / "nowhere")]) == 1
    assert "content/units.md:1: the file is missing." in capsys.readouterr().err


@pytest.mark.parametrize("place", ["cautions", "tables", "help"])
def test_an_id_that_two_files_of_any_part_share_is_refused(small, place):
    names = {"cautions": "cautions/hot.md", "tables": "tables/fuels.md", "help": "help/typing.md"}
    small.write(f"{place}/orifice.md", small.text(names[place]))
    (said,) = small.problems()
    assert (
        said
        == f'content/{place}/orifice.md:1: the id "orifice" is taken by content/figures/orifice.md. Rename one of the files.'
    )


def test_two_figures_with_one_number_are_refused_on_the_numbers_line(small):
    small.write(
        "figures/other.md", small.text(FIGURE).replace("title: Orifice\n", "title: Other\n# a comment line\n")
    )
    small.expect(
        "figures/other.md",
        "order: 1",
        "order: the number 1 is taken by content/figures/orifice.md. Give it one of its own.",
    )


@pytest.mark.parametrize(
    "name", ["Orifice", "orifice_two", "orifice two", "orifice.es", "orifice--2", "größe"]
)
def test_a_file_name_that_cannot_be_part_of_an_address_is_refused(small, name):
    small.write(f"help/{name}.md", small.text("help/typing.md"))
    assert small.problems() == [
        f"content/help/{name}.md:1: the file's name cannot be part of an address."
        " Use small letters, digits and single hyphens, as in injector-flow.md."
    ]


@pytest.mark.parametrize("name", ["figure/orifice.md", "figures/old/orifice.md", "unit.md", "README.md"])
def test_a_file_that_no_reader_opens_is_refused(small, name):
    """A page in a misspelt folder would otherwise be missed by nobody but its reader."""
    small.write(name, small.text(FIGURE))
    assert small.problems() == [
        f"content/{name}:1: no reader opens this file. Put it into one of cautions, figures, help, jobs, tables, words."
    ]


def test_files_that_are_no_pages_are_left_alone(small):
    small.write("figures/notes.txt", "Not read.")
    assert build_book(small.folder)


def test_a_build_with_a_problem_writes_nothing(small, tmp_path, monkeypatch):
    cache, site = tmp_path / "cache", tmp_path / "site"
    monkeypatch.setenv("COWLSIDE_CACHE", str(cache))
    monkeypatch.setenv("COWLSIDE_CONTENT", str(small.folder))
    small.change(FIGURE, "rail - manifold", "rail + manifold")
    with pytest.raises(ContentError, match="adds a gauge pressure and a gauge pressure"):
        load_book()
    assert main(["export", str(site)]) == 1
    assert list(cache.iterdir()) == []
    assert not site.exists()


def test_a_build_with_a_problem_leaves_the_last_good_one_in_place(small, tmp_path, monkeypatch):
    cache = tmp_path / "cache"
    monkeypatch.setenv("COWLSIDE_CACHE", str(cache))
    load_book(small.folder)
    (kept,) = cache.iterdir()
    small.change(FIGURE, "rail - manifold", "rail + manifold")
    with pytest.raises(ContentError, match=r"orifice\.md"):
        load_book(small.folder)
    assert list(cache.iterdir()) == [kept]


def test_reading_twice_gives_the_same_bytes(small):
    assert build_book(small.folder).to_json() == build_book(small.folder).to_json()


def test_the_hint_behind_a_wrong_word_names_the_nearest_or_all_or_that_there_is_none():
    assert did_you_mean("rial", ["rail", "flow"]) == 'Did you mean "rail"?'
    assert did_you_mean("xyz", ["rail", "flow"]) == "Allowed here: flow, rail."
    assert did_you_mean("xyz", []) == "There is none yet."
