"""A Figure as it stands on the page: typed texts in, every string of the page out.

static/js/lib/present.js is the same, function by function; both are fed the same texts in the tests and must print the same.
The result (a "view") is plain data:

    state      'ok', 'missing' (a field is empty) or 'refused'
    sentence   why there is no answer, '' when there is one; about: the input it is about, ''
    rows       one for each input, and one for the wanted answer while solving
    answers    one for each shown answer, main one with first = True; empty when there is none
    found      while solving: the input found, shaped like an answer; else None
    spread     how far the main answer may be off, in words
    warnings, verdict {level, text} or None, estimate, remedies
    numbers    symbol -> text, for 'show the working'
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from ..errors import NoSolution
from .calculator import Outcome, Spread
from .display import (
    EXACT_DIGITS,
    OTHER_DIGITS,
    all_units,
    echo,
    exact,
    full_text,
    half_width,
    in_unit,
    with_unit,
    written,
)
from .model import Figure, Give, Take
from .numbers import NumberProblem, read_quantity, split_quantity

# The sign of a typed nought: 0 has none, and "-0" must not look like a number below it.
_BELOW_NOUGHT = re.compile("^-(?=[0 .,']*(?:/|$))")

View = dict[str, Any]

# A sentence that names how low or high an answer may lie.
_ENDED = re.compile(r"\{(\w+)\.(?:low|high)\}")
# A field in a sentence.
_FIELD = re.compile(r"\{([^{}]+)\}")


class Presenter:
    """One Figure in one language, over a Book."""

    def __init__(self, book: Any, language: str, figure: Figure) -> None:
        texts = book.texts[language]
        self.book, self.language = book, language
        self.figure, self.calculator = figure, book.calculator(figure.id)
        self.text, self.words, self.decimal = texts["figures"][figure.id], texts["words"], texts["decimal"]
        self.units, self.kinds, self.table = book.units["units"], book.units["kinds"], book.units
        self.tables, self.row_labels = book.tables, texts["row_labels"]
        sentences = [s for key in ("warn", "verdict", "remedies") for s in self.text[key]]
        self.ended = set(_ENDED.findall(" ".join(sentences)))
        # The SI numbers behind the view made last, for whoever wants more digits than the page shows.
        self.numbers: dict[str, str] = {}
        self.last: tuple[dict[str, Any], Outcome, dict[str, Spread]] = ({}, Outcome(), {})

    def view(self, typed: Mapping[str, str], solve_for: str = "") -> View:
        """The page's strings for what was typed; an input not in `typed` stands at its default."""
        self.last = ({}, Outcome(), {})
        unknown = next(
            (take for take in self.figure.takes if take.name == solve_for and take.is_numeric), None
        )
        unknown = unknown if self.figure.asked else None
        rows, givens = self._read_rows(typed, unknown)
        view: View = {
            "state": "ok",
            "sentence": "",
            "about": "",
            "rows": rows,
            "answers": [],
            "found": None,
            "spread": "",
            "warnings": [],
        }
        view.update({"verdict": None, "estimate": "", "remedies": [], "numbers": self._constant_numbers()})
        wanted = self._wanted(typed, givens, unknown, rows) if unknown else None
        broken = next((row for row in rows if row["problem"]), None)
        if broken:
            missing = all(row["code"] == "empty" for row in rows if row["problem"])
            return {
                **view,
                "state": "missing" if missing else "refused",
                "sentence": self.problem_line(broken),
                "about": broken["name"],
            }
        if unknown and wanted:
            refused = self._find(unknown, wanted, givens, view)
            if refused:
                return {**view, **refused}
        return self._answer(givens, view, unknown)

    # -- inputs -----------------------------------------------------------------------------------------------------------------

    def _read_rows(self, typed: Mapping[str, str], unknown: Take | None) -> tuple[list[View], dict[str, Any]]:
        givens: dict[str, Any] = {}
        for take in self.figure.takes:
            if take.type == "choice":
                givens[take.name] = typed.get(take.name, take.default)
        return [self._row(take, typed, givens, take is unknown) for take in self.figure.takes], givens

    def _row(self, take: Take, typed: Mapping[str, str], givens: dict[str, Any], is_unknown: bool) -> View:
        label = self.text["labels"][take.name]
        row: View = {
            "name": take.name,
            "label": label["label"],
            "note": label["note"],
            "type": take.type,
            "is_unknown": is_unknown,
            "is_wanted": False,
        }
        row.update(
            {
                "sort": self._sort_word(take.kind),
                "text": "",
                "number": "",
                "unit": "",
                "unit_id": "",
                "units": [],
                "options": [],
                "echo": [],
            }
        )
        row.update(
            {
                "points": [],
                "problem": "",
                "code": "",
                "signed": take.is_numeric and take.low < 0,
                "whole": take.type == "count",
                "brought": False,
                "group": take.group,
            }
        )
        if take.type == "choice":
            self._choice_row(take, row, givens)
        elif take.type == "points":
            self._points_row(take, row, typed, givens)
        else:
            self._quantity_row(take, row, typed, givens)
        return row

    def _choice_row(self, take: Take, row: View, givens: dict[str, Any]) -> None:
        labels = self.row_labels[take.table]
        row["options"] = [{"id": row_id, "label": label} for row_id, label in labels.items()]
        row["text"] = givens[take.name]
        if row["text"] not in labels:
            row["problem"] = self._say("refusal_row", label=row["label"], text=row["text"])
            givens[take.name] = take.default

    def _quantity_row(self, take: Take, row: View, typed: Mapping[str, str], givens: dict[str, Any]) -> None:
        default = self._brought(take, givens)
        text = typed.get(take.name, default)
        row["brought"] = bool(take.brings) and take.name not in typed
        row["units"] = [
            {"id": unit, "symbol": self.units[unit]["symbol"]} for unit in self.kinds[take.kind]["units"]
        ]
        self._read_into(row, text, take.kind, take.unit, givens, take.name)
        if row["is_unknown"] and row["problem"]:
            # The unknown needs no number of its own; its default only says where to look first.
            row["problem"], row["code"], givens[take.name] = "", "", self._si_default(take, givens)

    def _read_into(
        self, row: View, text: str, kind: str, unit: str, givens: dict[str, Any], name: str
    ) -> None:
        row["text"] = text
        row["number"], unit_text = split_quantity(text)
        row["unit_id"], row["unit"] = unit, unit_text or self.units[unit]["symbol"]
        try:
            reading = read_quantity(text, kind, self.table, unit)
        except NumberProblem as problem:
            row["problem"], row["code"] = problem.sentence(self.words), problem.code
            return
        row["unit_id"], row["unit"] = reading.unit, self.units[reading.unit]["symbol"]
        row["echo"] = echo(reading.si, self.kinds[kind], self.units, reading.unit, self.decimal)
        givens[name] = reading.si

    def _points_row(self, take: Take, row: View, typed: Mapping[str, str], givens: dict[str, Any]) -> None:
        """A curve is typed as 'x: y; x: y' or a pair a line, each side with a unit or in the curve's own."""
        row["text"] = one_line(typed.get(take.name, "")) or self._points_text(take)
        row["unit"], row["unit_id"] = self.units[take.unit]["symbol"], take.unit
        row["across"] = {
            "label": self.text["across"][take.name],
            "unit": self.units[take.across["unit"]]["symbol"],
        }
        points = []
        for part in row["text"].split(";"):
            x, _, y = part.partition(":")
            row["points"].append([x.strip(), y.strip()])
            try:
                points.append(
                    [
                        read_quantity(x, take.across["kind"], self.table, take.across["unit"]).si,
                        read_quantity(y, take.kind, self.table, take.unit).si,
                    ]
                )
            except NumberProblem as problem:
                row["problem"], row["code"] = row["problem"] or problem.sentence(self.words), problem.code
        givens[take.name] = points

    def _points_text(self, take: Take) -> str:
        x_unit, y_unit = self.units[take.across["unit"]], self.units[take.unit]
        return "; ".join(
            f"{full_text(x, x_unit, self.decimal)}: {full_text(y, y_unit, self.decimal)}"
            for x, y in take.default
        )

    def _si_default(self, take: Take, givens: Mapping[str, Any]) -> float:
        if not take.brings:
            return float(take.default)
        choice, column = take.brings.split(".")
        cell = self.tables[self.figure.take(choice).table]["rows"][givens[choice]].get(column)
        return math.nan if cell is None else float(cell)

    def _brought(self, take: Take, givens: Mapping[str, Any]) -> str:
        """The text an untouched field holds: its own default, or what the chosen row brings along; '' where
        the row has no number.
        """
        si = self._si_default(take, givens)
        return "" if math.isnan(si) else full_text(si, self.units[take.unit], self.decimal)

    def _wanted(
        self, typed: Mapping[str, str], givens: dict[str, Any], unknown: Take, rows: list[View]
    ) -> tuple[Give, float] | None:
        """The answer asked for and its SI number; None when it cannot be read. Adds its row to `rows`."""
        give = next((g for g in self.figure.wantable if g.name in typed), self.figure.asked)
        assert give is not None
        label = self.text["labels"][give.name]
        row: View = {
            "name": give.name,
            "label": label["label"],
            "note": label["note"],
            "type": "quantity",
            "is_unknown": False,
            "is_wanted": True,
        }
        row.update(
            {
                "sort": self._sort_word(give.kind),
                "options": [],
                "echo": [],
                "points": [],
                "problem": "",
                "code": "",
                "signed": True,
                "whole": False,
            }
        )
        row["brought"] = False
        row["units"] = [
            {"id": unit, "symbol": self.units[unit]["symbol"]} for unit in self.kinds[give.kind]["units"]
        ]
        unit = self._first_unit(give, rows)
        text = typed.get(give.name)
        if text is None:
            value = (
                self.calculator.answer(give.name, givens) if not any(r["problem"] for r in rows) else math.nan
            )
            text = (
                ""
                if math.isnan(value)
                else with_unit(
                    exact(in_unit(value, self.units[unit]), OTHER_DIGITS, self.decimal),
                    self.units[unit]["symbol"],
                )
            )
        found: dict[str, Any] = {}
        self._read_into(row, text, give.kind, unit, found, give.name)
        rows.append(row)
        return (give, found[give.name]) if give.name in found else None

    # -- answers ----------------------------------------------------------------------------------------------------------------

    def _find(
        self, unknown: Take, wanted: tuple[Give, float], givens: dict[str, Any], view: View
    ) -> View | None:
        """Solve for the unknown: puts it into `givens` and view['found'], or returns what refuses."""
        give, si = wanted
        row = next(r for r in view["rows"] if r["is_unknown"])
        unit = self.units[row["unit_id"]]
        try:
            value = self.calculator.solve(unknown.name, give.name, si, givens)
        except NoSolution as none:
            return {
                "state": "refused",
                "sentence": self._no_solution(unknown, give, si, none, row["unit_id"], view["rows"]),
                "about": give.name,
            }
        givens[unknown.name] = value
        number = exact(in_unit(value, unit), OTHER_DIGITS, self.decimal)
        row["number"], row["unit"], row["text"] = number, unit["symbol"], with_unit(number, unit["symbol"])
        row["echo"] = echo(value, self.kinds[unknown.kind], self.units, row["unit_id"], self.decimal)
        view["found"] = {
            **_answer_shape(unknown.name, row["label"], row["note"], row["sort"]),
            "number": number,
            "unit": unit["symbol"],
            "unit_id": row["unit_id"],
        }
        view["found"].update(
            {"others": row["echo"], "full": full_text(value, unit, self.decimal), "first": True}
        )
        return None

    def _answer(self, givens: dict[str, Any], view: View, unknown: Take | None) -> View:
        outcome = self.calculator.evaluate(givens)
        self.last = (givens, outcome, {})
        if outcome.refusal:
            numbers = {**view["numbers"], **self._input_numbers(givens, view["rows"])}
            self._add_reached(outcome, numbers)
            return {
                **view,
                "state": "refused",
                "sentence": self._refusal(outcome, numbers, view["rows"]),
                "about": _about(outcome, self.figure),
                "numbers": numbers,
            }
        accuracies = self._accuracies(givens, unknown)
        numbers = {**view["numbers"], **self._input_numbers(givens, view["rows"])}
        spreads = self.calculator.spreads(givens, accuracies, outcome)
        self.last = (givens, outcome, spreads)
        for give in self.figure.gives:
            spread = spreads.get(give.name)
            answer = self._shown(give, outcome, spread, view["rows"])
            answer["words"] = self._fill(answer["words"], numbers)
            numbers[give.name] = answer["words"] or with_unit(answer["number"], answer["unit"])
            if give.name in self.ended:
                numbers.update(self._ends(answer, outcome.values[give.name], spread))
            is_empty = give.type == "series" and not answer["rows"]
            if give.first or (give.shown and not is_empty):
                view["answers"].append(answer)
            if give.first and spread and not unknown:
                view["spread"] = self._spread_line(answer, spread, outcome.values[give.name])
        view["numbers"] = self.numbers = numbers
        view["warnings"] = [self._fill(self.text["warn"][n], numbers) for n in outcome.warnings]
        if outcome.verdict is not None:
            view["verdict"] = {
                "level": self.figure.verdict[outcome.verdict].level,
                "text": self._fill(self.text["verdict"][outcome.verdict], numbers),
            }
        view["estimate"] = self._fill(self.text["estimate"], numbers)
        view["remedies"] = self._remedies(givens, outcome, numbers, view["rows"])
        return view

    def _shown(self, give: Give, outcome: Outcome, spread: Spread | None, rows: list[View]) -> View:
        label = self.text["labels"][give.name]
        answer = _answer_shape(give.name, label["label"], label["note"], self._sort_word(give.kind))
        answer["first"] = give.first
        value = outcome.values[give.name]
        if give.type == "words":
            answer["words"] = self.text["words"][give.name][value]
            return answer
        if give.type == "series":
            # Rows of a table are called by the first of them.
            answer["words"] = self._row_label(give, value[0]) if give.table and value else ""
            return {**answer, **self._series(give, value)}
        if not math.isfinite(value):
            answer["words"] = self.words["answer_not_reached"]
            return answer
        unit = self._first_unit(give, rows)
        width = spread.likely if spread else 0.0
        answer.update(
            {
                "number": written(value, self.units[unit], width, self.decimal),
                "unit": self.units[unit]["symbol"],
                "unit_id": unit,
            }
        )
        answer["others"] = all_units(value, self.kinds[give.kind], self.units, unit, width, self.decimal)
        answer["full"] = full_text(value, self.units[unit], self.decimal)
        if width > 0:
            answer["plus_minus"] = half_width(
                width, self.units[unit], in_unit(value, self.units[unit]), self.decimal
            )
        return answer

    def _ends(self, answer: View, value: Any, spread: Spread | None) -> dict[str, str]:
        """How low and how high a number may lie, as sentences name it: {name.low}, {name.high}."""
        if not answer["unit_id"]:
            return {f"{answer['name']}.{end}": answer["words"] for end in ("low", "high")}
        width = spread.likely if spread else 0.0
        unit = self.units[answer["unit_id"]]
        return {
            f"{answer['name']}.{end}": with_unit(written(si, unit, width, self.decimal), answer["unit"])
            for end, si in (("low", value - width), ("high", value + width))
        }

    def _series(self, give: Give, rows: list[list[float]]) -> View:
        series = self.text["series"][give.name]
        heads = [{"label": series["rank"], "unit": ""}] if give.ranked else []
        if series["each"]:
            heads.append({"label": series["each"], "unit": ""})
        for column in give.columns:
            if column.shown:
                label = self.text["labels"][column.name]["label"]
                heads.append({"label": label, "unit": self.units[column.unit]["symbol"]})
        return {
            "columns": heads,
            "rows": [self._series_row(give, rank, row) for rank, row in enumerate(rows, 1)],
            "picture": self._picture(give, rows),
        }

    def _series_row(self, give: Give, rank: int, row: list[float]) -> list[str]:
        cells = [str(rank)] if give.ranked else []
        if give.table:
            cells.append(self._row_label(give, row))
        elif self.text["series"][give.name]["each"]:
            cells.append(exact(row[0], EXACT_DIGITS, self.decimal))
        for column, cell in zip(give.columns, row[1:], strict=True):
            if column.shown:
                cells.append(exact(in_unit(cell, self.units[column.unit]), EXACT_DIGITS, self.decimal))
        return cells

    def _row_label(self, give: Give, row: list[float]) -> str:
        """What the table's row is called that a series' row stands for."""
        return list(self.row_labels[give.table].values())[int(row[0])]

    def _picture(self, give: Give, rows: list[list[float]]) -> list[View]:
        """Where each row stands in the picture, from 0 to 100 both ways, and its number in the order."""
        if not give.picture:
            return []
        names = [column.name for column in give.columns]
        across, down = (names.index(name) + 1 for name in give.picture)
        left, top = (min(row[at] for row in rows) for at in (across, down))
        span = max(max(row[across] - left, row[down] - top) for row in rows) or 1.0
        return [
            {
                "x": _place((row[across] - left) / span),
                "y": _place((row[down] - top) / span),
                "label": str(rank),
            }
            for rank, row in enumerate(rows, 1)
        ]

    def _first_unit(self, give: Give, rows: list[View]) -> str:
        """The unit an answer is shown in first: its own, or for a plain conversion one that was not typed."""
        if give.unlike:
            typed = next((row["unit_id"] for row in rows if row["name"] == give.unlike), "")
            return next(unit for unit in [give.unit, *self.kinds[give.kind]["units"]] if unit != typed)
        return give.unit

    def _accuracies(self, givens: Mapping[str, Any], unknown: Take | None) -> dict[str, float]:
        """SI accuracy of each input that has one; while solving there is none, since the answer is the wanted one."""
        found = {}
        for take in self.figure.takes:
            if take.accuracy and take is not unknown:
                how, width = take.accuracy
                found[take.name] = abs(width * givens[take.name]) if how == "share" else width
        return {name: width for name, width in found.items() if width > 0}

    def _remedies(
        self, givens: dict[str, Any], outcome: Outcome, numbers: dict[str, str], rows: list[View]
    ) -> list[str]:
        told = []
        for index, value in self.calculator.remedies(givens, outcome):
            if value is not None:
                solve = self.figure.remedies[index].solve
                row = next(r for r in rows if r["name"] == solve)
                text = with_unit(
                    exact(in_unit(value, self.units[row["unit_id"]]), OTHER_DIGITS, self.decimal), row["unit"]
                )
                told.append(self._fill(self.text["remedies"][index], {**numbers, solve: text}))
        return told

    # -- sentences --------------------------------------------------------------------------------------------------------------

    def _spread_line(self, answer: View, spread: Spread, value: float) -> str:
        if spread.likely <= 0:
            return ""
        unit = self.units[answer["unit_id"]]
        in_it = in_unit(value, unit)
        likely, worst = (
            with_unit(half_width(w, unit, in_it, self.decimal), answer["unit"])
            for w in (spread.likely, spread.worst)
        )
        shown = with_unit(answer["number"], answer["unit"])
        if len([half for _, half in spread.shares if half > 0]) < 2:
            return self._say("spread_even", answer=shown, likely=likely, worst=worst)
        return self._say(
            "spread_line",
            answer=shown,
            likely=likely,
            worst=worst,
            input=self.text["labels"][spread.shares[0][0]]["label"],
        )

    def _refusal(self, outcome: Outcome, numbers: Mapping[str, str], rows: list[View]) -> str:
        refusal = outcome.refusal
        assert refusal is not None
        if refusal.reason == "said":
            return self._fill(self.text["refuse"][refusal.index], numbers)
        label = self.text["labels"][refusal.name]["label"]
        if refusal.reason in ("below", "above"):
            row = next(r for r in rows if r["name"] == refusal.name)
            unit = self.units[row["unit_id"]]
            limit = with_unit(exact(in_unit(refusal.limit, unit), OTHER_DIGITS, self.decimal), unit["symbol"])
            return self._say(
                f"refusal_{refusal.reason}", label=label, value=numbers[refusal.name], limit=limit
            )
        if refusal.reason == "curve":
            unit = self.units[self.figure.take(refusal.name).across["unit"]]
            limit = with_unit(exact(in_unit(refusal.limit, unit), OTHER_DIGITS, self.decimal), unit["symbol"])
            return self._say(
                "refusal_curve", label=label, across=self.text["across"][refusal.name], limit=limit
            )
        keys = {
            "not whole": "refusal_whole",
            "points": "refusal_points",
            "no value": "refusal_no_value",
            "no root": "refusal_no_root",
        }
        return self._say(keys[refusal.reason], label=label, value=numbers.get(refusal.name, ""))

    def _no_solution(
        self, unknown: Take, give: Give, wanted: float, none: NoSolution, unit_id: str, rows: list[View]
    ) -> str:
        unit, out = self.units[unit_id], self.units[next(r for r in rows if r["is_wanted"])["unit_id"]]
        label = self.text["labels"][unknown.name]["label"]
        low, high = (
            with_unit(exact(in_unit(end, unit), OTHER_DIGITS, self.decimal), unit["symbol"])
            for end in (unknown.low, unknown.high)
        )
        if none.lowest is None or none.highest is None:
            return self._say("refusal_no_solution_at_all", label=label, low=low, high=high)
        told = [
            with_unit(exact(in_unit(si, out), OTHER_DIGITS, self.decimal), out["symbol"])
            for si in (wanted, none.lowest, none.highest)
        ]
        answer = self.text["labels"][give.name]["label"]
        return self._say(
            "refusal_no_solution",
            label=label,
            low=low,
            high=high,
            wanted=told[0],
            answer=answer,
            lowest=told[1],
            highest=told[2],
        )

    def problem_line(self, row: View) -> str:
        """The sentence about a row that cannot be read, with the row's own label in it."""
        if row["code"] == "empty":
            return self._say("refusal_missing", label=row["label"])
        return (
            self._say("problem_line", label=row["label"], problem=row["problem"])
            if row["code"]
            else str(row["problem"])
        )

    def _sort_word(self, kind: str) -> str:
        sort = self.kinds[kind]["sort"] if kind else ""
        return self.words[f"sort_{sort}"] if sort else ""

    def _say(self, key: str, **fields: str) -> str:
        return self._fill(self.words[key], fields)

    def filled(self, text: str) -> str:
        """A sentence with the numbers of the view made last."""
        return self._fill(text, self.numbers)

    def _fill(self, text: str, fields: Mapping[str, str]) -> str:
        return _FIELD.sub(lambda found: fields.get(found[1], found[0]), text)

    # -- numbers for the working and the sentences ------------------------------------------------------------------------------

    def _constant_numbers(self) -> dict[str, str]:
        numbers = {}
        for name, si in self.figure.constants.items():
            numbers[name] = full_text(si, self.units[self.figure.constant_units[name][1]], self.decimal)
        return numbers

    def _input_numbers(self, givens: Mapping[str, Any], rows: list[View]) -> dict[str, str]:
        numbers = {}
        for take in self.figure.takes:
            row = next(r for r in rows if r["name"] == take.name)
            if take.type == "choice":
                numbers[take.name] = self.row_labels[take.table][givens[take.name]]
                numbers.update(self._cell_numbers(take, givens[take.name]))
            else:
                numbers[take.name] = with_unit(_repeated(row["number"]), row["unit"])
        return numbers

    def _cell_numbers(self, take: Take, row_id: str) -> dict[str, str]:
        table = self.tables[take.table]
        cells = (
            (name, cell, table["columns"][name]["unit"])
            for name, cell in table["rows"][row_id].items()
            if table["columns"][name]["kind"]
        )
        return {
            f"{take.name}.{name}": full_text(cell, self.units[unit], self.decimal)
            for name, cell, unit in cells
            if cell is not None
        }

    def _add_reached(self, outcome: Outcome, numbers: dict[str, str]) -> None:
        """Answers reached before a refusal, for a sentence that names them."""
        for name, value in outcome.values.items():
            give = self.figure.give(name)
            if give.is_numeric and isinstance(value, float) and math.isfinite(value):
                numbers[name] = with_unit(
                    exact(in_unit(value, self.units[give.unit]), OTHER_DIGITS, self.decimal),
                    self.units[give.unit]["symbol"],
                )


def _answer_shape(name: str, label: str, note: str, sort: str) -> View:
    return {
        **{
            "name": name,
            "label": label,
            "note": note,
            "sort": sort,
            "first": False,
            "number": "",
            "unit": "",
            "unit_id": "",
        },
        **{"others": [], "plus_minus": "", "full": "", "words": "", "columns": [], "rows": [], "picture": []},
    }


def one_line(text: str) -> str:
    """Points typed one pair a line, as the field without scripts shows them, with semicolons in place of the lines' ends."""
    return re.sub(r"[ \t\r]*;?[ \t\r]*\n[ \t\r\n]*", "; ", text.strip(" \t\r\n"))


def _repeated(number: str) -> str:
    """A typed number as a sentence repeats it: with the minus that computed numbers have, and none before nought."""
    return re.sub("^-", "−", _BELOW_NOUGHT.sub("", number))


def _place(share: float) -> str:
    """A place in a picture as text, to halves of a hundredth: the last bits of a sine then make no difference."""
    return exact(math.floor(200 * share + 0.5) / 2, 4, ".")


def _about(outcome: Outcome, figure: Figure) -> str:
    refusal = outcome.refusal
    return refusal.name if refusal and any(take.name == refusal.name for take in figure.takes) else ""


def present(book: Any, language: str, figure: Figure, typed: Mapping[str, str], solve_for: str = "") -> View:
    """The view of a Figure for what was typed (see the module's text)."""
    return Presenter(book, language, figure).view(typed, solve_for)
