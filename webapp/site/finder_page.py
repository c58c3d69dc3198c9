"""The finder's page: the field, and on the server what it finds; static/js/components/finder-paint.js paints the same."""

from __future__ import annotations

from functools import reduce
from typing import Any
from urllib.parse import urlencode

from ..finder import Finding
from ..finder.finding import Answer
from ..finder.ranking import Entry
from .excerpts import Context
from .figure_page import showable
from .languages import fill
from .links import Links

QUERY = "q"


def finder_context(finding: Finding, typed: str, links: Links) -> Context:
    """What find.html gets beside what all templates get."""
    typed = showable(typed)
    answer = finding.answer(typed)
    return {
        "typed": typed,
        "answer": answer,
        "senses": [_sense(sense, answer, finding) for sense in answer.quantity.senses]
        if answer.quantity
        else [],
        "choices": [{"text": text, "href": links.to(asking(text))} for text in answer.choices],
        "filled": [
            {
                "title": link.title,
                "href": links.to(link.path),
                "about": fill(
                    finding.words["finder_fills"], "finder_fills", {"value": link.value, "label": link.label}
                ),
            }
            for link in answer.links
        ],
        "entries": [
            {"title": entry.title, "href": links.to(entry.path), "about": line_of(entry, finding)}
            for entry in answer.entries
        ],
    }


def line_of(entry: Entry, finding: Finding) -> str:
    """What stands under a found title: the kind of thing in words, and what it is about."""
    words = finding.words
    kind = words[f"finder_kind_{entry.kind}"]
    if entry.about == kind:
        return kind
    return fill(words["finder_line"], "finder_line", {"kind": kind, "about": entry.about})


def asking(text: str) -> str:
    """Address of the finder's page with a text typed."""
    return f"find/?{urlencode({QUERY: text}, safe='/')}"


def _sense(sense: Any, answer: Answer, finding: Finding) -> Context:
    words = finding.words
    unit = answer.quantity.unit if answer.quantity else ""
    alike = {
        "sorts": reduce(
            lambda one, other: fill(words["finder_or"], "finder_or", {"one": one, "other": other}),
            sense.sorts or [""],
        )
    }
    meant = {"unit": unit, "meant": sense.read_as}
    return {
        "number": sense.number,
        "unit": sense.unit,
        "kinds": [] if len(sense.sorts) > 1 else sense.kinds,
        "sorts": sense.sorts,
        "alike": fill(words["finder_alike"], "finder_alike", alike) if len(sense.sorts) > 1 else "",
        "read_as": fill(words["finder_read_as"], "finder_read_as", meant) if sense.read_as else "",
        "others": sense.others,
    }
