"""Accessibility rules on a page as it stands in the browser: axe-core's, and those of ours that axe-core has no rule for.

axe-core leaves some rules out unless asked, and files what it cannot decide under 'incomplete', which is not a pass. Here the
left-out rules are switched on by name, and an undecided contrast counts as a fault.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from playwright.sync_api import Page

SWITCHED_ON = (
    "target-size",
    "color-contrast-enhanced",
    "identical-links-same-purpose",
    "meta-refresh-no-exceptions",
)
MUST_BE_DECIDED = ("color-contrast", "color-contrast-enhanced", "target-size", "scrollable-region-focusable")


def faults(page: Page, forced_colours: bool = False, colours_only: bool = False) -> list[str]:
    """'rule: place: why' of everything on the page that breaks a rule, or could not be decided where it must be.

    forced_colours   the person's own colours are painted: contrast is theirs, except where the page insists on its own.
    colours_only     the rules that look at colours, for a page that has kept all of them in its other theme.
    """
    bring_rules(page)
    asked = [SWITCHED_ON, MUST_BE_DECIDED, forced_colours, colours_only]
    violations, undecided = page.evaluate("asked => pageRules.runAxe(asked)", asked)
    quiet = page.evaluate("pageRules.quietAnswers()")
    return [
        *(spell(*place) for place in violations),
        *(f"undecided {spell(*place)}" for place in undecided),
        *(f"quiet-answers: form {form}: nothing beside it is read out" for form in quiet),
    ]


def sticking_out(page: Page) -> list[str]:
    """What needs sideways scrolling or is cut off at the width that the page has now."""
    bring_rules(page)
    found: list[str] = page.evaluate("pageRules.stickingOut()")
    return found


def bring_rules(page: Page) -> None:
    """Evaluate the rules in the page: not by a script tag, so that the page's own content policy stays in force."""
    if not page.evaluate("'pageRules' in window"):
        page.evaluate(rules_source())


@cache
def rules_source() -> str:
    """The text of axe-core and of our own rules."""
    here = Path(__file__).resolve().parent
    sources = (here.parent / "node_modules" / "axe-core" / "axe.min.js", here / "page-rules.js")
    return "\n".join(source.read_text(encoding="utf-8") for source in sources)


def spell(rule: str, place: str, why: str) -> str:
    """One line for one place."""
    return f"{rule}: {place}: {' '.join(why.split())}"
