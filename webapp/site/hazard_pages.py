"""The hazard sheets and the page 'if it goes wrong': each statement with the records of the sources it stands on."""

from __future__ import annotations

from ..book import Book
from .excerpts import Context
from .links import Links
from .signs import sign_picture


def caution_context(book: Book, lang: str, name: str, links: Links) -> Context:
    """What caution.html gets beside what all templates get."""
    text, sheet = book.texts[lang]["cautions"][name], book.cautions[name]
    sections = [
        {**section, "statements": _with_sources(section["statements"], text["sources"])}
        for section in text["sections"]
    ]
    own = {
        "id": name,
        "signal": sheet["signal"],
        "signs": [{"id": sign, "picture": sign_picture(sign)} for sign in sheet["signs"]],
        "body": links.in_html(text["body"]),
    }
    return {"caution": {**text, **own, "sections": sections}}


def emergency_context(book: Book, lang: str, links: Links) -> Context:
    """What emergency.html gets beside what all templates get."""
    text = book.texts[lang]["emergency"]
    parts = [
        {
            "id": part["id"],
            "title": part["title"],
            "steps": _with_sources(part["statements"], text["sources"]),
        }
        for part in text["parts"]
    ]
    return {"emergency": {**text, "parts": parts, "body": links.in_html(text["body"])}}


def _with_sources(statements: list[Context], sources: list[Context]) -> list[Context]:
    """Statements with the records of their sources in place of the numbers."""
    by_number = {source["number"]: source for source in sources}
    return [
        {**statement, "sources": [by_number[number] for number in statement["sources"]]}
        for statement in statements
    ]
