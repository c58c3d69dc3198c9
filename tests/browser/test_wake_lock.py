"""The screen stays on by choice while a round is open, and what is said of it is true (field fault F47). The phone is a stand-in."""

from __future__ import annotations

from typing import Any

from browser import round_driver as work
from browser.stand_in import errors_of
from playwright.sync_api import BrowserContext, Page

# Counts what is asked for; `deny` makes the phone say no, `look` turns the page out of sight and back.
STAND_IN = """
window.asked = 0; window.deny = false; window.locks = []; window.sight = 'visible';
Object.defineProperty(Document.prototype, 'visibilityState', {get: () => window.sight});
Object.defineProperty(Navigator.prototype, 'wakeLock', {value: {request: async type => {
  window.asked += 1;
  if (window.deny || type !== 'screen') throw new DOMException('no', 'NotAllowedError');
  const lock = new EventTarget();
  lock.released = false;
  lock.release = async () => { if (!lock.released) { lock.released = true; lock.dispatchEvent(new Event('release')) } };
  window.locks.push(lock);
  return lock;
}}});
window.look = sight => {
  window.sight = sight;
  if (sight === 'hidden') window.locks.forEach(lock => lock.release());
  document.dispatchEvent(new Event('visibilitychange'));
};
"""
TOGGLE, SAID = ".wake button", ".wake p"
ROUND = "job=a-1&pattern=rows&across=2&down=1&torque=20+N·m"


def round_page(context: BrowserContext, origin: str, stand_in: str = STAND_IN) -> Page:
    context.add_init_script(stand_in)
    page = context.new_page()
    page.goto(f"{origin}/en/job/")
    work.make_card(page)
    work.open_setup(page, origin, ROUND)
    work.begin(page)
    return page


def held(page: Page) -> int:
    count: int = page.evaluate("locks.filter(lock => !lock.released).length")
    return count


def said(page: Page, text: str) -> None:
    """Wait for what the line says."""
    page.wait_for_function("([line, text]) => document.querySelector(line)?.textContent === text", arg=[SAID, text])  # fmt: skip


def words(page: Page) -> Any:
    return page.evaluate(
        "async () => (await import(`/s/${document.documentElement.dataset.release}/js/further-words.en.js`)).WORDS"
    )


def test_nothing_is_asked_for_before_the_person_chooses_it(context, origin):
    page = round_page(context, origin)
    assert page.evaluate("asked") == 0 and page.inner_text(SAID) == ""
    page.tap(TOGGLE)
    said(page, "Screen stays on.")
    assert page.get_attribute(TOGGLE, "aria-pressed") == "true" and held(page) == 1


def test_F47_it_is_asked_for_again_at_each_return_and_said_only_while_held(context, origin):
    page = round_page(context, origin)
    page.tap(TOGGLE)
    said(page, "Screen stays on.")
    for turn in range(2, 5):
        page.evaluate("look('hidden')")
        said(page, words(page)["wake_waiting"])
        assert held(page) == 0
        page.evaluate("look('visible')")
        said(page, "Screen stays on.")
        assert page.evaluate("asked") == turn and held(page) == 1


def test_F47_when_the_phone_takes_it_away_the_line_no_longer_says_so(context, origin):
    page = round_page(context, origin)
    page.tap(TOGGLE)
    said(page, "Screen stays on.")
    page.evaluate("locks.at(-1).release()")
    said(page, words(page)["wake_waiting"])
    assert page.evaluate("asked") == 1


def test_F47_a_refusal_is_told_and_not_asked_again_until_the_next_return(context, origin):
    page = round_page(context, origin)
    noise = errors_of(page)
    page.evaluate("window.deny = true")
    page.tap(TOGGLE)
    said(page, words(page)["wake_refused"])
    work.mark(page, 2)  # whatever is done on the page meanwhile
    assert page.evaluate("asked") == 1 and held(page) == 0
    page.evaluate("window.deny = false; look('hidden'); look('visible')")
    said(page, "Screen stays on.")
    assert page.evaluate("asked") == 2
    assert noise == []


def test_it_is_let_go_with_the_round_and_by_choice(context, origin):
    page = round_page(context, origin)
    page.tap(TOGGLE)
    said(page, "Screen stays on.")
    page.tap(TOGGLE)
    said(page, "")
    assert held(page) == 0
    page.tap(TOGGLE)
    said(page, "Screen stays on.")
    work.mark(page, 7)
    assert held(page) == 1
    work.rested(page)
    page.tap(work.MARK)
    page.wait_for_selector(".round-which:text('All done and checked')")
    said(page, "")
    assert held(page) == 0


def test_the_choice_is_remembered_for_the_next_round(context, origin):
    page = round_page(context, origin)
    page.tap(TOGGLE)
    said(page, "Screen stays on.")
    # The lock does not wait for the store: read behind the write.
    assert page.evaluate(f"async () => ({work.LIB % 'store'}).read('kept', 'screen')") == {"on": True}
    page.reload()
    said(page, "Screen stays on.")
    assert page.get_attribute(TOGGLE, "aria-pressed") == "true" and held(page) == 1


def test_a_browser_that_cannot_says_so_and_offers_nothing(context, origin):
    page = round_page(context, origin, "delete Navigator.prototype.wakeLock")
    said(page, words(page)["wake_none"])
    assert not page.is_visible(TOGGLE)
    assert "screen time in the phone itself" in page.inner_text(SAID)
