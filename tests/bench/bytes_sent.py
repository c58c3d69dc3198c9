"""Bytes over the air, packed with brotli as a browser asks for it."""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

from server_process import SERVE, Running
from werkzeug.test import Client
from window import STARTED, phone

from webapp import create_app

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from bundle_list import saved_files, sent_files

FIGURE = "en/figures/injector-flow/"
PATIENCE = 400  # looks, 50 ms apart
UNPACKED = 256  # bytes; what is smaller may go as it is


def measure() -> Iterator[tuple]:
    """The whole offline copy of one language, and the first visit of one Figure's page."""
    client = Client(create_app())
    worker = client.get("/sw.js", headers={"Host": "localhost"}).text
    files = sent_files(worker, "en")
    sizes = {file.path: packed_size(client, file.path) for file in files}
    total = sum(sizes.values()) + packed_size(client, "sw.js")
    yield "offline copy in English with its worker, brotli", total / 1000, "KB", 400
    yield "  files in it", len(saved_files(worker, "en")), "files"
    yield "  files fetched for it", len(sizes), "files"
    for kind in sorted({file.kind for file in files}):
        share = sum(sizes[file.path] for file in files if file.kind == kind)
        yield f"  of which {kind}", share / 1000, "KB"
    visit = first_visit(client, FIGURE)
    yield "first visit of a Figure's page, HTML + CSS + JS, brotli", sum(visit.values()) / 1000, "KB", 60
    yield "  requests for it", len(visit), "files"
    for path, size in sorted(visit.items(), key=lambda entry: -entry[1])[:12]:
        yield f"  {path}", size / 1000, "KB"


def wait_until_packed() -> None:
    """Until the server of this release has nothing left to pack: later ones read that from the cache folder."""
    client = Client(create_app())
    worker = client.get("/sw.js", headers={"Host": "localhost"}).text
    for file in (*sent_files(worker, "en"), *saved_files(worker, "en")):
        packed_size(client, file.path)


def first_visit(client: Client, page: str) -> dict[str, int]:
    """Path -> packed bytes of everything that a browser with nothing saved asks for, up to a page that is at work."""
    with (
        tempfile.TemporaryDirectory() as profile,
        Running(SERVE) as server,
        phone(Path(profile), workers=False) as browser,
    ):
        window = browser.new_page()
        asked: list[str] = []
        window.on("request", lambda request: asked.append(urlsplit(request.url).path.lstrip("/")))
        window.goto(f"http://localhost:{server.port}/{page}")
        window.wait_for_selector(STARTED)
        window.wait_for_load_state("networkidle")
    return {
        path: packed_size(client, path)
        for path in dict.fromkeys(asked)
        if path.endswith(("/", ".css", ".js"))
    }


def packed_size(client: Client, path: str) -> int:
    """Bytes of the body as sent to a browser that takes brotli, once the server has packed it in the background."""
    for _ in range(PATIENCE):
        answer = client.get(f"/{path}", headers={"Host": "localhost", "Accept-Encoding": "br"})
        if answer.status_code != 200:
            raise SystemExit(f"/{path} answered {answer.status}")
        is_text = answer.mimetype.startswith("text/") or "json" in answer.mimetype or "svg" in answer.mimetype
        if not is_text or len(answer.data) < UNPACKED or answer.headers.get("Content-Encoding") == "br":
            return len(answer.data)
        time.sleep(0.05)
    raise SystemExit(f"/{path} was never sent as brotli")
