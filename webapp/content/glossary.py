"""Entries of the glossary: each paragraph begins with its word in bold, and gets an id that links lead to."""

from __future__ import annotations

import re
import unicodedata
from html import unescape

_ENTRY = re.compile(r"<p><strong>(.*?)</strong>")
_BESIDE = re.compile(r"\([^)]*\)")


def with_anchors(html: str) -> tuple[str, list[str]]:
    """The page with an id on each entry, and these ids in order: 'Nut factor (K).' gets 'nut-factor'."""
    anchors: list[str] = []

    def mark(found: re.Match[str]) -> str:
        anchors.append(anchor_of(unescape(found[1])))
        return f'<p id="{anchors[-1]}"><strong>{found[1]}</strong>'

    return _ENTRY.sub(mark, html), anchors


def anchor_of(word: str) -> str:
    """A word as the part of an address behind '#': what stands in brackets is left out."""
    plain = unicodedata.normalize("NFKD", _BESIDE.sub("", word).lower())
    return "-".join(re.findall(r"[a-z0-9]+", plain))
