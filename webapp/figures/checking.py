"""Runs the checks that a Figure's file carries: typed inputs through the same reading and computing as a reader's."""

from __future__ import annotations

from typing import Any

from ..errors import Problem
from .calculator import Calculator
from .display import in_unit, with_unit
from .model import Check, Figure, Take
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
            about = problem.fields.get("unit") or problem.fields.get("text") or ""
            what = f'"{about}" in it cannot be read ({problem.code}).'
            mend = how_to_write(problem, "Write a number and a unit of the right kind.")
            found.append(_problem(figure, check, what, mend))
    return found


def how_to_write(problem: NumberProblem, otherwise: str) -> str:
    """How to mend a number that cannot be read: for one that can mean two, both ways to write it."""
    if problem.code != "ambiguous":
        return otherwise
    return f"Write {problem.fields['type_a']} or {problem.fields['type_b']}."


def default_givens(figure: Figure) -> dict[str, Any]:
    """The inputs a Figure opens with, SI."""
    return {take.name: take.default for take in figure.takes}


def givens_from_texts(
    figure: Figure, texts: dict[str, str], units: dict[str, Any], tables: dict[str, Any]
) -> dict[str, Any]:
    """SI inputs from typed texts over the defaults; a choice brings its row's values along. Raises NumberProblem."""
    givens = default_givens(figure)
    for take in figure.takes:
        if take.type == "points" and take.name in texts:
            givens[take.name] = read_points(texts[take.name], take, units)
    for take in figure.takes:
        if take.type == "choice" and take.name in texts:
            givens[take.name] = texts[take.name]
    for take in figure.takes:
        if take.brings:
            choice, column = take.brings.split(".")
            givens[take.name] = tables[figure.take(choice).table]["rows"][givens[choice]][column]
            if givens[take.name] is None and take.name not in texts:
                raise NumberProblem("empty", text=f"{take.brings} of {givens[choice]}")
        if take.type in ("quantity", "count") and take.name in texts:
            givens[take.name] = read_quantity(texts[take.name], take.kind, units, take.unit).si
    return givens


def read_points(text: str, take: Take, units: dict[str, Any]) -> list[list[float]]:
    """[x, y] SI pairs of a curve typed as 'x: y; x: y', each side with a unit or in the curve's own. Raises NumberProblem."""
    points = []
    for part in text.split(";"):
        x, _, y = part.partition(":")
        across = read_quantity(x, take.across["kind"], units, take.across["unit"])
        points.append([across.si, read_quantity(y, take.kind, units, take.unit).si])
    return points


def _run(
    figure: Figure, check: Check, calculator: Calculator, units: dict[str, Any], tables: dict[str, Any]
) -> list[Problem]:
    outcome = calculator.evaluate(givens_from_texts(figure, check.given, units, tables))
    if outcome.refusal:
        said = outcome.refusal
        about = f"refuse[{said.index + 1}]" if said.reason == "said" else f"{said.name}: {said.reason}"
        return [
            _problem(figure, check, f"the Figure refuses ({about}).", "Correct the inputs or the refusal.")
        ]
    found = []
    for name, text in check.expect.items():
        give = figure.give(name)
        expected = read_quantity(text, give.kind, units, give.unit).si
        computed = outcome.values[name]
        if not abs(computed - expected) <= _tolerance(check, expected, give.kind, units):
            unit = units["units"][give.unit]
            told = [with_unit(f"{in_unit(si, unit):.10g}", unit["symbol"]) for si in (computed, expected)]
            what = f"{name} comes to {told[0]}, expected {told[1]}."
            found.append(_problem(figure, check, what, f"Correct the formula or the check ({check.source})."))
    return found


def _tolerance(check: Check, expected: float, kind: str, units: dict[str, Any]) -> float:
    how, width, unit = check.within
    if how == "share":
        return width * abs(expected)
    first = units["kinds"][kind]["units"][0]
    # A width without a unit stands for a plain number only, and for what has but one unit.
    if not unit and len(units["kinds"][kind]["units"]) > 1 and "" not in units["units"][first]["names"]:
        raise NumberProblem("unknown_unit", text=f"{width:g}")
    reading = read_quantity(f"1 {unit}", kind, units, first)
    return width * float(units["units"][reading.unit]["factor"])


def _problem(figure: Figure, check: Check, what: str, mend: str) -> Problem:
    return Problem(figure.file, check.line, "checks", what, mend)
