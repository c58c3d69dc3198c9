"""The number pad: what each key does, in every field, by taps alone."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from browser.faults import FaultyServer
from browser.figure_driver import FigurePage
from browser.stand_in import until
from playwright.sync_api import Page

from webapp import create_app
from webapp.book import Book


@pytest.fixture(scope="module")
def origin(book: Book) -> Iterator[str]:
    """The real app, with a second language that writes a decimal comma."""
    both = Book.from_json(book.to_json())
    both.texts["de"] = copy.deepcopy(both.texts["en"])
    both.texts["de"]["decimal"] = ","
    running = FaultyServer(create_app(book=both))
    yield running.origin
    running.close()


def fields_below_nought(book: Book) -> list[tuple[str, str]]:
    """(figure, input) of a number of each kind and unit whose range goes below 0 in the unit it is first shown in."""
    units = book.units["units"]
    found = {
        (take.kind, take.unit): (figure.id, take.name)
        for figure in reversed(book.figures.values())
        for take in reversed(figure.takes)
        if take.is_numeric and take.low < units[take.unit]["offset"]
    }
    return list(found.values())


def test_F16_minus_a_half_can_be_tapped_into_every_sort_of_field_that_goes_below_nought(
    book: Book, window: Page, origin: str
) -> None:
    wanted = fields_below_nought(book)
    kinds = {book.figures[figure].take(name).kind for figure, name in wanted}
    assert kinds >= {"gauge pressure", "temperature", "altitude"}
    page = None
    for figure, name in wanted:
        if page is None or not page.address.endswith(f"/{figure}/"):
            page = FigurePage(window, origin, figure)
        page.edit(name)
        assert window.get_attribute(f"#take-{name}", "inputmode") == "none"
        page.keys("0", ".", "5", "sign")
        assert page.field(name) == "−0.5", (figure, name)
        assert not window.locator(f"#take-{name}-error").is_visible(), (figure, name)
        page.keys("done" if window.is_visible("[data-key=done]") else "next")


def test_the_sign_key_rests_where_a_number_cannot_be_negative(window: Page, origin: str) -> None:
    page = FigurePage(window, origin, "any-unit")
    page.edit("temperature")
    assert window.is_enabled("[data-key=sign]")
    page.unit("K")
    assert window.is_disabled("[data-key=sign]")
    page.edit("torque")
    assert window.is_disabled("[data-key=sign]")


def test_the_decimal_key_shows_and_types_the_mark_of_the_language(window: Page, origin: str) -> None:
    for lang, mark in (("en", "."), ("de", ",")):
        page = FigurePage(window, origin, lang=lang)
        page.edit("manifold")
        assert window.inner_text("[data-key=mark]") == mark
        page.keys("7", mark, "5")
        assert page.field("manifold") == f"7{mark}5"
        assert f"51{mark}71 kPa" in page.echo("manifold")


def test_the_first_digit_begins_a_new_number_and_the_other_keys_go_on_with_the_old_one(
    flow: FigurePage,
) -> None:
    for keys, left in ((("5",), "5"), (("delete",), "43."), (("fraction",), "43.5/"), (("mark", "5"), ".5")):
        flow.open()
        flow.edit("rail")
        flow.keys(*keys)
        assert flow.field("rail") == left


def test_a_mouse_means_the_whole_number_with_its_first_click_as_well(flow: FigurePage) -> None:
    """The row opens when the button is let go: a page that scrolled under a pressed button would leave a caret somewhere."""
    flow.page.click("#take-manifold")
    flow.keys("9")
    assert flow.field("manifold") == "9"
    flow.page.click("#take-manifold")
    flow.page.keyboard.press("End")
    flow.keys("5")
    assert flow.field("manifold") == "95"


def test_a_b_makes_a_fraction_and_pressed_again_a_mixed_number(flow: FigurePage) -> None:
    for keys, left, value in (
        (("1", "fraction", "8"), "1/8", "0.125"),
        (("1", "fraction", "1", "fraction", "8"), "1 1/8", "1.125"),
        (("1", "fraction", "fraction", "1", "fraction", "8"), "1 1/8", "1.125"),
    ):
        flow.open()
        flow.edit("manifold")
        flow.unit("bar")
        flow.edit("manifold")
        flow.page.keyboard.press("Control+a")
        flow.keys(*keys)
        assert flow.field("manifold") == left
        assert f"{float(value) * 100:g} kPa" in flow.echo("manifold")


def test_delete_takes_what_is_left_of_the_caret_and_the_sign_key_leaves_the_caret_where_it_is(
    flow: FigurePage,
) -> None:
    flow.edit("manifold")
    flow.keys("1", "2", "3")
    flow.page.keyboard.press("ArrowLeft")
    flow.keys("delete")
    assert flow.field("manifold") == "13"
    flow.keys("sign", "9")
    assert flow.field("manifold") == "−193"
    flow.keys("sign")
    assert flow.field("manifold") == "193"


def test_a_second_decimal_mark_in_the_same_number_is_one_tap_too_many(flow: FigurePage) -> None:
    flow.edit("manifold")
    flow.keys("1", ".", ".", "5", ".")
    assert flow.field("manifold") == "1.5"


def test_F49_two_quick_taps_are_two_digits_and_the_page_stays_at_its_size(flow: FigurePage) -> None:
    flow.edit("manifold")
    box = flow.box('[data-key="7"]')
    for _ in range(2):
        flow.page.touchscreen.tap(box["x"] + 20, box["y"] + 20)
    assert flow.field("manifold") == "77"
    assert flow.page.evaluate("visualViewport.scale") == 1


def test_a_key_takes_neither_the_focus_nor_the_caret(flow: FigurePage) -> None:
    flow.edit("rail")
    for key in ("4", "sign", "delete", "fraction"):
        if flow.page.is_enabled(f'[data-key="{key}"]'):
            flow.keys(key)
        assert flow.page.evaluate("document.activeElement.id") == "take-rail"


def test_choosing_a_unit_says_what_the_number_is_in_and_never_changes_it(flow: FigurePage) -> None:
    flow.edit("rail")
    flow.unit("bar")
    assert (flow.field("rail"), flow.beside("rail")) == ("43.5", "bar")
    assert "above" in flow.sentence()
    flow.edit("rail")
    flow.keys("3")
    assert (flow.field("rail"), flow.beside("rail"), flow.sentence()) == ("3", "bar", "")
    flow.unit("mmHg")
    assert (flow.field("rail"), flow.beside("rail")) == ("3", "mmHg")
    assert (
        flow.page.get_attribute('.unit-strip [aria-label="The number is in mmHg"]', "aria-pressed") == "true"
    )


def test_every_unit_of_a_kind_can_be_reached_without_a_swipe(book: Book, flow: FigurePage) -> None:
    flow.edit("rail")
    kinds, units = book.units["kinds"], book.units["units"]
    for unit in kinds["gauge pressure"]["units"]:
        flow.unit(units[unit]["symbol"])
        assert flow.beside("rail") == units[unit]["symbol"]
    flow.page.tap(".unit-strip .more")
    panel = flow.box(".unit-panel")
    for button in flow.page.locator(".unit-panel button").all():
        box = button.bounding_box()
        assert box and box["y"] + box["height"] <= panel["bottom"] + 1 and box["x"] + box["width"] <= 390
    flow.page.tap(".unit-strip .more")
    assert flow.page.is_visible('[data-key="7"]')


def test_next_goes_through_the_rows_and_the_last_one_is_done(flow: FigurePage) -> None:
    flow.edit("rated_flow")
    for name in ("rated_drop", "rail", "manifold"):
        flow.keys("next")
        assert flow.page.evaluate("document.activeElement.id") == f"take-{name}"
    assert flow.page.inner_text("[data-key=next]") == "done"
    flow.keys("next")
    assert flow.page.is_hidden(".dock")
    assert flow.page.get_attribute("html", "data-busy") is None


def test_find_this_asks_for_the_wanted_answer_and_finds_the_row(flow: FigurePage) -> None:
    flow.edit("rail")
    flow.keys("find")
    assert flow.page.evaluate("document.activeElement.id") == "take-flow"
    flow.keys("3", "0", "0")
    assert flow.answer() == "48.75 psi"
    assert flow.field("rail") == "48.75"
    assert flow.page.get_attribute("#take-rail", "readonly") is not None
    assert flow.page.inner_text("[data-part=what]") == "Rail pressure, found"
    # The found number goes on as if typed, and the row can be typed in again.
    flow.keys("done")
    flow.page.tap(".give-back")
    flow.keys("delete")
    assert (flow.field("rail"), flow.page.is_visible("#row-flow")) == ("48.7", False)


def test_a_wanted_answer_out_of_reach_gets_the_range_that_can_be_reached(flow: FigurePage) -> None:
    flow.edit("rail")
    flow.keys("find", "9", "9", "9", "9")
    assert flow.answer() == ""
    assert "No Rail pressure between" in flow.sentence() and "9999 cc/min" in flow.sentence()


def test_the_phones_own_keyboard_comes_when_called_and_goes_again(flow: FigurePage) -> None:
    flow.edit("rail")
    flow.keys("board")
    assert flow.page.get_attribute("#take-rail", "inputmode") == "text"
    assert flow.page.evaluate("document.activeElement.id") == "take-rail"
    assert flow.page.is_hidden(".pad")
    flow.page.keyboard.type("3 bar")
    assert (flow.field("rail"), flow.beside("rail")) == ("3 bar", "")
    flow.keys("board")
    assert flow.page.get_attribute("#take-rail", "inputmode") == "none"
    assert flow.page.is_visible(".pad")
    # Once the row is left, the unit stands beside the number.
    flow.edit("manifold")
    until(flow.page, "() => document.querySelector('#take-rail').value === '3'")
    assert (flow.field("rail"), flow.beside("rail")) == ("3", "bar")


def test_a_hardware_keyboard_types_goes_on_with_enter_and_closes_with_escape(flow: FigurePage) -> None:
    flow.edit("rail")
    flow.page.keyboard.type("50")
    assert flow.field("rail") == "50"
    flow.page.keyboard.press("Enter")
    assert flow.page.evaluate("document.activeElement.id") == "take-manifold"
    flow.page.keyboard.press("Escape")
    assert flow.page.is_hidden(".dock")
    flow.page.keyboard.type("6")
    assert flow.page.is_visible(".dock")


def test_a_curve_is_typed_point_by_point(book: Book, window: Page, origin: str) -> None:
    """Points are fields in two columns; the row's own text, which the address and the form know, follows them."""
    figure, curve = next(
        (one.id, take) for one in book.figures.values() for take in one.takes if take.type == "points"
    )
    page = FigurePage(window, origin, figure)
    before = page.field(curve.name)
    points = window.locator(f"#row-{curve.name} .points input")
    assert points.count() == 2 * len(curve.default) == 2 * (before.count(";") + 1)
    points.nth(1).tap()
    page.keys("7", "7", "next")
    assert page.field(curve.name).partition(";")[0] == before.partition(":")[0] + ": 77"
    assert points.nth(2).evaluate("field => field === document.activeElement")
    for field in (points.nth(2), points.nth(3)):
        field.fill("")
    assert page.field(curve.name).count(";") == before.count(";") - 1
    window.locator(f"#row-{curve.name} .points button").tap()
    assert points.count() == 2 * len(curve.default) + 2
    answer = page.answer() or page.sentence()
    page.settle()
    window.reload()
    window.wait_for_selector("[data-module=figure][data-started]")
    assert (page.answer() or page.sentence(), points.count()) == (answer, 2 * len(curve.default) - 2)


def test_the_pad_has_a_key_for_every_sign_of_a_number(window: Page, origin: str) -> None:
    FigurePage(window, origin).edit("rail")
    named: list[Any] = window.eval_on_selector_all(".pad button", "keys => keys.map(key => key.dataset.key)")
    assert sorted(named) == sorted([*"0123456789", "mark", "sign", "fraction", "delete", "done", "next"])
