"""The web app manifest, by which a phone puts Cowlside on its home screen. One for each language, all addresses relative."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

START_QUERY = "from=home-screen"
PAPER = "#faf6ee"
"""Warm white: the colour behind the icon while the app opens, the same as the page's."""
INK = "#1b1a17"

_DRAWN = ("tag.svg", "any", "image/svg+xml", "any")
_ICONS = (
    ("tag-192.png", "192x192", "image/png", "any"),
    ("tag-512.png", "512x512", "image/png", "any"),
    ("tag-maskable-192.png", "192x192", "image/png", "maskable"),
    ("tag-maskable-512.png", "512x512", "image/png", "maskable"),
)
ONLY_TO_INSTALL = frozenset(f"icons/{name}" for name, *_ in _ICONS)
"""Read once, by a browser that puts the app on the home screen while there is a network: no phone keeps them in its copy, which has
the drawn one of any size."""


def manifest(words: Mapping[str, str], lang: str, release: str) -> dict[str, Any]:
    """The manifest of one language, to be served as LANG/manifest.webmanifest with application/manifest+json.

    words    the language's words; `offline_app_name`, `offline_app_short_name`, `offline_app_description` are used.
    Returns  a dict for JSON. There is no `id` on purpose: browsers resolve an id against the host alone, so two sites in
             two folders of one host would count as one app; without it the start address, folder and all, is the id.
    """
    return {
        "name": words["offline_app_name"],
        "short_name": words["offline_app_short_name"],
        "description": words["offline_app_description"],
        "lang": lang,
        "dir": "auto",
        "start_url": f"./?{START_QUERY}",
        "scope": "../",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "categories": ["utilities"],
        "icons": [
            {"src": f"../s/{release}/icons/{name}", "sizes": sizes, "type": kind, "purpose": purpose}
            for name, sizes, kind, purpose in (*_ICONS, _DRAWN)
        ],
    }
