"""The site as plain files, in a folder of any host."""

from __future__ import annotations

import functools
import http.server
import re
import threading
import urllib.error
import urllib.request
from urllib.parse import urljoin, urlsplit

import pytest
from bundle_list import saved_files
from page_checks import check_page

from webapp.site import export as export_module
from webapp.site.bundle import as_kept, sha256_base64
from webapp.site.export import MARK, ExportError, export, export_files

WAIT_SECONDS = 20


@pytest.fixture(scope="module")
def exported(book, tmp_path_factory):
    """An export below club/tools/, beside a page of somebody else's."""
    host = tmp_path_factory.mktemp("host")
    (host / "index.html").write_text("<!doctype html><title>The club</title>", encoding="utf-8")
    count = export(book, host / "club" / "tools")
    return host, count


@pytest.fixture(scope="module")
def address(exported):
    """The address of the export on a plain file server that knows nothing of it; its log of paths."""
    asked = []

    class Plain(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_):
            asked.append(self.path)

    server = http.server.ThreadingHTTPServer(
        ("127.0.0.1", 0), functools.partial(Plain, directory=exported[0])
    )
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/club/tools/", asked
    server.shutdown()
    server.server_close()
    thread.join(WAIT_SECONDS)


def fetch(address):
    """The text behind an address without a redirect between, '' for other files than pages, None where nothing stands."""

    class Stay(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *_):
            return None

    try:
        with urllib.request.build_opener(Stay).open(address, timeout=WAIT_SECONDS) as answer:
            body = answer.read()
            return body.decode() if answer.headers.get_content_type() == "text/html" else ""
    except urllib.error.HTTPError:
        return None


def test_every_page_of_the_export_is_sound_below_a_folder_and_asks_for_nothing_outside_it(address, app):
    start, asked = address
    pages = {urljoin(start, page): None for page in app.extensions["cowlside"].pages}
    looked_up = functools.cache(fetch)
    for page in [start, *pages]:
        text = looked_up(page)
        assert text, page
        check_page(text, "", looked_up, page)
    assert asked
    assert [path for path in asked if not path.startswith("/club/tools/")] == []


def test_the_first_page_of_the_export_leads_to_the_first_language(address):
    start, _ = address
    text = fetch(start)
    assert '<meta http-equiv="refresh" content="0; url=./en/">' in text
    assert fetch(urljoin(start, "./en/"))
    assert "<script" not in text


def test_the_export_is_the_site_file_by_file(exported, app):
    host, count = exported
    folder = host / "club" / "tools"
    site = app.extensions["cowlside"]
    files = {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }
    assert len(files) == count
    for address, document in site.documents.items():
        assert files.pop(f"{address}index.html" if address.endswith("/") else address) == document.body, (
            address
        )
    assert set(files) == {"index.html", "404.html", MARK}


def test_F08_what_a_phone_saves_is_in_the_export_with_a_type_that_plain_hosts_know(address):
    start, _ = address
    with urllib.request.urlopen(urljoin(start, "sw.js"), timeout=WAIT_SECONDS) as worker:
        assert worker.headers.get_content_type() in ("text/javascript", "application/javascript")
        files = saved_files(worker.read().decode(), "en")
    for file in files:
        with urllib.request.urlopen(urljoin(start, file.path), timeout=WAIT_SECONDS) as answer:
            assert urlsplit(answer.url).path == f"/club/tools/{file.path}"
            assert sha256_base64(as_kept(answer.read(), file.kind)).startswith(file.sha256)


def test_the_page_for_wrong_addresses_finds_its_files_from_any_depth_when_the_prefix_is_told(app):
    site = app.extensions["cowlside"]
    for prefix, root in (("", "./"), ("/club/tools/", "/club/tools/"), ("club", "/club/"), ("/", "/")):
        page = export_files(site, prefix)["404.html"].decode()
        links = re.findall(r'(?:href|src)="([^"#]+)"', page)
        assert links
        assert all(link.startswith(root) for link in links)


def test_an_earlier_export_is_replaced_whole(book, tmp_path):
    folder = tmp_path / "site"
    count = export(book, folder)
    (folder / "en" / "left-over").mkdir()
    (folder / "en" / "left-over" / "index.html").write_text("old", encoding="utf-8")
    assert export(book, folder) == count
    assert not (folder / "en" / "left-over").exists()
    assert [one.name for one in tmp_path.iterdir()] == ["site"]


def test_a_folder_with_other_files_is_left_alone(book, tmp_path):
    (tmp_path / "photo.jpg").write_bytes(b"x")
    with pytest.raises(ExportError, match=re.escape(f"{tmp_path} holds files that are no export")):
        export(book, tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == ["photo.jpg"]


def test_a_file_is_no_folder(book, tmp_path):
    place = tmp_path / "file"
    place.write_bytes(b"x")
    with pytest.raises(ExportError, match=r"is a file\. Name a folder"):
        export(book, place)
    with pytest.raises(ExportError, match="cannot be made"):
        export(book, place / "below")
    assert place.read_bytes() == b"x"


@pytest.mark.parametrize("breaks_at", [0, 5, 30])
def test_an_export_that_breaks_off_leaves_the_earlier_one(book, tmp_path, monkeypatch, breaks_at):
    folder = tmp_path / "site"
    export(book, folder)
    before = sorted(path.relative_to(folder) for path in folder.rglob("*"))
    write, written = type(folder).write_bytes, []

    def full(path, body):
        written.append(path)
        if len(written) > breaks_at:
            raise OSError(28, "No space left on device")
        return write(path, body)

    monkeypatch.setattr(type(folder), "write_bytes", full)
    with pytest.raises(ExportError, match="No space left on device"):
        export(book, folder)
    assert sorted(path.relative_to(folder) for path in folder.rglob("*")) == before
    assert [one.name for one in tmp_path.iterdir()] == ["site"]


def test_a_move_that_fails_puts_the_earlier_export_back(book, tmp_path, monkeypatch):
    folder = tmp_path / "site"
    export(book, folder)
    rename = type(folder).rename

    def refuse(path, target):
        if path.name.startswith(".site-") and not path.name.endswith(".old"):
            raise OSError(16, "Device or resource busy")
        return rename(path, target)

    monkeypatch.setattr(type(folder), "rename", refuse)
    with pytest.raises(ExportError, match="Device or resource busy"):
        export(book, folder)
    assert (folder / MARK).is_file()
    assert [one.name for one in tmp_path.iterdir()] == ["site"]
    assert export_module.MARK == MARK
