"""The part of the tables that a choice needs; apart from their compiler, which a cached Book does without."""

from __future__ import annotations

from typing import Any


def choice_values(tables: dict[str, Any]) -> dict[str, dict[str, dict[str, float]]]:
    """Of every table only what formulas can use: table id -> row id -> column -> SI number."""
    return {
        table_id: {
            row_id: {
                name: cell
                for name, cell in row.items()
                if table["columns"][name]["kind"] and cell is not None
            }
            for row_id, row in table["rows"].items()
        }
        for table_id, table in tables.items()
    }
