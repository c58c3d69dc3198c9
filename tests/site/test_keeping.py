"""The rendered site, kept from start to start: the same documents, and never those of a damaged file."""

from __future__ import annotations

import pytest

from webapp.book import Book
from webapp.site import make_site
from webapp.site.build import Site
from webapp.site.keeping import keep, read_kept


@pytest.fixture
def cache(tmp_path, monkeypatch):
    monkeypatch.setenv("COWLSIDE_CACHE", str(tmp_path))
    return tmp_path


def told(documents):
    return {
        address: (one.body, one.media, one.cache, one.reads_query, one.tag)
        for address, one in documents.items()
    }


def test_a_second_start_renders_nothing_and_serves_the_same(book, cache, monkeypatch):
    first = told(make_site(book).documents)
    monkeypatch.setattr(Site, "render", None)
    assert told(make_site(book).documents) == first


def test_other_content_is_rendered_anew(book, cache):
    site = make_site(book)
    keep(site.folder, site.release, site.documents)
    other = Book.from_json(book.to_json())
    other.texts["en"]["changes"]["title"] = "Another title"
    made = make_site(other)
    assert made.release != site.release
    assert b"Another title" in made.documents["en/changes/"].body


@pytest.mark.parametrize(
    "damage",
    [
        lambda bytes_: b"",
        lambda bytes_: bytes_[:-1],
        lambda bytes_: bytes_[:70] + bytes([bytes_[70] ^ 1]) + bytes_[71:],
        lambda bytes_: b"\xff" + bytes_,
    ],
    ids=["empty", "cut", "one bit", "foreign"],
)
def test_F27_a_damaged_file_is_never_served(book, cache, damage):
    first = told(make_site(book).documents)
    (file,) = cache.glob("site-*")
    file.write_bytes(damage(file.read_bytes()))
    assert read_kept(cache, file.name.partition("-")[2]) is None
    assert told(make_site(book).documents) == first
    assert read_kept(cache, file.name.partition("-")[2]) is not None


def test_without_a_folder_nothing_is_kept(book, monkeypatch):
    monkeypatch.setenv("COWLSIDE_CACHE", "")
    site = make_site(book)
    assert site.folder is None
    assert site.documents
