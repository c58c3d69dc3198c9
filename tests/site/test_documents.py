"""Packed and kept: each coding is a thing of its own, and a second look costs nothing (F31)."""

from __future__ import annotations

import gzip
import itertools
import random
import subprocess
import sys

import brotli
import pytest
from bundle_list import saved_files

from webapp.site.documents import ASK_FIRST, FOREVER, Document, acceptable, is_known
from webapp.site.packing import Packer

UNPACK = {None: bytes, "gzip": gzip.decompress, "br": brotli.decompress}
TEXT = b"torque and boost " * 200


@pytest.fixture(scope="module")
def packed(app):
    """The app once everything has been packed, as after its first seconds."""
    site = app.extensions["cowlside"]
    Packer(site.documents.values(), site.release, None).run()
    return app.test_client()


@pytest.fixture(scope="module")
def some(packed):
    """A page, a worker, a manifest, and of each kind of asset one."""
    files = saved_files(packed.get("/sw.js").text, "en")
    one_of_each = {file.kind: file.path for file in files}
    return ["sw.js", "en/", "en/figures/injector-flow/", *one_of_each.values()]


@pytest.mark.parametrize("coding", ["identity", "gzip", "br"])
def test_F31_a_second_look_with_the_tag_answers_304_without_a_body(packed, some, coding):
    for path in some:
        first = packed.get(f"/{path}", headers={"Accept-Encoding": coding})
        assert first.headers.get("Content-Encoding", "identity") in (coding, "identity")
        tags = (first.headers["ETag"], f"W/{first.headers['ETag']}", f'"other", {first.headers["ETag"]}', "*")
        for tag in tags:
            again = packed.get(f"/{path}", headers={"Accept-Encoding": coding, "If-None-Match": tag})
            assert again.status_code == 304, path
            assert again.data == b""
            assert again.headers["ETag"] == first.headers["ETag"]
            assert again.headers["Cache-Control"] == first.headers["Cache-Control"]
            assert "Accept-Encoding" in again.headers["Vary"]
            assert "Content-Encoding" not in again.headers
            assert "Content-Security-Policy" in again.headers
        assert packed.get(f"/{path}", headers={"If-None-Match": '"other"'}).status_code == 200


def test_F31_codings_differ_in_tag_and_unpack_to_the_same_bytes(packed, some):
    for path in some:
        answers = [
            packed.get(f"/{path}", headers={"Accept-Encoding": coding})
            for coding in ("identity", "gzip", "br")
        ]
        plain = answers[0].data
        assert all(UNPACK[one.headers.get("Content-Encoding")](one.data) == plain for one in answers)
        by_coding = {one.headers.get("Content-Encoding"): one.headers["ETag"] for one in answers}
        assert len(set(by_coding.values())) == len(by_coding)
        assert all(int(one.headers["Content-Length"]) == len(one.data) for one in answers)


def test_F31_no_order_of_requests_through_a_cache_gives_bytes_that_cannot_be_read(packed, some):
    """A cache that keeps one answer for each address and Vary, and asks again with the tag it has."""
    randomly = random.Random(31)
    for path in some:
        plain = packed.get(f"/{path}").data
        kept = {}
        for coding in randomly.choices(["identity", "gzip", "br", "gzip, br", "br;q=0.1, gzip"], k=12):
            headers = {"Accept-Encoding": coding}
            if coding in kept:
                headers["If-None-Match"] = kept[coding].headers["ETag"]
            answer = packed.get(f"/{path}", headers=headers)
            if answer.status_code == 304:
                answer = kept[coding]
            kept[coding] = answer
            assert UNPACK[answer.headers.get("Content-Encoding")](answer.data) == plain
            assert (answer.headers.get("Content-Encoding") or "identity") in {
                *coding.replace(";q=0.1", "").split(", "),
                "identity",
            }


def test_F31_a_computed_page_has_a_tag_too(packed):
    address = "/en/figures/injector-flow/?rail=50+psi"
    for coding in ("identity", "gzip"):
        first = packed.get(address, headers={"Accept-Encoding": coding})
        again = packed.get(
            address, headers={"Accept-Encoding": coding, "If-None-Match": first.headers["ETag"]}
        )
        assert (first.status_code, again.status_code) == (200, 304)


def test_what_names_the_release_is_kept_for_ever_and_the_rest_is_asked_about(app, packed):
    for address, document in app.extensions["cowlside"].documents.items():
        wanted = FOREVER if address.startswith("s/") else ASK_FIRST
        assert packed.get(f"/{address}").headers["Cache-Control"] == document.cache == wanted


@pytest.mark.parametrize(
    ("header", "wanted"),
    [
        ("gzip, deflate, br", ("br", "gzip", "identity")),
        ("gzip", ("gzip", "identity")),
        ("GZIP;Q=1.0", ("gzip", "identity")),
        ("x-gzip", ("gzip", "identity")),
        ("br;q=0.5, gzip;q=0.8", ("gzip", "br", "identity")),
        ("br;q=0, gzip", ("gzip", "identity")),
        ("*", ("br", "gzip", "identity")),
        ("*;q=0", ("identity",)),
        ("identity, *;q=0", ("identity",)),
        ("identity;q=0, gzip", ("gzip",)),
        ("", ("identity",)),
        ("deflate, zstd", ("identity",)),
        ("br;q=nonsense", ("br", "identity")),
        (",,;;=", ("identity",)),
        ("gzip," * 500, ("identity",)),
    ],
)
def test_the_coding_is_the_smallest_that_the_reader_takes(header, wanted):
    assert acceptable(header) == wanted


def test_small_or_packed_files_are_sent_as_they_are():
    for document in (Document(b"short", "text/plain"), Document(TEXT, "image/png")):
        assert document.answer("br, gzip", "")[2] == document.body


def test_tags_are_compared_weakly_and_whole():
    assert is_known('W/"a", "b"', '"b"')
    assert is_known('W/"b"', '"b"')
    assert not is_known('"ab"', '"b"')
    assert not is_known("b", '"b"')


def test_the_packer_keeps_its_work_on_disk_and_mends_what_was_damaged(tmp_path):
    document = Document(TEXT, "text/html")
    Packer([document], "r1", tmp_path).run()
    file = tmp_path / "packed-r1"
    kept = file.read_bytes()
    assert brotli.decompress(document.answer("br", "")[2]) == TEXT
    for damaged in (b"", b"{", b"[]\n", kept[:-3], kept[:-1] + b"x", b'{"a":[0]}\nx'):
        file.write_bytes(damaged)
        fresh = Document(TEXT, "text/html")
        Packer([fresh], "r1", tmp_path).run()
        assert fresh.answer("br", "")[2] == document.answer("br", "")[2]
        assert file.read_bytes() == kept
    assert [one.name for one in tmp_path.iterdir()] == ["packed-r1"]


def test_the_packer_does_without_a_folder_that_can_be_written(tmp_path):
    for folder in (None, tmp_path / "missing"):
        document = Document(TEXT, "text/html")
        Packer([document], "r1", folder).run()
        assert document.answer("br", "")[1][2] == ("Content-Encoding", "br")


def test_the_packer_starts_once_with_the_first_request(bilingual_book):
    from webapp import create_app

    app = create_app(book=bilingual_book)
    assert not app.wsgi_app._packer.is_started
    app.test_client().get("/en/")
    assert app.wsgi_app._packer.is_started


def test_F27_the_app_starts_without_a_home_or_a_cache_and_without_the_formula_libraries(tmp_path):
    """With a cache that is filled, a start loads neither sympy nor pint; without a place to write it starts as well."""
    script = (
        "import sys; from webapp import create_app; app = create_app();"
        "print(app.test_client().get('/en/figures/injector-flow/?rail=50+psi').status_code, 'sympy' in sys.modules, 'pint' in sys.modules)"
    )
    told = []
    for cache, home in (
        (str(tmp_path), "/nonexistent"),
        (str(tmp_path), "/nonexistent"),
        ("/proc/none", "/nonexistent"),
    ):
        environ = {"PATH": "/usr/bin:/bin", "HOME": home, "COWLSIDE_CACHE": cache, **content_of_this_run()}
        done = subprocess.run(
            [sys.executable, "-c", script], env=environ, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
        told.append(done.stdout.split())
    assert told == [
        ["200", "True", "True"],
        ["200", "False", "False"],
        ["200", "True", "True"],
    ]


def content_of_this_run():
    import os

    from webapp.paths import content_dir, static_dir

    folders = {
        "COWLSIDE_CONTENT": str(content_dir()),
        "COWLSIDE_STATIC": str(static_dir()),
        "PYTHONPATH": os.pathsep.join(sys.path),
    }
    return {name: folder for name, folder in folders.items() if folder}


def test_every_pair_of_header_and_document_has_one_status(packed):
    """A sweep over what proxies send, so that no combination is a fault of the server."""
    accepts = ("", "br", "gzip;q=0", "*;q=0", "identity;q=0")
    tags = ("", "*", '""', "W/", ",,", '"' + "a" * 300)
    for accept, tag in itertools.product(accepts, tags):
        answer = packed.get("/en/", headers={"Accept-Encoding": accept, "If-None-Match": tag})
        assert answer.status_code == (304 if tag == "*" else 200)
