"""Addresses below one language, and the relative links to them from one page."""

from __future__ import annotations

import re

# Content writes links as 'figures/mixture' or 'figures/mixture?air=12'; anything with a scheme or only a #part is left alone.
_HREF = re.compile(r'href="(?![a-z][a-z0-9+.-]*:|#|//)([^"?#]*)([^"]*)"', re.IGNORECASE)


class Links:
    """Links as they stand in the page at `address` ('en/figures/mixture/'; '' is the first folder of the site)."""

    def __init__(self, address: str, lang: str) -> None:
        # A browser resolves a link against the last slash of an address, so each slash is one folder to climb out of.
        self.root = "../" * address.count("/") or "./"
        self.base = f"{self.root}{lang}/"

    def to(self, path: str) -> str:
        """Link to a path of the same language: '' for home, 'figures/', 'cautions/fire/'."""
        return self.base + path

    def in_html(self, html: str) -> str:
        """HTML of a content file with its links to other content turned into links that work in this page."""
        return _HREF.sub(lambda found: f'href="{self.to(_as_folder(found[1]))}{found[2]}"', html)


def _as_folder(target: str) -> str:
    return target.strip("/") + "/" if target.strip("/") else ""
