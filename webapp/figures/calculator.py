"""Computes one Figure: evaluate, solve for an input, spread, remedies and sweeps. static/js/lib/calculator.js is its twin.

Inputs and answers are SI numbers by name; a choice is the id of its row; a curve is a list of [x, y] SI pairs.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from ..errors import NoSolution
from .brent import root_between
from .curves import OutsideCurve
from .model import Figure, Formula, Give, Limit, Row, Sweep, Take
from .program import Compiled, compiled
from .run import Run, places
from .search import CLOSE, nearest_crossing

# A series of more rows than this is a slip in the inputs.
MOST_ROWS = 500


@dataclass(frozen=True)
class Refusal:
    """Why there is no answer.

    reason   'below' or 'above' its range, 'not whole', 'points' of a curve that do not rise, 'curve' (outside its points), 'said'
             (a `refuse` row of the file), 'no value' or 'no root' of an answer
    name     input, curve or answer it is about; '' for a row of the file
    index    number of that row
    limit    SI limit of the range that was left, or SI x of the curve's end that was passed
    """

    reason: str
    name: str = ""
    index: int = -1
    limit: float = 0.0


class _Refused(Exception):
    def __init__(self, refusal: Refusal) -> None:
        self.refusal = refusal


@dataclass
class Outcome:
    """Answers by name (SI numbers, row numbers of 'words' answers, lists of rows of 'series'), warnings by
    row number, the verdict's row, the run they were found along.
    """

    values: dict[str, Any] = field(default_factory=dict)
    refusal: Refusal | None = None
    warnings: list[int] = field(default_factory=list)
    verdict: int | None = None
    run: Run | None = None


# Where each answer found along the run is, and the slope by which it moves.
Held = dict[str, tuple[float, float]]


@dataclass(frozen=True)
class Spread:
    """How far one answer may be off: root-sum-square and worst case (SI), and each input's share, largest first."""

    likely: float
    worst: float
    shares: tuple[tuple[str, float], ...]


class Calculator:
    """One Figure, ready to compute. `tables` maps table id -> row id -> column -> SI number, for the tables
    that choices pick from.
    """

    def __init__(self, figure: Figure, tables: Mapping[str, Mapping[str, Mapping[str, Any]]]) -> None:
        self.figure = figure
        self._tables = tables
        # A cell that a row leaves open is no number: what needs it then has no answer, and says so.
        named = [(take.name, take.table) for take in figure.takes if take.table]
        named += [(give.over, give.table) for give in figure.gives if give.table]
        self._blanks = {
            f"{name}.{column}": math.nan
            for name, table in named
            for row in tables.get(table, {}).values()
            for column in row
        }
        # What refuses once so many answers stand.
        self._refusals: list[list[tuple[int, Row]]] = [[] for _ in range(len(figure.gives) + 1)]
        for index, row in enumerate(figure.refuse):
            self._refusals[row.after].append((index, row))
        self._run_end = figure.run_end
        self._compiled: dict[int, Compiled] = {}
        self._rows: dict[str, list[tuple[float, dict[str, Any]]]] = {}

    # -- evaluate ---------------------------------------------------------------------------------------------------------------

    def evaluate(self, givens: Mapping[str, Any], held: Held | None = None) -> Outcome:
        """All answers for `givens` (one entry for every input). Never raises for numbers; says why in `refusal` instead.

        A refused outcome keeps the answers reached before the refusal, so that its sentence can name them.
        held      what is found along the run, as `hold` gave it for nearby inputs: then it only moves with them, along its slope
        """
        outcome = Outcome()
        try:
            values = self._start(givens)
            run = self._run(values)
            for number, give in enumerate(self.figure.gives):
                self._refuse_after(number, values)
                if give.is_late:
                    assert run is not None
                    answer = self._held(give, run, values, held) if held else self._found(give, run, values)
                else:
                    answer = self._answer(give, values)
                values[give.name] = outcome.values[give.name] = answer
                if give.table:
                    values.update(_first_row(give, answer))
            self._refuse_after(len(self.figure.gives), values)
            outcome.warnings = [n for n, row in enumerate(self.figure.warn) if self._holds(row.when, values)]
            outcome.verdict = next(
                (n for n, row in enumerate(self.figure.verdict) if self._holds(row.when, values)), None
            )
            outcome.run = run
        except _Refused as refused:
            outcome.refusal = refused.refusal
        except OutsideCurve as outside:
            outcome.refusal = Refusal("curve", outside.name, limit=outside.end)
        return outcome

    def answer(self, name: str, givens: Mapping[str, Any], place: float | None = None) -> float:
        """One numeric answer that the run does not have to be gone along for, NaN where the Figure refuses.

        place     where along the run, if not at the place of its own
        """
        try:
            values = self._start(givens)
            self._work_out(values, 0, place)
        except (_Refused, OutsideCurve):
            return math.nan
        return _number(values[name])

    def _work_out(self, values: dict[str, Any], first: int, place: float | None) -> None:
        """Adds the answers from number `first` up to those found along the run. Raises _Refused, OutsideCurve."""
        over = self.figure.run.over if self.figure.run else ""
        for number in range(first, self._run_end):
            give = self.figure.gives[number]
            self._refuse_after(number, values)
            if place is not None and give.name == over:
                values[over] = place
            else:
                values[give.name] = self._answer(give, values)
                if give.table:
                    values.update(_first_row(give, values[give.name]))
        self._refuse_after(self._run_end, values)

    # -- along the run ----------------------------------------------------------------------------------------------------------

    def _run(self, values: dict[str, Any]) -> Run | None:
        """The run of these inputs. `values` is looked at when the run is gone along: by then all that stands before it is known."""
        sweep = self.figure.run
        if sweep is None:
            return None
        first = next(n for n, give in enumerate(self.figure.gives) if give.name == sweep.over)

        def at(place: float) -> dict[str, Any] | None:
            inner = {**values, sweep.over: place}
            try:
                self._work_out(inner, first, place)
            except (_Refused, OutsideCurve):
                return None
            return inner

        return Run(sweep, self._value(sweep.start, values), self._value(sweep.stop, values), at, self._value)

    def _found(self, give: Give, run: Run, values: dict[str, Any]) -> float:
        found = run.find(give, values)
        if math.isnan(found):
            raise _Refused(Refusal("no value", give.name))
        return found

    def _held(self, give: Give, run: Run, values: dict[str, Any], held: Held) -> float:
        if give.type == "look":
            return self._found(give, run, values)
        place, slope = held[give.name]
        if not slope:
            return place
        moved = place - run.off(give, place) / slope
        return moved if math.isfinite(moved) else place

    def _hold(self, outcome: Outcome) -> Held:
        """Place of each 'reach' and 'peak', and for a 'reach' that is somewhere the slope there (else 0: it stays)."""
        held, run = {}, outcome.run
        for give in self.figure.gives:
            if run is not None and give.type in ("reach", "peak"):
                place = outcome.values[give.name]
                moves = give.type == "reach" and run.places[0] < place < math.inf
                slope = run.slope(give, place) if moves else 0.0
                held[give.name] = (place, slope if math.isfinite(slope) else 0.0)
        return held

    def _start(self, givens: Mapping[str, Any]) -> dict[str, Any]:
        values: dict[str, Any] = {**self.figure.constants, **self._blanks}
        for take in self.figure.takes:
            value = givens[take.name]
            if take.type == "choice":
                values.update(
                    {
                        f"{take.name}.{column}": cell
                        for column, cell in self._tables[take.table][value].items()
                    }
                )
            elif take.type == "points":
                value = self._checked_points(take, value)
                values[f"{take.name}.start"], values[f"{take.name}.end"] = (
                    value["points"][0][0],
                    value["points"][-1][0],
                )
            else:
                self._check_range(take, value)
            values[take.name] = value
        return values

    def _check_range(self, take: Take, value: float) -> None:
        if value < take.low:
            raise _Refused(Refusal("below", take.name, limit=take.low))
        if value > take.high:
            raise _Refused(Refusal("above", take.name, limit=take.high))
        if take.type == "count" and value % 1 != 0:
            raise _Refused(Refusal("not whole", take.name))

    def _checked_points(self, take: Take, points: list[list[float]]) -> dict[str, Any]:
        rising = all(a[0] < b[0] for a, b in pairwise(points))
        if len(points) < 2 or not rising:
            raise _Refused(Refusal("points", take.name))
        return {"points": points, "method": take.method}

    def _refuse_after(self, number: int, values: Mapping[str, Any]) -> None:
        for index, row in self._refusals[number]:
            if self._holds(row.when, values):
                raise _Refused(Refusal("said", index=index))

    def _answer(self, give: Give, values: dict[str, Any]) -> Any:
        if give.type == "words":
            return next(
                (n for n, row in enumerate(give.rows) if self._holds(row, values)), len(give.rows) - 1
            )
        if give.type == "series":
            return self._series(give, values)
        value = self._root(give, values) if give.type == "root" else self._value(give.formula, values)
        if not math.isfinite(value):
            raise _Refused(Refusal("no value", give.name))
        return value + 0.0

    def _root(self, give: Give, values: dict[str, Any]) -> float:
        # Tried values stand among the others meanwhile: copying them all for each root takes longer than finding it.
        miss = math.nan
        name, where = give.name, [(inner, self._function(formula)) for inner, formula in give.where]
        formula = self._function(give.formula)

        def off(x: float) -> float:
            nonlocal miss
            values[name] = x
            for inner, local in where:
                values[inner] = local(values)
            miss = formula(values)
            return miss

        low, high = self._value(give.low, values), self._value(give.high, values)
        at_low, at_high = off(low), off(high)
        if (
            not (math.isfinite(at_low) and math.isfinite(at_high))
            or (at_low > 0 and at_high > 0)
            or (at_low < 0 and at_high < 0)
        ):
            raise _Refused(Refusal("no root", give.name))
        x = root_between(off, low, high, at_low, at_high)
        # Where the two sides jump past each other there is no balance, though they change sign. The root is most often what was
        # tried last.
        if values[give.name] != x:
            off(x)
        if not abs(miss) <= CLOSE * max(abs(at_low), abs(at_high)):
            raise _Refused(Refusal("no root", give.name))
        return x

    def _series(self, give: Give, values: dict[str, Any]) -> list[list[float]]:
        found = []
        # Each row writes over all that the one before it wrote: copying every value for each takes longer than working it out.
        inner = dict(values)
        columns = [(column.name, self._function(column.formula)) for column in give.columns]
        keyed = [self._function(key) for key in give.by]
        only = self._function(give.only) if give.only else None
        for number, own in self._counted(give, values):
            inner.update(own)
            row = [number]
            for name, formula in columns:
                inner[name] = value = formula(inner)
                row.append(value)
            is_wanted = not only or only(inner)
            if give.table and not is_wanted:
                continue
            keys = [key(inner) for key in keyed]
            if all(map(math.isfinite, row)) and all(map(math.isfinite, keys)):
                if is_wanted:
                    found.append((keys, row))
            elif not give.table:
                raise _Refused(Refusal("no value", give.name))
        # Sorting keeps rows with equal keys in the order of their numbers.
        rows = [row for _, row in sorted(found, key=lambda pair: pair[0])]
        return rows[: give.most or None]

    def _counted(self, give: Give, values: Mapping[str, Any]) -> list[tuple[float, dict[str, Any]]]:
        """What a series runs over: each number, counted from 0 for the rows of a table, with the values that are its own."""
        if give.table:
            if give.name not in self._rows:
                rows = self._tables[give.table].values()
                # A cell that is open must not keep what the row before it had.
                cells = dict.fromkeys((cell for row in rows for cell in row), math.nan)
                self._rows[give.name] = [
                    (n, {f"{give.over}.{name}": value for name, value in {**cells, **row}.items()})
                    for n, row in enumerate(rows)
                ]
            return self._rows[give.name]
        start, stop = self._value(give.start, values), self._value(give.stop, values)
        if not 0 <= stop - start < MOST_ROWS:
            raise _Refused(Refusal("no value", give.name))
        return [(start + step, {give.over: start + step}) for step in range(int(stop - start) + 1)]

    def _value(self, formula: Formula | None, values: Mapping[str, Any]) -> float:
        value: float = self._function(formula)(values)
        return value

    def _holds(self, formula: Formula, values: Mapping[str, Any]) -> bool:
        return bool(self._function(formula)(values))

    def _function(self, formula: Formula | None) -> Compiled:
        function = self._compiled.get(id(formula))
        if function is None:
            assert formula is not None
            function = self._compiled[id(formula)] = compiled(formula.program)
        return function

    # -- solve ------------------------------------------------------------------------------------------------------------------

    def solve(
        self,
        unknown: str,
        answer: str,
        wanted: float,
        givens: Mapping[str, Any],
        place: float | None = None,
    ) -> float:
        """Value of input `unknown`, inside its range, that makes `answer` equal `wanted`; of several, the
        one nearest to its given.

        place     where along the run, if not at the place of its own
        Raises NoSolution, with the lowest and highest answer that can be reached, when there is none.
        """
        take = self.figure.take(unknown)

        def off(x: float) -> float:
            return self.answer(answer, {**givens, unknown: x}, place) - wanted

        if take.type == "count":
            return _whole_root(off, take, givens[unknown], wanted)
        return nearest_crossing(off, take.low, take.high, givens[unknown], wanted)

    # -- spread -----------------------------------------------------------------------------------------------------------------

    def spreads(
        self, givens: Mapping[str, Any], accuracies: Mapping[str, float], outcome: Outcome | None = None
    ) -> dict[str, Spread]:
        """How far each numeric answer may be off when each input may be off by its SI accuracy; inputs are
        taken as independent. `outcome` is what `evaluate` gives for these inputs, if it is known already.
        """
        middle = outcome or self.evaluate(givens)
        if middle.refusal:
            return {}
        held = self._hold(middle)
        names = [
            give.name
            for give in self.figure.gives
            if give.is_numeric and math.isfinite(middle.values[give.name])
        ]
        shares: dict[str, list[tuple[str, float]]] = {name: [] for name in names}
        for taken, accuracy in accuracies.items():
            above = self.evaluate({**givens, taken: givens[taken] + accuracy}, held)
            below = self.evaluate({**givens, taken: givens[taken] - accuracy}, held)
            for name in names:
                shares[name].append((taken, _half_width(name, middle, above, below)))
        return {name: _spread(found) for name, found in shares.items()}

    # -- remedies and sweeps ----------------------------------------------------------------------------------------------------

    def remedies(self, givens: Mapping[str, Any], outcome: Outcome) -> list[tuple[int, float | None]]:
        """The remedies that apply: (number of the remedy, SI value of its input, or None where its range holds none)."""
        if outcome.refusal:
            return []
        values = self.known(givens, outcome)
        found: list[tuple[int, float | None]] = []
        for number, remedy in enumerate(self.figure.remedies):
            if not self._holds(remedy.when, values):
                continue
            place = self._value(remedy.at, values) if remedy.at else None
            wanted = self._value(remedy.equals, values)
            try:
                found.append((number, self.solve(remedy.solve, remedy.answer, wanted, givens, place)))
            except NoSolution:
                found.append((number, None))
        return found

    def sweep(self, sweep: Sweep, givens: Mapping[str, Any], outcome: Outcome) -> list[list[float]]:
        """Rows [x, answers drawn …] over the sweep; NaN where the Figure refuses.

        outcome   what `evaluate` gave for the same inputs, not refused
        """
        if outcome.run is not None and sweep is self.figure.run:
            return _run_rows(sweep, outcome.run)
        start, stop = (self._value(end, self.known(givens, outcome)) for end in (sweep.start, sweep.stop))
        rows = []
        for x in places(start, stop, sweep.steps):
            there = self.evaluate({**givens, sweep.over: x})
            rows.append(
                [x, *[math.nan if there.refusal else _number(there.values[name]) for name in sweep.draw]]
            )
        return rows

    def levels(self, limits: Sequence[Limit], givens: Mapping[str, Any], outcome: Outcome) -> list[float]:
        """SI levels that are marked in a picture."""
        values = self.known(givens, outcome)
        return [self._value(limit.level, values) for limit in limits]

    def known(self, givens: Mapping[str, Any], outcome: Outcome) -> dict[str, Any]:
        """Everything that formulas may name, for an outcome that is not refused."""
        values = {**self._start(givens), **outcome.values}
        for give in self.figure.gives:
            if give.table:
                values.update(_first_row(give, values[give.name]))
        return values


def _run_rows(sweep: Sweep, run: Run) -> list[list[float]]:
    known = dict(run.samples)
    blank = [math.nan] * len(sweep.draw)
    return [
        [x, *([_number(known[x][name]) for name in sweep.draw] if x in known else blank)] for x in run.places
    ]


def _number(value: Any) -> float:
    return float(value) if isinstance(value, int | float) else math.nan


def _first_row(give: Give, rows: Any) -> dict[str, float]:
    """The numbers of the first row of a series over a table, as later formulas name them; none are known if it has no row."""
    first = rows[0][1:] if rows else [math.nan] * len(give.columns)
    return {f"{give.name}.{column.name}": cell for column, cell in zip(give.columns, first, strict=True)}


def _half_width(name: str, middle: Outcome, above: Outcome, below: Outcome) -> float:
    """How far an answer moves to the side on which it moves more.

    Not half of the way between both ends: on top of a hump both ends lie below by the same, and their difference would call the
    answer exact. At the edge of what the Figure holds for only one side has an answer.
    """
    ends = [outcome.values[name] for outcome in (above, below) if not outcome.refusal]
    return max((abs(float(end - middle.values[name])) for end in ends), default=0.0)


def _spread(shares: list[tuple[str, float]]) -> Spread:
    ordered = tuple(sorted(shares, key=lambda pair: -pair[1]))
    return Spread(
        math.sqrt(sum(half * half for _, half in ordered)), sum(half for _, half in ordered), ordered
    )


def _whole_root(off: Any, take: Take, near: float, wanted: float) -> float:
    """The whole number in the take's range, the nearest to `near` first, whose answer is the wanted one, to the rounding of a few
    operations; of two as near, the smaller.
    """
    answers = []
    for count in sorted(range(int(take.low), int(take.high) + 1), key=lambda count: abs(count - near)):
        miss = off(float(count))
        if math.isnan(miss):
            continue
        if abs(miss) <= 1e-9 * abs(wanted):
            return float(count)
        answers.append(miss + wanted)
    raise NoSolution(answers)


def rows_known_after(row: Row, gives: tuple[Give, ...]) -> int:
    """How many answers must stand before the row's condition can be judged."""
    names = [give.name for give in gives]
    return max((names.index(name) + 1 for name in row.when.names if name in names), default=0)
