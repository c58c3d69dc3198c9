"""New releases: whole or not at all, only when asked for, reloaded once. Numbers F.. are those of the field faults."""

from __future__ import annotations

import pytest
from browser.faults import abort, html_page, stall, status
from browser.patience import AT_ONCE_MS
from browser.stand_in import (
    A_YEAR,
    FIGURE,
    STATIC,
    StandIn,
    copies,
    entered_before,
    errors_of,
    open_saved,
    releases,
    stand_in,
    throw_away,
    until,
    wait_for,
)

V1, V2, V3 = stand_in("v1"), stand_in("v2", news="The bolt table is longer."), stand_in("v3")
RETIRED = StandIn("v2", V2.files, (STATIC / "js/sw-retire.js").read_bytes())
READY = "#notice:has-text('A new version is ready.')"
UPDATE = "() => navigator.serviceWorker.ready.then(one => one.update()).then(() => 'looked', () => 'failed')"

WAITING = """release => navigator.serviceWorker.getRegistration().then(({ waiting }) => new Promise(done => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = event => done(event.data.release === release);
    waiting ? waiting.postMessage({ type: "about" }, [port2]) : done(false);
}))"""


def accept(page, release):
    """Tap 'Use it now' and wait for the page of that release."""
    page.click("text=Use it now")
    page.wait_for_selector(f"html[data-release={release}]")


def look_until(page, seen):
    """Make the browser look for a newer worker until `seen()`; one look may join another that has already begun."""
    for _ in range(60):
        looked = page.evaluate(UPDATE)
        if seen(looked):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"not seen after 60 looks, the last one {looked}")


def loads_of(page):
    """Addresses that this page is loaded from, from now on."""
    found = []
    page.on("load", lambda loaded: found.append(loaded.url))
    return found


def test_F01_the_new_version_is_there_after_one_tap_and_alone(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    page.reload()
    page.wait_for_selector(READY)
    assert releases(page) == {"v1"}
    assert "The bolt table is longer." in page.inner_text("#notice")
    accept(page, "v2")
    wait_for(page, "saved")
    assert releases(page) == {"v2"}
    assert copies(page) == ["cowlside:%2F:v2:en"]
    assert page.inner_text("#notice").startswith("This is the new version.")
    assert page.get_attribute("#notice a", "href") == "../en/help/changes/"
    host.down()
    for path in ("en/", f"en/{FIGURE}", "en/help/"):
        page.goto(f"{host.origin}/{path}")
        assert releases(page) == {"v2"}
        assert page.inner_text("#notice") == ""


def test_F01_a_new_version_comes_by_itself_once_every_window_was_closed(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    page.reload()
    page.wait_for_selector(READY)
    page.close()
    page = phone.new_page()
    for _ in range(30):  # the browser notices the closed window at its own pace
        page.goto("about:blank")
        page.wait_for_timeout(200)
        page.goto(f"{host.origin}/en/")
        if releases(page) == {"v2"}:
            break
    assert releases(page) == {"v2"}


def test_F01_the_retiring_worker_clears_the_phone_and_leaves_what_was_entered(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    assert entered_before(page) is None
    host.serve(RETIRED)
    page.reload()
    until(page, "() => caches.keys().then(names => names.length === 0)")
    assert releases(page) == {"v1"}
    host.log.clear()
    page.goto(f"{host.origin}/en/")
    assert releases(page) == {"v2"}
    assert "/en/" in host.asked()
    assert wait_for(page, "retired").startswith("No longer kept on phones")
    assert copies(page) == []
    assert entered_before(page) == "43.5 psi"


def test_F02_two_servers_in_turn_never_mix_two_versions(phone, server):
    """Behind one address the old and the new server answer in turn; the old one's assets may be kept for a year."""
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V1, V2)
    for path in ("en/", f"en/{FIGURE}", "en/help/") * 2:
        page.goto(f"{host.origin}/{path}")
        page.evaluate(UPDATE)
        assert releases(page) == {"v1"}
        wait_for(page, "saved")
        assert copies(page) == ["cowlside:%2F:v1:en"]
    host.serve(V2)
    page.goto(f"{host.origin}/en/")
    accept(page, "v2")
    assert releases(page) == {"v2"}


def test_F02_a_host_that_lets_pages_be_kept_for_a_year_still_brings_the_new_version(phone, server):
    """The browser's own cache holds the old pages at the same addresses, and the old worker."""
    kept_v1, kept_v2 = (StandIn(one.release, one.files, one.worker, keep=A_YEAR) for one in (V1, V2))
    host = server(kept_v1)
    page = phone.new_page()
    for path in ("en/help/", f"en/{FIGURE}", "en/"):
        page.goto(f"{host.origin}/{path}")
    wait_for(page, "saved")
    host.serve(kept_v2)
    page.reload()
    accept(page, "v2")
    for path in ("en/help/", f"en/{FIGURE}"):
        page.goto(f"{host.origin}/{path}")
        assert releases(page) == {"v2"}


def test_F03_nothing_reloads_while_a_number_is_typed(phone, server):
    host = server(V1)
    page = phone.new_page()
    loads = loads_of(page)
    open_saved(page, f"{host.origin}/en/{FIGURE}")
    until(page, "() => navigator.serviceWorker.controller !== null")
    page.wait_for_timeout(300)
    assert len(loads) == 1  # the first control of a page is no reason to load it again
    assert not page.is_visible("#notice")
    page.click("#rail")
    page.keyboard.type("12,")
    host.serve(V1, V2)
    for _ in range(20):
        page.evaluate(UPDATE)
    host.serve(V2)
    look_until(page, lambda _: "A new version" in page.text_content("#notice"))
    assert not page.is_visible("#notice")
    assert len(loads) == 1
    assert page.input_value("#rail") == "12,"
    assert page.evaluate("() => document.querySelector('#rail').selectionStart") == 3
    page.evaluate("() => document.activeElement.blur()")
    page.wait_for_selector(READY)
    accept(page, "v2")
    wait_for(page, "saved")
    page.evaluate(UPDATE)
    page.evaluate("() => navigator.serviceWorker.dispatchEvent(new Event('controllerchange'))")
    page.wait_for_timeout(300)
    assert len(loads) == 2


def test_F03_an_accepted_update_waits_for_the_number_that_was_begun_meanwhile(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    page.reload()
    page.wait_for_selector(READY)
    loads = loads_of(page)
    page.evaluate("""() => {
        document.querySelector('#notice button').click();
        document.querySelector('#rail').focus();
    }""")
    until(page, "() => caches.keys().then(names => names.join() === 'cowlside:%2F:v2:en')")
    page.keyboard.type("12,")
    page.wait_for_timeout(300)
    assert (page.input_value("#rail"), loads) == ("12,", [])
    page.evaluate("() => document.activeElement.blur()")
    page.wait_for_selector("html[data-release=v2]")
    page.wait_for_load_state()
    page.wait_for_timeout(300)
    assert len(loads) == 1


def test_F03_a_window_that_was_reloaded_for_a_version_is_not_reloaded_for_it_again(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    page.evaluate("() => sessionStorage.setItem('cowlside-reloaded-for', 'v2')")
    host.serve(V2)
    page.reload()
    page.wait_for_selector(READY)
    loads = loads_of(page)
    page.click("text=Use it now")
    page.wait_for_selector("#notice:has-text('This page is still the older one.')")
    assert loads == []
    page.click("text=Load the new one")
    page.wait_for_selector("html[data-release=v2]")


def test_F03_another_window_is_told_and_not_reloaded(phone, server):
    host = server(V1)
    one, other = phone.new_page(), phone.new_page()
    open_saved(one, f"{host.origin}/en/")
    open_saved(other, f"{host.origin}/en/help/")
    loads = loads_of(other)
    host.serve(V2)
    one.reload()
    accept(one, "v2")
    other.wait_for_selector("#notice:has-text('This page is still the older one.')")
    assert loads == []
    assert releases(other) == {"v1"}
    other.click("text=Load the new one")
    other.wait_for_selector("html[data-release=v2]")
    assert releases(other) == {"v2"}


def test_F03_not_now_is_an_answer(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    page.reload()
    page.click("text=Not now")
    assert not page.is_visible("#notice")
    assert releases(page) == {"v1"}
    page.goto(f"{host.origin}/en/help/")
    page.wait_for_selector(READY)


def test_F04_an_update_with_a_missing_file_leaves_the_old_version_whole(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    for fault in (status(404), abort):
        host.rules["/s/v2/sound/bell.wav"] = fault
        seen = len(host.asked("/s/v2/sound/bell.wav"))
        page.goto(f"{host.origin}/en/")
        look_until(page, lambda _, seen=seen: len(host.asked("/s/v2/sound/bell.wav")) > seen)
        page.goto(f"{host.origin}/en/")
        wait_for(page, "saved")
        assert releases(page) == {"v1"}
        assert copies(page) == ["cowlside:%2F:v1:en"]
    host.rules.clear()
    page.goto(f"{host.origin}/en/")
    accept(page, "v2")


SERVER_FAULTS = {
    "500": status(500),
    "502": status(502),
    "503": status(503),
    "504": status(504),
    "HTML": html_page(),
}


BROKEN = ("s/{}/css/base.css", "s/{}/js/main.js", "s/{}/icons/tag.svg", "en/manifest.webmanifest", "en/help/")
LATER = [stand_in(f"v{number}") for number in range(3, 3 + len(BROKEN))]


@pytest.mark.parametrize("fault", SERVER_FAULTS)
def test_F09_a_broken_answer_during_an_update_is_never_served(phone, server, fault):
    """Each kind of file goes wrong in a release of its own, so that no save can get half of its files after the repair."""
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    for release, pattern in zip(LATER, BROKEN, strict=True):
        path = "/" + pattern.format(release.release)
        host.log.clear()
        host.rules = {path: SERVER_FAULTS[fault]}
        host.serve(release)
        page.goto(f"{host.origin}/en/help/")
        look_until(page, lambda _, path=path: path in host.asked())
        page.goto(f"{host.origin}/en/{FIGURE}")
        assert releases(page) == {"v1"}
        assert copies(page) == ["cowlside:%2F:v1:en"]
    host.rules["/sw.js"] = SERVER_FAULTS[fault]
    page.goto(f"{host.origin}/en/help/")
    look_until(page, lambda looked: looked == "failed")
    wait_for(page, "saved")
    host.rules.clear()
    host.serve(V2)
    page.goto(f"{host.origin}/en/help/")
    accept(page, "v2")
    host.down()
    page.goto(f"{host.origin}/en/{FIGURE}")
    assert releases(page) == {"v2"}


def test_F11_an_update_that_hangs_keeps_nobody_waiting(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    host.rules["/s/v2/*"] = stall
    page.goto(f"{host.origin}/en/", timeout=AT_ONCE_MS)
    until(page, "() => navigator.serviceWorker.getRegistration().then(one => one.installing !== null)")
    for path in ("en/help/", f"en/{FIGURE}"):
        page.goto(f"{host.origin}/{path}", timeout=AT_ONCE_MS, wait_until="domcontentloaded")
        assert releases(page) == {"v1"}
        wait_for(page, "saved")


def test_a_waiting_version_that_lost_a_file_does_not_take_over(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    page.reload()
    page.wait_for_selector(READY)
    throw_away(phone, page, "cowlside:%2F:v2:en", "/en/help/")
    host.down()
    page.click("text=Use it now")
    page.wait_for_selector("#notice:has-text('The new version is not complete on this phone.')")
    page.goto(f"{host.origin}/en/help/")
    assert releases(page) == {"v1"}
    host.up()
    page.reload()
    accept(page, "v2")
    assert releases(page) == {"v2"}


def test_a_newer_version_replaces_one_that_waits(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    for release in (V2, V3):
        host.serve(release)
        page.reload()
        until(page, WAITING, release.release)
    accept(page, "v3")
    wait_for(page, "saved")
    assert copies(page) == ["cowlside:%2F:v3:en"]


def test_a_version_that_the_host_took_back_is_offered_no_longer(phone, server):
    host = server(V1)
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    host.serve(V2)
    page.reload()
    page.wait_for_selector(READY)
    host.serve(V1)
    page.evaluate(UPDATE)
    until(page, WAITING, "v1")
    page.wait_for_selector(READY, state="hidden")
    page.reload()
    wait_for(page, "saved")
    page.wait_for_timeout(300)
    assert not page.is_visible("#notice")
    assert releases(page) == {"v1"}


def test_an_update_keeps_every_language_that_was_saved(phone, server):
    host = server(stand_in("v1", ("en", "de")))
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    open_saved(page, f"{host.origin}/de/")
    host.serve(stand_in("v2", ("en", "de")))
    page.goto(f"{host.origin}/en/")
    accept(page, "v2")
    wait_for(page, "saved")
    assert sorted(copies(page)) == ["cowlside:%2F:v2:de", "cowlside:%2F:v2:en"]
    host.down()
    page.goto(f"{host.origin}/de/{FIGURE}")
    assert releases(page) == {"v2"}


def test_the_server_is_asked_for_a_new_version_now_and_then_only(phone, server):
    host = server(V1)
    page = phone.new_page()
    page.clock.install()
    open_saved(page, f"{host.origin}/en/")
    page.reload()
    wait_for(page, "saved")
    page.evaluate(
        "() => { window.asked = 0; const real = ServiceWorkerRegistration.prototype.update;"
        "ServiceWorkerRegistration.prototype.update = function () { asked += 1; return real.call(this); }; }"
    )
    back = "() => { document.dispatchEvent(new Event('visibilitychange')); return asked; }"
    assert [page.evaluate(back) for _ in range(3)] == [0, 0, 0]
    page.clock.fast_forward("04:00")
    assert page.evaluate(back) == 0
    page.clock.fast_forward("01:10")
    assert [page.evaluate(back) for _ in range(3)] == [1, 1, 1]


def test_F32_the_policy_blocks_nothing_of_ours_in_any_state(phone, server):
    host = server(V1)
    page = phone.new_page()
    errors = errors_of(page)
    open_saved(page, f"{host.origin}/en/")
    page.reload()
    wait_for(page, "saved")
    host.down()
    page.goto(f"{host.origin}/en/{FIGURE}")
    wait_for(page, "saved")
    answer = page.goto(f"{host.origin}/en/help/")
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    host.up()
    host.serve(V2)
    page.goto(f"{host.origin}/en/")
    accept(page, "v2")
    wait_for(page, "saved")
    # A look for a newer worker while the server is down is the browser's own line in the console, not the policy's.
    assert [error for error in errors if "sw.js" not in error] == []
