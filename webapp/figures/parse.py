"""A formula's text to a SymPy expression, through a whitelist over Python's syntax tree.

Nothing is ever evaluated as text: `ast` reads the formula, this module walks the tree, and every node that is not on the list is
refused with a sentence. Terms and factors stay in the order in which the writer put them, so that server and phone round alike.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable, Mapping
from typing import Any

import sympy
from sympy.core.relational import Relational
from sympy.logic.boolalg import Boolean, BooleanAtom, BooleanFunction

from ..errors import FormulaError, did_you_mean

MOST_CHARACTERS = 2000
MOST_SHOWN = 100
# Deeper than any formula of the trade, and shallow enough for every walk through the tree, printing included.
MOST_LEVELS = 60
LARGEST_WHOLE = 2**53
# Words that JavaScript keeps for itself, and names of the emitted module's own.
RESERVED = frozenset(
    "abstract arguments await boolean break byte case catch char class const continue debugger default "
    "delete do double else enum eval export extends false final finally float for function goto if "
    "implements import in instanceof int interface let long native new null package private protected "
    "public return static super switch synchronized this throw throws transient true try typeof var void "
    "volatile while with yield undefined NaN Infinity v K pi total angular".split()
)


class Curve(sympy.Function):
    """Curve(points, x): the value at x of the curve through declared or typed points."""


class Total(sympy.Function):
    """Total(k, first, last, term): the sum of `term` over whole k."""


def _plain(function: Any) -> Callable[..., Any]:
    return lambda *arguments: function(*arguments, evaluate=False)


FUNCTIONS: dict[str, tuple[int, int, Callable[..., Any]]] = {
    "sqrt": (1, 1, lambda x: sympy.Pow(x, sympy.Rational(1, 2), evaluate=False)),
    "exp": (1, 1, _plain(sympy.exp)),
    "log": (1, 1, _plain(sympy.log)),
    "sin": (1, 1, _plain(sympy.sin)),
    "cos": (1, 1, _plain(sympy.cos)),
    "tan": (1, 1, _plain(sympy.tan)),
    "asin": (1, 1, _plain(sympy.asin)),
    "acos": (1, 1, _plain(sympy.acos)),
    "atan": (1, 1, _plain(sympy.atan)),
    "abs": (1, 1, _plain(sympy.Abs)),
    "floor": (1, 1, _plain(sympy.floor)),
    "ceiling": (1, 1, _plain(sympy.ceiling)),
    "min": (2, 9, _plain(sympy.Min)),
    "max": (2, 9, _plain(sympy.Max)),
    # A gauge pressure taken as its height above the surrounding air: a number already, only its kind changes.
    "difference": (1, 1, lambda x: x),
    "angular": (1, 1, lambda x: sympy.Mul(sympy.Integer(2), sympy.pi, x, evaluate=False)),
}
_COMPARE = {
    ast.Lt: sympy.StrictLessThan,
    ast.LtE: sympy.LessThan,
    ast.Gt: sympy.StrictGreaterThan,
    ast.GtE: sympy.GreaterThan,
    ast.Eq: sympy.Eq,
    ast.NotEq: sympy.Ne,
}


def read_tree(text: str) -> ast.expr:
    """The syntax tree of a formula. Raises FormulaError for what is no expression."""
    if len(text) > MOST_CHARACTERS:
        raise FormulaError(
            f"the formula is longer than {MOST_CHARACTERS} characters.", "Split it over several answers."
        )
    try:
        tree = ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError) as error:
        reason = error.msg if isinstance(error, SyntaxError) else "it is nested too deep"
        raise FormulaError(
            f'"{_shown(text)}" is not a formula: {reason}.',
            'Write it as in "a * b / c"; powers are **, the root is sqrt( ).',
        ) from None
    _check_depth(tree)
    return tree


def _check_depth(tree: ast.expr) -> None:
    """Raise FormulaError for a tree that the later walks, which nest calls as deep as the tree, could not follow."""
    level: list[ast.AST] = [tree]
    for _ in range(MOST_LEVELS):
        level = [child for node in level for child in ast.iter_child_nodes(node)]
        if not level:
            return
    raise FormulaError(
        f"the formula is nested more than {MOST_LEVELS} deep.", "Split it over several answers."
    )


class Parser:
    """Turns trees into SymPy expressions, given the names that a formula may use and the curves it may call."""

    def __init__(self, names: Mapping[str, object], curves: Mapping[str, object]) -> None:
        self.names, self.curves = dict(names), dict(curves)

    def expression(self, tree: ast.expr) -> sympy.Expr:
        """The SymPy expression of a tree that gives a number."""
        made = self._visit(tree)
        if is_condition(made):
            raise FormulaError("a condition stands where a number is wanted.", 'Use "a if condition else b".')
        return made

    def condition(self, tree: ast.expr) -> Boolean:
        """The SymPy condition of a tree that gives true or false."""
        made = self._visit(tree)
        if not is_condition(made):
            raise FormulaError(
                "a number stands where a condition is wanted.", 'Compare it, as in "drop <= 0".'
            )
        return made

    def _visit(self, node: ast.expr) -> Any:
        reader = getattr(self, "_" + type(node).__name__, None)
        if reader is None:
            raise FormulaError(
                f'"{_shown(ast.unparse(node))}" may not stand in a formula.',
                "Use numbers, names, + - * / **, comparisons and the listed functions.",
            )
        return reader(node)

    def _Constant(self, node: ast.Constant) -> Any:
        if isinstance(node.value, bool) or not isinstance(node.value, int | float):
            raise FormulaError(f"{node.value!r} may not stand in a formula.", "Only plain numbers may.")
        if not abs(node.value) <= (LARGEST_WHOLE if isinstance(node.value, int) else sys.float_info.max):
            raise FormulaError("a number is too large to be exact.", "Write a large number as in 6.02e23.")
        return sympy.Integer(node.value) if isinstance(node.value, int) else sympy.Float(node.value, 17)

    def _Name(self, node: ast.Name) -> Any:
        if node.id == "pi":
            return sympy.pi
        if node.id not in self.names:
            raise FormulaError(f'the name "{node.id}" is not declared.', did_you_mean(node.id, self.names))
        return symbol(node.id)

    def _Attribute(self, node: ast.Attribute) -> Any:
        name = ast.unparse(node)
        if name not in self.names:
            raise FormulaError(f'"{_shown(name)}" is not declared.', did_you_mean(name, self.names))
        return symbol(name)

    def _BinOp(self, node: ast.BinOp) -> Any:
        left, right = self.expression(node.left), self.expression(node.right)
        if isinstance(node.op, ast.Add):
            return sympy.Add(left, right, evaluate=False)
        if isinstance(node.op, ast.Sub):
            return sympy.Add(left, sympy.Mul(sympy.Integer(-1), right, evaluate=False), evaluate=False)
        if isinstance(node.op, ast.Mult):
            return sympy.Mul(left, right, evaluate=False)
        if isinstance(node.op, ast.Div):
            return sympy.Mul(left, sympy.Pow(right, sympy.Integer(-1), evaluate=False), evaluate=False)
        if isinstance(node.op, ast.Pow):
            return sympy.Pow(left, right, evaluate=False)
        raise FormulaError(
            f'"{_shown(ast.unparse(node))}" may not stand in a formula.', "Use + - * / and **."
        )

    def _UnaryOp(self, node: ast.UnaryOp) -> Any:
        if isinstance(node.op, ast.Not):
            return sympy.Not(self.condition(node.operand), evaluate=False)
        operand = self.expression(node.operand)
        if isinstance(node.op, ast.UAdd):
            return operand
        if isinstance(node.op, ast.USub):
            return sympy.Mul(sympy.Integer(-1), operand, evaluate=False)
        raise FormulaError("the sign ~ may not stand in a formula.", "Use - or not.")

    def _Compare(self, node: ast.Compare) -> Any:
        if len(node.ops) != 1 or type(node.ops[0]) not in _COMPARE:
            raise FormulaError(
                "this comparison may not stand in a formula.",
                "Compare two sides with <, <=, >, >=, == or !=, joined by and, or.",
            )
        return _COMPARE[type(node.ops[0])](
            self.expression(node.left), self.expression(node.comparators[0]), evaluate=False
        )

    def _BoolOp(self, node: ast.BoolOp) -> Any:
        join = sympy.And if isinstance(node.op, ast.And) else sympy.Or
        return join(*[self.condition(value) for value in node.values], evaluate=False)

    def _IfExp(self, node: ast.IfExp) -> Any:
        return cases([(self.condition(node.test), self.expression(node.body))], self.expression(node.orelse))

    def _Call(self, node: ast.Call) -> Any:
        name = node.func.id if isinstance(node.func, ast.Name) else "…"
        if node.keywords or any(isinstance(argument, ast.Starred) for argument in node.args):
            raise FormulaError(
                f"{name}( ) is given named or starred arguments.", "Give plain arguments in order."
            )
        if name == "total":
            return self._total(node)
        if name in self.curves:
            _expect_arguments(name, node, 1, 1)
            return Curve(symbol(name), self.expression(node.args[0]))
        if name not in FUNCTIONS:
            raise FormulaError(
                f'the function "{name}" is not allowed.',
                did_you_mean(name, [*FUNCTIONS, *self.curves, "total"]),
            )
        least, most, build = FUNCTIONS[name]
        _expect_arguments(name, node, least, most)
        return build(*[self.expression(argument) for argument in node.args])

    def _total(self, node: ast.Call) -> Any:
        _expect_arguments("total", node, 4, 4)
        counter, first, last, term = node.args
        taken = {*self.names, *self.curves, *RESERVED, *FUNCTIONS}
        if not isinstance(counter, ast.Name) or counter.id in taken:
            raise FormulaError(
                "total( ) needs a new name as its counter.",
                'Write it as in "total(k, 1, threads, load / k)".',
            )
        inner = Parser({**self.names, counter.id: None}, self.curves)
        return Total(
            symbol(counter.id), self.expression(first), self.expression(last), inner.expression(term)
        )


def is_condition(made: Any) -> bool:
    """Whether a SymPy object is true or false; a bare symbol counts as a number, although SymPy lets it stand for either."""
    return isinstance(made, Relational | BooleanFunction | BooleanAtom)


def symbol(name: str) -> sympy.Symbol:
    """The SymPy symbol of a declared name; SymPy's own E, I, N, S never get in the way."""
    return sympy.Symbol(name, real=True)


def cases(rows: list[tuple[Any, Any]], otherwise: Any) -> Any:
    """The expression that is the value of the first row whose condition holds, else `otherwise`."""
    if any(condition.has(sympy.Piecewise) for condition, _ in rows):
        # SymPy would fold it into a form that the phone has no words for.
        raise FormulaError(
            "a condition holds a choice of its own.", "Give that choice a name as an answer first."
        )
    pairs = [sympy.Tuple(value, condition) for condition, value in rows]
    return sympy.Piecewise(*pairs, sympy.Tuple(otherwise, sympy.true), evaluate=False)


def _expect_arguments(name: str, node: ast.Call, least: int, most: int) -> None:
    if not least <= len(node.args) <= most:
        wanted = str(least) if least == most else f"{least} to {most}"
        raise FormulaError(f"{name}( ) is given {len(node.args)} values.", f"It takes {wanted}.")


def _shown(text: str) -> str:
    """A text as a message repeats it: never at more length than a reader looks at."""
    return text if len(text) <= MOST_SHOWN else text[:MOST_SHOWN] + "…"
