"""Texts as the finder compares them: words without capitals, accents and marks. static/js/lib/fold.js is its twin.

A word holds letters and digits. A point, comma or stroke between two digits belongs to it (1.25, 3/8), and so do a minus or a #
in front of a digit (-6, #10): they are sizes. A minus behind a digit, any other mark, and an x between two sizes part words.
"""

from __future__ import annotations

import re
import unicodedata
from itertools import pairwise

MARKS: dict[str, str] = {
    "×": "x",
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212", "-"),
    **dict.fromkeys("\u2044\u2215", "/"),
    # The trade's letters by their names, as a phone's keyboard has no Greek.
    "λ": " lambda ",
    "φ": " phi ",
    "ω": " ohm ",
    "μ": "u",
    "ß": "ss",
    "æ": "ae",
    "œ": "oe",
    "ø": "o",
    "đ": "d",
    "ł": "l",
    "ı": "i",
}
_MARKS = str.maketrans(MARKS)
_ACCENTS = re.compile("[\u0300-\u036f]")
_APART = "\\x00-\\x20!\"$%&'()*+:;<=>?@\\[\\\\\\]^_`{|}~\\x7f-\\xbf\u2000-\u206f\u3000-\u303f"
_WORD = re.compile(rf"(?:[-#](?=[0-9]))?(?:[0-9](?:[./](?=[0-9]))?|[^0-9{_APART}.,/#-])+")


def words_of(text: str) -> list[str]:
    """The words of a text, in order.

    >>> words_of("M8×1,25, 37° flare -6")
    ['m8', '1.25', '37', 'flare', '-6']
    """
    folded = _ACCENTS.sub("", unicodedata.normalize("NFKD", text)).lower().translate(_MARKS)
    folded = re.sub(r"([0-9]) *x *(?=[0-9.])", r"\1 ", folded)
    folded = re.sub(r"([0-9]),(?=[0-9])", r"\1.", folded)
    return _WORD.findall(re.sub(r"([0-9])-", r"\1 ", folded))


def phrase_of(words: list[str]) -> str:
    """One text for the same words in whatever order and however they are parted; two sizes stay two.

    >>> phrase_of(["lb", "ft"]), phrase_of(["1", "1/8", "in"])
    ('ftlb', '1 1/8in')
    """
    joined = re.sub(r" (?![0-9])", "", " ".join(sorted(words)))
    return re.sub(r"([^0-9]) ", r"\1", joined)


def pairs_of(words: list[str]) -> list[str]:
    """Neighbouring words written as one: 'ft', 'lb' -> 'ftlb'."""
    return [one + other for one, other in pairwise(words)]
