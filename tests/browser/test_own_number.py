"""The emergency number of the place where somebody works: set once, then one tap away (field faults F12, F57)."""

from __future__ import annotations

import pytest
from browser.axe import faults, sticking_out
from browser.figure_driver import phone_of
from browser.stand_in import errors_of
from playwright.sync_api import BrowserContext, Page

FIELD, KEEP = "#own-number", "[data-module=own-number-form] button"
TOLD, FAULT = "[data-module=own-number-form] [data-part=told]", "#own-number-fault"
READY = "[data-module=own-number-form][data-started]"
LINK = ".call-own"


def emergency(context: BrowserContext, origin: str) -> Page:
    page = context.new_page()
    page.goto(f"{origin}/en/emergency/")
    page.wait_for_selector(READY)
    return page


def keep(page: Page, text: str) -> None:
    page.fill(FIELD, text)
    page.tap(KEEP)
    page.wait_for_function(
        "([told, fault]) => [told, fault].some(one => !/^$|^Not kept yet/.test(document.querySelector(one).textContent))",
        arg=[TOLD, FAULT],
    )


@pytest.mark.parametrize(
    ("text", "shown", "href"),
    [
        ("112", "112", "tel:112"),
        (" 0800  764 766 ", "0800 764 766", "tel:0800764766"),
        ("+353 1 809 2166", "+353 1 809 2166", "tel:+35318092166"),
        # RFC 3966 (from memory): '#' begins a fragment, so it is written %23 in an address.
        ("*21#", "*21#", "tel:*21%23"),
    ],
)
def test_a_number_is_kept_and_calls_with_one_tap(context, origin, text, shown, href):
    page = emergency(context, origin)
    noise = errors_of(page)
    assert page.locator(LINK).count() == 0
    keep(page, text)
    assert page.inner_text(TOLD) == f"Kept on this phone: {shown}. It stands first on this page."
    again = emergency(context, origin)
    link = again.locator(LINK)
    assert (link.get_attribute("href"), link.locator("b").inner_text()) == (href, f"Call {shown}")
    assert again.input_value(FIELD) == shown
    assert noise == []


def test_it_stands_first_and_largest_and_the_others_stay(context, origin, book):
    page = emergency(context, origin)
    before = page.locator(".call").all_inner_texts()
    keep(page, "0118 999")
    calls = page.locator(".call")
    assert calls.first.inner_text().startswith("Call 0118 999")
    assert calls.all_inner_texts()[1:] == before
    assert len(before) >= len(book.texts["en"]["emergency"]["numbers"])
    sizes = page.eval_on_selector_all(
        ".call b", "all => all.map(one => parseFloat(getComputedStyle(one).fontSize))"
    )
    assert sizes[0] > max(sizes[1:])
    boxes = [calls.nth(n).bounding_box() for n in range(calls.count())]
    assert all(box and boxes[0] and boxes[0]["width"] >= box["width"] for box in boxes)


def test_it_stands_in_the_part_if_it_goes_wrong_of_every_sheet(context, origin, book):
    page = emergency(context, origin)
    keep(page, "112")
    for sheet in book.cautions:
        page.goto(f"{origin}/en/cautions/{sheet}/")
        assert page.locator(f".part-goes-wrong {LINK}").get_attribute("href") == "tel:112", sheet


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("112a", "“112a” holds “a”, which a phone cannot dial. Write digits, +, *, # and spaces only."),
        ("0800-764-766", "“0800-764-766” holds “-”, which"),
        ("(01) 809", "holds “(”"),
        ("١١٢", "holds “١”"),
        ("<b>1</b>", "holds “<”"),
        ("🔥112", "holds “🔥”"),
        ("112 + 911", "“112 + 911” has a + after its beginning."),
        ("++112", "has a + after its beginning."),
        ("1", "“1” has fewer than two digits. Write the whole number, such as 112."),
        ("#*", "has fewer than two digits."),
        ("123456789012345678901", "has more than 20 digits. Write one number only."),
    ],
)
def test_what_cannot_be_called_gets_a_sentence_stands_as_typed_and_leaves_the_kept_one(
    context, origin, text, says
):
    page = emergency(context, origin)
    keep(page, "112")
    page.fill(FIELD, text)
    assert page.inner_text(TOLD) == "Not kept yet. Press “Keep this number”."
    page.press(FIELD, "Enter")
    assert says in page.inner_text(FAULT)
    assert page.input_value(FIELD) == text
    assert page.get_attribute(FIELD, "aria-invalid") == "true"
    assert page.evaluate("document.activeElement.id") == "own-number"
    assert page.get_attribute(LINK, "href") == "tel:112"
    page.fill(FIELD, "911")
    assert page.inner_text(FAULT) == ""
    assert page.get_attribute(FIELD, "aria-invalid") == "false"


def test_twenty_digits_are_taken(context, origin):
    page = emergency(context, origin)
    keep(page, "12345678901234567890")
    assert page.inner_text(FAULT) == ""


def test_it_can_be_emptied(context, origin):
    page = emergency(context, origin)
    keep(page, "112")
    keep(page, "  ")
    assert page.inner_text(TOLD) == "No number of your own is set. The others stand as before."
    assert page.locator(LINK).count() == 0
    again = emergency(context, origin)
    assert (again.locator(LINK).count(), again.input_value(FIELD)) == (0, "")


def test_F57_other_windows_follow_but_never_lose_what_is_being_typed(context, origin):
    one, other = emergency(context, origin), emergency(context, origin)
    sheet = context.new_page()
    sheet.goto(f"{origin}/en/cautions/fire/")
    sheet.wait_for_selector("[data-module=own-number][data-started]", state="attached")
    keep(one, "112")
    other.wait_for_selector(LINK)
    sheet.wait_for_selector(LINK)
    assert other.input_value(FIELD) == "112"
    other.fill(FIELD, "0118")
    keep(one, "911")
    other.wait_for_selector(f'{LINK}[href="tel:911"]')
    sheet.wait_for_selector(f'{LINK}[href="tel:911"]')
    assert other.input_value(FIELD) == "0118"
    keep(other, "0118")
    one.wait_for_selector(f'{LINK}[href="tel:0118"]')


@pytest.mark.parametrize(
    "fault",
    [
        "Object.defineProperty(window, 'indexedDB', {value: undefined})",
        "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError') }",
    ],
)
def test_F12_without_a_store_it_holds_on_the_page_and_says_that_it_is_not_kept(context, origin, fault):
    context.add_init_script(fault)
    page = emergency(context, origin)
    noise = errors_of(page)
    keep(page, "112")
    assert page.inner_text(TOLD).startswith("Not kept: this browser window has no store.")
    assert page.get_attribute(LINK, "href") == "tel:112"
    sheet = context.new_page()
    sheet.goto(f"{origin}/en/cautions/fire/")
    sheet.wait_for_selector("[data-module=own-number][data-started]", state="attached")
    assert (sheet.locator(LINK).count(), noise) == (0, [])


def test_without_scripts_the_listed_numbers_are_all_there_is(chromium, origin):
    plain = chromium.new_context(java_script_enabled=False)
    page = plain.new_page()
    page.goto(f"{origin}/en/emergency/")
    assert not page.locator(FIELD).is_visible()
    assert page.locator(".call").first.get_attribute("href") == "tel:112"
    plain.close()


@pytest.mark.parametrize("theme", ["light", "dark", "forced"])
def test_neither_a_kept_number_nor_a_fault_breaks_an_accessibility_rule(chromium, origin, theme):
    colours = {"forced_colors": "active"} if theme == "forced" else {"color_scheme": theme}
    context = phone_of(chromium, 390, 844, reduced_motion="reduce", **colours)
    page = emergency(context, origin)
    keep(page, "0800 764 767")
    page.fill(FIELD, "a lot")
    page.press(FIELD, "Enter")
    page.evaluate("scrollTo(0, 0)")
    found = faults(page, forced_colours=theme == "forced")
    page.goto(f"{origin}/en/cautions/fire/")
    page.wait_for_selector(LINK)
    found += faults(page, forced_colours=theme == "forced")
    context.close()
    assert found == []


@pytest.mark.parametrize("text", ["100%", "200%"])
def test_F52_a_long_number_is_whole_at_320_pixels_and_double_text(chromium, origin, text):
    context = phone_of(chromium, 320, 568)
    page = emergency(context, origin)
    keep(page, "12345678901234567890")
    found = []
    for path in ("emergency/", "cautions/fire/"):
        page.goto(f"{origin}/en/{path}")
        page.wait_for_selector(LINK)
        page.evaluate("text => { document.documentElement.style.fontSize = text }", text)
        found += sticking_out(page)
        box = page.locator(LINK).bounding_box()
        assert box and box["height"] >= 56 and box["x"] + box["width"] <= 320
    context.close()
    assert found == []
