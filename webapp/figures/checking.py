"""Runs the checks that a Figure's file carries: typed inputs through the same reading and computing as a reader's."""

from __future__ import annotations

from typing import Any

from ..errors import Problem
from .calculator import Calculator
from .model import Check, Figure
from .numbers import NumberProblem, read_quantity


def check_figure(
    figure: Figure, calculator: Calculator, units: dict[str, Any], tables: dict[str, Any]
) -> list[Problem]:
    """A problem for each check that does not come out."""
    found = []
    for check in figure.checks:
        try:
            found.extend(_run(figure, check, calculator, units, tables))
        except NumberProblem as problem:
            found.append(
                _problem(
                    figure,
                    check,
                    f"a number or unit in it cannot be read ({problem.code}: {problem.fields}).",
                    "Correct it.",
                )
            )
    return found


def default_givens(figure: Figure) -> dict[str, Any]:
    """The inputs a Figure opens with, SI."""
    return {take.name: take.default for take in figure.takes}


def givens_from_texts(
    figure: Figure, texts: dict[str, str], units: dict[str, Any], tables: dict[str, Any]
) -> dict[str, Any]:
    """SI inputs from typed texts over the defaults; a choice brings its row's values along. Raises NumberProblem."""
    givens = default_givens(figure)
    for take in figure.takes:
        if take.type == "choice" and take.name in texts:
            givens[take.name] = texts[take.name]
    for take in figure.takes:
        if take.brings:
            choice, column = take.brings.split(".")
            givens[take.name] = tables[figure.take(choice).table]["rows"][givens[choice]][column]
        if take.type in ("quantity", "count") and take.name in texts:
            givens[take.name] = read_quantity(texts[take.name], take.kind, units, take.unit).si
    return givens


def _run(
    figure: Figure, check: Check, calculator: Calculator, units: dict[str, Any], tables: dict[str, Any]
) -> list[Problem]:
    outcome = calculator.evaluate(givens_from_texts(figure, check.given, units, tables))
    if outcome.refusal:
        return [
            _problem(
                figure,
                check,
                f"the Figure refuses ({outcome.refusal}).",
                "Correct the inputs or the refusal.",
            )
        ]
    found = []
    for name, text in check.expect.items():
        give = figure.give(name)
        expected = read_quantity(text, give.kind, units, give.unit).si
        computed = outcome.values[name]
        if not abs(computed - expected) <= _tolerance(check, expected, give.kind, units):
            found.append(
                _problem(
                    figure,
                    check,
                    f"{name} comes to {computed!r} (SI), expected {expected!r}.",
                    f"Correct the formula or the check ({check.source}).",
                )
            )
    return found


def _tolerance(check: Check, expected: float, kind: str, units: dict[str, Any]) -> float:
    how, width, unit = check.within
    if how == "share":
        return width * abs(expected)
    named = unit or units["kinds"][kind]["units"][0]
    reading = read_quantity(f"1 {named}", kind, units, named)
    return width * float(units["units"][reading.unit]["factor"])


def _problem(figure: Figure, check: Check, what: str, mend: str) -> Problem:
    return Problem(figure.file, check.line, "checks", what, mend)
