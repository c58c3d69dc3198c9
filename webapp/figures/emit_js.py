"""JavaScript of a formula, by SymPy's own printer in its strict form; only what must match the program's
order is printed here.
"""

from __future__ import annotations

import json
from typing import Any

from sympy.printing.jscode import JavascriptCodePrinter

from ..errors import FormulaError
from .parse import Curve, Total


class _Printer(JavascriptCodePrinter):
    """`v` holds the values so far, `K` the few functions that JavaScript lacks (see static/js/lib/kernel.js)."""

    def __init__(self) -> None:
        super().__init__({"order": "none", "strict": True})

    def _print_Symbol(self, expr: Any) -> str:
        name = expr.name
        return f"v.{name}" if name.isidentifier() else f"v[{json.dumps(name)}]"

    def _print_Integer(self, expr: Any) -> str:
        return str(int(expr))

    def _print_Float(self, expr: Any) -> str:
        return repr(float(expr))

    def _print_Pi(self, expr: Any) -> str:
        return "Math.PI"

    def _print_Add(self, expr: Any, order: Any = None) -> str:
        return "(" + " + ".join(self._print(part) for part in expr.args) + ")"

    def _print_Mul(self, expr: Any) -> str:
        if expr.args[0] == -1 and len(expr.args) == 2:
            return f"(-{self._print(expr.args[1])})"
        above = [self._print(part) for part in expr.args if not _is_divisor(part)]
        below = [self._print(part.base) for part in expr.args if _is_divisor(part)]
        top = "*".join(above) or "1"
        return f"({top}/{_bracketed(below)})" if below else f"({top})"

    def _print_Pow(self, expr: Any) -> str:
        if expr.exp == -1:
            return f"(1/{self._print(expr.base)})"
        if expr.exp.is_Rational and expr.exp.q == 2 and expr.exp.p == 1:
            return f"Math.sqrt({self._print(expr.base)})"
        return f"Math.pow({self._print(expr.base)}, {self._print(expr.exp)})"

    def _print_Piecewise(self, expr: Any) -> str:
        *rows, (otherwise, _) = expr.args
        return (
            "("
            + "".join(f"{self._print(condition)} ? {self._print(value)} : " for value, condition in rows)
            + self._print(otherwise)
            + ")"
        )

    def _print_Relational(self, expr: Any) -> str:
        operator = {"==": "===", "!=": "!=="}.get(expr.rel_op, expr.rel_op)
        return f"({self._print(expr.lhs)} {operator} {self._print(expr.rhs)})"

    def _print_BooleanTrue(self, expr: Any) -> str:
        return "true"

    def _print_Curve(self, expr: Curve) -> str:
        name, x = expr.args
        return f"K.curve({json.dumps(name.name)}, {self._print(name)}, {self._print(x)})"

    def _print_Total(self, expr: Total) -> str:
        counter, first, last, term = expr.args
        return f"K.total(v, {json.dumps(counter.name)}, {self._print(first)}, {self._print(last)}, (v) => {self._print(term)})"


def _is_divisor(part: Any) -> bool:
    return bool(part.is_Pow and part.exp == -1)


def _bracketed(factors: list[str]) -> str:
    return factors[0] if len(factors) == 1 else "(" + "*".join(factors) + ")"


def javascript(expression: Any) -> str:
    """The JavaScript expression of a SymPy expression or condition. Raises FormulaError for a function that JavaScript lacks."""
    try:
        return str(_Printer().doprint(expression))
    except Exception as error:
        # SymPy's strict printer raises a private class; its sentence names the function.
        raise FormulaError(
            f"the formula has no form in JavaScript: {error}.", "Use the listed functions."
        ) from error
