"""Bytes over the air, packed with brotli as a browser asks for it."""

from __future__ import annotations

import posixpath
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from werkzeug.test import Client

from webapp import create_app

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from bundle_list import saved_files

FIGURE = "en/figures/injector-flow/"
LINKED = re.compile(r'<(?:link|script)\b[^>]*?\b(?:href|src)="([^"]+\.(?:css|js))"')
IMPORTED = re.compile(r"""\b(?:from|import)\s*\(?\s*["'](\.[^"']+\.js)["']""")


def measure() -> Iterator[tuple]:
    """The whole offline copy of one language, and the first visit of one Figure's page."""
    client = Client(create_app())
    files = saved_files(client.get("/sw.js", headers={"Host": "localhost"}).text, "en")
    sizes = {file.path: packed_size(client, file.path) for file in files}
    yield "offline copy in English, brotli", sum(sizes.values()) / 1000, "KB", 400
    yield "  files in it", len(sizes), "files"
    for kind in sorted({file.kind for file in files}):
        share = sum(sizes[file.path] for file in files if file.kind == kind)
        yield f"  of which {kind}", share / 1000, "KB"
    visit = first_visit(client, FIGURE)
    yield "first visit of a Figure's page, HTML + CSS + JS, brotli", sum(visit.values()) / 1000, "KB", 60
    yield "  requests for it", len(visit), "files"
    for path, size in sorted(visit.items(), key=lambda entry: -entry[1])[:6]:
        yield f"  {path}", size / 1000, "KB"


def first_visit(client: Client, page: str) -> dict[str, int]:
    """Path -> packed bytes of the page, its styles, its scripts, and every module that these import."""
    found = {page: packed_size(client, page)}
    waiting = [join(page, link) for link in LINKED.findall(text_of(client, page))]
    while waiting:
        path = waiting.pop()
        if path in found:
            continue
        found[path] = packed_size(client, path)
        if path.endswith(".js"):
            waiting += [join(path, link) for link in IMPORTED.findall(text_of(client, path))]
    return found


def join(page: str, link: str) -> str:
    """Path of a relative link on a page."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(page), link))


def packed_size(client: Client, path: str) -> int:
    """Bytes of the body as sent to a browser that takes brotli."""
    answer = client.get(f"/{path}", headers={"Host": "localhost", "Accept-Encoding": "br"})
    if answer.status_code != 200:
        raise SystemExit(f"/{path} answered {answer.status}")
    return len(answer.data)


def text_of(client: Client, path: str) -> str:
    return client.get(f"/{path}", headers={"Host": "localhost"}).text
