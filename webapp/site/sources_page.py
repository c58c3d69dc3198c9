"""The pages of sources: every Figure and every caution sheet with what it stands on. Made from the Book, so never behind it."""

from __future__ import annotations

from ..book import Book
from ..caution_sources import EMERGENCY, caution_sources
from ..figures.sources import sources_of
from .excerpts import Context, grouped
from .links import Links


def sources_text(book: Book, lang: str) -> Context:
    """Title and summary of the page."""
    words = book.words(lang)
    return {"title": words["sources_title"], "summary": words["sources_says"]}


def sources_context(book: Book, lang: str, links: Links) -> Context:
    """What sources.html gets beside what all templates get."""

    def entry(name: str) -> Context:
        formulas, checks = sources_of(book, lang, name)
        return {
            "id": name,
            "title": book.texts[lang]["figures"][name]["title"],
            "href": links.to(f"figures/{name}/"),
            "sources": [links.in_html(line) for line in formulas],
            "checks": checks,
        }

    return {"groups": grouped(book, lang, entry), "checks": sum(len(f.checks) for f in book.figures.values())}


def caution_sources_text(book: Book, lang: str) -> Context:
    """Title and summary of the page about the sheets."""
    words = book.words(lang)
    return {"title": words["caution_sources_title"], "summary": words["caution_sources_says"]}


def caution_sources_context(book: Book, lang: str, links: Links) -> Context:
    """What caution_sources.html gets beside what all templates get."""
    texts = book.texts[lang]
    sheets = [
        {
            "id": name,
            "title": (texts["emergency"] if name == EMERGENCY else texts["cautions"][name])["title"],
            "href": links.to("emergency/" if name == EMERGENCY else f"cautions/{name}/"),
            "sources": [source._asdict() for source in sources],
        }
        for name, sources in caution_sources(book, lang)
    ]
    return {"sheets": sheets}
