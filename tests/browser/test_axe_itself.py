"""The accessibility checks can fail: each of these pages carries one fault, and the page without a fault passes (F65)."""

from __future__ import annotations

from contextlib import contextmanager

import pytest
from browser.axe import faults, sticking_out

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Boost</title>
<meta name="viewport" content="width=device-width, initial-scale=1"></head>
<body style="background:#fff;color:#111;margin:1rem"><main><h1>Boost</h1>
<form action="/"><label for="boost">Boost</label> <input id="boost"> <button style="min-height:56px">Work out</button>
<output>8 psi</output></form><!-- fault --></main></body></html>"""

SEEDED = {
    "target-size": '<a href="/a" style="position:absolute;width:9px;height:9px;overflow:hidden">a</a>'
    '<a href="/b" style="position:absolute;left:28px;width:9px;height:9px;overflow:hidden">b</a>',
    "color-contrast-enhanced": '<p style="color:#666">4.5 to 1 is enough for level AA, not for a garage in the sun.</p>',
    "color-contrast": '<p style="color:#bbb">Too faint for anyone.</p>',
    "undecided color-contrast": '<p style="background:linear-gradient(#fff, #777)">Nobody can tell.</p>',
    "label": '<input id="rail">',
    "scrollable-region-focusable": '<div style="height:3rem;overflow:auto"><p>Long.<br>Longer.<br>Longest.<br>Lost.</p></div>',
    "aria-required-children": '<div role="list"><div role="button" tabindex="0">One</div></div>',
}
WHOLE_PAGE = {
    "meta-viewport": ("initial-scale=1", "initial-scale=1, user-scalable=no"),
    "quiet-answers": ("<output>8 psi</output>", ""),
    "html-has-lang": (' lang="en"', ""),
    "document-title": ("<title>Boost</title>", ""),
}


@pytest.fixture(scope="module")
def page(chromium):
    context = chromium.new_context(viewport={"width": 320, "height": 568})
    yield context.new_page()
    context.close()


def test_a_page_without_a_fault_passes(page):
    page.set_content(PAGE)
    assert faults(page) == []
    assert sticking_out(page) == []


@pytest.mark.parametrize("rule", SEEDED)
def test_a_seeded_fault_is_found(page, rule):
    page.set_content(PAGE.replace("<!-- fault -->", SEEDED[rule]))
    assert [line for line in faults(page) if line.startswith(f"{rule}: ")]


@pytest.mark.parametrize("rule", SEEDED)
def test_by_its_colours_alone_a_page_is_judged_for_its_colours_alone(page, rule):
    page.set_content(PAGE.replace("<!-- fault -->", SEEDED[rule]))
    found = [line for line in faults(page, colours_only=True) if line.startswith(f"{rule}: ")]
    assert bool(found) == ("contrast" in rule)


NIGHT = "<style>@media (prefers-color-scheme: dark) { %s }</style>"
LAYER = '<div style="position:relative"><div id="ground" style="position:absolute;inset:0;background:#fff"></div><p style="position:relative">Over a layer.</p></div>'


@pytest.mark.parametrize(
    ("fault", "night", "is_fault"),
    [
        ("<p>Faint by night.</p>", "p { color: #999 }", True),
        ("<p>On a ground that is dark by night.</p>", "p { background: #222 }", True),
        (LAYER, "#ground { background: #222 !important }", True),
        ('<p>A link <a href="/a" id="b">here</a>.</p>', "a { text-decoration: none; color: #333 }", True),
        (
            "<p>Other colours, as good.</p>",
            "body { background: #111 !important } body * { color: #fff; background: #111 }",
            False,
        ),
    ],
)
def test_what_only_the_other_theme_does_wrong_is_found_by_its_colours(page, fault, night, is_fault):
    """The second look leaves out what the style sheet tells by itself."""
    page.set_content(PAGE.replace("<!-- fault -->", NIGHT % night + fault))
    page.emulate_media(color_scheme="light")
    by_day = faults(page)
    page.emulate_media(color_scheme="dark")
    by_night = faults(page, colours_only=True)
    page.emulate_media(color_scheme="light")
    assert by_day == []
    assert any("contrast" in line or "link-in-text" in line for line in by_night) == is_fault, by_night


@pytest.mark.parametrize(("colour", "is_fault"), [("#111", False), ("#757575", True)])
def test_a_lone_sign_that_axe_core_leaves_undecided_is_decided_by_its_colours(page, colour, is_fault):
    sign = f'<p style="color:{colour}"><math><mn>8</mn><mo>−</mo><mn>3</mn></math></p>'
    page.set_content(PAGE.replace("<!-- fault -->", sign))
    assert bool(faults(page)) == is_fault


@pytest.mark.parametrize("rule", WHOLE_PAGE)
def test_a_seeded_fault_of_the_whole_page_is_found(page, rule):
    page.set_content(PAGE.replace(*WHOLE_PAGE[rule]))
    assert [line for line in faults(page) if line.startswith(f"{rule}: ")]


@pytest.mark.parametrize(
    "fault",
    [
        '<div style="width:340px">Wider than the phone.</div>',
        '<p style="overflow:hidden;white-space:nowrap;width:5rem">Text that its box cuts off</p>',
        '<div style="overflow-x:hidden"><p style="width:400px">Hidden is not fitting.</p></div>',
    ],
)
def test_what_sticks_out_is_found(page, fault):
    page.set_content(PAGE.replace("<!-- fault -->", fault))
    assert sticking_out(page) != []


def test_a_box_that_scrolls_by_itself_does_not_stick_out(page):
    table = '<div tabindex="0" style="overflow-x:auto"><p style="width:400px">A wide table.</p></div>'
    page.set_content(PAGE.replace("<!-- fault -->", table))
    assert sticking_out(page) == []


def test_in_forced_colours_only_a_page_s_own_colours_are_measured(chromium):
    with forced_window(chromium) as page:
        page.set_content(
            PAGE.replace("<!-- fault -->", '<p style="color:#bbb">Painted in the person\'s colours.</p>')
        )
        assert faults(page, forced_colours=True) == []
        insisting = '<p style="color:#bbb;background:#fff;forced-color-adjust:none">Painted as written.</p>'
        page.set_content(PAGE.replace("<!-- fault -->", insisting))
        assert [line.split(":")[0] for line in faults(page, forced_colours=True)] == ["color-contrast"]


@contextmanager
def forced_window(chromium):
    context = chromium.new_context(forced_colors="active")
    yield context.new_page()
    context.close()
