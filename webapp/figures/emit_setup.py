"""The phone's module of the setup: js/setup.LANG.js. Its fields have the shape of a Figure without answers, so that the same code
reads and shows them."""

from __future__ import annotations

import json
from typing import Any


def setup_module(book: Any, language: str) -> bytes:
    """Exports FIGURE (of static/js/lib/calculator.js, its takes without a default), TEXT and ROW_LABELS."""
    texts = book.texts[language]
    fields = book.setup["fields"]
    figure: dict[str, Any] = {
        "id": "setup",
        "takes": [{"name": name, "default": "", **field} for name, field in fields.items()],
        "constants": {},
        "constantUnits": {},
        **{key: [] for key in ("gives", "refuse", "warn", "verdict", "remedies", "sweeps")},
    }
    tables = dict.fromkeys(field["table"] for field in fields.values() if field["table"])
    parts = {
        "FIGURE": figure,
        "TEXT": {"labels": texts["setup"]["labels"], "warn": [], "verdict": [], "remedies": []},
        "ROW_LABELS": {table: texts["row_labels"][table] for table in tables},
    }
    lines = [f"export const {name} = {_quoted(value)};\n" for name, value in parts.items()]
    return ("// content/setup.md\n" + "".join(lines)).encode()


def _quoted(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
