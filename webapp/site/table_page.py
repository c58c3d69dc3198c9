"""A table's page: its rows of SI numbers as a reader wants them, in the units of its columns, and where each row can go."""

from __future__ import annotations

from typing import Any

from ..book import Book
from ..figures.feeds import number_in, query_of
from ..figures.numbers import write_full
from .excerpts import Context, caution_list
from .links import Links

_BLANK = "—"


def table_context(book: Book, lang: str, name: str, links: Links) -> Context:
    """What table.html gets beside what all templates get."""
    table, text = book.tables[name], book.texts[lang]["tables"][name]
    # The first column of words is what the rows are called, see `row_labels`: it heads the rows and is no column of its own.
    naming = next((key for key, column in table["columns"].items() if not column["kind"]), "")
    columns = {key: column for key, column in table["columns"].items() if key != naming}
    labels, decimal = book.texts[lang]["row_labels"][name], book.texts[lang]["decimal"]
    only = table["feeds"][0] if len(table["feeds"]) == 1 else None
    shown = {
        "id": name,
        "title": text["title"],
        "summary": text["summary"],
        "row_head": text["columns"].get(naming, text["title"]),
        "columns": [
            {
                "id": key,
                "label": text["columns"][key],
                "unit": _symbol(book, column),
                "sorts": key in table["sort"],
            }
            for key, column in columns.items()
        ],
        "rows": [
            {
                "id": row,
                "label": labels[row] or row,
                "cells": [
                    _cell(book, columns[key], cells[key], decimal, key in table["sort"]) for key in columns
                ],
                "uses": _uses(book, lang, name, row, links),
            }
            for row, cells in table["rows"].items()
        ],
        "only_use": {"label": _use_label(book, lang, name, 0), "href": _way(links, only)} if only else None,
        "has_uses": bool(table["feeds"]),
        "sorts": bool(table["sort"]),
        "body": links.in_html(text["body"]),
        "sources": [links.in_html(line) for line in text["sources"]],
    }
    return {"table": shown, "cautions": caution_list(book, lang, text["needs"], links)}


def _symbol(book: Book, column: Context) -> str:
    return str(book.units["units"][column["unit"]]["symbol"]) if column["kind"] else ""


def _cell(book: Book, column: Context, cell: Any, decimal: str, sorts: bool) -> Context:
    """{text, words, by}: a cell as it is read, whether it is words, and what its column is sorted by."""
    if cell is None:
        return {"text": _BLANK, "words": False, "by": ""}
    if not column["kind"]:
        return {"text": str(cell), "words": True, "by": ""}
    number = number_in(cell, book.units["units"][column["unit"]])
    return {"text": write_full(number, decimal), "words": False, "by": repr(number) if sorts else ""}


def _uses(book: Book, lang: str, name: str, row: str, links: Links) -> list[Context]:
    """[{label, href}] of every Figure that the row can be put into."""
    table = book.tables[name]
    uses = []
    for number, feed in enumerate(table["feeds"]):
        query = query_of(feed, row, table, book.figures[feed["figure"]], book.tables, book.units)
        if query:
            label = _use_label(book, lang, name, number)
            uses.append({"label": label, "href": f"{_way(links, feed)}?{query}"})
    return uses


def _use_label(book: Book, lang: str, name: str, number: int) -> str:
    """What a use is called: the table's own word for it, else the Figure's title."""
    texts = book.texts[lang]
    own = texts["tables"][name]["feeds"][number]
    figure = book.tables[name]["feeds"][number]["figure"]
    return str(own or texts["figures"][figure]["title"])


def _way(links: Links, feed: Context) -> str:
    return links.to(f"figures/{feed['figure']}/")
