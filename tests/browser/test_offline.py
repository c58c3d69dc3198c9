"""Saving, reading back and answering without a network. Numbers F.. are those of the field faults that each test is about."""

from __future__ import annotations

import pytest
from browser.faults import GARAGE, abort, answer, html_page, moved, stall, status
from browser.patience import AT_ONCE_MS
from browser.stand_in import (
    BELL,
    FIGURE,
    copies,
    entered_before,
    errors_of,
    open_saved,
    releases,
    stand_in,
    throw_away,
    wait_for,
    wait_for_text,
)
from playwright.sync_api import Error

V1, V2 = stand_in("v1"), stand_in("v2")
IMPATIENT = stand_in("v1", patience_seconds=1)
MAIN_SCRIPT, STYLE, WORDS = "/s/v1/js/main.js", "/s/v1/css/base.css", "/s/v1/js/words.en.js"
ICON, MANIFEST, PAGE = "/s/v1/icons/tag-512.png", "/en/manifest.webmanifest", f"/en/{FIGURE}"
BELL_PATH = "/s/v1/sound/bell.wav"  # nothing on the pages asks for it: only the worker does
COPY = "cowlside:%2F:v1:en"
SAVED = "Saved on this phone, works offline version Nov 25, 2026"


def test_a_first_visit_saves_the_site_and_says_so(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    assert page.inner_text("#status") == SAVED
    assert copies(page) == [COPY]
    host.down()
    for path in ("en/", "en/figures/", f"en/{FIGURE}", "en/help/changes/"):
        page.goto(f"{host.origin}/{path}")
        assert releases(page) == {"v1"}
        assert page.inner_text("h1") == f"Page {path}"
        assert wait_for(page, "saved") == SAVED


@pytest.mark.parametrize(
    ("fault", "why"),
    [(status(404), "the server said 404"), (abort, "no answer"), (moved("/en/"), "another address")],
)
def test_F04_one_missing_file_saves_nothing_and_is_named(phone, server, fault, why):
    host = server(V1)
    host.rules[BELL_PATH] = fault
    page = phone.new_page()
    page.goto(f"{host.origin}{PAGE}?rail=43.5")
    said = wait_for(page, "unsaved")
    assert "Not saved yet: s/v1/sound/bell.wav did not arrive" in said
    assert why in said
    assert page.inner_text("#kpa") == "299.9 kPa"
    assert copies(page) == []
    host.rules.clear()
    page.goto(f"{host.origin}/en/")
    assert wait_for(page, "saved") == SAVED


def test_F02_a_file_of_another_version_is_not_saved(phone, server):
    """Right address, status and type; only the bytes are those of another deployment."""
    host = server(V1)
    host.rules["/s/v1/js/main.js"] = after_the_page(answer(b"export const old = true;", "text/javascript"))
    page = phone.new_page()
    page.goto(f"{host.origin}/en/")
    said = wait_for(page, "unsaved")
    assert "s/v1/js/main.js did not arrive (it is not the file of this version)" in said
    assert copies(page) == []


def test_F04_one_lost_answer_is_asked_for_again(phone, server):
    """A single dropped connection among dozens of files is no reason to begin all over."""
    host = server(V1)
    lost = []

    def once(call):
        lost.append(call.env["PATH_INFO"])
        return abort(call) if len(lost) == 1 else call.app(call.env, call.start)

    host.rules["/s/v1/*/bell.wav"] = once
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    assert lost == [BELL_PATH] * 2


def test_F04_after_a_failed_save_no_half_app_is_shown_without_a_network(phone, server):
    host = server(V1)
    host.rules[BELL_PATH] = status(404)
    page = phone.new_page()
    page.goto(f"{host.origin}/en/")
    wait_for(page, "unsaved")
    host.down()
    with pytest.raises(Error, match="ERR_CONNECTION_REFUSED"):
        page.goto(f"{host.origin}/en/")


def test_F05_saved_is_not_said_while_the_last_file_is_missing(phone, server):
    host = server(IMPATIENT)
    host.rules[BELL_PATH] = stall
    page = phone.new_page()
    page.goto(f"{host.origin}/en/")
    wanted = len(V1.files)
    assert wait_for_text(page, f"{wanted - 1} of {wanted} files").startswith("Saving on this phone")
    assert copies(page) == []
    assert "the signal is too slow" in wait_for(page, "unsaved")
    assert copies(page) == []


def test_F05_a_file_that_the_phone_threw_away_is_noticed_and_fetched_again(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    throw_away(phone, page, COPY, BELL_PATH)
    host.down()
    page.goto(f"{host.origin}/en/help/")
    wanted = len(V1.files)
    assert wait_for(page, "damaged").startswith(f"The saved copy is damaged: 1 of {wanted} files")
    assert page.inner_text("h1") == "Page en/help/"
    host.up()
    page.goto(f"{host.origin}/en/help/")
    assert wait_for(page, "saved") == SAVED
    assert host.asked(BELL_PATH)[1:] == [BELL_PATH]


def test_F05_a_file_whose_bytes_changed_is_noticed_and_fetched_again(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    page.evaluate("name => caches.open(name).then(copy => copy.put('/en/help/', new Response('half')))", COPY)
    host.down()
    page.reload()
    assert "1 of" in wait_for(page, "damaged")
    host.up()
    page.reload()
    assert wait_for(page, "saved") == SAVED
    assert host.asked("/en/help/*") == ["/en/help/", "/en/help/changes/", "/en/help/"]


def test_F05_an_empty_cache_of_the_right_name_is_not_called_saved(phone, server):
    host = server(V1)
    host.rules[BELL_PATH] = status(503)
    page = phone.new_page()
    page.goto(f"{host.origin}/en/")
    wait_for(page, "unsaved")
    page.evaluate("caches.open('cowlside:%2F:v1:en')")
    page.reload()
    wait_for(page, "unsaved")
    assert page.evaluate("caches.match('/en/')") is None


def test_F05_the_remains_of_a_killed_save_are_never_served(phone, server):
    """What was written before the kill is there, the mark that ends a copy is not."""
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    throw_away(phone, page, COPY, "/whole-copy")
    host.rules["*"] = status(503)
    phone.service_workers[0].evaluate("opened.clear()")  # a worker that wakes up remembers nothing
    assert page.goto(f"{host.origin}/en/").status == 503
    host.rules.clear()
    page.goto(f"{host.origin}/en/")
    assert wait_for(page, "saved") == SAVED


DEEP_LINKS = {
    "?rail=43.5": "299.9 kPa",
    "?rail=43.5+psi": "299.9 kPa",
    "?rail=43.5&utm_source=chat&fbclid=IwAR0": "299.9 kPa",
    "?rail=43.5&rail=8": "299.9 kPa",
    "?rail=": "Type a number.",
    f"?rail={'9' * 6000}x": "Type a number.",
    "?rail=43.5#kpa": "299.9 kPa",
}


def test_F07_shared_links_open_from_the_copy(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/?from=home-screen")
    host.down()
    for query, shown in DEEP_LINKS.items():
        page.goto(f"{host.origin}{PAGE}{query}")
        assert releases(page) == {"v1"}
        assert page.inner_text("#kpa") == shown
    page.goto(f"{host.origin}/en/?from=home-screen")
    assert page.inner_text("h1") == "Page en/"


def test_F08_a_site_in_a_folder_of_a_host_with_another_worker(phone, server, tmp_path):
    """The host's own app has a worker and a cache at its root; neither may be touched, and nothing asked
    for outside our folder.
    """
    folder = tmp_path / "club" / "tools"
    V1.write_to(folder)
    (tmp_path / "index.html").write_text(
        "<!doctype html><title>Club</title><script>const ready = caches.open('club').then(() =>"
        "navigator.serviceWorker.register('/club-worker.js')).then(() => navigator.serviceWorker.ready).then(() => true)</script>"
    )
    (tmp_path / "club-worker.js").write_text("addEventListener('fetch', () => {});")
    host = server(tmp_path)
    page = phone.new_page()
    page.goto(f"{host.origin}/")
    assert page.evaluate("ready")
    host.log.clear()
    home = f"{host.origin}/club/tools/"
    open_saved(page, f"{home}en/?from=home-screen")
    assert sorted(copies(page)) == ["club", "cowlside:%2Fclub%2Ftools%2F:v1:en"]

    host.down()
    page.goto(f"{home}en/{FIGURE}?rail=43.5")
    assert page.inner_text("#kpa") == "299.9 kPa"
    host.up()

    V2.write_to(folder)
    page.goto(f"{home}en/")
    page.click("text=Use it now")
    page.wait_for_selector("html[data-release=v2]")
    wait_for(page, "saved")
    assert releases(page) == {"v2"}
    assert sorted(copies(page)) == ["club", "cowlside:%2Fclub%2Ftools%2F:v2:en"]
    outside = {path for path in host.asked() if not path.startswith("/club/tools/")}
    assert outside <= {"/club-worker.js"}  # which the browser itself looks at now and then


def test_F08_two_copies_of_the_app_on_one_host_leave_each_other_alone(phone, server, tmp_path):
    V1.write_to(tmp_path / "a")
    V1.write_to(tmp_path / "a" / "b")
    host = server(tmp_path)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/a/b/en/")
    open_saved(page, f"{host.origin}/a/en/")
    V2.write_to(tmp_path / "a")
    page.reload()
    page.click("text=Use it now")
    page.wait_for_selector("html[data-release=v2]")
    assert sorted(copies(page)) == ["cowlside:%2Fa%2F:v2:en", "cowlside:%2Fa%2Fb%2F:v1:en"]


SERVER_FAULTS = {
    "500": status(500),
    "502": status(502),
    "503": status(503),
    "504": status(504),
    "200 with HTML": html_page(),
}


@pytest.mark.parametrize("fault", SERVER_FAULTS)
def test_F09_a_broken_answer_is_never_saved_for_any_kind_of_file(phone, server, fault):
    """One kind of file after the other goes wrong behind the page, as a deployment does it: first visit, no copy yet."""
    host = server(V1)
    page = phone.new_page()
    for path in (PAGE, MANIFEST, ICON, BELL_PATH, "/s/v1/js/words.en.js"):
        host.rules = {path: after_the_page(SERVER_FAULTS[fault])}
        page.goto(f"{host.origin}/en/")
        assert path[1:] in wait_for(page, "unsaved")
        assert copies(page) == []
    host.rules.clear()
    page.goto(f"{host.origin}/en/")
    wait_for(page, "saved")
    host.down()
    page.goto(f"{host.origin}{PAGE}")
    assert releases(page) == {"v1"}


def test_F11_a_saved_app_opens_though_the_server_never_answers(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.rules["*"] = stall
    for path in ("/", "/en/", "/en/figures/", PAGE):
        page.goto(f"{host.origin}{path}", timeout=AT_ONCE_MS, wait_until="domcontentloaded")
        page.wait_for_selector("body[data-figures]", timeout=AT_ONCE_MS)
        assert wait_for(page, "saved") == SAVED


def test_F11_an_address_outside_the_copy_gets_a_sentence_in_time(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.rules["*"] = stall
    sent = page.goto(f"{host.origin}/en/figures/not-there/")
    assert sent.status == 503
    assert page.inner_text("h1") == "Page en/offline/"


def test_F11_a_first_visit_says_a_sentence_while_the_files_hang(phone, server):
    host = server(V1)
    host.rules[BELL_PATH] = stall
    page = phone.new_page()
    page.goto(f"{host.origin}/en/")
    page.wait_for_function("() => document.querySelector('#status').textContent.startsWith('Saving')")
    assert page.inner_text("#kpa") == "Type a number."


REFUSE = "() => { throw new DOMException('no', 'SecurityError') }"
LOST = {
    "no worker": "delete Navigator.prototype.serviceWorker",
    "reading it throws": f"Object.defineProperty(Navigator.prototype, 'serviceWorker', {{get: {REFUSE}}})",
    "registering is refused": f"ServiceWorkerContainer.prototype.register = async {REFUSE}",
    "registering throws": f"ServiceWorkerContainer.prototype.register = {REFUSE}",
    "no register": "ServiceWorkerContainer.prototype.register = undefined",
    "asking is refused": f"ServiceWorkerContainer.prototype.getRegistration = async {REFUSE}",
}
LESS = {
    "no caches": "delete window.caches",
    "no database": "delete window.indexedDB",
    "no locks": "delete Navigator.prototype.locks",
    "no storage manager": "delete Navigator.prototype.storage",
    "storage throws": f"Object.defineProperty(window, 'sessionStorage', {{get: {REFUSE}}})",
}


@pytest.mark.parametrize("script", LOST)
def test_F12_without_a_worker_the_page_computes_and_says_what_is_lost(phone, server, script):
    host = server(V1)
    phone.add_init_script(LOST[script])
    page = phone.new_page()
    errors = errors_of(page)
    page.goto(f"{host.origin}{PAGE}?rail=43.5")
    assert wait_for(page, "impossible") == "Not kept on this phone: this browser window does not allow it."
    assert page.inner_text("#kpa") == "299.9 kPa"
    assert errors == []


@pytest.mark.parametrize("script", LESS)
def test_F12_what_a_window_lacks_besides_does_not_stop_saving(phone, server, script):
    host = server(V1)
    phone.add_init_script(LESS[script])
    page = phone.new_page()
    errors = errors_of(page)
    page.goto(f"{host.origin}{PAGE}?rail=43.5")
    assert wait_for(page, "saved") == SAVED
    assert errors == []


def test_F12_plain_http_from_another_machine_is_no_secure_place(phone, server):
    """A phone that reaches the garage's computer by its name over plain http has no worker at all."""
    host = server(V1)
    page = phone.new_page()
    errors = errors_of(page)
    page.goto(f"{host.origin.replace('localhost', GARAGE)}/en/?rail=43.5")
    assert wait_for(page, "impossible").startswith("Not kept on this phone")
    assert page.inner_text("#kpa") == "299.9 kPa"
    # Browsers say of this header themselves that it needs a secure place.
    assert [error for error in errors if "Cross-Origin-Opener-Policy" not in error] == []


@pytest.mark.parametrize(
    ("gone", "entered"),
    [("cache_storage", "43.5 psi"), ("indexeddb", None), ("cache_storage,indexeddb", None), ("all", None)],
)
def test_F13_after_the_phone_cleared_storage_the_app_opens_and_saves_itself_again(
    phone, server, gone, entered
):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    assert entered_before(page) is None
    page.goto("about:blank")
    phone.new_cdp_session(page).send(
        "Storage.clearDataForOrigin", {"origin": host.origin, "storageTypes": gone}
    )
    page.goto(f"{host.origin}/en/")
    assert releases(page) == {"v1"}
    assert wait_for(page, "saved") == SAVED
    assert entered_before(page) == entered
    host.down()
    page.goto(f"{host.origin}{PAGE}")
    assert releases(page) == {"v1"}


RANGES = {
    "bytes=0-1": (206, "bytes 0-1/1028", BELL[:2]),
    "bytes=1000-": (206, "bytes 1000-1027/1028", BELL[1000:]),
    "bytes=-4": (206, "bytes 1024-1027/1028", BELL[-4:]),
    "bytes=0-99999": (206, "bytes 0-1027/1028", BELL),
    "bytes=1028-": (416, "bytes */1028", b""),
    "bytes=-0": (416, "bytes */1028", b""),
    "bytes=0-1,4-5": (200, None, BELL),
}


def test_F14_a_byte_range_of_a_saved_sound_is_a_right_206(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.down()
    for asked, wanted in RANGES.items():
        got = page.evaluate(
            """([path, range]) => fetch(path, {headers: {Range: range}}).then(async answer =>
            [answer.status, answer.headers.get('Content-Range'), [...new Uint8Array(await answer.arrayBuffer())]])""",
            [BELL_PATH, asked],
        )
        assert (got[0], got[1], bytes(got[2])) == wanted


def test_F30_pages_of_a_language_that_is_not_saved_say_so(phone, server):
    host = server(stand_in("v1", ("en", "de")))
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    assert copies(page) == [COPY]
    host.down()
    sent = page.goto(f"{host.origin}/de/help/")
    assert (sent.status, page.inner_text("h1")) == (503, "Page en/offline/")
    assert releases(page) == {"v1"}  # its style and scripts are found from any depth of address
    page.click("#home")
    assert page.inner_text("h1") == "Page en/"
    host.up()
    open_saved(page, f"{host.origin}/de/help/")
    assert sorted(copies(page)) == ["cowlside:%2F:v1:de", "cowlside:%2F:v1:en"]
    host.down()
    page.goto(f"{host.origin}/de/{FIGURE}")
    assert page.inner_text("h1") == f"Page de/{FIGURE}"


def test_the_page_for_what_is_not_saved_tries_again_at_the_same_address(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.down()
    page.goto(f"{host.origin}/en/figures/new-one/?rail=8")
    assert page.inner_text("h1") == "Page en/offline/"
    host.up()
    page.click("#again")
    page.wait_for_selector("text=No such page here")
    assert host.asked("/en/*")[-1] == "/en/figures/new-one/"


def test_scripts_and_styles_outside_the_copy_never_get_a_page(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.down()
    for path in ("/s/v0/js/main.js", "/s/v0/css/base.css", "/api/figures/injector-flow"):
        assert page.evaluate("path => fetch(path).then(() => 'answered', () => 'failed')", path) == "failed"


def test_other_methods_and_the_api_go_past_the_copy(phone, server):
    host = server(V1)
    host.rules["/api/*"] = html_page(b"{}")
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.log.clear()
    page.evaluate("fetch('/en/', {method: 'POST', body: 'x'}).then(answer => answer.text())")
    page.evaluate("fetch('/api/figures/x').then(answer => answer.text())")
    assert [(one.method, one.path) for one in host.log if one.path != "/sw.js"] == [
        ("POST", "/en/"),
        ("GET", "/api/figures/x"),
    ]
    host.down()
    with pytest.raises(Error, match="ERR_CONNECTION_REFUSED"):
        page.goto(f"{host.origin}/api/figures/x")


def test_a_full_phone_keeps_nothing_and_says_why(phone, server):
    host = server(V1)
    page = phone.new_page()
    page.goto("about:blank")
    cdp = phone.new_cdp_session(page)
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": host.origin, "quotaSize": 20000})
    page.goto(f"{host.origin}/en/")
    assert wait_for(page, "unsaved").startswith("Not saved: the phone has no room")
    assert copies(page) == []
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": host.origin})
    page.goto(f"{host.origin}/en/")
    assert wait_for(page, "saved") == SAVED


# ---- what the tests do behind the app's back


def after_the_page(fault):
    """Right for the page itself, wrong for the worker that comes after it and asks past the HTTP cache."""

    def rule(call):
        for_worker = call.env.get("HTTP_SEC_FETCH_DEST") == "empty"
        return fault(call) if for_worker else call.app(call.env, call.start)

    return rule
