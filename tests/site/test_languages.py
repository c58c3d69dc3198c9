"""The language is in the address, and nothing else chooses it (F30)."""

from __future__ import annotations

import json

import html5lib
import pytest
from flask import Flask, g
from page_checks import elements

from webapp import create_app
from webapp.site.languages import (
    Catalogue,
    MissingWord,
    WordsBabel,
    direction_of,
    name_of,
    preferred,
    speaking,
    written_day,
)


@pytest.mark.parametrize(
    ("header", "lang"),
    [
        ("de", "de"),
        ("de-AT,en;q=0.5", "de"),
        ("en-GB,de;q=0.9", "en"),
        ("sv,de;q=0.3", "de"),
        ("sv", "en"),
        ("", "en"),
        ("*", "en"),
        ("de;q=0", "en"),
        (",;q=;;", "en"),
        ("x" * 9000, "en"),
        ("DE-ch", "de"),
    ],
)
def test_the_first_address_leads_to_the_language_a_browser_likes_best(bilingual, header, lang):
    answer = bilingual.get("/", headers={"Accept-Language": header})
    assert answer.status_code == 302
    assert answer.headers["Location"] == f"{lang}/"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "Accept-Language" in answer.headers["Vary"]


class NaiveCache:
    """A shared cache that looks at the address alone, and keeps whatever it may."""

    def __init__(self, reader):
        self.reader, self.kept = reader, {}

    def get(self, address, **headers):
        if address not in self.kept:
            answer = self.reader.get(
                address, headers={key.replace("_", "-"): value for key, value in headers.items()}
            )
            if "no-store" in answer.headers["Cache-Control"]:
                return answer
            self.kept[address] = answer
        return self.kept[address]


def test_F30_two_readers_behind_one_cache_get_each_their_own_language(bilingual):
    cache = NaiveCache(bilingual)
    for _ in range(2):
        for lang, title in (("de", "Rechnungen"), ("en", "Figures")):
            start = cache.get("/", Accept_Language=lang, Cookie=f"lang={lang}")
            home = cache.get(f"/{start.headers['Location']}", Accept_Language=lang)
            assert f'<html lang="{lang}"' in home.text
            assert f"<b>{title}</b>" in home.text


def test_F30_a_page_depends_on_neither_cookies_nor_the_browser_s_languages(bilingual, bilingual_book):
    figure = next(iter(bilingual_book.figures))
    for address in ("/en/", f"/de/figures/{figure}/", "/de/figures/injector-flow/?rail=50+psi", "/sw.js"):
        plain = bilingual.get(address)
        other = bilingual.get(
            address, headers={"Accept-Language": "de,en;q=0.1", "Cookie": "lang=de; session=x"}
        )
        assert other.data == plain.data
        assert dict(other.headers) == dict(plain.headers)


def test_F30_texts_made_at_start_are_in_the_language_of_their_page(bilingual):
    for lang, title in (("en", "Injector flow"), ("de", "Auf Deutsch: Injector flow")):
        for _ in range(2):
            page = bilingual.get(f"/{lang}/figures/injector-flow/?rail=abc")
            assert f"<h1>{title}" in page.text
    assert "<title>Error: Auf Deutsch" in bilingual.get("/de/figures/injector-flow/?rail=abc").text


def test_F30_no_lazy_text_reaches_the_json(bilingual):
    answer = bilingual.get("/api/figures/injector-flow?rail=5+psi")
    assert isinstance(json.loads(answer.data)["refused"], str)


def test_a_number_is_written_as_the_language_of_the_page_writes_it(bilingual):
    typed = "?rated_flow=310+cc/min&rated_drop=3+bar&rail=43,5+psi&manifold=8,25+psi"
    english, german = (bilingual.get(f"/{lang}/figures/injector-flow/{typed}").text for lang in ("en", "de"))
    assert "35.25" in english
    assert "35,25" in german


def test_each_page_links_to_itself_in_the_other_language(bilingual):
    page = bilingual.get("/en/figures/injector-flow/").text
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    links = {one.get("href") for one in elements(tree, "a") if one.get("hreflang") == "de"}
    assert links == {"../../../de/figures/injector-flow/"}


def test_an_unknown_language_is_offered_the_page_in_those_that_exist(bilingual):
    page = bilingual.get("/sv/figures/injector-flow/")
    assert page.status_code == 404
    assert page.text.index("en/figures/injector-flow/") < page.text.index("de/figures/injector-flow/")


def test_each_language_has_its_own_words_for_scripts_and_its_own_manifest(bilingual, bilingual_book):
    release = bilingual.client.application.extensions["cowlside"].release
    for lang, mark in (("en", '"."'), ("de", '","')):
        script = bilingual.get(f"/s/{release}/js/words.{lang}.js").text
        assert f"export const DECIMAL = {mark};" in script
        assert bilingual.get(f"/{lang}/manifest.webmanifest").json["lang"] == lang


def test_a_word_that_is_missing_stops_the_start(bilingual_book):
    del (words := dict(bilingual_book.texts["en"]["words"]))["common_skip"]
    broken = type(bilingual_book).from_json(bilingual_book.to_json())
    broken.texts["de"]["words"] = words
    with pytest.raises(MissingWord, match='"common_skip" is not among the words of "de"'):
        create_app(book=broken)


def test_the_words_are_flask_babel_s_translations():
    app = Flask("words")
    WordsBabel(app, {"en": {"greet": "Good day, {name}: 5 %"}, "de": {"greet": "Guten Tag, {name}: 5 %"}})
    with app.app_context():
        from flask_babel import gettext

        for lang, greeting in (("en", "Good day, A: 5 %"), ("de", "Guten Tag, A: 5 %")):
            with speaking(lang):
                assert gettext("greet", name="A") == greeting
                assert g.language == lang
        with speaking("en"), pytest.raises(MissingWord, match="the field 'name'"):
            gettext("greet")


def test_a_catalogue_names_the_word_it_lacks():
    with pytest.raises(MissingWord, match='"x" is not among the words of "en"'):
        Catalogue("en", {}).gettext("x")


def test_languages_name_themselves_and_know_their_direction():
    assert [name_of(lang) for lang in ("en", "de", "es", "pt-BR")] == [
        "English",
        "Deutsch",
        "Español",
        "Português (Brasil)",
    ]
    assert [direction_of(lang) for lang in ("en", "ar")] == ["ltr", "rtl"]
    assert written_day("en", "2026-11-25") == "Nov 25, 2026"
    assert written_day("de", "2026-11-25") == "25.11.2026"
    assert written_day("de", "") == ""


def test_the_first_language_is_taken_when_none_is_liked():
    assert preferred("sv", ["en", "de"]) == "en"
