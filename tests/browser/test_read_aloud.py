"""Sheets and the page 'If it goes wrong' read aloud part by part, by a voice that is stood in for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from browser.axe import faults, sticking_out
from browser.figure_driver import phone_of
from browser.stand_in import errors_of
from playwright.sync_api import Browser, BrowserContext, Page

from webapp.book import Book

SHEET = "opening-a-fuel-line"
BEGIN, BAR = "[data-module=read-aloud] [data-aloud-begin]", ".aloud-bar"
# A phone's voice: `said` is what it was given, `next()` ends what it is saying, `cut()` ends it as engines do on `cancel`.
VOICE = """window.said = []; window.now = null; window.cancelled = 0;
class Utterance { constructor(text) { this.text = text; } }
Object.defineProperty(window, 'SpeechSynthesisUtterance', {value: Utterance});
Object.defineProperty(window, 'speechSynthesis', {value: {
  getVoices: () => [{lang: 'LANG', localService: true}], addEventListener(_, heard) { window.heard = heard },
  cancel() { cancelled += 1; const cut = now; now = null; cut?.onerror?.({error: 'canceled'}) },
  speak(utterance) { said.push(utterance.text); now = utterance },
}});
window.next = () => { const over = now; now = null; over.onend() };"""


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    made = phone_of(chromium, reduced_motion="reduce")
    made.add_init_script(VOICE.replace("LANG", "en-GB"))
    yield made
    made.close()


def opened(context: BrowserContext, origin: str, path: str = f"cautions/{SHEET}/") -> Page:
    page = context.new_page()
    page.goto(f"{origin}/en/{path}")
    page.wait_for_selector("[data-module=read-aloud][data-started]", state="attached")
    return page


def said(page: Page) -> list[str]:
    texts: list[str] = page.evaluate("said")
    return texts


def to_the_end(page: Page) -> None:
    """Let the voice say all that it is given; no sheet has 200 sentences."""
    for _ in range(200):
        if page.evaluate("now === null"):
            return
        page.evaluate("next()")
    pytest.fail("it never ends")


def texts_of(book: Book, sheet: str) -> list[str]:
    """What has to be said of a sheet, in order, from its own record."""
    text: Any = book.texts["en"]["cautions"][sheet]
    words = book.words("en")
    found = [words[f"signal_word_{book.cautions[sheet]['signal']}"], text["says"]]
    for section in text["sections"]:
        found.append(words[f"caution_{section['id']}"])
        if section["id"] == "goes_wrong":
            found.append(words["caution_goes_wrong_call"])
        found += [statement["say"] for statement in section["statements"]]
    return [*found, words["caution_defer"]]


def test_a_sheet_is_read_whole_in_its_order_without_its_sources(context, origin, book):
    page = opened(context, origin)
    noise = errors_of(page)
    page.tap(BEGIN)
    to_the_end(page)
    assert said(page) == [" ".join(text.split()) for text in texts_of(book, SHEET)]
    assert not page.locator(BAR).is_visible()
    assert page.locator("[data-reading]").count() == 0
    assert noise == []


def test_what_is_read_is_marked_named_and_in_sight(context, origin):
    page = opened(context, origin)
    page.tap(BEGIN)
    parts = page.locator("[data-aloud]").count()
    names = []
    for _ in range(200):
        if page.evaluate("now === null"):
            break
        part = page.locator("[data-reading=part]")
        piece = page.locator("[data-reading=now]")
        marked = piece if piece.count() else part
        assert marked.count() == 1
        box, bar, head = (one.bounding_box() for one in (marked, page.locator(BAR), page.locator(".bar")))
        assert box and bar and head
        assert box["y"] >= head["y"] + head["height"] - 1, marked.inner_text()
        fits = box["height"] < bar["y"] - head["height"]
        assert not fits or box["y"] + box["height"] <= bar["y"] + 1, marked.inner_text()
        names.append(page.inner_text(f"{BAR} [data-part=told]"))
        page.evaluate("next()")
    found = list(dict.fromkeys(names))
    assert found[:3] == [
        f"Reading 1 of {parts}: The headline",
        f"Reading 2 of {parts}: What can happen",
        f"Reading 3 of {parts}: Have ready",
    ]
    assert found[-1] == f"Reading {parts} of {parts}: What comes before this page"


def test_next_part_goes_on_and_stop_ends_it_and_a_cut_voice_says_nothing_more(context, origin):
    page = opened(context, origin)
    page.tap(BEGIN)
    page.tap(f"{BAR} [data-part=next]")
    page.tap(f"{BAR} [data-part=next]")
    assert said(page) == ["DANGER", "What can happen", "Have ready"]
    page.tap(f"{BAR} [data-part=stop]")
    assert page.evaluate("now") is None
    assert len(said(page)) == 3
    assert not page.locator(BAR).is_visible()
    page.tap(BEGIN)
    assert said(page)[3:] == ["DANGER"]


def test_a_keyboard_finds_stop_at_once_and_comes_back_to_where_it_began(context, origin):
    page = opened(context, origin)
    page.focus(BEGIN)
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.part") == "stop"
    page.keyboard.press("Shift+Tab")
    for _ in range(page.locator("[data-aloud]").count() - 1):
        page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.part") == "stop"
    assert not page.locator(f"{BAR} [data-part=next]").is_visible()
    page.keyboard.press("Enter")
    assert page.evaluate("selector => document.activeElement.matches(selector)", BEGIN)


def test_on_the_emergency_page_each_part_is_read_by_itself(context, origin, book):
    page = opened(context, origin, "emergency/")
    parts = book.texts["en"]["emergency"]["parts"]
    buttons = page.locator("[data-aloud-begin]:visible")
    assert buttons.count() == len(parts) == 6
    burn = next(part for part in parts if part["id"] == "burn")
    page.tap("#burn [data-aloud-begin]")
    assert page.inner_text(f"{BAR} [data-part=told]") == "Reading 3 of 6: Burn"
    to_the_end(page)
    assert said(page) == [burn["title"], *(step["say"] for step in burn["statements"])]
    assert not page.locator(BAR).is_visible()
    page.tap("#burn [data-aloud-begin]")
    page.tap(f"{BAR} [data-part=next]")
    assert said(page)[-1] == "In the eyes"


@pytest.mark.parametrize("path", [f"cautions/{SHEET}/", "emergency/"])
@pytest.mark.parametrize(
    "phone",
    [
        VOICE.replace("LANG", "ja-JP"),
        VOICE.replace("{lang: 'LANG', localService: true}", ""),
        "delete window.speechSynthesis; Object.defineProperty(window, 'speechSynthesis', {value: undefined})",
        "Object.defineProperty(window, 'speechSynthesis', {get() { throw new Error('no') }})",
        "Object.defineProperty(window, 'SpeechSynthesisUtterance', {value: undefined})",
    ],
)
def test_without_a_voice_for_the_language_nothing_of_it_is_shown(chromium, origin, path, phone):
    context = phone_of(chromium)
    context.add_init_script(phone)
    page = opened(context, origin, path)
    noise = errors_of(page)
    page.reload()
    page.wait_for_selector("[data-module=read-aloud][data-started]", state="attached")
    assert page.locator("[data-aloud-begin]:visible").count() == 0
    assert noise == []
    context.close()


def test_a_voice_that_comes_late_brings_the_button(chromium, origin):
    context = phone_of(chromium)
    context.add_init_script(VOICE.replace("[{lang: 'LANG', localService: true}]", "window.voices ?? []"))
    page = opened(context, origin)
    assert not page.locator(BEGIN).is_visible()
    page.evaluate("() => { window.voices = [{lang: 'en_US'}]; heard() }")
    assert page.locator(BEGIN).is_visible()
    context.close()


def test_a_page_that_is_left_is_not_read_on(context, origin):
    page = opened(context, origin)
    page.tap(BEGIN)
    page.evaluate("window.dispatchEvent(new Event('pagehide'))")
    assert page.evaluate("now") is None


@pytest.mark.parametrize("theme", ["light", "dark", "forced"])
def test_the_marks_break_no_accessibility_rule(chromium, origin, theme):
    colours = {"forced_colors": "active"} if theme == "forced" else {"color_scheme": theme}
    context = phone_of(chromium, 390, 844, reduced_motion="reduce", **colours)
    context.add_init_script(VOICE.replace("LANG", "en-GB"))
    found = []
    for path, begin in ((f"cautions/{SHEET}/", BEGIN), ("emergency/", "#fire [data-aloud-begin]")):
        page = opened(context, origin, path)
        page.tap(begin)
        page.evaluate("next()")
        shape = page.locator("[data-reading=now]").evaluate("e => getComputedStyle(e).outlineStyle")
        assert shape == "solid"
        # The bar lies over the foot of the window by its purpose; what is under it is scrolled free.
        found += [one for one in faults(page, forced_colours=theme == "forced") if "obscured" not in one]
        page.close()
    context.close()
    assert found == []


@pytest.mark.parametrize("text", ["100%", "200%"])
def test_F52_the_bar_is_whole_at_320_pixels_and_double_text_and_leaves_room_to_read(chromium, origin, text):
    context = phone_of(chromium, 320, 568, reduced_motion="reduce")
    context.add_init_script(VOICE.replace("LANG", "en-GB"))
    page = opened(context, origin)
    page.evaluate("text => { document.documentElement.style.fontSize = text }", text)
    page.tap(BEGIN)
    bar = page.locator(BAR).bounding_box()
    assert bar and bar["height"] <= 568 / 3 and bar["y"] + bar["height"] <= 568.5
    for button in page.locator(f"{BAR} button").all():
        box = button.bounding_box()
        assert box and box["height"] >= 56
    assert sticking_out(page) == []
    context.close()
