"""Every page as a reader meets it."""

from __future__ import annotations

import json
import re
from urllib.parse import urljoin

import html5lib
import pytest
from bundle_list import saved_files
from page_checks import PageFaults, check_page, elements, text_of

from webapp import create_app
from webapp.book import Book
from webapp.site.bundle import HASH_LENGTH, as_kept, sha256_base64

FLOW = "/en/figures/injector-flow/"


def test_every_page_is_sound_and_every_link_on_it_leads_somewhere(reader, addresses):
    assert len(addresses) > 15
    for address in addresses:
        assert reader.get(address).status_code == 200, address


def test_every_page_says_its_language_release_and_the_day_of_its_content(reader, addresses, app, book):
    release = app.extensions["cowlside"].release
    for address in addresses:
        page = reader.get(address).text
        assert '<html lang="en" dir="ltr"' in page
        assert f'data-release="{release}"' in page
        assert f'<time datetime="{book.version}">' in page


def test_the_emergency_page_is_one_tap_from_every_page(reader, addresses):
    for address in addresses:
        tree = html5lib.parse(reader.get(address).text, namespaceHTMLElements=False)
        links = [one.get("href") for one in elements(tree, "a")]
        assert address == "/en/emergency/" or any(link.endswith("emergency/") for link in links), address


def test_every_content_file_has_a_page(reader, book):
    texts = book.texts["en"]
    for folder, names in (
        ("figures", book.figures),
        ("cautions", book.cautions),
        ("tables", book.tables),
        ("help", texts["pages"]),
    ):
        for name in names:
            title = texts["pages" if folder == "help" else folder][name]["title"]
            page = html5lib.parse(reader.get(f"/en/{folder}/{name}/").text, namespaceHTMLElements=False)
            assert text_of(elements(page, "h1")[0]) == title


def test_home_leads_to_each_part_that_exists(reader, book):
    page = reader.get("/en/").text
    for part in ("figures", "cautions", "glossary", "help", "emergency"):
        assert f'href="../en/{part}/"' in page
    assert ('href="../en/tables/"' in page) == bool(book.tables)
    assert ('href="../en/setup/"' in page) == bool(book.setup["fields"])


def test_the_setup_has_a_row_for_each_field_and_none_holds_a_number(reader, book):
    tree = html5lib.parse(reader.get("/en/setup/").text, namespaceHTMLElements=False)
    rows = [one.get("data-row") for one in elements(tree, "div") if one.get("data-row")]
    assert rows == list(book.setup["fields"])
    fields = [one for one in elements(tree, "input") if (one.get("id") or "").startswith("take-")]
    assert fields and {one.get("value") for one in fields} == {""}


def test_content_without_a_setup_has_no_page_of_it(book, new_reader):
    bare = Book.from_json(book.to_json())
    bare.setup = {"groups": {}, "fields": {}}
    reader = new_reader(create_app(book=bare))
    assert "en/setup/" not in reader.client.application.extensions["cowlside"].pages
    assert "setup/" not in reader.client.get("/en/").text


def test_the_list_of_figures_names_each_one_once(reader, book):
    tree = html5lib.parse(reader.get("/en/figures/").text, namespaceHTMLElements=False)
    links = [one.get("href") for one in elements(tree, "a")]
    assert [link for name in book.figures for link in links if link.endswith(f"figures/{name}/")] == [
        f"../../en/figures/{name}/" for name in book.figures
    ]


def test_a_figure_opens_with_the_cautions_that_it_needs_before_any_field(reader, book):
    for name, figure in book.figures.items():
        page = reader.get(f"/en/figures/{name}/").text
        for need in figure.needs:
            assert page.index(f"cautions/{need}/") < page.index("<form")


def test_a_hazard_sheet_has_its_parts_in_order_and_names_its_sources(reader, book):
    parts = ["can_happen", "have_ready", "do_first", "never", "goes_wrong", "clean_up"]
    for name in book.cautions:
        page = reader.get(f"/en/cautions/{name}/").text
        places = [page.index(f'id="{part}"') for part in parts]
        assert places == sorted(places)
        for source in book.texts["en"]["cautions"][name]["sources"]:
            assert html_text(source["name"]) in page


def test_html_typed_into_an_address_is_shown_as_text(reader):
    page = reader.get(FLOW, query_string={"rail": '"><script>alert(1)</script>'})
    assert page.status_code == 400
    assert "<script>alert" not in page.text
    assert "&lt;script&gt;" in page.text


@pytest.mark.parametrize(
    ("fault", "told"),
    [
        ("<p id=a></p><p id=a></p>", "stands 2 times"),
        ("<h1>again</h1>", "2 headings of the first level"),
        ("<input name=x>", "has no label"),
        ("<a href=../nowhere/>x</a>", "leads nowhere"),
        ("<a href=/en/>x</a>", "not relative"),
        ("<p style='color:red'>x</p>", "style="),
        ("<p onclick='go()'>x</p>", "onclick="),
        ("<script>go()</script>", "inside the page"),
        ("<img src=x.png>", "without alt"),
        ("<p>{title}</p>", "unfilled"),
        ("<p>NaN</p>", "NaN"),
        ("<h4>deep</h4>", "jumps from level 1 to 4"),
        ("<b><p></b>", "line"),
    ],
)
def test_the_check_of_pages_finds(fault, told):
    page = (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>t</title>'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'">'
        '<meta name="viewport" content="width=device-width"></head><body><main><h1>t</h1>{}</main></body></html>'
    )
    check_page(page.replace("{}", ""), "", lambda address: None, "http://localhost/en/")
    with pytest.raises(PageFaults, match=re.escape(told)):
        check_page(page.replace("{}", fault), "", lambda address: None, "http://localhost/en/")


def test_F06_redirected_page_is_never_in_the_list_of_what_a_phone_saves(reader):
    """Each saved address answers 200 by itself, with the type and, as a phone keeps it, the hash that the list says."""
    worker = reader.get("/sw.js")
    files = saved_files(worker.text, "en")
    assert {"en/", "en/offline/", "en/figures/injector-flow/", "en/manifest.webmanifest"} <= {
        file.path for file in files
    }
    for file in files:
        answer = reader.client.get(f"/{file.path}")
        assert (answer.status_code, answer.mimetype) == (200, file.kind), file.path
        kept = as_kept(answer.data, answer.mimetype)
        assert sha256_base64(kept)[:HASH_LENGTH] == file.sha256, file.path


def test_F08_types_of_worker_and_manifest_and_relative_addresses_in_it(reader):
    worker, manifest = reader.get("/sw.js"), reader.get("/en/manifest.webmanifest")
    assert worker.headers["Content-Type"] == "text/javascript; charset=utf-8"
    assert worker.headers["Cache-Control"] == "no-cache"
    assert manifest.headers["Content-Type"] == "application/manifest+json"
    described = json.loads(manifest.text)
    assert described["start_url"].startswith("./")
    for icon in described["icons"]:
        assert reader.get(urljoin("/en/manifest.webmanifest", icon["src"])).mimetype == icon["type"]


def html_text(text: str) -> str:
    """A text as a template writes it."""
    return (
        text.replace("&", "&amp;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
        .replace('"', "&#34;")
        .replace("'", "&#39;")
    )
