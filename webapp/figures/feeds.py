"""What a row of a table puts into a Figure: checked against the Figure at build, written as a query for the link.

What fills an input is `id` (the row itself, where the input is a choice), the name of a column, or `=text` for one fixed text.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import quote, urlencode

from ..content.front_matter import Text
from ..content.records import FeedFile, TableFile
from ..errors import Problem, did_you_mean
from .model import Figure, Take
from .numbers import NumberProblem, read_quantity, write_full

ROW, FIXED = "id", "="

Tables = Mapping[str, Mapping[str, Any]]


def compile_feeds(
    record: TableFile,
    figures: Mapping[str, Figure],
    tables: Tables,
    units: Mapping[str, Any],
    problems: list[Problem],
) -> list[dict[str, Any]]:
    """[{figure, fills: {input: what fills it}}] of one table, in the order of its file; what does not fit is a problem."""
    feeds: list[dict[str, Any]] = []
    for number, feed in enumerate(record.feeds):
        own: list[Problem] = []
        figure = figures.get(feed.figure)
        if figure is None:
            what = f'there is no Figure "{feed.figure}".'
            own.append(_problem(record, number, "figure", feed.figure, what, figures))
        else:
            for name, filler in feed.fills:
                _check_fill(record, number, figure, name, filler, tables, units, own)
        made = {
            "figure": str(feed.figure),
            "fills": {str(name): str(filler) for name, filler in feed.fills},
        }
        if figure is not None and not own:
            _check_rows(record, number, feed, figure, made, tables, units, own)
        problems.extend(own)
        feeds.append(made)
    return feeds


def query_of(
    feed: Mapping[str, Any], row: str, table: Mapping[str, Any], figure: Figure, tables: Tables, units: Any
) -> str:
    """The query that puts a row into the Figure, or '' where the Figure could not use it.

    It cannot where a cell that fills an input is blank or outside the input's range, or where the row chosen has no number for
    an input that takes its number from it.
    """
    typed = {}
    for name, filler in feed["fills"].items():
        text = _text_for(figure.take(name), filler, row, table, units)
        if text is None or not _is_usable(figure, figure.take(name), text, tables, units):
            return ""
        typed[name] = text
    return urlencode(typed, quote_via=quote)


def _text_for(take: Take, filler: str, row: str, table: Mapping[str, Any], units: Any) -> str | None:
    """What would be typed into the input, None where the row has nothing for it."""
    if filler.startswith(FIXED):
        return filler.removeprefix(FIXED).strip()
    if filler == ROW:
        return row
    column, cell = table["columns"][filler], table["rows"][row][filler]
    if not column["kind"] or cell is None:
        return cell or None
    unit = units["units"][column["unit"]]
    number = write_full(float(f"{(cell - unit['offset']) / unit['factor']:.12g}"))
    return number if take.type == "count" else f"{number} {unit['symbol']}".strip()


def _is_usable(figure: Figure, take: Take, text: str, tables: Tables, units: Any) -> bool:
    if take.type == "choice":
        row = tables[take.table]["rows"].get(text)
        brought = [other.brings.partition(".") for other in figure.takes if other.brings]
        return row is not None and all(
            row[column] is not None for name, _, column in brought if name == take.name
        )
    try:
        value = read_quantity(text, take.kind, units, take.unit).si
    except NumberProblem:
        return False
    return bool(take.low <= value <= take.high)


# -- checks -------------------------------------------------------------------------------------------------------------------


def _check_fill(
    record: TableFile,
    number: int,
    figure: Figure,
    name: Text,
    filler: Text,
    tables: Tables,
    units: Any,
    problems: list[Problem],
) -> None:
    """The input is there, what fills it is there, and the two are of one kind."""
    take = next((take for take in figure.takes if take.name == name), None)
    key = f"fills.{name}"
    if take is None or take.type == "points":
        known = [take.name for take in figure.takes if take.type != "points"]
        what = f'the Figure "{figure.id}" has no input "{name}".'
        problems.append(_problem(record, number, key, name, what, known))
    elif filler.startswith(FIXED):
        text = filler.removeprefix(FIXED).strip()
        if not _is_usable(figure, take, text, tables, units):
            what = f'"{text}" is nothing that this input takes.'
            problem = _problem(record, number, key, filler, what, _rows(take, tables))
            problems.append(problem if take.table else replace(problem, mend=_span(take, units)))
    elif filler == ROW:
        if take.type != "choice":
            what = "the input is no choice, so no row can be its value."
            columns = tables[record.id]["columns"]
            problems.append(_problem(record, number, key, filler, what, columns))
    else:
        _check_column(record, number, take, key, filler, tables[record.id], units, problems)


def _check_column(
    record: TableFile,
    number: int,
    take: Take,
    key: str,
    filler: Text,
    table: Mapping[str, Any],
    units: Any,
    problems: list[Problem],
) -> None:
    columns = table["columns"]
    if filler not in columns:
        what = f'there is no column "{filler}".'
        problems.append(_problem(record, number, key, filler, what, [*columns, ROW]))
        return
    kind = columns[filler]["kind"]
    if take.type == "choice":
        mend = f'Write "{take.name}: {ROW}".'
        what = "the input is a choice, which a column cannot fill."
        problems.append(Problem(record.file, filler.line, f"feeds[{number + 1}].{key}", what, mend))
    elif kind and kind != take.kind:
        what = f"the column holds a {kind}, the input takes a {take.kind}."
        fit = [name for name, column in columns.items() if column["kind"] == take.kind]
        problem = _problem(record, number, key, filler, what, fit)
        problems.append(problem if fit else replace(problem, mend="Fill another input."))


def _check_rows(
    record: TableFile,
    number: int,
    feed: FeedFile,
    figure: Figure,
    made: Mapping[str, Any],
    tables: Tables,
    units: Any,
    problems: list[Problem],
) -> None:
    """At least one row goes in: a feed that no row can use is a slip."""
    table = tables[record.id]
    if not any(query_of(made, row, table, figure, tables, units) for row in table["rows"]):
        what = f'no row of this table can be put into "{feed.figure}".'
        mend = "Fill another input, or remove the line."
        problems.append(Problem(record.file, feed.figure.line, f"feeds[{number + 1}]", what, mend))


def _rows(take: Take, tables: Tables) -> list[str]:
    return list(tables[take.table]["rows"]) if take.table else []


def _span(take: Take, units: Any) -> str:
    unit = units["units"][take.unit]
    low, high = (float(f"{(end - unit['offset']) / unit['factor']:.12g}") for end in (take.low, take.high))
    return f"Allowed here: from {low:g} to {high:g} {unit['symbol']}.".replace(" .", ".")


def _problem(record: TableFile, number: int, key: str, text: Text, what: str, known: Any) -> Problem:
    return Problem(record.file, text.line, f"feeds[{number + 1}].{key}", what, did_you_mean(text, known))


def check_sort(record: TableFile, columns: Mapping[str, Any], problems: list[Problem]) -> list[str]:
    """The columns that a reader may sort by: those of numbers."""
    numbers = [name for name, column in columns.items() if column["kind"]]
    for name, _ in record.sort:
        if name not in numbers:
            what = f'there is no column of numbers "{name}".'
            problems.append(
                Problem(record.file, name.line, f"sort.{name}", what, did_you_mean(name, numbers))
            )
    return [str(name) for name, _ in record.sort]
