"""How long the tests wait for a browser: Playwright itself waits for ever for a promise of the page."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from playwright._impl._connection import Channel

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
