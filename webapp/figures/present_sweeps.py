"""A Figure's sweeps as they stand on the page: a table to read, and the numbers of its pictures.

static/js/lib/present-sweeps.js is the same, function by function.
"""

from __future__ import annotations

import math
from typing import Any

from .display import OTHER_DIGITS, exact, in_unit
from .model import Picture, Sweep
from .present import Presenter, View

# A table of more rows than this is not read on a phone: only some of the places stand in it.
MOST_ROWS = 20


def sweeps_view(presenter: Presenter) -> list[View]:
    """What the view made last has to draw, one entry for each sweep; empty where it was refused.

    title      of the sweep
    across     {label, unit}: what it goes over
    columns    [{label, unit}] of the table, what it goes over first
    rows       [[text]] for some of the places, the last among them
    x          [number] of every place, in the unit of `across`
    pictures   [{title, unit, series: [{label, y: [number or None]}], limits: [{at, say, beyond}]}]
    """
    _, outcome, _ = presenter.last
    if outcome.refusal or not outcome.values:
        return []
    return [_sweep(presenter, sweep, at) for at, sweep in enumerate(presenter.figure.sweeps)]


def _sweep(presenter: Presenter, sweep: Sweep, at: int) -> View:
    givens, outcome, _ = presenter.last
    rows = presenter.calculator.sweep(sweep, givens, outcome)
    heads = [_head(presenter, name) for name in (sweep.over, *sweep.draw)]
    text = presenter.text["sweeps"][at]
    return {
        "title": text["title"],
        "across": heads[0],
        "columns": heads,
        "rows": [_cells(presenter, sweep, row) for row in _some(rows)],
        "x": [in_unit(row[0], _unit(presenter, sweep.over)) for row in rows],
        "pictures": [
            _picture(presenter, sweep, picture, rows, text["pictures"][n])
            for n, picture in enumerate(sweep.pictures)
        ],
    }


def _picture(
    presenter: Presenter, sweep: Sweep, picture: Picture, rows: list[list[float]], text: Any
) -> View:
    givens, outcome, _ = presenter.last
    unit = _unit(presenter, picture.draw[0])
    series = []
    for name in picture.draw:
        column = sweep.draw.index(name) + 1
        y = [None if math.isnan(row[column]) else in_unit(row[column], unit) for row in rows]
        series.append({"label": presenter.text["labels"][name]["label"], "y": y})
    levels = presenter.calculator.levels(picture.limits, givens, outcome)
    limits = [
        {"at": in_unit(level, unit), "say": presenter.filled(say), "beyond": limit.beyond}
        for level, say, limit in zip(levels, text["limits"], picture.limits, strict=True)
    ]
    return {"title": text["title"], "unit": unit["symbol"], "series": series, "limits": limits}


def _head(presenter: Presenter, name: str) -> View:
    return {
        "label": presenter.text["labels"][name]["label"],
        "unit": _unit(presenter, name)["symbol"],
    }


def _unit(presenter: Presenter, name: str) -> Any:
    """The unit that an answer or an input is drawn in: its own."""
    figure = presenter.figure
    units = {one.name: one.unit for one in figure.takes} | {one.name: one.unit for one in figure.gives}
    return presenter.units[units[name]]


def _cells(presenter: Presenter, sweep: Sweep, row: list[float]) -> list[str]:
    names = (sweep.over, *sweep.draw)
    return [
        "–"
        if math.isnan(value)
        else exact(in_unit(value, _unit(presenter, name)), OTHER_DIGITS, presenter.decimal)
        for name, value in zip(names, row, strict=True)
    ]


def _some(rows: list[list[float]]) -> list[list[float]]:
    """Every so many of the rows, the last always."""
    stride = math.ceil((len(rows) - 1) / (MOST_ROWS - 1)) or 1
    return [row for n, row in enumerate(rows) if n % stride == 0 or n == len(rows) - 1]
