"""A table's page: its rows of SI numbers as a reader wants them, in the units of its columns."""

from __future__ import annotations

from typing import Any

from ..book import Book
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
    shown = {
        "id": name,
        "title": text["title"],
        "summary": text["summary"],
        "row_head": text["columns"].get(naming, text["title"]),
        "columns": [
            {"id": key, "label": text["columns"][key], "unit": _symbol(book, column)}
            for key, column in columns.items()
        ],
        "rows": [
            {
                "id": row,
                "label": labels[row],
                "cells": [_cell(book, columns[key], cells[key], decimal) for key in columns],
            }
            for row, cells in table["rows"].items()
        ],
        "body": links.in_html(text["body"]),
        "sources": [links.in_html(line) for line in text["sources"]],
    }
    return {"table": shown, "cautions": caution_list(book, lang, text["needs"], links)}


def _symbol(book: Book, column: Context) -> str:
    return str(book.units["units"][column["unit"]]["symbol"]) if column["kind"] else ""


def _cell(book: Book, column: Context, cell: Any, decimal: str) -> str:
    """A cell as it is read; a number is cut to 12 digits, since going to SI and back adds noise behind them."""
    if cell is None:
        return _BLANK
    if not column["kind"]:
        return str(cell)
    unit = book.units["units"][column["unit"]]
    return write_full(float(f"{(cell - unit['offset']) / unit['factor']:.12g}"), decimal)
