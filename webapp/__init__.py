"""Cowlside: tuning figures and cautions for the engine bay, on a phone, with or without a signal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from flask import Flask

    from .book import Book

VERSION = "0.1.0"


def create_app(config: Mapping[str, Any] | None = None, book: Book | None = None) -> Flask:
    """The web app, ready to answer: settings read, content loaded, every page rendered.

    config   settings that win over the environment, see config.py.
    book     the content; loaded by the settings unless it is given.
    Raises   SettingError, ContentError or BundleProblem, each with a sentence that says what to mend.
    """
    # Imported here, since the readers of content and the formulas live in this package too and need no web framework.
    from .book import load_book
    from .site import make_app

    return make_app(book or load_book(), config)
