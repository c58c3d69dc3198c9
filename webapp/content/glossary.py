"""Addresses of the glossary's words."""

from __future__ import annotations

import re
import unicodedata

_BESIDE = re.compile(r"\([^)]*\)")


def anchor_of(word: str) -> str:
    """A word as the part of an address behind '#': what stands in brackets is left out."""
    plain = unicodedata.normalize("NFKD", _BESIDE.sub("", word).lower())
    return "-".join(re.findall(r"[a-z0-9]+", plain))
