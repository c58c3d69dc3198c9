"""Browsers and servers for the tests in this folder. Each is ended by the one who started it."""

from __future__ import annotations

import glob
import os
import shutil
import subprocess
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from browser import patience
from browser.bare_page import BarePage, bare_page
from browser.faults import GARAGE, App, FaultyServer
from browser.figure_driver import FigurePage, phone_of
from browser.patience import WAIT_MS
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

from webapp import create_app
from webapp.book import Book
from webapp.paths import static_dir
from webapp.site.packing import Packer

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
MINI_BROWSERS = "/usr/lib/*/webkit2gtk-4.*/MiniBrowser"
# Each window of Chromium 156 gets two hidden pages for its address bar, in a process of their own: half of the time that a new window
# takes, for nothing. A list of ours takes the place of Playwright's, so what of that bears on a test stands in it too.
NOT_NEEDED = (
    "WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup", "AimEnabled", "DestroyProfileOnBrowserClose", "HttpsUpgrades",
    "LensOverlay", "MediaRouter", "DialMediaRouteProvider", "NetworkTimeServiceQuerying", "OptimizationHints", "PaintHolding",
    "SpareRendererForSitePerProcess", "ThirdPartyStoragePartitioning", "Translate", "AvoidUnnecessaryBeforeUnloadCheckSync",
    "BlockOriginHeaderModificationOnRedirect", "AvoidCorsURLLoaderRestartOnRedirect",
)  # fmt: skip
# Chromium's sandbox refuses to run for root, as which containers run.
CHROMIUM_ARGUMENTS = [
    f"--host-resolver-rules=MAP {GARAGE} 127.0.0.1",
    f"--disable-features={','.join(NOT_NEEDED)}",
    *(["--no-sandbox"] if os.geteuid() == 0 else []),
]
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "is_mobile": True,
    "has_touch": True,
    "locale": "en-GB",
}


@pytest.fixture(scope="module", autouse=True)
def unpacked() -> Iterator[None]:
    """Servers in this process send their files as they are: packing each release that a test makes up takes a core for ten seconds."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Packer, "start", lambda packer: None)
        yield


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The driver of Chromium and Firefox."""
    expect.set_options(timeout=WAIT_MS)
    with patience.bounded_calls(), sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """Where Chromium is: COWLSIDE_CHROMIUM, else the first of the usual names on PATH."""
    chosen = os.environ.get("COWLSIDE_CHROMIUM")
    found = (shutil.which(name) for name in ([chosen] if chosen else CHROMIUM_NAMES))
    path = next(filter(None, found), None)
    if path is None:
        pytest.fail("No Chromium found: install it, or name it in COWLSIDE_CHROMIUM.")
    return path


@pytest.fixture(scope="session")
def chromium(playwright: Playwright, chromium_path: str) -> Iterator[Browser]:
    """One Chromium for all tests of a worker; each test opens contexts of its own, which share nothing."""
    browser = playwright.chromium.launch(executable_path=chromium_path, args=CHROMIUM_ARGUMENTS)
    yield browser
    browser.close()


@pytest.fixture
def phone(chromium: Browser) -> Iterator[BrowserContext]:
    """A fresh phone: nothing saved, nothing entered."""
    context = chromium.new_context(**PHONE)
    context.set_default_timeout(WAIT_MS)
    yield context
    context.close()


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    """A fresh phone without a service worker: each page comes from the server."""
    made = phone_of(chromium)
    yield made
    made.close()


@pytest.fixture(scope="module")
def origin(book: Book) -> Iterator[str]:
    """Address of the real app, for the tests of a file."""
    running = FaultyServer(create_app(book=book))
    yield running.origin
    running.close()


@pytest.fixture(scope="module")
def host() -> Iterator[FaultyServer]:
    """A server of `static/` as plain files: modules without the app around them."""
    running = FaultyServer(static_dir())
    yield running
    running.close()


@pytest.fixture(scope="module")
def window(chromium: Browser) -> Iterator[Page]:
    """One window for the tests of a file that need nothing special of the phone; each opens its own page in it."""
    context = phone_of(chromium)
    yield context.new_page()
    context.close()


@pytest.fixture
def flow(window: Page, origin: str) -> FigurePage:
    """The Figure of injector flow, on what the `origin` of the file serves."""
    return FigurePage(window, origin)


@pytest.fixture
def own_profile(
    playwright: Playwright, chromium_path: str, tmp_path: Path
) -> Iterator[Callable[[], BrowserContext]]:
    """Starts Chromium with a profile that outlives it: call, close, call again is a restarted phone."""
    started: list[BrowserContext] = []

    def start() -> BrowserContext:
        context = playwright.chromium.launch_persistent_context(
            tmp_path / "profile", executable_path=chromium_path, args=CHROMIUM_ARGUMENTS
        )
        context.set_default_timeout(WAIT_MS)
        started.append(context)
        return context

    yield start
    for context in started:
        context.close()


@pytest.fixture
def bare(chromium_path: str, tmp_path: Path) -> Iterator[BarePage]:
    """A page of a Chromium to whose workers nothing is attached."""
    with bare_page(chromium_path, CHROMIUM_ARGUMENTS, tmp_path / "bare") as page:
        yield page


@pytest.fixture
def server() -> Iterator[Callable[..., FaultyServer]]:
    """Starts servers: `server(app)` or `server(folder)`, as many as a test needs."""
    started: list[FaultyServer] = []

    def start(app: App | Path, **options: Any) -> FaultyServer:
        started.append(FaultyServer(app, **options))
        return started[-1]

    yield start
    for each in started:
        each.close()


@pytest.fixture(scope="session")
def display() -> Iterator[str]:
    """A screen for browsers that will not do without one: ':7' or the like."""
    reading, writing = os.pipe()
    command = ("Xvfb", "-displayfd", str(writing), "-screen", "0", "1280x1024x24", "-nolisten", "tcp")
    with subprocess.Popen(command, pass_fds=[writing], stderr=subprocess.DEVNULL) as process:
        os.close(writing)
        with os.fdopen(reading) as pipe:
            number = pipe.readline().strip()
        yield f":{number}"
        process.terminate()


@pytest.fixture(scope="module")
def webkit(display: str) -> Iterator[Any]:
    """WebKitGTK, the nearest thing to Safari that can be had without one. One window for a file of tests."""
    from selenium import webdriver
    from selenium.webdriver.webkitgtk.options import Options
    from selenium.webdriver.webkitgtk.service import Service

    driver_path, browser_path = shutil.which("WebKitWebDriver"), next(iter(glob.glob(MINI_BROWSERS)), None)
    if driver_path is None or browser_path is None:
        pytest.fail("No WebKitGTK found: install the driver and its MiniBrowser (Debian: webkit2gtk-driver).")
    options = Options()
    options.binary_location = browser_path
    options.add_argument("--automation")
    service = Service(driver_path, env={**os.environ, "DISPLAY": display})
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # selenium uses an older form of its own call
        driver = webdriver.WebKitGTK(options=options, service=service)
    driver.set_script_timeout(WAIT_MS / 1000)
    driver.set_page_load_timeout(WAIT_MS / 1000)
    yield driver
    driver.quit()
