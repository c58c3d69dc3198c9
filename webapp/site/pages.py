"""Which pages a language has, and what each gives its template. The list of what that is stands in build.py."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from ..book import Book
from ..figures.model import Figure
from ..figures.numbers import write_full
from .excerpts import Context, caution_list, listed, short
from .figure_page import figure_context
from .links import Links


@dataclass(frozen=True)
class Page:
    """One page of one language.

    path      address below the language, '' for the home page
    up        path of the page above, None on the home page
    content   given the links of the page, what its template gets beside what all get
    figure    id of the Figure that the page shows, '' elsewhere; such a page reads the query
    """

    lang: str
    path: str
    template: str
    title: str
    summary: str
    up: str | None
    content: Callable[[Links], Context]
    figure: str = ""

    @property
    def address(self) -> str:
        return f"{self.lang}/{self.path}"


def pages_of(book: Book, lang: str) -> Iterator[Page]:
    """Every page of a language, the home page first."""
    words, texts = book.words(lang), book.texts[lang]
    parts = list(_parts(book, lang))

    def page(path: str, template: str, title: str, summary: str, content: Callable[[Links], Context], up: str = "", figure: str = "") -> Page:
        return Page(lang, path, template, title, summary, up, content, figure)

    def part(name: str, template: str, content: Callable[[Links], Context]) -> Page:
        return page(f"{name}/", template, words[f"site_{name}"], words[f"site_{name}_says"], content)

    home = {"parts": parts}
    yield Page(lang, "", "home.html", words["site_name"], words["site_says"], None, lambda links: _linked(home, "parts", links))
    yield part("figures", "figures.html", lambda links: {"groups": _groups(book, lang, links)})
    for name, figure in book.figures.items():
        text = texts["figures"][name]
        yield page(f"figures/{name}/", "figure.html", text["title"], text["summary"], _figure_content(book, lang, figure), "figures/", name)
    yield part("cautions", "cautions.html", lambda links: {"cautions": caution_list(book, lang, list(book.cautions), links, by_order=True)})
    for name in book.cautions:
        text = texts["cautions"][name]
        yield page(f"cautions/{name}/", "caution.html", text["title"], text["says"], _caution_content(book, lang, name), "cautions/")
    emergency = texts["emergency"]
    yield page("emergency/", "emergency.html", emergency["title"], emergency["says"], lambda links: {"emergency": _emergency(emergency, links)})
    if book.tables:
        yield part("tables", "tables.html", lambda links: {"tables": listed(texts["tables"], "tables", links)})
        for name, text in texts["tables"].items():
            yield page(f"tables/{name}/", "table.html", text["title"], text["summary"], _table_content(book, lang, name), "tables/")
    yield part("help", "page.html", lambda links: {"html": "", "items": [*listed(texts["pages"], "help", links), *_other_help(texts, links)]})
    for name, text in texts["pages"].items():
        yield page(f"help/{name}/", "page.html", text["title"], text["summary"], _page_content(text), "help/")
    for name in ("glossary", "changes"):
        yield page(f"{name}/", "page.html", texts[name]["title"], texts[name]["summary"], _page_content(texts[name]), "help/" if name == "changes" else "")
    yield page("offline/", "offline.html", words["site_offline"], words["site_offline_says"], lambda links: {})


def _parts(book: Book, lang: str) -> Iterator[Context]:
    words = book.words(lang)
    names = ["figures", "cautions", *(["tables"] if book.tables else []), "glossary", "help"]
    for name in names:
        yield {"id": name, "title": words[f"site_{name}"], "says": words[f"site_{name}_says"], "path": f"{name}/"}
    emergency = book.texts[lang]["emergency"]
    yield {"id": "emergency", "title": emergency["title"], "says": emergency["says"], "path": "emergency/"}


def _linked(context: Context, key: str, links: Links) -> Context:
    return {key: [{**item, "href": links.to(item["path"])} for item in context[key]]}


def _groups(book: Book, lang: str, links: Links) -> list[Context]:
    """The Figures by part, in the order of their numbers; a part stands where its first Figure does."""
    words, groups = book.words(lang), {}
    for name, figure in book.figures.items():
        group = groups.setdefault(figure.part, {"id": figure.part, "title": words[f"part_{figure.part}"], "says": words[f"part_{figure.part}_says"], "figures": []})
        group["figures"].append(short(book.texts[lang]["figures"][name], name, "figures", links))
    return list(groups.values())


def _other_help(texts: Context, links: Links) -> list[Context]:
    return [
        {"id": name, "title": texts[name]["title"], "summary": texts[name]["summary"], "href": links.to(f"{name}/")}
        for name in ("glossary", "changes")
    ]


def _figure_content(book: Book, lang: str, figure: Figure) -> Callable[[Links], Context]:
    return lambda links: figure_context(book, lang, figure, links)


def _caution_content(book: Book, lang: str, name: str) -> Callable[[Links], Context]:
    def content(links: Links) -> Context:
        text, sheet = book.texts[lang]["cautions"][name], book.cautions[name]
        sections = [{**section, "statements": _with_sources(section["statements"], text["sources"])} for section in text["sections"]]
        own = {"id": name, "signal": sheet["signal"], "signs": sheet["signs"], "sections": sections, "body": links.in_html(text["body"])}
        return {"caution": {**text, **own}}

    return content


def _emergency(text: Context, links: Links) -> Context:
    parts = [
        {"id": part["id"], "title": part["title"], "steps": _with_sources(part["statements"], text["sources"])} for part in text["parts"]
    ]
    return {**text, "parts": parts, "body": links.in_html(text["body"])}


def _with_sources(statements: list[Context], sources: list[Context]) -> list[Context]:
    """Statements with the records of their sources in place of the numbers."""
    by_number = {source["number"]: source for source in sources}
    return [{**statement, "sources": [by_number[number] for number in statement["sources"]]} for statement in statements]


def _page_content(text: Context) -> Callable[[Links], Context]:
    return lambda links: {"html": links.in_html(text["body"]), "items": []}


def _table_content(book: Book, lang: str, name: str) -> Callable[[Links], Context]:
    def content(links: Links) -> Context:
        table, text = book.tables[name], book.texts[lang]["tables"][name]
        # The first column of words is what the rows are called, see `row_labels`; it heads the rows and is no column of its own.
        naming = next((key for key, column in table["columns"].items() if not column["kind"]), "")
        columns = {key: column for key, column in table["columns"].items() if key != naming}
        shown = {
            "id": name,
            "title": text["title"],
            "summary": text["summary"],
            "row_head": text["columns"].get(naming, text["title"]),
            "columns": [{"id": key, "label": text["columns"][key], "unit": _symbol(book, column)} for key, column in columns.items()],
            "rows": [
                {"id": row, "label": book.texts[lang]["row_labels"][name][row], "cells": [_cell(book, columns[key], cells[key]) for key in columns]}
                for row, cells in table["rows"].items()
            ],
            "sources": [links.in_html(line) for line in text["sources"]],
            "body": links.in_html(text["body"]),
        }
        return {"table": shown, "cautions": caution_list(book, lang, text["needs"], links)}

    return content


def _symbol(book: Book, column: Context) -> str:
    return str(book.units["units"][column["unit"]]["symbol"]) if column["kind"] else ""


def _cell(book: Book, column: Context, cell: Any) -> str:
    """A cell as it is read: an SI number in the column's unit, cut to 12 digits since going to SI and back adds noise at the end."""
    if cell is None:
        return "—"
    if not column["kind"]:
        return str(cell)
    unit = book.units["units"][column["unit"]]
    return write_full(float(f"{(cell - unit['offset']) / unit['factor']:.12g}"))
