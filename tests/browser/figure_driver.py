"""A Figure's page as somebody with a phone uses it: tap a row, tap keys, read the answer."""

from __future__ import annotations

from typing import Any

from browser.patience import WAIT_MS, let
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page

MAIN = ".slab-number"
SETTLED_MS = 600  # longer than the page waits before it writes the address


class FigurePage:
    """One Figure in one window. `noise` collects errors of the console and uncaught ones."""

    def __init__(
        self, page: Page, origin: str, figure: str = "injector-flow", query: str = "", lang: str = "en"
    ) -> None:
        self.page = page
        self.noise: list[str] = []
        page.on("console", self._hear)
        page.on("pageerror", lambda error: self.noise.append(str(error)))
        self.address = f"{origin}/{lang}/figures/{figure}/"
        self.open(query)

    def open(self, query: str = "") -> None:
        """Load the page and wait for its scripts to have taken over."""
        self.page.goto(self.address + (f"?{query}" if query else ""))
        self.page.wait_for_selector("[data-module=figure][data-started]")

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.noise.append(message.text)

    # -- typing -------------------------------------------------------------------------------------------------------------------

    def edit(self, name: str) -> None:
        """Tap a row's field."""
        self.page.tap(f"#take-{name}")

    def keys(self, *keys: str) -> None:
        """Tap keys of the pad, by what stands on them or by their names."""
        for key in keys:
            self.page.tap(f'.dock [data-key="{"mark" if key in ".," else key}"]')

    def unit(self, symbol: str) -> None:
        """Choose the unit of the row being edited, from the strip or from all of them."""
        button = self.page.locator(f'.unit-strip [aria-label="The number is in {symbol}"]')
        if not button.count():
            self.page.tap(".unit-strip .more")
            button = self.page.locator(f'.unit-panel [aria-label="The number is in {symbol}"]')
        button.tap()

    def type(self, name: str, text: str) -> None:
        """Put a text into a field as a keyboard would."""
        self.page.fill(f"#take-{name}", text)

    def settle(self) -> None:
        """Wait until the address has followed."""
        let(self.page, SETTLED_MS)

    # -- reading ------------------------------------------------------------------------------------------------------------------

    def answer(self) -> str:
        """Number and unit that stand largest, '' where there is none."""
        return self.page.evaluate(
            """() => { const main = document.querySelector('.slab-number');
            return main.hidden ? '' : ['number', 'unit'].map(part => main.querySelector(`[data-part=${part}]`).textContent).join(' ') }"""
        )

    def sentence(self) -> str:
        """What stands in place of the answer, '' where there is one."""
        problems = self.page.locator("[data-part=problems]")
        return " ".join(problems.inner_text().split()) if problems.is_visible() else ""

    def field(self, name: str) -> str:
        return self.page.input_value(f"#take-{name}")

    def beside(self, name: str) -> str:
        """The unit beside a field, '' where none is shown."""
        unit = self.page.locator(f"#row-{name} .given-unit")
        return unit.inner_text() if unit.is_visible() else ""

    def echo(self, name: str) -> str:
        return " ".join((self.page.text_content(f"#take-{name}-echo") or "").split())

    def box(self, selector: str) -> dict[str, float]:
        """Edges of an element in the window: left, top, right, bottom, width, height."""
        edges: dict[str, float] = self.page.eval_on_selector(
            selector, "element => element.getBoundingClientRect().toJSON()"
        )
        return edges


def phone_of(chromium: Browser, width: int = 390, height: int = 664, **settings: Any) -> BrowserContext:
    """A fresh phone of a size, without a service worker: each page comes from the server."""
    context = chromium.new_context(
        viewport={"width": width, "height": height},
        is_mobile=True,
        has_touch=True,
        locale="en-GB",
        **settings,
    )
    context.add_init_script("delete Navigator.prototype.serviceWorker")
    context.set_default_timeout(WAIT_MS)
    return context
