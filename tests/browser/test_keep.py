"""Answers of Figures go to the job card and open again from it; the start page shows the card in use and its loose ends (F12, F54)."""

from __future__ import annotations

import pytest
from browser import round_driver as work
from browser.axe import faults, sticking_out
from browser.figure_driver import FigurePage, phone_of
from browser.patience import let
from browser.round_driver import LIB
from browser.stand_in import errors_of
from playwright.sync_api import BrowserContext, Page

from webapp import create_app

SAVED = "[data-module=saved-status][data-state=saved]"
KEEP, TOLD = ".keep > button", ".keep-told"
TAG, ONWARD = ".loose-tag", ".loose .link"
OPEN_END = f"""async ([id, kind, place, count]) => {{
  const [{{ openEnd }}, {{ doAct }}] = [{LIB % "end-deeds"}, {LIB % "job-store"}];
  await doAct("a-1", (job) => openEnd(job, id, {{ kind, place, count }}, Date.now()));
}}"""


def figure(context: BrowserContext, origin: str, name: str = "torque-adapter", query: str = "") -> FigurePage:
    page = FigurePage(context.new_page(), origin, name, query)
    page.page.wait_for_selector(KEEP)
    return page


def keep(page: Page) -> None:
    page.tap(KEEP)
    page.wait_for_selector(f"{TOLD} .keep-ways")


def make_card(context: BrowserContext, origin: str) -> Page:
    page = context.new_page()
    page.goto(f"{origin}/en/job/")
    work.make_card(page)
    return page


# -- keep --------------------------------------------------------------------------------------------------------------------------


def test_two_figures_are_kept_offline_and_open_again_from_their_addresses(phone, origin):
    page = phone.new_page()
    page.goto(f"{origin}/en/")
    page.wait_for_selector(SAVED)
    work.make_card(page)
    phone.set_offline(True)
    one = figure(phone, origin, "torque-adapter", "torque=40+lbf·ft&length=12+in&offset=4+in&angle=0°")
    # US Army TM 9-2350-261-20-1, worked example: 40 lbf·ft over 12 and 4 inches is 30 on the wrench.
    assert one.answer().startswith("30")
    keep(one.page)
    other = figure(phone, origin, "torque-units")
    before = other.answer()
    keep(other.page)
    kept = list(work.card(page)["kept"].values())
    assert [each["figure"] for each in kept] == ["torque-adapter", "torque-units"]
    for each, shown in zip(kept, (one.answer(), before), strict=True):
        again = FigurePage(phone.new_page(), origin, each["figure"], each["query"])
        assert again.answer() == shown and shown.split()[0] in each["answer"]
        assert again.noise == []
    assert one.noise == other.noise == []


def test_all_inputs_are_kept_also_those_nobody_touched(context, origin):
    """A default that changes with a later version must not change what was kept."""
    page = make_card(context, origin)
    keep(figure(context, origin).page)
    (kept,) = work.card(page)["kept"].values()
    assert {part.split("=")[0] for part in kept["query"].split("&")} == {
        "torque",
        "length",
        "offset",
        "angle",
    }


def test_it_says_to_which_card_and_can_be_undone(context, origin):
    page = make_card(context, origin)
    shown = figure(context, origin)
    keep(shown.page)
    assert shown.page.inner_text(f"{TOLD} p").startswith("Kept on “Harbour wagon”: Wrench setting: ")
    link = shown.page.get_attribute(f"{TOLD} a", "href") or ""
    assert link.endswith("en/job/card/?job=a-1")
    shown.page.tap(f"{TOLD} button")
    shown.page.wait_for_selector(f"{TOLD}:text('Taken off “Harbour wagon” again.')")
    assert all(each["gone"] for each in work.card(page)["kept"].values())
    assert shown.page.evaluate("document.activeElement.matches('.keep > button')")


def test_without_a_card_one_is_offered_and_the_answer_goes_to_it(context, origin):
    shown = figure(context, origin)
    shown.page.tap(KEEP)
    shown.page.wait_for_selector(".card-choice")
    assert "There is no job card on this phone yet." in shown.page.inner_text(TOLD)
    shown.page.tap(".card-choice button")
    shown.page.wait_for_selector(f"{TOLD} .keep-ways")
    assert "Kept on “My job”" in shown.page.inner_text(TOLD)


def test_with_cards_but_none_in_use_it_asks_which(context, origin):
    page = make_card(context, origin)
    page.evaluate(f"async () => ({LIB % 'job-in-use'}).useJob('')")
    shown = figure(context, origin)
    shown.page.tap(KEEP)
    shown.page.tap("button:text('Use “Harbour wagon”')")
    shown.page.wait_for_selector(f"{TOLD} .keep-ways")
    assert len(work.card(page)["kept"]) == 1


def test_where_there_is_no_answer_nothing_is_kept_and_the_sentence_is_told(context, origin):
    page = make_card(context, origin)
    shown = figure(context, origin, query="torque=twenty")
    shown.page.tap(KEEP)
    shown.page.wait_for_selector(f"{TOLD}:text('There is no answer to keep yet.')")
    assert work.card(page)["kept"] == {}


def test_F12_without_a_database_it_says_that_it_is_in_this_window_only(context, origin):
    context.add_init_script("delete window.indexedDB; delete Window.prototype.indexedDB")
    shown = figure(context, origin)
    shown.page.tap(KEEP)
    shown.page.tap(".card-choice button")
    shown.page.wait_for_selector(f"{TOLD} .keep-ways")
    assert "in this window only" in shown.page.inner_text(TOLD)
    assert shown.noise == []


def test_the_scripts_that_pages_start_with_hold_no_card_and_no_round(book):
    """They come when they are asked for: a Figure's first answer waits for none of them."""
    documents = create_app(book=book).extensions["cowlside"].documents
    main = next(text.body for name, text in documents.items() if name.endswith("/js/main.js")).decode()
    for piece in ("lib/job.js", "lib/job-store.js", "lib/store.js", "keep-figure.js", "torque-round.js"):
        assert f'"js/{piece}":' not in main and f'"js/components/{piece}":' not in main, piece


# -- the start page ----------------------------------------------------------------------------------------------------------------


def home(context: BrowserContext, origin: str) -> Page:
    page = context.new_page()
    page.goto(f"{origin}/en/")
    page.wait_for_selector("[data-module=loose-count][data-started]", state="attached")
    return page


def test_nothing_is_shown_where_there_is_no_card(context, origin):
    page = home(context, origin)
    let(page, 600)  # longer than a pause is waited for
    assert not page.is_visible(".loose") and page.inner_text("main").count("loose ends open") == 0


def test_the_loose_ends_of_the_card_in_use_are_counted_on_a_tag(context, origin):
    page = make_card(context, origin)
    start = home(context, origin)
    start.wait_for_selector(f"{TAG}:has-text('No loose end open')")
    page.evaluate(OPEN_END, ["e-1", "rag", "left bank", 3])
    start.reload()
    start.wait_for_selector(f"{TAG}:has-text('1 loose end open')")
    page.evaluate(OPEN_END, ["e-2", "capped", "feed line", 1])
    start.reload()
    start.wait_for_selector(f"{TAG}:has-text('2 loose ends open')")
    assert "4 pieces to close before the first start" in start.inner_text(TAG)
    assert start.inner_text(ONWARD) == "Go on with Harbour wagon"
    assert (start.get_attribute(TAG, "href") or "").endswith("en/job/card/?job=a-1#loose-ends")
    assert (start.get_attribute(ONWARD, "href") or "").endswith("en/job/card/?job=a-1")


def test_a_card_put_away_is_not_gone_on_with(context, origin):
    page = make_card(context, origin)
    page.evaluate(f"async () => {{ const [d, s] = [{LIB % 'job-deeds'}, {LIB % 'job-store'}]; await s.doAct('a-1', job => d.removeCard(job, Date.now())) }}")  # fmt: skip
    start = home(context, origin)
    let(start, 600)  # longer than a pause is waited for
    assert not start.is_visible(".loose")


@pytest.mark.parametrize("theme", ["light", "dark", "forced"])
def test_no_state_breaks_an_accessibility_rule(chromium, origin, theme):
    colours = {"forced_colors": "active"} if theme == "forced" else {"color_scheme": theme}
    context = phone_of(chromium, 390, 844, reduced_motion="reduce", **colours)
    page = make_card(context, origin)
    page.evaluate(OPEN_END, ["e-1", "rag", "left bank", 3])
    start = home(context, origin)
    start.wait_for_selector(TAG)
    found = faults(start, forced_colours=theme == "forced")
    shown = figure(context, origin)
    keep(shown.page)
    shown.page.evaluate("scrollTo(0, 0)")
    found += faults(shown.page, forced_colours=theme == "forced")
    context.close()
    assert found == []


@pytest.mark.parametrize("text", ["100%", "200%"])
def test_F52_at_320_pixels_and_double_text_nothing_is_cut(chromium, origin, text):
    context = phone_of(chromium, 320, 568)
    page = make_card(context, origin)
    page.evaluate(OPEN_END, ["e-1", "rag", "left bank", 3])
    double = "text => { document.documentElement.style.fontSize = text }"
    start = home(context, origin)
    start.wait_for_selector(TAG)
    start.evaluate(double, text)
    found = sticking_out(start)
    shown = figure(context, origin)
    keep(shown.page)
    shown.page.evaluate(double, text)
    found += sticking_out(shown.page)
    heights = [shown.page.locator(name).bounding_box() for name in (KEEP, f"{TOLD} button", f"{TOLD} a")]
    context.close()
    assert found == []
    assert all(box and box["height"] >= 56 for box in heights)


def test_errors_stay_away_from_the_start_page(context, origin):
    """Where the store cannot be had, the tag stays away and nothing else does (F12)."""
    context.add_init_script(
        "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError') }"
    )
    page = context.new_page()
    noise = errors_of(page)
    page.goto(f"{origin}/en/")
    page.wait_for_selector("[data-module=finder][data-started]")
    let(page, 600)  # longer than a pause is waited for
    assert not page.is_visible(".loose") and page.locator(".tile").count() > 4
    assert noise == []
