"""Every page of the real app against the accessibility rules, in both themes and at the sizes that break pages (F65).

One window goes once over all pages of a part of the site, and the tests say what was found there.
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
FIGURE = "[data-module=figure]"
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
    page.wait_for_selector("main [data-module]:not([data-started])", state="detached")


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


PARTS = ("figures", "cautions", "tables", "job", "")


@pytest.fixture(scope="module", params=PARTS, ids=lambda part: part or "the rest")
def found(
    request: pytest.FixtureRequest, chromium: Browser, origin: str, paths: list[str]
) -> dict[str, dict[str, list[str]]]:
    """What is wrong with each page of a part of the site: by what it was looked at for, by its path."""
    rules: dict[str, list[str]] = {}
    sideways: dict[str, list[str]] = {}
    with window(chromium, viewport=PHONE) as page:
        devtools = page.context.new_cdp_session(page)
        for path in paths:
            part = path.split("/")[1]
            if request.param != (part if part in PARTS else ""):
                continue
            page.goto(f"{origin}/{path}")
            open_all(page)
            settle(page)
            rules[path] = in_both_themes(page)
            page.set_viewport_size(NARROW)
            sideways[path] = sticking_out(page)
            sideways[f"{path} with large text"] = with_large_text(page, devtools)
            if page.locator(FIGURE).count():
                bring_up_the_pad(page)
                sideways[f"{path} with the number pad"] = sticking_out(page)
            page.set_viewport_size(PHONE)
            if "injector-flow" in path or path in OTHER_PADS:
                rules[f"{path} with the number pad"] = in_both_themes(page)
    assert len(rules) > 3
    return {"rules": rules, "sideways": sideways}


def test_no_page_breaks_an_accessibility_rule_in_either_theme(found):
    fail_on(found["rules"])


def test_F52_no_page_scrolls_sideways_or_is_cut_on_the_narrowest_phone_or_with_text_at_twice_its_size(found):
    """The size is the person's own setting of the browser's text, which is what rem units follow."""
    fail_on(found["sideways"])


def test_no_page_breaks_a_rule_in_forced_colours(chromium, origin, paths):
    chosen = [path for path in paths if path.count("/") <= 2 or "injector-flow" in path]
    found = {}
    with window(chromium, viewport=PHONE, forced_colors="active") as page:
        for path in chosen:
            page.goto(f"{origin}/{path}")
            found[path] = faults(page, forced_colours=True)
    fail_on(found)


def with_large_text(page: Page, devtools: CDPSession) -> list[str]:
    """What sticks out with text at twice its size on a narrow phone and on one of today's."""
    devtools.send("Page.setFontSizes", {"fontSizes": {"standard": 32, "fixed": 26}})
    size = page.evaluate("parseFloat(getComputedStyle(document.documentElement).fontSize)")
    found = [] if size >= 32 else [f"text stays at {size} px"]
    for viewport in (NARROW, PHONE):
        page.set_viewport_size(viewport)
        found += [f"{viewport['width']} px: {line}" for line in sticking_out(page)]
    devtools.send("Page.setFontSizes", {"fontSizes": {"standard": 16, "fixed": 13}})
    page.set_viewport_size(NARROW)
    return found
