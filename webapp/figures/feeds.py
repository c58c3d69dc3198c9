"""What a row of a table puts into a Figure, written as the query of a link.

What fills an input is `id` (the row itself, where the input is a choice), the name of a column, or `=text` for one fixed text;
see feeds_compiler for what is checked.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import quote, urlencode

from .model import Figure, Take
from .numbers import NumberProblem, read_quantity, write_full

ROW, FIXED = "id", "="

Tables = Mapping[str, Mapping[str, Any]]
Units = Mapping[str, Any]


def query_of(
    feed: Mapping[str, Any], row: str, table: Mapping[str, Any], figure: Figure, tables: Tables, units: Units
) -> str:
    """The query that puts a row into the Figure, or '' where the Figure could not use it.

    It cannot where a cell that fills an input is blank or outside the input's range, or where the row chosen has no number for
    an input that takes its number from it.
    """
    typed = {}
    for name, filler in feed["fills"].items():
        take = figure.take(name)
        text = _text_for(take, filler, row, table, units)
        if text is None or not is_usable(figure, take, text, tables, units):
            return ""
        typed[name] = text
    return urlencode(typed, quote_via=quote)


def fixed_text(filler: str) -> str | None:
    """The text that a filler such as '=ethylene' stands for, None where it stands for a row or a column."""
    return filler.removeprefix(FIXED).strip() if filler.startswith(FIXED) else None


def is_usable(figure: Figure, take: Take, text: str, tables: Tables, units: Units) -> bool:
    """Whether the input takes this text: a row that has what the Figure needs of it, or a number in the range."""
    if take.type == "choice":
        row = tables[take.table]["rows"].get(text)
        brought = [other.brings.partition(".") for other in figure.takes if other.brings]
        wanted = [column for name, _, column in brought if name == take.name]
        return row is not None and all(row[column] is not None for column in wanted)
    try:
        value = read_quantity(text, take.kind, units, take.unit).si
    except NumberProblem:
        return False
    return bool(take.low <= value <= take.high)


def number_in(si: float, unit: Mapping[str, Any]) -> float:
    """An SI number in a unit, cut to 12 digits: going to SI and back adds noise behind them."""
    return float(f"{(si - unit['offset']) / unit['factor']:.12g}")


def _text_for(take: Take, filler: str, row: str, table: Mapping[str, Any], units: Units) -> str | None:
    """What would be typed into the input, None where the row has nothing for it."""
    fixed = fixed_text(filler)
    if fixed is not None or filler == ROW:
        return row if fixed is None else fixed
    column, cell = table["columns"][filler], table["rows"][row][filler]
    if not column["kind"] or cell is None:
        return cell or None
    unit = units["units"][column["unit"]]
    number = write_full(number_in(cell, unit))
    return number if take.type == "count" else f"{number} {unit['symbol']}".strip()
