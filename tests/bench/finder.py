"""The finder on a slow phone: what a key costs in script and layout, and how long until its results are painted."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from phone import NOTE_KEYS, bare_command
from playwright.sync_api import CDPSession, Page
from server_process import SERVE, Running
from window import STARTED, phone, slow_down

SLOWER = 6
FRAME_MS = 1000 / 60
# As people type them: letters, a size, mistyped words, several words, numbers with a unit.
TYPED = (
    "inj",
    "ft lb",
    "-6",
    "presure raito",
    "m8x1.25",
    "fuel pump",
    "43.5 psi",
    "330 cc",
    "injecter",
    "e85",
)
READY = "[data-module=finder][data-ready]"
AT_WORK = ("ScriptDuration", "LayoutDuration", "RecalcStyleDuration")


def measure() -> Iterator[tuple]:
    """A key in the finder, beside a key in a bare page that only repeats it."""
    costs, waits = keys("en/find/", READY, "#find-q")
    _, bare = keys("", STARTED, "#take-rail", bare_command())
    yield (
        f"a key in the finder: script, style and layout, processor ÷ {SLOWER}, median",
        median(costs),
        "ms",
        FRAME_MS,
    )
    yield "  of a hundred keys the fifth slowest", sorted(costs)[-max(1, len(costs) // 20)], "ms"
    yield "  the slowest", max(costs), "ms"
    yield "  to its painted results, median", median(waits), "ms"
    yield (
        "  what the results add to a bare page that only repeats the key, median",
        median(waits) - median(bare),
        "ms",
        FRAME_MS,
    )


def keys(path: str, ready: str, field: str, command: list[str] = SERVE) -> tuple[list[float], list[float]]:
    """For each key of all that is typed: milliseconds of work, and milliseconds until painted."""
    costs: list[float] = []
    with (
        tempfile.TemporaryDirectory() as profile,
        Running(command, path="/") as server,
        phone(Path(profile), workers=False) as browser,
    ):
        page = browser.new_page()
        page.goto(f"http://localhost:{server.port}/{path}")
        page.wait_for_selector(ready)
        devtools = page.context.new_cdp_session(page)
        devtools.send("Performance.enable")
        page.evaluate(NOTE_KEYS)
        slow_down(page, SLOWER)
        for text in ("warm up", *TYPED):
            page.fill(field, "")
            costs += typed(page, devtools, field, text)
        waits: list[float] = page.evaluate("window.waits")
    begun = len("warm up")
    return costs[begun:], waits[begun:]


def typed(page: Page, devtools: CDPSession, field: str, text: str) -> list[float]:
    """What each key of a text costs, the painting of its results included."""
    costs = []
    page.focus(field)
    for key in text:
        before = work(devtools)
        page.keyboard.press("Space" if key == " " else key)
        page.wait_for_timeout(80)
        costs.append(work(devtools) - before)
    return costs


def work(devtools: CDPSession) -> float:
    """Milliseconds that the page has worked so far."""
    counted = {one["name"]: one["value"] for one in devtools.send("Performance.getMetrics")["metrics"]}
    return 1000 * sum(float(counted[name]) for name in AT_WORK)
