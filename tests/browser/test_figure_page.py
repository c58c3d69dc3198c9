"""A Figure's page in a browser: each key answers, nothing typed is lost, the address keeps it all, and little is needed to run it."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest
from browser.faults import FaultyServer, answer
from browser.figure_driver import FigurePage, phone_of
from playwright.sync_api import Browser, Page

from webapp import create_app
from webapp.book import Book

SCENARIO = "rated_flow=310+cc%2Fmin&rated_drop=3+bar&rail=43.5+psi&manifold=8+psi"
NO_NUMBERS = ("NaN", "Infinity", "∞", "undefined", "null", "−0 ")

# Everything that a phone may lack or forbid: gone, and there but throwing.
GONE = """for (const [of, name] of [[Navigator.prototype, 'serviceWorker'], [Navigator.prototype, 'clipboard'], [Navigator.prototype, 'share'],
  [window, 'caches'], [window, 'indexedDB'], [window, 'localStorage'], [window, 'sessionStorage'], [window, 'speechSynthesis'],
  [window, 'visualViewport'], [window, 'ResizeObserver'], [window, 'IntersectionObserver']]) { delete of[name]; delete Window.prototype[name];
  if (name in window && of === window) Object.defineProperty(window, name, {value: undefined, configurable: true}); }"""
THROWING = """const refuse = () => { throw new DOMException('not here', 'SecurityError'); };
for (const name of ['localStorage', 'sessionStorage', 'caches', 'indexedDB', 'speechSynthesis'])
  Object.defineProperty(window, name, {get: refuse, configurable: true});
for (const name of ['serviceWorker', 'clipboard', 'share']) Object.defineProperty(Navigator.prototype, name, {get: refuse, configurable: true});
History.prototype.replaceState = refuse;"""


# -- numbers ---------------------------------------------------------------------------------------------------------------------------


def test_each_digit_answers_at_once(flow: FigurePage) -> None:
    flow.edit("manifold")
    seen = []
    for key in ("1", "2", ".", "5"):
        flow.keys(key)
        seen.append((flow.field("manifold"), flow.answer() or flow.sentence()))
    assert [typed for typed, _ in seen] == ["1", "12", "12.", "12.5"]
    assert len({answer for _, answer in seen if "cc/min" in answer}) == 3
    assert seen[2][1].startswith("Manifold pressure: “12.” cannot be read")
    assert seen[3][1] == "262 cc/min"


def test_page_with_and_without_scripts_show_the_same_numbers(
    chromium: Browser, window: Page, origin: str
) -> None:
    """The form asks the server for what the phone works out by itself."""
    queries = (
        SCENARIO,
        "manifold=-10+inHg",
        "rail=3+bar&manifold=0.55+bar",
        "rail=10+psi&manifold=20+psi",
        "solve=rail&flow=300+cc/min",
    )
    plain = phone_of(chromium, java_script_enabled=False)
    still = plain.new_page()
    try:
        for query in queries:
            page = FigurePage(window, origin, query=query)
            still.goto(f"{page.address}?{query}")
            for part in ("number", "unit", "what", "problems", "others", "spread", "warnings"):
                there, here = (one.text_content(f"[data-part={part}]") or "" for one in (still, window))
                assert here.split() == there.split(), (query, part)
    finally:
        plain.close()


def test_the_form_works_without_scripts(chromium: Browser, origin: str) -> None:
    context = phone_of(chromium, java_script_enabled=False)
    page = context.new_page()
    try:
        page.goto(f"{origin}/en/figures/injector-flow/")
        assert page.input_value("#take-rail") == "43.5 psi"
        page.fill("#take-manifold", "12.5 psi")
        page.click("[data-part=go]")
        assert page.text_content("[data-part=number]") == "262"
        page.fill("#take-rail", "a lot")
        page.click("[data-part=go]")
        assert page.input_value("#take-rail") == "a lot"
        assert page.title().startswith("Error:")
        assert page.get_attribute("#take-rail", "aria-invalid") == "true"
        sentence = page.inner_text("#take-rail-error")
        assert sentence and sentence in page.inner_text("[data-part=problems]")
        page.click("[data-part=problems] a")
        assert page.url.endswith("#row-rail")
        page.goto(f"{origin}/en/figures/injector-flow/")
        page.click(".backwards summary")
        page.select_option("#solve", "rail")
        page.fill("#take-flow", "300 cc/min")
        page.click("[data-part=go]")
        assert page.text_content("[data-part=number]") == "48.75"
    finally:
        context.close()


@pytest.mark.parametrize(
    "typed",
    ["12,", "1..2", "abc", "--5", "1,234", "1/0", "0x10", "NaN", "Infinity", "1e400", "5 parsecs", "9" * 70],
)
def test_F17_what_cannot_be_read_stays_and_the_answer_gives_way_to_the_reason(
    flow: FigurePage, typed: str
) -> None:
    before = flow.answer()
    flow.edit("rail")
    flow.type("rail", typed)
    assert flow.field("rail") == typed
    assert before and flow.answer() == ""
    reason = flow.page.inner_text("#take-rail-error") or flow.sentence()
    assert reason and reason in flow.sentence()
    # Still there once the row is left.
    flow.page.keyboard.press("Escape")
    assert flow.field("rail") == typed
    flow.type("rail", "50")
    assert flow.answer() and flow.sentence() == ""


def test_F17_wheel_and_arrow_keys_change_no_number(flow: FigurePage) -> None:
    flow.page.focus("#take-rail")
    for key in ("ArrowUp", "ArrowDown", "PageUp"):
        flow.page.keyboard.press(key)
    flow.page.mouse.move(*(flow.box("#take-rail")[side] + 5 for side in ("left", "top")))
    flow.page.mouse.wheel(0, 200)
    assert flow.field("rail") == "43.5"


def test_F20_an_emptied_field_is_missing_and_not_nought(flow: FigurePage) -> None:
    flow.edit("manifold")
    flow.keys("delete")
    assert flow.field("manifold") == ""
    assert flow.answer() == ""
    assert flow.sentence() == "Manifold pressure is empty. Type a number."
    assert flow.beside("manifold") == "psi"
    assert not any(word in flow.page.inner_text("main") for word in NO_NUMBERS)


def test_F20_no_result_is_ever_printed_as_something_that_is_no_number(flow: FigurePage) -> None:
    for name, typed in (
        ("rated_flow", "1e300"),
        ("rated_drop", "0"),
        ("manifold", "-0"),
        ("manifold", "-0.0"),
        ("rated_flow", "1e-300"),
    ):
        flow.open()
        flow.type(name, typed)
        flow.settle()
        shown = ".slab-number, .others, .spread, .further, .given-echo, [data-part=aloud]"
        text = " ".join(flow.page.locator(shown).all_text_contents())
        assert not any(word in text for word in NO_NUMBERS), typed


def test_a_unit_typed_behind_the_number_counts_and_then_stands_beside_it(flow: FigurePage) -> None:
    flow.edit("rail")
    flow.type("rail", "3 bar")
    assert flow.beside("rail") == "" and "300 kPa" in flow.echo("rail")
    flow.edit("manifold")
    assert (flow.field("rail"), flow.beside("rail")) == ("3", "bar")


def test_a_chosen_row_brings_its_numbers_along_until_they_are_typed_over(window: Page, origin: str) -> None:
    page = FigurePage(window, origin, "mixture")
    ethanol = page.field("ethanol")
    window.select_option("#take-fuel", index=0)
    brought = page.field("ethanol")
    assert brought != ethanol
    page.edit("ethanol")
    page.keys("7")
    window.select_option("#take-fuel", index=2)
    assert page.field("ethanol") == "7"


def test_the_answer_that_stands_first_is_the_one_of_the_row_being_typed(window: Page, origin: str) -> None:
    """A table of independent conversions shows the one that is asked."""
    page = FigurePage(window, origin, "any-unit")
    assert window.inner_text("[data-part=what]") == "Torque"
    page.edit("temperature")
    page.keys("2", "1", "2")
    assert (window.inner_text("[data-part=what]"), page.answer()) == ("Temperature", "100 °C")


def test_the_working_shows_the_numbers_typed(flow: FigurePage) -> None:
    flow.edit("manifold")
    flow.keys("1", "0")
    flow.page.keyboard.press("Escape")
    flow.page.click("summary:has-text('Show the working')")
    shown = flow.page.wait_for_selector('.filled[data-step="drop"]:has-text("10 psi")')
    assert shown and shown.text_content() == "33.5 psi=43.5 psi−10 psi"


def test_paper_shows_the_numbers_typed_in_what_is_folded_away(flow: FigurePage) -> None:
    flow.edit("manifold")
    flow.keys("1", "0")
    flow.page.keyboard.press("Escape")
    flow.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert flow.page.text_content('.filled[data-step="drop"]') == "33.5 psi=43.5 psi−10 psi"
    assert "10 psi" in (flow.page.text_content("[data-part=every-unit]") or "")


def test_the_field_with_the_caret_is_alone_in_its_form(flow: FigurePage) -> None:
    """A browser that fills in forms reads every field of a form again after each key in one of them: seen in a trace of Chromium."""
    page = flow.page
    flow.edit("manifold")
    own = "Object.fromEntries(['rail', 'manifold'].map(name => [name, document.getElementById('take-' + name).form.className]))"
    assert page.evaluate(own) == {"rail": "givens", "manifold": ""}
    assert page.evaluate("[...document.activeElement.form.elements].map(field => field.name)") == ["manifold"]
    flow.edit("rail")
    assert page.evaluate(own) == {"rail": "", "manifold": "givens"}
    page.keyboard.press("Escape")
    page.evaluate("document.activeElement.blur()")
    assert page.evaluate(own) == {"rail": "givens", "manifold": "givens"}
    assert flow.noise == []


def test_while_one_types_a_field_only_grows(flow: FigurePage) -> None:
    """It has the room of its longest number until the row is left: what moves at each key is hard to read."""
    flow.edit("manifold")
    wide = [flow.box("#take-manifold")["width"]]
    for keys in (["1", "2", ".", "3", "4", "5", "6"], ["delete"] * 4):
        flow.keys(*keys)
        wide.append(flow.box("#take-manifold")["width"])
    assert wide[0] < wide[1] == wide[2]
    flow.page.keyboard.press("Escape")
    assert flow.field("manifold") == "12."
    assert flow.box("#take-manifold")["width"] == pytest.approx(wide[0], abs=1)


# -- address -----------------------------------------------------------------------------------------------------------------------------


def test_the_address_follows_and_a_reload_keeps_everything(flow: FigurePage) -> None:
    flow.edit("manifold")
    flow.keys("1", "0")
    flow.unit("kPa")
    flow.settle()
    assert parse_qs(urlsplit(flow.page.url).query)["manifold"] == ["10 kPa"]
    answer = flow.answer()
    flow.page.reload()
    flow.page.wait_for_selector("[data-started]")
    assert (flow.field("manifold"), flow.beside("manifold"), flow.answer()) == ("10", "kPa", answer)


def test_a_page_that_came_with_defaults_reads_the_address_itself(chromium: Browser, book: Book) -> None:
    """As the saved copy serves it: the plain page, whatever stands behind the question mark."""
    app = create_app(book=book)

    def plain(env: dict[str, str], start: object) -> object:
        return app({**env, "QUERY_STRING": ""}, start)

    running = FaultyServer(plain)
    context = phone_of(chromium)
    try:
        page = FigurePage(
            context.new_page(), running.origin, query="rail=3+bar&manifold=20+kPa&utm_source=chat&rail=9+bar"
        )
        assert (page.field("rail"), page.beside("rail"), page.field("manifold")) == ("3", "bar", "20")
        page.open("solve=rail&flow=300+cc%2Fmin")
        assert page.answer() == "48.75 psi"
        page.open("rail=lots")
        assert (page.field("rail"), page.answer()) == ("lots", "")
        page.open("rail=" + "9" * 900)
        assert page.answer() == "" and page.sentence()
        assert page.noise == []
    finally:
        context.close()
        running.close()


def test_a_link_holds_every_number_so_that_new_defaults_do_not_change_it(flow: FigurePage) -> None:
    flow.edit("rail")
    flow.keys("5", "0")
    flow.settle()
    assert set(parse_qs(urlsplit(flow.page.url).query)) == {"rated_flow", "rated_drop", "rail", "manifold"}


def test_the_update_notice_is_told_while_a_number_is_edited(flow: FigurePage) -> None:
    flow.edit("rail")
    assert flow.page.get_attribute("html", "data-busy") == "editing"
    flow.page.focus(".bar-back")
    flow.page.wait_for_selector("html:not([data-busy])")


def test_a_tap_on_something_else_does_what_it_is_meant_for_and_ends_the_editing(flow: FigurePage) -> None:
    """The page changes its shape when the number pad goes: not before the tap has arrived."""
    for tap in (flow.page.tap, flow.page.click):
        flow.open()
        flow.edit("rail")
        tap("summary:has-text('Show the working')")
        assert flow.page.is_visible(".formula >> nth=0")
        flow.page.wait_for_selector("html:not([data-busy])")
        assert flow.page.is_hidden(".dock")


# -- what a phone may lack -----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("script", [GONE, THROWING], ids=["gone", "throwing"])
def test_F12_a_figure_needs_none_of_what_a_private_window_takes_away(
    chromium: Browser, origin: str, script: str
) -> None:
    context = phone_of(chromium)
    context.add_init_script(script)
    page = FigurePage(context.new_page(), origin)
    try:
        page.edit("manifold")
        page.keys("1", "2", ".", "5")
        page.settle()
        assert page.answer() == "262 cc/min"
        assert page.page.is_hidden("[data-act=speak]")
        page.keys("next")
        page.page.tap("[data-act=copy]")
        page.page.wait_for_function("document.querySelector('[data-part=told]').textContent")
        page.page.goto(f"{origin}/en/")
        page.page.wait_for_selector("[data-module=theme-switch]:not([hidden])")
        page.page.check("input[value=night]", force=True)
        assert page.page.get_attribute("html", "data-theme") == "night"
        assert page.page.is_visible("[data-part=not-kept]")
        assert page.noise == []
    finally:
        context.close()


def test_one_component_that_fails_leaves_the_others_alive(chromium: Browser, book: Book) -> None:
    app = create_app(book=book)
    documents = app.extensions["cowlside"].documents
    name = next(address for address in documents if address.endswith("/js/main.js"))
    begun = b'"js/components/saved-status.js":(()=>{'
    assert begun in documents[name].body
    running = FaultyServer(app)
    running.rules[f"/{name}"] = answer(
        documents[name].body.replace(begun, begun + b"missing();"), "text/javascript"
    )
    context = phone_of(chromium)
    try:
        page = FigurePage(context.new_page(), running.origin)
        page.edit("manifold")
        page.keys("0")
        assert page.answer() == "310 cc/min"
    finally:
        context.close()
        running.close()


# -- copy, share, speak --------------------------------------------------------------------------------------------------------------------


def test_the_answer_is_copied_with_all_that_was_typed_and_reads_back(chromium: Browser, origin: str) -> None:
    context = phone_of(chromium)
    context.add_init_script(
        "Object.defineProperty(navigator, 'clipboard', {value: {writeText: async text => { window.copied = text; }}})"
    )
    page = FigurePage(context.new_page(), origin)
    try:
        page.page.tap("[data-act=copy]")
        page.page.wait_for_function("window.copied")
        lines = page.page.evaluate("window.copied").splitlines()
        assert lines[0] == "Injector flow at another pressure"
        assert "Flow of one injector: 280 cc/min" in lines and "Rail pressure: 43.5 psi gauge" in lines
        assert page.page.inner_text("[data-part=told]") == "Copied."
    finally:
        context.close()


def test_where_nothing_may_be_copied_the_text_lies_ready_to_be_marked(chromium: Browser, origin: str) -> None:
    context = phone_of(chromium)
    context.add_init_script(THROWING + "document.execCommand = () => false;")
    page = FigurePage(context.new_page(), origin)
    try:
        page.page.tap("[data-act=copy]")
        page.page.wait_for_selector("[data-part=by-hand]")
        assert "280 cc/min" in page.page.input_value("[data-part=by-hand]")
        assert page.page.evaluate("document.activeElement.dataset.part") == "by-hand"
    finally:
        context.close()


def test_a_shared_address_opens_with_the_same_numbers(chromium: Browser, origin: str) -> None:
    context = phone_of(chromium)
    context.add_init_script("Navigator.prototype.share = async what => { window.shared = what; };")
    page = FigurePage(context.new_page(), origin)
    try:
        page.edit("manifold")
        page.keys("1", "0", "next")
        page.page.tap("[data-act=share]")
        page.page.wait_for_function("window.shared")
        answer, address = page.answer(), page.page.evaluate("window.shared.url")
        page.open(urlsplit(address).query)
        assert (page.answer(), page.field("manifold")) == (answer, "10")
    finally:
        context.close()


VOICE = """window.said = [];
const voice = {lang: 'LANG', name: 'test', localService: true};
class Utterance { constructor(text) { this.text = text; } }
Object.defineProperty(window, 'SpeechSynthesisUtterance', {value: Utterance});
Object.defineProperty(window, 'speechSynthesis', {value: {speaking: false, getVoices: () => [voice], cancel() {}, addEventListener() {},
  speak(utterance) { window.said.push(utterance.text); }}});"""


def test_the_answer_is_said_with_spoken_units_where_there_is_a_voice_for_the_language(
    chromium: Browser, origin: str
) -> None:
    for lang, is_offered in (("en-GB", True), ("ja-JP", False)):
        context = phone_of(chromium)
        context.add_init_script(VOICE.replace("LANG", lang))
        page = FigurePage(context.new_page(), origin)
        try:
            assert page.page.is_visible("[data-act=speak]") == is_offered
            if is_offered:
                page.page.tap("[data-act=speak]")
                assert page.page.evaluate("window.said") == ["Flow of one injector: 280 c c a minute"]
        finally:
            context.close()
