"""The finder as somebody with a phone uses it: without a signal, by thumb, by keyboard, in another language, without scripts."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from typing import Any

import pytest
from browser.axe import faults
from browser.faults import FaultyServer, abort
from browser.figure_driver import phone_of
from playwright.sync_api import BrowserContext, Page, expect

from webapp import create_app
from webapp.book import Book

FIELD = "#find-q"
READY = "[data-module=finder][data-ready]"
FIRST = "[data-part=entries] li:not([hidden]) a"
NO_DATABASE = (
    "Object.defineProperty(window, 'indexedDB', { get() { throw new DOMException('no', 'SecurityError') } })"
)
# A page that never pauses until `letIdle()`.
BUSY = """
const waiting = [];
let isBusy = true;
const idle = requestIdleCallback;
window.requestIdleCallback = (work, ...rest) => (isBusy ? waiting.push(work) : idle(work, ...rest));
window.letIdle = () => { isBusy = false; for (const work of waiting.splice(0)) work(); };
"""


@pytest.fixture(scope="module")
def both(book: Book) -> Book:
    """The content with a second language: the same texts with other titles."""
    made = Book.from_json(book.to_json())
    made.texts["de"] = german = copy.deepcopy(made.texts["en"])
    german["decimal"] = ","
    german["figures"]["injector-flow"]["title"] = "Düsenfluß"
    german["words"]["finder_kind_figure"] = "Rechnung"
    return made


@pytest.fixture(scope="module")
def running(both: Book) -> Iterator[FaultyServer]:
    server = FaultyServer(create_app(book=both))
    yield server
    server.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    return context.new_page()


def found(page: Page) -> list[str]:
    """Titles of what is found by words, as they are seen."""
    return page.locator(f"{FIRST} b").all_inner_texts()


def ask(page: Page, text: str) -> list[str]:
    page.fill(FIELD, text)
    page.wait_for_selector(READY)
    return found(page)


def open_finder(page: Page, running: FaultyServer, query: str = "", lang: str = "en") -> Page:
    page.goto(f"{running.origin}/{lang}/find/{query}")
    page.wait_for_selector(READY)
    return page


# -- without a signal ------------------------------------------------------------------------------------------


def test_it_answers_without_a_signal_once_the_app_is_saved(phone, server, both):
    host = server(create_app(book=both))
    page = phone.new_page()
    page.goto(f"{host.origin}/en/")
    page.wait_for_selector("[data-module=saved-status][data-state=saved]")
    host.down()
    page.tap(".bar-find")
    page.wait_for_selector(READY)
    assert ask(page, "inj")[0] == "Injector flow at another pressure"
    page.fill(FIELD, "13 ft lb")
    assert "17.63 N·m" in " ".join(page.inner_text("[data-part=senses]").split())
    assert ask(page, "tourque") and "Torque in every unit" in found(page)
    page.fill(FIELD, "-6")
    page.tap(FIRST)
    page.wait_for_url("**/en/tables/flare-and-hose/#row-dash-6")
    assert page.evaluate("document.querySelector('#row-dash-6').getBoundingClientRect().top < innerHeight")
    page.goto(f"{host.origin}/en/find/?q=43.5+psi")
    page.wait_for_selector(READY)
    page.tap("[data-part=filled] li:not([hidden]) a")
    page.wait_for_selector("[data-module=figure][data-started]")
    assert page.input_value("#take-gauge") == "43.5"


def test_F30_the_saved_finder_speaks_the_language_of_its_page(phone, server, both):
    host = server(create_app(book=both))
    page = phone.new_page()
    for lang in ("en", "de"):
        page.goto(f"{host.origin}/{lang}/")
        page.wait_for_selector("[data-module=saved-status][data-state=saved]")
    host.down()
    open_finder(page, host, lang="de")
    assert ask(page, "dusen") == ["Düsenfluß"]
    assert page.inner_text(f"{FIRST} span").startswith("Rechnung: ")
    page.fill(FIELD, "6 bar")
    assert "87,02 psi" in " ".join(page.inner_text("[data-part=senses]").split())
    open_finder(page, host)
    assert ask(page, "dusen") == []
    page.wait_for_selector("[data-part=says]:not([hidden])")


# -- hands -------------------------------------------------------------------------------------------------------


def test_it_is_used_by_keyboard_alone(page, running):
    open_finder(page, running)
    assert page.evaluate("document.activeElement.id") == "find-q"
    page.keyboard.type("injector")
    expect(page.locator(FIRST).nth(1)).to_be_visible()
    titles = found(page)
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.querySelector('b').textContent") == titles[1]
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    assert page.evaluate("document.activeElement.id") == "find-q"
    page.keyboard.press("Enter")
    page.wait_for_url("**/en/figures/injector-flow/")


def test_back_returns_to_what_was_found(page, running):
    open_finder(page, running)
    ask(page, "intercooler")
    page.tap(FIRST)
    page.wait_for_url("**/en/figures/charge-cooler/")
    page.go_back()
    page.wait_for_selector(READY)
    expect(page.locator(FIELD)).to_have_value("intercooler")
    expect(page.locator(FIRST).first).to_contain_text("Charge cooler")
    assert page.url.endswith("?q=intercooler")


def test_the_start_page_answers_in_place(page, running):
    page.goto(f"{running.origin}/en/")
    page.tap(FIELD)
    ask(page, "jic")
    expect(page.locator(FIRST).first).to_contain_text("Flare fittings and hose")
    assert not page.locator(".tiles").is_visible()
    page.tap("[data-part=clear]")
    expect(page.locator(".tiles")).to_be_visible()
    assert page.evaluate("document.activeElement.id") == "find-q"


def test_an_unclear_unit_is_asked_back_and_a_tap_settles_it(page, running):
    open_finder(page, running)
    page.fill(FIELD, "5 gal")
    page.tap("[data-part=choices] a >> nth=1")
    assert page.input_value(FIELD) == "5 imp gal"
    assert "22.73 L" in " ".join(page.inner_text("[data-part=senses]").split())


def test_F26_what_was_typed_stays_whatever_is_wrong_with_it(page, running):
    open_finder(page, running)
    for text in ("1/0 in", "xyzzyx", "1,234 psi", "x" * 70):
        page.fill(FIELD, text)
        expect(page.locator("[data-part=says]")).to_be_visible()
        assert page.input_value(FIELD) == text


# -- eyes and ears -----------------------------------------------------------------------------------------------


def test_what_is_found_is_told_to_a_screen_reader_once_the_typing_pauses(page, running):
    open_finder(page, running)
    told = page.locator("[data-part=told]")
    ask(page, "injector")
    expect(told).to_have_text(re.compile(r"^\d+ found.*First: Injector flow at another pressure\.$"))
    page.fill(FIELD, "13 ft lb")
    expect(told).to_have_text(re.compile("^13 lbf·ft: 17.63 N·m"))
    page.fill(FIELD, "xyzzyx")
    expect(told).to_have_text(re.compile("^Nothing found"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_F65_no_answer_of_it_breaks_an_accessibility_rule(chromium, running, scheme):
    context = phone_of(chromium, color_scheme=scheme)
    page = context.new_page()
    try:
        open_finder(page, running)
        for text in ("inj", "330 cc", "5 gal", "20 C", "xyzzyx"):
            page.fill(FIELD, text)
            assert faults(page) == [], text
        page.goto(f"{running.origin}/en/figures/mixture/")
        page.wait_for_selector("[data-module=kept-page]:not([hidden])")
        page.tap("[data-part=pin]")
        expect(page.locator("[data-part=pin-told]")).to_have_text("Pinned to the start page.")
        page.goto(f"{running.origin}/en/")
        page.wait_for_selector(".kept-pins")
        assert faults(page) == []
    finally:
        context.close()


def test_F52_nothing_of_it_is_cut_at_320_pixels_and_double_text(chromium, running):
    context = phone_of(chromium, 320, 568)
    page = context.new_page()
    try:
        open_finder(page, running)
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        for text in ("inj", "330 cc", "43.5 psi", "5 gal", "xyzzyx"):
            page.fill(FIELD, text)
            page.evaluate(
                "document.querySelectorAll('.link').forEach(each => each.style.contentVisibility = 'visible')"
            )
            assert page.evaluate("document.documentElement.scrollWidth") == 320, text
            cut = page.evaluate(
                "[...document.querySelectorAll('.finds *, .find *, .bar *')].filter(each => each.clientWidth && "
                "getComputedStyle(each).display !== 'inline' && each.scrollWidth > each.clientWidth + 1).map(each => each.outerHTML.slice(0, 90))"
            )
            assert cut == [], text
    finally:
        context.close()


# -- pinned, and used last ----------------------------------------------------------------------------------------


def test_what_was_used_last_stands_on_the_start_page_newest_first(page, running):
    for path in ("figures/mixture/", "tables/fuels/", "cautions/fire/", "help/units-and-kinds/"):
        page.goto(f"{running.origin}/en/{path}")
        noted = f"async () => (await (await import('{_store(page)}')).lastUsed(1))[0] === '{path}'"
        page.wait_for_function(noted)
    page.goto(f"{running.origin}/en/")
    page.wait_for_selector(".kept-used")
    titles = page.locator(".kept-used b").all_inner_texts()
    assert titles == [
        "Units and kinds",
        "Fire in or near the engine bay",
        "Fuels",
        "Mixture in AFR, lambda and phi",
    ]
    page.goto(f"{running.origin}/de/")
    page.wait_for_selector(".kept-used")
    assert page.locator(".kept-used a").first.get_attribute("href").endswith("/de/help/units-and-kinds/")


def _store(page: Page) -> str:
    """Address of the module that keeps things."""
    return page.evaluate("new URL('lib/store.js', document.querySelector('script[type=module]').src).href")


def test_a_page_is_pinned_and_the_pin_taken_out_and_put_back(page, running):
    page.goto(f"{running.origin}/en/tables/fuels/")
    page.wait_for_selector("[data-module=kept-page]:not([hidden])")
    page.tap("[data-part=pin]")
    expect(page.locator("[data-part=pin]")).to_have_text("Pinned. Take it off")
    page.goto(f"{running.origin}/en/")
    page.wait_for_selector(".kept-pins")
    assert page.locator(".kept-pins b").all_inner_texts() == ["Fuels"]
    page.tap(".kept-pins button")
    expect(page.locator(".undo")).to_contain_text("Fuels is no longer pinned.")
    page.keyboard.press("Enter")  # the focus is on 'Undo'
    expect(page.locator(".kept-pins li")).to_be_visible()
    page.reload()
    page.wait_for_selector(".kept-pins")
    page.tap(".kept-pins button")
    expect(page.locator(".undo button")).to_be_focused()
    page.reload()
    page.wait_for_selector(".kept-used")
    assert page.locator(".kept-pins").count() == 0


def test_F12_without_a_database_the_lists_are_absent_and_a_pin_says_why(chromium, running):
    context = phone_of(chromium)
    context.add_init_script(NO_DATABASE)
    page = context.new_page()
    try:
        page.goto(f"{running.origin}/en/tables/fuels/")
        page.wait_for_selector("[data-module=kept-page]:not([hidden])")
        page.tap("[data-part=pin]")
        expect(page.locator("[data-part=pin-told]")).to_contain_text("Not kept on this phone")
        expect(page.locator("[data-part=pin]")).to_have_text("Pin to the start page")
        page.goto(f"{running.origin}/en/")
        page.tap(FIELD)
        assert ask(page, "inj")
        assert page.locator("[data-module=kept-pages] > *").count() == 0
    finally:
        context.close()


@pytest.mark.parametrize("is_kept", [True, False], ids=["kept", "without a database"])
def test_a_pin_pressed_before_the_page_knows_what_is_pinned_is_told_as_it_is(chromium, running, is_kept):
    """The list comes in a pause, late on a slow phone; without a database it holds what this page alone remembers."""
    context = phone_of(chromium)
    context.add_init_script(BUSY if is_kept else NO_DATABASE + "\n" + BUSY)
    page = context.new_page()
    try:
        page.goto(f"{running.origin}/en/tables/fuels/")
        page.wait_for_selector("[data-module=kept-page]:not([hidden])")
        page.tap("[data-part=pin]")
        told = "Pinned to the start page." if is_kept else "Not kept on this phone"
        expect(page.locator("[data-part=pin-told]")).to_contain_text(told)
        in_memory = page.evaluate(
            "async (store) => { letIdle(); await new Promise((done) => setTimeout(done)); return (await import(store)).pinned(); }",
            _store(page),
        )
        assert in_memory == ["tables/fuels/"]
        page.evaluate("new Promise((done) => setTimeout(done, 50))")
        assert (page.inner_text("[data-part=pin]") == "Pinned. Take it off") == is_kept
    finally:
        context.close()


# -- what is loaded, and what if it is not ------------------------------------------------------------------------


def test_no_page_loads_the_index_before_the_finder_is_used(page, running):
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    for path in ("", "figures/injector-flow/", "tables/fuels/", "emergency/"):
        page.goto(f"{running.origin}/en/{path}")
        page.wait_for_load_state("networkidle")
        loaded = [url for url in asked if re.search(r"finder\.en|lib/(finding|ranking)|finder-paint", url)]
        assert loaded == [], path
    page.goto(f"{running.origin}/en/emergency/")
    asked.clear()
    open_finder(page, running)
    assert any("finder.en.js" in url for url in asked)


def test_where_the_search_does_not_load_the_form_asks_the_server(page, running):
    running.rules["/s/*/js/lib/finding.js"] = abort
    try:
        page.goto(f"{running.origin}/en/find/")
        page.fill(FIELD, "inj")
        expect(page.locator("[data-part=says]")).to_contain_text("could not be loaded")
        assert page.input_value(FIELD) == "inj"
        page.tap("[data-part=go]")
        page.wait_for_url("**/en/find/?q=inj")
        assert found(page)[0] == "Injector flow at another pressure"
    finally:
        running.rules.clear()


def test_it_works_without_scripts(chromium, running):
    context = phone_of(chromium, java_script_enabled=False)
    page = context.new_page()
    try:
        page.goto(f"{running.origin}/en/")
        page.fill(FIELD, "43.5 psi")
        page.keyboard.press("Enter")
        page.wait_for_url("**/en/find/?q=43.5+psi")
        assert "299.9 kPa" in " ".join(page.inner_text("[data-part=senses]").split())
        page.tap("[data-part=filled] a")
        page.wait_for_url("**/?gauge=43.5+psi")
        assert page.locator("[data-part=pin]").is_hidden()
    finally:
        context.close()


def test_server_and_phone_paint_the_same(page, running, chromium):
    """What a reader without scripts sees is what one with them sees, text for text and link for link."""
    plain = phone_of(chromium, java_script_enabled=False)
    other = plain.new_page()
    look = """() => [...document.querySelectorAll('.finds :is(a, p, li, h2)')].filter(each => !each.closest('[hidden]'))
      .map(each => [each.tagName, each.textContent.replace(/\\s+/g, ' ').trim(), each.href ?? ''])"""
    try:
        open_finder(page, running)
        for text in ("inj", "330 cc", "5 gal", "20 C", "xyzzyx", "fuel banana"):
            page.fill(FIELD, text)
            other.goto(f"{running.origin}/en/find/")
            other.fill(FIELD, text)
            other.keyboard.press("Enter")
            other.wait_for_url("**/?q=*")
            with_scripts, without = page.evaluate(look), _look(other)
            assert [(tag, said) for tag, said, _ in with_scripts] == [(tag, said) for tag, said in without], (
                text
            )
    finally:
        plain.close()


def _look(page: Page) -> list[tuple[str, str]]:
    """The same as the script of the test, asked from outside."""
    seen = page.locator(".finds").locator("css=a:visible, p:visible, li:visible, h2:visible")
    pairs: list[Any] = seen.evaluate_all(
        "all => all.map(each => [each.tagName, each.textContent.replace(/\\s+/g, ' ').trim()])"
    )
    return [tuple(pair) for pair in pairs]
