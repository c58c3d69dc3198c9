"""The folder as a whole: sound content is read, and every mistake of every file comes out in one run."""

from __future__ import annotations

def test_content_without_a_mistake_becomes_a_book(small):
    book = small.book()
    assert list(book.figures) == ["orifice"]
