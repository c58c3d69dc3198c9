"""A small content folder for each test."""

from __future__ import annotations

import pytest
from content.small_content import SmallContent


@pytest.fixture
def small(tmp_path) -> SmallContent:
    """A complete content folder of one Figure, one caution, one table and one page, without a mistake."""
    return SmallContent(tmp_path / "content")
