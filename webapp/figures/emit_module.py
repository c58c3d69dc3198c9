"""The phone's JavaScript: one module a Figure and language, and one of units.

A Figure's module holds its formulas as functions, inputs and answers as data, the rows to choose from and its texts, so that the
first visit to a page fetches that Figure alone. The same Book gives the same bytes. Each says which content file it came from.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from .model import Figure, Formula, Give, Picture, Remedy, Row, Sweep, Take

Tables = Mapping[str, Mapping[str, Mapping[str, float]]]

# HTML that stands in the page, and what only the build needs.
_TEXTS_OF_PAGE = ("body", "sources", "assumes", "constants", "checks", "finds")

_UNREAD = ("nature",)


def units_module(book: Any) -> bytes:
    """js/units.js: exports UNITS, the table of kinds and units."""
    return f"export const UNITS = {_quoted(_units(book))};\n".encode()


def figure_module(book: Any, language: str, figure: Figure) -> bytes:
    """js/figures/ID.LANG.js: exports FIGURE (of static/js/lib/calculator.js), CHOICES, TEXT and ROW_LABELS."""
    texts = book.texts[language]
    named = [take.table for take in figure.takes] + [give.table for give in figure.gives]
    tables = dict.fromkeys(table for table in named if table)
    used = [take.setup for take in figure.takes] + [give.setup for give in figure.gives]
    labels = texts["setup"]["labels"]
    text = {key: value for key, value in texts["figures"][figure.id].items() if key not in _TEXTS_OF_PAGE}
    text["setup"] = {name: labels[name]["label"] for name in used if name}
    return (
        f"// {figure.file}\n"
        'import * as K from "../lib/kernel.js";\n'
        f"export const FIGURE = {_figure(figure)};\n"
        f"export const CHOICES = {_quoted({table: book.choices[table] for table in tables})};\n"
        f"export const TEXT = {_quoted(text)};\n"
        f"export const ROW_LABELS = {_quoted({table: texts['row_labels'][table] for table in tables})};\n"
    ).encode()


def _units(book: Any) -> dict[str, Any]:
    """The units table without what no script reads, and with the unit of every column that a choice can bring."""
    columns = {
        table: {name: spec["unit"] for name, spec in book.tables[table]["columns"].items() if spec["kind"]}
        for table in book.choices
    }
    kinds, units = (
        {
            name: {key: part for key, part in one.items() if key not in _UNREAD}
            for name, one in book.units[what].items()
        }
        for what in ("kinds", "units")
    )
    return {**book.units, "kinds": kinds, "units": units, "columns": columns}


def _figure(figure: Figure) -> str:
    return _object(
        id=_quoted(figure.id),
        takes=_list(_take(take) for take in figure.takes),
        constants=_quoted(figure.constants),
        constantUnits=_quoted({name: unit for name, (_, unit) in figure.constant_units.items()}),
        gives=_list(_give(give) for give in figure.gives),
        refuse=_rows(figure.refuse),
        warn=_rows(figure.warn),
        verdict=_rows(figure.verdict),
        remedies=_list(_remedy(remedy) for remedy in figure.remedies),
        sweeps=_list(_sweep(sweep) for sweep in figure.sweeps),
    )


def _take(take: Take) -> str:
    data: dict[str, Any] = {
        "name": take.name,
        "type": take.type,
        "kind": take.kind,
        "unit": take.unit,
        "default": take.default,
        "low": take.low,
        "high": take.high,
    }
    optional = {
        "accuracy": take.accuracy,
        "table": take.table,
        "brings": take.brings,
        "group": take.group,
        "setup": take.setup,
        "across": take.across,
        "method": take.method,
    }
    return _quoted({**data, **{key: value for key, value in optional.items() if value}})


def _give(give: Give) -> str:
    data: dict[str, str] = {
        key: _quoted(getattr(give, key)) for key in ("name", "type", "kind", "unit", "first", "shown")
    }
    for name in ("unlike", "asked", "of", "setup"):
        if getattr(give, name):
            data[name] = _quoted(getattr(give, name))
    if give.is_late:
        data["upward"] = _quoted(give.upward)
    for key, formula in (
        ("f", give.formula),
        ("low", give.low),
        ("high", give.high),
        ("start", give.start),
        ("stop", give.stop),
        ("only", give.only),
        ("level", give.level),
        ("at", give.at),
    ):
        if formula:
            data[key] = _function(formula)
    if give.type == "root" and give.formula:
        data["f"] = _tried(give, give.formula)
        data["inner"] = _quoted([name for name, _ in give.where])
    if give.type == "words":
        data["rows"] = _list(_function(row) for row in give.rows)
    if give.type == "series":
        data["over"] = _quoted(give.over)
        if give.table:
            data["table"], data["most"] = _quoted(give.table), _quoted(give.most)
        data["columns"] = _list(
            _object(
                name=_quoted(c.name),
                kind=_quoted(c.kind),
                unit=_quoted(c.unit),
                shown=_quoted(c.shown),
                f=_function(c.formula),
            )
            for c in give.columns
        )
        data["by"] = _list(_function(key) for key in give.by)
        data["ranked"], data["picture"] = _quoted(give.ranked), _quoted(give.picture)
    return _object(**data)


def _rows(rows: tuple[Row, ...]) -> str:
    return _list(
        _object(when=_function(row.when), after=str(row.after), level=_quoted(row.level)) for row in rows
    )


def _remedy(remedy: Remedy) -> str:
    data = {
        "solve": _quoted(remedy.solve),
        "answer": _quoted(remedy.answer),
        "equals": _function(remedy.equals),
        "when": _function(remedy.when),
    }
    return _object(**data, **({"at": _function(remedy.at)} if remedy.at else {}))


def _sweep(sweep: Sweep) -> str:
    return _object(
        over=_quoted(sweep.over),
        start=_function(sweep.start),
        stop=_function(sweep.stop),
        steps=str(sweep.steps),
        draw=_quoted(sweep.draw),
        pictures=_list(_picture(picture) for picture in sweep.pictures),
    )


def _picture(picture: Picture) -> str:
    limits = (
        _object(of=_quoted(one.of), level=_function(one.level), beyond=_quoted(one.beyond))
        for one in picture.limits
    )
    return _object(draw=_quoted(picture.draw), limits=_list(limits))


def _tried(give: Give, equation: Formula) -> str:
    """How far a tried root is off. It stands among the values meanwhile, and what the equation names by `where` is set one by one."""
    steps = [(give.name, "x"), *((name, formula.js) for name, formula in give.where)]
    return f"(v,x)=>({','.join(f'v.{name}={value}' for name, value in steps)},{equation.js})"


def _function(formula: Formula) -> str:
    return f"v=>{formula.js}"


def _object(**members: str) -> str:
    return "{" + ",".join(f"{key}:{value}" for key, value in members.items()) + "}"


def _list(members: Any) -> str:
    return "[" + ",".join(members) + "]"


def _quoted(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
