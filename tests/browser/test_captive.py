"""A Wi-Fi with a login page, which answers everything: it is neither saved nor hidden (field fault F10)."""

from __future__ import annotations

import pytest
from browser.faults import html_page, moved
from browser.stand_in import FIGURE, copies, open_saved, releases, stand_in, until, wait_for

V1, V2 = stand_in("v1"), stand_in("v2")
LOGIN = "Please log in to the Wi-Fi"
UPDATE = "() => navigator.serviceWorker.ready.then(one => one.update()).then(() => 'looked', () => 'failed')"
WORKERS = """() => navigator.serviceWorker.getRegistration().then(one => [one.installing, one.waiting, one.active]
    .map(worker => worker && worker.state))"""


@pytest.fixture(params=["200 for everything", "302 to another host"])
def captive(request, server):
    """The rule of a Wi-Fi that is not logged in to."""
    if request.param.startswith("200"):
        return html_page()
    portal = server(V1)
    portal.rules["*"] = html_page()
    return moved(f"{portal.origin}/login")


def test_F10_the_saved_app_works_and_stays_what_it_was(phone, server, captive):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    host.rules["*"] = captive
    for path in ("en/", f"en/{FIGURE}", "en/help/"):
        page.goto(f"{host.origin}/{path}")
        assert releases(page) == {"v1"}
        assert wait_for(page, "saved").startswith("Saved on this phone")
    until(page, f"() => ({UPDATE})().then(looked => looked === 'failed')")
    assert page.evaluate(WORKERS) == [None, None, "activated"]
    assert copies(page) == ["cowlside:%2F:v1:en"]

    host.rules.clear()
    page.goto(f"{host.origin}/en/")
    page.click("text=Use it now")
    page.wait_for_selector("html[data-release=v2]")
    assert releases(page) == {"v2"}


def test_F10_the_login_page_can_be_reached(phone, server, captive):
    """An address that is not saved goes to the network, and what the network says is shown."""
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.rules["*"] = captive
    page.goto(f"{host.origin}/en/not-in-the-copy/")
    assert page.inner_text("h1") == LOGIN
    elsewhere = server(V1)
    elsewhere.rules["*"] = captive
    page.goto(elsewhere.origin)
    assert page.inner_text("h1") == LOGIN


def test_F10_a_first_visit_that_meets_the_login_half_way_saves_nothing_of_it(phone, server, captive):
    host = server(V1)
    host.rules["/s/v1/sound/*"] = captive
    page = phone.new_page()
    page.goto(f"{host.origin}/en/")
    assert "s/v1/sound/bell.wav did not arrive" in wait_for(page, "unsaved")
    assert copies(page) == []
    host.rules["*"] = captive
    page.goto(f"{host.origin}/en/")
    assert page.inner_text("h1") == LOGIN
    host.rules.clear()
    open_saved(page, f"{host.origin}/en/")
