"""The page on which a person enters their engine once: its rows, empty, as the server knows nothing of what is on the phone."""

from __future__ import annotations

from typing import Any

from ..book import Book
from .excerpts import Context
from .links import Links


def setup_context(book: Book, lang: str, links: Links) -> Context:
    """What setup.html gets beside what all templates get."""
    texts = book.texts[lang]
    groups = [
        {
            "id": name,
            "label": texts["setup"]["groups"][name],
            "rows": [_row(book, lang, one) for one in fields],
        }
        for name, fields in book.setup["groups"].items()
    ]
    return {"groups": groups, "body": links.in_html(texts["setup"]["body"])}


def _row(book: Book, lang: str, name: str) -> dict[str, Any]:
    """A field in the shape of a row of a Figure's view, see webapp.figures.present."""
    texts, field = book.texts[lang], book.setup["fields"][name]
    label = texts["setup"]["labels"][name]
    sort = book.units["kinds"][field["kind"]]["sort"] if field["kind"] else ""
    rows = texts["row_labels"][field["table"]] if field["table"] else {}
    blank = {"id": "", "label": texts["words"]["setup_not_entered"]}
    return {
        "name": name,
        "label": label["label"],
        "note": label["note"],
        "sort": texts["words"][f"sort_{sort}"] if sort else "",
        "type": field["type"],
        "options": [blank, *({"id": row, "label": text} for row, text in rows.items())],
        "text": "",
        "unit": book.units["units"][field["unit"]]["symbol"] if field["unit"] else "",
        "echo": [],
        "problem": "",
        "is_unknown": False,
        "is_wanted": False,
    }
