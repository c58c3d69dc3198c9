"""The real app and its export, saved and opened without a network; what single faults do is told in the tests beside this one."""

from __future__ import annotations

import pytest
from browser.faults import abort, html_page, status
from browser.stand_in import errors_of
from bundle_list import saved_pages

from webapp import create_app
from webapp.book import Book
from webapp.site.export import export

STATUS = "[data-module=saved-status]"
NOTICE = "[data-module=update-notice]"
QUERY = "en/figures/injector-flow/?rail=43.5+psi&manifold=8+psi"


def newer(book):
    """The same content with another change list: another release."""
    other = Book.from_json(book.to_json())
    other.texts["en"]["changes"]["body"] = "<ul><li>A longer <b>bolt</b> table.</li></ul>"
    return other


def open_saved(page, address):
    page.goto(address)
    page.wait_for_selector(f"{STATUS}[data-state=saved]")


def answer_of(page):
    """What the Figure answers, as the page shows it."""
    page.wait_for_selector("[data-module=figure][data-started]")
    return page.inner_text("[data-part=slab-head]")


@pytest.fixture(params=["server", "export in a folder"])
def host(request, server, book, tmp_path):
    """(address of the site's root, the server, what makes it serve a newer release)."""
    if request.param == "server":
        running = server(create_app(book=book))
        return f"{running.origin}/", running, lambda: running.serve(create_app(book=newer(book)))
    folder = tmp_path / "club" / "tools"
    folder.parent.mkdir()
    export(book, folder, "/club/tools/")
    running = server(tmp_path)
    return f"{running.origin}/club/tools/", running, lambda: export(newer(book), folder, "/club/tools/")


def test_every_page_opens_without_a_network_after_one_visit(phone, host):
    """All are asked for as a page asks; two of each part, and every fifth of the rest, are opened and come to work."""
    root, running, _ = host
    page = phone.new_page()
    errors = errors_of(page)
    open_saved(page, f"{root}en/")
    assert "Saved on this phone, works offline version" in " ".join(page.inner_text(STATUS).split())
    page.goto(root + QUERY)
    online = answer_of(page)
    worker = page.request.get(f"{root}sw.js").text()
    running.down()
    pages = saved_pages(worker, "en")
    assert len(pages) > 100
    answers = page.evaluate(ASK, [root + path for path in pages])
    assert [answer for answer in answers if answer != [200, 1]] == []
    for path in some_of_each_part(pages):
        assert page.goto(root + path).status == 200
        assert page.locator("h1").count() == 1
        page.wait_for_selector("[data-module]:not([data-started])", state="detached")
    page.goto(root + QUERY)
    assert answer_of(page) == online
    page.wait_for_selector(f"{STATUS}[data-state=saved]")
    assert errors == []


# [status, number of main headings] of each address.
ASK = """(addresses) => Promise.all(addresses.map(async (address) => {
  const answer = await fetch(address);
  return [answer.status, (await answer.text()).split('<h1').length - 1];
}))"""


def some_of_each_part(pages):
    parts = [path.split("/")[1] for path in pages]
    return [path for n, path in enumerate(pages) if parts[:n].count(parts[n]) < 2 or n % 5 == 0]


def pack_of(app):
    """Path of the file that brings all pages at once, below the site's root."""
    return next(path for path in app.extensions["cowlside"].documents if "/pages." in path)


def test_the_pages_of_a_language_come_in_one_pack(phone, server, book):
    app = create_app(book=book)
    running = server(app)
    open_saved(phone.new_page(), f"{running.origin}/en/")
    asked = [request.path.lstrip("/") for request in running.log]
    assert asked.count(pack_of(app)) == 1
    assert [path for path in asked if path.startswith("en/figures/")] == []
    assert [path for path in asked if "/components/round-" in path or "uplot" in path] == []


def test_what_a_figure_s_script_draws_is_not_kept_and_yet_it_is_all_there_without_a_network(
    phone, server, book
):
    running = server(create_app(book=book))
    page = phone.new_page()
    figure = f"{running.origin}/en/figures/fuel-headroom/"
    open_saved(page, figure)
    online = unfolded(page)
    sent = page.request.get(figure).text()
    running.down()
    page.goto(figure)
    assert unfolded(page) == online
    kept = page.evaluate("fetch('./').then(answer => answer.text())")
    assert ['class="every"' in text for text in (sent, kept)] == [True, False]


def unfolded(page):
    """All that a Figure's page says with everything unfolded."""
    page.wait_for_selector("[data-module=figure][data-started]")
    for fold in page.query_selector_all("main details > summary"):
        if fold.is_visible():
            fold.click()
    page.wait_for_selector(".filled math")
    page.wait_for_selector("[data-part=sweep-tables] td")
    return page.inner_text("main")


@pytest.mark.parametrize("fault", [status(502), html_page(), abort])
def test_F09_where_the_pack_does_not_arrive_right_the_files_are_fetched_one_by_one(
    phone, server, book, fault
):
    app = create_app(book=book)
    running = server(app)
    running.rules["/" + pack_of(app)] = fault
    page = phone.new_page()
    open_saved(page, f"{running.origin}/en/")
    assert any(request.path.startswith("/en/figures/") for request in running.log)
    running.down()
    page.goto(f"{running.origin}/{QUERY}")
    assert "280" in answer_of(page)


def test_an_address_that_is_not_saved_gets_the_page_that_says_so_with_working_links(phone, host):
    root, running, _ = host
    page = phone.new_page()
    open_saved(page, f"{root}en/")
    running.down()
    assert page.goto(f"{root}en/figures/no/such/figure/").status == 503
    assert page.inner_text("h1") == "Not saved on this phone"
    page.wait_for_selector(f"{STATUS}[data-state=saved]")
    for link in page.eval_on_selector_all(
        "main a[href], header a[href]", "links => links.map(one => one.href)"
    ):
        if link != page.url:
            assert page.goto(link).status == 200
            page.goto(f"{root}en/figures/no/such/figure/")


def test_a_new_release_is_offered_with_its_news_but_not_into_a_number_being_typed(bare, host):
    root, _, update = host
    is_saved = f"document.querySelector('{STATUS}')?.dataset.state === 'saved'"
    release, notice = "document.documentElement.dataset.release", f"document.querySelector('{NOTICE}')"
    bare.goto(root + QUERY)
    bare.until(is_saved)
    old = bare.ask(release)
    update()
    bare.reload()
    bare.until(f"{notice}?.innerText.includes('A new version is ready.')")
    assert "A longer bolt table." in bare.ask(f"{notice}.innerText")
    bare.tap("document.querySelector('[name=rail]')")
    bare.until("document.documentElement.dataset.busy")
    assert bare.ask(f"{notice}.checkVisibility()") is False
    bare.tap("document.querySelector('[data-key=done]')")
    bare.tap_text("Use it now")
    bare.until(f"{release} && {release} !== '{old}'")
    bare.until(f"{notice}?.innerText.includes('This is the new version.')")
    bare.until(is_saved)
    bare.tap_text("What changed")
    bare.until("document.querySelector('main')?.innerText.includes('A longer bolt table.')")
    assert bare.noise == []
