"""Answers of a Figure's file: formulas, cases, equations, words, series."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from ..content.front_matter import Text
from ..content.records import GiveFile, SayFile
from ..errors import did_you_mean
from .emit_mathml import mathml_cases
from .formula_compiler import ALWAYS, NOTHING
from .model import Column, Formula, Give, Row
from .natures import NUMBER, Sort
from .numbers import NumberProblem, read_quantity
from .parse import cases, read_tree
from .takes_compiler import TakesCompiler

# A name in a sentence; behind a point, how low or how high that answer may lie.
FIELD = r"\{(\w+)(\.low|\.high)?\}"


class GivesCompiler(TakesCompiler):
    """Adds answers, in the file's order, to what later formulas may name."""

    def _give(self, give: GiveFile) -> Give:
        name, at = str(give.name), f"gives.{give.name}"
        self._check_name(give.name, "gives")
        shared: dict[str, Any] = {
            "name": name,
            "kind": str(give.kind),
            "unit": str(give.unit),
            "first": give.first,
            "shown": give.shown,
            "unlike": str(give.unlike),
            "asked": give.asked,
            "setup": str(give.setup or ""),
        }
        if give.words:
            rows = tuple(self._row(say, at).when for say in give.words)
            self._check_last_row(give.words, at)
            return Give(**shared, type="words", rows=rows)
        if give.columns:
            return self._series(give, shared, at)
        if not self._known_kind(give.kind, give.unit, at):
            self.unsure.add(name)
            return Give(**shared, type="formula", formula=NOTHING)
        sort = self.units.sort_of(give.kind)
        if give.way:
            made = self._found_on_run(give, shared, at)
        elif give.equation is not None:
            made = self._root(give, shared, sort, at)
        else:
            made = self._formula_give(give, shared, sort, at)
        self.scope.names[name] = sort
        return made

    def _formula_give(self, give: GiveFile, shared: dict[str, Any], sort: Sort, at: str) -> Give:
        if give.cases:
            return Give(**shared, type="formula", formula=self._cases(give, sort, at))
        formula = NOTHING
        if give.formula is not None:
            formula = self._formula(give.formula, sort, f"{at}.formula", name=str(give.name))
        return Give(**shared, type="formula", formula=formula)

    def _root(self, give: GiveFile, shared: dict[str, Any], sort: Sort, at: str) -> Give:
        assert give.equation is not None and give.low is not None and give.high is not None
        low, high = (
            self._bound(give.low, give, sort, f"{at}.from"),
            self._bound(give.high, give, sort, f"{at}.to"),
        )
        outer = self.scope
        self.scope = outer.with_names(**{str(give.name): sort})
        where = []
        for name, text in give.where:
            self._check_word(name, f"{at}.where")
            formula, found = self._free_formula(text, f"{at}.where.{name}")
            where.append((str(name), formula))
            self.scope.names[str(name)] = found
        equation = self._equation(give.equation, f"{at}.equation")
        self.scope = outer
        return Give(**shared, type="root", formula=equation, low=low, high=high, where=tuple(where))

    def _bound(self, text: Text, give: GiveFile, sort: Sort, at: str) -> Formula:
        """An end of a bracket: a plain number in the answer's unit, or a formula."""
        try:
            number = read_quantity(text, str(give.kind), self.units.table, str(give.unit)).si
            return Formula(float(number), repr(float(number)))
        except NumberProblem:
            return self._formula(text, sort, at)

    def _found_on_run(self, give: GiveFile, shared: dict[str, Any], at: str) -> Give:
        """An answer along the run: it has the kind of the run's own place, or of the answer it looks up there."""
        assert give.of is not None
        over = self._run_place(give, at)
        made = Give(**shared, type=give.way, of=str(give.of), upward=give.upward)
        if not over or str(give.of) not in self.scope.names:
            self._check_one_of(give.of, self._numeric_so_far(give), f"{at}.{give.way}")
            self.unsure.add(str(give.name))
            return made
        place, of = self.scope.names[over], self.scope.names[str(give.of)]
        wanted = of if give.way == "look" else place
        if self.units.sort_of(give.kind) != wanted:
            what = f"is {give.kind}, but what it finds is not."
            self._complain(
                give.kind.line, f"{at}.kind", what, "Write the kind of what is looked up or found."
            )
        if give.level is not None:
            made = replace(made, level=self._formula(give.level, of, f"{at}.level"))
        if give.place is not None:
            made = replace(made, at=self._formula(give.place, place, f"{at}.at"))
        return made

    def _run_place(self, give: GiveFile, at: str) -> str:
        """Name of the answer that the Figure's run goes along, '' after reporting that there is none before this one."""
        overs = [str(sweep.over) for sweep in self.record.sweeps]
        found = next((name for name in self._numeric_so_far(give) if name in overs), "")
        if not found:
            what = "nothing runs here: no sweep goes over an answer above this one."
            self._complain(give.name.line, at, what, "Add a sweep whose `over` is such an answer.")
        return found

    def _numeric_so_far(self, give: GiveFile) -> list[str]:
        names = [str(one.name) for one in self.record.gives]
        before = names[: names.index(str(give.name))]
        return [name for name in before if name in self.scope.names]

    def _series(self, give: GiveFile, shared: dict[str, Any], at: str) -> Give:
        assert give.over is not None
        self._check_word(give.over, f"{at}.over")
        outer, spans = self.scope, self._span(give, at)
        names = {str(give.over): NUMBER}
        if give.table is not None:
            names = self._cells(str(give.over), give.table, f"{at}.of") or {}
        self.scope = outer.with_names(**names)
        columns = self._columns(give, at)
        by = tuple(self._formula(text, NUMBER, f"{at}.by") for text in give.by)
        only = self._condition(give.only, f"{at}.only") if give.only else None
        inner, self.scope = self.scope, outer
        if give.table is not None:
            # What stands in the first of the rows may be used by all that follows.
            outer.names.update({f"{give.name}.{c.name}": inner.names[c.name] for c in columns})
        return Give(
            **shared,
            **spans,
            type="series",
            over=str(give.over),
            only=only,
            columns=columns,
            by=by,
            ranked=bool(give.rank),
            picture=self._picture(give, at),
        )

    def _span(self, give: GiveFile, at: str) -> dict[str, Any]:
        """What a series runs over: whole numbers between two formulas, or a table's rows, of which so many are kept."""
        if give.table is not None:
            if give.most < 0:
                self._complain(
                    give.table.line, f"{at}.most", "is below nought.", "Write how many rows to show."
                )
            return {"table": str(give.table), "most": give.most}
        assert give.start is not None and give.stop is not None
        ends = (self._formula(give.start, NUMBER, f"{at}.from"), self._formula(give.stop, NUMBER, f"{at}.to"))
        return dict(zip(("start", "stop"), ends, strict=True))

    def _columns(self, give: GiveFile, at: str) -> tuple[Column, ...]:
        """A series' columns; each becomes a name for those after it, for the order of the rows and for what they must meet."""
        columns = []
        for column in give.columns:
            self._check_name(column.name, f"{at}.columns")
            if (
                self._known_kind(column.kind, column.unit, f"{at}.columns.{column.name}")
                and column.formula is not None
            ):
                sort = self.units.sort_of(column.kind)
                columns.append(
                    Column(
                        str(column.name),
                        str(column.kind),
                        str(column.unit),
                        self._formula(column.formula, sort, f"{at}.columns.{column.name}"),
                        column.shown,
                    )
                )
                self.scope.names[str(column.name)] = sort
        return tuple(columns)

    def _picture(self, give: GiveFile, at: str) -> tuple[str, str] | None:
        if not give.picture:
            return None
        places = {str(key): str(column) for key, column in give.picture}
        names = [str(column.name) for column in give.columns]
        if set(places) != {"x", "y"} or any(column not in names for column in places.values()):
            self._complain(
                give.picture[0][0].line,
                f"{at}.picture",
                "does not name two columns.",
                'Write "picture: {x: column, y: column}".',
            )
            return None
        return places["x"], places["y"]

    def _cases(self, give: GiveFile, sort: Sort, at: str) -> Formula:
        """A formula with a condition a row; each row's mistakes are reported with the row's own line."""
        values = [
            self._checked(case.formula, f"{at}.cases", lambda tree: self._typed(tree, sort))
            for case in give.cases
        ]
        whens = [self._checked(case.when, f"{at}.cases", self._judged) for case in give.cases[:-1]]
        if None in values or None in whens:
            return NOTHING
        *rows, (_, otherwise) = zip([*whens, None], values, strict=True)

        def build() -> Formula:
            drawn = [(when[0] if when else None, value[0]) for when, value in (*rows, (None, otherwise))]
            made = cases([(when[1], value[1]) for when, value in rows], otherwise[1])
            return self._finish(made, mathml_cases(str(give.name), drawn))

        return self._guard(give.cases[0].formula, f"{at}.cases", build, NOTHING)

    def _checked(self, text: Text, at: str, made: Callable[[ast.expr], Any]) -> Any:
        """(tree, expression) of one text, or None after reporting its mistake."""

        def build() -> tuple[ast.expr, Any]:
            tree = read_tree(text)
            return tree, made(tree)

        return self._guard(text, at, build, None)

    # -- sentences with their conditions

    def _row(self, say: SayFile, at: str, level: str = "") -> Row:
        when = self._condition(say.when, f"{at}.when") if say.when else ALWAYS
        self._check_fields(say.say, at)
        return Row(when, level=level)

    def _check_last_row(self, rows: list[SayFile], at: str) -> None:
        """The last row, and no other, must always hold: else there is no word for some numbers, or one that is never said."""
        for row in rows[:-1]:
            if not row.when:
                self._complain(
                    row.say.line,
                    at,
                    "a row above the last has no condition.",
                    "Give it one, or move it to the end.",
                )
        if rows and rows[-1].when:
            self._complain(
                rows[-1].when.line,
                at,
                "the last row has a condition.",
                "End the list with a row that always holds.",
            )

    def _check_fields(self, say: Text, at: str) -> None:
        """Every {name} in a sentence must be an input, an answer or a constant that has a text to put in."""
        known = (
            {str(t.name) for t in self.record.takes if not t.across}
            | {str(g.name) for g in self.record.gives if not g.columns or g.table}
            | {str(c.name) for c in self.record.constants}
        )
        numeric = {str(g.name) for g in self.record.gives if not g.columns and not g.words}
        if re.search(r"[{}]", re.sub(FIELD, "", say)):
            self._complain(
                say.line, at, "the sentence has a brace that holds no name.", "Write it as in {name}."
            )
        for name, end in re.findall(FIELD, say):
            if name not in (numeric if end else known):
                self._complain(
                    say.line,
                    at,
                    f'the sentence names "{{{name}{end}}}", which is neither input nor answer.',
                    did_you_mean(name, numeric if end else known),
                )
