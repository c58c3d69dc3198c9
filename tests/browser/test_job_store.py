"""Job cards on the phone: two windows, a killed browser, a full phone, an older database (field faults F13, F53, F54, F56, F57)."""

from __future__ import annotations

import random
from typing import Any

import pytest
from browser.cards import EVERYTHING, FRESH, FULL, PLAIN, TEMPLATE, everything, exported, imported, opened
from browser.faults import FaultyServer
from browser.killed import kill
from playwright.sync_api import BrowserContext, Page

NO_CHANNEL = "delete window.BroadcastChannel"


@pytest.fixture
def page(phone: BrowserContext, host: FaultyServer) -> Page:
    return with_card(opened(phone, host))


def with_card(page: Page) -> Page:
    page.evaluate(FRESH, TEMPLATE)
    page.evaluate("cards.addJob(card)")
    return page


def test_a_card_is_kept_used_changed_and_changed_back(page, phone, host):
    done = page.evaluate("cards.doAct('card-1', (now) => deeds.tick(now, 'rail', 7))")
    assert (done["kept"], done["did"], done["job"]["steps"]["rail"]["done"]) == (True, True, 7)
    other = opened(phone, host)
    assert other.evaluate("inUse.jobInUse().then((now) => now.steps.rail.done)") == 7
    back = other.evaluate("(id) => cards.undo('card-1', id)", done["action"])
    assert (back["did"], back["left"], back["job"]["steps"]["rail"]["done"]) == (True, [], 0)
    assert (
        page.evaluate("(id) => cards.redo('card-1', id)", done["action"])["job"]["steps"]["rail"]["done"] == 7
    )


def test_a_deed_that_makes_no_sense_any_more_does_nothing_and_says_so(page):
    page.evaluate("cards.doAct('card-1', (now) => deeds.openEnd(now, 'end-1', {kind: 'rag'}, 1))")
    gate = page.evaluate("cards.doAct('card-1', (now) => deeds.tick(now, 'start', 2))")
    assert (gate["did"], gate["kept"], gate["job"]["steps"]["start"]["done"]) == (False, True, 0)
    nothing = page.evaluate("cards.doAct('nowhere', (now) => deeds.tick(now, 'start', 2))")
    assert (nothing["did"], nothing["job"]) == (False, None)
    assert page.evaluate("cards.allJobs().then((all) => all.map(({id}) => id))") == ["card-1"]


def test_a_deleted_card_is_not_in_use_and_comes_back_by_undo(page):
    done = page.evaluate("cards.doAct('card-1', (now) => deeds.removeCard(now, 9))")
    assert page.evaluate("Promise.all([cards.allJobs(), inUse.jobInUse(), cards.looseEnds()])") == [
        [],
        None,
        {"ends": 0, "pieces": 0, "jobs": []},
    ]
    assert page.evaluate("cards.allJobs({gone: true}).then((all) => all.length)") == 1
    page.evaluate("(id) => cards.undo('card-1', id)", done["action"])
    assert page.evaluate("inUse.jobInUse().then((now) => now.id)") == "card-1"


def test_an_answer_goes_to_the_card_in_use_or_says_that_none_is(page):
    answer = "{figure: 'mixture', title: 'Mixture', query: 'a=1', answer: '12.5'}"
    done = page.evaluate(f"cards.keepFigure({answer})")
    assert [kept["query"] for kept in done["job"]["kept"].values()] == ["a=1"]
    page.evaluate("inUse.useJob('')")
    assert page.evaluate(f"cards.keepFigure({answer})") is None


def test_a_confirmation_counts_for_its_card_for_twelve_hours_and_not_when_the_clock_was_set_back(page):
    hour = 3_600_000
    page.evaluate(f"sheets.confirm('card-1', 'fire', {100 * hour})")
    page.evaluate(f"sheets.confirm('card-11', 'petrol-spill', {100 * hour})")
    counts = "(at) => sheets.confirmed('card-1', at)"
    assert page.evaluate(counts, 112 * hour - 1) == {"fire": 100 * hour}
    assert [page.evaluate(counts, at) for at in (112 * hour, 99 * hour)] == [{}, {}]


def test_an_interruption_lapses_the_confirmations_of_the_card_alone_and_undo_does_not_bring_them_back(page):
    page.evaluate("Promise.all(['card-1', 'other-1', ''].map((id) => sheets.confirm(id, 'fire')))")
    page.evaluate("cards.doAct('card-1', (now) => deeds.begin(now, 'rail', 5))")
    done = page.evaluate("cards.interrupt('card-1')")
    assert done["job"]["interrupted"] == done["job"]["steps"]["rail"]["interrupted"] > 0
    assert page.evaluate("store.readAll('confirmed').then((all) => [...all.keys()])") == [
        "/fire",
        "other-1/fire",
    ]
    back = page.evaluate("(id) => cards.undo('card-1', id)", done["action"])
    assert (back["job"]["interrupted"], page.evaluate("sheets.confirmed('card-1')")) == (0, {})
    assert page.evaluate("sheets.lapse('card-1')")["kept"] is True


# -- a caution holds its step back where it is written -------------------------------------------------------------------

CONFIRM = "sheets.confirm('card-1', 'opening-a-fuel-line')"
TICK_AT = (
    "(now) => cards.doAct('card-1', (card) => deeds.tick(card, 'relieve', now), {at: now, texts: new Map()})"
)
TICK = f"({TICK_AT})(Date.now())"
NOT_CONFIRMED = [{"why": "sheet", "sheet": "opening-a-fuel-line"}]
# Another window takes the confirmation back once this one has read it and before it writes.
IN_BETWEEN = """() => {
  const real = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (names, mode, options) {
    if (mode === 'readwrite') {
      IDBDatabase.prototype.transaction = real;
      real.call(this, ['confirmed'], mode).objectStore('confirmed').delete('card-1/opening-a-fuel-line');
    }
    return real.call(this, names, mode, options);
  };
}"""


def ticked(page: Page, script: str = TICK, *given: Any) -> tuple[bool, list[dict[str, str]], bool]:
    """(whether it was done, what held it back, whether the phone has the step as done)."""
    done = page.evaluate(script, *given)
    kept = page.evaluate("cards.readJob('card-1').then((card) => card.steps.relieve.done > 0)")
    return done["did"], done["blocks"], kept


def test_a_step_is_ticked_only_while_its_sheet_counts(page):
    assert ticked(page) == (False, NOT_CONFIRMED, False)
    page.evaluate(CONFIRM)
    assert ticked(page, f"({TICK_AT})(Date.now() + sheets.CONFIRMED_MS)") == (False, NOT_CONFIRMED, False)
    without = "cards.doAct('card-1', (card) => deeds.tick(card, 'relieve', 5))"
    assert ticked(page, without) == (False, NOT_CONFIRMED, False)
    assert ticked(page) == (True, [], True)


def test_a_sheet_of_the_present_template_holds_a_step_of_an_older_card_back(page):
    late = """() => cards.doAct('card-1', (card) => deeds.tick(card, 'rail', 5), {texts: new Map([['rail', {needs: [{id: 'fire'}]}]])})"""
    done = page.evaluate(late)
    assert (done["did"], done["blocks"]) == (False, [{"why": "sheet", "sheet": "fire"}])
    page.evaluate("sheets.confirm('card-1', 'fire')")
    assert page.evaluate(late)["did"] is True


def test_F57_a_confirmation_that_another_window_takes_back_in_between_counts_no_longer(page):
    page.evaluate(CONFIRM)
    page.evaluate(IN_BETWEEN)
    assert ticked(page) == (False, NOT_CONFIRMED, False)


def test_a_tick_taken_back_and_one_done_again_need_the_sheet_too(page, phone, host):
    page.evaluate(CONFIRM)
    done = page.evaluate(TICK)
    undone = page.evaluate("(id) => cards.undo('card-1', id, new Map())", done["action"])
    assert (undone["did"], undone["blocks"]) == (True, [])
    opened(phone, host).evaluate("cards.interrupt('card-1')")
    redo = "(id) => cards.redo('card-1', id, new Map())"
    assert ticked(page, redo, done["action"]) == (False, NOT_CONFIRMED, False)
    page.evaluate(CONFIRM)
    again = page.evaluate(redo, done["action"])
    assert (again["did"], again["blocks"], again["job"]["steps"]["relieve"]["done"] > 0) == (True, [], True)


def test_where_nothing_can_be_kept_a_sheet_confirmed_in_this_window_counts_in_it(phone, host):
    page = with_card(opened(phone, host, "delete window.indexedDB"))
    assert ticked(page) == (False, NOT_CONFIRMED, False)
    page.evaluate(CONFIRM)
    assert ticked(page)[1:] == ([], True)
    assert page.evaluate("states.at(-1)") == "impossible"


# -- F57: two windows ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("before", ["", NO_CHANNEL], ids=["told", "not told"])
def test_F57_two_windows_work_on_one_card_and_nothing_is_lost(phone, host, before):
    here, there = with_card(opened(phone, host, before)), opened(phone, host, before)
    for window in (here, there):
        window.evaluate("() => { cards.watchJob('card-1', (now) => { window.seen = now }) }")
    here.evaluate("cards.doAct('card-1', (now) => deeds.openEnd(now, 'end-1', {kind: 'rag', count: 9}, 1))")
    here.evaluate(CONFIRM)
    tick = "([id, at]) => cards.doAct('card-1', (now) => deeds.tick(now, id, at), {texts: new Map()})"
    for n, (mine, theirs) in enumerate([("relieve", "rail"), ("plugs", "after")]):
        here.evaluate(tick, [mine, n + 1])
        there.evaluate(tick, [theirs, n + 1])
        for window in (here, there):
            window.evaluate("cards.doAct('card-1', (now) => deeds.closeEnd(now, 'end-1', 3))")
    write = "([text, base, other]) => cards.doAct('card-1', (now) => deeds.writeNote(now, 'rail', text, {base, other}))"
    here.evaluate(write, ["from here", "", "here-1"])
    there.evaluate(write, ["from there", "", "there-1"])
    ended = there.evaluate("cards.readJob('card-1')")
    assert [name for name, step in ended["steps"].items() if step["done"]] == [
        "relieve",
        "rail",
        "plugs",
        "after",
    ]
    assert ended["ends"]["end-1"]["closed"] == 4
    assert (ended["steps"]["rail"]["note"], ended["entries"]["there-1"]["value"]) == (
        "from here",
        "from there",
    )
    if before:  # nothing tells the other window: it looks again when the person comes back to it
        here.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    here.wait_for_function("window.seen?.entries['there-1']?.value === 'from there'")


def test_watching_stops_when_told_to(page):
    seen = page.evaluate(
        """async () => {
          const seen = [];
          const stop = cards.watchJob('card-1', (now) => seen.push(now.name));
          await cards.doAct('card-1', (now) => deeds.rename(now, 'one'));
          await cards.readJob('card-1');
          stop();
          await cards.doAct('card-1', (now) => deeds.rename(now, 'two'));
          await cards.readJob('card-1');
          return seen;
        }"""
    )
    assert seen == ["one"]


# -- F54: a full phone ----------------------------------------------------------------------------------------------------

NOISE = """async () => {
  const canvas = Object.assign(document.createElement('canvas'), {width: 1600, height: 1200});
  const phone = canvas.getContext('2d'), image = phone.createImageData(1600, 1200);
  for (let at = 0; at < image.data.length; at += 1) image.data[at] = at % 4 === 3 ? 255 : Math.random() * 256;
  phone.putImageData(image, 0, 0);
  const blob = await new Promise((done) => canvas.toBlob(done, 'image/jpeg', 0.9));
  window.picture = (await photos.prepare(blob)).picture;
  return picture.blob.size;
}"""


def test_F54_a_photo_that_does_not_fit_is_told_and_everything_else_goes_on_being_kept(phone, host):
    page = opened(phone, host)
    assert page.evaluate(NOISE) > 500_000
    cdp = phone.new_cdp_session(page)
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": host.origin, "quotaSize": 300_000})
    with_card(page)
    add = "photos.addPhoto('card-1', picture, {step: 'rail', words: 'the rail'})"
    full = page.evaluate(add)
    assert (full["kept"], full["why"], full["did"], full["job"]["photos"]) == (False, "full", False, {})
    tick = page.evaluate("cards.doAct('card-1', (now) => deeds.tick(now, 'rail', 7))")
    assert (tick["kept"], page.evaluate("states")) == (True, ["fine"])
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": host.origin})
    landed = page.evaluate(add)
    assert (landed["kept"], landed["did"]) == (True, True)
    size = opened(phone, host).evaluate(
        "(id) => photos.photo(id).then(({blob}) => blob.size)", landed["photo"]
    )
    assert size == page.evaluate("picture.blob.size")


def test_a_photo_for_a_card_that_is_not_there_is_not_kept_for_nothing(page):
    page.evaluate(NOISE)
    assert page.evaluate("photos.addPhoto('nowhere', picture, {})")["did"] is False
    assert page.evaluate("store.readAll('photos').then((all) => all.size)") == 0


# -- F56: a killed browser --------------------------------------------------------------------------------------------------


KILLS = 25


@pytest.mark.parametrize("seed", [8, 21])  # fifty in all; two halves, so that two workers can share them
def test_F56_of_fifty_kills_during_writes_none_loses_what_was_acknowledged(own_profile, host, tmp_path, seed):
    """Chromium is ended by its own number at a moment drawn by lot, and its profile opened again."""
    dice = random.Random(seed)
    acknowledged: set[str] = set()
    for time in range(KILLS + 1):
        phone = own_profile()
        page = phone.pages[0]
        page.expose_function("acknowledge", lambda name: acknowledged.add(name))
        page.goto(host.origin + PLAIN)
        page.evaluate(LIGHT)
        if time == 0:
            with_card(page)
        found = page.evaluate(
            "cards.readJob('card-1').then((now) => now ? [Object.keys(now.ends), shape.faults(shape.JOB, now), states] : [[], ['no card'], states])"
        )
        assert found[1:] == [[], ["fine"]], f"at opening {time}"
        assert acknowledged - set(found[0]) == set(), f"lost at opening {time}"
        if time < KILLS:
            page.evaluate(WRITES, time)
            page.wait_for_timeout(dice.uniform(0, 120))
            with phone.expect_event("close"):
                kill(tmp_path / "profile")
    assert len(acknowledged) > KILLS


LIGHT = """async () => {
  const names = {store: 'store', job: 'job', deeds: 'end-deeds', shape: 'job-shape', cards: 'job-store'};
  await Promise.all(Object.entries(names).map(async ([short, name]) => { window[short] = await import(`/js/lib/${name}.js`); }));
  window.states = [];
  store.watchState((state) => states.push(state));
}"""

# Loose ends without a pause, thirty at most; each is acknowledged once the app says that it is kept.
WRITES = """(time) => {
  (async () => {
    for (let n = 0; n < 30; n += 1) {
      const id = `end-${time}-${n}`;
      const {kept} = await cards.doAct('card-1', (now) => deeds.openEnd(now, id, {kind: 'rag'}, 1));
      if (kept) acknowledge(id);
    }
  })();
}"""


# -- F53, F59: a database of before -----------------------------------------------------------------------------------------

VERSION_1 = """() => new Promise((done, fail) => {
  const request = indexedDB.open('cowlside', 1);
  request.onupgradeneeded = () => ['setups', 'kept', 'used'].forEach((name) => request.result.createObjectStore(name));
  request.onerror = fail;
  request.onsuccess = () => {
    const tx = request.result.transaction(['setups', 'kept', 'used'], 'readwrite');
    tx.objectStore('setups').put({id: 'a', name: 'Wagon', made: 1, values: {engine_size: '3.4 L'}}, 'a');
    tx.objectStore('kept').put('a', 'setup');
    tx.objectStore('used').put({address: 'help/', at: 5, pinned: 0}, 'help/');
    tx.oncomplete = () => { request.result.close(); done(); };
  };
})"""


def test_F53_a_database_of_the_first_version_keeps_what_is_in_it_and_takes_cards(phone, host):
    old = phone.new_page()
    old.goto(host.origin + PLAIN)
    old.evaluate(VERSION_1)
    page = with_card(opened(phone, host))
    found = page.evaluate(
        "Promise.all(['setups', 'kept', 'used'].map((name) => store.readAll(name).then((all) => [...all])))"
    )
    assert found == [
        [["a", {"id": "a", "name": "Wagon", "made": 1, "values": {"engine_size": "3.4 L"}}]],
        [["job", {"id": "card-1"}], ["setup", "a"]],
        [["help/", {"address": "help/", "at": 5, "pinned": 0}]],
    ]
    assert page.evaluate("inUse.jobInUse().then(({name}) => name)") == "Blower on the harbour wagon"


# -- F13: everything gone -----------------------------------------------------------------------------------------------------


def test_F13_a_phone_that_has_been_cleared_has_no_card_says_so_and_takes_the_export(phone, host):
    page = opened(phone, host)
    page.evaluate(FULL, TEMPLATE)
    before, text = everything(page), exported(page)
    cdp = phone.new_cdp_session(page)
    cdp.send("Storage.clearDataForOrigin", {"origin": host.origin, "storageTypes": "all"})
    fresh = opened(phone, host)
    assert fresh.evaluate("Promise.all([cards.allJobs(), inUse.jobInUse(), photos.unusedPhotos()])") == [
        [],
        None,
        {"ids": [], "bytes": 0},
    ]
    assert imported(fresh, text)["outcome"] == {"kept": True, "why": "fine", "isStale": False}
    fresh.evaluate("file.forgetImport()")
    assert fresh.evaluate(EVERYTHING) == before
