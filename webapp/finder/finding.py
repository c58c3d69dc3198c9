"""All that the finder answers to a typed text. static/js/lib/finding.js is its twin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from .quantities import Link, Quantities, Quantity
from .ranking import LIMIT, Entry, Ranking

SHOWN = 12  # entries, and Figures below a number: what a thumb looks through


@dataclass
class Answer:
    """What stands below the field.

    state      'empty' (nothing typed), 'found', 'nothing' or 'long'
    sentence   what is wrong or to be chosen, '' for nothing; `choices` are texts to type instead
    quantity   the typed text as a quantity, or None
    links      Figures filled with it
    entries    what is found by its words, of `count`
    whole      whether the entries hold every typed word
    """

    state: str
    sentence: str = ""
    choices: list[str] = field(default_factory=list)
    quantity: Quantity | None = None
    links: list[Link] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    count: int = 0
    whole: bool = True


class Finding:
    """The finder of one language. `words` are its words, `decimal` its mark of decimals."""

    def __init__(
        self, data: Mapping[str, Any], units: Mapping[str, Any], words: Mapping[str, str], decimal: str
    ) -> None:
        self.words = words
        self.ranking = Ranking(data, units)
        self.quantities = Quantities(data, units, words, decimal)

    def answer(self, text: str) -> Answer:
        """The answer to a text of any length; whatever it holds, there is one."""
        if not text.strip(" "):
            return Answer("empty")
        if len(text) > LIMIT:
            return Answer("long", self.words["finder_long"].replace("{limit}", str(LIMIT)))
        quantity = self.quantities.read(text)
        if quantity:
            # A number answers by itself; of the entries only those that are called so stand beside it.
            links, entries = quantity.links[:SHOWN], self.ranking.same(text, SHOWN)
            return Answer("found", quantity.problem, quantity.choices, quantity, links, entries, len(entries))
        found = self.ranking.find(text, SHOWN)
        near = self.quantities.near(text) if not found.whole or not found.count else None
        if near:
            return Answer("nothing", near.problem, near.choices)
        if not found.count:
            return Answer("nothing", self.words["finder_nothing"].replace("{text}", text.strip(" ")))
        return Answer("found", entries=found.entries, count=found.count, whole=found.whole)
