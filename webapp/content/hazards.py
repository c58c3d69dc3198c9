"""Reads content/hazards.md: the words that lead to a hazard, and the sheets on it."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import Problem
from .front_matter import Document, Text
from .sections import Section


@dataclass
class Hazard:
    """`words` lead to it, unless they stand in one of `besides`; of `sheets` one must be read, the first one is proposed."""

    id: Text
    words: list[Text]
    besides: list[Text]
    sheets: list[Text]


@dataclass
class HazardsFile:
    file: str
    hazards: list[Hazard]


def read_hazards(document: Document, problems: list[Problem]) -> HazardsFile:
    """The record of the file; problems are added, never raised."""
    top = Section(document.file, document.front, problems)
    hazards = []
    for name, entry in top.named("hazards", True):
        hazards.append(
            Hazard(name, entry.texts("words", True), entry.texts("besides"), entry.texts("sheets", True))
        )
        entry.close()
    top.close()
    return HazardsFile(document.file, hazards)
