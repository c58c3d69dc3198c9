"""What a compiled Figure is: plain records without text, the same in Python, in the cached Book and (as JavaScript) on the phone.

All numbers are SI. A `program` is a formula as nested lists, see lower.py. Words stand apart, one set for each language.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field, fields, replace
from typing import Any

Program = Any  # nested lists of str, float, int; see lower.py


@dataclass(frozen=True)
class Formula:
    """One formula in its three forms: `program` for Python, `js` for the phone, `mathml` for the reader."""

    program: Program
    js: str
    mathml: str = ""
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class Take:
    """One input. `type` is 'quantity', 'count' (whole number), 'choice' (a row of a table) or 'points' (a curve).

    kind, unit    of the quantity, or of what a curve gives; unit is the one its number is first shown in
    default       SI number; row id of a choice; list of [x, y] SI pairs of a curve
    low, high     SI range that the Figure holds for (of y, for a curve)
    accuracy      ('share', 0.02) of the value or ('flat', SI number), or None where the number is taken as exact
    table         id of the table a choice picks from
    brings        'take.column': the choice that brings this input's default along
    group         id of the group of inputs it stands in, '' where the Figure has none
    setup         field of content/setup.md that this input starts from, '' for none
    across        for a curve: {"kind", "unit", "low", "high"} of x; `method` 'linear' or 'monotone'
    """

    name: str
    type: str
    kind: str = ""
    unit: str = ""
    default: Any = None
    low: float = 0.0
    high: float = 0.0
    accuracy: tuple[str, float] | None = None
    table: str = ""
    brings: str = ""
    group: str = ""
    setup: str = ""
    across: dict[str, Any] = field(default_factory=dict)
    method: str = ""

    @property
    def is_numeric(self) -> bool:
        return self.type in ("quantity", "count")


@dataclass(frozen=True)
class Give:
    """One answer, computed after those above it.

    type      'formula', 'root' (the value between `low` and `high` that makes `formula` nought), 'words' (chosen by `rows`)
              'series' (for each whole `over` from `start` to `stop`, or for each row of `table`, there called `over`: one
              number a column), or found along the Figure's run: 'reach' (the first place where answer `of` comes up to `level`;
              infinite if it never does), 'peak' (the place where `of` is most), 'look' (what `of` is at the place `at`)
    upward    for 'reach' and 'peak': False where it is less that counts
    asked     the answer wanted first when an input is looked for, where the main one cannot be
    only      for a series over a table: the condition that a row must meet; `most` rows are kept, 0 for all
    by        for a series: rows stand in rising order of these, the first deciding; `ranked` numbers them in that order
    picture   for a series: the two columns that are the place of each row in a picture
    unlike    name of an input: the answer stands first in a unit other than the one typed there
    setup     field of content/setup.md that the answer can be put into
    where     local formulas that a root's equation uses, in order
    """

    name: str
    type: str
    kind: str = ""
    unit: str = ""
    first: bool = False
    shown: bool = True
    unlike: str = ""
    setup: str = ""
    formula: Formula | None = None
    low: Formula | None = None
    high: Formula | None = None
    where: tuple[tuple[str, Formula], ...] = ()
    rows: tuple[Formula, ...] = ()
    over: str = ""
    start: Formula | None = None
    stop: Formula | None = None
    table: str = ""
    only: Formula | None = None
    most: int = 0
    columns: tuple[Column, ...] = ()
    by: tuple[Formula, ...] = ()
    ranked: bool = False
    picture: tuple[str, str] | None = None
    of: str = ""
    level: Formula | None = None
    at: Formula | None = None
    upward: bool = True
    asked: bool = False

    @property
    def is_numeric(self) -> bool:
        return self.type in ("formula", "root") or self.is_late

    @property
    def is_late(self) -> bool:
        """Whether it is found along the run, after all answers that make the run."""
        return self.type in ("reach", "peak", "look")


@dataclass(frozen=True)
class Column:
    """One column of a series answer."""

    name: str
    kind: str
    unit: str
    formula: Formula
    shown: bool = True


@dataclass(frozen=True)
class Row:
    """A condition that refuses, warns or picks a verdict; `after` is how many answers must stand before it can be judged."""

    when: Formula
    after: int = 0
    level: str = ""


@dataclass(frozen=True)
class Remedy:
    """Solve for input `solve` so that answer `answer` equals `equals`; offered when `when` holds.

    at        the place of the run where that is wanted; None where the Figure has no run
    """

    solve: str
    answer: str
    equals: Formula
    when: Formula
    at: Formula | None = None


@dataclass(frozen=True)
class Limit:
    """A level of the answer `of` that is marked in a picture; `beyond` is the side not to be on, '' for none."""

    of: str
    level: Formula
    beyond: str = ""


@dataclass(frozen=True)
class Picture:
    """Answers drawn together over a sweep."""

    draw: tuple[str, ...]
    limits: tuple[Limit, ...] = ()


@dataclass(frozen=True)
class Sweep:
    """Answers `draw` over `over` from `start` to `stop` in `steps` equal steps.

    `over` is an input, or an answer: then the sweep is the Figure's run, along which other answers are found.
    """

    over: str
    start: Formula
    stop: Formula
    steps: int
    draw: tuple[str, ...]
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class Check:
    """A result from outside: typed inputs, wanted answers, tolerance and where the result comes from."""

    given: dict[str, str]
    expect: dict[str, str]
    within: tuple[str, float, str]
    source: str
    line: int


@dataclass(frozen=True)
class Figure:
    """One compiled calculation."""

    id: str
    file: str
    part: str
    order: int
    takes: tuple[Take, ...]
    constants: dict[str, float]
    constant_units: dict[str, tuple[str, str]]
    gives: tuple[Give, ...]
    groups: tuple[str, ...] = ()
    refuse: tuple[Row, ...] = ()
    warn: tuple[Row, ...] = ()
    verdict: tuple[Row, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    sweeps: tuple[Sweep, ...] = ()
    needs: tuple[str, ...] = ()
    related: tuple[str, ...] = ()
    checks: tuple[Check, ...] = ()

    def take(self, name: str) -> Take:
        return next(take for take in self.takes if take.name == name)

    def give(self, name: str) -> Give:
        return next(give for give in self.gives if give.name == name)

    @property
    def first(self) -> Give:
        return next(give for give in self.gives if give.first)

    @property
    def asked(self) -> Give | None:
        """The answer that is wanted first while an input is looked for: the marked one, the main one, or the first that can be."""
        marked = [give for give in self.wantable if give.asked] + [
            give for give in self.wantable if give.first
        ]
        return next(iter([*marked, *self.wantable]), None)

    @property
    def wantable(self) -> tuple[Give, ...]:
        """Answers that an input can be looked for by: numbers, and none that takes the whole run to find."""
        return tuple(give for give in self.gives[: self.run_end] if give.is_numeric)

    @property
    def run(self) -> Sweep | None:
        """The sweep over one of its own answers, if there is one."""
        names = {give.name for give in self.gives}
        return next((sweep for sweep in self.sweeps if sweep.over in names), None)

    @property
    def run_end(self) -> int:
        """Number of answers that stand before the first one found along the run."""
        return next((n for n, give in enumerate(self.gives) if give.is_late), len(self.gives))


def to_json(record: Any) -> Any:
    """A record as plain dicts, lists and scalars."""
    return asdict(record)


def figure_from_json(data: dict[str, Any]) -> Figure:
    """The Figure that `to_json` wrote."""
    made = dict(data)
    made["takes"] = tuple(
        Take(**{**take, "accuracy": tuple(take["accuracy"]) if take["accuracy"] else None})
        for take in data["takes"]
    )
    made["gives"] = tuple(_give(give) for give in data["gives"])
    for key, record in (
        ("refuse", Row),
        ("warn", Row),
        ("verdict", Row),
        ("remedies", Remedy),
    ):
        made[key] = tuple(_with_formulas(record, row) for row in data[key])
    made["sweeps"] = tuple(_sweep(sweep) for sweep in data["sweeps"])
    made["constant_units"] = {name: tuple(pair) for name, pair in data["constant_units"].items()}
    made["checks"] = tuple(Check(**{**check, "within": tuple(check["within"])}) for check in data["checks"])
    for key in ("needs", "related", "groups"):
        made[key] = tuple(data[key])
    return Figure(**made)


def _formula(data: dict[str, Any] | None) -> Formula | None:
    return Formula(**{**data, "names": tuple(data["names"])}) if data else None


def _with_formulas(record: Any, data: dict[str, Any]) -> Any:
    names = {f.name for f in fields(record) if "Formula" in str(f.type)}
    return record(
        **{
            key: _formula(value) if key in names else tuple(value) if isinstance(value, list) else value
            for key, value in data.items()
        }
    )


def _sweep(data: dict[str, Any]) -> Sweep:
    pictures = tuple(
        Picture(tuple(one["draw"]), tuple(_with_formulas(Limit, limit) for limit in one["limits"]))
        for one in data["pictures"]
    )
    return replace(_with_formulas(Sweep, {**data, "pictures": ()}), pictures=pictures)


def _give(data: dict[str, Any]) -> Give:
    made = dict(data)
    for key in ("formula", "low", "high", "start", "stop", "only", "level", "at"):
        made[key] = _formula(data[key])
    made["where"] = tuple((name, _formula(formula)) for name, formula in data["where"])
    made["rows"] = tuple(_formula(row) for row in data["rows"])
    made["by"] = tuple(_formula(key) for key in data["by"])
    made["picture"] = tuple(data["picture"]) if data["picture"] else None
    made["columns"] = tuple(_with_formulas(Column, column) for column in data["columns"])
    return Give(**made)
