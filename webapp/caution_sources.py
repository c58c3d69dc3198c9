"""What the caution sheets stand on: the one list that the command prints and the page of their sources shows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from .book import Book

EMERGENCY = "emergency"  # the page 'if it goes wrong', which has its sources as the sheets have theirs


class Standing(NamedTuple):
    """One source of a sheet: how it was used (`read`, `part`, `memory`, `practice`, `own`), its name, how many statements stand on it."""

    basis: str
    name: str
    statements: int


def caution_sources(book: Book, lang: str) -> Iterator[tuple[str, list[Standing]]]:
    """Each sheet in the order of the sheets, the page 'if it goes wrong' last, with its sources."""
    texts = book.texts[lang]
    for name in sorted(book.cautions, key=lambda name: book.cautions[name]["order"]):
        sheet = texts["cautions"][name]
        yield name, _standing(sheet["sections"], sheet["sources"])
    yield EMERGENCY, _standing(texts["emergency"]["parts"], texts["emergency"]["sources"])


def _standing(
    parts: list[dict[str, list[dict[str, list[int]]]]], sources: list[dict[str, str]]
) -> list[Standing]:
    counted = Counter(
        number for part in parts for statement in part["statements"] for number in statement["sources"]
    )
    return [Standing(one["basis"], one["name"], counted[int(one["number"])]) for one in sources]
