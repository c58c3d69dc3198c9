"""Inputs and constants of a Figure's file: kinds, units, ranges, accuracies, choices, curves."""

from __future__ import annotations

import math
from itertools import pairwise

from ..content.front_matter import Text
from ..content.records import TakeFile
from ..errors import did_you_mean
from .checking import how_to_write
from .formula_compiler import FormulaCompiler, positive
from .model import Take
from .natures import Sort
from .numbers import NumberProblem, read_number, read_quantity, split_quantity


class TakesCompiler(FormulaCompiler):
    """Adds inputs and constants to what formulas may name."""

    def _take(self, take: TakeFile) -> Take:
        name = str(take.name)
        self._check_name(take.name, "takes")
        setup = str(take.setup or "")
        if take.choose:
            return self._choice(take)
        if not self._known_kind(take.kind, take.unit, f"takes.{name}"):
            self.unsure.add(name)
            return Take(name, "quantity", "ratio", "×", 0.0)
        sort = self.units.sort_of(take.kind)
        if take.across:
            return self._curve(take, sort)
        self.scope.names[name] = sort
        brings = (
            str(take.value)
            if "." in take.value
            and take.value.split(".")[0] in {str(t.name) for t in self.record.takes if t.choose}
            else ""
        )
        at = f"takes.{name}"
        low, high = self._number(take.low, take, f"{at}.from"), self._number(take.high, take, f"{at}.to")
        default = self._brought(brings, take) if brings else self._number(take.value, take, f"{at}.value")
        kind = "count" if take.kind == "count" else "quantity"
        # A number that could not be read is NaN: no comparison with it holds, so it is not complained of twice.
        if low >= high:
            self._complain(
                take.low.line, at, "from is not below to.", "Give the range from its low to its high end."
            )
        elif default < low or default > high:
            self._complain(
                take.value.line, at, "value lies outside from … to.", "Correct the value or the range."
            )
        elif kind == "count" and abs(default - round(default, 0)) > 0:
            self._complain(take.value.line, at, "value is no whole number.", "Count with whole numbers.")
        accuracy = self._accuracy(take, at) if take.accuracy else None
        return Take(
            name,
            kind,
            str(take.kind),
            str(take.unit),
            default,
            low,
            high,
            accuracy,
            brings=brings,
            setup=setup,
        )

    def _choice(self, take: TakeFile) -> Take:
        name, at = str(take.name), f"takes.{take.name}"
        cells = self._cells(name, take.choose, f"{at}.choose")
        if cells is None:
            return Take(name, "choice", table="", default="")
        self.scope.names.update(cells)
        rows = self.tables[str(take.choose)]["rows"]
        if rows and take.value not in rows:
            self._complain(
                take.value.line,
                f"{at}.value",
                f'"{take.value}" is no row of that table.',
                did_you_mean(take.value, rows),
            )
        return Take(
            name, "choice", table=str(take.choose), default=str(take.value), setup=str(take.setup or "")
        )

    def _cells(self, name: str, table_id: Text, at: str) -> dict[str, Sort] | None:
        """Sorts of a row's numbers as formulas name them, `name.column`; None after reporting that there is no such table."""
        table = self.tables.get(str(table_id))
        if table is None:
            self._complain(
                table_id.line, at, f'there is no table "{table_id}".', did_you_mean(table_id, self.tables)
            )
            self.unsure.add(name)
            return None
        kinds = {
            f"{name}.{column}": spec["kind"] for column, spec in table["columns"].items() if spec["kind"]
        }
        self.unsure.update(cell for cell, kind in kinds.items() if not self.units.has_kind(kind))
        return {cell: self.units.sort_of(kind) for cell, kind in kinds.items() if self.units.has_kind(kind)}

    def _brought(self, brings: str, take: TakeFile) -> float:
        choice, column = brings.split(".", 1)
        source = next(t for t in self.record.takes if t.name == choice)
        if choice in self.unsure or brings in self.unsure:
            return math.nan
        table = self.tables[str(source.choose)]
        spec = table["columns"].get(column)
        at = f"takes.{take.name}.value"
        if not spec or not spec["kind"]:
            self._complain(
                take.value.line,
                at,
                f'"{brings}" is no column of numbers.',
                "Name a column of the table that the choice picks from.",
            )
            return math.nan
        if self.units.sort_of(spec["kind"]) != self.units.sort_of(take.kind):
            self._complain(
                take.value.line,
                at,
                f'"{brings}" is of another kind than this input.',
                "Bring a column of the same kind.",
            )
            return math.nan
        if source.value not in table["rows"]:
            return math.nan
        value = table["rows"][str(source.value)].get(column)
        if not isinstance(value, float):
            self._complain(
                take.value.line,
                at,
                f'the row "{source.value}" has no number in that column.',
                "Fill the cell or choose another default row.",
            )
            return math.nan
        return value

    def _curve(self, take: TakeFile, y: Sort) -> Take:
        name, across = str(take.name), take.across
        assert across is not None
        if not self._known_kind(across.kind, across.unit, f"takes.{name}.across"):
            self.unsure.add(name)
            return Take(name, "points", str(take.kind), str(take.unit), [], method=take.method)
        x = self.units.sort_of(across.kind)
        self.scope.curves[name] = (x, y)
        self.scope.names.update({f"{name}.start": x, f"{name}.end": x})
        at = f"takes.{name}"
        points = [self._point(point, take, across, f"{at}.points") for point in take.points]
        fallen = [
            text.line for text, (a, b) in zip(take.points[1:], pairwise(points), strict=False) if a[0] >= b[0]
        ]
        if take.points and (len(points) < 2 or fallen):
            self._complain(
                fallen[0] if fallen else take.points[0].line,
                f"{at}.points",
                "the points do not rise.",
                'Give two or more "x: y" points with rising x.',
            )
        low, high = self._number(take.low, take, f"{at}.from"), self._number(take.high, take, f"{at}.to")
        limits = {
            "low": self._number(across.low, across, f"{at}.across.from"),
            "high": self._number(across.high, across, f"{at}.across.to"),
        }
        self._check_points(points, take, (limits["low"], limits["high"]), (low, high))
        return Take(
            name,
            "points",
            str(take.kind),
            str(take.unit),
            points,
            low,
            high,
            across={"kind": str(across.kind), "unit": str(across.unit), **limits},
            method=take.method,
        )

    def _point(self, point: Text, take: TakeFile, across: TakeFile, at: str) -> list[float]:
        """[x, y] of a text such as '250: 100'."""
        x, _, y = point.partition(":")
        if not (x.strip() and y.strip()):
            self._complain(point.line, at, f'"{point}" is no point.', 'Write it as "x: y".')
            return [math.nan, math.nan]
        return [
            self._number(Text(part.strip(), point.line), side, at) for part, side in ((x, across), (y, take))
        ]

    def _check_points(
        self,
        points: list[list[float]],
        take: TakeFile,
        x_span: tuple[float, float],
        y_span: tuple[float, float],
    ) -> None:
        for text, point in zip(take.points, points, strict=True):
            for value, (low, high) in zip(point, (x_span, y_span), strict=True):
                if value < low or value > high:
                    at = f"takes.{take.name}.points"
                    what = f'the point "{text}" lies outside from … to.'
                    self._complain(text.line, at, what, "Correct the point or the range.")

    def _accuracy(self, take: TakeFile, at: str) -> tuple[str, float] | None:
        """'2 %' of the value, '0.5 psi', or '1.5 % of 60 psi'."""
        share, percent, scale = take.accuracy.partition("%")
        try:
            if not percent:
                return ("flat", self._width(take.accuracy, take))
            part = positive(read_number(share)) / 100
            if not scale.strip():
                return ("share", part)
            return (
                "flat",
                part * self._width(Text(scale.strip().removeprefix("of "), take.accuracy.line), take),
            )
        except NumberProblem as problem:
            self._complain(
                take.accuracy.line,
                f"{at}.accuracy",
                f'"{take.accuracy}" is no accuracy ({problem.code}).',
                'Write "2 %", "0.5 psi" or "1.5 % of 60 psi".',
            )
            return None

    def _width(self, text: Text, take: TakeFile) -> float:
        """SI width of an accuracy: a width of a temperature reading has no offset."""
        reading = read_quantity(text, str(take.kind), self.units.table, str(take.unit))
        if not self._has_unit(text, take.kind):
            raise NumberProblem("no_unit")
        return positive(reading.number) * float(self.units.table["units"][reading.unit]["factor"])

    def _constant(self, name: Text, kind: Text, value: Text) -> float:
        self._check_name(name, "constants")
        if not self._known_kind(kind, None, f"constants.{name}"):
            self.unsure.add(str(name))
            return math.nan
        self.scope.names[str(name)] = self.units.sort_of(kind)
        default = self._default_unit(kind)
        if not value:
            return math.nan
        at = f"constants.{name}.value"
        try:
            si = float(read_quantity(value, str(kind), self.units.table, default).si)
            if not self._has_unit(value, kind):
                self._complain(
                    value.line, at, f'"{value}" has no unit.', f'Write it as in "{value} {default}".'
                )
            return si
        except NumberProblem as problem:
            self._complain(
                value.line,
                at,
                f'"{value}" cannot be read ({problem.code}).',
                how_to_write(problem, "Write the number and a unit of its kind."),
            )
            return math.nan

    def _has_unit(self, text: str, kind: str) -> bool:
        """Whether a unit stands behind the number, or none is needed: a ratio's, or the only one of a kind without dimension."""
        only = len(self.units.table["kinds"][kind]["units"]) == 1 and self.units.sort_of(kind).is_number
        return (
            bool(split_quantity(text)[1])
            or only
            or "" in self.units.table["units"][self._default_unit(kind)]["names"]
        )

    def _default_unit(self, kind: str) -> str:
        return str(self.units.table["kinds"][kind]["units"][0])

    def _unit_of(self, kind: Text, value: Text) -> str:
        """Id of the unit that a constant is written in; '' where that has a problem, which is reported already."""
        try:
            return str(read_quantity(value, str(kind), self.units.table, self._default_unit(kind)).unit)
        except (NumberProblem, KeyError, IndexError):
            return ""
