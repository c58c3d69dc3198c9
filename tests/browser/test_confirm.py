"""A caution sheet is confirmed by two taps in two places, for one job card, for twelve hours (design: cautions; field faults F12, F57)."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from browser.axe import faults, sticking_out
from browser.figure_driver import phone_of
from browser.stand_in import errors_of
from playwright.sync_api import BrowserContext, Page

SHEET, OTHER = "opening-a-fuel-line", "exhaust-gas"
FIRST, SECOND, BACK, TOLD = (f"[data-part={name}]" for name in ("first", "second", "take-back", "told"))
READY = "[data-module=confirm][data-started]"
HOURS_12 = 12 * 60 * 60 * 1000
AFTERNOON = datetime(2026, 11, 25, 14, 5)
# The modules that the page itself uses, as another part of the app would call them.
LIB = "await import(`/s/${document.documentElement.dataset.release}/js/lib/%s.js`)"


def sheet(context: BrowserContext, origin: str, name: str = SHEET, query: str = "") -> Page:
    page = context.new_page()
    page.goto(f"{origin}/en/cautions/{name}/{query}")
    page.wait_for_selector(READY)
    return page


def lib(page: Page, module: str, call: str) -> Any:
    """What a function of static/js/lib gives, `call` standing behind the module."""
    return page.evaluate(f"async () => ({LIB % module}).{call}")


def keep_job(page: Page, ident: str, name: str, is_used: bool = False) -> None:
    """A job card as the store has it; the one in use is named beside the cards."""
    used = f", {{store: 'kept', key: 'job', change: () => ({{id: '{ident}'}})}}" if is_used else ""
    card = f"{{store: 'jobs', key: '{ident}', change: () => ({{id: '{ident}', name: '{name}'}})}}"
    lib(page, "store", f"write([{card}{used}])")


def confirm(page: Page) -> None:
    page.tap(FIRST)
    page.tap(SECOND)
    page.wait_for_selector(BACK)


def told(page: Page) -> str:
    return page.locator(f"{READY} {TOLD}").inner_text()


def hear(page: Page, beginning: str) -> None:
    """Wait until the line under the second tap begins so."""
    page.wait_for_function(
        "([line, text]) => document.querySelector(line).textContent.startsWith(text)",
        arg=[f"{READY} {TOLD}", beginning],
    )


def in_force(page: Page, job: str = "") -> list[str]:
    names: list[str] = page.evaluate(
        f"async () => Object.keys(await ({LIB % 'confirmed'}).confirmed('{job}', Date.now()))"
    )
    return names


# -- two taps --------------------------------------------------------------------------------------------------------------------


def test_two_taps_in_two_places_confirm_a_sheet_and_the_next_visit_knows(context, origin):
    page = sheet(context, origin)
    noise = errors_of(page)
    page.tap(FIRST)
    assert page.inner_text("[data-part=first-told]") == "Read on. The second tap is at the end of the sheet."
    assert in_force(page) == []
    page.tap(SECOND)
    page.wait_for_selector(BACK)
    assert told(page).startswith("Confirmed: ") and "It counts until " in told(page)
    assert in_force(page) == [SHEET]
    again = sheet(context, origin)
    assert told(again) == told(page)
    assert again.get_attribute(FIRST, "aria-disabled") == "true"
    assert again.inner_text("[data-part=first-told]").startswith("This sheet is confirmed.")
    assert told(sheet(context, origin, OTHER)) == ""
    assert noise == []


def test_the_second_tap_alone_confirms_nothing_and_says_what_comes_first(context, origin):
    page = sheet(context, origin)
    assert page.get_attribute(SECOND, "aria-disabled") == "true"
    described = page.get_attribute(SECOND, "aria-describedby")
    assert page.inner_text(f"#{described}").startswith("First comes the tap under “Have ready”.")
    page.tap(SECOND, force=True)
    hear(page, "First comes the tap under “Have ready”.")
    assert in_force(page) == []
    page.tap("[data-part=waits] a")
    assert page.locator(FIRST).evaluate("e => e.getBoundingClientRect().top < innerHeight")


def test_the_places_lie_apart_and_behind_what_has_to_be_read(context, origin):
    page = sheet(context, origin)
    top = {
        name: page.locator(name).evaluate("e => e.getBoundingClientRect().top")
        for name in (FIRST, SECOND, "#have_ready", "#do_first", "#never", "#goes_wrong", "#clean_up")
    }
    assert top["#have_ready"] < top[FIRST] < top["#do_first"] < top["#never"]
    assert top["#never"] < top["#goes_wrong"] < top["#clean_up"] < top[SECOND]
    assert top[SECOND] - top[FIRST] > 664


def test_a_double_tap_neither_confirms_nor_takes_back(context, origin):
    page = sheet(context, origin)
    page.locator(FIRST).dblclick()
    assert in_force(page) == []
    page.locator(SECOND).dblclick()
    page.wait_for_selector(BACK)
    assert in_force(page) == [SHEET]


def test_what_is_ticked_as_ready_is_counted_and_need_not_be_all(context, origin):
    page = sheet(context, origin)
    many = page.locator(".ticks input").count()
    assert page.inner_text("[data-part=count]").startswith(f"0 of {many} ticked")
    page.locator(".ticks input").nth(0).check()
    page.locator(".ticks input").nth(2).check()
    assert page.inner_text("[data-part=count]").startswith(f"2 of {many} ticked")
    confirm(page)
    assert in_force(page) == [SHEET]


def test_it_is_taken_back_and_both_taps_are_asked_for_again(context, origin):
    page = sheet(context, origin)
    confirm(page)
    page.tap(BACK)
    hear(page, "Taken back. This sheet is not confirmed.")
    assert in_force(page) == []
    assert page.get_attribute(FIRST, "aria-disabled") == "false"
    assert page.get_attribute(SECOND, "aria-disabled") == "true"
    assert told(sheet(context, origin)) == ""


def test_a_keyboard_alone_confirms_and_takes_back_and_is_never_thrown_to_the_top(context, origin):
    page = sheet(context, origin)

    def tab_to(selector: str) -> None:
        for _ in range(80):
            page.keyboard.press("Tab")
            if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
        pytest.fail(f"Tab never comes to {selector}")

    tab_to(FIRST)
    page.keyboard.press("Enter")
    tab_to(SECOND)
    page.keyboard.press("Space")
    page.wait_for_selector(BACK)
    assert page.evaluate(f"document.activeElement.matches('{SECOND}')")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    hear(page, "Taken back.")
    assert page.evaluate(f"document.activeElement.matches('{SECOND}')")


def test_what_happens_is_said_to_a_screen_reader(context, origin):
    page = sheet(context, origin)
    for name in ("first-told", "told", "state"):
        assert (
            page.get_attribute(f"{READY} [data-part={name}], .confirm-step [data-part={name}]", "role")
            == "status"
        )
    assert page.get_attribute(FIRST, "aria-describedby") == "ready-count"


# -- twelve hours, and interrupted work --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("later", "counts"), [(0, True), (HOURS_12 - 1, True), (HOURS_12, False), (-1, False), (10**12, False)]
)
def test_a_confirmation_counts_for_twelve_hours_and_not_before_it_was_given(context, origin, later, counts):
    """Twelve hours is the design's own number. A confirmation from the future means that the clock was put back."""
    page = sheet(context, origin)
    at = 1_795_000_000_000
    assert lib(page, "confirmed", f"isInForce({at}, {at + later})") is counts
    assert lib(page, "confirmed", "CONFIRMED_MS") == HOURS_12


def test_it_lapses_while_the_page_is_open_and_the_next_visit_asks_again(context, origin):
    context.clock.install(time=AFTERNOON)
    page = sheet(context, origin)
    confirm(page)
    at, end = "14:05", "Thursday"
    assert at in told(page) and end in told(page) and "02:05" in told(page)
    context.clock.fast_forward(HOURS_12 - 60_000)
    assert told(page).startswith("Confirmed: ") and in_force(page) == [SHEET]
    context.clock.fast_forward(120_000)
    hear(page, "Last confirmed: ")
    assert "Its 12 hours are over: read the sheet again." in told(page)
    assert page.get_attribute(FIRST, "aria-disabled") == "false"
    assert page.get_attribute(SECOND, "aria-disabled") == "true"
    assert in_force(page) == []
    again = sheet(context, origin)
    assert told(again).startswith("Last confirmed: Wednesday")
    confirm(again)
    assert in_force(again) == [SHEET]


def test_a_first_tap_of_yesterday_counts_no_more_than_a_confirmation_of_yesterday(context, origin):
    context.clock.install(time=AFTERNOON)
    page = sheet(context, origin)
    page.tap(FIRST)
    context.clock.fast_forward(HOURS_12 + 60_000)
    page.wait_for_selector(f"{FIRST}[aria-disabled=false]")
    page.tap(SECOND, force=True)
    hear(page, "First comes the tap")
    assert in_force(page) == []


def test_a_phone_that_slept_finds_out_when_it_is_looked_at_again(context, origin):
    """Timers stand still while a phone sleeps; only its clock goes on."""
    page = sheet(context, origin)
    confirm(page)
    page.evaluate(f"() => {{ const now = Date.now() + {HOURS_12}; Date.now = () => now }}")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    hear(page, "Last confirmed: ")


def test_interrupted_work_takes_every_confirmation_of_that_card_and_no_other(context, origin):
    page = sheet(context, origin)
    keep_job(page, "a1", "Injectors")
    keep_job(page, "b2", "Pulley")
    one, two, other = (
        sheet(context, origin, SHEET, "?job=a1"),
        sheet(context, origin, OTHER, "?job=a1"),
        sheet(context, origin, SHEET, "?job=b2"),
    )
    for each in (page, one, two, other):
        confirm(each)
    assert sorted(in_force(page, "a1")) == [OTHER, SHEET]
    assert lib(page, "confirmed", "lapse('a1')")["kept"] is True
    for each in (one, two):
        hear(each, "Taken back, or work was interrupted: this sheet is not confirmed.")
        assert each.get_attribute(SECOND, "aria-disabled") == "true"
    assert (in_force(page, "a1"), in_force(page, "b2"), in_force(page)) == ([], [SHEET], [SHEET])
    assert lib(page, "confirmed", "lapse('a1')") == {"kept": True, "why": "fine"}


# -- for which card --------------------------------------------------------------------------------------------------------------


def test_it_counts_for_the_card_of_the_address_else_for_the_one_in_use_and_leads_back(context, origin):
    page = sheet(context, origin)
    assert page.inner_text("[data-part=for]") == "for work without a job card"
    assert not page.locator("[data-part=card]").is_visible()
    keep_job(page, "a1", "Injectors")
    keep_job(page, "b2", "Pulley", is_used=True)
    asked, used = sheet(context, origin, SHEET, "?job=a1"), sheet(context, origin)
    assert asked.inner_text("[data-part=for]") == "for: Injectors"
    assert asked.get_attribute("[data-part=card]", "href").endswith("/en/job/card/?job=a1")
    assert used.inner_text("[data-part=for]") == "for: Pulley"
    confirm(asked)
    assert (in_force(page, "a1"), in_force(page, "b2"), in_force(page)) == ([SHEET], [], [])
    assert told(used) == ""


def test_a_deleted_card_is_neither_in_use_nor_the_one_of_the_address(context, origin):
    page = sheet(context, origin)
    keep_job(page, "a1", "Injectors", is_used=True)
    used = sheet(context, origin)
    assert used.inner_text("[data-part=for]") == "for: Injectors"
    gone = "{store: 'jobs', key: 'a1', change: (old) => ({...old, gone: 5})}"
    lib(page, "store", f"write([{gone}])")
    used.wait_for_selector("[data-part=for]:text-is('for work without a job card')")
    assert not used.locator("[data-part=card]").is_visible()
    confirm(used)
    asked = sheet(context, origin, SHEET, "?job=a1")
    assert asked.inner_text("[data-part=for]").startswith("The job card of this address is deleted.")
    assert (in_force(page), in_force(page, "a1")) == ([SHEET], [])


def test_a_card_that_is_not_on_this_phone_is_said_and_a_name_is_text(context, origin):
    page = sheet(context, origin, SHEET, "?job=gone")
    assert "is not on this phone" in page.inner_text("[data-part=for]")
    confirm(page)
    assert (in_force(page), in_force(page, "gone")) == ([SHEET], [])
    keep_job(page, "c3", "<b>Big</b>")
    assert sheet(context, origin, SHEET, "?job=c3").inner_text("[data-part=for]") == "for: <b>Big</b>"
    keep_job(page, "d4", " ")
    assert (
        sheet(context, origin, SHEET, "?job=d4").inner_text("[data-part=for]") == "for: card without a name"
    )


# -- two windows, and phones that keep nothing -------------------------------------------------------------------------------------


def test_F57_the_other_window_follows(context, origin):
    one, other = sheet(context, origin), sheet(context, origin)
    confirm(one)
    hear(other, told(one))
    other.tap(BACK)
    hear(one, "Taken back, or work was interrupted")


def test_F57_without_a_channel_the_other_window_is_read_on_return(context, origin):
    context.add_init_script("delete window.BroadcastChannel")
    one, other = sheet(context, origin), sheet(context, origin)
    confirm(one)
    assert told(other) == ""
    other.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    hear(other, told(one))


@pytest.mark.parametrize(
    "fault",
    [
        "Object.defineProperty(window, 'indexedDB', {value: undefined})",
        "Object.defineProperty(window, 'indexedDB', {get() { throw new DOMException('no', 'SecurityError') }})",
        "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError') }",
    ],
)
def test_F12_without_a_store_it_works_for_the_page_and_says_that_it_is_not_kept(context, origin, fault):
    context.add_init_script(fault)
    page = sheet(context, origin)
    noise = errors_of(page)
    confirm(page)
    assert told(page).startswith("Confirmed: ")
    state = page.inner_text(f"{READY} [data-part=state]")
    assert state.startswith(
        "Not kept: this browser window has no store. It holds on this page until you leave it."
    )
    page.reload()
    page.wait_for_selector(READY)
    assert (told(page), noise) == ("", [])


def test_F54_on_a_full_phone_it_works_for_the_page_and_says_so(context, origin):
    page = context.new_page()
    cdp = context.new_cdp_session(page)
    page.goto(f"{origin}/en/help/")
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1})
    page.goto(f"{origin}/en/cautions/{SHEET}/")
    page.wait_for_selector(READY)
    confirm(page)
    assert "the phone has no room" in page.inner_text(f"{READY} [data-part=state]")
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": origin})


def test_without_scripts_nothing_is_said_of_confirming(chromium, origin):
    plain = chromium.new_context(java_script_enabled=False)
    page = plain.new_page()
    page.goto(f"{origin}/en/cautions/{SHEET}/")
    text = page.inner_text("main")
    assert (
        "Never" in text
        and "onfirm" not in text
        and "1 of 2" not in text
        and "Read this sheet aloud" not in text
    )
    plain.close()


def test_it_works_without_a_network_once_the_site_is_saved(phone, origin):
    page = phone.new_page()
    page.goto(f"{origin}/en/")
    page.wait_for_selector("[data-module=saved-status][data-state=saved]")
    phone.set_offline(True)
    page.goto(f"{origin}/en/cautions/{SHEET}/?job=gone")
    page.wait_for_selector(READY)
    confirm(page)
    assert in_force(page) == [SHEET]


# -- how it looks ------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("theme", ["light", "dark", "forced"])
def test_no_state_breaks_an_accessibility_rule(chromium, origin, theme):
    colours = {"forced_colors": "active"} if theme == "forced" else {"color_scheme": theme}
    context = phone_of(chromium, 390, 844, reduced_motion="reduce", **colours)
    page = sheet(context, origin)
    keep_job(page, "a1", "Injectors, left bank", is_used=True)
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    page.wait_for_selector("[data-part=card]")

    def at_the_top() -> list[str]:
        """Wherever else the page stands, its bar lies over something."""
        page.evaluate("scrollTo(0, 0)")
        return faults(page, forced_colours=theme == "forced")

    found = at_the_top()
    page.tap(FIRST)
    found += at_the_top()
    page.tap(SECOND)
    page.wait_for_selector(BACK)
    found += at_the_top()
    context.close()
    assert found == []


@pytest.mark.parametrize("text", ["100%", "200%"])
def test_F52_at_320_pixels_and_double_text_nothing_is_cut_and_every_control_can_be_hit(
    chromium, origin, text
):
    context = phone_of(chromium, 320, 568)
    page = sheet(context, origin)
    keep_job(page, "a1", "Einspritzventildurchflussmengenberechnung", is_used=True)
    page.reload()
    page.wait_for_selector(READY)
    page.evaluate("text => { document.documentElement.style.fontSize = text }", text)
    found = sticking_out(page)
    boxes = [
        page.locator(name).bounding_box()
        for name in (FIRST, SECOND, "[data-part=waits] a", "[data-part=card]")
    ]
    confirm(page)
    found += sticking_out(page)
    boxes.append(page.locator(BACK).bounding_box())
    context.close()
    assert found == []
    assert all(box and box["height"] >= 56 and box["width"] >= 200 for box in boxes)
