"""Every page of the real app against the accessibility rules, in both themes and at the sizes that break pages (F65).

One browser window serves each test, and one test goes over all pages: a page takes about half a second.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from browser.axe import faults, sticking_out
from browser.faults import FaultyServer
from bundle_list import saved_pages
from playwright.sync_api import Browser, CDPSession, Page
from werkzeug.test import Client

from webapp import create_app

PHONE = {"width": 390, "height": 844}
NARROW = {"width": 320, "height": 568}
FIGURE, FINDER, KEPT = (f"[data-module={name}]" for name in ("figure", "finder", "kept-page"))
# States that the plain addresses do not show: solved for, refused, unreadable, unknown address.
STATES = (
    "en/figures/injector-flow/?solve=rail&flow=300+cc%2Fmin",
    "en/figures/injector-flow/?rail=10+psi&manifold=20+psi",
    "en/figures/injector-flow/?rail=a+lot",
    "en/figures/no-such-figure/",
    "en/figures/fuel-headroom/?held.blower_pulley=72+mm&blower_pulley=66+mm",
    "en/figures/fuel-headroom/?base=1+psi",
    "en/find/?q=inj",
    "en/find/?q=13+lb",
)
# One pad serves all Figures: besides the states above it is looked at on the one with the most inputs and two of other shapes.
OTHER_PADS = (
    "en/figures/fuel-headroom/",
    "en/figures/any-unit/",
    "en/figures/mixture/",
    "en/figures/injector-duty/",
)


@pytest.fixture(scope="module")
def origin() -> Iterator[str]:
    """Address of the real app."""
    running = FaultyServer(create_app())
    yield running.origin
    running.close()


@pytest.fixture(scope="module")
def paths() -> list[str]:
    """Every page that a phone saves, and the states beside them."""
    worker = Client(create_app()).get("/sw.js", headers={"Host": "localhost"}).text
    pages = saved_pages(worker, "en")
    assert {"en/", "en/emergency/", "en/figures/injector-flow/"} <= set(pages)
    return [*pages, *STATES]


@contextmanager
def window(chromium: Browser, **settings: Any) -> Iterator[Page]:
    """One window, without a service worker: each page comes from the server, in its newest form."""
    context = chromium.new_context(
        service_workers="block", has_touch=True, reduced_motion="reduce", **settings
    )
    yield context.new_page()
    context.close()


def open_all(page: Page) -> None:
    """Show what a press would show: what is folded away must keep the rules too."""
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true; })")


def settle(page: Page) -> None:
    """Wait until scripts have taken over: a page that still moves cannot be judged."""
    for started in (FIGURE, FINDER, KEPT):
        if page.locator(started).count():
            page.wait_for_selector(f"{started}[data-started]", state="attached")


def bring_up_the_pad(page: Page) -> None:
    """Edit the first number, as a thumb would."""
    page.wait_for_selector(f"{FIGURE}[data-started]")
    page.locator(f"{FIGURE} [data-row] input:visible").first.click()
    page.wait_for_selector("[data-part=dock]", state="visible")


def fail_on(found: dict[str, list[str]]) -> None:
    """Every fault on a line of its own, with its page."""
    lines = [f"{path}: {line}" for path, faults_there in found.items() for line in faults_there]
    if lines:
        pytest.fail("\n".join(lines), pytrace=False)


def in_both_themes(page: Page) -> list[str]:
    """All rules by day; by night those that look at colours, since nothing else changes."""
    page.emulate_media(color_scheme="light")
    by_day = faults(page)
    page.emulate_media(color_scheme="dark")
    return by_day + [f"by night: {line}" for line in faults(page, colours_only=True)]


def test_no_page_breaks_an_accessibility_rule_in_either_theme(chromium, origin, paths):
    found = {}
    with window(chromium, viewport=PHONE) as page:
        for path in paths:
            page.goto(f"{origin}/{path}")
            open_all(page)
            settle(page)
            found[path] = in_both_themes(page)
            if "injector-flow" in path or path in OTHER_PADS:
                bring_up_the_pad(page)
                found[f"{path} with the number pad"] = in_both_themes(page)
    fail_on(found)


def test_no_page_breaks_a_rule_in_forced_colours(chromium, origin, paths):
    chosen = [path for path in paths if path.count("/") <= 2 or "injector-flow" in path]
    found = {}
    with window(chromium, viewport=PHONE, forced_colors="active") as page:
        for path in chosen:
            page.goto(f"{origin}/{path}")
            found[path] = faults(page, forced_colours=True)
    fail_on(found)


def test_no_page_scrolls_sideways_on_the_narrowest_phone_or_with_text_at_twice_its_size(
    chromium, origin, paths
):
    """The size is the person's own setting of the browser's text, which is what rem units follow."""
    found = {}
    with window(chromium, viewport=NARROW) as page:
        devtools = page.context.new_cdp_session(page)
        for path in paths:
            page.goto(f"{origin}/{path}")
            open_all(page)
            found[path] = sticking_out(page)
            with large_text(page, devtools):
                size = page.evaluate("parseFloat(getComputedStyle(document.documentElement).fontSize)")
                large = [*sticking_out(page), *([] if size >= 32 else [f"text stays at {size} px"])]
                found[f"{path} with large text"] = large
            if page.locator(FIGURE).count():
                bring_up_the_pad(page)
                found[f"{path} with the number pad"] = sticking_out(page)
    fail_on(found)


@contextmanager
def large_text(page: Page, devtools: CDPSession) -> Iterator[None]:
    page.set_viewport_size(PHONE)
    devtools.send("Page.setFontSizes", {"fontSizes": {"standard": 32, "fixed": 26}})
    yield
    devtools.send("Page.setFontSizes", {"fontSizes": {"standard": 16, "fixed": 13}})
    page.set_viewport_size(NARROW)
