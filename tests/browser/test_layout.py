"""What a hand and an eye need of the pages: sizes, gaps, safe areas, large text, forced colours, and all in sight while typing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from browser.axe import sticking_out
from browser.figure_driver import FigurePage, phone_of
from browser.patience import let
from playwright.sync_api import Browser, Page

PAGES = (
    "", "find/", "find/?q=330+cc", "figures/", "figures/injector-flow/", "figures/mixture/", "figures/any-unit/", "figures/false-lean/", "cautions/",
    "figures/fuel-headroom/", "figures/fuel-headroom/?held.blower_pulley=72+mm&blower_pulley=66+mm", "figures/pump-margin/", "figures/tightening-order/",
    "cautions/opening-a-fuel-line/", "cautions/leaving-the-work/", "tables/pipe-threads/", "emergency/", "tables/", "tables/fuels/", "tables/all-threads/", "tables/inch-drills/",
    "job/", "job/fit-a-blower/", "job/card/", "job/round/",
    "help/", "help/sources/", "help/caution-sources/", "help/units-and-kinds/", "glossary/", "changes/", "no-such-page/",
)  # fmt: skip
LONG_NUMBER = "1234567"
# Sizes at which a form of many rows is gone through as well.
LONG_FORMS_TOO = ((390, 664), (320, 568), (844, 390))
# Controls of every page, and whether each is one that a thumb hits all day.
CONTROLS = "a[href], button, input:not([type=hidden]), select, summary, [tabindex='0']"

# What is written between two frames is seen by nobody: the page is measured as it is painted.
PAINTED = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


@pytest.fixture
def sized(chromium: Browser, origin: str) -> Iterator[Any]:
    """Opens a Figure on a phone of a size: `sized(390, 664, figure='mixture', color_scheme='dark')`."""
    contexts = []

    def open_it(
        width: int, height: int, figure: str = "injector-flow", query: str = "", **settings: Any
    ) -> FigurePage:
        contexts.append(phone_of(chromium, width, height, **settings))
        return FigurePage(contexts[-1].new_page(), origin, figure, query)

    yield open_it
    for context in contexts:
        context.close()


def stay_in_sight(page: FigurePage, name: str) -> None:
    """Bar, answer, the row being edited and the whole dock are in the window, and none lies over another."""
    size = page.page.viewport_size
    assert size
    page.page.evaluate(PAINTED)
    bar, slab, row, dock = (page.box(each) for each in (".bar", ".slab", f"#row-{name}", ".dock"))
    where = f"{name} at {size}, tight {page.page.get_attribute('.slab', 'data-tight')}: {slab} {row} {dock}"
    beside = dock["left"] > 1
    floor = size["height"] if beside else dock["top"]
    assert (
        dock["top"] >= -0.5
        and dock["bottom"] <= size["height"] + 0.5
        and dock["right"] <= size["width"] + 0.5
    ), where
    assert slab["top"] >= -0.5 and (beside or slab["top"] >= bar["bottom"] - 1), where
    assert row["top"] >= slab["bottom"] - 1 and row["bottom"] <= floor + 0.5, where
    assert not beside or row["right"] <= dock["left"] + 0.5, where


# -- while typing ----------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "height"),
    [(390, 844), (390, 664), (360, 640), (320, 568), (844, 390), (667, 375), (568, 320), (1280, 800)],
)
def test_answer_row_and_whole_pad_are_in_sight_while_a_number_is_typed(
    sized: Any, width: int, height: int
) -> None:
    for figure in (
        ("injector-flow", "fuel-change") if (width, height) in LONG_FORMS_TOO else ("injector-flow",)
    ):
        page = sized(width, height, figure)
        names = page.page.eval_on_selector_all(
            "[data-row]:not(.is-wanted)",
            "rows => rows.filter(row => row.dataset.type !== 'choice').map(row => row.dataset.row)",
        )
        for name in names:
            page.edit(name)
            stay_in_sight(page, name)
            page.keys("7", "7", "7", "7")  # a refusal more often than not: its sentence needs the most room
            stay_in_sight(page, name)
            assert page.answer() or page.sentence()
            verdict = page.page.locator(".verdict:not([hidden]) b")
            assert not verdict.count() or verdict.is_visible()
            page.page.keyboard.press("Escape")


@pytest.mark.parametrize(("width", "height", "least"), [(390, 844, 64), (390, 664, 64), (320, 568, 56)])
def test_F50_keys_are_large_enough_for_a_glove_and_eight_pixels_apart(
    sized: Any, width: int, height: int, least: int
) -> None:
    page = sized(width, height)
    page.edit("manifold")
    for typed in (("8",), ("8", "8", "8", "8")):
        page.keys(*typed)
        boxes = [key.bounding_box() for key in page.page.locator(".pad button:visible").all()]
        assert len(boxes) >= 15
        for box in boxes:
            assert box["height"] >= least and box["width"] >= 60
        assert_apart(boxes)
    strip = [button.bounding_box() for button in page.page.locator(".dock-tools button").all()]
    assert all(box["height"] >= 48 and box["width"] >= 48 for box in strip)
    assert_apart(strip)


def assert_apart(boxes: list[dict[str, float]]) -> None:
    """No two boxes are nearer than 8 px."""
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            across = max(other["x"] - one["x"] - one["width"], one["x"] - other["x"] - other["width"])
            down = max(other["y"] - one["y"] - one["height"], one["y"] - other["y"] - other["height"])
            assert max(across, down) >= 7.9, (one, other)


def test_F21_with_the_phones_keyboard_up_field_and_answer_stay_in_sight(sized: Any) -> None:
    page = sized(390, 400)
    for name in ("rated_flow", "manifold"):
        page.edit(name)
        page.keys("board")
        stay_in_sight(page, name)
        assert page.box(".slab-number")["bottom"] <= page.box(f"#take-{name}")["top"]
        page.keys("board")
        page.page.keyboard.press("Escape")


def test_F21_no_field_is_so_small_that_a_phone_zooms_in_or_open_to_autofill(sized: Any) -> None:
    page = sized(320, 568)
    for name in ("injector-flow", "mixture", "any-unit"):
        page.address = re.sub(r"[a-z-]+/$", f"{name}/", page.address)
        page.open()
        for field in page.page.locator("form input, form select").all():
            assert field.evaluate("element => parseFloat(getComputedStyle(element).fontSize)") >= 16
            assert field.get_attribute("type") in ("text", None)
        for field in page.page.locator("form input").all():
            named = {
                each: field.get_attribute(each) for each in ("autocomplete", "autocorrect", "spellcheck")
            }
            assert named == {"autocomplete": "off", "autocorrect": "off", "spellcheck": "false"}


def test_F48_everything_stays_inside_the_safe_area(sized: Any) -> None:
    for size, insets in (
        ((390, 844), (59, 0, 34, 0)),
        ((844, 390), (0, 59, 21, 59)),
        ((320, 568), (0, 0, 0, 0)),
    ):
        page = sized(*size)
        top, right, bottom, left = insets
        session = page.page.context.new_cdp_session(page.page)
        session.send(
            "Emulation.setSafeAreaInsetsOverride",
            {"insets": {"top": top, "right": right, "bottom": bottom, "left": left}},
        )
        page.edit("manifold")
        let(page.page, 200)
        stay_in_sight(page, "manifold")
        for control in page.page.locator(".dock button, .bar a, #take-manifold").all():
            box = control.bounding_box()
            if box is None or box["y"] + box["height"] <= 0:
                continue
            inner = (
                control.evaluate("element => parseFloat(getComputedStyle(element).paddingTop)") if top else 0
            )
            assert box["x"] >= left - 0.5 and box["x"] + box["width"] <= size[0] + 0.5, (size, box)
            assert (
                box["y"] + inner
                >= (top if control.evaluate("element => !element.closest('.bar')") else 0) - 0.5
            )
            assert (
                box["y"] + box["height"]
                <= size[1]
                - (bottom if control.evaluate("element => !!element.closest('.dock')") else 0)
                + 0.5
            )
            if control.evaluate("element => !!element.closest('.dock')"):
                assert box["x"] + box["width"] <= size[0] - right + 0.5, (size, box)


@pytest.mark.parametrize(("width", "height"), [(390, 664), (320, 568), (844, 390)])
def test_F48_nothing_fixed_covers_more_than_a_third_of_the_screen_but_the_dock(
    sized: Any, width: int, height: int
) -> None:
    page = sized(width, height)
    for top in (0, 400, 5000):
        page.page.evaluate(f"window.scrollTo(0, {top})")
        let(page.page, 50)
        covered = page.page.evaluate(
            """() => [...document.querySelectorAll('body *')].filter(element => /fixed|sticky/.test(getComputedStyle(element).position))
            .map(element => element.getBoundingClientRect()).filter(box => box.top < 150 && box.bottom > 0 && box.width > innerWidth / 2)
            .reduce((most, box) => Math.max(most, box.bottom), 0)"""
        )
        natural = page.page.evaluate("document.querySelector('.slab-head').getBoundingClientRect().bottom")
        assert covered <= height / 3 + 1 or (top == 0 and covered <= natural), (top, covered)


# -- hands -------------------------------------------------------------------------------------------------------------------------------


def test_F50_every_control_of_every_page_can_be_hit(chromium: Browser, origin: str) -> None:
    """44 px at least, but for links inside a sentence; what is tapped all day has 56."""
    context = phone_of(chromium, 390, 844)
    page = context.new_page()
    try:
        for path in PAGES:
            page.goto(f"{origin}/en/{path}")
            let(page, 150)
            page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
            small = page.evaluate(
                """selector => [...document.querySelectorAll(selector)].filter(element => {
                if (element.closest('.prose, .small, .lead, .dock, .table-scroll, .skip, li > small, .fold li, p:not(.to-six):not(:has(> .call))')) return false;
                if (element.matches('.formula')) return false;
                const box = (element.closest('.theme label, .ticks li') ?? element).getBoundingClientRect();
                return box.width && (box.height < 44 || box.width < 44); }).map(element => element.outerHTML.slice(0, 90))""",
                CONTROLS,
            )
            assert small == [], path
            main = page.locator(
                ".bar a, .tile, .link, .strip, .emergency-strip a, .six a, .call, .take-along button, summary, .given"
            )
            # Measured in one go: what comes late may draw a part of the page anew meanwhile.
            low = main.evaluate_all(
                """all => all.map(element => [element.getBoundingClientRect().height, element.outerHTML.slice(0, 90)])
                .filter(([height]) => height && height < 55.5)"""
            )
            assert low == [], path
    finally:
        context.close()


def test_F49_touch_rules_stand_on_every_control_and_hover_only_where_there_is_a_pointer(
    sized: Any, repo: Path
) -> None:
    page = sized(390, 664)
    page.edit("rail")
    assert page.page.evaluate("getComputedStyle(document.documentElement).overscrollBehaviorY") == "none"
    actions = page.page.eval_on_selector_all(
        CONTROLS, "all => [...new Set(all.map(each => getComputedStyle(each).touchAction))]"
    )
    assert set(actions) <= {"manipulation", "auto"}
    loose = page.page.eval_on_selector_all(
        "a[href], button, input, select, summary",
        "all => all.filter(each => getComputedStyle(each).touchAction !== 'manipulation').length",
    )
    assert loose == 0
    chosen = page.page.eval_on_selector_all(
        ".dock button", "all => [...new Set(all.map(each => getComputedStyle(each).userSelect))]"
    )
    assert chosen == ["none"]
    assert page.page.evaluate("getComputedStyle(document.querySelector('.slab-number')).userSelect") == "auto"
    for sheet in sorted((repo / "static" / "css").glob("*.css")):
        outside = re.sub(
            r"@media \(hover: hover\) \{(?:[^{}]*\{[^{}]*\})*[^{}]*\}", "", sheet.read_text(encoding="utf-8")
        )
        assert ":hover" not in outside, sheet.name


def test_help_is_one_tap_away_from_every_page_in_every_state(sized: Any, origin: str) -> None:
    page = sized(320, 568)
    for path in PAGES:
        page.page.goto(f"{origin}/en/{path}")
        if path == "emergency/":
            continue
        link = page.page.locator(".sos, .emergency-strip a")
        for top in (0, 3000):
            page.page.evaluate(f"window.scrollTo(0, {top})")
            box = link.bounding_box()
            assert box and box["y"] >= 0 and box["y"] + box["height"] <= 568.5, path
    page.open()
    page.edit("manifold")
    page.keys("9", "9")
    page.page.tap(".sos")
    page.page.wait_for_url("**/en/emergency/")


# -- eyes ----------------------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_F51_borders_and_marks_stand_out_three_to_one(sized: Any, scheme: str) -> None:
    page = sized(390, 664, color_scheme=scheme)
    colours = page.page.evaluate(
        """() => { const style = getComputedStyle(document.documentElement);
        return Object.fromEntries(['paper', 'sheet', 'key', 'ink', 'soft', 'edge', 'mark', 'on-mark', 'ok', 'near', 'stop', 'tag']
          .map(name => [name, style.getPropertyValue('--' + name).trim()])) }"""
    )
    for ground in ("paper", "sheet"):
        assert contrast(colours["edge"], colours[ground]) >= 3
        for text in ("ink", "soft", "mark", "ok", "near", "stop"):
            assert contrast(colours[text], colours[ground]) >= 7, (text, ground)
    assert contrast(colours["ink"], colours["key"]) >= 7
    assert contrast(colours["ink"], colours["tag"]) >= 7
    assert contrast(colours["on-mark"], colours["mark"]) >= 7


def contrast(one: str, other: str) -> float:
    """WCAG contrast of two colours written #rrggbb or #rgb."""

    def light(colour: str) -> float:
        digits = colour.removeprefix("#")
        digits = "".join(each * 2 for each in digits) if len(digits) == 3 else digits
        parts = [int(digits[n : n + 2], 16) / 255 for n in (0, 2, 4)]
        red, green, blue = (
            part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    bright, dark = sorted((light(one), light(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def test_F51_states_differ_in_shape_when_the_colours_are_forced(sized: Any) -> None:
    page = sized(390, 664, forced_colors="active")
    page.edit("rail")
    shape = "element => { const style = getComputedStyle(element); return [style.borderTopWidth, style.borderTopStyle, style.textDecorationLine].join() }"
    pressed, others = (
        page.page.locator(f'.unit-strip [aria-pressed="{is_pressed}"]') for is_pressed in ("true", "false")
    )
    assert pressed.first.evaluate(shape) != others.first.evaluate(shape)
    edge = "element => getComputedStyle(element, '::before').borderLeftWidth"
    assert page.page.eval_on_selector("#row-rail", edge) == "8px"
    assert page.page.eval_on_selector("#row-manifold", edge) == "0px"
    assert page.page.eval_on_selector("#take-rail", shape) != page.page.eval_on_selector(
        "#take-manifold", shape
    )
    page.page.goto(page.address.replace("figures/injector-flow/", ""))
    width = page.page.eval_on_selector(".tile", "element => getComputedStyle(element).borderLeftWidth")
    assert (
        width == "2px"
        and page.page.eval_on_selector(
            ".tile", "element => getComputedStyle(element, '::before').borderTopWidth"
        )
        == "2px"
    )
    ticked, free = (
        page.page.locator(f".theme input{state} + span").first.evaluate(shape)
        for state in (":checked", ":not(:checked)")
    )
    assert ticked != free


def test_F51_nothing_moves_for_those_who_asked_for_stillness(sized: Any) -> None:
    page = sized(390, 664, reduced_motion="reduce")
    page.edit("rail")
    page.keys("5")
    assert page.page.evaluate("document.getAnimations().length") == 0
    assert page.page.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"


def test_F52_no_page_is_cut_at_320_pixels_and_double_text_without_scripts(
    chromium: Browser, origin: str
) -> None:
    """With scripts test_axe.py looks at every page."""
    context = phone_of(chromium, 320, 568, java_script_enabled=False)
    page = context.new_page()
    try:
        for path in PAGES:
            page.goto(f"{origin}/en/{path}")
            for size in ("100%", "200%"):
                page.evaluate(
                    "size => { document.documentElement.style.fontSize = size; document.querySelectorAll('details').forEach(each => each.open = true) }",
                    size,
                )
                assert sticking_out(page) == [], (path, size)
    finally:
        context.close()


def test_F52_seven_digits_and_double_text_leave_number_unit_and_pad_whole(sized: Any) -> None:
    page = sized(320, 568)
    page.page.evaluate("document.documentElement.style.fontSize = '200%'")
    for name in ("rated_flow", "manifold"):
        page.edit(name)
        stay_in_sight(page, name)
        page.keys(*LONG_NUMBER)
        assert [each for each in sticking_out(page.page) if not each.startswith("input#take-")] == []
        page.page.keyboard.press("Escape")


def test_F52_long_words_wrap(sized: Any) -> None:
    """As German has them: words longer than a narrow phone is wide."""
    page = sized(320, 568)
    page.page.evaluate(
        """() => { const long = 'Einspritzventildurchflussmengenberechnung'; document.querySelector('h1').textContent = long;
        for (const each of document.querySelectorAll('.given-label, .slab-what, summary, .take-along button, h2')) each.textContent = long + ' ' + long }"""
    )
    page.edit("manifold")
    stay_in_sight(page, "manifold")
    assert sticking_out(page.page) == []


def test_a_chosen_light_or_dark_holds_on_the_next_page_from_its_first_paint(
    chromium: Browser, origin: str
) -> None:
    context = phone_of(chromium, color_scheme="light")
    page: Page = context.new_page()
    try:
        page.goto(f"{origin}/en/")
        page.wait_for_selector("[data-module=theme-switch]:not([hidden])")
        page.check("input[value=night]", force=True)
        dark = page.evaluate("getComputedStyle(document.body.parentElement).backgroundColor")
        page.goto(f"{origin}/en/figures/injector-flow/", wait_until="commit")
        page.wait_for_selector("h1")
        assert page.get_attribute("html", "data-theme") == "night"
        assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == dark
        assert page.eval_on_selector_all("meta[name=theme-color]", "all => all.map(each => each.media)") == [
            "not all",
            "all",
        ]
    finally:
        context.close()
