"""A Figure's answers as one JSON object: the form of the command line and of the site's JSON addresses.

    {"figure": id,
     "gives": {name: {"value", "unit", "si", "spread", "label"}},
     "found": {name: {"value", "unit", "si"}} or null,
     "warnings": [sentence], "verdict": {"level", "text"} or null, "remedies": [sentence],
     "sweeps": [{"over", "draw", "rows"}], "estimate": sentence or "", "spread": sentence,
     "refused": null or a sentence}

A level that is never reached has "value" null. A 'words' answer has "value" as its sentence; a 'series' has a list of rows of SI numbers, over a table's rows each behind the
id of its row.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from ..errors import UnknownFigure, did_you_mean
from .display import in_unit
from .model import Figure, Give
from .present import Presenter


class BadInput(Exception):
    """An input that cannot be read or a name that is not known; the message is the reader's sentence."""


def answer(
    book: Any, language: str, figure_id: str, typed: Mapping[str, str], solve_for: str = ""
) -> dict[str, Any]:
    """The object described above.

    typed      name -> 'value unit'; inputs not named stand at their defaults. With `solve_for`, the wanted
               answer under its own name.
    Raises     UnknownFigure; BadInput for unknown names and unreadable numbers. A calculation that is refused raises nothing.
    """
    figure = find_figure(book, figure_id)
    _check_names(figure, typed, solve_for)
    presenter = Presenter(book, language, figure)
    view = presenter.view(typed, solve_for)
    unread = [row for row in view["rows"] if row["problem"]]
    if unread:
        raise BadInput(" ".join(presenter.problem_line(row) for row in unread))
    refused = view["sentence"] or None
    result: dict[str, Any] = {
        "figure": figure_id,
        "gives": {},
        "found": None,
        "warnings": view["warnings"],
        "verdict": view["verdict"],
        "sweeps": [],
    }
    result.update(
        {
            "remedies": view["remedies"],
            "estimate": view["estimate"],
            "spread": view["spread"],
            "refused": refused,
        }
    )
    if not refused:
        _add_answers(presenter, figure, view, result)
    return result


def describe(book: Any, language: str, figure_id: str) -> dict[str, Any]:
    """What a Figure takes and gives: {"figure", "title", "takes": {name: {…}}, "gives": {name: {…}}}."""
    figure = find_figure(book, figure_id)
    text = book.texts[language]["figures"][figure_id]
    takes = {}
    for take in figure.takes:
        entry: dict[str, Any] = {
            "label": text["labels"][take.name]["label"],
            "type": take.type,
            "kind": take.kind,
            "unit": take.unit,
        }
        if take.type == "choice":
            entry.update({"default": take.default, "rows": list(book.tables[take.table]["rows"])})
        elif take.type == "points":
            entry.update({"default": take.default, "across": take.across})
        else:
            unit = book.units["units"][take.unit]
            entry.update(
                {
                    "default": in_unit(take.default, unit),
                    "low": in_unit(take.low, unit),
                    "high": in_unit(take.high, unit),
                }
            )
            entry["units"] = book.units["kinds"][take.kind]["units"]
        takes[take.name] = entry
    gives = {
        give.name: {
            "label": text["labels"][give.name]["label"],
            "type": give.type,
            "kind": give.kind,
            "unit": give.unit,
            "first": give.first,
        }
        for give in figure.gives
    }
    return {"figure": figure_id, "title": text["title"], "takes": takes, "gives": gives}


def find_figure(book: Any, figure_id: str) -> Figure:
    """The Figure of that name. Raises UnknownFigure with near names."""
    import difflib

    if figure_id not in book.figures:
        raise UnknownFigure(figure_id, difflib.get_close_matches(figure_id, book.figures, 3, 0.5))
    figure: Figure = book.figures[figure_id]
    return figure


def _check_names(figure: Figure, typed: Mapping[str, str], solve_for: str) -> None:
    takes = [take.name for take in figure.takes]
    gives = [give.name for give in figure.wantable]
    for name in typed:
        if name not in takes and not (solve_for and name in gives):
            raise BadInput(
                f'{figure.id} takes no "{name}". {did_you_mean(name, takes + (gives if solve_for else []))}'
            )
    numeric = [take.name for take in figure.takes if take.is_numeric]
    if solve_for and solve_for not in numeric:
        raise BadInput(f'{figure.id} cannot be solved for "{solve_for}". {did_you_mean(solve_for, numeric)}')


def _add_answers(presenter: Presenter, figure: Figure, view: dict[str, Any], result: dict[str, Any]) -> None:
    givens, outcome, spreads = presenter.last
    for give in figure.gives:
        result["gives"][give.name] = _entry(
            presenter, give, outcome.values[give.name], spreads.get(give.name), view["numbers"]
        )
    if view["found"]:
        take = figure.take(view["found"]["name"])
        unit = presenter.units[view["found"]["unit_id"]]
        result["found"] = {
            take.name: {
                "value": in_unit(givens[take.name], unit),
                "unit": unit["symbol"],
                "si": givens[take.name],
            }
        }
    for sweep in figure.sweeps:
        rows = [
            [None if math.isnan(cell) else cell for cell in row]
            for row in presenter.calculator.sweep(sweep, givens, outcome)
        ]
        result["sweeps"].append({"over": sweep.over, "draw": list(sweep.draw), "rows": rows})


def _entry(
    presenter: Presenter, give: Give, value: Any, spread: Any, told: Mapping[str, str]
) -> dict[str, Any]:
    label = presenter.text["labels"][give.name]["label"]
    if give.type == "words":
        return {
            "value": told[give.name],
            "unit": "",
            "si": None,
            "spread": None,
            "label": label,
        }
    if give.type == "series":
        ids = list(presenter.tables[give.table]["rows"]) if give.table else []
        value = [[ids[row[0]], *row[1:]] for row in value] if give.table else value
        return {"value": value, "unit": "", "si": None, "spread": None, "label": label}
    unit = presenter.units[give.unit]
    if not math.isfinite(value):
        return {"value": None, "unit": unit["symbol"], "si": None, "spread": None, "label": label}
    width = spread.likely / unit["factor"] if spread else 0.0
    return {
        "value": in_unit(value, unit),
        "unit": unit["symbol"],
        "si": value,
        "spread": width,
        "label": label,
    }
