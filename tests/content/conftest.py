"""A small content folder for each test."""

from __future__ import annotations

from functools import lru_cache

import pytest
from content.small_content import TEXTS, SmallContent

from webapp.content import library
from webapp.content.front_matter import Document, read_document

_SOUND = {f"content/{name}": text for name, text in TEXTS.items()}


@lru_cache
def _sound_document(name: str) -> Document | None:
    return read_document(name, _SOUND[name], [])


def _read_once(name, text, problems):
    """Reading YAML takes most of a build's time, and a test changes one file of nine: the others are read once a run."""
    return _sound_document(name) if _SOUND.get(name) == text else read_document(name, text, problems)


@pytest.fixture
def small(tmp_path, monkeypatch) -> SmallContent:
    """A complete content folder of one Figure, one caution, one table and one page, without a mistake."""
    monkeypatch.setattr(library, "read_document", _read_once)
    return SmallContent(tmp_path / "content")
