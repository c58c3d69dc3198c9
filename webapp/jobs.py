"""Templates of jobs in the Book: checks what they say of sheets, Figures, units and patterns; their structure and their texts.

Free of language, a job is {"order", "stages": [{"steps": [step]}]}, a step {"id", "needs", "gate", "manual" and "read" [{kind, in}],
"ends" [{kind, count}], "closes", "figures" [{figure, query}], "round": {pattern, across, down} or None, "order_query"}.
Its texts are {"title", "summary", "basis", "finds", "body", "stages": [{"title", "says", "steps": [text]}]}, a text {"do", "note",
the LISTS, "manual" and "read" [label], "ends" [{place, note}], "figures" [label], "round": {label, note} or None, "finds"}.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any
from urllib.parse import quote, urlencode

from .content.front_matter import Text
from .content.job_records import ASKS, LISTS, ORDERS, AskFile, JobFile, LinkFile, RoundFile, StepFile
from .content.markdown import render_line
from .errors import Problem, did_you_mean
from .figures.feeds import is_usable, number_in
from .figures.model import Figure, Take


class JobsCompiler:
    """Checks one template against the rest of the content and gives its structure. Adds to `problems` what does not fit.

    figures   those that stand on sound files; `unsound` names the others, of which nothing is known yet
    """

    def __init__(
        self,
        record: JobFile,
        cautions: Collection[str],
        figures: Mapping[str, Figure],
        unsound: Collection[str],
        tables: Mapping[str, Any],
        units: Mapping[str, Any],
        problems: list[Problem],
    ) -> None:
        self.record, self.cautions, self.figures, self.unsound = record, cautions, figures, unsound
        self.tables, self.units, self.problems = tables, units, problems
        self._path = ""

    def job(self) -> dict[str, Any]:
        """The template without its texts."""
        stages = []
        for n, stage in enumerate(self.record.stages, 1):
            steps = []
            for m, step in enumerate(stage.steps, 1):
                self._path = f"stages[{n}].steps[{m}]"
                steps.append(self._step(step))
            stages.append({"steps": steps})
        return {"order": self.record.order, "stages": stages}

    def _step(self, step: StepFile) -> dict[str, Any]:
        for need in step.needs:
            if need not in self.cautions:
                self._guess("needs", need, f'there is no caution "{need}".', self.cautions)
        return {
            "id": str(step.id),
            "needs": [str(need) for need in step.needs],
            "gate": step.gate,
            **{name: [self._ask(name, ask) for ask in step.asks[name]] for name in ASKS},
            "ends": [{"kind": end.kind, "count": end.count} for end in step.ends],
            "closes": [str(kind) for kind in step.closes],
            "figures": [self._link(n, link) for n, link in enumerate(step.links, 1)],
            **self._round(step.round),
        }

    def _ask(self, key: str, ask: AskFile) -> dict[str, str]:
        """Kind and unit; what is missing altogether is reported already."""
        kinds = self.units["kinds"]
        if ask.kind and ask.kind not in kinds:
            self._guess(f"{key}.kind", ask.kind, f'there is no kind "{ask.kind}".', kinds)
        elif ask.kind and ask.unit and ask.unit not in kinds[ask.kind]["units"]:
            what = f'"{ask.unit}" is no unit of {ask.kind}.'
            self._guess(f"{key}.in", ask.unit, what, kinds[ask.kind]["units"])
        return {"kind": str(ask.kind), "in": str(ask.unit)}

    def _link(self, number: int, link: LinkFile) -> dict[str, str]:
        at = f"figures[{number}]"
        if link.figure and link.figure not in self.figures and link.figure not in self.unsound:
            self._guess(
                f"{at}.figure", link.figure, f'there is no Figure "{link.figure}".', self._all_figures()
            )
        for name, text in link.given:
            self._check_given(link.figure, name, name, text, f"{at}.given.{name}")
        return {"figure": str(link.figure), "query": _query(link.given)}

    def _round(self, made: RoundFile | None) -> dict[str, Any]:
        """The round, which the Figure of tightening orders must be able to put in order."""
        if made is None:
            return {"round": None, "order_query": ""}
        given = [
            (Text(name, text.line), text)
            for name, text in (("pattern", made.pattern), ("across", made.across), ("down", made.down))
        ]
        if ORDERS not in self.figures and ORDERS not in self.unsound:
            what = f'there is no Figure "{ORDERS}" to put a round in order.'
            self._complain("round", made.label.line, what, "Add the Figure, or remove the round.")
        for name, text in given:
            self._check_given(ORDERS, str(name), text, text, f"round.{name}")
        across, down = (int(text) if text.isdecimal() else 0 for text in (made.across, made.down))
        return {
            "round": {"pattern": str(made.pattern), "across": across, "down": down},
            "order_query": _query(given),
        }

    def _check_given(self, figure_id: str, name: str, place: Text, text: Text, key: str) -> None:
        """The Figure has this input and takes this text for it."""
        figure = self.figures.get(figure_id)
        if figure is None or not text:
            return
        known = {take.name: take for take in figure.takes if take.type != "points"}
        take = known.get(name)
        if take is None:
            self._guess(key, place, f'the Figure "{figure.id}" has no input "{name}".', known)
        elif not self._fits(figure, take, text):
            self._complain(
                key, text.line, f'"{text}" is nothing that this input takes.', self._mend(figure, take, text)
            )

    def _fits(self, figure: Figure, take: Take, text: str) -> bool:
        is_whole = take.type != "count" or text.isdecimal()
        return is_whole and is_usable(figure, take, text, self.tables, self.units)

    def _mend(self, figure: Figure, take: Take, text: str) -> str:
        if take.table:
            rows = self.tables[take.table]["rows"]
            return did_you_mean(text, [row for row in rows if self._fits(figure, take, row)])
        unit = self.units["units"][take.unit]
        low, high = (number_in(end, unit) for end in (take.low, take.high))
        number = "a whole number" if take.type == "count" else "a number"
        return f"Write {number} from {low:g} to {high:g} {unit['symbol']}".strip() + "."

    def _all_figures(self) -> list[str]:
        return [*self.figures, *self.unsound]

    def _guess(self, key: str, text: Text, what: str, known: Iterable[str]) -> None:
        self._complain(key, text.line, what, did_you_mean(text, known))

    def _complain(self, key: str, line: int, what: str, mend: str) -> None:
        self.problems.append(Problem(self.record.file, line, f"{self._path}.{key}", what, mend))


def job_text(record: JobFile) -> dict[str, Any]:
    """The texts of a template, as the Book keeps them for one language."""
    stages = [
        {
            "title": str(stage.title),
            "says": str(stage.says),
            "steps": [_step_text(step) for step in stage.steps],
        }
        for stage in record.stages
    ]
    return {
        "title": str(record.title),
        "summary": str(record.summary),
        "order": record.order,
        "basis": render_line(record.basis),
        "finds": [str(text) for text in record.finds],
        "stages": stages,
        "body": record.body,
    }


def _step_text(step: StepFile) -> dict[str, Any]:
    made = step.round
    return {
        "do": str(step.do),
        "note": str(step.note),
        **{name: [str(text) for text in step.lists[name]] for name in LISTS},
        **{name: [str(ask.label) for ask in step.asks[name]] for name in ASKS},
        "ends": [{"place": str(end.place), "note": str(end.note)} for end in step.ends],
        "figures": [str(link.label) for link in step.links],
        "round": {"label": str(made.label), "note": str(made.note)} if made else None,
        "finds": [str(text) for text in step.finds],
    }


def _query(given: Iterable[tuple[Text, Text]]) -> str:
    return urlencode([(str(name), str(text)) for name, text in given], quote_via=quote)
