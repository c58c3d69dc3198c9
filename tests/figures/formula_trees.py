"""Random formulas with values of their own: the same tree as a formula's text and as a number by NumPy's arithmetic.

NumPy's doubles never raise: they give NaN and infinities as JavaScript does, by code that shares nothing with ours.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from hypothesis import strategies as st

from webapp.errors import FormulaError
from webapp.figures.lower import lower
from webapp.figures.parse import Parser, read_tree

NAMES = ("a", "b", "c", "fuel.density")
FLOATS = st.floats(-1e6, 1e6, allow_nan=False) | st.sampled_from([0.0, 1.0, -1.0, 0.5, 2.0, 1e-9, 1e12])


@dataclass(frozen=True)
class Tree:
    """A formula: `text` as a writer types it and `value` of the names' values."""

    text: str
    value: Callable[[dict[str, Any]], Any]


def _one(function: Callable[[float], float]) -> Callable[[Any], Any]:
    """A function of the mathematics library as a function that never raises; beyond its domain stands NaN."""

    def safe(x: Any) -> Any:
        try:
            return np.float64(function(float(x)))
        except ValueError:
            return np.float64(math.nan)
        except OverflowError:
            return np.float64(math.inf)

    return safe


def _log(x: float) -> float:
    return -math.inf if x == 0 else math.log(x)


FUNCTIONS: dict[str, Callable[..., Any]] = {
    "sqrt": np.sqrt, "exp": _one(math.exp), "log": _one(_log), "sin": _one(math.sin), "cos": _one(math.cos), "tan": _one(math.tan),
    "asin": _one(math.asin), "acos": _one(math.acos), "atan": _one(math.atan), "abs": np.abs, "floor": np.floor, "ceiling": np.ceil,
}  # fmt: skip
OPERATORS: dict[str, Callable[[Any, Any], Any]] = {
    "+": np.add, "-": np.subtract, "*": np.multiply, "/": np.divide, "**": np.power,
}  # fmt: skip
COMPARISONS: dict[str, Callable[[Any, Any], Any]] = {
    "<": np.less, "<=": np.less_equal, ">": np.greater, ">=": np.greater_equal, "==": np.equal, "!=": np.not_equal,
}  # fmt: skip


def _constant(number: float) -> Tree:
    return Tree(repr(number), lambda v: np.float64(number))


def _name(name: str) -> Tree:
    return Tree(name, lambda v: np.float64(v[name]))


LEAVES = (
    st.sampled_from(NAMES).map(_name) | st.integers(0, 99).map(_constant) | st.floats(0, 1e6).map(_constant)
)


def _operation(left: Tree, sign: str, right: Tree) -> Tree:
    return Tree(
        f"({left.text}) {sign} ({right.text})", lambda v: OPERATORS[sign](left.value(v), right.value(v))
    )


def _call(name: str, inner: Tree) -> Tree:
    return Tree(f"{name}({inner.text})", lambda v: FUNCTIONS[name](inner.value(v)))


def _extreme(name: str, parts: list[Tree]) -> Tree:
    reduce = np.minimum.reduce if name == "min" else np.maximum.reduce
    return Tree(
        f"{name}({', '.join(part.text for part in parts)})",
        lambda v: reduce([part.value(v) for part in parts]),
    )


def _negated(inner: Tree) -> Tree:
    return Tree(f"-({inner.text})", lambda v: np.negative(inner.value(v)))


def _chosen(body: Tree, test: Tree, other: Tree) -> Tree:
    return Tree(
        f"({body.text}) if ({test.text}) else ({other.text})",
        lambda v: body.value(v) if test.value(v) else other.value(v),
    )


def _summed(first: int, count: int, term: Tree) -> Tree:
    """A sum over k, by which each name `a` in the term is multiplied."""

    def value(v: dict[str, Any]) -> Any:
        found = np.float64(0)
        for k in range(first, first + count):
            found = found + np.float64(k) * term.value(v)
        return found

    return Tree(f"total(k, {first}, {first + count - 1}, k * ({term.text}))", value)


def _joined(parts: list[Tree], word: str) -> Tree:
    together = all if word == "and" else any
    return Tree(
        f" {word} ".join(f"({part.text})" for part in parts),
        lambda v: together([bool(part.value(v)) for part in parts]),
    )


def _denied(inner: Tree) -> Tree:
    return Tree(f"not ({inner.text})", lambda v: not inner.value(v))


def _comparison(left: Tree, sign: str, right: Tree) -> Tree:
    return Tree(
        f"({left.text}) {sign} ({right.text})",
        lambda v: bool(COMPARISONS[sign](left.value(v), right.value(v))),
    )


SIMPLE = LEAVES | st.builds(_operation, LEAVES, st.sampled_from(["+", "-", "*"]), LEAVES)
COMPARED = st.builds(_comparison, SIMPLE, st.sampled_from(sorted(COMPARISONS)), SIMPLE)


def _conditions(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    several = st.builds(_joined, st.lists(inner, min_size=2, max_size=3), st.sampled_from(["and", "or"]))
    return inner | several | st.builds(_denied, inner)


CONDITIONS = _conditions(_conditions(COMPARED))


def _grown(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    return st.one_of(
        st.builds(_operation, inner, st.sampled_from(sorted(OPERATORS)), inner),
        st.builds(_negated, inner),
        st.builds(_call, st.sampled_from(sorted(FUNCTIONS)), inner),
        st.builds(_extreme, st.sampled_from(["min", "max"]), st.lists(inner, min_size=2, max_size=3)),
        st.builds(_chosen, inner, CONDITIONS, inner),
    )


def _can_be_asked(tree: Tree) -> bool:
    """Whether no condition in it is one that can never hold, which is refused as a slip of the writer."""
    try:
        lower(Parser(dict.fromkeys(NAMES), {}).expression(read_tree(tree.text)))
    except FormulaError as error:
        return error.what != "the condition can never hold."
    return True


FORMULAS = st.recursive(LEAVES, _grown, max_leaves=12).filter(_can_be_asked)
SUMS = st.builds(_summed, st.integers(-3, 3), st.integers(0, 5), FORMULAS)
VALUES = st.fixed_dictionaries(dict.fromkeys(NAMES, FLOATS))


def same(one: float, other: float) -> bool:
    """Whether two results are one number: NaN is NaN, and the last bits of a power may differ between libraries."""
    one, other = float(one), float(other)
    if math.isnan(one) or math.isnan(other):
        return math.isnan(one) and math.isnan(other)
    return one == other or math.isclose(one, other, rel_tol=1e-12)
