"""What every page of the site must be, whatever it says: well-formed, one heading, named controls, live links, no inline code."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from urllib.parse import unquote, urljoin, urlsplit
from xml.etree.ElementTree import Element

import html5lib

PROGRAM_WORDS = (
    "Traceback",
    'File "',
    "webapp",
    "jinja2",
    "werkzeug",
    "{{",
    "{%",
    "&lt;bound",
    "<bound",
    "NaN",
    "undefined",
)
_QUOTED = re.compile("“[^”]*”")  # what somebody typed, said back
_LEFT_OPEN = re.compile(r"\{[a-z_]+\}")


class PageFaults(AssertionError):
    """All that is wrong with one page."""


def check_page(text: str, policy: str, resolve: Callable[[str], str | None], address: str) -> None:
    """Check a page that was fetched from `address` ('http://host/en/').

    policy    the Content-Security-Policy header it came with, '' for a plain host.
    resolve   given an address, the text behind it ('' where that is no page), or None where nothing stands.
    Raises    PageFaults with every fault.
    """
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    tree = parser.parse(text)
    faults = [f"line {at[0]}: {code} {fields}" for at, code, fields in parser.errors]
    for check in (_head, _headings, _ids, _controls, _inline, _words):
        faults += check(tree)
    faults += _policy(tree, policy)
    # A page that refuses (404, 414) is a page too: its links to its own parts are looked up in it and not fetched again.
    faults += _links(tree, lambda other: text if other == address else resolve(other), address)
    if faults:
        raise PageFaults(f"{address}\n  " + "\n  ".join(faults))


def elements(tree: Element, *names: str) -> list[Element]:
    """Every element of these names in order."""
    return [one for one in tree.iter() if isinstance(one.tag, str) and one.tag in names]


def text_of(element: Element) -> str:
    """The text inside an element with single spaces."""
    return " ".join("".join(element.itertext()).split())


def _head(tree: Element) -> Iterator[str]:
    titles = [text_of(one) for one in elements(tree, "title")]
    if len(titles) != 1 or not titles[0]:
        yield f"titles: {titles}"
    if not tree.get("lang"):
        yield "the page does not say its language"
    viewport = next(
        (one.get("content", "") for one in elements(tree, "meta") if one.get("name") == "viewport"), ""
    )
    if "width=device-width" not in viewport or "maximum-scale" in viewport or "user-scalable" in viewport:
        yield f"viewport: {viewport!r}"


def _headings(tree: Element) -> Iterator[str]:
    levels = [int(one.tag[1]) for one in elements(tree, "h1", "h2", "h3", "h4", "h5", "h6")]
    if levels.count(1) != 1:
        yield f"{levels.count(1)} headings of the first level"
    for above, below in pairwise(levels):
        if below > above + 1:
            yield f"a heading jumps from level {above} to {below}"
    if len(elements(tree, "main")) != 1:
        yield "not one main part"


def _ids(tree: Element) -> Iterator[str]:
    counted = Counter(one.get("id") for one in tree.iter() if one.get("id") is not None)
    yield from (
        f"the id {name!r} stands {count} times" for name, count in counted.items() if count > 1 or not name
    )
    for one in tree.iter():
        for key in ("for", "aria-describedby", "aria-labelledby", "aria-controls"):
            missing = [name for name in one.get(key, "").split() if name not in counted]
            if missing:
                yield f"{key} names {missing}, which no element has"


def _controls(tree: Element) -> Iterator[str]:
    labelled = {one.get("for") for one in elements(tree, "label")}
    inside = {
        id(control)
        for label in elements(tree, "label")
        for control in elements(label, "input", "select", "textarea")
    }
    for one in elements(tree, "input", "select", "textarea"):
        named = (
            one.get("id") in labelled
            or id(one) in inside
            or one.get("aria-label")
            or one.get("aria-labelledby")
        )
        if one.get("type") != "hidden" and not named:
            yield f"the field {one.get('name')!r} has no label"
        if one.get("type") == "number":
            yield f"the field {one.get('name')!r} is of the type that forgets what it dislikes"
    for one in elements(tree, "a", "button", "summary"):
        if not text_of(one) and not one.get("aria-label"):
            yield f"a {one.tag} without a name: {dict(one.attrib)}"
    for one in elements(tree, "img"):
        if one.get("alt") is None:
            yield f"a picture without alt: {one.get('src')}"


def _inline(tree: Element) -> Iterator[str]:
    for one in tree.iter():
        for key, value in one.attrib.items():
            name = str(key).lower()
            if name == "style" or name.startswith("on") or name in ("nonce", "integrity"):
                yield f"{one.tag} has {name}={value!r}"
            if "javascript:" in value.lower():
                yield f"{one.tag} has a script in {name}"
    if elements(tree, "style", "base", "iframe", "object", "embed"):
        yield "an element that the policy blocks"
    for one in elements(tree, "script"):
        if not one.get("src") and one.get("type") != "application/json":
            yield "a script inside the page"


def _words(tree: Element) -> Iterator[str]:
    shown = _QUOTED.sub("", text_of(tree))
    yield from (f"the page shows {word!r}" for word in PROGRAM_WORDS if word in shown)
    yield from (f"the page shows an unfilled {found}" for found in _LEFT_OPEN.findall(shown))


def _policy(tree: Element, policy: str) -> Iterator[str]:
    metas = [
        one.get("content", "")
        for one in elements(tree, "meta")
        if one.get("http-equiv") == "Content-Security-Policy"
    ]
    if len(metas) != 1:
        yield f"{len(metas)} policies in the page"
    elif "unsafe" in metas[0] or "default-src 'none'" not in metas[0] or "frame-ancestors" in metas[0]:
        yield f"policy in the page: {metas[0]}"
    elif policy and policy != f"{metas[0]}; frame-ancestors 'none'":
        yield f"the page says {metas[0]} and the header {policy}"


def _links(tree: Element, resolve: Callable[[str], str | None], address: str) -> Iterator[str]:
    for one in tree.iter():
        for key in ("href", "src", "action", "data-changes"):
            target = one.get(key)
            if target is not None and not target.startswith(("tel:", "mailto:")):
                yield from _link(one, target, resolve, address)


def _link(one: Element, target: str, resolve: Callable[[str], str | None], address: str) -> Iterator[str]:
    parts = urlsplit(target)
    if parts.scheme or parts.netloc:
        if one.tag != "a" or parts.scheme != "https":
            yield f"{one.tag} loads from another host: {target}"
        return
    if target.startswith("/"):
        yield f"{one.tag} has a link that is not relative: {target}"
    text = resolve(urljoin(address, target).partition("#")[0])
    if text is None:
        yield f"{one.tag} leads nowhere: {target}"
    elif parts.fragment and f'id="{unquote(parts.fragment)}"' not in text:
        yield f"{one.tag} leads to a part that is not there: {target}"
