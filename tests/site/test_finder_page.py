"""The finder without JavaScript: a form, and the server's answer."""

from __future__ import annotations

from urllib.parse import urljoin, urlsplit

import html5lib
import pytest
from page_checks import elements, text_of


def results(page):
    """(title, address) of everything found, in order."""
    tree = html5lib.parse(page.text, namespaceHTMLElements=False)
    lists = [one for one in elements(tree, "ul") if one.get("data-part") in ("entries", "filled")]
    return [
        (
            text_of(elements(link, "b")[0]),
            urlsplit(urljoin("http://x" + page.request.path, link.get("href"))).path,
        )
        for one in lists
        for link in elements(one, "a")
    ]


def test_the_answer_stands_on_the_page_with_what_was_typed_in_its_field(reader):
    page = reader.get("/en/find/?q=inj")
    assert results(page)[0] == ("Injector flow at another pressure", "/en/figures/injector-flow/")
    assert 'value="inj"' in page.text
    assert "no-store" not in page.headers["Cache-Control"]


def test_the_plain_page_finds_nothing_and_says_nothing(reader):
    assert results(reader.get("/en/find/")) == results(reader.get("/en/find/?q=")) == []


def test_a_number_with_its_unit_is_answered_and_put_into_figures(reader):
    page = reader.get("/en/find/?q=330+cc")
    assert "“cc” read as cc/min" in page.text
    assert "?rated_flow=330+cc/min" in page.text


@pytest.mark.parametrize(
    "query", ["5+gal", "13+lb", "1%2C234+psi", "20+C", "43.5+psi", "-6", "blurb", "1%2F0+in", "13+ft+lbz"]
)
def test_every_answer_is_a_sound_page_whose_links_lead_somewhere(reader, query):
    assert reader.get(f"/en/find/?q={query}").status_code == 200


@pytest.mark.parametrize("typed", ["<b>x</b>", '"><script>', "\x00\x1b", "\ud7ff{{ 7*7 }}", "%25", "x" * 900])
def test_F27_whatever_is_typed_comes_back_as_text_and_stays_in_the_field(reader, typed):
    page = reader.get("/en/find/", query_string={"q": typed})
    assert page.status_code == 200
    tree = html5lib.parse(page.text, namespaceHTMLElements=False)
    (field,) = [one for one in elements(tree, "input") if one.get("id") == "find-q"]
    assert field.get("value") == "".join("\ufffd" if mark in "\x00\x1b" else mark for mark in typed)
    assert (
        elements(tree, "b") == [] or "<b>" not in typed or all(text_of(b) != "x" for b in elements(tree, "b"))
    )


def test_of_a_repeated_query_the_first_counts_and_what_is_unknown_is_left_alone(reader):
    assert results(reader.get("/en/find/?fbclid=1&q=inj&q=boost")) == results(reader.get("/en/find/?q=inj"))


def test_a_control_in_the_bar_of_every_page_leads_to_it(reader, addresses):
    for address in addresses:
        tree = html5lib.parse(reader.get(address).text, namespaceHTMLElements=False)
        (bar,) = elements(tree, "header")
        links = [urljoin(address, one.get("href")) for one in elements(bar, "a")]
        assert ("/en/find/" in links) == (address != "/en/find/"), address
        if "/en/emergency/" in links and "/en/find/" in links:
            assert links.index("/en/find/") < links.index("/en/emergency/")


def test_the_start_page_has_the_field_which_asks_the_finder(reader):
    tree = html5lib.parse(reader.get("/en/").text, namespaceHTMLElements=False)
    (form,) = elements(tree, "form")
    assert (form.get("method"), urljoin("/en/", form.get("action"))) == ("get", "/en/find/")
    assert [one.get("name") for one in elements(form, "input")] == ["q"]


def test_F30_each_language_finds_in_its_own_words(bilingual):
    assert results(bilingual.get("/de/find/?q=inj"))[0][0].startswith("Auf Deutsch: ")
    assert results(bilingual.get("/de/find/?q=inj"))[0][1].startswith("/de/")
    assert not results(bilingual.get("/en/find/?q=inj"))[0][0].startswith("Auf Deutsch: ")
    assert ">43,51<" in bilingual.get("/de/find/?q=3+bar").text


def test_every_place_that_the_index_names_is_on_its_page(reader, app):
    site = app.extensions["cowlside"]
    pages = {}
    for entry in site.finding("en").ranking.entries:
        path, _, place = entry.path.partition("#")
        page = pages.setdefault(path, reader.get(f"/en/{path}").text)
        assert not place or f'id="{place}"' in page, entry.path


def test_the_index_is_one_file_below_the_release_and_no_page_loads_it_at_once(reader, app, addresses):
    site = app.extensions["cowlside"]
    address = f"s/{site.release}/js/finder.en.js"
    assert site.documents[address].body.startswith(b"export const FINDER = ")
    for page in addresses:
        assert "finder.en.js" not in reader.get(page).text


def test_figures_tables_cautions_and_templates_can_be_pinned_and_help_pages_are_only_noted(reader, addresses):
    for address in addresses:
        text, part = reader.get(address).text, address.split("/")[2]
        is_sheet = address.count("/") == 4 and part in ("figures", "tables", "cautions", "help", "job")
        is_sheet = is_sheet and address not in ("/en/job/card/", "/en/job/round/")
        assert ('data-module="kept-page"' in text) == is_sheet, address
        assert (" data-pins" in text) == (is_sheet and part != "help"), address
