"""SymPy expressions as a `program`: nested lists that are JSON, so that a cached Book needs no SymPy to compute.

number                       5, 0.8
["name", NAME]               an input, a constant, an earlier answer, a counter, or 'fuel.density'
["pi"]
["+", a, b, …]  ["*", a, …]  ["/", a, b]  ["-", a]  ["^", a, b]  ["sqrt", a]
["exp"|"log"|"sin"|…, a]     ["min"|"max", a, b, …]
["case", [[condition, a], …], otherwise]
["curve", NAME, a]           ["total", COUNTER, first, last, term]
conditions                   ["<"|"<="|">"|">="|"=="|"!=", a, b]  ["and"|"or", c, d, …]  ["not", c]  ["true"]
"""

from __future__ import annotations

from typing import Any

import sympy
from sympy.functions.elementary.miscellaneous import Max, Min
from sympy.logic.boolalg import And, BooleanFalse, BooleanTrue, Not, Or

from ..errors import FormulaError
from .parse import Curve, Total

_FUNCTIONS = {
    sympy.exp: "exp",
    sympy.log: "log",
    sympy.sin: "sin",
    sympy.cos: "cos",
    sympy.tan: "tan",
    sympy.asin: "asin",
    sympy.acos: "acos",
    sympy.atan: "atan",
    sympy.Abs: "abs",
    sympy.floor: "floor",
    sympy.ceiling: "ceiling",
    Min: "min",
    Max: "max",
    And: "and",
    Or: "or",
    Not: "not",
}
_COMPARE = {
    sympy.StrictLessThan: "<",
    sympy.LessThan: "<=",
    sympy.StrictGreaterThan: ">",
    sympy.GreaterThan: ">=",
    sympy.Eq: "==",
    sympy.Ne: "!=",
}


def lower(expression: Any) -> Any:
    """The program of a SymPy expression or condition. Raises FormulaError for what the phone could not compute."""
    kind = type(expression)
    if kind in _COMPARE:
        return [_COMPARE[kind], *map(lower, expression.args)]
    if kind in _FUNCTIONS:
        return [_FUNCTIONS[kind], *map(lower, expression.args)]
    if isinstance(expression, sympy.Mul):
        return _product(expression)
    if isinstance(expression, sympy.Add):
        return ["+", *map(lower, expression.args)]
    if isinstance(expression, sympy.Pow):
        return _power(expression)
    if isinstance(expression, sympy.Symbol):
        return ["name", expression.name]
    if isinstance(expression, sympy.Piecewise):
        *rows, (otherwise, _) = expression.args
        return ["case", [[lower(condition), lower(value)] for value, condition in rows], lower(otherwise)]
    return _leaf(expression)


def _leaf(expression: Any) -> Any:
    if isinstance(expression, Curve):
        return ["curve", expression.args[0].name, lower(expression.args[1])]
    if isinstance(expression, Total):
        counter, first, last, term = expression.args
        return ["total", counter.name, lower(first), lower(last), lower(term)]
    if isinstance(expression, BooleanTrue):
        return ["true"]
    if isinstance(expression, BooleanFalse):
        raise FormulaError("the condition can never hold.", "Correct it or remove the row.")
    if expression == sympy.pi:
        return ["pi"]
    if isinstance(expression, sympy.Integer):
        return int(expression)
    if expression.is_Number:
        return float(expression)
    raise FormulaError(f"{expression} cannot be computed on the phone.", "Use the listed functions.")


def _product(expression: Any) -> Any:
    """A product with its divisors gathered: a * b / c / d is (a * b) / (c * d), on both sides alike."""
    if expression.args[0] == -1 and len(expression.args) == 2:
        return ["-", lower(expression.args[1])]
    above = [lower(part) for part in expression.args if not _is_divisor(part)]
    below = [lower(part.base) for part in expression.args if _is_divisor(part)]
    top = above[0] if len(above) == 1 else ["*", *above] if above else 1
    if not below:
        return top
    return ["/", top, below[0] if len(below) == 1 else ["*", *below]]


def _is_divisor(part: Any) -> bool:
    return isinstance(part, sympy.Pow) and part.exp == -1


def _power(expression: Any) -> Any:
    if expression.exp == -1:
        return ["/", 1, lower(expression.base)]
    if expression.exp == sympy.Rational(1, 2):
        return ["sqrt", lower(expression.base)]
    return ["^", lower(expression.base), lower(expression.exp)]
