"""A Chromium for measuring, of a phone's size and speed."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from installing import CHROMIUM

STARTED = "[data-module=figure][data-started]"
VIEWPORT = {"width": 390, "height": 664}


@contextmanager
def phone(profile: Path, *, workers: bool = True) -> Iterator[BrowserContext]:
    """A started browser that keeps what it saves in `profile`; leaving it is switching the phone off."""
    path = CHROMIUM.find()
    if path is None:
        raise SystemExit("No Chromium found: install it, or name it in COWLSIDE_CHROMIUM.")
    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            profile,
            executable_path=path,
            args=["--no-sandbox"] if os.geteuid() == 0 else [],
            viewport=VIEWPORT,
            service_workers="allow" if workers else "block",
        )
        yield context
        context.close()


def slow_down(page: Page, rate: int) -> None:
    """Give the page a processor that is `rate` times slower."""
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": rate})
