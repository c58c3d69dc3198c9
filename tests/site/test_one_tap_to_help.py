"""The page 'If it goes wrong' is one tap away from every page that the app can show, errors and the first page of an export included."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import urljoin

import html5lib
import pytest
from page_checks import elements

from webapp.config import BODY_LIMIT, QUERY_LIMIT
from webapp.site.errors import error_answer
from webapp.site.export import export

HOST = "http://localhost"
# Every answer that is no page of the site, and what asks for it: a method, an address, a body.
ERRORS = {
    400: ("GET", "/en/figures/injector-flow/?rail=a+lot", b""),
    404: ("GET", "/en/no/such/page/", b""),
    405: ("PUT", "/en/cautions/fire/", b""),
    413: ("POST", "/en/", b"x" * (BODY_LIMIT + 1)),
    414: ("GET", f"/en/figures/?{'q' * (QUERY_LIMIT + 1)}", b""),
}


def ways_to_help(text: str, address: str) -> list[str]:
    """Addresses below the host of the links that stand outside the content, where a thumb looks for them."""
    page = html5lib.parse(text, namespaceHTMLElements=False)
    places = [one for one in elements(page, "header", "nav") if "main" not in one.get("class", "")]
    links = [link.get("href", "") for place in places for link in elements(place, "a")]
    return [urljoin(f"{HOST}/{address}", link).removeprefix(f"{HOST}/") for link in links]


def test_every_page_of_every_language_has_it(bilingual: Any) -> None:
    site = bilingual.client.application.extensions["cowlside"]
    without = {}
    for address, page in site.pages.items():
        if page.path == "emergency/":
            continue
        found = ways_to_help(site.documents[address].body.decode(), address)
        if f"{page.lang}/emergency/" not in found:
            without[address] = found
    assert without == {}
    assert {"en/", "de/offline/", "en/find/", "de/help/caution-sources/"} <= set(site.pages)


@pytest.mark.parametrize("status", ERRORS)
def test_every_error_has_it(reader: Any, status: int) -> None:
    method, address, body = ERRORS[status]
    answer = reader.client.open(address, method=method, data=body)
    assert answer.status_code == status
    # A page is looked at where a browser would stand, without what is behind the `?`.
    assert "en/emergency/" in ways_to_help(answer.text, address.lstrip("/").partition("?")[0])


def test_a_page_that_could_not_be_made_has_it(app: Any) -> None:
    with app.test_request_context("/en/figures/mixture/"):
        answer = error_answer(500)
    assert "en/emergency/" in ways_to_help(answer.get_data(as_text=True), "en/figures/mixture/")


@pytest.mark.parametrize("name", ["index.html", "404.html"])
def test_the_first_page_of_an_export_and_its_page_for_what_is_missing_have_it(
    book: Any, tmp_path: Path, name: str
) -> None:
    export(book, tmp_path / "site", "/club/")
    text = (tmp_path / "site" / name).read_text(encoding="utf-8")
    assert any(way.endswith("en/emergency/") for way in ways_to_help(text, f"club/{name}"))
