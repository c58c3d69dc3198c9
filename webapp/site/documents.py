"""A document: fixed bytes with everything that HTTP wants to know about them, made ready once so that an answer is a look-up.

Each coding (identity, gzip, br) is a representation of its own with its own strong ETag. Brotli at its best quality takes about a
second for the whole site, so a packer makes it behind the first requests and keeps it on disk; until then gzip is answered.
"""

from __future__ import annotations

import gzip
import hashlib
import re
from functools import lru_cache

from .headers import SECURITY_HEADERS

Headers = list[tuple[str, str]]

FOREVER = "public, max-age=31536000, immutable"  # for addresses that name the release
ASK_FIRST = "no-cache"  # kept, but asked about each time
NEVER = "no-store"

_SMALLEST = 256  # bytes; below it packing saves less than its header costs
_PACKABLE = re.compile(r"text/|image/svg\+xml|application/(json|manifest\+json|javascript)")
_LONGEST_ACCEPT = 200  # characters of an Accept-Encoding that is worth remembering


class Document:
    """Bytes of one media type. `reads_query`: what stands behind the `?` may ask for another page than these bytes."""

    def __init__(self, body: bytes, media: str, cache: str = ASK_FIRST, reads_query: bool = False) -> None:
        self.body, self.media, self.cache, self.reads_query = body, media, cache, reads_query
        self.is_packable = len(body) >= _SMALLEST and is_text(media)
        self._codings: dict[str, _Coding] = {"identity": self._coding("identity", body)}

    @property
    def tag(self) -> str:
        """Hash of the bytes as they are."""
        return self._codings["identity"].tag

    def add_packed(self, coding: str, packed: bytes) -> None:
        """Offer the bytes in a further coding ('gzip' or 'br')."""
        self._codings[coding] = self._coding(coding, packed)

    def answer(self, accept: str, known_tags: str) -> tuple[str, Headers, bytes]:
        """Status line, headers and body for an Accept-Encoding and an If-None-Match header ('' where there is none)."""
        coding = self._best(accept)
        if known_tags and is_known(known_tags, coding.tag):
            return "304 Not Modified", list(coding.short_headers), b""
        return "200 OK", list(coding.headers), coding.body

    def _best(self, accept: str) -> _Coding:
        if accept and self.is_packable:
            if "gzip" not in self._codings:
                self.add_packed("gzip", gzip.compress(self.body, 6, mtime=0))
            for name in acceptable(accept):
                if name in self._codings:
                    return self._codings[name]
        return self._codings["identity"]

    def _coding(self, name: str, body: bytes) -> _Coding:
        # The coding is part of the tag: two codings of one page are different bytes and must never share a strong ETag.
        suffix = "" if name == "identity" else f"-{name}"
        return _Coding(
            name, body, f'"{hashlib.sha256(self.body).hexdigest()[:24]}{suffix}"', self.media, self.cache
        )


class _Coding:
    """One representation of a document with its headers laid out."""

    def __init__(self, name: str, body: bytes, tag: str, media: str, cache: str) -> None:
        self.body, self.tag = body, tag
        shared = [("ETag", tag), ("Cache-Control", cache), ("Vary", "Accept-Encoding"), *SECURITY_HEADERS]
        own = [("Content-Type", media), ("Content-Length", str(len(body)))]
        if name != "identity":
            own.append(("Content-Encoding", name))
        self.headers: Headers = own + shared
        self.short_headers: Headers = shared


def is_text(media: str) -> bool:
    """Whether files of a media type are text, so that packing makes them smaller."""
    return bool(_PACKABLE.match(media))


def is_known(known_tags: str, tag: str) -> bool:
    """Weak comparison of an If-None-Match header with one tag: a proxy that packs answers itself marks our tags weak."""
    return known_tags.strip() == "*" or any(
        part.strip().removeprefix("W/") == tag for part in known_tags.split(",")
    )


def acceptable(accept: str) -> tuple[str, ...]:
    """Codings of ours that an Accept-Encoding header takes, best first; among equals the smaller one.

    >>> acceptable("gzip, deflate, br;q=0.8")
    ('gzip', 'br', 'identity')
    >>> acceptable("br;q=0, *")
    ('gzip', 'identity')
    """
    return _acceptable(accept) if len(accept) <= _LONGEST_ACCEPT else ("identity",)


@lru_cache(maxsize=256)
def _acceptable(accept: str) -> tuple[str, ...]:
    weights = dict(_weighted(part) for part in accept.lower().split(",") if part.strip())
    if "x-gzip" in weights:
        weights.setdefault("gzip", weights["x-gzip"])
    rest = weights.get("*", 0.0)
    # Unnamed, identity is always allowed, but anything packed comes before it.
    ours = {"br": rest, "gzip": rest, "identity": rest or 0.001}
    ranked = sorted(ours, key=lambda name: -weights.get(name, ours[name]))
    return tuple(name for name in ranked if weights.get(name, ours[name]) > 0)


def _weighted(part: str) -> tuple[str, float]:
    name, _, parameters = part.partition(";")
    match = re.fullmatch(r"\s*q\s*=\s*([01](?:\.[0-9]{0,3})?)\s*", parameters)
    return name.strip(), float(match[1]) if match else 1.0
