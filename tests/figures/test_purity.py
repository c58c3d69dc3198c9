"""What is loaded when: no web framework for content and figures, no formula or unit library beside a cached Book; and a cache that
may be cut, foreign, unwritable or gone (F27)."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from content.small_content import SmallContent

from webapp.book import Book, content_hash, load_book
from webapp.errors import ContentError

REPO = Path(__file__).resolve().parent.parent.parent
LOADED = "import sys; print('loaded', *sorted({name.partition('.')[0] for name in sys.modules}))"


def loaded_after(code: str, **settings: str) -> set[str]:
    """Names of the top-level modules that a fresh interpreter has after running `code`."""
    environment = {**os.environ, "PYTHONPATH": str(REPO), "COWLSIDE_CACHE": "", **settings}
    command = [sys.executable, "-W", "error", "-c", f"{code}\n{LOADED}"]
    done = subprocess.run(
        command, cwd=REPO, env=environment, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split("loaded ")[-1].split())


@pytest.fixture
def small(tmp_path) -> SmallContent:
    return SmallContent(tmp_path / "content")


@pytest.fixture
def cache(tmp_path, monkeypatch) -> Path:
    monkeypatch.setenv("COWLSIDE_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


# -- what is imported ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "package", ["webapp.content", "webapp.figures", "webapp.book", "webapp.binding", "webapp.cli"]
)
def test_reading_and_computing_load_no_web_framework(package):
    assert not {"flask", "werkzeug", "jinja2", "flask_babel", "waitress"} & loaded_after(f"import {package}")


@pytest.mark.parametrize("package", ["webapp.content", "webapp.figures", "webapp.book", "webapp.cli"])
def test_the_formula_and_unit_libraries_are_loaded_only_to_bind_a_book(package):
    assert not {"sympy", "pint", "mpmath", "babel"} & loaded_after(f"import {package}")


def test_a_cached_book_is_read_and_computes_without_the_formula_and_unit_libraries(small, cache):
    load_book(small.folder)
    code = "import pathlib\nfrom webapp.book import load_book\nfrom webapp.figures.checking import default_givens\n"
    code += f"book = load_book(pathlib.Path({str(small.folder)!r}))\n"
    code += "figure = book.figures['orifice']\noutcome = book.calculator('orifice').evaluate(default_givens(figure))\n"
    code += "assert abs(outcome.values['flow'] * 6e7 - 310) < 1e-9, outcome"
    heavy = {"sympy", "pint", "mpmath", "flask", "markdown_it", "yaml"}
    assert not heavy & loaded_after(code, COWLSIDE_CACHE=str(cache))


def test_the_unit_library_writes_no_cache_of_its_own(small, tmp_path):
    """Its folder may not be writable; one registry a process is built in memory."""
    home = tmp_path / "home"
    home.mkdir()
    code = (
        f"import pathlib\nfrom webapp.book import load_book\nload_book(pathlib.Path({str(small.folder)!r}))"
    )
    assert "pint" in loaded_after(code, HOME=str(home), XDG_CACHE_HOME=str(home / "cache"))
    assert [path for path in home.rglob("*") if path.is_file()] == []


# -- the cache -----------------------------------------------------------------------------------------------


def test_a_book_comes_out_of_the_cache_as_it_went_in(small, cache):
    first = load_book(small.folder)
    (kept,) = cache.iterdir()
    stamp = kept.stat().st_mtime_ns
    again = load_book(small.folder)
    assert again == first
    assert again.to_json() == first.to_json()
    assert kept.stat().st_mtime_ns == stamp


FOREIGN = {
    "nothing": b"",
    "a cut file": None,
    "no text": b"\xff\xfe\x00",
    "another list": b"[]",
    "a number": b"7",
    "an empty mapping": b"{}",
    "null for the Figures": b'{"figures": null}',
    "Figures of another shape": b'{"units":{},"cautions":{},"tables":{},"texts":{},"version":"","figures":{"a":{"id":1}}}',
    "more than a Book": b'{"units":{},"cautions":{},"tables":{},"texts":{},"version":"","figures":{},"more":1}',
    "endless nesting": b"[" * 100_000,
}


@pytest.mark.parametrize("name", FOREIGN)
def test_a_cut_or_foreign_cache_file_is_built_anew_and_written_over(small, cache, name):
    first = load_book(small.folder)
    (kept,) = cache.iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(FOREIGN[name] if FOREIGN[name] is not None else whole[: len(whole) // 2])
    assert load_book(small.folder) == first
    assert kept.read_bytes() == whole


def test_a_folder_where_the_cache_file_should_be_changes_nothing(small, cache):
    first = load_book(small.folder)
    (kept,) = cache.iterdir()
    kept.unlink()
    kept.mkdir()
    assert load_book(small.folder) == first


def test_changed_content_is_read_anew_and_the_old_file_goes(small, cache):
    load_book(small.folder)
    (old,) = cache.iterdir()
    small.change("figures/orifice.md", "title: Orifice", "title: Another")
    assert load_book(small.folder).texts["en"]["figures"]["orifice"]["title"] == "Another"
    (new,) = cache.iterdir()
    assert new.name != old.name


def test_the_same_text_in_another_folder_is_other_content(small, tmp_path):
    """A page moved from help to tables must not come out of the cache as a page."""
    before = content_hash(small.folder)
    (small.folder / "help").rename(small.folder / "helq")
    assert content_hash(small.folder) != before


def test_changed_content_with_a_mistake_is_not_papered_over_by_the_cache(small, cache):
    load_book(small.folder)
    small.change("figures/orifice.md", "rail - manifold", "rail + manifold")
    with pytest.raises(ContentError, match="adds a gauge pressure"):
        load_book(small.folder)


def test_f27_a_cache_folder_that_cannot_be_made_stops_nothing(small, tmp_path, monkeypatch):
    """Below a file no folder can be made, whoever asks."""
    (tmp_path / "file").write_text("no folder", encoding="utf-8")
    monkeypatch.setenv("COWLSIDE_CACHE", str(tmp_path / "file" / "cache"))
    assert load_book(small.folder).figures


def test_f27_a_read_only_cache_folder_stops_nothing(small, cache, monkeypatch):
    cache.mkdir()
    cache.chmod(0o500)

    def read_only(*args, **kwargs):
        # An administrator may write in spite of the folder's rights: the disk itself then says no.
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(tempfile, "TemporaryFile", read_only)
    assert load_book(small.folder).figures
    cache.chmod(0o700)
    assert list(cache.iterdir()) == []


def test_f27_a_disk_that_is_full_when_the_book_is_written_stops_nothing(small, cache, monkeypatch):
    def full(self, *args, **kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    assert load_book(small.folder).figures
    assert list(cache.iterdir()) == []


def test_f27_without_a_home_that_can_be_written_and_without_a_cache_a_book_is_built(small, tmp_path):
    """Below a file nothing can be made, whoever asks."""
    (tmp_path / "file").write_text("no folder", encoding="utf-8")
    nowhere = str(tmp_path / "file" / "home")
    code = f"import pathlib\nfrom webapp.book import load_book\nassert load_book(pathlib.Path({str(small.folder)!r})).figures"
    assert "pint" in loaded_after(code, HOME=nowhere, XDG_CACHE_HOME=nowhere, COWLSIDE_CACHE=nowhere)


# -- the same bytes ------------------------------------------------------------------------------------------


def test_two_builds_in_two_interpreters_give_identical_bytes(small):
    """Whatever order the hashes of texts come in."""
    code = "import hashlib, pathlib\nfrom webapp.binding import build_book\nfrom webapp.figures.emit_module import figure_module\n"
    code += f"book = build_book(pathlib.Path({str(small.folder)!r}))\n"
    code += "print(hashlib.sha256(book.to_json().encode()).hexdigest(), [hashlib.sha256(figure_module(book, 'en', one)).hexdigest() for one in book.figures.values()])"
    prints = set()
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONPATH": str(REPO), "PYTHONHASHSEED": seed}
        done = subprocess.run(
            [sys.executable, "-c", code],
            env=environment,
            capture_output=True,
            text=True,
            timeout=120,
            check=True,
        )
        prints.add(done.stdout)
    assert len(prints) == 1


def test_a_book_is_plain_json_and_comes_back_whole(book):
    again = Book.from_json(book.to_json())
    assert again.figures == book.figures
    assert again.to_json() == book.to_json()
    json.dumps(book.texts, allow_nan=False)
