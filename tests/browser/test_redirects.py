"""Addresses that hosts send on to their final form open from the copy, (field fault F06; in WebKitGTK: test_webkit.py)."""

from __future__ import annotations

from browser.stand_in import FIGURE, TYPED, open_saved, releases, stand_in

V1 = stand_in("v1")


def test_F06_each_form_of_an_address_opens_from_the_copy(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, host.origin)  # the first visit itself comes through a redirect
    host.down()
    for typed, final in TYPED.items():
        page.goto(f"{host.origin}/{typed}")
        assert page.inner_text("h1") == f"Page {final}"
        assert releases(page) == {"v1"}


def test_F06_what_was_typed_behind_the_address_stays(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.down()
    page.goto(f"{host.origin}/en/{FIGURE[:-1]}?rail=43.5+psi#kpa")
    assert page.url == f"{host.origin}/en/{FIGURE}?rail=43.5+psi#kpa"
    assert page.inner_text("#kpa") == "299.9 kPa"


def test_F06_the_first_folder_opens_in_a_saved_language_that_the_phone_speaks(chromium, server):
    host = server(stand_in("v1", ("en", "de", "fr")))
    for locale, saved, opened in (
        ("de-DE", ("en", "de"), "de"),
        ("fr-FR", ("en", "de"), "en"),
        ("en-GB", ("de",), "de"),
    ):
        context = chromium.new_context(locale=locale)
        page = context.new_page()
        for language in saved:
            open_saved(page, f"{host.origin}/{language}/")
        host.down()
        page.goto(host.origin)
        assert page.inner_text("h1") == f"Page {opened}/"
        host.up()
        context.close()
