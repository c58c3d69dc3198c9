"""Dimension and nature of a formula, found by walking the same syntax tree that parse.py turns into an expression."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from fractions import Fraction

from ..errors import FormulaError
from .natures import NOUGHT, NUMBER, Sort, added, alike, multiplied, negated, raised, spell, subtracted


class Dimensions:
    """Sorts of formulas over declared names. `curves` maps a curve's name to (sort of x, sort of y)."""

    def __init__(self, names: Mapping[str, Sort], curves: Mapping[str, tuple[Sort, Sort]]) -> None:
        self.names, self.curves = dict(names), dict(curves)

    def of(self, node: ast.expr) -> Sort:
        """Sort of an expression. Raises FormulaError where kinds are mixed up. The tree has passed the parser's whitelist."""
        if isinstance(node, ast.Constant):
            return NOUGHT if node.value == 0 else NUMBER
        if isinstance(node, ast.Name):
            return self.names.get(node.id, NUMBER)
        if isinstance(node, ast.Attribute):
            return self.names[ast.unparse(node)]
        if isinstance(node, ast.BinOp):
            return self._operation(node)
        if isinstance(node, ast.UnaryOp):
            return self._signed(node)
        if isinstance(node, ast.IfExp):
            self.check_condition(node.test)
            return alike("chooses between", self.of(node.body), self.of(node.orelse))
        if isinstance(node, ast.Call):
            return self._call(node)
        raise FormulaError("a condition stands where a number is wanted.", 'Use "a if condition else b".')

    def check_condition(self, node: ast.expr) -> None:
        """Raise FormulaError unless both sides of every comparison are of one kind."""
        if isinstance(node, ast.BoolOp):
            for value in node.values:
                self.check_condition(value)
        elif isinstance(node, ast.UnaryOp):
            self.check_condition(node.operand)
        elif isinstance(node, ast.Compare):
            alike("compares", self.of(node.left), self.of(node.comparators[0]))

    def _operation(self, node: ast.BinOp) -> Sort:
        left, right = self.of(node.left), self.of(node.right)
        if isinstance(node.op, ast.Add):
            return added(left, right)
        if isinstance(node.op, ast.Sub):
            return subtracted(left, right)
        if isinstance(node.op, ast.Pow):
            _expect_number("an exponent", right)
            return raised(left, literal(node.right))
        # A factor of 0 is a plain number, not the nought that fits every kind.
        left, right = _as_factor(left), _as_factor(right)
        return multiplied(left, right, -1 if isinstance(node.op, ast.Div) else 1)

    def _signed(self, node: ast.UnaryOp) -> Sort:
        found = self.of(node.operand)
        return negated(found) if isinstance(node.op, ast.USub) else found

    def _call(self, node: ast.Call) -> Sort:
        name = node.func.id if isinstance(node.func, ast.Name) else ""
        if name in self.curves:
            x, y = self.curves[name]
            alike(f"gives {name}( )", self.of(node.args[0]), x)
            return y
        if name == "total":
            for end in node.args[1:3]:
                _expect_number("an end of total( )", self.of(end))
            inner = Dimensions({**self.names, ast.unparse(node.args[0]): NUMBER}, self.curves)
            term = inner.of(node.args[3])
            # A sum of gauge pressures or of readings means no more here than with a +.
            return added(term, term)
        arguments = [self.of(argument) for argument in node.args]
        if name in ("min", "max"):
            shared = arguments[0]
            for other in arguments[1:]:
                shared = alike(f"takes {name} of", shared, other)
            return shared
        return _function(name, arguments[0])


def literal(node: ast.expr) -> Fraction | None:
    """The value of a literal exponent such as 2, 0.5, -1 or 1/2; None for anything else."""
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return Fraction(node.value).limit_denominator(1000)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        inner = literal(node.operand)
        return None if inner is None else -inner
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div):
        top, bottom = literal(node.left), literal(node.right)
        return None if top is None or not bottom else top / bottom
    return None


def _function(name: str, argument: Sort) -> Sort:
    if name == "sqrt":
        return raised(argument, Fraction(1, 2))
    if name == "difference":
        if argument.nature != "gauge":
            raise FormulaError(
                "difference( ) is given something other than a gauge pressure.", "Give it a gauge pressure."
            )
        return Sort(argument.dimension, "difference")
    if name == "angular":
        if argument.nature != "turns":
            raise FormulaError(
                "angular( ) is given something other than turns a second.", "Give it an engine speed."
            )
        return Sort(argument.dimension)
    if name == "abs":
        if argument.nature == "gauge":
            raise FormulaError("abs( ) is given a gauge pressure.", "Use difference(…) inside it.")
        return argument
    _expect_number(f"{name}( )", argument)
    return NUMBER


def _as_factor(sort: Sort) -> Sort:
    return NUMBER if sort.nature == "nought" else sort


def _expect_number(what: str, sort: Sort) -> None:
    if sort.dimension:
        raise FormulaError(
            f"{what} is given {spell(sort.dimension)}.", "Divide by a quantity of the same kind first."
        )
