"""The main job from end to end: one visit with a network, then the phone alone, restarted, in a garage without a signal."""

from __future__ import annotations

from browser.stand_in import errors_of
from playwright.sync_api import Page

from webapp import create_app

STATUS = "[data-module=saved-status][data-state=saved]"
FLOW = ".slab-number"
LINK = "en/figures/injector-flow/?rated_flow=310+cc%2Fmin&rated_drop=3+bar&rail=43.5+psi&manifold=8+psi&utm_source=chat#x"


def test_a_restarted_phone_without_a_network_answers_a_shared_link_and_opens_every_caution(
    own_profile, server, book
):
    """310 cc/min at 3 bar behind 43.5 psi of rail and 8 psi of boost: 310 · √(35.5/43.511) = 280.0, by hand."""
    host = server(create_app(book=book))
    phone = own_profile()
    page = phone.new_page()
    page.goto(f"{host.origin}/")
    page.wait_for_selector(STATUS)
    phone.set_offline(True)
    host.down()
    phone.close()

    phone = own_profile()
    phone.set_offline(True)
    page = phone.new_page()
    errors, lost = errors_of(page), []
    page.on("requestfailed", lambda request: lost.append(request.url))
    page.goto(f"{host.origin}/")
    assert page.url == f"{host.origin}/en/"
    page.wait_for_selector(STATUS)
    page.goto(host.origin + "/" + LINK)
    page.wait_for_selector("[data-module=figure][data-started]")
    assert page.inner_text(FLOW).split()[:2] == ["280", "cc/min"]
    assert typed_digits_answer_at_once(page)
    for caution_id in book.cautions:
        page.goto(f"{host.origin}/en/cautions/{caution_id}/")
        assert page.inner_text("h1") == book.texts["en"]["cautions"][caution_id]["title"]
    page.goto(f"{host.origin}/en/emergency/")
    assert page.locator("a[href='tel:112']").count() > 0
    assert (errors, lost) == ([], [])


def typed_digits_answer_at_once(page: Page) -> bool:
    """The answer is another one in the very turn of the event that a key makes, before anything is awaited."""
    return page.evaluate(
        """() => {
          const field = document.querySelector('#take-manifold');
          const shown = () => document.querySelector('.slab-number').textContent;
          const before = shown();
          field.focus();
          field.value = '15';
          field.dispatchEvent(new InputEvent('input', {bubbles: true}));
          return shown() !== before && shown() !== '';
        }"""
    )
