"""What a phone saves, read as the phone reads it: from the one data line of the service worker's text."""

from __future__ import annotations

import json
import re
from typing import Any, NamedTuple

from webapp.site.documents import is_text

DATA = re.compile(r"^const BUNDLE = (\{.*\});$", re.MULTILINE)


class Listed(NamedTuple):
    """A saved file: path below the site's root, media type, and first 9 bytes of its hash."""

    path: str
    kind: str
    sha256: str


def saved_files(worker_text: str, language: str) -> list[Listed]:
    """Every file that makes `language` work offline. Raises ValueError where the text holds no list."""
    data = _data(worker_text)
    return [Listed(*entry) for entry in [*data["shared"], *data["own"][language]]]


def sent_files(worker_text: str, language: str) -> list[Listed]:
    """What crosses the network for them: the pack of the language, and what is no text."""
    data = _data(worker_text)
    packed = data["packs"].get(language)
    if not packed:
        return saved_files(worker_text, language)
    apart = [file for file in saved_files(worker_text, language) if not is_text(file.kind)]
    return [Listed(*packed), *apart]


def _data(worker_text: str) -> dict[str, Any]:
    found = DATA.search(worker_text)
    if not found:
        raise ValueError("the service worker's text holds no line `const BUNDLE = {…};`")
    data: dict[str, Any] = json.loads(found[1])
    return data


def saved_pages(worker_text: str, language: str) -> list[str]:
    """Paths of the pages among them."""
    return [file.path for file in saved_files(worker_text, language) if file.kind == "text/html"]
