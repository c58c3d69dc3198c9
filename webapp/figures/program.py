"""From a program (nested lists, see lower.py) to a Python function of the values so far."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping
from typing import Any

from .arithmetic import FUNCTIONS, divide, power
from .curves import on_curve

Values = Mapping[str, Any]
Compiled = Callable[[Values], Any]

_COMPARE: dict[str, Callable[[float, float], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
    "==": operator.eq,
    "!=": operator.ne,
}
# A sum over more terms than this is a slip in the inputs, not a calculation for a phone.
MOST_TERMS = 10_000


def compiled(program: Any) -> Compiled:
    """The function of a program: values by name in, a number or a truth value out."""
    if isinstance(program, int | float):
        number = float(program)
        return lambda v: number
    head, *rest = program
    if head == "name":
        name = rest[0]
        return lambda v: v[name]
    if head == "pi":
        return lambda v: math.pi
    if head == "true":
        return lambda v: True
    if head in _SPECIAL:
        return _SPECIAL[head](rest)
    return _simple(head, [compiled(part) for part in rest])


def _simple(head: str, parts: list[Compiled]) -> Compiled:
    if head == "+":
        return _folded(operator.add, parts)
    if head == "*":
        return _folded(operator.mul, parts)
    if head == "-":
        (only,) = parts
        return lambda v: -only(v)
    if head in ("/", "^") or head in _COMPARE:
        two = {"/": divide, "^": power, **_COMPARE}[head]
        left, right = parts
        return lambda v: two(left(v), right(v))
    if head in ("and", "or"):
        return _until(head == "or", parts)
    if head == "not":
        return lambda v: not parts[0](v)
    function = FUNCTIONS[head]
    if len(parts) == 1:
        (only,) = parts
        return lambda v: function(only(v))
    return lambda v: function(*[part(v) for part in parts])


def _until(settles: bool, parts: list[Compiled]) -> Compiled:
    """Whether a part says `settles`, which the parts behind it are not asked for."""

    def ask(v: Values) -> bool:
        for part in parts:
            if bool(part(v)) is settles:
                return settles
        return not settles

    return ask


def _folded(two: Callable[[float, float], float], parts: list[Compiled]) -> Compiled:
    first, *others = parts
    if len(others) == 1:
        (second,) = others
        return lambda v: two(first(v), second(v))
    if len(others) == 2:
        second, third = others
        return lambda v: two(two(first(v), second(v)), third(v))

    def fold(v: Values) -> float:
        value: float = first(v)
        for part in others:
            value = two(value, part(v))
        return value

    return fold


def _case(rest: list[Any]) -> Compiled:
    rows = [(compiled(condition), compiled(value)) for condition, value in rest[0]]
    otherwise = compiled(rest[1])

    def choose(v: Values) -> Any:
        for condition, value in rows:
            if condition(v):
                return value(v)
        return otherwise(v)

    return choose


def _curve(rest: list[Any]) -> Compiled:
    name, x = rest[0], compiled(rest[1])
    return lambda v: on_curve(name, v[name]["points"], v[name]["method"], x(v))


def _total(rest: list[Any]) -> Compiled:
    counter, first, last, term = rest[0], *map(compiled, rest[1:])

    def add_up(v: Values) -> float:
        start, stop, value = first(v), last(v), 0.0
        # Beyond the exact whole numbers k + 1 is k, and counting would never end.
        if not (stop - start < MOST_TERMS and start + 1 > start):
            return math.nan
        inner = dict(v)
        while start <= stop:
            inner[counter] = start
            value += term(inner)
            start += 1
        return value

    return add_up


_SPECIAL = {"case": _case, "curve": _curve, "total": _total}
