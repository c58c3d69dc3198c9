"""A page driven over the browser's own protocol and nothing more.

Playwright attaches itself to every service worker. On a busy machine Chromium then at times never counts the old worker as idle, so
that an accepted release is not put in charge while its page is open; with nothing attached to the worker that was not seen.
"""

from __future__ import annotations

import json
import subprocess
import time
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import websocket

PATIENCE_SECONDS = 90.0
LOOK_SECONDS = 0.1
CENTRE = """(() => { const element = %s; element.scrollIntoView({block: 'center'});
const box = element.getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2] })()"""
# What stands on the page under a text, the innermost.
WITH_TEXT = "[...document.querySelectorAll('a, button')].find((one) => one.textContent.trim() === %s && one.checkVisibility())"


class BarePage:
    """One page. `noise` collects errors of its console and uncaught ones."""

    def __init__(self, address: str) -> None:
        self.noise: list[str] = []
        self._socket = websocket.create_connection(address, timeout=PATIENCE_SECONDS)
        self._number = 0
        for domain in ("Runtime", "Page", "Log"):
            self._call(f"{domain}.enable")

    def goto(self, address: str) -> None:
        self._call("Page.navigate", url=address)

    def reload(self) -> None:
        self._call("Page.reload")

    def ask(self, expression: str) -> Any:
        """The value of an expression on the page, None while there is none: between two pages nothing answers."""
        found = self._call("Runtime.evaluate", expression=expression, returnByValue=True)
        return found.get("result", {}).get("value") if "exceptionDetails" not in found else None

    def until(self, expression: str) -> None:
        """Ask until the answer is true. Raises AssertionError when it never is."""
        end = time.monotonic() + PATIENCE_SECONDS
        while time.monotonic() < end:
            if self.ask(f"Boolean({expression})"):
                return
            time.sleep(LOOK_SECONDS)
        raise AssertionError(f"never true: {expression}")

    def tap(self, element: str) -> None:
        """Press in the middle of what a script expression gives."""
        self.until(element)
        x, y = self.ask(CENTRE % element)
        for kind in ("mousePressed", "mouseReleased"):
            self._call("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    def tap_text(self, text: str) -> None:
        self.tap(WITH_TEXT % json.dumps(text))

    def close(self) -> None:
        self._socket.close()

    def _call(self, method: str, **given: Any) -> Any:
        self._number += 1
        self._socket.send(json.dumps({"id": self._number, "method": method, "params": given}))
        while True:
            told = json.loads(self._socket.recv())
            if told.get("id") == self._number:
                return told.get("result", {})
            self._hear(told)

    def _hear(self, told: Any) -> None:
        method, what = told.get("method"), told.get("params", {})
        entry = what.get("entry", {})
        if (
            method == "Runtime.exceptionThrown"
            or (method == "Runtime.consoleAPICalled" and what["type"] == "error")
            or (method == "Log.entryAdded" and entry.get("level") == "error")
        ):
            self.noise.append(json.dumps(what))


@contextmanager
def bare_page(chromium: str, arguments: Sequence[str], profile: Path) -> Iterator[BarePage]:
    """A page of the size of a phone in a Chromium of its own, which ends with it."""
    command = [
        chromium,
        *("--headless", "--remote-debugging-port=0", "--remote-allow-origins=*", "--window-size=390,844"),
        *(f"--user-data-dir={profile}", *arguments, "about:blank"),
    ]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        try:
            page = BarePage(_address(profile / "DevToolsActivePort"))
            yield page
            page.close()
        finally:
            process.kill()


def _address(port_file: Path) -> str:
    """Address of the first page, once the browser has written its port."""
    end = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < end:
        port = port_file.read_text().partition("\n")[0] if port_file.exists() else ""
        if port:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/json") as answer:
                pages = [one for one in json.load(answer) if one["type"] == "page"]
            if pages:
                return str(pages[0]["webSocketDebuggerUrl"])
        time.sleep(LOOK_SECONDS)
    raise AssertionError("the browser did not come up")
