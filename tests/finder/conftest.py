"""The finder over the real content."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.finder import Finding, index_data


@pytest.fixture(scope="session")
def finding(book: Any) -> Finding:
    return Finding(index_data(book, "en"), book.units, book.words("en"), ".")
