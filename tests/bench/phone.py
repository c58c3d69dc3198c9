"""What a person waits for on a slow phone: opening a saved Figure with no network, and the answer to a typed digit.

Chromium's processor brake makes the phone slow. Both are measured against a bare page in the same browser.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from typing import NamedTuple

from bytes_sent import FIGURE, wait_until_packed
from flask import Flask, Response
from playwright.sync_api import BrowserContext, Page, ViewportSize
from server_process import SERVE, Running
from window import STARTED, phone, slow_down

SAVED = "[data-module=saved-status][data-state=saved]"
OPENING_SLOWER, TYPING_SLOWER = 4, 6
RUN = "en/figures/fuel-headroom/"
LARGE: ViewportSize = {"width": 1024, "height": 1366}
OPENINGS, KEYS = 5, 40

# Tells when the page is at work, on the page's own clock, which starts with the opening. It tells by the console: waiting for a
# selector would put the driver's own script of some 300 KB into the page while that is still starting, and only into one that starts
# after its load event, as the bare page does not.
NOTE_START = f"""new MutationObserver((_, observer) => {{
  if (!document.querySelector('{STARTED}')) return;
  console.debug('at work', performance.now());
  observer.disconnect();
}}).observe(document, {{subtree: true, childList: true, attributes: true, attributeFilter: ['data-started']}});"""

# From a key to the first moment after the next painting: a message posted while a frame is made arrives when it is done.
NOTE_KEYS = """() => {
  window.waits = [];
  addEventListener('keydown', event => requestAnimationFrame(() => {
    const channel = new MessageChannel();
    channel.port1.onmessage = () => waits.push(performance.now() - event.timeStamp);
    channel.port2.postMessage(0);
  }), true);
}"""

# From a key to the painting of the first picture drawn after it; keys that come before it is drawn wait for the same picture.
NOTE_PICTURES = """() => {
  window.pictures = [];
  let typed = 0;
  addEventListener('keydown', event => { typed ||= event.timeStamp; }, true);
  const { clearRect } = CanvasRenderingContext2D.prototype;
  CanvasRenderingContext2D.prototype.clearRect = function (...where) {
    const since = typed;
    typed = 0;
    if (since) requestAnimationFrame(() => {
      const channel = new MessageChannel();
      channel.port1.onmessage = () => pictures.push(performance.now() - since);
      channel.port2.postMessage(0);
    });
    return clearRect.apply(this, where);
  };
}"""

# A browser tells of tasks from 50 ms on.
NOTE_TASKS = """() => {
  window.tasks = [];
  new PerformanceObserver(list => tasks.push(...list.getEntries().map(({duration}) => duration))).observe({entryTypes: ['longtask']});
}"""

# What tells machines apart: the same work on each. The sum is used, so that no browser leaves the loop out.
FIXED_WORK = """() => {
  const times = [];
  for (let round = 0; round < 9; round++) {
    const start = performance.now();
    let sum = 0;
    for (let n = 1; n <= 1e6; n++) sum += Math.sqrt(n);
    times.push(performance.now() - start + sum * 0);
  }
  return times.sort((one, other) => one - other)[4];
}"""

BARE_PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Bare</title>
<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="stylesheet" href="/bare.css">
<script type="module" src="/bare.js"></script></head><body><h1>Bare</h1><label>Rail <input id="take-rail" value="43.5"></label>
<p data-module="figure">8</p></body></html>"""
BARE_SCRIPT = """await navigator.serviceWorker?.register('/sw.js');
document.querySelector('p').dataset.started = '';
document.querySelector('input').oninput = event => { document.querySelector('p').textContent = event.target.value; };"""
BARE_WORKER = """const files = ['/', '/bare.css', '/bare.js'];
oninstall = event => event.waitUntil(caches.open('bare').then(cache => cache.addAll(files)));
onactivate = event => event.waitUntil(clients.claim());
onfetch = event => event.respondWith(caches.match(event.request).then(found => found ?? fetch(event.request)));"""


def measure() -> Iterator[tuple]:
    """Opening and typing, each with its bare counterpart."""
    # A release's first server packs its files in the background: that would take a processor from the browser, by ours alone.
    wait_until_packed()
    ours, bare = openings()
    yield f"opening a saved Figure offline, processor ÷ {OPENING_SLOWER}", ours, "ms"
    yield "  ÷ a bare saved page", ours / bare, "×", 1.5
    bare_page = typing(bare_command(), "", "#take-rail", STARTED)
    echoed = bare_page.answers
    yield f"this machine: a million roots in a page, processor ÷ {TYPING_SLOWER}", bare_page.work, "ms"
    typed = typing(SERVE, FIGURE, "#take-rail", STARTED).answers
    yield f"a digit to its painted answer, processor ÷ {TYPING_SLOWER}, median", median(typed), "ms"
    yield "  the slowest", max(typed), "ms"
    yield "  bare page that only repeats the digit, median", median(echoed), "ms"
    yield "  what the answer adds to that, median", median(typed) - median(echoed), "ms", 16
    # Among many inputs the picture lies far away from most of them, and is drawn when the typing pauses; a large screen has room for both.
    for shown, field, size in (
        ("on a phone", "#take-base", None),
        ("and picture in sight", "#take-displacement", LARGE),
    ):
        run = typing(SERVE, RUN, field, ".uplot canvas", size)
        painted = median(run.pictures if size else run.answers)
        yield f"fuel headroom {shown}, a digit until painted, ÷ {TYPING_SLOWER}, median", painted, "ms", 50
        yield "  what that adds to the bare page, median", painted - median(echoed), "ms"
        yield "  longest task while typing and after it", max(run.tasks, default=0.0), "ms", 50


def openings() -> tuple[float, float]:
    """Median milliseconds from address to a page at work: ours and the bare one, servers gone, browser just started."""
    with tempfile.TemporaryDirectory() as profile:
        place = Path(profile)
        with Running(SERVE) as ours, Running(bare_command(), path="/") as bare, phone(place) as browser:
            addresses = f"http://localhost:{ours.port}/{FIGURE}", f"http://localhost:{bare.port}/"
            save(browser, addresses[0], SAVED)
            save(browser, addresses[1], STARTED)
        times = [[opened(place, address) for address in addresses] for _ in range(OPENINGS)]
    return median(pair[0] for pair in times), median(pair[1] for pair in times)


def save(browser: BrowserContext, address: str, done: str) -> None:
    """Visit an address until its worker says that the copy is whole."""
    page = browser.new_page()
    page.goto(address)
    page.wait_for_selector(done, timeout=60_000)
    page.wait_for_function(
        "navigator.serviceWorker.controller || navigator.serviceWorker.ready.then(r => r.active)"
    )
    page.wait_for_timeout(500)


def opened(profile: Path, address: str) -> float:
    """Milliseconds to a page at work, in a browser that has only just been started."""
    with phone(profile) as browser:
        page = browser.new_page()
        page.add_init_script(NOTE_START)
        slow_down(page, OPENING_SLOWER)
        with page.expect_console_message(lambda message: message.text.startswith("at work ")) as told:
            page.goto(address, wait_until="commit")
        return float(told.value.text.removeprefix("at work "))


class Typed(NamedTuple):
    """Milliseconds: from each of many digits to its painted answer, and to its painted picture; each task of more than 50 ms; and
    what the page took for some fixed work.
    """

    answers: list[float]
    pictures: list[float]
    tasks: list[float]
    work: float


def typing(command: list[str], path: str, field: str, ready: str, size: ViewportSize | None = None) -> Typed:
    """Many digits typed into a field, on a page of its own, of another size than a phone's where one is given."""
    with (
        tempfile.TemporaryDirectory() as profile,
        Running(command, path="/") as server,
        phone(Path(profile), workers=False) as browser,
    ):
        page = browser.new_page()
        if size:
            page.set_viewport_size(size)
        page.goto(f"http://localhost:{server.port}/{path}")
        page.wait_for_selector(ready)
        page.focus(field)
        page.keyboard.press(
            "End"
        )  # the whole number stands selected: a digit would begin a new one, out of its range
        page.evaluate(NOTE_KEYS)
        page.evaluate(NOTE_PICTURES)
        slow_down(page, TYPING_SLOWER)
        page.wait_for_timeout(1000)
        page.evaluate(NOTE_TASKS)
        type_digits(page)
        page.wait_for_timeout(2000)
        waits, pictures, tasks = page.evaluate("[waits, pictures, tasks]")
        work = page.evaluate(FIXED_WORK)
    return Typed(waits[5:], pictures[5:], tasks, work)


def type_digits(page: Page) -> None:
    """Digits with pauses, as a thumb types; every other one is taken back, so that the number stays in its range."""
    for number in range(KEYS):
        page.keyboard.press("Backspace" if number % 2 else "1")
        page.wait_for_timeout(60)


def bare_command() -> list[str]:
    code = "import phone, waitress; waitress.serve(phone.bare_site(), host='127.0.0.1', port=PORT, threads=4)"
    return [sys.executable, "-c", code]


def bare_site() -> Flask:
    """One static page with the same sort of worker behind it."""
    site = Flask("bare")
    files = {"/": (BARE_PAGE, "text/html"), "/bare.css": ("body { margin: 1rem; }", "text/css")}
    files |= {"/bare.js": (BARE_SCRIPT, "text/javascript"), "/sw.js": (BARE_WORKER, "text/javascript")}

    @site.get("/", defaults={"name": ""})
    @site.get("/<name>")
    def file(name: str) -> Response | tuple[str, int]:
        text, kind = files.get(f"/{name}", ("", ""))
        return Response(text, mimetype=kind) if kind else ("", 404)

    return site
