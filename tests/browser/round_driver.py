"""A torque round as somebody with a phone works it: fill in the form, mark, read what is next."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

READY = "[data-module=torque-round][data-started]"
MARK = ".round-mark"
# The modules that the page itself uses, as another part of the app would call them.
LIB = "await import(`/s/${document.documentElement.dataset.release}/js/lib/%s.js`)"
MAKE = f"""async ([id, name]) => {{
  const [{{ newJob }}, {{ addJob }}] = [{LIB % "job"}, {LIB % "job-store"}];
  await addJob(newJob({{ id, at: Date.now(), name, stages: [{{ title: "Fit", steps: [{{ id: "bolt-on", do: "Bolt it on." }}] }}] }}));
}}"""


def make_card(page: Page, ident: str = "a-1", name: str = "Harbour wagon") -> None:
    """A card in use, as the app's own modules make it; the page shows any page of the app."""
    page.evaluate(MAKE, [ident, name])


def card(page: Page, ident: str = "a-1") -> dict[str, Any]:
    """The card as the phone has it."""
    found: dict[str, Any] = page.evaluate(f"async id => ({LIB % 'job-store'}).readJob(id)", ident)
    return found


def open_setup(page: Page, origin: str, query: str = "job=a-1") -> None:
    page.goto(f"{origin}/en/job/round/?{query}")
    page.wait_for_selector(f"{READY} .round-form")


def fill(page: Page, /, **typed: str) -> None:
    """Type into the form; `unit_torque='N·m'` chooses a unit, `pattern='rows'` a pattern."""
    for name, text in typed.items():
        if name == "pattern":
            page.check(f"[name=pattern][value={text}]")
        elif name.startswith("unit_"):
            page.select_option(f"[name='{name.removeprefix('unit_')}.unit']", text)
        elif name == "adapter":
            page.check("[name=adapter]")
        else:
            page.fill(f"#round-{name.replace('_', '-')}", text)


def begin(page: Page) -> None:
    page.tap(".round-go")
    page.wait_for_selector(MARK)


def next_bolt(page: Page) -> int:
    """Number on the control that marks."""
    return int(page.inner_text(MARK).split()[-1])


def rested(page: Page) -> None:
    """Wait until a tap counts again."""
    page.wait_for_selector(f"{MARK}:not([data-rests])", state="attached")


def mark(page: Page, times: int = 1, key: str = "") -> list[int]:
    """Mark so many fasteners, by tap or by a key; their numbers."""
    marked = []
    for _ in range(times):
        rested(page)
        bolt = next_bolt(page)
        before = page.inner_text(".round-which")
        if key:
            page.keyboard.press(key)
        else:
            page.tap(MARK)
        page.wait_for_function(
            "before => document.querySelector('.round-which').textContent !== before", arg=before
        )
        marked.append(bolt)
    return marked


def aloud(page: Page) -> str:
    """What a screen reader was told last."""
    return page.text_content("[data-part=aloud]") or ""


def order_of_the_figure(page: Page, origin: str, query: str) -> list[int]:
    """The order as the page of the Figure has it in its own table, read from the server."""
    other = page.context.new_page()
    other.goto(f"{origin}/en/figures/tightening-order/?{query}")
    other.wait_for_selector("[data-module=figure][data-started]")
    rows: list[list[str]] = other.evaluate(
        "() => [...document.querySelectorAll('[data-part=further] tbody tr')].map(row => [...row.cells].map(cell => cell.textContent))"
    )
    other.close()
    return [int(cells[1]) for cells in rows]
