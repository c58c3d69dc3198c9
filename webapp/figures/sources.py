"""What a Figure stands on: the one list that the command prints and the page of sources shows."""

from __future__ import annotations

from ..book import Book


def sources_of(book: Book, lang: str, figure_id: str) -> tuple[list[str], list[str]]:
    """(where its formulas and numbers come from, as lines of HTML; what its checks were taken from, as plain texts, each once)."""
    checks = dict.fromkeys(check.source for check in book.figures[figure_id].checks)
    return list(book.texts[lang]["figures"][figure_id]["sources"]), list(checks)
