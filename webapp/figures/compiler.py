"""From a FigureFile to a Figure: names, kinds, units and formulas checked, every mistake reported with its line."""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from ..content.front_matter import Text
from ..content.records import CheckFile, FigureFile, GiveFile, SayFile, TakeFile
from ..errors import FormulaError, Problem, did_you_mean
from .calculator import rows_known_after
from .dimensions import Dimensions
from .emit_js import javascript
from .emit_mathml import mathml, mathml_cases
from .lower import lower
from .model import Check, Column, Figure, Formula, Give, Remedy, Row, Sweep, Take
from .natures import NUMBER, Sort, check_declared
from .numbers import NumberProblem, read_number, read_quantity
from .parse import FUNCTIONS, RESERVED, Parser, cases, read_tree
from .units import Units

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

    def figure(self) -> Figure:
        """The compiled Figure; stand-ins take the place of what had a problem."""
        record = self.record
        takes = tuple(self._take(take) for take in record.takes)
        constants = {str(c.name): self._constant(c.name, c.kind, c.value) for c in record.constants}
        gives = tuple(self._give(give) for give in record.gives)
        self._check_first(gives)
        names = [str(give.name) for give in gives]
        refuse = tuple(self._refusal(say, gives) for say in record.refuse)
        figure = Figure(
            id=record.id,
            file=record.file,
            part=str(record.part),
            order=record.order,
            takes=takes,
            constants=constants,
            constant_units={str(c.name): (str(c.kind), self._unit_of(c.value)) for c in record.constants},
            gives=gives,
            refuse=refuse,
            warn=tuple(self._row(say, "warn") for say in record.warn),
            verdict=tuple(self._row(say, "verdict", say.level) for say in record.verdict),
            remedies=tuple(self._remedy(remedy, takes, names) for remedy in record.remedies),
            sweeps=tuple(self._sweep(sweep, takes, names) for sweep in record.sweeps),
            needs=tuple(str(need) for need in record.needs),
            related=tuple(str(other) for other in record.related),
            special=str(record.special),
            checks=tuple(self._check(check, takes, gives) for check in record.checks),
        )
        if record.verdict and record.verdict[-1].when:
            self._complain(
                record.verdict[-1].when.line,
                "verdict",
                "the last verdict has a condition.",
                "End the list with a verdict that always holds.",
            )
        return figure

    # -- inputs -----------------------------------------------------------------------------------------------------------------

    def _take(self, take: TakeFile) -> Take:
        name = str(take.name)
        self._check_name(take.name, "takes")
        if take.choose:
            return self._choice(take)
        if not self._known_kind(take.kind, take.unit, f"takes.{name}"):
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
        if not low < high:
            self._complain(
                take.low.line, at, "from is not below to.", "Give the range from its low to its high end."
            )
        elif not low <= default <= high:
            self._complain(
                take.value.line, at, "value lies outside from … to.", "Correct the value or the range."
            )
        accuracy = self._accuracy(take, at) if take.accuracy else None
        kind = "count" if take.kind == "count" else "quantity"
        return Take(name, kind, str(take.kind), str(take.unit), default, low, high, accuracy, brings=brings)

    def _choice(self, take: TakeFile) -> Take:
        name, at = str(take.name), f"takes.{take.name}"
        table = self.tables.get(str(take.choose))
        if table is None:
            self._complain(
                take.choose.line,
                f"{at}.choose",
                f'there is no table "{take.choose}".',
                did_you_mean(take.choose, self.tables),
            )
            return Take(name, "choice", table="", default="")
        for column, spec in table["columns"].items():
            if spec["kind"]:
                self.scope.names[f"{name}.{column}"] = self.units.sort_of(spec["kind"])
        if take.value not in table["rows"]:
            self._complain(
                take.value.line,
                f"{at}.value",
                f'"{take.value}" is no row of that table.',
                did_you_mean(take.value, table["rows"]),
            )
        return Take(name, "choice", table=str(take.choose), default=str(take.value))

    def _brought(self, brings: str, take: TakeFile) -> float:
        choice, column = brings.split(".", 1)
        source = next(t for t in self.record.takes if t.name == choice)
        table = self.tables.get(str(source.choose), {"columns": {}, "rows": {}})
        spec = table["columns"].get(column)
        at = f"takes.{take.name}.value"
        if not spec or not spec["kind"]:
            self._complain(
                take.value.line,
                at,
                f'"{brings}" is no column of numbers.',
                "Name a column of the table that the choice picks from.",
            )
            return self._number(take.low, take, at)
        if self.units.sort_of(spec["kind"]).dimension != self.units.sort_of(take.kind).dimension:
            self._complain(
                take.value.line,
                at,
                f'"{brings}" is of another kind than this input.',
                "Bring a column of the same kind.",
            )
        value = table["rows"].get(str(source.value), {}).get(column)
        if not isinstance(value, float):
            self._complain(
                take.value.line,
                at,
                f'the row "{source.value}" has no number in that column.',
                "Fill the cell or choose another default row.",
            )
            return self._number(take.low, take, at)
        return value

    def _curve(self, take: TakeFile, y: Sort) -> Take:
        name, across = str(take.name), take.across
        assert across is not None
        if not self._known_kind(across.kind, across.unit, f"takes.{name}.across"):
            return Take(name, "points", str(take.kind), str(take.unit), [], method=take.method)
        self.scope.curves[name] = (self.units.sort_of(across.kind), y)
        points = []
        for point in take.points:
            x, _, value = point.partition(":")
            points.append(
                [
                    self._number(Text(x.strip(), point.line), across, f"takes.{name}.points"),
                    self._number(Text(value.strip(), point.line), take, f"takes.{name}.points"),
                ]
            )
        if len(points) < 2 or any(a[0] >= b[0] for a, b in pairwise(points)):
            self._complain(
                take.name.line,
                f"takes.{name}.points",
                "the points do not rise.",
                'Give two or more "x: y" points with rising x.',
            )
        low, high = (self._number(text, take, f"takes.{name}") for text in (take.low, take.high))
        limits = {
            "low": self._number(across.low, across, name),
            "high": self._number(across.high, across, name),
        }
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

    def _accuracy(self, take: TakeFile, at: str) -> tuple[str, float] | None:
        """'2 %' of the value, '0.5 psi', or '1.5 % of 60 psi'."""
        share, percent, scale = take.accuracy.partition("%")
        try:
            if not percent:
                return ("flat", self._width(take.accuracy, take))
            part = read_number(share) / 100
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
        return abs(reading.number) * float(self.units.table["units"][reading.unit]["factor"])

    def _constant(self, name: Text, kind: Text, value: Text) -> float:
        self._check_name(name, "constants")
        if not self._known_kind(kind, None, f"constants.{name}"):
            return 0.0
        self.scope.names[str(name)] = self.units.sort_of(kind)
        try:
            return float(
                read_quantity(
                    value, str(kind), self.units.table, self.units.table["kinds"][kind]["units"][0]
                ).si
            )
        except NumberProblem as problem:
            self._complain(
                value.line,
                f"constants.{name}.value",
                f'"{value}" cannot be read ({problem.code}).',
                "Write the number and a unit of its kind.",
            )
            return 0.0

    def _unit_of(self, value: Text) -> str:
        kind = next((c.kind for c in self.record.constants if c.value == value), Text("", 0))
        if not self.units.has_kind(kind):
            return ""
        try:
            return str(
                read_quantity(
                    value, str(kind), self.units.table, self.units.table["kinds"][kind]["units"][0]
                ).unit
            )
        except NumberProblem:
            return ""

    def _number(self, text: Text, take: TakeFile, at: str) -> float:
        """SI number of a text in the take's unit; a unit behind it is allowed."""
        try:
            return float(read_quantity(text, str(take.kind), self.units.table, str(take.unit)).si)
        except NumberProblem as problem:
            self._complain(
                text.line,
                at,
                f'"{text}" is no number of this kind ({problem.code}).',
                f"Write a number in {take.unit}.",
            )
            return 0.0

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
            return Give(**shared, type="words", rows=rows)
        if give.columns:
            return self._series(give, shared, at)
        if not self._known_kind(give.kind, give.unit, at):
            self.scope.names[name] = NUMBER
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
        assert give.formula is not None
        return Give(
            **shared,
            type="formula",
            formula=self._formula(give.formula, sort, f"{at}.formula", name=str(give.name)),
        )

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
        assert give.over is not None and give.start is not None and give.stop is not None
        start, stop = (
            self._formula(give.start, NUMBER, f"{at}.from"),
            self._formula(give.stop, NUMBER, f"{at}.to"),
        )
        outer = self.scope
        self.scope = outer.with_names(**{str(give.over): NUMBER})
        columns = []
        for column in give.columns:
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
                    )
                )
        self.scope = outer
        return Give(
            **shared, type="series", over=str(give.over), start=start, stop=stop, columns=tuple(columns)
        )

    def _cases(self, give: GiveFile, sort: Sort, at: str) -> Formula:
        def build() -> Formula:
            rows, drawn = [], []
            for case in give.cases:
                tree = read_tree(case.formula)
                value = self._typed(tree, sort)
                condition = read_tree(case.when) if case.when else None
                if condition is not None:
                    rows.append((self._judged(condition), value))
                drawn.append((condition, tree))
            return self._finish(cases(rows, value), mathml_cases(str(give.name), drawn))

        return self._guard(give.cases[0].formula.line, f"{at}.cases", build, _NOTHING)

    # -- rows, remedies, sweeps, checks -----------------------------------------------------------------------------------------

    def _row(self, say: SayFile, at: str, level: str = "") -> Row:
        when = self._condition(say.when, f"{at}.when") if say.when else _ALWAYS
        self._check_fields(say.say, at)
        return Row(when, level=level)

    def _refusal(self, say: SayFile, gives: tuple[Give, ...]) -> Row:
        row = self._row(say, "refuse")
        return Row(row.when, rows_known_after(row, gives))

    def _remedy(self, remedy: Any, takes: tuple[Take, ...], gives: list[str]) -> Remedy:
        numeric = [take.name for take in takes if take.is_numeric]
        self._check_one_of(remedy.solve, numeric, "remedies.solve")
        self._check_one_of(remedy.answer, gives, "remedies.for")
        sort = self.scope.names.get(str(remedy.answer), NUMBER)
        return Remedy(
            str(remedy.solve),
            str(remedy.answer),
            self._formula(remedy.equals, sort, "remedies.equals"),
            self._condition(remedy.when, "remedies.when"),
        )

    def _sweep(self, sweep: Any, takes: tuple[Take, ...], gives: list[str]) -> Sweep:
        self._check_one_of(sweep.over, [take.name for take in takes if take.is_numeric], "sweeps.over")
        for name in sweep.draw:
            self._check_one_of(name, gives, "sweeps.draw")
        sort = self.scope.names.get(str(sweep.over), NUMBER)
        start, stop = (self._formula(text, sort, "sweeps") for text in (sweep.start, sweep.stop))
        return Sweep(str(sweep.over), start, stop, sweep.steps, tuple(str(name) for name in sweep.draw))

    def _check(self, check: CheckFile, takes: tuple[Take, ...], gives: tuple[Give, ...]) -> Check:
        for name, _ in check.given:
            self._check_one_of(name, [take.name for take in takes], "checks.given")
        for name, _ in check.expect:
            self._check_one_of(name, [give.name for give in gives], "checks.expect")
        within = self._within(check.within)
        given, expect = (
            {str(name): str(text) for name, text in pairs} for pairs in (check.given, check.expect)
        )
        return Check(given, expect, within, str(check.source), check.line)

    def _within(self, text: Text) -> tuple[str, float, str]:
        """('share', 0.001, '') for '0.1 %', ('flat', 0.05, 'kPa') for '0.05 kPa'."""
        number, _, unit = text.partition(" ")
        try:
            value = read_number(number)
        except NumberProblem as problem:
            self._complain(
                text.line,
                "checks.within",
                f'"{text}" is no tolerance ({problem.code}).',
                'Write "0.1 %" or "0.05 kPa".',
            )
            return ("share", 0.0, "")
        return ("share", value / 100, "") if unit == "%" else ("flat", value, unit)

    def _check_first(self, gives: tuple[Give, ...]) -> None:
        firsts = [give for give in gives if give.first]
        if len(firsts) != 1 or firsts[0].type == "series":
            self._complain(
                1,
                "gives",
                "not exactly one answer is marked first.",
                'Mark the main answer with "first: true".',
            )

    def _check_fields(self, say: Text, at: str) -> None:
        """Every {name} in a sentence must be an input or an answer."""
        import string

        known = (
            {str(t.name) for t in self.record.takes}
            | {str(g.name) for g in self.record.gives}
            | {str(c.name) for c in self.record.constants}
        )
        try:
            fields = [name for _, name, _, _ in string.Formatter().parse(say) if name is not None]
        except ValueError:
            fields = ["{"]
        for name in fields:
            if name not in known:
                self._complain(
                    say.line,
                    at,
                    f'the sentence names "{{{name}}}", which is neither input nor answer.',
                    did_you_mean(name, known),
                )

    def _check_one_of(self, name: Text, known: list[str], at: str) -> None:
        if name not in known:
            self._complain(name.line, at, f'"{name}" is not declared.', did_you_mean(name, known))

    # -- formulas ---------------------------------------------------------------------------------------------------------------

    def _formula(self, text: Text, sort: Sort, at: str, name: str = "") -> Formula:
        def build() -> Formula:
            tree = read_tree(text)
            return self._finish(self._typed(tree, sort), mathml(name, tree))

        return self._guard(text.line, at, build, _NOTHING)

    def _free_formula(self, text: Text, at: str) -> tuple[Formula, Sort]:
        """A local formula, whose sort is whatever comes out."""

        def build() -> tuple[Formula, Sort]:
            tree = read_tree(text)
            expression = self._parser().expression(tree)
            return self._finish(expression, ""), self._dimensions().of(tree)

        return self._guard(text.line, at, build, (_NOTHING, NUMBER))

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

        return self._guard(text.line, at, build, _NOTHING)

    def _condition(self, text: Text, at: str) -> Formula:
        return self._guard(text.line, at, lambda: self._finish(self._judged(read_tree(text)), ""), _ALWAYS)

    def _typed(self, tree: ast.expr, sort: Sort) -> Any:
        expression = self._parser().expression(tree)
        check_declared(self._dimensions().of(tree), sort)
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

    def _guard(self, line: int, at: str, build: Callable[[], Any], otherwise: Any) -> Any:
        try:
            return build()
        except FormulaError as error:
            self._complain(line, at, error.what, error.mend)
            return otherwise

    # -- names and kinds --------------------------------------------------------------------------------------------------------

    def _check_name(self, name: Text, at: str) -> None:
        if not name.isidentifier() or not name.isascii() or name in RESERVED or name in FUNCTIONS:
            self._complain(
                name.line,
                f"{at}.{name}",
                "this name cannot be used in a formula.",
                "Use small letters, digits and _, and no word of the formula language.",
            )
        elif name in self.scope.names or name in self.scope.curves:
            self._complain(name.line, f"{at}.{name}", "this name is taken already.", "Choose another.")

    def _known_kind(self, kind: Text, unit: Text | None, at: str) -> bool:
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
        return True

    def _complain(self, line: int, key: str, what: str, mend: str) -> None:
        self.problems.append(Problem(self.record.file, line, key, what, mend))


def _minus(left: Any, right: Any) -> Any:
    import sympy

    return sympy.Add(left, sympy.Mul(sympy.Integer(-1), right, evaluate=False), evaluate=False)


_NOTHING = Formula(0, "0")
_ALWAYS = Formula(["true"], "true")
