"""How one page shows another: title, one sentence and a link; a caution with its signal word."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..book import Book
from .links import Links

SIGNAL_ORDER = ("DANGER", "WARNING", "CAUTION", "NOTICE")

Context = dict[str, Any]


def short(text: Context, name: str, folder: str, links: Links) -> Context:
    """A page as a list shows it; `name` is '' where the folder itself is the page."""
    path = f"{folder}/{name}/" if name else f"{folder}/"
    return {"id": name or folder, "title": text["title"], "summary": text["summary"], "href": links.to(path)}


def listed(texts: dict[str, Context], folder: str, links: Links) -> list[Context]:
    """All pages of a folder in the order that their files give."""
    ordered = sorted(texts.items(), key=lambda pair: (pair[1]["order"], pair[0]))
    return [short(text, name, folder, links) for name, text in ordered]


def grouped(book: Book, lang: str, entry: Callable[[str], Context]) -> list[Context]:
    """The Figures by part, in the order of their numbers, each as `entry` makes it; a part stands where its first Figure does."""
    words = book.words(lang)
    groups: dict[str, Context] = {}
    for name, figure in book.figures.items():
        part = figure.part
        empty = {
            "id": part,
            "title": words[f"part_{part}"],
            "says": words[f"part_{part}_says"],
            "figures": [],
        }
        groups.setdefault(part, empty)["figures"].append(entry(name))
    return list(groups.values())


def caution_list(
    book: Book, lang: str, names: list[str], links: Links, by_order: bool = False
) -> list[Context]:
    """Sheets as a page names them: in the order of the sheets, or the worst signal word first."""

    def rank(name: str) -> tuple[int, int]:
        sheet = book.cautions[name]
        return (0 if by_order else SIGNAL_ORDER.index(sheet["signal"]), sheet["order"])

    texts = book.texts[lang]["cautions"]
    return [
        {
            "id": name,
            "signal": book.cautions[name]["signal"],
            "title": texts[name]["title"],
            "says": texts[name]["says"],
            "href": links.to(f"cautions/{name}/"),
        }
        for name in sorted(names, key=rank)
    ]


def figure_text(book: Book, lang: str, name: str, links: Links) -> Context:
    """A Figure's text with its links made ready for one page."""
    text = dict(book.texts[lang]["figures"][name])
    text["body"] = links.in_html(text["body"])
    for key in ("assumes", "sources"):
        text[key] = [links.in_html(line) for line in text[key]]
    return text
