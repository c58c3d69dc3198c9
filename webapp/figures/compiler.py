"""From a FigureFile to a Figure: names, kinds, units and formulas checked, every mistake reported with its line."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from ..content.front_matter import Text
from ..content.records import CheckFile, SayFile, TakeFile
from .calculator import rows_known_after
from .formula_compiler import Scope, positive
from .gives_compiler import GivesCompiler
from .model import Check, Figure, Formula, Give, Limit, Picture, Remedy, Row, Sweep, Take
from .numbers import NumberProblem, read_number, split_quantity

MOST_SWEEP_STEPS = 500


class Compiler(GivesCompiler):
    """Compiles one file: its `figure`."""

    def figure(self) -> Figure:
        """The compiled Figure; stand-ins take the place of what had a problem."""
        record = self.record
        takes = tuple(replace(self._take(take), group=self._group(take)) for take in record.takes)
        constants = {str(c.name): self._constant(c.name, c.kind, c.value) for c in record.constants}
        gives = tuple(self._give(give) for give in record.gives)
        self._check_first()
        self._check_unlike(takes)
        self._check_fields(record.estimate, "estimate")
        refuse = tuple(self._refusal(say, gives) for say in record.refuse)
        figure = Figure(
            id=record.id,
            file=record.file,
            part=str(record.part),
            order=record.order,
            takes=takes,
            constants=constants,
            constant_units={
                str(c.name): (str(c.kind), self._unit_of(c.kind, c.value)) for c in record.constants
            },
            gives=gives,
            groups=tuple(str(name) for name, _ in record.groups),
            refuse=refuse,
            warn=tuple(self._row(say, "warn") for say in record.warn),
            verdict=tuple(self._row(say, "verdict", say.level) for say in record.verdict),
            remedies=tuple(self._remedy(remedy, takes, gives) for remedy in record.remedies),
            sweeps=tuple(self._sweep(sweep, takes, gives) for sweep in record.sweeps),
            needs=tuple(str(need) for need in record.needs),
            related=tuple(str(other) for other in record.related),
            checks=tuple(self._check(check, takes, gives) for check in record.checks),
        )
        self._check_last_row(record.verdict, "verdict")
        return figure

    def _group(self, take: TakeFile) -> str:
        """The group an input stands in: each has one where there are any."""
        groups = [str(name) for name, _ in self.record.groups]
        named = take.group or Text("", take.name.line)
        if groups and not named:
            self._complain(named.line, f"takes.{take.name}", "stands in no group.", "Name one of `groups`.")
        self._check_one_of(named, groups, f"takes.{take.name}.group")
        return str(named)

    def _refusal(self, say: SayFile, gives: tuple[Give, ...]) -> Row:
        row = self._row(say, "refuse")
        after = rows_known_after(row, gives)
        # It speaks as soon as its condition can be judged: answers further down have no number then.
        later = {give.name for give in gives[after:]} | {give.name for give in gives if not give.is_numeric}
        for name in sorted(later.intersection(re.findall(r"\{(\w+)\}", say.say))):
            what = f'the sentence names "{{{name}}}", which is not worked out yet when it refuses.'
            self._complain(
                say.say.line, "refuse", what, "Name only inputs and answers that its condition uses."
            )
        return Row(row.when, after)

    def _remedy(self, remedy: Any, takes: tuple[Take, ...], gives: tuple[Give, ...]) -> Remedy:
        numeric = [take.name for take in takes if take.is_numeric]
        self._check_one_of(remedy.solve, numeric, "remedies.solve")
        end = next((n for n, give in enumerate(gives) if give.is_late), len(gives))
        self._check_one_of(remedy.answer, [g.name for g in gives[:end] if g.is_numeric], "remedies.for")
        self._check_fields(remedy.say, "remedies.say")
        sort = self.scope.names.get(str(remedy.answer))
        return Remedy(
            str(remedy.solve),
            str(remedy.answer),
            self._formula(remedy.equals, sort, "remedies.equals"),
            self._condition(remedy.when, "remedies.when"),
            self._remedy_place(remedy),
        )

    def _remedy_place(self, remedy: Any) -> Formula | None:
        """Where along the run a remedy must hold; None where it says nothing of that."""
        if remedy.place is None:
            return None
        answers = {str(give.name) for give in self.record.gives}
        over = next((str(sweep.over) for sweep in self.record.sweeps if sweep.over in answers), "")
        if not over:
            what = "nothing runs in this Figure."
            self._complain(
                remedy.place.line, "remedies.at", what, "Add a sweep over an answer, or leave it out."
            )
            return None
        return self._formula(remedy.place, self.scope.names.get(over), "remedies.at")

    def _sweep(self, sweep: Any, takes: tuple[Take, ...], gives: tuple[Give, ...]) -> Sweep:
        drawable = [give.name for give in gives if give.is_numeric and not give.is_late]
        inputs = [take.name for take in takes if take.is_numeric]
        self._check_one_of(sweep.over, inputs + drawable, "sweeps.over")
        for name in [*sweep.draw, *(name for picture in sweep.pictures for name in picture.draw)]:
            self._check_one_of(name, drawable, "sweeps.draw")
        if not 1 <= sweep.steps <= MOST_SWEEP_STEPS:
            what = f"a sweep of {sweep.steps} steps cannot be drawn."
            self._complain(sweep.over.line, "sweeps.steps", what, f"Write 1 to {MOST_SWEEP_STEPS} steps.")
        sort = self.scope.names.get(str(sweep.over))
        outer = self.scope
        # Its ends are worked out before any answer is.
        answers = {give.name for give in gives}
        self.scope = Scope({name: known for name, known in outer.names.items() if name not in answers}, {})
        start, stop = (
            self._formula(text, sort, f"sweeps.{key}")
            for key, text in (("from", sweep.start), ("to", sweep.stop))
        )
        self.scope = outer
        draw = tuple(str(name) for name in sweep.draw)
        return Sweep(str(sweep.over), start, stop, sweep.steps, draw, self._pictures(sweep))

    def _pictures(self, sweep: Any) -> tuple[Picture, ...]:
        """Its pictures; one of all that it draws where none is described."""
        made = []
        for picture in sweep.pictures:
            for name in picture.draw:
                self._check_one_of(name, list(sweep.draw), "sweeps.pictures.draw")
            limits = tuple(self._limit(limit, picture) for limit in picture.limits)
            made.append(Picture(tuple(str(name) for name in picture.draw), limits))
        return tuple(made) or (Picture(tuple(str(name) for name in sweep.draw)),)

    def _limit(self, limit: Any, picture: Any) -> Limit:
        at = "sweeps.pictures.limits"
        self._check_one_of(limit.of, list(picture.draw), at)
        self._check_fields(limit.say, at)
        level = self._formula(limit.level, self.scope.names.get(str(limit.of)), at)
        return Limit(str(limit.of), level, limit.beyond)

    def _check(self, check: CheckFile, takes: tuple[Take, ...], gives: tuple[Give, ...]) -> Check:
        for name, text in check.given:
            self._check_one_of(name, [take.name for take in takes], "checks.given")
            table = next((take.table for take in takes if take.name == name and take.table), "")
            if table:
                self._check_one_of(text, list(self.tables[table]["rows"]), f"checks.given.{name}")
        for name, _ in check.expect:
            self._check_one_of(name, [give.name for give in gives if give.is_numeric], "checks.expect")
        within = self._within(check.within)
        given, expect = (
            {str(name): str(text) for name, text in pairs} for pairs in (check.given, check.expect)
        )
        return Check(given, expect, within, str(check.source), check.line)

    def _within(self, text: Text) -> tuple[str, float, str]:
        """('share', 0.001, '') for '0.1 %', ('flat', 0.05, 'kPa') for '0.05 kPa'."""
        if not text:
            return ("share", 0.0, "")
        number, unit = split_quantity(text)
        try:
            value = positive(read_number(number))
        except NumberProblem as problem:
            self._complain(
                text.line,
                "checks.within",
                f'"{text}" is no tolerance ({problem.code}).',
                'Write "0.1 %" or "0.05 kPa".',
            )
            return ("share", 0.0, "")
        return ("share", value / 100, "") if unit == "%" else ("flat", value, unit)

    def _check_first(self) -> None:
        """Exactly one answer, and one that is a number or a word, stands first."""
        gives = self.record.gives
        firsts = [give for give in gives if give.first]
        if gives and (len(firsts) != 1 or firsts[0].columns):
            place = firsts[1] if len(firsts) > 1 else firsts[0] if firsts else gives[0]
            self._complain(
                place.name.line,
                "gives",
                "not exactly one answer is marked first.",
                'Mark the main answer, which is no list, with "first: true".',
            )

    def _check_unlike(self, takes: tuple[Take, ...]) -> None:
        """An answer can stand in a unit unlike an input's only if both are of one kind, and that has two units."""
        for give in self.record.gives:
            kinds = [take.kind for take in takes if take.name == give.unlike]
            if not give.unlike or not self.units.has_kind(give.kind):
                continue
            if kinds != [give.kind] or len(self.units.table["kinds"][give.kind]["units"]) < 2:
                what = f'"{give.unlike}" is no input of this kind with a second unit.'
                self._complain(
                    give.unlike.line, f"gives.{give.name}.unlike", what, "Name an input of the same kind."
                )
