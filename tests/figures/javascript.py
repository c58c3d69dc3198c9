"""A small reader of the JavaScript expressions that formulas become, by the language's own rules of precedence.

It knows numbers, `v.name`, `v["name"]`, `Math.…`, `K.total`, arithmetic, comparisons, `&&`, `||`, `!` and `? :`, nothing else: an
expression with anything more is not read. Numbers are NumPy's, which never raise.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from figures.formula_trees import COMPARISONS, FUNCTIONS, OPERATORS

TOKEN = re.compile(
    r'\s*(?:(?P<number>[0-9][0-9.]*(?:e[-+]?[0-9]+)?)|(?P<text>"(?:[^"\\]|\\.)*")|(?P<word>[A-Za-z_][A-Za-z_0-9]*)'
    r"|(?P<sign>===|!==|<=|>=|=>|&&|\|\||[-+*/<>?:!().,\[\]]))"
)
MATH = {name: FUNCTIONS[name] for name in FUNCTIONS if name != "ceiling"} | {
    "ceil": np.ceil,
    "pow": np.power,
    "min": lambda *parts: np.minimum.reduce(list(parts)),
    "max": lambda *parts: np.maximum.reduce(list(parts)),
}
COMPARE = {"===": "==", "!==": "!=", "<": "<", "<=": "<=", ">": ">", ">=": ">="}
Values = Mapping[str, Any]
Read = Callable[[Values], Any]


class Reader:
    """Reads one expression from left to right; each method is one level of precedence, loosest first."""

    def __init__(self, text: str) -> None:
        self.tokens: list[tuple[str, str]] = []
        at = 0
        while at < len(text):
            found = TOKEN.match(text, at)
            assert found, f"no JavaScript at {text[at : at + 20]!r}"
            kind = str(found.lastgroup)
            self.tokens.append((kind, found[kind]))
            at = found.end()
        self.next = 0

    def peek(self) -> str:
        return self.tokens[self.next][1] if self.next < len(self.tokens) else ""

    def take(self, wanted: str = "") -> str:
        token = self.peek()
        assert token and (not wanted or token == wanted), f"{token!r} where {wanted!r} should stand"
        self.next += 1
        return token

    def choice(self) -> Read:
        test = self.either()
        if self.peek() != "?":
            return test
        self.take("?")
        body = self.choice()
        self.take(":")
        other = self.choice()
        return lambda v: body(v) if test(v) else other(v)

    def either(self) -> Read:
        parts = [self.both()]
        while self.peek() == "||":
            self.take()
            parts.append(self.both())
        return parts[0] if len(parts) == 1 else lambda v: any(bool(part(v)) for part in parts)

    def both(self) -> Read:
        parts = [self.compared()]
        while self.peek() == "&&":
            self.take()
            parts.append(self.compared())
        return parts[0] if len(parts) == 1 else lambda v: all(bool(part(v)) for part in parts)

    def compared(self) -> Read:
        left = self.sum()
        if self.peek() not in COMPARE:
            return left
        compare = COMPARISONS[COMPARE[self.take()]]
        right = self.sum()
        return lambda v: bool(compare(left(v), right(v)))

    def sum(self) -> Read:
        return self._folded(self.product, "+-")

    def product(self) -> Read:
        return self._folded(self.signed, "*/")

    def _folded(self, part: Callable[[], Read], signs: str) -> Read:
        made = part()
        while self.peek() in list(signs):
            made = _operation(OPERATORS[self.take()], made, part())
        return made

    def signed(self) -> Read:
        if self.peek() not in ("-", "!"):
            return self.atom()
        sign, inner = self.take(), self.signed()
        return (lambda v: np.negative(inner(v))) if sign == "-" else (lambda v: not inner(v))

    def atom(self) -> Read:
        kind, token = self.tokens[self.next]
        if kind == "number":
            self.take()
            return lambda v: np.float64(token)
        if token == "(":
            self.take("(")
            inner = self.choice()
            self.take(")")
            return inner
        if token in ("true", "false"):  # what is left of a condition that holds always or never
            self.take()
            return lambda v: token == "true"
        return {"v": self.value, "Math": self.mathematics, "K": self.kernel}[token]()

    def value(self) -> Read:
        self.take("v")
        if self.take() == ".":
            name = self.take()
        else:
            name = json.loads(self.take())
            self.take("]")
        return lambda v: np.float64(v[name])

    def mathematics(self) -> Read:
        self.take("Math")
        self.take(".")
        name = self.take()
        if name == "PI":
            return lambda v: np.float64(math.pi)
        parts = self.arguments()
        return lambda v: MATH[name](*[part(v) for part in parts])

    def kernel(self) -> Read:
        """K.total(v, "k", first, last, (v) => term)."""
        for token in ("K", ".", "total", "(", "v", ","):
            self.take(token)
        counter = json.loads(self.take())
        self.take(",")
        first = self.choice()
        self.take(",")
        last = self.choice()
        for token in (",", "(", "v", ")", "=>"):
            self.take(token)
        term = self.choice()
        self.take(")")

        def total(v: Values) -> Any:
            found = np.float64(0)
            for k in range(int(first(v)), int(last(v)) + 1):
                found = found + term({**v, counter: float(k)})
            return found

        return total

    def arguments(self) -> list[Read]:
        self.take("(")
        parts = [self.choice()]
        while self.peek() == ",":
            self.take()
            parts.append(self.choice())
        self.take(")")
        return parts


def _operation(operate: Callable[[Any, Any], Any], left: Read, right: Read) -> Read:
    return lambda v: operate(left(v), right(v))


def evaluated(text: str, values: Values) -> Any:
    """What a JavaScript expression comes to."""
    reader = Reader(text)
    made = reader.choice()
    assert not reader.peek(), f"left over: {reader.peek()!r} in {text}"
    with np.errstate(all="ignore"):
        return made(values)
