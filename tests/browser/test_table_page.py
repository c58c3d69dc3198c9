"""A table in the hand: narrow phone, large thumb, a row led to by a link, and one tap from a row to its Figure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from browser.figure_driver import phone_of
from playwright.sync_api import Browser, Page

from webapp import create_app
from webapp.book import Book

NARROW = (320, 568)
# Head of the frame, each row's name, and the controls: [what is wrong with it]
FAULTS = """() => { const found = [], frame = document.querySelector('.rows');
const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
if (document.documentElement.scrollWidth > innerWidth) found.push('the page scrolls sideways');
if (frame.tabIndex !== 0 || frame.getAttribute('role') !== 'region') found.push('the frame takes no focus');
for (const head of frame.querySelectorAll('tbody th')) {
  if (head.getBoundingClientRect().width < 6.5 * rem) found.push(`narrow name: ${head.textContent}`);
}
for (const cell of frame.querySelectorAll('.words > span')) {
  if (cell.getBoundingClientRect().width > 9 * rem + 1) found.push(`wide words: ${cell.textContent}`);
}
const uses = [...frame.querySelectorAll('tbody .use')];
for (const use of uses) {
  const box = use.getBoundingClientRect(), edge = frame.getBoundingClientRect();
  if (box.height < 56) found.push(`low: ${use.textContent} ${box.height}`);
  if (box.left < edge.left || box.right > edge.right) found.push(`out of reach: ${use.textContent}`);
}
const [head] = frame.querySelectorAll('thead');
if (head.getBoundingClientRect().height > frame.clientHeight / 2) found.push('the head fills the frame');
return [found, uses.length] }"""


@pytest.fixture(scope="module")
def narrow(chromium: Browser) -> Iterator[Page]:
    context = phone_of(chromium, *NARROW)
    yield context.new_page()
    context.close()


@pytest.fixture
def plain(chromium: Browser) -> Iterator[Page]:
    """A phone without scripts."""
    context = phone_of(chromium, *NARROW, java_script_enabled=False)
    yield context.new_page()
    context.close()


def place(page: Page, selector: str) -> dict[str, float]:
    box = page.locator(selector).first.bounding_box()
    assert box
    return {"top": box["y"], "bottom": box["y"] + box["height"], "left": box["x"]}


def labels(page: Page) -> list[str]:
    return page.locator("tbody th").all_inner_texts()


def test_every_table_is_read_and_used_with_one_thumb_at_320_pixels(
    narrow: Page, origin: str, book: Book
) -> None:
    for name, table in book.tables.items():
        narrow.goto(f"{origin}/en/tables/{name}/")
        faults, uses = narrow.evaluate(FAULTS)
        assert faults == [], name
        assert bool(uses) == bool(table["feeds"]), name


@pytest.mark.parametrize(
    ("table", "row"),
    [("all-threads", "m10"), ("inch-drills", "letter-h"), ("fuels", "lpg"), ("wire-sizes", "awg-4")],
)
def test_a_row_that_a_link_leads_to_is_in_sight_and_marked(
    narrow: Page, origin: str, table: str, row: str
) -> None:
    narrow.goto("about:blank")
    narrow.goto(f"{origin}/en/tables/{table}/#row-{row}")
    narrow.wait_for_function("document.querySelector('tbody:target')")
    name, head = place(narrow, "tbody:target th"), place(narrow, "thead th")
    # Below the head of the table and the bar of the page, and wholly in the window.
    assert name["top"] >= max(head["bottom"], place(narrow, ".bar")["bottom"]) - 1
    assert name["bottom"] <= NARROW[1]
    # Not by colour alone: a mark before the name and a bar beside it.
    mark = "getComputedStyle(document.querySelector('tbody:target th'), '::before').content"
    assert "▶" in narrow.evaluate(mark)
    assert "inset" in narrow.evaluate("getComputedStyle(document.querySelector('tbody:target th')).boxShadow")


def test_the_frame_scrolls_sideways_and_the_row_stays_named(narrow: Page, origin: str) -> None:
    narrow.goto(f"{origin}/en/tables/wire-sizes/")
    before = place(narrow, "tbody th")["left"]
    narrow.evaluate("document.querySelector('.rows').scrollLeft = 400")
    assert narrow.evaluate("document.querySelector('.rows').scrollLeft") > 100
    assert place(narrow, "tbody th")["left"] == pytest.approx(before)
    assert place(narrow, ".uses .use")["left"] >= before


@pytest.mark.parametrize("scripted", [True, False])
def test_one_tap_puts_a_row_into_its_figure(narrow: Page, plain: Page, origin: str, scripted: bool) -> None:
    page = narrow if scripted else plain
    page.goto(f"{origin}/en/tables/metric-threads/#row-m10")
    page.locator("#row-m10 .use").first.click()
    page.wait_for_url("**/figures/clamp-load/?thread=m10")
    assert page.locator("select[name=thread]").input_value() == "m10"
    page.goto(f"{origin}/en/tables/blade-fuses/")
    page.locator("#row-f-15 .use").click()
    page.wait_for_url("**/figures/fuse-check/?fuse=15%20A")
    assert page.locator("input[name=fuse]").input_value().startswith("15")


def test_a_saved_table_puts_its_rows_into_figures_and_sorts_without_a_network(
    phone: Any, server: Any, book: Book
) -> None:
    running = server(create_app(book=book))
    page = phone.new_page()
    page.goto(f"{running.origin}/en/")
    page.wait_for_selector("[data-module=saved-status][data-state=saved]")
    running.down()
    page.goto(f"{running.origin}/en/tables/wire-sizes/#row-awg-10")
    page.get_by_role("button", name="Copper").click()
    assert labels(page)[0] == "AWG 22"
    page.locator("#row-awg-10 .use").first.click()
    page.wait_for_selector("[data-module=figure][data-started]")
    assert page.locator("select[name=wire]").input_value() == "awg-10"


def test_sorting_goes_up_down_and_back_to_the_files_order(narrow: Page, origin: str) -> None:
    narrow.goto(f"{origin}/en/tables/wire-sizes/")
    button = narrow.get_by_role("button", name="Copper")
    button.wait_for()
    box = button.bounding_box()
    assert box and box["height"] >= 56
    own = labels(narrow)
    head = narrow.locator("th[data-sort=area]")
    for way, first, last in (("ascending", "AWG 22", "25 mm²"), ("descending", "25 mm²", "AWG 22")):
        button.click()
        assert head.get_attribute("aria-sort") == way
        assert (labels(narrow)[0], labels(narrow)[-1]) == (first, last)
    button.click()
    assert head.get_attribute("aria-sort") is None
    assert labels(narrow) == own


def test_only_one_column_is_sorted_by_and_blanks_stand_last(narrow: Page, origin: str) -> None:
    narrow.goto(f"{origin}/en/tables/all-threads/")
    narrow.get_by_role("button", name="Pitch").click()
    narrow.get_by_role("button", name="Bolt outside").click()
    assert narrow.locator("[aria-sort]").count() == 1
    assert labels(narrow)[0] == "#4-40 UNC" or labels(narrow)[0].startswith("#4")


def test_without_scripts_the_order_is_the_files_and_nothing_offers_to_sort(
    plain: Page, origin: str, book: Book
) -> None:
    plain.goto(f"{origin}/en/tables/wire-sizes/")
    assert plain.locator(".sort").count() == 0
    assert labels(plain) == [
        book.texts["en"]["row_labels"]["wire-sizes"][row] for row in book.tables["wire-sizes"]["rows"]
    ]


def test_large_text_leaves_room_for_the_numbers(chromium: Browser, origin: str) -> None:
    context: Any = phone_of(chromium, *NARROW)
    page = context.new_page()
    page.goto(f"{origin}/en/tables/fuels/")
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    context.close()
