"""A Figure's page: what was asked for in the address, evaluated and laid out for the template."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape
from typing import Any
from urllib.parse import urlencode

from ..book import Book
from ..figures.model import Figure, Formula, Give
from ..figures.present import Presenter, View
from ..figures.present_sweeps import sweeps_view
from .excerpts import caution_list, figure_text, short
from .links import Links

SOLVE = "solve"
# What stands in front of an input's name where it belongs to the set-up that is held to compare with.
HELD = "held."

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
    names = [take.name for take in figure.takes]
    if figure.run:
        names += [HELD + name for name in names]
    if unknown:
        names += [give.name for give in figure.gives]
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
    asked = dict(typed or {})
    typed = {name: text for name, text in asked.items() if not name.startswith(HELD)}
    held = {name.removeprefix(HELD): text for name, text in asked.items() if name.startswith(HELD)}
    presenter = Presenter(book, lang, figure)
    view = presenter.view(typed, solve)
    texts = book.texts[lang]["figures"]
    return {
        "figure": figure,
        "text": figure_text(book, lang, figure.id, links),
        "view": view,
        "cautions": caution_list(book, lang, list(figure.needs), links),
        "related": [short(texts[name], name, "figures", links) for name in figure.related],
        "working": working(book, lang, figure, view["numbers"]),
        "sweeps": sweeps_view(presenter),
        "groups": groups(presenter, view),
        "held": held,
        "compared": compared(presenter, view, held) if held else [],
        "hold_query": _hold_query(view) if figure.run else "",
        "query": {**typed, **({SOLVE: solve} if solve else {})},
        "solve": solve,
        "is_error": is_refused_input(figure, view),
    }


def groups(presenter: Presenter, view: View) -> list[dict[str, Any]]:
    """[{label, rows}] of the inputs; one without a label where the Figure has no groups. A wanted answer stands in none."""
    rows = [row for row in view["rows"] if not row["is_wanted"]]
    names = presenter.figure.groups or ("",)
    labels = presenter.text["groups"]
    return [
        {"label": labels.get(name, ""), "rows": [row for row in rows if row["group"] == name]}
        for name in names
    ]


def compared(presenter: Presenter, view: View, held: Mapping[str, str]) -> list[dict[str, str]]:
    """[{label, held, now}]: the verdict, which has no label, the inputs that differ, then every answer."""
    other = Presenter(presenter.book, presenter.language, presenter.figure).view(held)
    verdict = {"label": "", "held": _verdict_text(other), "now": _verdict_text(view)}
    pairs = list(zip(other["rows"], [row for row in view["rows"] if not row["is_wanted"]], strict=True))
    rows = [verdict] + [
        {"label": one["label"], "held": _row_text(one), "now": _row_text(two)}
        for one, two in pairs
        if _row_text(one) != _row_text(two)
    ]
    now = {answer["name"]: answer for answer in view["answers"]}
    for answer in other["answers"]:
        if answer["name"] in now:
            pair = {"held": _answer_text(answer), "now": _answer_text(now[answer["name"]])}
            rows.append({"label": answer["label"], **pair})
    return rows


def _hold_query(view: View) -> str:
    """The page's numbers twice: as they are, and as what is held."""
    now = {row["name"]: row["text"] for row in view["rows"] if not row["is_wanted"]}
    return urlencode({**now, **{HELD + name: text for name, text in now.items()}})


def _verdict_text(view: View) -> str:
    return str(view["sentence"] or (view["verdict"] or {}).get("text", ""))


def _row_text(row: Mapping[str, Any]) -> str:
    option = next((one["label"] for one in row["options"] if one["id"] == row["text"]), "")
    return option or row["text"]


def _answer_text(answer: Mapping[str, Any]) -> str:
    return answer["words"] or f"{answer['number']} {answer['unit']}".strip()


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
