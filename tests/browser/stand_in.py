"""A small site that is saved like the real one: the real worker and components, pages of a few lines, releases at will.

Each part of a page names the release it came with, so that a mixture of two releases can be seen.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from playwright.sync_api import BrowserContext, Page

from webapp.site.bundle import make_bundle, worker_source
from webapp.site.headers import SECURITY_HEADERS
from webapp.site.manifest import manifest

REPO = Path(__file__).resolve().parents[2]
STATIC = REPO / "static"
FIGURE = "figures/injector-flow/"
PAGES = ("", "figures/", FIGURE, "help/", "help/changes/", "offline/")
SCRIPTS = ("lib/worker-link.js", "lib/saved.js", "lib/updates.js")
COMPONENTS = ("components/saved-status.js", "components/update-notice.js")
# As people and hosts write addresses -> the final one, all below the site's root.
TYPED = {
    "": "en/",
    "index.html": "en/",
    "en": "en/",
    "en/help": "en/help/",
    "en/help/index.html": "en/help/",
    f"en/{FIGURE}".rstrip("/"): f"en/{FIGURE}",
    f"en/{FIGURE}index.html": f"en/{FIGURE}",
    "en/?from=home-screen": "en/",
}
ICONS = ("tag.svg", "tag-192.png", "tag-512.png", "tag-maskable-192.png", "tag-maskable-512.png")
A_YEAR = "public, max-age=31536000, immutable"
BELL = b"RIFF" + bytes(range(256)) * 4
HTML, JS = "text/html; charset=utf-8", "text/javascript; charset=utf-8"

PAGE = """<!doctype html>
<html lang="{lang}" data-release="{release}"><head><meta charset="utf-8"><title>{path}</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="{root}s/{release}/icons/tag.svg">
<link rel="manifest" href="{root}{lang}/manifest.webmanifest">
<link rel="stylesheet" href="{root}s/{release}/css/base.css">
<script type="module" src="{root}s/{release}/js/main.js"></script></head>
<body data-root="{root}"><h1>Page {path}</h1><p id="status" role="status"></p>
<div id="notice" role="status" data-changes="{root}{lang}/help/changes/" hidden></div>
<a id="home" href="{root}{lang}/">Start</a> <a id="again" href="">Again</a>
<form><label>Rail pressure, psi <input id="rail" name="rail"></label> <output id="kpa"></output></form></body></html>"""

MAIN = """import { start as status } from "./components/saved-status.js";
import { start as notice } from "./components/update-notice.js";
import { FIGURES_OF } from "./figures.js";
const page = document.documentElement, body = document.body, rail = document.querySelector("#rail");
const { WORDS } = await import(`./words.${page.lang}.js`);
body.dataset.script = "@RELEASE@";
body.dataset.figures = FIGURES_OF;
const compute = () => {
  const number = rail.value.trim() === "" ? NaN : Number(rail.value.replace(/ *psi$/, ""));
  document.querySelector("#kpa").textContent =
    Number.isFinite(number) ? `${(number * 6.894757).toFixed(1)} kPa` : "Type a number.";
};
rail.value = new URLSearchParams(location.search).get("rail") ?? "";
rail.addEventListener("input", compute);
rail.addEventListener("focus", () => (page.dataset.busy = "editing"));
rail.addEventListener("blur", () => delete page.dataset.busy);
compute();
const options = { words: WORDS, root: body.dataset.root };
status(document.querySelector("#status"), options);
notice(document.querySelector("#notice"), options);
"""

ENTER = """() => new Promise(done => {
  const opening = indexedDB.open('entered', 1);
  opening.onupgradeneeded = () => opening.result.createObjectStore('notes');
  opening.onsuccess = () => {
    const database = opening.result, change = database.transaction('notes', 'readwrite');
    const reading = change.objectStore('notes').get('rail');
    reading.onsuccess = () => { const before = reading.result ?? null; change.objectStore('notes').put('43.5 psi', 'rail');
      change.oncomplete = () => { database.close(); done(before); }; };
  };
})"""


@dataclass(frozen=True)
class StandIn:
    """One release.

    files   path -> (body, content type) of everything that is saved.
    worker  the text of sw.js.
    keep    Cache-Control of pages and worker; that of assets is always a year.
    """

    release: str
    files: dict[str, tuple[bytes, str]]
    worker: bytes
    keep: str = "no-cache"

    def __call__(self, env: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        """Answers as the real site does: redirects to final addresses, one policy for all pages, long-lived assets."""
        path = env["PATH_INFO"].removeprefix("/")
        body, kind = self.worker_or_file(path)
        if kind:
            keep = A_YEAR if path.startswith("s/") else self.keep
            start("200 OK", [("Content-Type", kind), ("Cache-Control", keep), *SECURITY_HEADERS])
            return [body]
        if final := self.final(path):
            start("302 Found", [("Location", f"/{final}"), ("Content-Length", "0")])
            return [b""]
        start("404 Not Found", [("Content-Type", HTML)])
        return [b"<!doctype html><title>404</title><h1>No such page here</h1>"]

    def worker_or_file(self, path: str) -> tuple[bytes, str]:
        """Body and type of what stands at exactly this path; two empties if nothing does."""
        return (self.worker, JS) if path == "sw.js" else self.files.get(path, (b"", ""))

    def final(self, path: str) -> str:
        """Where '', 'en/help' or 'en/help/index.html' is sent on to."""
        meant = "en/" if path == "" else path.removesuffix("index.html").rstrip("/") + "/"
        return meant if meant in self.files else ""

    def write_to(self, folder: Path) -> None:
        """The same release as plain files."""
        for path, (body, _) in {**self.files, "sw.js": (self.worker, JS)}.items():
            target = folder / path / "index.html" if path.endswith("/") else folder / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(body)


def stand_in(
    release: str,
    languages: Sequence[str] = ("en",),
    patience_seconds: float = 20,
    news: str = "",
) -> StandIn:
    """A release of the small site."""
    own = {path: body for lang in languages for path, body in own_files(lang, release).items()}
    shared = shared_files(release)
    bundle = make_bundle(
        own, shared, release, languages, dated="2026-11-25", news={"en": news} if news else None
    )
    text = worker_source((STATIC / "js/sw.js").read_text(encoding="utf-8"), bundle, patience_seconds)
    return StandIn(release, {**own, **shared}, text.encode())


def own_files(lang: str, release: str) -> dict[str, tuple[bytes, str]]:
    """What belongs to one language."""
    pages = {
        f"{lang}/{path}": PAGE.format(
            lang=lang, release=release, path=f"{lang}/{path}", root="../" * (path.count("/") + 1)
        )
        for path in PAGES
    }
    found = {path: (text.encode(), HTML) for path, text in pages.items()}
    described = json.dumps(manifest(words(), lang, release)).encode()
    found[f"{lang}/manifest.webmanifest"] = (described, "application/manifest+json")
    found[f"s/{release}/js/words.{lang}.js"] = (f"export const WORDS = {json.dumps(words())};".encode(), JS)
    return found


def shared_files(release: str) -> dict[str, tuple[bytes, str]]:
    """What every language needs."""
    found = {f"js/{name}": ((STATIC / "js" / name).read_bytes(), JS) for name in (*SCRIPTS, *COMPONENTS)}
    found |= {
        f"icons/{name}": (
            (STATIC / "icons" / name).read_bytes(),
            "image/svg+xml" if name.endswith("svg") else "image/png",
        )
        for name in ICONS
    }
    found["js/main.js"] = (MAIN.replace("@RELEASE@", release).encode(), JS)
    found["js/figures.js"] = (f'export const FIGURES_OF = "{release}";'.encode(), JS)
    found["css/base.css"] = (f':root{{--release:"{release}"}}[hidden]{{display:none}}'.encode(), "text/css")
    found["sound/bell.wav"] = (BELL, "audio/wav")
    return {f"s/{release}/{name}": what for name, what in found.items()}


def words() -> dict[str, str]:
    """The app's own words for all this."""
    text = (REPO / "content/words/offline.md").read_text(encoding="utf-8")
    found: dict[str, str] = yaml.safe_load(text.split("---")[1])["words"]
    return found


# ---- what a person sees


def wait_for(page: Page, kind: str) -> str:
    """Wait until the status line is of this kind; its text."""
    page.wait_for_selector(f"#status[data-state={kind}]")
    return page.inner_text("#status")


def wait_for_text(page: Page, part: str) -> str:
    """Wait until the status line holds these words; its text."""
    page.wait_for_function("part => document.querySelector('#status').textContent.includes(part)", arg=part)
    return page.inner_text("#status")


def open_saved(page: Page, address: str) -> None:
    """Open an address and wait until it says that it is saved."""
    page.goto(address)
    wait_for(page, "saved")


def releases(page: Page) -> set[str]:
    """The releases that page, script, data and style are of."""
    page.wait_for_selector("body[data-figures]")
    found: list[str] = page.evaluate(
        """() => [document.documentElement.dataset.release, document.body.dataset.script, document.body.dataset.figures,
        getComputedStyle(document.documentElement).getPropertyValue('--release').trim().replaceAll('"', '')]"""
    )
    return set(found)


def copies(page: Page) -> list[str]:
    """Names of all caches of this origin."""
    found: list[str] = page.evaluate("caches.keys()")
    return found


def until(page: Page, expression: str, arg: Any = None) -> None:
    """Ask the page until the answer is true. Playwright's own way takes a promise itself for a true answer."""
    for _ in range(300):
        if page.evaluate(expression, arg):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"never true: {expression}")


def errors_of(page: Page) -> list[str]:
    """Errors of this page's console and scripts, as they come."""
    found: list[str] = []
    page.on("console", lambda message: found.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: found.append(str(error)))
    return found


# ---- what a phone keeps beside the copy, and what it throws away


def entered_before(page: Page) -> str | None:
    """What was entered on this phone at the last call, None if nothing; it enters something itself."""
    found: str | None = page.evaluate(ENTER)
    return found


def throw_away(phone: BrowserContext, page: Page, cache: str, path: str) -> None:
    """Remove one entry of a saved copy, as a phone short of room does."""
    cdp = phone.new_cdp_session(page)
    origin = page.evaluate("location.origin")
    every = cdp.send("CacheStorage.requestCacheNames", {"securityOrigin": origin})["caches"]
    (cache_id,) = [one["cacheId"] for one in every if one["cacheName"] == cache]
    cdp.send("CacheStorage.deleteEntry", {"cacheId": cache_id, "request": origin + path})
