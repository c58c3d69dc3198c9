"""Without a network the page 'If it goes wrong' is one tap away from what is not saved too."""

from __future__ import annotations

import pytest
from browser.faults import FaultyServer
from browser.patience import WAIT_MS

from webapp import create_app

SAVED = "[data-module=saved-status][data-state=saved]"


@pytest.fixture(scope="module")
def saved(chromium, book):
    """A phone that has saved the site and has no network now: (a window, the site's address)."""
    running = FaultyServer(create_app(book=book))
    context = chromium.new_context(viewport={"width": 320, "height": 568}, has_touch=True, is_mobile=True)
    context.set_default_timeout(WAIT_MS)
    page = context.new_page()
    page.goto(f"{running.origin}/en/")
    page.wait_for_selector(SAVED)
    context.set_offline(True)
    yield page, running.origin
    context.close()
    running.close()


@pytest.mark.parametrize("path", ["en/figures/no-such/", "en/a/b/c/d/", "nowhere/", "en/cautions/fire/"])
def test_one_tap_leads_there_from_any_address(saved, path):
    page, origin = saved
    page.goto(f"{origin}/{path}")
    page.tap(".sos")
    page.wait_for_url(f"{origin}/en/emergency/")
    assert page.locator(".six a").count() == 6
