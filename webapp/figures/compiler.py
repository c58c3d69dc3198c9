"""From a FigureFile to a Figure: names, kinds, units and formulas checked, every mistake reported with its line."""

from __future__ import annotations

import ast
import keyword
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from ..content.front_matter import Text
from ..content.records import CheckFile, FigureFile, GiveFile, SayFile, TakeFile
from ..errors import FormulaError, Problem, did_you_mean
from .calculator import rows_known_after
from .checking import how_to_write
from .dimensions import Dimensions
from .emit_js import javascript
from .emit_mathml import mathml, mathml_cases
from .lower import lower
from .model import Check, Column, Figure, Formula, Give, Remedy, Row, Sweep, Take
from .natures import NUMBER, Sort, check_declared
from .numbers import NumberProblem, read_number, read_quantity, split_quantity
from .parse import FUNCTIONS, RESERVED, Parser, cases, read_tree
from .units import Units

# Words of addresses beside the names of inputs and answers: `?solve=rail` asks for an input.
ADDRESS_WORDS = frozenset({"solve"})
MOST_SWEEP_STEPS = 500

# A choice's column that holds words instead of numbers has no sort and may not stand in a formula.
Columns = Mapping[str, Mapping[str, Any]]


@dataclass
class _Scope:
    """Names a formula may use at this point, with their sorts, and the curves it may call."""

    names: dict[str, Sort]
    curves: dict[str, tuple[Sort, Sort]]

    def with_names(self, **more: Sort) -> _Scope:
        return _Scope({**self.names, **more}, self.curves)


class Compiler:
    """Compiles one file. `tables` maps table id -> {"columns": {name: {kind, unit}}, "rows": {row id: …}}."""

    def __init__(self, record: FigureFile, units: Units, tables: Columns, problems: list[Problem]) -> None:
        self.record, self.units, self.tables, self.problems = record, units, tables, problems
        self.scope = _Scope({}, {})
        self.taken: set[str] = set()
        # Names whose own declaration has a problem: what a formula that uses them would be told is untrue.
        self.unsure: set[str] = set()

    def figure(self) -> Figure:
        """The compiled Figure; stand-ins take the place of what had a problem."""
        record = self.record
        takes = tuple(self._take(take) for take in record.takes)
        constants = {str(c.name): self._constant(c.name, c.kind, c.value) for c in record.constants}
        gives = tuple(self._give(give) for give in record.gives)
        self._check_first()
        self._check_unlike(takes)
        self._check_fields(record.estimate, "estimate")
        refuse = tuple(self._refusal(say, gives) for say in record.refuse)
        figure = Figure(
            id=record.id,
            file=record.file,
            part=str(record.part),
            order=record.order,
            takes=takes,
            constants=constants,
            constant_units={
                str(c.name): (str(c.kind), self._unit_of(c.kind, c.value)) for c in record.constants
            },
            gives=gives,
            refuse=refuse,
            warn=tuple(self._row(say, "warn") for say in record.warn),
            verdict=tuple(self._row(say, "verdict", say.level) for say in record.verdict),
            remedies=tuple(self._remedy(remedy, takes, gives) for remedy in record.remedies),
            sweeps=tuple(self._sweep(sweep, takes, gives) for sweep in record.sweeps),
            needs=tuple(str(need) for need in record.needs),
            related=tuple(str(other) for other in record.related),
            checks=tuple(self._check(check, takes, gives) for check in record.checks),
        )
        self._check_last_row(record.verdict, "verdict")
        return figure

    # -- inputs -----------------------------------------------------------------------------------------------------------------

    def _take(self, take: TakeFile) -> Take:
        name = str(take.name)
        self._check_name(take.name, "takes")
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
        return Take(name, kind, str(take.kind), str(take.unit), default, low, high, accuracy, brings=brings)

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
        return Take(name, "choice", table=str(take.choose), default=str(take.value))

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
        self.scope.curves[name] = (self.units.sort_of(across.kind), y)
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
            part = _positive(read_number(share)) / 100
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
        return _positive(reading.number) * float(self.units.table["units"][reading.unit]["factor"])

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

    def _number(self, text: Text, take: TakeFile, at: str) -> float:
        """SI number of a text in the take's unit; a unit behind it is allowed. NaN where it has a problem."""
        if not text:
            return math.nan
        try:
            return float(read_quantity(text, str(take.kind), self.units.table, str(take.unit)).si)
        except NumberProblem as problem:
            self._complain(
                text.line,
                at,
                f'"{text}" is no number of this kind ({problem.code}).',
                how_to_write(problem, f"Write a number in {take.unit}."),
            )
            return math.nan

    # -- answers ----------------------------------------------------------------------------------------------------------------

    def _give(self, give: GiveFile) -> Give:
        name, at = str(give.name), f"gives.{give.name}"
        self._check_name(give.name, "gives")
        shared: dict[str, Any] = {
            "name": name,
            "kind": str(give.kind),
            "unit": str(give.unit),
            "first": give.first,
            "shown": give.shown,
            "unlike": str(give.unlike),
        }
        if give.words:
            rows = tuple(self._row(say, at).when for say in give.words)
            self._check_last_row(give.words, at)
            return Give(**shared, type="words", rows=rows)
        if give.columns:
            return self._series(give, shared, at)
        if not self._known_kind(give.kind, give.unit, at):
            self.unsure.add(name)
            return Give(**shared, type="formula", formula=_NOTHING)
        sort = self.units.sort_of(give.kind)
        made = (
            self._root(give, shared, sort, at)
            if give.equation is not None
            else self._formula_give(give, shared, sort, at)
        )
        self.scope.names[name] = sort
        return made

    def _formula_give(self, give: GiveFile, shared: dict[str, Any], sort: Sort, at: str) -> Give:
        if give.cases:
            return Give(**shared, type="formula", formula=self._cases(give, sort, at))
        formula = _NOTHING
        if give.formula is not None:
            formula = self._formula(give.formula, sort, f"{at}.formula", name=str(give.name))
        return Give(**shared, type="formula", formula=formula)

    def _root(self, give: GiveFile, shared: dict[str, Any], sort: Sort, at: str) -> Give:
        assert give.equation is not None and give.low is not None and give.high is not None
        low, high = (
            self._bound(give.low, give, sort, f"{at}.from"),
            self._bound(give.high, give, sort, f"{at}.to"),
        )
        outer = self.scope
        self.scope = outer.with_names(**{str(give.name): sort})
        where = []
        for name, text in give.where:
            self._check_word(name, f"{at}.where")
            formula, found = self._free_formula(text, f"{at}.where.{name}")
            where.append((str(name), formula))
            self.scope.names[str(name)] = found
        equation = self._equation(give.equation, f"{at}.equation")
        self.scope = outer
        return Give(**shared, type="root", formula=equation, low=low, high=high, where=tuple(where))

    def _bound(self, text: Text, give: GiveFile, sort: Sort, at: str) -> Formula:
        """An end of a bracket: a plain number in the answer's unit, or a formula."""
        try:
            number = read_quantity(text, str(give.kind), self.units.table, str(give.unit)).si
            return Formula(float(number), repr(float(number)))
        except NumberProblem:
            return self._formula(text, sort, at)

    def _series(self, give: GiveFile, shared: dict[str, Any], at: str) -> Give:
        assert give.over is not None
        self._check_word(give.over, f"{at}.over")
        outer, spans = self.scope, self._span(give, at)
        names = {str(give.over): NUMBER}
        if give.table is not None:
            names = self._cells(str(give.over), give.table, f"{at}.of") or {}
        self.scope = outer.with_names(**names)
        columns = self._columns(give, at)
        by = tuple(self._formula(text, NUMBER, f"{at}.by") for text in give.by)
        only = self._condition(give.only, f"{at}.only") if give.only else None
        inner, self.scope = self.scope, outer
        if give.table is not None:
            # What stands in the first of the rows may be used by all that follows.
            outer.names.update({f"{give.name}.{c.name}": inner.names[c.name] for c in columns})
        return Give(
            **shared,
            **spans,
            type="series",
            over=str(give.over),
            only=only,
            columns=columns,
            by=by,
            ranked=bool(give.rank),
            picture=self._picture(give, at),
        )

    def _span(self, give: GiveFile, at: str) -> dict[str, Any]:
        """What a series runs over: whole numbers between two formulas, or a table's rows, of which so many are kept."""
        if give.table is not None:
            if give.most < 0:
                self._complain(
                    give.table.line, f"{at}.most", "is below nought.", "Write how many rows to show."
                )
            return {"table": str(give.table), "most": give.most}
        assert give.start is not None and give.stop is not None
        ends = (self._formula(give.start, NUMBER, f"{at}.from"), self._formula(give.stop, NUMBER, f"{at}.to"))
        return dict(zip(("start", "stop"), ends, strict=True))

    def _columns(self, give: GiveFile, at: str) -> tuple[Column, ...]:
        """A series' columns; each becomes a name for those after it, for the order of the rows and for what they must meet."""
        columns = []
        for column in give.columns:
            self._check_name(column.name, f"{at}.columns")
            if (
                self._known_kind(column.kind, column.unit, f"{at}.columns.{column.name}")
                and column.formula is not None
            ):
                sort = self.units.sort_of(column.kind)
                columns.append(
                    Column(
                        str(column.name),
                        str(column.kind),
                        str(column.unit),
                        self._formula(column.formula, sort, f"{at}.columns.{column.name}"),
                        column.shown,
                    )
                )
                self.scope.names[str(column.name)] = sort
        return tuple(columns)

    def _picture(self, give: GiveFile, at: str) -> tuple[str, str] | None:
        if not give.picture:
            return None
        places = {str(key): str(column) for key, column in give.picture}
        names = [str(column.name) for column in give.columns]
        if set(places) != {"x", "y"} or any(column not in names for column in places.values()):
            self._complain(
                give.picture[0][0].line,
                f"{at}.picture",
                "does not name two columns.",
                'Write "picture: {x: column, y: column}".',
            )
            return None
        return places["x"], places["y"]

    def _cases(self, give: GiveFile, sort: Sort, at: str) -> Formula:
        """A formula with a condition a row; each row's mistakes are reported with the row's own line."""
        values = [
            self._checked(case.formula, f"{at}.cases", lambda tree: self._typed(tree, sort))
            for case in give.cases
        ]
        whens = [self._checked(case.when, f"{at}.cases", self._judged) for case in give.cases[:-1]]
        if None in values or None in whens:
            return _NOTHING
        *rows, (_, otherwise) = zip([*whens, None], values, strict=True)

        def build() -> Formula:
            drawn = [(when[0] if when else None, value[0]) for when, value in (*rows, (None, otherwise))]
            made = cases([(when[1], value[1]) for when, value in rows], otherwise[1])
            return self._finish(made, mathml_cases(str(give.name), drawn))

        return self._guard(give.cases[0].formula, f"{at}.cases", build, _NOTHING)

    def _checked(self, text: Text, at: str, made: Callable[[ast.expr], Any]) -> Any:
        """(tree, expression) of one text, or None after reporting its mistake."""

        def build() -> tuple[ast.expr, Any]:
            tree = read_tree(text)
            return tree, made(tree)

        return self._guard(text, at, build, None)

    # -- rows, remedies, sweeps, checks -----------------------------------------------------------------------------------------

    def _row(self, say: SayFile, at: str, level: str = "") -> Row:
        when = self._condition(say.when, f"{at}.when") if say.when else _ALWAYS
        self._check_fields(say.say, at)
        return Row(when, level=level)

    def _refusal(self, say: SayFile, gives: tuple[Give, ...]) -> Row:
        row = self._row(say, "refuse")
        after = rows_known_after(row, gives)
        # It speaks as soon as its condition can be judged: answers further down have no number then.
        later = {give.name for give in gives[after:]} | {give.name for give in gives if not give.is_numeric}
        for name in sorted(later.intersection(re.findall(r"\{(\w+)\}", say.say))):
            what = f'the sentence names "{{{name}}}", which is not worked out yet when it refuses.'
            self._complain(
                say.say.line, "refuse", what, "Name only inputs and answers that its condition uses."
            )
        return Row(row.when, after)

    def _remedy(self, remedy: Any, takes: tuple[Take, ...], gives: tuple[Give, ...]) -> Remedy:
        numeric = [take.name for take in takes if take.is_numeric]
        self._check_one_of(remedy.solve, numeric, "remedies.solve")
        self._check_one_of(remedy.answer, [give.name for give in gives if give.is_numeric], "remedies.for")
        self._check_fields(remedy.say, "remedies.say")
        sort = self.scope.names.get(str(remedy.answer))
        return Remedy(
            str(remedy.solve),
            str(remedy.answer),
            self._formula(remedy.equals, sort, "remedies.equals"),
            self._condition(remedy.when, "remedies.when"),
        )

    def _sweep(self, sweep: Any, takes: tuple[Take, ...], gives: tuple[Give, ...]) -> Sweep:
        self._check_one_of(sweep.over, [take.name for take in takes if take.is_numeric], "sweeps.over")
        for name in sweep.draw:
            self._check_one_of(name, [give.name for give in gives if give.is_numeric], "sweeps.draw")
        if not 1 <= sweep.steps <= MOST_SWEEP_STEPS:
            what = f"a sweep of {sweep.steps} steps cannot be drawn."
            self._complain(sweep.over.line, "sweeps.steps", what, f"Write 1 to {MOST_SWEEP_STEPS} steps.")
        sort = self.scope.names.get(str(sweep.over))
        outer = self.scope
        # Its ends are worked out before any answer is.
        answers = {give.name for give in gives}
        self.scope = _Scope({name: known for name, known in outer.names.items() if name not in answers}, {})
        start, stop = (
            self._formula(text, sort, f"sweeps.{key}")
            for key, text in (("from", sweep.start), ("to", sweep.stop))
        )
        self.scope = outer
        return Sweep(str(sweep.over), start, stop, sweep.steps, tuple(str(name) for name in sweep.draw))

    def _check(self, check: CheckFile, takes: tuple[Take, ...], gives: tuple[Give, ...]) -> Check:
        for name, text in check.given:
            self._check_one_of(name, [take.name for take in takes], "checks.given")
            table = next((take.table for take in takes if take.name == name and take.table), "")
            if table:
                self._check_one_of(text, list(self.tables[table]["rows"]), f"checks.given.{name}")
        for name, _ in check.expect:
            self._check_one_of(name, [give.name for give in gives if give.is_numeric], "checks.expect")
        within = self._within(check.within)
        given, expect = (
            {str(name): str(text) for name, text in pairs} for pairs in (check.given, check.expect)
        )
        return Check(given, expect, within, str(check.source), check.line)

    def _within(self, text: Text) -> tuple[str, float, str]:
        """('share', 0.001, '') for '0.1 %', ('flat', 0.05, 'kPa') for '0.05 kPa'."""
        if not text:
            return ("share", 0.0, "")
        number, unit = split_quantity(text)
        try:
            value = _positive(read_number(number))
        except NumberProblem as problem:
            self._complain(
                text.line,
                "checks.within",
                f'"{text}" is no tolerance ({problem.code}).',
                'Write "0.1 %" or "0.05 kPa".',
            )
            return ("share", 0.0, "")
        return ("share", value / 100, "") if unit == "%" else ("flat", value, unit)

    def _check_first(self) -> None:
        """Exactly one answer, and one that is a number or a word, stands first."""
        gives = self.record.gives
        firsts = [give for give in gives if give.first]
        if gives and (len(firsts) != 1 or firsts[0].columns):
            place = firsts[1] if len(firsts) > 1 else firsts[0] if firsts else gives[0]
            self._complain(
                place.name.line,
                "gives",
                "not exactly one answer is marked first.",
                'Mark the main answer, which is no list, with "first: true".',
            )

    def _check_unlike(self, takes: tuple[Take, ...]) -> None:
        """An answer can stand in a unit unlike an input's only if both are of one kind, and that has two units."""
        for give in self.record.gives:
            kinds = [take.kind for take in takes if take.name == give.unlike]
            if not give.unlike or not self.units.has_kind(give.kind):
                continue
            if kinds != [give.kind] or len(self.units.table["kinds"][give.kind]["units"]) < 2:
                what = f'"{give.unlike}" is no input of this kind with a second unit.'
                self._complain(
                    give.unlike.line, f"gives.{give.name}.unlike", what, "Name an input of the same kind."
                )

    def _check_last_row(self, rows: list[SayFile], at: str) -> None:
        """The last row, and no other, must always hold: else there is no word for some numbers, or one that is never said."""
        for row in rows[:-1]:
            if not row.when:
                self._complain(
                    row.say.line,
                    at,
                    "a row above the last has no condition.",
                    "Give it one, or move it to the end.",
                )
        if rows and rows[-1].when:
            self._complain(
                rows[-1].when.line,
                at,
                "the last row has a condition.",
                "End the list with a row that always holds.",
            )

    def _check_fields(self, say: Text, at: str) -> None:
        """Every {name} in a sentence must be an input, an answer or a constant that has a text to put in."""
        known = (
            {str(t.name) for t in self.record.takes if not t.across}
            | {str(g.name) for g in self.record.gives if not g.columns or g.table}
            | {str(c.name) for c in self.record.constants}
        )
        if re.search(r"[{}]", re.sub(r"\{\w+\}", "", say)):
            self._complain(
                say.line, at, "the sentence has a brace that holds no name.", "Write it as in {name}."
            )
        for name in re.findall(r"\{(\w+)\}", say):
            if name not in known:
                self._complain(
                    say.line,
                    at,
                    f'the sentence names "{{{name}}}", which is neither input nor answer.',
                    did_you_mean(name, known),
                )

    def _check_one_of(self, name: Text, known: list[str], at: str) -> None:
        if name and name not in known:
            self._complain(name.line, at, f'"{name}" is not declared.', did_you_mean(name, known))

    # -- formulas ---------------------------------------------------------------------------------------------------------------

    def _formula(self, text: Text, sort: Sort | None, at: str, name: str = "") -> Formula:
        """The formula of a text that must be of `sort`; None for any, where what asks for it is itself unknown."""

        def build() -> Formula:
            tree = read_tree(text)
            return self._finish(self._typed(tree, sort), mathml(name, tree))

        return self._guard(text, at, build, _NOTHING)

    def _free_formula(self, text: Text, at: str) -> tuple[Formula, Sort]:
        """A local formula, whose sort is whatever comes out."""

        def build() -> tuple[Formula, Sort]:
            tree = read_tree(text)
            expression = self._parser().expression(tree)
            return self._finish(expression, ""), self._dimensions().of(tree)

        return self._guard(text, at, build, (_NOTHING, NUMBER))

    def _equation(self, text: Text, at: str) -> Formula:
        """'left == right' as left - right, both sides of one kind."""

        def build() -> Formula:
            tree = read_tree(text)
            if not isinstance(tree, ast.Compare) or len(tree.ops) != 1 or not isinstance(tree.ops[0], ast.Eq):
                raise FormulaError(
                    "the equation has no == between two sides.", 'Write it as "left == right".'
                )
            self._dimensions().check_condition(tree)
            left, right = (self._parser().expression(side) for side in (tree.left, tree.comparators[0]))
            return self._finish(_minus(left, right), mathml("", tree))

        return self._guard(text, at, build, _NOTHING)

    def _condition(self, text: Text, at: str) -> Formula:
        return self._guard(text, at, lambda: self._finish(self._judged(read_tree(text)), ""), _ALWAYS)

    def _typed(self, tree: ast.expr, sort: Sort | None) -> Any:
        expression = self._parser().expression(tree)
        found = self._dimensions().of(tree)
        if sort is not None:
            check_declared(found, sort)
        return expression

    def _judged(self, tree: ast.expr) -> Any:
        condition = self._parser().condition(tree)
        self._dimensions().check_condition(tree)
        return condition

    def _parser(self) -> Parser:
        return Parser(self.scope.names, self.scope.curves)

    def _dimensions(self) -> Dimensions:
        return Dimensions(self.scope.names, self.scope.curves)

    def _finish(self, expression: Any, drawn: str) -> Formula:
        names = tuple(sorted(str(symbol.name) for symbol in expression.free_symbols))
        return Formula(lower(expression), javascript(expression), drawn, names)

    def _guard(self, text: Text, at: str, build: Callable[[], Any], otherwise: Any) -> Any:
        """What `build` makes of a text, or `otherwise` after reporting its mistake; a missing text is reported already."""
        if not text:
            return otherwise
        try:
            return build()
        except FormulaError as error:
            words = {
                part for word in re.findall(r"\w+(?:\.\w+)?", text) for part in (word, word.split(".")[0])
            }
            if not self.unsure & words:
                self._complain(text.line, at, error.what, error.mend)
            return otherwise

    # -- names and kinds --------------------------------------------------------------------------------------------------------

    def _check_name(self, name: Text, at: str) -> None:
        """Complain of a name that cannot stand for an input, a constant, an answer or a column of one."""
        self._check_word(name, at)
        self.taken.add(str(name))

    def _check_word(self, name: Text, at: str) -> None:
        """The same for a name that counts inside one answer only."""
        is_word = re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*", name) and not keyword.iskeyword(name)
        if not is_word or name in RESERVED or name in FUNCTIONS or name in ADDRESS_WORDS:
            self._complain(
                name.line,
                f"{at}.{name}",
                "this name cannot be used in a formula.",
                "Use small letters, digits and _, and no word of the formula language.",
            )
        elif name in self.taken:
            self._complain(name.line, f"{at}.{name}", "this name is taken already.", "Choose another.")

    def _known_kind(self, kind: Text, unit: Text | None, at: str) -> bool:
        """Whether kind and unit are known and fit; what is missing altogether is reported already."""
        if not kind or unit == "":
            return False
        if not self.units.has_kind(kind):
            self._complain(
                kind.line, f"{at}.kind", f'there is no kind "{kind}".', did_you_mean(kind, self.units.kinds)
            )
            return False
        listed = self.units.table["kinds"][kind]["units"]
        if unit is not None and unit not in listed:
            self._complain(
                unit.line, f"{at}.in", f'"{unit}" is no unit of {kind}.', did_you_mean(unit, listed)
            )
            return False
        return bool(listed)

    def _complain(self, line: int, key: str, what: str, mend: str) -> None:
        self.problems.append(Problem(self.record.file, line, key, what, mend))


def _positive(number: float) -> float:
    """A width, which cannot be below nought."""
    if number < 0:
        raise NumberProblem("negative")
    return number


def _minus(left: Any, right: Any) -> Any:
    import sympy

    return sympy.Add(left, sympy.Mul(sympy.Integer(-1), right, evaluate=False), evaluate=False)


_NOTHING = Formula(0, "0")
_ALWAYS = Formula(["true"], "true")
