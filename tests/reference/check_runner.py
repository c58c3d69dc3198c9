"""Runs outside checks: reads a file of them, finds for each result the Figure or table that gives it, and compares.

An entry is {"id", "topic", "what", "given": {name: "number unit"}, "expect": {name: "number unit"}, "tolerance", "source",
"basis"}, `given` may be empty. Which Figure answers is found by topic and names, never by id, so that other files run too; the
tables of that are check_ways_*.py.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any

from reference.check_amounts import own_unit, si, tolerance
from reference.check_gaps import why_not
from reference.check_ways import Cells, NoAnswer, Way, fitting, told, value_of

from webapp.errors import NoSolution
from webapp.figures.checking import givens_from_texts

# Figures that say a number again in other units: the input ('' for each one), and how its twin among the answers is called.
SAY_AGAIN = (
    ("any-unit", "", "{}_too"),
    ("torque-units", "torque", "same"),
    ("pressure-units", "gauge", "same"),
    ("injector-units", "flow", "same"),
    ("fluid-volumes", "volume", "same"),
)


@dataclass(frozen=True)
class Question:
    """One result that is asked for, with the inputs that belong to it. `name` is without, `full_name` with its letter."""

    topic: str
    what: str
    given: Mapping[str, float]
    texts: Mapping[str, str]
    name: str
    full_name: str
    expected: str


@dataclass(frozen=True)
class Found:
    """One comparison: who computed, SI numbers, whether they agree within the entry's tolerance."""

    name: str
    by: str
    computed: float
    expected: float
    agrees: bool

    def __str__(self) -> str:
        return f"{self.name} by {self.by}: {self.computed:.10g}, expected {self.expected:.10g} (SI)"


@dataclass(frozen=True)
class Result:
    """What became of one entry: the comparisons made, and for every result that none was made for the reason."""

    found: tuple[Found, ...]
    not_run: Mapping[str, str]

    @property
    def faults(self) -> list[str]:
        return [str(found) for found in self.found if not found.agrees]


def read_checks(path: Path) -> list[dict[str, Any]]:
    """The entries of a file. Raises ValueError naming the first entry that lacks a key."""
    entries: list[dict[str, Any]] = json.loads(path.read_text(encoding="utf-8"))
    for number, entry in enumerate(entries, 1):
        lacking = [key for key in ("id", "topic", "what", "given", "expect", "tolerance") if key not in entry]
        if lacking:
            raise ValueError(f"{path.name}, entry {number}: lacks {', '.join(lacking)}.")
    return entries


def run(book: Any, entry: Mapping[str, Any]) -> Result:
    """Compute all results of one entry in every way that fits, and compare. What cannot be read is not run, and says so."""
    try:
        return _compared(book, entry)
    except ValueError as error:
        return Result((), dict.fromkeys(entry["expect"], str(error)))


def _compared(book: Any, entry: Mapping[str, Any]) -> Result:
    allowed = tolerance(entry["tolerance"], book.units)
    found: list[Found] = []
    not_run: dict[str, str] = {}
    for question in questions(entry, book.units):
        expected = si(question.expected, book.units)
        reasons = []
        before = len(found)
        for by, answer in answers(book, question):
            if isinstance(answer, NoAnswer):
                reasons.append(f"{by}: {answer}")
            else:
                found.append(
                    Found(question.full_name, by, answer, expected, allowed.allows(answer, expected))
                )
        if len(found) == before:
            not_run[question.full_name] = "; ".join(reasons) or why_not(question.topic, question.name)
    return Result(tuple(found), not_run)


def questions(entry: Mapping[str, Any], units: dict[str, Any]) -> Iterator[Question]:
    """Each result with its own inputs: one whose name ends in _a goes with the inputs that end in _a and those without a letter."""
    letters = {name[-1] for name in entry["given"] if _letter(name)} & {
        name[-1] for name in entry["expect"] if _letter(name)
    }
    for full_name, expected in entry["expect"].items():
        letter = full_name[-1] if _letter(full_name) and full_name[-1] in letters else ""
        texts = {
            name[:-2] if letter and name.endswith(f"_{letter}") else name: text
            for name, text in entry["given"].items()
            if not (letter and _letter(name) and name[-1] in letters - {letter})
        }
        given = {name: si(text, units) for name, text in texts.items()}
        name = full_name[:-2] if letter else full_name
        yield Question(entry["topic"], entry["what"], given, texts, name, full_name, expected)


def answers(book: Any, question: Question) -> Iterator[tuple[str, float | NoAnswer]]:
    """(who, SI number or why there is none) of every Figure and table that the question fits."""
    for way, groups in fitting(question.topic, question.what, question.given, question.name):
        ask = _ask_table if isinstance(way, Cells) else _ask_figure
        by = way.table if isinstance(way, Cells) else way.figure
        try:
            yield by, ask(book, way, {**question.given, **groups}, question.name)  # type: ignore[arg-type]
        except NoAnswer as reason:
            yield by, reason
    # One input that comes back under its own name is a conversion.
    if set(question.given) == {question.name}:
        yield from _said_again(book, question)


def _letter(name: str) -> bool:
    return re.search(r"_[a-z]$", name) is not None


def _ask_figure(book: Any, way: Way, names: Mapping[str, Any], name: str) -> float:
    if way.figure not in book.figures:
        raise NoAnswer("there is no such Figure yet")
    figure, calculator = book.figures[way.figure], book.calculator(way.figure)
    taken = {take: value_of(source, names) for take, source in way.take.items()}
    rows = {take: row for take, row in taken.items() if isinstance(row, str)}
    for take, row in rows.items():
        if row not in book.tables[figure.take(take).table]["rows"]:
            raise NoAnswer(f'"{row}" is not among the rows to choose from')
    givens = givens_from_texts(figure, {**way.fixed, **rows}, book.units, book.tables)
    givens.update({take: value for take, value in taken.items() if take not in rows})
    if way.solve:
        unknown, answer, wanted = way.solve
        try:
            givens[unknown] = calculator.solve(unknown, answer, value_of(wanted, names), givens)
        except NoSolution as reason:
            raise NoAnswer(f"no {unknown} gives that {answer}") from reason
    outcome = calculator.evaluate(givens)
    if outcome.refusal:
        raise NoAnswer(f"refuses ({outcome.refusal.reason} {outcome.refusal.name})")
    known = {**names, **figure.constants, **givens, **outcome.values}
    return float(value_of(told(way.give, name), known))


def _ask_table(book: Any, way: Cells, names: Mapping[str, Any], name: str) -> float:
    row = value_of(way.row, names)
    cells = book.tables.get(way.table, {"rows": {}})["rows"].get(row)
    if cells is None:
        raise NoAnswer(f'has no row "{row}"')
    value = value_of(told(way.give, name), {**names, **cells})
    if isinstance(value, str):
        value = cells[value]
    if value is None:
        raise NoAnswer(f'the cell of "{row}" is empty')
    return float(value)


def _said_again(book: Any, question: Question) -> Iterator[tuple[str, float | NoAnswer]]:
    unit = own_unit(question.texts[question.name])
    given = question.given[question.name]
    for figure_id, only, twin in SAY_AGAIN:
        figure = book.figures.get(figure_id)
        for take in figure.takes if figure else ():
            kind = book.units["kinds"].get(take.kind, {"units": []})
            # A rise and a reading share kelvin: the name of the unit tells them apart.
            if not take.is_numeric or unit not in kind["units"] or only not in ("", take.name):
                continue
            give = twin.format(take.name)
            if any(give == other.name and take.kind == other.kind for other in figure.gives):
                way = Way(question.topic, figure_id, {take.name: question.name}, {question.name: give})
                answer: float | NoAnswer
                try:
                    answer = _ask_figure(book, way, {question.name: given}, question.name)
                except NoAnswer as reason:
                    answer = reason
                yield f"{figure_id} ({take.name})", answer


def listing(results: Mapping[str, Result]) -> list[str]:
    """Lines 'entry: result, result: reason' of everything that did not run, and the count."""
    lines = []
    for entry_id, result in results.items():
        by_reason: dict[str, list[str]] = {}
        for name, reason in result.not_run.items():
            by_reason.setdefault(reason, []).append(name)
        lines += [f"{entry_id}: {', '.join(names)}: {reason}" for reason, names in by_reason.items()]
    ran = [result for result in results.values() if result.found]
    full = sum(not result.not_run for result in ran)
    compared = len(list(chain.from_iterable(result.found for result in ran)))
    head = f"{len(ran)} of {len(results)} entries run ({full} with every result), {compared} comparisons. Not run:"
    return [head, *lines]
