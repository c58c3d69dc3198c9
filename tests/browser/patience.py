"""How long the tests wait for a browser: Playwright itself waits for ever for a promise of the page."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from playwright._impl._connection import Channel
from playwright.sync_api import Page

# How long a test waits for what is to come: on a slow machine that does nothing else for a while, too.
WAIT_MS = 30_000
# What is saved opens in this time though the server never answers: the worker itself waits for one longer (PAGE_PATIENCE in sw.js).
AT_ONCE_MS = 7_000
# Longer than any single call takes on a slow machine.
call_seconds = 150.0


@contextmanager
def bounded_calls() -> Iterator[None]:
    """Within it a call that is not answered in `call_seconds` raises AssertionError: it fails its test and does not hold up the run."""
    send = Channel.send

    async def bounded(self: Channel, method: str, *given: Any, **named: Any) -> Any:
        try:
            async with asyncio.timeout(call_seconds):
                return await send(self, method, *given, **named)
        except TimeoutError as error:
            raise AssertionError(f"no answer to {method} in {call_seconds:g} s") from error

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Channel, "send", bounded)
        yield


def let(page: Page, milliseconds: float) -> None:
    """Let time pass for a page, by its own clock: its timers that fall due meanwhile have run then, however slow the machine is."""
    page.evaluate("time => new Promise(done => setTimeout(done, time))", milliseconds)
