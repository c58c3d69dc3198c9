"""A job card as somebody with a phone uses it: tap a step, hang a tag, write, tick."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

from playwright.sync_api import BrowserContext, Page

CARD = "[data-module=job-card][data-started]"
TOLD = ".card-told"


class CardPage:
    """One card in one window."""

    def __init__(self, page: Page, origin: str) -> None:
        self.page = page
        self.origin = origin

    # -- coming and going -------------------------------------------------------------------------------------------------------

    def make(self, template: str) -> CardPage:
        """A card from a template, by its page."""
        self.page.goto(f"{self.origin}/en/job/{template}/")
        self.page.wait_for_selector("[data-module=job-make][data-started]")
        self.page.click(".card-make")
        return self.ready()

    def make_from_nothing(self, name: str) -> CardPage:
        self.list()
        self.page.click("summary:text-is('Make a card from nothing')")
        self.page.fill("[data-module=job-list] .card-form input", name)
        self.page.click("text=Make the card")
        return self.ready()

    def open(self, job: str) -> CardPage:
        self.page.goto(f"{self.origin}/en/job/card/?job={job}")
        return self.ready()

    def reload(self) -> CardPage:
        self.page.reload()
        return self.ready()

    def list(self) -> Page:
        self.page.goto(f"{self.origin}/en/job/")
        self.page.wait_for_selector("[data-module=job-list][data-started]")
        return self.page

    def ready(self) -> CardPage:
        self.page.wait_for_selector(CARD)
        return self

    @property
    def job(self) -> str:
        return self.page.url.split("job=")[1]

    # -- steps --------------------------------------------------------------------------------------------------------------------

    def show(self, step: str) -> CardPage:
        """Open a step, whether it is open already or not."""
        item = self.page.locator(f"[data-step={step}]")
        if "is-open" not in (item.get_attribute("class") or ""):
            item.locator(".card-step-head").click()
        self.page.wait_for_selector(f"[data-step={step}].is-open .card-done")
        return self

    def open_step(self) -> str:
        """The step that stands open, '' for none."""
        item = self.page.locator(".card-step.is-open")
        return (item.get_attribute("data-step") or "") if item.count() else ""

    def is_done(self, step: str) -> bool:
        return self.page.get_attribute(f"[data-step={step}]", "data-state") == "done"

    def tick(self, step: str) -> CardPage:
        self.show(step)
        self.page.click(".card-tick")
        self.page.wait_for_selector(f"[data-step={step}][data-state=done]")
        return self

    def try_tick(self, step: str) -> str:
        """Press the control of a step that may not be ticked; what is said."""
        self.show(step)
        self.page.click(".card-tick", force=True)
        self.page.wait_for_selector(f"{TOLD}:not(.out-of-sight) p:has-text('Not ticked.')")
        return self.told()

    def described(self) -> str:
        """What a screen reader reads out beside the control of the open step."""
        name = self.page.get_attribute(".card-tick", "aria-describedby")
        return self.page.inner_text(f"#{name}") if name else ""

    def confirm_all(self, step: str) -> CardPage:
        """Read and confirm every sheet of a step, and come back."""
        self.show(step)
        while self.page.locator(".card-strip:not(.is-confirmed)").count():
            self.page.locator(".card-strip:not(.is-confirmed)").first.click()
            self.page.wait_for_selector("[data-module=confirm][data-started]")
            self.page.tap("[data-part=first]")
            self.page.tap("[data-part=second]")
            self.page.wait_for_selector("[data-part=take-back]")
            self.page.tap("[data-part=card]")
            self.ready()
            self.show(step)
        return self

    # -- loose ends ---------------------------------------------------------------------------------------------------------------

    def hang(self, kind: str, place: str = "", count: int = 1) -> CardPage:
        """A loose end of the open step, or of the view of loose ends, by its own fold."""
        fold = self.page.locator("details:has(> summary:text-is('Another loose end')):visible")
        before = self.ends()
        if not fold.evaluate("fold => fold.open"):
            fold.locator("summary").click()
        fold.get_by_label("Where").fill(place)
        fold.get_by_label("How many").fill(str(count))
        fold.get_by_role("button", name=kind, exact=True).click()
        self.page.wait_for_selector(f".card-count[data-open='{before + 1}']")
        return self

    def ends(self) -> int:
        """What the tag at the thumb says."""
        return int(self.page.get_attribute(".card-count", "data-open") or "-1")

    def show_ends(self) -> CardPage:
        self.page.click(".card-count")
        self.page.wait_for_selector("#loose-ends")
        return self

    # -- what is said and taken back ------------------------------------------------------------------------------------------------

    def told(self) -> str:
        return self.page.locator(f"{TOLD} p").inner_text()

    def hear(self, text: str) -> None:
        self.page.wait_for_selector(f"{TOLD} p:has-text('{text}')", state="attached")

    def undo(self) -> str:
        """Take the last action back; what would be undone, as it was announced."""
        what = self.page.get_attribute(".card-undo", "title") or ""
        self.page.click(".card-undo")
        self.hear(f"Undone: {what[:30].rpartition(' ')[0]}")
        return what

    def progress(self) -> str:
        return self.page.inner_text(".card-progress")

    def field(self, key: str) -> str:
        return self.page.input_value(f"[data-key='{key}']")


def picture(path: Path, width: int = 2000, height: int = 1000) -> Path:
    """A PNG file of one colour (its format: PNG specification, third edition, from memory)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = zlib.compress((b"\0" + b"\x20\x60\x90" * width) * height)
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b""))
    return path


def card_of(context: BrowserContext, origin: str) -> CardPage:
    return CardPage(context.new_page(), origin)
