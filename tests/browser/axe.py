"""Accessibility rules on a page as it stands in the browser: axe-core's, and those of ours that axe-core has no rule for.

axe-core leaves some rules out unless asked, and files what it cannot decide under 'incomplete', which is not a pass. Here the
left-out rules are switched on by name, and an undecided contrast counts as a fault.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

SWITCHED_ON = (
    "target-size",
    "color-contrast-enhanced",
    "identical-links-same-purpose",
    "meta-refresh-no-exceptions",
)
CONTRAST = ("color-contrast", "color-contrast-enhanced")
MUST_BE_DECIDED = (*CONTRAST, "target-size", "scrollable-region-focusable")

# Signs such as the minus of a formula are measured like any other text: by itself axe-core leaves them undecided.
RUN_AXE = """([names, left, contrast]) => {
  const measured = Object.fromEntries(['color-contrast', 'color-contrast-enhanced'].map(name =>
    [name, {options: {...axe._audit.checks[name].options, ignoreUnicode: false}}]));
  const switched = {...Object.fromEntries(names.map(name => [name, {enabled: true}])),
    ...Object.fromEntries(left.map(name => [name, {enabled: false}]))};
  const options = {resultTypes: ['violations', 'incomplete'], checks: measured, rules: switched};
  const own = [...document.querySelectorAll('*')].filter(each => getComputedStyle(each).forcedColorAdjust === 'none');
  const plain = axe.run(document, options);
  const both = !left.length || !own.length ? plain : plain.then(first =>
    axe.run({include: own}, {...options, runOnly: contrast, rules: {}}).then(second =>
      ({violations: [...first.violations, ...second.violations], incomplete: [...first.incomplete, ...second.incomplete]})));
  return both.then(found => [found.violations, found.incomplete].map(list =>
    list.map(rule => [rule.id, rule.nodes.map(node => [node.target.join(' '), node.failureSummary || ''])])));
}"""

# No rule of axe-core asks for it: where numbers change while a person types, something beside them must say so aloud.
QUIET_ANSWERS = """() => {
  const aloud = '[aria-live=polite], [aria-live=assertive], [role=status], [role=alert], output';
  return [...document.querySelectorAll('form')]
    .filter(form => form.querySelector('input, select'))
    .filter(form => !(form.closest('[data-module]') ?? document).querySelector(aloud))
    .map(form => form.id || form.action);
}"""

# What sticks out of the window on the right, itself or through an ancestor that merely hides it. Out of the way on purpose:
# what has a scroll box of its own (its keyboard reach is axe-core's affair) and text for screen readers only.
STICKING_OUT = """() => {
  const wide = document.documentElement.clientWidth, found = [];
  if (document.documentElement.scrollWidth > wide) found.push(`the page is ${document.documentElement.scrollWidth} px wide`);
  const boxed = element => {
    for (let box = element.parentElement; box && box !== document.body; box = box.parentElement) {
      if (/auto|scroll/.test(getComputedStyle(box).overflowX)) return true;
    }
    return false;
  };
  for (const element of document.body.querySelectorAll('*')) {
    if (!element.checkVisibility({opacityProperty: true, visibilityProperty: true})) continue;
    const box = element.getBoundingClientRect(), style = getComputedStyle(element);
    const unseen = box.width <= 1 || box.height <= 1 || style.clipPath !== 'none' || style.clip !== 'auto';
    const over = Math.max(box.right - wide, -box.left);
    if (!unseen && over > 1 && !boxed(element)) found.push(`${name(element)} sticks out by ${over.toFixed(1)} px`);
    const cut = element.scrollWidth - element.clientWidth;
    if (!unseen && cut > 1 && /hidden|clip/.test(style.overflowX) && element.textContent.trim()) {
      found.push(`${name(element)} cuts off ${cut} px of its text`);
    }
  }
  return found;
  function name(element) {
    const classes = [...element.classList].map(each => '.' + each).join('');
    return element.tagName.toLowerCase() + (element.id ? '#' + element.id : '') + classes;
  }
}"""


def faults(page: Page, forced_colours: bool = False) -> list[str]:
    """'rule: place: why' of everything on the page that breaks a rule or could not be decided where it must be.

    forced_colours   the person's own colours are in force: contrast is theirs, except where the page insists on its own.
    """
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(axe_source())  # not a script tag: the page's own content policy stays in force
    left = list(CONTRAST) if forced_colours else []
    violations, incomplete = page.evaluate(RUN_AXE, [list(SWITCHED_ON), left, list(CONTRAST)])
    undecided = [rule for rule in incomplete if rule[0] in MUST_BE_DECIDED]
    found = spell("", violations) + spell("undecided ", undecided)
    return found + [
        f"quiet-answers: form {form}: nothing beside it is read out" for form in page.evaluate(QUIET_ANSWERS)
    ]


def sticking_out(page: Page) -> list[str]:
    """What needs sideways scrolling or is cut off at the width that the page has now."""
    found: list[str] = page.evaluate(STICKING_OUT)
    return found


def spell(prefix: str, rules: list[Any]) -> list[str]:
    """One line for each place."""
    return [
        f"{prefix}{rule}: {place}: {' '.join(why.split())}" for rule, places in rules for place, why in places
    ]


@cache
def axe_source() -> str:
    """The text of axe-core."""
    modules = Path(__file__).resolve().parent.parent / "node_modules"
    return (modules / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
