"""A Figure's page: what was asked for in the address, evaluated and laid out for the template."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape
from typing import Any

from ..book import Book
from ..figures.model import Figure, Formula, Give
from ..figures.present import present
from .excerpts import caution_list, figure_text, short
from .links import Links

SOLVE = "solve"

# Characters that may not stand in a page; the sign for 'something that cannot be shown' does.
_UNSHOWABLE = re.compile("[\x00-\x08\x0b\x0e-\x1f\x7f-\x9f\ufdd0-\ufdef\ufffe\uffff\ud800-\udfff]")
_WORD = re.compile(r"\{(math_[a-z_]+)\}")
_SYMBOL = re.compile(r'<mi data-symbol="([^"]*)">[^<]*</mi>')


def asked_for(figure: Figure, arguments: Mapping[str, str]) -> tuple[dict[str, str], str]:
    """What a query says to a Figure: (name -> text, name of the unknown or '').

    Parameters that the Figure does not know are left out, since chat programs add their own; so is an unknown that is no
    numeric input. Of a repeated parameter the first counts: the caller hands in a mapping that gives it. A wanted answer
    counts only beside an unknown.
    """
    unknown = arguments.get(SOLVE, "")
    if not any(take.name == unknown and take.is_numeric for take in figure.takes):
        unknown = ""
    names = [take.name for take in figure.takes] + ([give.name for give in figure.gives] if unknown else [])
    return {name: showable(arguments[name]) for name in names if name in arguments}, unknown


def showable(text: str) -> str:
    """A text from a request as it may stand in a page."""
    return _UNSHOWABLE.sub("\ufffd", text)


def figure_context(
    book: Book,
    lang: str,
    figure: Figure,
    links: Links,
    typed: Mapping[str, str] | None = None,
    solve: str = "",
) -> dict[str, Any]:
    """What figure.html gets beside what all templates get."""
    typed = dict(typed or {})
    view = present(book, lang, figure, typed, solve)
    texts = book.texts[lang]["figures"]
    return {
        "figure": figure,
        "text": figure_text(book, lang, figure.id, links),
        "view": view,
        "cautions": caution_list(book, lang, list(figure.needs), links),
        "related": [short(texts[name], name, "figures", links) for name in figure.related],
        "working": working(book, lang, figure, view["numbers"]),
        "query": {**typed, **({SOLVE: solve} if solve else {})},
        "solve": solve,
        "is_error": is_refused_input(figure, view),
    }


def is_refused_input(figure: Figure, view: Mapping[str, Any]) -> bool:
    """Whether the answer is about something typed that cannot be used: empty, unreadable, out of range.

    'Nothing flows' and 'no pressure gives that flow' are about what the numbers mean; they are answers.
    """
    named = any(take.name == view["about"] for take in figure.takes)
    return bool(view["state"] == "missing" or named or any(row["problem"] for row in view["rows"]))


def working(book: Book, lang: str, figure: Figure, numbers: Mapping[str, str]) -> list[dict[str, str]]:
    """[{name, label, mathml, filled}] of every answer with a formula; in `filled` the numbers stand where the symbols were."""
    labels, words = book.texts[lang]["figures"][figure.id]["labels"], book.words(lang)
    shown = []
    for give in figure.gives:
        for name, formula in _formulas(give):
            mathml = _WORD.sub(lambda found: escape(words[found[1]]), formula.mathml)
            label = labels.get(name, {}).get("label", "")
            shown.append({"name": name, "label": label, "mathml": mathml, "filled": _filled(mathml, numbers)})
    return shown


def _formulas(give: Give) -> list[tuple[str, Formula]]:
    """The formulas of an answer in the order of reckoning: what a root's equation uses stands before it."""
    steps = [*give.where, (give.name, give.formula)]
    return [(name, formula) for name, formula in steps if formula and formula.mathml]


def _filled(mathml: str, numbers: Mapping[str, str]) -> str:
    return _SYMBOL.sub(
        lambda found: f"<mtext>{escape(numbers[found[1]])}</mtext>" if found[1] in numbers else found[0],
        mathml,
    )
