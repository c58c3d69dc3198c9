"""The files of static/ and the scripts made from the Book."""

from __future__ import annotations

import json
import re

import pytest

from webapp.book import Book
from webapp.site import make_site
from webapp.site.assets import AssetProblem, info_module, read_static, release_of, served, words_module
from webapp.site.build import first_change


def test_every_file_of_a_served_type_is_read_and_hidden_ones_are_not(tmp_path):
    for name in (
        "css/base.css",
        "js/sw.js",
        "js/lib/number.js",
        ".hidden.css",
        ".git/x.css",
        "vendor/notes.md",
        "vendor/idb.d.ts",
    ):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("x", encoding="utf-8")
    files = read_static(tmp_path)
    assert list(files) == ["css/base.css", "js/lib/number.js", "js/sw.js"]
    assert list(served(files)) == ["css/base.css", "js/lib/number.js"]


def test_a_file_of_another_type_is_named(tmp_path):
    (tmp_path / "photo.tiff").write_bytes(b"x")
    with pytest.raises(AssetProblem, match=r"static/photo\.tiff: files of this type are not served"):
        read_static(tmp_path)


def test_the_scripts_made_from_the_book_hold_its_texts(app, book, reader):
    release = app.extensions["cowlside"].release
    constants = dict(
        re.findall(
            r"^export const (\w+) = (.*);$", reader.get(f"/s/{release}/js/words.en.js").text, re.MULTILINE
        )
    )
    words = json.loads(constants["WORDS"])
    assert words.items() < book.texts["en"]["words"].items()
    assert {"number_unreadable", "figure_verdict_ok", "offline_saved"} <= set(words)
    assert json.loads(constants["DECIMAL"]) == "."
    facts = reader.get(f"/s/{release}/js/book-info.js").text
    assert f'export const RELEASE = "{release}";' in facts
    assert f'export const VERSION_DAY = "{book.version}";' in facts
    assert "const UNITS={" in reader.get(f"/s/{release}/js/main.js").text
    for figure_id, text in book.texts["en"]["figures"].items():
        module = reader.get(f"/s/{release}/js/figures/{figure_id}.en.js").text
        assert "export const FIGURE = {" in module
        assert json.dumps(text["title"], ensure_ascii=False) in module
        assert '"body"' not in module


def test_no_text_can_end_the_script_it_stands_in():
    made = words_module({"a": "</script>\u2028\"'`${x}"}, ".")
    line = made.decode().split("\n")[0]
    assert json.loads(line.removeprefix("export const WORDS = ").removesuffix(";")) == {
        "a": "</script>\u2028\"'`${x}"
    }
    assert info_module(A=1, B=["x"]) == b'export const A = 1;\nexport const B = ["x"];\n'


def test_the_release_changes_with_every_name_and_byte_and_with_nothing_else():
    parts = [("a", b"1"), ("b", b"23")]
    others = [
        [("a", b"1"), ("b", b"24")],
        [("a", b"1"), ("c", b"23")],
        [("a", b"12"), ("b", b"3")],
        [("a1", b""), ("b", b"23")],
        parts[::-1],
        parts[:1],
    ]
    releases = [release_of(one) for one in (parts, *others)]
    assert len(set(releases)) == len(releases)
    assert release_of(iter(parts)) == releases[0]
    assert re.fullmatch("[0-9a-f]{12}", releases[0])


def test_F01_any_change_of_content_changes_the_release_and_the_worker(book):
    """A browser takes a new version for one only when the worker's own bytes differ."""
    changed = Book.from_json(book.to_json())
    changed.texts["en"]["cautions"]["fire"]["says"] += " "
    before, after = make_site(book), make_site(changed)
    again = make_site(Book.from_json(book.to_json()))
    assert before.release != after.release
    assert before.documents["sw.js"].body != after.documents["sw.js"].body
    assert again.release == before.release
    assert {address: one.body for address, one in again.documents.items()} == {
        address: one.body for address, one in before.documents.items()
    }


def test_the_first_line_of_the_change_list_is_what_an_update_is_offered_with(book, app):
    assert (
        first_change("<h2>x</h2><ul>\n<li>Now <em>faster</em> &amp; safer\nthan ever.</li><li>No</li></ul>")
        == "Now faster & safer than ever."
    )
    assert first_change("<p>nothing</p>") == ""
    news = first_change(book.texts["en"]["changes"]["body"])
    assert news
    assert json.dumps({"en": news}, separators=(",", ":")) in app.test_client().get("/sw.js").text
