"""Tables of content/tables/: cells to SI numbers, checked."""

from __future__ import annotations

import math
from typing import Any

from ..content.front_matter import Text
from ..content.records import ColumnFile, TableFile
from ..errors import Problem, did_you_mean
from .numbers import NumberProblem, read_quantity
from .units import Units

# A cell with one of these holds no number: not known, or not applicable.
BLANKS = ("", "-", "–", "—")


def compile_table(record: TableFile, units: Units, problems: list[Problem]) -> dict[str, Any]:
    """{"columns": {name: {kind, unit}}, "rows": {row id: {column: SI number, text, or None}}}; a text column has kind ''."""
    columns = {}
    for column in record.columns:
        columns[str(column.name)] = {"kind": str(column.kind), "unit": str(column.unit)}
        _check_column(record, column, units, problems)
    rows: dict[str, dict[str, Any]] = {}
    for line, cells in record.rows:
        if cells and cells[0] in rows:
            problems.append(
                Problem(
                    record.file, line, "", f'the row id "{cells[0]}" stands twice.', "Give each row its own."
                )
            )
        rows[cells[0] if cells else ""] = _row(record, line, cells[1:], units, problems)
    return {"columns": columns, "rows": rows}


def _check_column(record: TableFile, column: ColumnFile, units: Units, problems: list[Problem]) -> None:
    if not column.kind:
        return
    if not units.has_kind(column.kind):
        problems.append(
            Problem(
                record.file,
                column.kind.line,
                f"columns.{column.name}.kind",
                f'there is no kind "{column.kind}".',
                did_you_mean(column.kind, units.kinds),
            )
        )
    elif column.unit not in units.table["kinds"][column.kind]["units"]:
        listed = units.table["kinds"][column.kind]["units"]
        problems.append(
            Problem(
                record.file,
                column.unit.line,
                f"columns.{column.name}.in",
                f'"{column.unit}" is no unit of {column.kind}.',
                did_you_mean(column.unit, listed),
            )
        )


def _row(
    record: TableFile, line: int, cells: list[str], units: Units, problems: list[Problem]
) -> dict[str, Any]:
    if len(cells) != len(record.columns):
        problems.append(
            Problem(
                record.file,
                line,
                "",
                f"the row has {len(cells) + 1} cells, the header {len(record.columns) + 1}.",
                "Fill every cell, with — for unknown.",
            )
        )
    return {
        str(column.name): _cell(record, line, column, cell, units, problems)
        for column, cell in zip(record.columns, cells, strict=False)
    }


def _cell(
    record: TableFile, line: int, column: ColumnFile, cell: str, units: Units, problems: list[Problem]
) -> Any:
    if not column.kind:
        return cell
    if not units.has_kind(column.kind) or column.unit not in units.table["kinds"][column.kind]["units"]:
        return math.nan
    if cell in BLANKS:
        return None
    try:
        return float(read_quantity(Text(cell, line), str(column.kind), units.table, str(column.unit)).si)
    except NumberProblem as problem:
        problems.append(
            Problem(
                record.file,
                line,
                str(column.name),
                f'"{cell}" is no number of this kind ({problem.code}).',
                f"Write a number in {column.unit}, or —.",
            )
        )
        return math.nan
