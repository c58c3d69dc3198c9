"""A client that checks every page it fetches, over the real content and over the same content in two languages."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from typing import Any
from urllib.parse import urlsplit

import pytest
from flask import Flask
from page_checks import check_page
from waitress_server import running
from werkzeug.test import TestResponse

from webapp import create_app
from webapp.book import Book
from webapp.site.headers import SECURITY_HEADERS

HOST = "http://localhost"


class Reader:
    """Fetches like a browser with an empty cache; each answer must carry the headers, and each page must be sound."""

    def __init__(self, app: Flask) -> None:
        self.client = app.test_client(use_cookies=False)
        self._sound: set[tuple[str, bytes]] = set()
        self._found: dict[str, str | None] = {}

    def get(self, address: str, method: str = "GET", **options: Any) -> TestResponse:
        """The answer at an address, checked."""
        answer = self.client.open(address, method=method, **options)
        assert_headers(answer)
        if (
            answer.mimetype == "text/html"
            and method != "HEAD"
            and answer.data
            and not answer.content_encoding
        ):
            self._check(answer, answer.request.environ["REQUEST_URI"])
        return answer

    def _check(self, answer: TestResponse, sent: str) -> None:
        """Check a page, unless the very same one has been checked before."""
        if (sent, answer.data) not in self._sound:
            check_page(answer.text, answer.headers["Content-Security-Policy"], self._behind, HOST + sent)
            self._sound.add((sent, answer.data))

    def _behind(self, address: str) -> str | None:
        """What a link leads to, without a redirect between."""
        if address not in self._found:
            parts = urlsplit(address)
            answer = self.client.get(parts.path + (f"?{parts.query}" if parts.query else ""))
            text = answer.text if answer.mimetype == "text/html" else ""
            self._found[address] = text if answer.status_code == 200 else None
        return self._found[address]


def assert_headers(answer: TestResponse) -> None:
    """The headers that stand on every answer, each exactly once, and no cookie."""
    for name, value in SECURITY_HEADERS:
        assert answer.headers.getlist(name) == [value], name
    assert "Accept-Encoding" in answer.headers["Vary"]
    assert answer.headers["Cache-Control"]
    assert "Set-Cookie" not in answer.headers
    assert "Server" not in answer.headers


@pytest.fixture(scope="session")
def app(book: Book) -> Flask:
    return create_app(book=book)


@pytest.fixture(scope="session")
def reader(app: Flask) -> Reader:
    return Reader(app)


@pytest.fixture(scope="session")
def new_reader() -> type[Reader]:
    """Makes a reader of any app."""
    return Reader


@pytest.fixture(scope="session")
def bilingual_book(book: Book) -> Book:
    """The content with a second language: the same texts, with German titles, so that one can tell which was answered."""
    both = Book.from_json(book.to_json())
    both.texts["de"] = german = copy.deepcopy(both.texts["en"])
    german["decimal"] = ","
    german["words"]["site_figures"] = "Rechnungen"
    german["words"]["site_name"] = "Cowlside auf Deutsch"
    for text in german["figures"].values():
        text["title"] = f"Auf Deutsch: {text['title']}"
    return both


@pytest.fixture(scope="session")
def bilingual(bilingual_book: Book) -> Reader:
    return Reader(create_app(book=bilingual_book))


@pytest.fixture
def serve() -> Iterator[Callable[[Flask], int]]:
    """Starts a server of an app on a free port and gives the port; ends it with the test."""
    started = []

    def start(app: Flask) -> int:
        server = running(app)
        started.append(server)
        return server.__enter__()

    yield start
    for server in started:
        server.__exit__(None, None, None)


@pytest.fixture
def addresses(app: Flask) -> list[str]:
    """Every page of the site."""
    return [f"/{address}" for address in app.extensions["cowlside"].pages]
