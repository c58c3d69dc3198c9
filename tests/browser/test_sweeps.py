"""Fuel headroom on a phone without a network: verdict, pictures, slider, table, two set-ups side by side."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest
from browser.faults import FaultyServer
from browser.figure_driver import FigurePage
from browser.patience import let
from playwright.sync_api import Browser, Page, Route

from webapp import create_app
from webapp.book import Book
from webapp.figures.answer import answer

FIGURE = "fuel-headroom"
DRAWN = ".uplot canvas"
PHONE, LARGE = {"width": 390, "height": 664}, {"width": 1024, "height": 1366}
# Notes each drawing of a picture, and the address that follows when the typing pauses.
NOTE_DRAWN = """() => {
        window.seen = [];
        const { clearRect } = CanvasRenderingContext2D.prototype;
        CanvasRenderingContext2D.prototype.clearRect = function (...where) { seen.push('picture'); return clearRect.apply(this, where); };
        const { replaceState } = history;
        history.replaceState = (...given) => { seen.push('address'); return replaceState.apply(history, given); };
    }"""
# The page's wait for a pause in the typing never ends.
NEVER_PAUSES = "() => { const { setTimeout: later } = window; window.setTimeout = (act, wait) => (wait === 400 ? 0 : later(act, wait)); }"


@pytest.fixture(scope="module")
def saved(chromium: Browser, book: Book) -> Iterator[tuple[Page, str]]:
    """A phone that has saved everything, with its server gone."""
    host = FaultyServer(create_app(book=book))
    context = chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(f"{host.origin}/en/figures/{FIGURE}/")
    page.wait_for_selector("[data-module=saved-status][data-state=saved]", timeout=60_000)
    host.down()
    context.set_offline(True)
    yield page, host.origin
    context.close()
    host.close()


@pytest.fixture
def headroom(saved: tuple[Page, str]) -> FigurePage:
    page, origin = saved
    page.set_viewport_size(PHONE)
    figure = FigurePage(page, origin, FIGURE)
    page.wait_for_selector(DRAWN)
    return figure


def side_by_side(page: Page) -> dict[str, list[str]]:
    """Label -> [held, now] of the comparison."""
    rows = page.locator(".side-by-side tbody tr").all()
    return {row.locator("th").inner_text(): row.locator("td").all_inner_texts() for row in rows}


def test_the_demonstration_engine_has_its_verdict_first_and_the_numbers_of_the_command_line(
    headroom: FigurePage, book: Book
) -> None:
    told = answer(book, "en", FIGURE, {})
    verdict = headroom.page.inner_text(".slab .verdict span")
    assert verdict == told["verdict"]["text"]
    assert "Do not drive it above 5500 rpm" in verdict
    assert headroom.page.inner_text(".slab-number").split()[:2] == ["5500", "rpm"]
    assert [item.strip() for item in headroom.page.locator(".remedies li").all_inner_texts()] == told[
        "remedies"
    ]
    assert "estimate" in headroom.page.inner_text(".slab .estimate").lower()
    assert headroom.noise == []


def test_the_slider_reads_the_picture_by_keyboard(headroom: FigurePage) -> None:
    page = headroom.page
    assert page.inner_text(".reading").startswith("6200 rpm: ")
    page.focus(".read-at")
    page.keyboard.press("ArrowLeft")
    text = page.inner_text(".reading")
    assert text.startswith("6100 rpm: ")
    assert page.get_attribute(".read-at", "aria-valuetext") == text
    page.keyboard.press("Home")
    assert page.inner_text(".reading").startswith("800 rpm: ")


def test_a_tap_on_the_picture_reads_it_there(headroom: FigurePage) -> None:
    page = headroom.page
    page.locator(".plot").scroll_into_view_if_needed()
    box = page.locator(".u-over").bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.wait_for_function("() => !document.querySelector('.reading').textContent.startsWith('6200')")
    found = re.match(r"(\d+) rpm: ", page.inner_text(".reading"))
    assert found is not None and abs(int(found[1]) - 3500) <= 200


def test_each_picture_is_chosen_by_its_button_and_says_what_it_shows(headroom: FigurePage) -> None:
    page = headroom.page
    titles = page.locator(".pictures button").all_inner_texts()
    assert len(titles) == 5
    readings = []
    for number, _ in enumerate(titles):
        page.locator(".pictures button").nth(number).tap()
        assert page.locator(".pictures [aria-pressed=true]").count() == 1
        readings.append(page.inner_text(".reading"))
    assert len(set(readings)) == 5


def test_the_table_holds_the_numbers_of_the_sweep(headroom: FigurePage, book: Book) -> None:
    sweep = answer(book, "en", FIGURE, {})["sweeps"][0]
    page = headroom.page
    page.locator(".sweeps summary").tap()
    page.wait_for_function("() => document.querySelectorAll('.sweeps tbody tr').length > 10")
    rows = [row.locator("th, td").all_inner_texts() for row in page.locator(".sweeps details tbody tr").all()]
    at = {round(row[0] * 60): row for row in sweep["rows"]}
    column = sweep["draw"].index("duty") + 1
    assert rows[-1][0] == "6200"
    for row in rows:
        assert float(row[column].replace("−", "-")) == pytest.approx(
            at[int(row[0])][column] * 100, rel=6e-4, abs=0.01
        )


def test_typing_changes_answer_and_picture_at_once_and_the_rest_when_it_pauses(headroom: FigurePage) -> None:
    page = headroom.page
    before = page.inner_text(".reading")
    headroom.edit("rated_flow")
    headroom.keys("2", "4", "0")
    page.wait_for_function("old => document.querySelector('.reading').textContent !== old", arg=before)
    page.wait_for_function("() => document.querySelector('.slab .verdict').textContent.includes('100 %')")
    page.wait_for_function("() => document.querySelectorAll('.remedies li').length > 0")
    page.wait_for_function(
        "() => /^± /.test(document.querySelector('.plus-minus:not(.is-coming)')?.innerText)"
    )
    assert page.inner_text(".slab .verdict b").lower() == "stop"


def test_the_picture_comes_in_the_frame_of_the_answer(headroom: FigurePage) -> None:
    """Three keys in one go are drawn once. The address follows when the typing pauses."""
    page = headroom.page
    page.set_viewport_size(LARGE)
    headroom.edit("displacement")
    page.evaluate(NOTE_DRAWN)
    page.evaluate(
        """() => {
        const answered = () => { seen.push('answer'); requestAnimationFrame(() => seen.push('frame')); };
        new MutationObserver(answered).observe(document.querySelector('.slab'), {subtree: true, childList: true, characterData: true});
        const field = document.querySelector('#take-displacement');
        for (const text of ['3', '3.6', '3.8']) { field.value = text; field.dispatchEvent(new Event('input', {bubbles: true})); }
    }"""
    )
    page.wait_for_function("() => seen.includes('address')")
    seen = page.evaluate("seen.slice(0, seen.indexOf('address'))")
    assert (seen.index("answer"), seen.count("picture")) == (0, 1)
    assert seen.index("picture") < seen.index("frame")
    page.wait_for_function("() => document.querySelector('.reading').textContent.includes('%')")


def test_a_picture_that_nobody_sees_is_drawn_when_the_typing_pauses(headroom: FigurePage) -> None:
    page = headroom.page
    headroom.edit("rated_flow")
    page.wait_for_function("() => document.querySelector('.plot').getBoundingClientRect().bottom < 0")
    page.evaluate(NOTE_DRAWN)
    headroom.keys("2", "4", "0")
    page.wait_for_function("() => seen.includes('picture')")
    assert page.evaluate("seen") == ["address", "picture"]


def test_a_picture_that_is_scrolled_to_while_somebody_types_is_drawn(headroom: FigurePage) -> None:
    """Its numbers are those of the answer, the pause of the typing apart, which never comes here."""
    page = headroom.page
    headroom.edit("rated_flow")
    page.evaluate(NEVER_PAUSES)
    before = page.inner_text(".reading")
    headroom.keys("2", "4", "0")
    let(page, 700)
    assert page.inner_text(".reading") == before
    page.evaluate("document.querySelector('.plot').scrollIntoView()")
    page.wait_for_function("old => document.querySelector('.reading').textContent !== old", arg=before)


def test_what_is_still_to_come_keeps_its_room(headroom: FigurePage) -> None:
    """How far off the answer may be follows when the typing pauses; until then no old number shows, and nothing below jumps."""
    page = headroom.page
    page.set_viewport_size(LARGE)
    headroom.edit("displacement")
    page.wait_for_function("() => document.querySelector('[data-part=spread]').checkVisibility()")
    page.evaluate(NEVER_PAUSES)
    high = headroom.box("[data-part=spread]")["height"]
    headroom.keys("4")
    coming = "['spread', 'plus-minus'].map(name => document.querySelector(`[data-part=${name}]`).checkVisibility({visibilityProperty: true}))"
    assert page.evaluate(coming) == [False, False]
    assert headroom.box("[data-part=spread]")["height"] == high > 0


def test_at_its_own_numbers_the_page_stands_as_the_server_made_it(headroom: FigurePage) -> None:
    """Nothing rough is shown meanwhile: of verdict and answer nothing changes while the page gets to work."""
    page = headroom.page.context.new_page()
    page.add_init_script(
        """window.seen = new Set(); new MutationObserver(() => {
        const slab = document.querySelector('[data-part=slab-head]');
        if (slab && document.querySelector('[data-live]')) seen.add(slab.innerText.replace(/\\s+/g, ' '));
    }).observe(document, {subtree: true, childList: true, characterData: true, attributes: true});"""
    )
    page.goto(headroom.address)
    page.wait_for_function("() => document.querySelectorAll('[data-part=further] .further-row').length > 10")
    page.wait_for_selector(DRAWN)
    assert len(page.evaluate("[...seen]")) == 1, page.evaluate("[...seen]")
    assert page.locator(".remedies li").count() > 0 and page.locator(".remedies").is_visible()
    page.close()


def test_what_cannot_be_is_said_in_a_sentence_and_the_rest_of_the_page_works(headroom: FigurePage) -> None:
    page = headroom.page
    cases = {
        "redline": ("600 rpm", "Redline 600 rpm is below 1500 rpm"),
        "peak_speed": ("6500 rpm", "The speed of best filling, 6500 rpm, must lie between"),
        "base": ("5 psi", None),
        "pump": ("10: 172; 30: 156; 25: 142", "points"),
    }
    for name, (typed, sentence) in cases.items():
        headroom.open(f"{name}={typed.replace(' ', '+')}")
        if sentence:
            assert sentence in page.inner_text(".problems"), name
            assert "nothing to draw" in page.inner_text(".reading")
        headroom.type("altitude", "500 m")
        assert page.input_value("#take-altitude").startswith("500")
    assert headroom.noise == []


def test_two_set_ups_stand_side_by_side_and_the_link_holds_both(headroom: FigurePage) -> None:
    page = headroom.page
    page.locator(".hold button").tap()
    headroom.edit("blower_pulley")
    headroom.keys("6", "6", "done")
    headroom.settle()
    # Out of sight on a phone, the table follows when the typing has paused and all is worked out.
    page.wait_for_selector(".side-by-side tbody th:text-is('Blower pulley')", state="attached")
    rows = side_by_side(page)
    assert rows["Blower pulley"] == ["72 mm", "66 mm"]
    boosts = [float(text.split()[0]) for text in rows["Most boost on the way"]]
    assert boosts[1] > boosts[0]
    assert len(page.locator(".verdicts dd").all_inner_texts()) == 2
    address = page.evaluate("location.href")
    assert "held.blower_pulley=72+mm" in address and "blower_pulley=66+mm" in address
    page.goto(address)
    page.wait_for_selector(DRAWN)
    assert side_by_side(page)["Blower pulley"] == ["72 mm", "66 mm"]
    page.locator(".hold button").tap()
    assert page.locator(".side-by-side").count() == 0 or page.locator(".side-by-side").is_hidden()
    headroom.settle()
    assert "held." not in page.evaluate("location.href")


def test_pictures_go_on_paper_in_black_on_white(headroom: FigurePage) -> None:
    page = headroom.page
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator(".on-paper canvas").count() == 5
    darkest = page.evaluate(
        """() => {
          const canvas = document.querySelector('.on-paper canvas');
          const {data} = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
          let least = 255;
          for (let n = 0; n < data.length; n += 4) if (data[n + 3] > 200) least = Math.min(least, data[n]);
          return least;
        }"""
    )
    assert darkest == 0
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.locator(".on-paper").count() == 0


def test_without_the_plotting_library_a_sentence_points_at_the_table(window: Page, origin: str) -> None:
    def refuse(route: Route) -> None:
        route.abort()

    window.route("**/vendor/uplot.js", refuse)
    page = FigurePage(window, origin, FIGURE)
    window.wait_for_function("() => document.querySelector('.plot')?.textContent.includes('table')")
    window.unroute("**/vendor/uplot.js", refuse)
    assert page.page.inner_text(".reading").startswith("6200 rpm")


def test_without_scripts_the_server_compares_two_set_ups(chromium: Browser, origin: str) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{origin}/en/figures/{FIGURE}/")
    page.locator(".hold a").click()
    page.fill("#take-blower_pulley", "66 mm")
    page.locator(".go").click()
    rows = side_by_side(page)
    assert rows["Blower pulley"] == ["72 mm", "66 mm"]
    assert json.dumps(rows).count("not reached") > 0
    context.close()
