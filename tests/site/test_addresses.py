"""Wrong addresses, methods and requests: each gets a page that helps, the right status, and nothing of the program."""

from __future__ import annotations

from urllib.parse import urljoin

import pytest

from webapp import create_app
from webapp.config import BODY_LIMIT, QUERY_LIMIT


def test_an_address_without_its_last_slash_leads_to_the_page(reader):
    for wrong, right in (
        ("/en", "en/"),
        ("/en/figures", "figures/"),
        ("/en/figures/injector-flow", "injector-flow/"),
    ):
        answer = reader.get(wrong)
        assert answer.status_code == 301
        assert answer.headers["Cache-Control"] == "no-cache"
        assert answer.headers["Location"] == right
        assert reader.get(urljoin(wrong, right)).status_code == 200


def test_a_redirect_keeps_the_query(reader):
    answer = reader.get("/en/figures/injector-flow?rail=50+psi&utm_source=x")
    assert answer.headers["Location"] == "injector-flow/?rail=50+psi&utm_source=x"
    assert reader.get("/?from=home-screen").headers["Location"] == "en/?from=home-screen"


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("/index.html", "/en/"),
        ("/en/index.html", "/en/"),
        ("/EN/Figures/", "/en/figures/"),
        ("/en/Figures/Injector-Flow", "/en/figures/injector-flow/"),
        ("/%65n/figures%2Finjector-flow", "/en/figures/injector-flow/"),
    ],
)
def test_a_nearly_right_address_leads_to_the_page(reader, wrong, right):
    answer = reader.get(wrong)
    assert answer.status_code in (301, 302)
    assert urljoin(wrong, answer.headers["Location"]) == right


@pytest.mark.parametrize(
    ("wrong", "offered"),
    [
        ("/en/figures/injektor-flow/", "en/figures/injector-flow/"),
        ("/en/injector-flow/", "en/figures/injector-flow/"),
        ("/en/cautions/fier/", "en/cautions/fire/"),
        ("/en/caution/", "en/cautions/"),
        ("/nl/figures/injector-flow/", "en/figures/injector-flow/"),
        ("/nl/emergency/", "en/emergency/"),
        ("/xx/", "en/"),
        ("/en/nothing/of/this/kind/at/all/", "en/figures/"),
        ("/en/figures%2Finjector-floww/", "en/figures/injector-flow/"),
    ],
)
def test_a_wrong_address_gets_a_page_that_offers_near_ones(reader, wrong, offered):
    answer = reader.get(wrong)
    assert answer.status_code == 404
    assert f'{offered}"' in answer.text
    assert answer.headers["Cache-Control"] == "no-store"


def test_an_unknown_language_is_answered_in_the_first_one(reader):
    page = reader.get("/nl/figures/")
    assert page.status_code == 404
    assert "<title>Nothing stands at this address - Cowlside</title>" in page.text
    assert '<html lang="en"' in page.text


HOSTILE = [
    "/en//figures/",
    "/../../etc/passwd",
    "/en/../sw.js",
    "/%00",
    "/en/%ff%fe/",
    "/s/",
    "/s/000000000000/js/main.js",
    "/en/figures/injector-flow/'--",
    "/{{7*7}}/",
    "/en/<script>alert(1)</script>/",
    "/favicon.ico",
    "/api",
    "/api/",
    "/api/figures/",
    "/en/" + "a" * 3000,
]


@pytest.mark.parametrize("address", HOSTILE)
def test_hostile_addresses_get_a_page_and_no_way_out(reader, address):
    answer = reader.get(address)
    assert answer.status_code in (404, 301)
    assert "elsewhere" not in answer.headers.get("Location", "")
    assert "<script>alert" not in answer.text
    assert "49" not in answer.text.partition("<main")[2].partition("</main")[0]


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND", "BREW"])
@pytest.mark.parametrize(
    "address", ["/", "/en/", "/en/figures/injector-flow/", "/sw.js", "/api/figures/injector-flow"]
)
def test_other_methods_are_refused_with_what_is_allowed(reader, method, address):
    answer = reader.get(address, method=method)
    assert answer.status_code == 405
    assert answer.headers["Allow"] == "GET, HEAD"
    assert "reads" in answer.text or "read" in answer.text


def test_a_wrong_address_with_another_method_is_no_fault_of_the_server(reader):
    assert reader.get("/en/nothing/", method="POST").status_code in (404, 405)


@pytest.mark.parametrize(
    "address",
    [
        "/en/",
        "/en/figures/injector-flow/?rail=50+psi",
        "/nothing/",
        "/",
        "/sw.js",
        "/api/figures/injector-flow",
    ],
)
def test_head_answers_the_same_headers_and_no_body(reader, address):
    full, head = reader.get(address), reader.get(address, method="HEAD")
    assert head.status_code == full.status_code
    assert dict(head.headers) == dict(full.headers)
    assert head.data == b""


def test_a_query_may_be_as_long_as_the_limit_and_no_longer(reader):
    for address in ("/en/figures/injector-flow/", "/en/", "/", "/api/figures/injector-flow", "/nothing/"):
        allowed = reader.get(f"{address}?x={'a' * (QUERY_LIMIT - 2)}")
        assert allowed.status_code in (200, 302, 404)
        refused = reader.get(f"{address}?x={'a' * (QUERY_LIMIT - 1)}")
        assert refused.status_code == 414
        assert str(QUERY_LIMIT) in refused.text


def test_an_over_long_address_is_told_the_limit(reader):
    answer = reader.get("/en/" + "b" * QUERY_LIMIT)
    assert answer.status_code == 414
    assert str(QUERY_LIMIT) in answer.text


def test_a_body_over_the_limit_is_told_the_limit(reader):
    for method in ("GET", "POST"):
        answer = reader.get("/en/", method=method, data=b"x" * (BODY_LIMIT + 1))
        assert answer.status_code == 413
        assert str(BODY_LIMIT) in answer.text


def test_under_api_a_refusal_is_json_with_the_same_sentence(reader):
    for address, method, status in (
        ("/api/x", "GET", 404),
        ("/api/figures/injector-flow", "POST", 405),
        ("/api/figures/x?y=" + "a" * QUERY_LIMIT, "GET", 414),
    ):
        answer = reader.get(address, method=method)
        assert answer.status_code == status
        assert answer.mimetype == "application/json"
        assert answer.json["error"].endswith((".", ":"))


def test_a_fault_of_the_program_shows_a_calm_page(bilingual_book, new_reader, caplog):
    """Neither the fault nor its place is told to the reader; it is told to whoever reads the log."""
    app = create_app(book=bilingual_book)

    def broken(**_):
        raise RuntimeError("the secret place")

    reader = new_reader(app)
    app.view_functions["pages.open_address"] = broken
    for address, lang in (("/en/nothing/", "en"), ("/de/nothing/", "de")):
        answer = reader.get(address)
        assert answer.status_code == 500
        assert f'<html lang="{lang}"' in answer.text
        assert "secret" not in answer.text
        assert answer.headers["Cache-Control"] == "no-store"
    assert "the secret place" in caplog.text


def test_a_fault_in_the_error_page_itself_leaves_the_sentence(
    bilingual_book, new_reader, monkeypatch, caplog
):
    app = create_app(book=bilingual_book)
    reader = new_reader(app)
    monkeypatch.setattr(app.extensions["cowlside"], "render_template", lambda *_: 1 / 0)
    answer = reader.get("/en/nothing/")
    assert answer.status_code == 404
    assert answer.mimetype == "text/plain"
    assert answer.text.startswith("There is no page at this address.")
    assert "could not be made" in caplog.text
