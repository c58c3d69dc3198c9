"""Further words by which the finder finds a thing, and the places of the glossary's words.

`finds:` is a list of words or short phrases that a person would type and that the title does not hold. The glossary has one such
list for each word that needs it, under the anchor of the word.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html import unescape

from ..errors import did_you_mean
from .front_matter import Text
from .glossary import anchor_of
from .sections import Section

LONGEST = 40  # characters: a phrase that somebody types, not a sentence

_TERM = re.compile(r"<p><strong>(.*?)\.?</strong>(.*?)</p>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")


@dataclass
class Term:
    """One word of the glossary. `anchor` is the id of its paragraph, `says` the first sentence about it."""

    anchor: str
    word: str
    says: str
    finds: list[Text] = field(default_factory=list)


def read_finds(section: Section, key: str = "finds") -> list[Text]:
    """The list under `key`; complains of what is too long, or stands twice whatever its capitals."""
    kept: list[Text] = []
    for text in section.texts(key):
        if len(text) > LONGEST:
            what = f'"{text}" is longer than {LONGEST} characters.'
            section.complain(key, what, "Write what a person would type, a word or two.", text.line)
        elif text.casefold() in {other.casefold() for other in kept}:
            section.complain(key, f'"{text}" stands twice.', "Remove one.", text.line)
        else:
            kept.append(text)
    return kept


def with_anchors(html: str) -> tuple[str, list[Term]]:
    """A glossary's HTML with an id on each paragraph that opens with a bold word, and those words in order.

    >>> with_anchors("<p><strong>Lambda (λ).</strong> A ratio. More.</p>")[0]
    '<p id="lambda"><strong>Lambda (λ).</strong> A ratio. More.</p>'
    """
    terms: list[Term] = []

    def named(found: re.Match[str]) -> str:
        word, says = _plain(found[1]), _plain(found[2])
        terms.append(Term(anchor_of(word), word, re.split(r"(?<=\.) ", says)[0]))
        return found[0].replace("<p>", f'<p id="{terms[-1].anchor}">', 1)

    return _TERM.sub(named, html), terms


def give_finds(section: Section, terms: list[Term], key: str = "finds") -> None:
    """Read the glossary's lists, each under its word's anchor; complains of a word that is not there or is there twice."""
    by_name: dict[str, Term] = {}
    for term in terms:
        name = term.anchor
        if name in by_name:
            what = f'two words have the address "{term.anchor}": {by_name[name].word}, {term.word}.'
            section.complain("", what, "Join them, or change what stands before the brackets.")
        by_name[name] = term
    inner = section.section(key)
    for name in inner.node.items if inner else ():
        if inner and name in by_name:
            by_name[name].finds = read_finds(inner, name)
        elif inner:
            inner.complain(name, "is no word of the glossary.", did_you_mean(name, by_name), name.line)


def _plain(html: str) -> str:
    return " ".join(unescape(_TAG.sub("", html)).split())
