"""From a program (nested lists, see lower.py) to a Python function of the values so far.

The program is put together as a syntax tree of Python, piece by piece from the heads known here, and compiled: a search asks a formula
some ten thousand times. Nothing of it is read as a text; a name is only ever a key of the values.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping
from typing import Any

from .arithmetic import FUNCTIONS, divide, power
from .curves import on_curve

Values = Mapping[str, Any]
Compiled = Callable[[Values], Any]

# A sum over more terms than this is a slip in the inputs, not a calculation for a phone.
MOST_TERMS = 10_000

_FOLDED: dict[str, type[ast.operator]] = {"+": ast.Add, "*": ast.Mult}
_JOINED: dict[str, type[ast.boolop]] = {"and": ast.And, "or": ast.Or}
_TURNED: dict[str, type[ast.unaryop]] = {"-": ast.USub, "not": ast.Not}
_COMPARED: dict[str, type[ast.cmpop]] = {
    "<": ast.Lt,
    "<=": ast.LtE,
    ">": ast.Gt,
    ">=": ast.GtE,
    "==": ast.Eq,
    "!=": ast.NotEq,
}
_CALLED = {"/": "divide", "^": "power", **{name: name for name in FUNCTIONS}}


def compiled(program: Any) -> Compiled:
    """The function of a program: values by name in, a number or a truth value out. Raises KeyError for a head that is not known."""
    tree = ast.fix_missing_locations(ast.Expression(_of_values(_tree(program))))
    function: Compiled = eval(compile(tree, "<formula>", "eval"), _WITHIN)  # noqa: S307 - of nodes made here, see above
    return function


def _tree(program: Any) -> ast.expr:
    if isinstance(program, int | float):
        return ast.Constant(float(program))
    head, *rest = program
    if head == "name":
        return _value_of(rest[0])
    if head in _FIXED:
        return ast.Constant(_FIXED[head])
    if head in _SPECIAL:
        return _SPECIAL[head](rest)
    parts = [_tree(part) for part in rest]
    if head in _TURNED and len(parts) == 1:
        return ast.UnaryOp(_TURNED[head](), parts[0])
    if head in _FOLDED:
        value, *others = parts
        for part in others:
            value = ast.BinOp(value, _FOLDED[head](), part)
        return value
    if head in _JOINED:
        return ast.BoolOp(_JOINED[head](), parts)
    if head in _COMPARED:
        left, right = parts
        return ast.Compare(left, [_COMPARED[head]()], [right])
    return _call(_CALLED[head], *parts)


def _of_values(body: ast.expr) -> ast.Lambda:
    taken = ast.arguments(posonlyargs=[], args=[ast.arg("v")], kwonlyargs=[], kw_defaults=[], defaults=[])
    return ast.Lambda(taken, body)


def _value_of(name: str) -> ast.expr:
    return ast.Subscript(ast.Name("v", ast.Load()), ast.Constant(name), ast.Load())


def _call(function: str, *parts: ast.expr) -> ast.Call:
    return ast.Call(ast.Name(function, ast.Load()), list(parts), [])


def _case(rest: list[Any]) -> ast.expr:
    value = _tree(rest[1])
    for condition, found in reversed(rest[0]):
        value = ast.IfExp(_tree(condition), _tree(found), value)
    return value


def _curve(rest: list[Any]) -> ast.expr:
    name, x = rest
    return _call("curve", ast.Constant(name), _value_of(name), _tree(x))


def _total(rest: list[Any]) -> ast.expr:
    counter, first, last, term = rest
    values = ast.Name("v", ast.Load())
    return _call("total", values, ast.Constant(counter), _tree(first), _tree(last), _of_values(_tree(term)))


def _on_curve(name: str, curve: Mapping[str, Any], x: float) -> float:
    return on_curve(name, curve["points"], curve["method"], x)


def _add_up(v: Values, counter: str, start: float, stop: float, term: Compiled) -> float:
    # Beyond the exact whole numbers k + 1 is k, and counting would never end.
    if not (stop - start < MOST_TERMS and start + 1 > start):
        return math.nan
    inner, value = dict(v), 0.0
    while start <= stop:
        inner[counter] = start
        value += term(inner)
        start += 1
    return value


_FIXED = {"pi": math.pi, "true": True}
_SPECIAL: dict[str, Callable[[list[Any]], ast.expr]] = {"case": _case, "curve": _curve, "total": _total}
_WITHIN: dict[str, Any] = {
    **FUNCTIONS,
    "divide": divide,
    "power": power,
    "curve": _on_curve,
    "total": _add_up,
    "__builtins__": {},
}
