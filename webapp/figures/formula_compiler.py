"""Formulas, names and kinds of one file: checked, compiled, every mistake reported with its line. The rest of the compiler builds on it."""

from __future__ import annotations

import ast
import keyword
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from ..content.front_matter import Text
from ..content.records import FigureFile, TakeFile
from ..errors import FormulaError, Problem, did_you_mean
from .checking import how_to_write
from .dimensions import Dimensions
from .emit_js import javascript
from .emit_mathml import mathml
from .lower import lower
from .model import Formula
from .natures import NUMBER, Sort, check_declared
from .numbers import NumberProblem, read_quantity
from .parse import FUNCTIONS, RESERVED, Parser, read_tree
from .units import Units

# Words of addresses beside the names of inputs and answers: `?solve=rail` asks for an input.
ADDRESS_WORDS = frozenset({"solve"})

# A choice's column that holds words instead of numbers has no sort and may not stand in a formula.
Columns = Mapping[str, Mapping[str, Any]]

NOTHING = Formula(0, "0")
ALWAYS = Formula(["true"], "true")


@dataclass
class Scope:
    """Names a formula may use at this point, with their sorts, and the curves it may call."""

    names: dict[str, Sort]
    curves: dict[str, tuple[Sort, Sort]]

    def with_names(self, **more: Sort) -> Scope:
        return Scope({**self.names, **more}, self.curves)


class FormulaCompiler:
    """Compiles the formulas of one file. `tables` maps table id -> {"columns": {name: {kind, unit}}, "rows": {row id: …}}."""

    def __init__(self, record: FigureFile, units: Units, tables: Columns, problems: list[Problem]) -> None:
        self.record, self.units, self.tables, self.problems = record, units, tables, problems
        self.scope = Scope({}, {})
        self.taken: set[str] = set()
        # Names whose own declaration has a problem: what a formula that uses them would be told is untrue.
        self.unsure: set[str] = set()

    def _formula(self, text: Text, sort: Sort | None, at: str, name: str = "") -> Formula:
        """The formula of a text that must be of `sort`; None for any, where what asks for it is itself unknown."""

        def build() -> Formula:
            tree = read_tree(text)
            return self._finish(self._typed(tree, sort), mathml(name, tree))

        return self._guard(text, at, build, NOTHING)

    def _free_formula(self, text: Text, at: str) -> tuple[Formula, Sort]:
        """A local formula, whose sort is whatever comes out."""

        def build() -> tuple[Formula, Sort]:
            tree = read_tree(text)
            expression = self._parser().expression(tree)
            return self._finish(expression, ""), self._dimensions().of(tree)

        return self._guard(text, at, build, (NOTHING, NUMBER))

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

        return self._guard(text, at, build, NOTHING)

    def _condition(self, text: Text, at: str) -> Formula:
        return self._guard(text, at, lambda: self._finish(self._judged(read_tree(text)), ""), ALWAYS)

    def _typed(self, tree: ast.expr, sort: Sort | None) -> Any:
        expression = self._parser().expression(tree)
        found = self._dimensions().of(tree)
        if sort is not None:
            check_declared(found, sort)
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

    def _guard(self, text: Text, at: str, build: Callable[[], Any], otherwise: Any) -> Any:
        """What `build` makes of a text, or `otherwise` after reporting its mistake; a missing text is reported already."""
        if not text:
            return otherwise
        try:
            return build()
        except FormulaError as error:
            words = {
                part for word in re.findall(r"\w+(?:\.\w+)?", text) for part in (word, word.split(".")[0])
            }
            if not self.unsure & words:
                self._complain(text.line, at, error.what, error.mend)
            return otherwise

    # -- names and kinds

    def _check_name(self, name: Text, at: str) -> None:
        """Complain of a name that cannot stand for an input, a constant, an answer or a column of one."""
        self._check_word(name, at)
        self.taken.add(str(name))

    def _check_word(self, name: Text, at: str) -> None:
        """The same for a name that counts inside one answer only."""
        is_word = re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*", name) and not keyword.iskeyword(name)
        if not is_word or name in RESERVED or name in FUNCTIONS or name in ADDRESS_WORDS:
            self._complain(
                name.line,
                f"{at}.{name}",
                "this name cannot be used in a formula.",
                "Use small letters, digits and _, and no word of the formula language.",
            )
        elif name in self.taken:
            self._complain(name.line, f"{at}.{name}", "this name is taken already.", "Choose another.")

    def _known_kind(self, kind: Text, unit: Text | None, at: str) -> bool:
        """Whether kind and unit are known and fit; what is missing altogether is reported already."""
        if not kind or unit == "":
            return False
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
        return bool(listed)

    def _complain(self, line: int, key: str, what: str, mend: str) -> None:
        self.problems.append(Problem(self.record.file, line, key, what, mend))

    def _check_one_of(self, name: Text, known: list[str], at: str) -> None:
        if name and name not in known:
            self._complain(name.line, at, f'"{name}" is not declared.', did_you_mean(name, known))

    def _number(self, text: Text, take: TakeFile, at: str) -> float:
        """SI number of a text in the take's unit; a unit behind it is allowed. NaN where it has a problem."""
        if not text:
            return math.nan
        try:
            return float(read_quantity(text, str(take.kind), self.units.table, str(take.unit)).si)
        except NumberProblem as problem:
            self._complain(
                text.line,
                at,
                f'"{text}" is no number of this kind ({problem.code}).',
                how_to_write(problem, f"Write a number in {take.unit}."),
            )
            return math.nan


def positive(number: float) -> float:
    """A width, which cannot be below nought."""
    if number < 0:
        raise NumberProblem("negative")
    return number


def _minus(left: Any, right: Any) -> Any:
    import sympy

    return sympy.Add(left, sympy.Mul(sympy.Integer(-1), right, evaluate=False), evaluate=False)
