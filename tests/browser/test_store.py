"""What a person enters is kept on the phone, or the page knows that it is not (field faults F12, F13, F53 to F57)."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from browser.faults import Call, FaultyServer, Rule
from browser.killed import kill
from figures.number_material import REPO
from playwright.sync_api import BrowserContext, Page

STORE = "js/lib/store.js"
DATABASE = "js/lib/database.js"
PLAIN = "/js/lib/number.js"  # a page of the same origin that touches no database

# What every script below has at hand: the module, the states so far, and the short way to set one fact.
START = f"""async () => {{
  const store = window.store = await import("/{STORE}");
  window.states = [];
  store.watchState((state) => states.push(state));
  window.set = (key, value) => store.write([{{ store: "kept", key, change: () => value }}]);
}}"""


@pytest.fixture
def page(phone: BrowserContext, host: FaultyServer) -> Page:
    return opened(phone, host)


def opened(phone: BrowserContext, host: FaultyServer, before: str = "") -> Page:
    """A window with the store at hand; `before` runs before any script of the page."""
    page = phone.new_page()
    if before:
        page.add_init_script(before)
    page.goto(host.origin + PLAIN)
    page.evaluate(START)
    return page


def states(page: Page) -> list[str]:
    found: list[str] = page.evaluate("states")
    return found


def test_what_is_written_is_read_back_and_is_there_in_the_next_window(page, phone, host):
    assert page.evaluate("set('name', {deep: [1, 2]})") == {"kept": True, "why": "fine"}
    assert page.evaluate("store.read('kept', 'name')") == {"deep": [1, 2]}
    assert opened(phone, host).evaluate("store.read('kept', 'name')") == {"deep": [1, 2]}
    assert states(page) == ["fine"]


def test_changes_of_one_write_come_together_in_order_and_see_each_other(page):
    page.evaluate(
        """store.write([
          {store: 'kept', key: 'n', change: () => 1},
          {store: 'setups', key: 'a', change: () => ({name: 'A'})},
          {store: 'kept', key: 'n', change: (old) => old + 10},
        ])"""
    )
    assert page.evaluate("store.read('kept', 'n')") == 11
    assert page.evaluate("store.readAll('setups').then((all) => [...all])") == [["a", {"name": "A"}]]


def test_a_change_that_gives_undefined_removes_what_was_kept(page):
    page.evaluate("set('n', 1)")
    assert page.evaluate("set('n', undefined)")["kept"] is True
    assert page.evaluate("store.readAll('kept').then((all) => all.size)") == 0


def test_hundred_writes_at_once_lose_none(page):
    page.evaluate(
        """Promise.all(Array.from({length: 100}, () =>
          store.write([{store: 'kept', key: 'sum', change: (old) => (old ?? 0) + 1}])))"""
    )
    assert page.evaluate("store.read('kept', 'sum')") == 100


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ("async () => 1", "TypeError"),
        ("() => Promise.resolve(1)", "TypeError"),
        ("() => { throw new TypeError('no') }", "TypeError"),
        ("() => () => 1", "DataCloneError"),
    ],
)
def test_F54_a_change_that_would_wait_or_cannot_be_stored_is_refused_and_changes_nothing(page, change, name):
    """A promise from outside would let the transaction end in the middle; the other change of the write is undone too."""
    page.evaluate("set('n', 1)")
    script = f"""store.write([
        {{store: 'kept', key: 'n', change: () => 2}}, {{store: 'kept', key: 'm', change: {change}}},
      ]).then(() => 'kept', (error) => error.name)"""
    assert page.evaluate(script) == name
    assert page.evaluate("store.read('kept', 'n')") == 1
    assert page.evaluate("set('n', 3)") == {"kept": True, "why": "fine"}


@pytest.mark.parametrize(
    "fault",
    [
        "delete window.indexedDB",
        "Object.defineProperty(window, 'indexedDB', {value: undefined})",
        "Object.defineProperty(window, 'indexedDB', {get() { throw new DOMException('no', 'SecurityError') }})",
        "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError') }",
        "IDBFactory.prototype.open = () => { throw new DOMException('no', 'InvalidStateError') }",
    ],
)
def test_F12_without_a_database_everything_goes_on_in_memory_and_says_so(phone, host, fault):
    page = opened(phone, host, fault)
    noise: list[str] = []
    page.on("pageerror", lambda error: noise.append(str(error)))
    outcome = page.evaluate("set('n', 1)")
    assert outcome["kept"] is False and outcome["why"] in ("impossible", "lost")
    assert page.evaluate("store.read('kept', 'n')") == 1
    page.evaluate("store.write([{store: 'kept', key: 'n', change: (old) => old + 1}])")
    assert page.evaluate("store.readAll('kept').then((all) => [...all])") == [["n", 2]]
    assert page.evaluate("store.lastUsed(3)") == []
    assert (states(page)[-1], noise) == (outcome["why"], [])


@pytest.mark.parametrize("missing", ["BroadcastChannel", "StorageManager.prototype.persist"])
def test_F12_what_goes_along_with_a_database_may_be_missing(phone, host, missing):
    page = opened(phone, host, f"delete window.{missing}")
    assert page.evaluate("set('n', 1)")["kept"] is True
    assert page.evaluate("store.watchOthers(() => {}) instanceof Function") is True


def test_F13_staying_is_asked_for_after_the_first_thing_entered_and_once(phone, host):
    page = opened(
        phone,
        host,
        "StorageManager.prototype.persist = async () => { window.asked = (window.asked ?? 0) + 1 }",
    )
    page.evaluate("store.noteUsed('figures/mixture/')")
    assert page.evaluate("window.asked") is None
    page.evaluate("set('n', 1)")
    page.evaluate("set('n', 2)")
    assert page.evaluate("window.asked") == 1


def test_F13_a_phone_that_was_cleared_is_begun_again_empty(page, phone, host):
    page.evaluate("set('n', 1)")
    cleared_by(phone, host, DELETE_COPY, DELETE_DATABASE)
    assert page.evaluate("store.read('kept', 'n').then((value) => value ?? 'nothing')") == "nothing"
    assert page.evaluate("set('n', 2)")["kept"] is True


# -- F13, F56: the second copy ----------------------------------------------------------------------------------------

# The page with the store gives way at once: a deletion that is held up would never be answered.
DELETE_DATABASE = """() => new Promise((done, fail) => {
  const request = indexedDB.deleteDatabase('cowlside');
  request.onsuccess = done;
  request.onblocked = request.onerror = fail;
})"""
DELETE_COPY = "caches.delete('cowlside-second-copy')"
HAS = "(key) => store.read('kept', key).then((value) => value ?? 'nothing')"


def cleared_by(phone: BrowserContext, host: FaultyServer, *scripts: str) -> None:
    """Another window that knows nothing of the store does something to what the phone keeps."""
    other = phone.new_page()
    other.goto(host.origin + PLAIN)
    for script in scripts:
        other.evaluate(script)
    other.close()


def test_F13_a_database_that_is_lost_alone_comes_back_in_every_window(page, phone, host):
    there = opened(phone, host)
    page.evaluate("set('n', {deep: ['\\ud800', null, 1.5]})")
    there.evaluate("set('gone', 1).then(() => set('gone', undefined))")
    there.evaluate(
        "store.write([{store: 'photos', key: 'p', change: () => ({words: 'x', blob: new Blob(['abc'], {type: 'image/jpeg'})})}])"
    )
    cleared_by(phone, host, DELETE_DATABASE)
    for window in (page, there, opened(phone, host)):
        assert window.evaluate("store.read('kept', 'n').then(JSON.stringify)") == (
            '{"deep":["\\ud800",null,1.5]}'
        )
        assert window.evaluate(HAS, "gone") == "nothing"
        picture = (
            "store.read('photos', 'p').then(async ({words, blob}) => [words, blob.type, await blob.text()])"
        )
        assert window.evaluate(picture) == ["x", "image/jpeg", "abc"]
    assert states(page) == ["fine"]


def test_F13_a_second_copy_that_is_lost_alone_is_made_again_with_the_next_write_of_each_entry(
    page, phone, host
):
    page.evaluate("Promise.all([set('one', 1), set('two', 2)])")
    cleared_by(phone, host, DELETE_COPY)
    assert page.evaluate("set('one', 3)")["kept"] is True
    assert [page.evaluate(HAS, key) for key in ("one", "two")] == [3, 2]
    cleared_by(phone, host, DELETE_DATABASE)
    assert page.evaluate(HAS, "one") == 3


@pytest.mark.parametrize(
    "cut",
    ["new Response(text.slice(0, -3), {headers})", "new Response('', {})", "new Response('{', {headers})"],
)
def test_F56_of_an_entry_whose_last_copy_was_cut_off_the_one_before_comes_back(page, phone, host, cut):
    page.evaluate("set('n', 'before').then(() => set('n', 'after'))")
    cleared_by(
        phone,
        host,
        f"""async () => {{
          const copies = await caches.open('cowlside-second-copy');
          for (const request of await copies.keys()) {{
            const answer = await copies.match(request), {{headers}} = answer, text = await answer.text();
            if (text.includes('after')) await copies.put(request, {cut});
          }}
        }}""",
        DELETE_DATABASE,
    )
    assert page.evaluate(HAS, "n") == "before"


def test_F56_what_was_not_copied_when_the_window_ended_is_copied_by_the_next(phone, host):
    here = opened(phone, host, "caches.open = () => Promise.reject(new Error('no'))")
    assert here.evaluate("set('n', 1)")["kept"] is True
    assert here.evaluate("caches.has('cowlside-second-copy')") is False
    here.close()
    there = opened(phone, host)
    assert there.evaluate(HAS, "n") == 1
    there.evaluate(COPIED)
    cleared_by(phone, host, DELETE_DATABASE)
    assert there.evaluate(HAS, "n") == 1


def test_F54_an_entry_that_cannot_be_copied_holds_no_other_up(phone, host):
    page = opened(
        phone,
        host,
        """const put = Cache.prototype.put;
        Cache.prototype.put = function (address, ...given) {
          if (`${address}`.includes('large')) throw new DOMException('no room', 'QuotaExceededError');
          return put.call(this, address, ...given);
        }""",
    )
    for key in ("large", "n"):
        assert page.evaluate("(key) => set(key, 1)", key)["kept"] is True
    cleared_by(phone, host, DELETE_DATABASE)
    assert [page.evaluate(HAS, key) for key in ("large", "n")] == ["nothing", 1]


COPIED = """async () => {
  const copies = await caches.open('cowlside-second-copy');
  for (let looks = 0; looks < 200 && !(await copies.keys()).length; looks += 1) await new Promise((done) => setTimeout(done, 50));
}"""


def test_F13_of_two_windows_that_write_at_once_the_copy_has_what_the_database_has(page, phone, host):
    windows = [page, opened(phone, host)]
    for window in windows:
        window.evaluate(
            """() => { window.writes = Promise.all(Array.from({length: 20}, () =>
                 store.write([{store: 'kept', key: 'n', change: (old) => (old ?? 0) + 1}]))) }"""
        )
    for window in windows:
        window.evaluate("writes")
    cleared_by(phone, host, DELETE_DATABASE)
    assert [window.evaluate(HAS, "n") for window in windows] == [40, 40]


def test_F12_a_copy_that_never_answers_holds_up_neither_the_opening_nor_every_write(phone, host):
    page = opened(phone, host, "caches.open = caches.has = () => new Promise(() => {})")
    assert page.evaluate("set('n', 1)")["kept"] is True
    for value in range(2, 6):
        assert page.evaluate(f"set('n', {value})")["kept"] is True
    assert page.evaluate(HAS, "n") == 5


# -- F53: another window with an older or a newer app ---------------------------------------------------------------

# An app of before that does not make way when the database changes.
DEAF = """() => new Promise((done, fail) => {
  const request = indexedDB.open('cowlside', 1);
  request.onupgradeneeded = () => ['setups', 'kept', 'used'].forEach((name) => request.result.createObjectStore(name));
  request.onerror = fail;
  request.onsuccess = () => {
    window.held = request.result;
    const tx = held.transaction('kept', 'readwrite');
    tx.objectStore('kept').put('from before', 'n');
    tx.oncomplete = done;
  };
})"""


def next_release(step: str) -> Rule:
    """The same module with one more step in its list."""

    def rule(call: Call) -> Any:
        body = b"".join(call.app(call.env, lambda *_: None)).decode()
        changed, count = re.subn(r"(STEPS = \[.*?)\n\];", rf"\1\n  {step},\n];", body, flags=re.DOTALL)
        assert count == 1
        call.start("200 OK", [("Content-Type", "text/javascript")])
        return [changed.encode()]

    return rule


@pytest.fixture
def newer(server: Callable[..., FaultyServer]) -> FaultyServer:
    """A host whose release can be changed: /v1/ is the module as it is, what is asked for otherwise has one more step."""
    return server(REPO / "static")


MIGRATE = (
    "async (db, tx) => { db.createObjectStore('later'); const kept = tx.objectStore('kept'); "
    "kept.put(`${await kept.get('n')}, moved`, 'n') }"
)


def test_F53_two_new_windows_wait_for_an_old_one_say_so_and_go_on_when_it_is_closed(phone, newer):
    old = phone.new_page()
    old.goto(newer.origin + PLAIN)
    old.evaluate(DEAF)
    newer.rules[f"/{DATABASE}"] = next_release(MIGRATE)
    windows = [opened(phone, newer) for _ in range(2)]
    for window in windows:
        window.evaluate("() => { window.found = store.read('kept', 'n') }")
    for window in windows:
        window.wait_for_function("states.at(-1) === 'blocked'")
    old.close()
    assert [window.evaluate("window.found") for window in windows] == ["from before, moved"] * 2
    assert [states(window)[-1] for window in windows] == ["fine"] * 2


def test_F53_a_window_of_before_makes_way_and_then_says_that_it_is_older(page, phone, host):
    page.evaluate("set('n', 'from before')")
    host.rules[f"/{DATABASE}"] = next_release(MIGRATE)
    try:
        window = opened(phone, host)
        assert window.evaluate("store.read('kept', 'n')") == "from before, moved"
        assert "blocked" not in states(window)
    finally:
        host.rules.clear()
    assert page.evaluate("set('n', 'typed')") == {"kept": False, "why": "older"}
    assert page.evaluate("store.read('kept', 'n')") == "typed"


def test_F53_an_opening_that_fails_once_is_not_remembered(phone, host):
    page = opened(
        phone,
        host,
        """const open = IDBFactory.prototype.open;
        IDBFactory.prototype.open = function (...given) {
          IDBFactory.prototype.open = open;
          throw new DOMException('no', 'SecurityError');
        }""",
    )
    assert page.evaluate("set('n', 1)")["kept"] is False
    assert page.evaluate("set('m', 2)") == {"kept": True, "why": "fine"}
    assert page.evaluate("Promise.all(['n', 'm'].map((key) => store.read('kept', key)))") == [1, 2]


def test_one_opening_serves_everything_on_a_page(phone, host):
    page = opened(
        phone,
        host,
        """window.openings = 0;
        const open = IDBFactory.prototype.open;
        IDBFactory.prototype.open = function (...given) { openings += 1; return open.apply(this, given) }""",
    )
    page.evaluate("Promise.all([set('a', 1), set('b', 2), store.read('kept', 'a'), store.readAll('used')])")
    assert page.evaluate("openings") == 1


# -- F54: a full phone ---------------------------------------------------------------------------------------------------


# Digits by chance: what repeats is packed, and takes no room.
LONG = "Array.from({length: 60000}, () => Math.random()).join(' ')"


def test_F54_a_full_phone_is_told_keeps_what_was_typed_and_a_later_try_lands(page, phone, host):
    cdp = phone.new_cdp_session(page)
    # Before the first write: what a database is told to be free it takes to be free for a while.
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": host.origin, "quotaSize": 200_000})
    page.evaluate("set('small', 'there')")
    length = page.evaluate(f"(window.note = {LONG}).length")
    assert length > 500_000
    assert page.evaluate("set('note', note)") == {"kept": False, "why": "full"}
    assert states(page)[-1] == "full"
    assert page.evaluate("store.read('kept', 'note').then((text) => text === note)") is True
    assert page.evaluate("store.read('kept', 'small')") == "there"
    assert states(page)[-1] == "full"
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": host.origin})
    assert page.evaluate("set('small', 'still there')") == {"kept": True, "why": "fine"}
    assert opened(phone, host).evaluate("store.read('kept', 'note').then((text) => text.length)") == length


def test_F54_a_large_text_that_is_made_shorter_fits_again(page, phone, host):
    cdp = phone.new_cdp_session(page)
    quota = {"origin": host.origin, "quotaSize": 200_000}
    cdp.send("Storage.overrideQuotaForOrigin", quota)
    assert page.evaluate(f"set('note', {LONG})")["why"] == "full"
    # Chromium may count what it has thrown away as used: room for the short text beside it, not for the long one once more.
    used = page.evaluate("navigator.storage.estimate().then(({ usage }) => usage)")
    cdp.send("Storage.overrideQuotaForOrigin", {**quota, "quotaSize": used + 200_000})
    assert page.evaluate("set('note', 'short')") == {"kept": True, "why": "fine"}
    assert opened(phone, host).evaluate("store.read('kept', 'note')") == "short"


def test_F54_a_request_that_succeeds_in_a_transaction_that_is_thrown_away_is_not_saved(phone, host):
    page = opened(
        phone,
        host,
        """window.bad = false;
        const put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = function (...given) {
          const request = put.apply(this, given);
          if (bad) request.addEventListener('success', () => this.transaction.abort());
          return request;
        }""",
    )
    page.evaluate("set('n', 1)")
    page.evaluate("() => { bad = true }")
    assert page.evaluate("set('n', 2)") == {"kept": False, "why": "lost"}
    page.evaluate("() => { bad = false }")
    assert page.evaluate("store.read('kept', 'n')") == 2
    assert page.evaluate("set('m', 3)")["kept"] is True
    assert opened(phone, host).evaluate("store.read('kept', 'n')") == 2


# -- F55: the connection goes away -----------------------------------------------------------------------------------------

TRANSACTIONS_FAIL = """window.failures = 0; window.fault = '';
const transaction = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (...given) {
  if (failures > 0) { failures -= 1; throw new DOMException('connection lost', fault) }
  return transaction.apply(this, given);
}"""


@pytest.mark.parametrize("fault", ["InvalidStateError", "UnknownError"])
@pytest.mark.parametrize(
    "work", ["set('n', 2)", "store.pin('figures/mixture/', true)", "store.noteUsed('help/')"]
)
def test_F55_a_lost_connection_is_opened_again_and_the_save_lands(phone, host, fault, work):
    page = opened(phone, host, TRANSACTIONS_FAIL)
    page.evaluate("set('n', 1)")
    page.evaluate(f"() => {{ failures = 1; fault = '{fault}' }}")
    assert page.evaluate(work) == {"kept": True, "why": "fine"}
    page.evaluate("() => { failures = 1 }")
    assert page.evaluate("store.read('kept', 'n')") in (1, 2)
    assert states(page) == ["fine"]


def test_F55_a_second_failure_is_told_and_loses_nothing(phone, host):
    page = opened(phone, host, TRANSACTIONS_FAIL)
    page.evaluate("set('n', 1)")
    page.evaluate("() => { failures = 4; fault = 'UnknownError' }")
    assert page.evaluate("set('n', 2)") == {"kept": False, "why": "lost"}
    assert page.evaluate("store.read('kept', 'n')") == 2
    assert states(page) == ["fine", "lost"]
    assert page.evaluate("set('m', 3)") == {"kept": True, "why": "fine"}
    assert opened(phone, host).evaluate("store.read('kept', 'n')") == 2


def test_F55_after_close_the_next_save_opens_anew(phone, host):
    """As when the browser's own process for storage ends: `close` comes, and the handle is dead."""
    page = opened(
        phone,
        host,
        """window.handles = [];
        const open = IDBFactory.prototype.open;
        IDBFactory.prototype.open = function (...given) {
          const request = open.apply(this, given);
          request.addEventListener('success', () => handles.push(request.result));
          return request;
        }""",
    )
    page.evaluate("set('n', 1)")
    page.evaluate("() => { handles[0].close(); handles[0].dispatchEvent(new Event('close')) }")
    assert page.evaluate("set('n', 2)") == {"kept": True, "why": "fine"}
    assert (page.evaluate("handles.length"), states(page)) == (2, ["fine"])


# -- F56: a killed browser ---------------------------------------------------------------------------------------------------


def test_F56_what_was_said_to_be_kept_survives_a_killed_browser(own_profile, host, tmp_path):
    """Chromium is ended as a phone ends it: without a word to the page. The profile is opened again."""
    for last in (5, 9, 14):
        phone = own_profile()
        page = opened(phone, host)
        first = page.evaluate("store.read('kept', 'n').then((n) => n ?? 0)")
        page.evaluate(f"(async () => {{ for (let n = {first} + 1; n <= {last}; n++) await set('n', n) }})()")
        with phone.expect_event("close"):
            kill(tmp_path / "profile")
    assert opened(own_profile(), host).evaluate("store.read('kept', 'n')") == 14


# -- F57: two windows ----------------------------------------------------------------------------------------------------------


def test_F57_two_windows_that_change_one_thing_keep_both_changes(page, phone, host):
    other = opened(phone, host)
    page.evaluate("set('setup', {fields: {}})")
    add = """(name) => store.write([{store: 'kept', key: 'setup',
      change: (old) => ({...old, fields: {...old.fields, [name]: 1}})}])"""
    for n in range(5):
        page.evaluate(add, f"here{n}")
        other.evaluate(add, f"there{n}")
    fields = page.evaluate("store.read('kept', 'setup').then((one) => Object.keys(one.fields).sort())")
    assert fields == [f"{where}{n}" for where in ("here", "there") for n in range(5)]


def test_F57_another_window_is_told_which_places_have_changed(page, phone, host):
    other = opened(phone, host)
    other.evaluate("() => { window.heard = []; store.watchOthers((places) => heard.push(places)) }")
    page.evaluate("() => { window.heard = []; store.watchOthers((places) => heard.push(places)) }")
    page.evaluate("set('n', 1)")
    other.wait_for_function("heard.length === 1")
    assert other.evaluate("heard") == [[{"store": "kept", "key": "n"}]]
    assert page.evaluate("heard") == []


# -- pages used and pinned --------------------------------------------------------------------------------------------------------


def test_pages_come_back_in_the_order_of_use_and_pins_in_the_order_of_pinning(phone, host):
    page = opened(phone, host, "let now = 1000; Date.now = () => (now += 1)")
    for address in ("figures/mixture/", "tables/fuels/", "figures/boost-loss/", "figures/mixture/"):
        page.evaluate("(address) => store.noteUsed(address)", address)
    page.evaluate("store.pin('tables/fuels/', true)")
    page.evaluate("store.pin('cautions/fire/', true)")
    page.evaluate("store.pin('tables/fuels/', true)")
    assert page.evaluate("store.lastUsed(2)") == ["figures/mixture/", "figures/boost-loss/"]
    assert page.evaluate("store.lastUsed(9)") == ["figures/mixture/", "figures/boost-loss/", "tables/fuels/"]
    assert page.evaluate("store.pinned()") == ["tables/fuels/", "cautions/fire/"]
    page.evaluate("store.pin('tables/fuels/', false)")
    assert page.evaluate("store.pinned()") == ["cautions/fire/"]
    assert page.evaluate("store.lastUsed(9)") == ["figures/mixture/", "figures/boost-loss/", "tables/fuels/"]
