"""What a row of a table can be put into: every table that a Figure can use says so, and every link it makes is one the Figure takes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qsl

import pytest

from webapp.figures.feeds import query_of
from webapp.figures.present import present
from webapp.site.figure_page import is_refused_input

TABLE = "tables/fuels.md"
NEEDS = "needs: []\nsources: [Made up"
ROWS = "feeds:\n  - {figure: orifice, fills: {fuel: id}}\n"

# Tables that no Figure can use, and why.
NOT_USED = {
    "belt-alignment": "no Figure asks how far a belt runs out of line: a straight edge on the pulley tells",
    "belt-profiles": "no Figure asks for ribs or edges: the profile is chosen once, by the pulleys that are there",
    "belt-widths": "no Figure asks for the width of a belt: it is read off and bought",
    "pipe-threads": "a pipe size is read off a port; what a thread is named by is one measured, with its own errors",
    "thread-lookalikes": "a row is two threads; the Figure that tells threads apart wants one, as measured",
}


def feeds(book: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    return ((name, feed) for name, table in book.tables.items() for feed in table["feeds"])


def queries(book: Any, name: str, feed: dict[str, Any]) -> dict[str, str]:
    """Row -> query, '' for a row that cannot be put into the Figure."""
    table, figure = book.tables[name], book.figures[feed["figure"]]
    return {row: query_of(feed, row, table, figure, book.tables, book.units) for row in table["rows"]}


# -- the tables there are ----------------------------------------------------------------------------------------------------


def test_every_table_can_be_put_into_a_figure_or_says_why_not(book: Any) -> None:
    without = {name for name, table in book.tables.items() if not table["feeds"]}
    assert without == set(NOT_USED)


def test_a_table_that_a_figure_chooses_from_goes_into_a_figure_by_its_row(book: Any) -> None:
    chosen = {take.table for figure in book.figures.values() for take in figure.takes if take.table}
    fed = {name for name, feed in feeds(book) if "id" in feed["fills"].values()}
    assert chosen <= fed


def test_every_link_is_one_that_its_figure_takes(book: Any) -> None:
    """What the Figure then says may be a refusal (a blower without a fixed volume has no boost by pulley), but of no input."""
    count = 0
    for name, feed in feeds(book):
        figure = book.figures[feed["figure"]]
        for row, query in queries(book, name, feed).items():
            typed = dict(parse_qsl(query))
            assert not query or set(typed) == set(feed["fills"]), (name, row)
            if query:
                view = present(book, "en", figure, typed)
                assert not is_refused_input(figure, view), (name, row, query, view["sentence"])
                count += 1
    assert count > 900


def test_the_rows_that_go_nowhere_are_those_with_a_blank(book: Any) -> None:
    empty = {
        (name, feed["figure"], row)
        for name, feed in feeds(book)
        for row, query in queries(book, name, feed).items()
        if not query
    }
    pipes = {row for row in book.tables["all-threads"]["rows"] if row.startswith(("dash-", "npt-", "g-"))}
    assert {row for name, _, row in empty if name == "all-threads"} == pipes
    assert {name for name, *_ in empty} == {
        "all-threads", "drills-near-taps", "flare-and-hose", "glycols", "inch-wrench-sizes",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("table", "figure", "row", "query"),
    [
        ("all-threads", "clamp-load", "m10x1.25", "thread=m10x1.25"),
        ("blade-fuses", "fuse-check", "f-15", "fuse=15%20A"),
        ("boost-and-vacuum", "pressure-units", "boost-8", "gauge=8%20psi"),
        ("glycols", "coolant-mix", "vol-50", "antifreeze=ethylene&target=50%20%25"),
        ("octane-numbers", "octane-scales", "mon", "posted=mon"),
    ],
)
def test_a_link_holds_what_would_be_typed(book: Any, table: str, figure: str, row: str, query: str) -> None:
    feed = next(feed for feed in book.tables[table]["feeds"] if feed["figure"] == figure)
    assert queries(book, table, feed)[row] == query


def test_who_sorts_has_a_reason(book: Any) -> None:
    """Elsewhere the order of the file is the one that is looked for: by size, by strength, or as one meets them."""
    sorts = {name: table["sort"] for name, table in book.tables.items() if table["sort"]}
    assert sorts == {
        "all-threads": ["diameter", "pitch"],
        "bolt-classes": ["proof"],
        "fuels": ["stoich"],
        "nut-factors": ["k"],
        "wire-sizes": ["area"],
    }


# -- mistakes ------------------------------------------------------------------------------------------------------------------


def given(small: Any, lines: str) -> None:
    small.change(TABLE, NEEDS, lines + NEEDS)


def test_a_row_that_a_figure_can_use_is_sound(small: Any) -> None:
    given(small, ROWS)
    book = small.book()
    feed = book.tables["fuels"]["feeds"][0]
    assert feed == {"figure": "orifice", "fills": {"fuel": "id"}}
    # A fuel without a density leaves the Figure's input for it empty.
    assert queries(book, "fuels", feed) == {"petrol": "fuel=petrol", "unknown": ""}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{figure: orifise, fills: {fuel: id}}", 'feeds[1].figure: there is no Figure "orifise". Did you mean "orifice"?'),
        (
            "{figure: orifice, fills: {fule: id}}",
            'feeds[1].fills.fule: the Figure "orifice" has no input "fule". Did you mean "fuel"?',
        ),
        (
            "{figure: orifice, fills: {thickness: densty}}",
            'feeds[1].fills.thickness: there is no column "densty". Did you mean "density"?',
        ),
        (
            "{figure: orifice, fills: {rail: density}}",
            "feeds[1].fills.rail: the column holds a density, the input takes a gauge pressure. Fill another input.",
        ),
        (
            "{figure: orifice, fills: {rail: id}}",
            "feeds[1].fills.rail: the input is no choice, so no row can be its value. Allowed here: density, name.",
        ),
        (
            "{figure: orifice, fills: {fuel: name}}",
            'feeds[1].fills.fuel: the input is a choice, which a column cannot fill. Write "fuel: id".',
        ),
        (
            "{figure: orifice, fills: {fuel: =diesel}}",
            'feeds[1].fills.fuel: "diesel" is nothing that this input takes. Allowed here: petrol, unknown.',
        ),
        (
            "{figure: orifice, fills: {rail: =5000 kPa}}",
            'feeds[1].fills.rail: "5000 kPa" is nothing that this input takes. Write = and a number from 0 to 1000 kPa.',
        ),
        (
            "{figure: orifice, fills: {rail: name}}",
            'feeds[1]: no row of this table can be put into "orifice". Fill another input, or remove the line.',
        ),
        ("{figure: orifice}", 'feeds[1].fills: is missing. Add a line "fills: …".'),
        ("{figure: orifice, fills: {}}", 'feeds[1].fills: is empty. Write "name: {…}" lines below it.'),
    ],
)  # fmt: skip
def test_a_wrong_line_is_named_with_how_to_mend_it(small: Any, line: str, said: str) -> None:
    given(small, f"feeds:\n  - {line}\n")
    small.expect(TABLE, "figure:", said)


def test_a_column_that_is_sorted_by_holds_numbers(small: Any) -> None:
    given(small, 'sort:\n  name: "By letter."\n')
    small.expect(
        TABLE, "By letter", 'sort.name: there is no column of numbers "name". Allowed here: density.'
    )


def test_sorting_wants_its_reason(small: Any) -> None:
    given(small, 'sort:\n  density: ""\n')
    small.expect(TABLE, 'density: ""', "sort.density: is empty. Write the text behind the colon.")
