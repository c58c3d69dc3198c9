"""Cells of the tables as their tests read them, and the few formulas that several of those tests share."""

from __future__ import annotations

import math
from typing import Any

INCH = 25.4  # mm, exact
Column = dict[str, float]


def numbers(book: Any, table: str, column: str) -> Column:
    """Row id -> number in the column's own unit, without the rows whose cell is empty."""
    unit = book.units["units"][book.tables[table]["columns"][column]["unit"]]
    rows = book.tables[table]["rows"]
    filled = {row: cells[column] for row, cells in rows.items() if cells[column] is not None}
    return {row: (si - unit["offset"]) / unit["factor"] for row, si in filled.items()}


def texts(book: Any, table: str, column: str) -> dict[str, str]:
    return {row: cells[column] for row, cells in book.tables[table]["rows"].items()}


def in_mm(fraction: str) -> float:
    """Millimetres of a text such as '1 1/16' or '11/16 in'."""
    return INCH * sum(
        float(part.partition("/")[0]) / float(part.partition("/")[2] or 1)
        for part in fraction.removesuffix(" in").split()
    )


def metric_size(row: str) -> tuple[float, float | None]:
    """Diameter and, of a fine thread, pitch in mm: 'm10x1.25' gives (10, 1.25), 'm10' gives (10, None)."""
    diameter, _, pitch = row.removeprefix("m").partition("x")
    return float(diameter), float(pitch) if pitch else None


def inch_size(name: str) -> tuple[float, int]:
    """Diameter in inches and threads per inch of a name such as '#10-32 UNF' or '1 1/16-12 UN'."""
    size, threads = name.rsplit(" ", 1)[0].rsplit("-", 1)
    # Numbered sizes: 0.060 in and 0.013 in for each number, ASME B1.1 (from memory).
    diameter = 0.060 + 0.013 * int(size[1:]) if size.startswith("#") else in_mm(size) / INCH
    return diameter, int(threads)


def stress_area(diameter: float, pitch: float) -> float:
    """ISO 898-1:2013, nominal stress area (from memory): π/4 ((d2 + d3)/2)² with the profile of ISO 68-1."""
    height = math.sqrt(3) / 2 * pitch
    d2 = diameter - 0.75 * height
    d3 = diameter - 2 * 5 / 8 * height - height / 6
    return math.pi / 4 * ((d2 + d3) / 2) ** 2


def site_pressure(altitude: float) -> float:
    """Pa at a geometric altitude in m: ISO 2533:1975 (from memory), good to 11 km."""
    height = 6_356_766 * altitude / (6_356_766 + altitude)
    return 101_325 * (1 - 0.0065 * height / 288.15) ** 5.25588
