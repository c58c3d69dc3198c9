"""One Figure compiled from the text of a content file, through the real reader and with the real units."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from webapp.content.figure_file import read_figure
from webapp.content.front_matter import read_document
from webapp.content.other_files import read_table
from webapp.content.sections import Section
from webapp.errors import Problem
from webapp.figures.calculator import Calculator, Outcome
from webapp.figures.checking import givens_from_texts
from webapp.figures.choices import choice_values
from webapp.figures.compiler import Compiler
from webapp.figures.model import Figure
from webapp.figures.numbers import read_quantity
from webapp.figures.tables import compile_table
from webapp.figures.units import Units, read_units

CONTENT = Path(__file__).resolve().parent.parent.parent / "content"
HEAD = "title: T\nsummary: S\npart: general\norder: 1\nsources: [Made up for a test.]\n"


@lru_cache
def real_units() -> Units:
    """The units of content/units.md."""
    problems: list[Problem] = []
    document = read_document("content/units.md", (CONTENT / "units.md").read_text(encoding="utf-8"), problems)
    assert document
    units = read_units(Section(document.file, document.front, problems))
    assert not problems
    return units


@dataclass
class Worked:
    """A Figure with its calculator; inputs are typed as texts, answers come out in SI or in a unit."""

    figure: Figure
    calculator: Calculator
    tables: dict[str, Any]

    def givens(self, **typed: str) -> dict[str, Any]:
        return givens_from_texts(self.figure, typed, real_units().table, self.tables)

    def evaluate(self, **typed: str) -> Outcome:
        return self.calculator.evaluate(self.givens(**typed))

    def answers(self, **typed: str) -> dict[str, Any]:
        outcome = self.evaluate(**typed)
        assert outcome.refusal is None
        return outcome.values

    def refusal(self, **typed: str) -> tuple[str, str]:
        """(reason, name) of the refusal that there must be."""
        refusal = self.evaluate(**typed).refusal
        assert refusal is not None
        return refusal.reason, refusal.name or str(refusal.index)

    def si(self, name: str, text: str) -> float:
        """SI number of a text in the unit of an input or an answer."""
        spec: Any = next(each for each in (*self.figure.takes, *self.figure.gives) if each.name == name)
        return read_quantity(text, spec.kind, real_units().table, spec.unit).si


def worked(text: str, **tables: str) -> Worked:
    """The Figure of a front matter without title, part and checks; `tables` maps a table's id (with _ for -) to its file's text."""
    problems: list[Problem] = []
    made = {}
    for name, table in tables.items():
        document = read_document(f"content/tables/{name}.md", table, problems)
        assert document
        made[name] = compile_table(read_table(name, document, problems), real_units(), problems)
    document = read_document("content/figures/one.md", f"---\n{HEAD}{text}---\n", problems)
    assert document
    record = read_figure("one", document, problems)
    # A Figure of a test stands without checks: the test is the check.
    problems = [problem for problem in problems if problem.key != "checks"]
    figure = Compiler(record, real_units(), made, problems).figure()
    assert not problems, "\n".join(map(str, problems))
    return Worked(figure, Calculator(figure, choice_values(made)), made)
