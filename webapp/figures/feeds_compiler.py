"""Checks what a table's file says of the Figures that its rows can be put into, and of the columns it can be sorted by."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from ..content.front_matter import Text
from ..content.records import FeedFile, TableFile
from ..errors import Problem, did_you_mean
from .feeds import FIXED, ROW, Tables, Units, fixed_text, is_usable, number_in, query_of
from .model import Figure, Take


class FeedsCompiler:
    """One table's `feeds`, checked against the Figures that they name. Adds to `problems` what does not fit."""

    def __init__(
        self,
        record: TableFile,
        figures: Mapping[str, Figure],
        tables: Tables,
        units: Units,
        problems: list[Problem],
    ) -> None:
        self.record, self.figures, self.problems = record, figures, problems
        self.tables, self.units = tables, units
        self.table = tables[record.id]
        self._path = ""

    def feeds(self) -> list[dict[str, Any]]:
        """[{figure, fills: {input: what fills it}}] in the order of the file."""
        return [self._feed(number, feed) for number, feed in enumerate(self.record.feeds, 1)]

    def _feed(self, number: int, feed: FeedFile) -> dict[str, Any]:
        self._path, before = f"feeds[{number}]", len(self.problems)
        made = {"figure": str(feed.figure), "fills": {str(name): str(text) for name, text in feed.fills}}
        figure = self.figures.get(feed.figure)
        if figure is None:
            self._guess("figure", feed.figure, f'there is no Figure "{feed.figure}".', self.figures)
            return made
        for name, filler in feed.fills:
            self._check_fill(figure, name, filler)
        if len(self.problems) == before and not self._has_a_row(made, figure):
            what = f'no row of this table can be put into "{feed.figure}".'
            self._complain("", feed.figure, what, "Fill another input, or remove the line.")
        return made

    def _has_a_row(self, made: Mapping[str, Any], figure: Figure) -> bool:
        """Whether some row goes in: a line that no row can use is a slip."""
        rows = self.table["rows"]
        return any(query_of(made, row, self.table, figure, self.tables, self.units) for row in rows)

    def _check_fill(self, figure: Figure, name: Text, filler: Text) -> None:
        """The input is there, what fills it is there, and the two are of one kind."""
        known = {take.name: take for take in figure.takes if take.type != "points"}
        take, key = known.get(name), f"fills.{name}"
        if take is None:
            self._guess(key, name, f'the Figure "{figure.id}" has no input "{name}".', known)
        elif fixed_text(filler) is not None:
            self._check_fixed(figure, take, key, filler)
        elif filler == ROW:
            if take.type != "choice":
                what = "the input is no choice, so no row can be its value."
                self._guess(key, filler, what, self.table["columns"])
        elif filler not in self.table["columns"]:
            what = f'there is no column "{filler}".'
            self._guess(key, filler, what, [*self.table["columns"], ROW])
        else:
            self._check_column(take, key, filler)

    def _check_fixed(self, figure: Figure, take: Take, key: str, filler: Text) -> None:
        text = fixed_text(filler) or ""
        if is_usable(figure, take, text, self.tables, self.units):
            return
        what = f'"{text}" is nothing that this input takes.'
        if take.table:
            self._guess(key, filler, what, self.tables[take.table]["rows"])
        else:
            unit = self.units["units"][take.unit]
            low, high = (number_in(end, unit) for end in (take.low, take.high))
            span = f"from {low:g} to {high:g} {unit['symbol']}".strip()
            self._complain(key, filler, what, f"Write {FIXED} and a number {span}.")

    def _check_column(self, take: Take, key: str, filler: Text) -> None:
        columns = self.table["columns"]
        kind = columns[filler]["kind"]
        if take.type == "choice":
            what = "the input is a choice, which a column cannot fill."
            self._complain(key, filler, what, f'Write "{take.name}: {ROW}".')
        elif kind and kind != take.kind:
            what = f"the column holds a {kind}, the input takes a {take.kind}."
            fit = [name for name, column in columns.items() if column["kind"] == take.kind]
            mend = did_you_mean(filler, fit) if fit else "Fill another input."
            self._complain(key, filler, what, mend)

    def _guess(self, key: str, text: Text, what: str, known: Iterable[str]) -> None:
        self._complain(key, text, what, did_you_mean(text, known))

    def _complain(self, key: str, text: Text, what: str, mend: str) -> None:
        path = f"{self._path}.{key}".rstrip(".")
        self.problems.append(Problem(self.record.file, text.line, path, what, mend))


def sort_columns(record: TableFile, columns: Mapping[str, Any], problems: list[Problem]) -> list[str]:
    """The columns that a reader may sort by: those of numbers."""
    numbers = [name for name, column in columns.items() if column["kind"]]
    for name, _ in record.sort:
        if name not in numbers:
            what, mend = f'there is no column of numbers "{name}".', did_you_mean(name, numbers)
            problems.append(Problem(record.file, name.line, f"sort.{name}", what, mend))
    return [str(name) for name, _ in record.sort]
