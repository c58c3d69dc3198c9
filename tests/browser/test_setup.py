"""A car is entered once and every Figure starts from it (field faults F12, F13, F53 to F57), by thumb, by keyboard and offline."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from browser.axe import faults, sticking_out
from browser.figure_driver import FigurePage, phone_of
from browser.killed import kill
from browser.patience import let
from browser.stand_in import errors_of
from playwright.sync_api import BrowserContext, Page, Route

from webapp import create_app

READY = "[data-module=setup][data-started]"
KEPT = "[data-part=state]:text-is('Kept on this phone.')"
SLOW = """const open = IDBFactory.prototype.open;
IDBFactory.prototype.open = function (...given) {
  const request = open.apply(this, given);
  const listen = request.addEventListener.bind(request);
  request.addEventListener = (type, heard, ...more) =>
    listen(type, type === 'success' ? (event) => setTimeout(() => heard.call(request, event), %d) : heard, ...more);
  return request;
}"""


def setup_page(context: BrowserContext, origin: str) -> Page:
    page = context.new_page()
    page.goto(f"{origin}/en/setup/")
    page.wait_for_selector(READY)
    return page


def enter(page: Page, **fields: str) -> None:
    """Type into rows as a keyboard would, and wait until they are kept."""
    for name, text in fields.items():
        if page.locator(f"select#take-{name}").count():
            page.select_option(f"#take-{name}", text)
        else:
            page.fill(f"#take-{name}", text)
    page.keyboard.press("Escape")
    page.wait_for_selector(KEPT, state="attached")


def mark(figure: FigurePage, name: str) -> str:
    """What a row says of where its number came from, '' where nothing."""
    line = figure.page.locator(f"#row-{name} .from-setup")
    return line.inner_text() if line.count() and line.is_visible() else ""


def way_back(figure: FigurePage, name: str) -> Any:
    return figure.page.locator(f"#row-{name} .to-setup")


def in_setup(page: Page) -> dict[str, str]:
    """Every field that is not empty, as it stands on the setup's page."""
    found: dict[str, str] = page.eval_on_selector_all(
        "[data-row]",
        """rows => Object.fromEntries(rows.map(row => [row.dataset.row, row.querySelector('input, select').value])
          .filter(([, value]) => value))""",
    )
    return found


# -- the page of the setup -------------------------------------------------------------------------------------------------------


def test_nothing_is_entered_until_somebody_enters_it(context, origin):
    page = setup_page(context, origin)
    assert in_setup(page) == {}
    assert page.inner_text("[data-part=name]") == "No setup yet. Type the first number and one is made."
    figure = FigurePage(context.new_page(), origin)
    assert figure.answer() == "280 cc/min"
    assert mark(figure, "manifold") == ""


def test_a_thumb_enters_a_number_in_its_unit_and_the_next_visit_shows_it(context, origin):
    page = setup_page(context, origin)
    noise = errors_of(page)
    page.tap("#take-blower_pulley")
    for key in ("2", "mark", "8"):
        page.tap(f'.dock [data-key="{key}"]')
    page.tap('.unit-strip [aria-label="The number is in in"]')
    assert "71.12 mm" in page.inner_text("#take-blower_pulley-echo")
    page.tap('.dock [data-key="next"]')
    assert page.evaluate("document.activeElement.id") == "take-blower_limit"
    page.wait_for_selector(KEPT, state="attached")
    assert page.inner_text("[data-part=name]") == "My engine"
    again = setup_page(context, origin)
    assert in_setup(again) == {"blower_pulley": "2.8"}
    assert again.inner_text("#row-blower_pulley .given-unit") == "in"
    assert noise == []


def test_a_row_is_emptied_by_a_key_of_the_dock_and_is_then_not_entered(context, origin):
    page = setup_page(context, origin)
    enter(page, displacement="3.4", boost="7", fuel="e10")
    page.tap("#take-boost")
    page.tap('.dock [data-key="find"]')
    assert page.input_value("#take-boost") == ""
    assert page.evaluate("document.activeElement.id") == "take-boost"
    assert not page.locator("#take-boost-error").is_visible()
    page.select_option("#take-fuel", "")
    page.wait_for_selector(KEPT, state="attached")
    assert in_setup(setup_page(context, origin)) == {"displacement": "3.4"}


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("charge", "a lot", "“a lot” cannot be read as one number."),
        ("displacement", "1,234", "can mean"),
        ("ve", "500", "Filling of the engine 500 % is above 140 %, the most that can stand here."),
        ("displacement", "0.001", "Engine capacity 0.001 L is below 0.05 L, the least that can stand here."),
        ("injectors", "5.5", "Injectors is counted in whole numbers; 5.5 is not whole."),
    ],
)
def test_what_cannot_be_used_gets_a_sentence_and_is_kept_as_typed(context, origin, name, text, says):
    page = setup_page(context, origin)
    enter(page, **{name: text})
    assert says in page.inner_text(f"#take-{name}-error")
    again = setup_page(context, origin)
    assert again.input_value(f"#take-{name}") == text
    assert says in again.inner_text(f"#take-{name}-error")


def test_setups_are_added_renamed_copied_switched_deleted_and_brought_back(context, origin):
    page = setup_page(context, origin)
    enter(page, displacement="3.4")
    page.tap("[data-act=copy]")
    page.wait_for_selector(".setup-list label:nth-child(3)")
    assert page.evaluate("document.activeElement.id") == "setup-name"
    page.fill("#setup-name", "Small pulley")
    enter(page, blower_pulley="68")
    names = page.locator(".setup-list span").all_inner_texts()
    assert names == ["My engine", "Small pulley", "None: each Figure starts at its own numbers"]
    page.locator(".setup-list input").nth(0).check(force=True)
    page.wait_for_function("() => document.querySelector('[data-part=name]').textContent === 'My engine'")
    assert in_setup(page) == {"displacement": "3.4"}
    page.tap("[data-act=delete]")
    page.wait_for_selector(".setup-undo button")
    assert page.inner_text(".setup-undo").startswith("My engine is deleted.")
    assert page.inner_text("[data-part=name]").startswith("None")
    assert not page.locator("[data-part=form]").is_visible()
    page.tap(".setup-undo button")
    page.wait_for_function("() => document.querySelector('[data-part=name]').textContent === 'My engine'")
    again = setup_page(context, origin)
    assert again.locator(".setup-list span").all_inner_texts() == names
    assert in_setup(again) == {"displacement": "3.4"}


def test_a_name_left_empty_is_kept_and_still_has_something_to_tap(context, origin):
    page = setup_page(context, origin)
    enter(page, displacement="3.4")
    page.fill("#setup-name", "")
    page.wait_for_selector(KEPT, state="attached")
    assert setup_page(context, origin).locator(".setup-list span").first.inner_text() == "without a name"


def test_F56_the_last_key_is_kept_when_the_page_is_left_at_once(context, origin):
    page = setup_page(context, origin)
    enter(page, displacement="3.4")
    page.fill("#take-boost", "6.5")
    page.goto(f"{origin}/en/")
    assert in_setup(setup_page(context, origin)) == {"displacement": "3.4", "boost": "6.5"}


def test_F56_a_killed_browser_has_what_was_typed_half_a_second_ago(own_profile, origin, tmp_path):
    phone = own_profile()
    page = setup_page(phone, origin)
    page.fill("#take-displacement", "3.4")
    page.fill("#take-charge", "a lot")
    let(page, 500)
    page.wait_for_selector(KEPT, state="attached")
    with phone.expect_event("close"):
        kill(tmp_path / "profile")
    assert in_setup(setup_page(own_profile(), origin)) == {"displacement": "3.4", "charge": "a lot"}


def test_F57_two_windows_keep_both_changes_and_see_each_other(context, origin):
    one = setup_page(context, origin)
    enter(one, displacement="3.4")
    other = setup_page(context, origin)
    enter(other, boost="6")
    one.wait_for_function("() => document.querySelector('#take-boost').value === '6'")
    enter(one, blower_pulley="68")
    other.wait_for_function("() => document.querySelector('#take-blower_pulley').value === '68'")
    assert in_setup(setup_page(context, origin)) == {
        "displacement": "3.4",
        "boost": "6",
        "blower_pulley": "68",
    }


def test_F57_without_a_channel_the_other_window_is_read_on_return(context, origin):
    context.add_init_script("delete window.BroadcastChannel")
    one, other = setup_page(context, origin), setup_page(context, origin)
    enter(other, boost="6")
    assert one.input_value("#take-boost") == ""
    one.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    one.wait_for_function("() => document.querySelector('#take-boost').value === '6'")


# -- a phone that cannot keep it -------------------------------------------------------------------------------------------------


def test_without_scripts_the_page_says_what_that_means(chromium, origin):
    plain = chromium.new_context(java_script_enabled=False)
    page = plain.new_page()
    page.goto(f"{origin}/en/setup/")
    assert "This page needs scripts. Without them nothing can be kept on the phone" in page.inner_text("main")
    assert not page.locator("form").is_visible()
    plain.close()


@pytest.mark.parametrize(
    "fault",
    [
        "Object.defineProperty(window, 'indexedDB', {value: undefined})",
        "Object.defineProperty(window, 'indexedDB', {get() { throw new DOMException('no', 'SecurityError') }})",
    ],
)
def test_F12_without_a_store_the_page_says_so_keeps_what_is_typed_and_figures_stand_at_their_own(
    context, origin, fault
):
    context.add_init_script(fault)
    page = setup_page(context, origin)
    noise = errors_of(page)
    page.fill("#take-boost", "6")
    page.wait_for_selector("[data-part=state]:has-text('this browser window has no store')")
    assert page.input_value("#take-boost") == "6"
    figure = FigurePage(context.new_page(), origin)
    assert (figure.answer(), mark(figure, "manifold"), noise, figure.noise) == ("280 cc/min", "", [], [])


def test_F53_a_page_that_waits_for_another_window_says_which_and_goes_on(context, origin):
    """The old window neither makes way nor answers: a deletion waits for it, and this page's opening behind that."""
    old = context.new_page()
    old.goto(f"{origin}/en/help/")
    old.evaluate(
        """() => new Promise((done) => {
          const request = indexedDB.open('cowlside', 1);
          request.onsuccess = () => { window.held = request.result; indexedDB.deleteDatabase('cowlside'); done() };
        })"""
    )
    page = context.new_page()
    page.goto(f"{origin}/en/setup/")
    page.locator("[data-part=state]").get_by_text("Close the other window").wait_for()
    old.close()
    page.wait_for_selector(READY)
    enter(page, boost="6")
    assert in_setup(setup_page(context, origin)) == {"boost": "6"}


def test_F54_on_a_full_phone_the_page_says_so_and_a_later_change_keeps_it_all(context, origin):
    page = context.new_page()
    cdp = context.new_cdp_session(page)
    page.goto(f"{origin}/en/help/")
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1})
    page.goto(f"{origin}/en/setup/")
    page.wait_for_selector(READY)
    page.fill("#take-boost", "6")
    page.wait_for_function(
        "() => document.querySelector('[data-part=state]').textContent.includes('the phone has no room')"
    )
    assert page.input_value("#take-boost") == "6"
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    enter(page, displacement="3.4")
    assert in_setup(setup_page(context, origin)) == {"boost": "6", "displacement": "3.4"}


# -- Figures that start from it ----------------------------------------------------------------------------------------------------


@pytest.fixture
def car(context, origin) -> BrowserContext:
    """A phone on which a car is entered; 350 cc/min at 3 bar behind 50 psi of rail and 10 psi of boost."""
    page = setup_page(context, origin)
    enter(
        page, injector_flow="350", rail="50", boost="10", fuel="e85", blower="screw", blower_efficiency="70"
    )
    page.close()
    return context


def test_a_figure_starts_from_the_setup_and_says_which_numbers_are_from_it(car, origin):
    """350 · √(40 psi/3 bar) = 350 · √(40/43.511) = 335.6 cc/min, by hand."""
    figure = FigurePage(car.new_page(), origin)
    assert figure.answer() == "336 cc/min"
    assert mark(figure, "manifold") == mark(figure, "rail") == "from setup: My engine"
    assert mark(figure, "rated_drop") == ""
    assert urlsplit(figure.page.url).query == ""
    described = figure.page.get_attribute("#take-manifold", "aria-describedby")
    assert described is not None and "take-manifold-from" in described
    assert figure.noise == []


def test_the_first_numbers_that_are_painted_are_the_right_ones(car, origin):
    """Every frame is looked at from the first on: no answer but the setup's is ever visible."""
    page = car.new_page()
    page.add_init_script(
        """window.painted = new Set();
        const look = () => {
          const number = document.querySelector('.slab-number .number');
          if (number && getComputedStyle(number).visibility === 'visible') painted.add(number.textContent);
          requestAnimationFrame(look);
        };
        look();"""
    )
    figure = FigurePage(page, origin)
    figure.settle()
    assert page.evaluate("[...painted]") == ["336"]


def test_the_address_counts_first_then_the_setup_then_the_figure(car, origin):
    figure = FigurePage(car.new_page(), origin, query="manifold=0+psi")
    assert figure.field("manifold") == "0"
    assert mark(figure, "manifold") == ""
    assert way_back(figure, "manifold").inner_text() == "Setup: 10 psi"
    assert mark(figure, "rail") == "from setup: My engine"
    assert figure.field("rated_drop") == "3"


def test_typing_over_a_number_takes_the_mark_away_and_one_tap_brings_it_back(car, origin):
    figure = FigurePage(car.new_page(), origin)
    figure.edit("manifold")
    figure.keys("5")
    figure.page.keyboard.press("Escape")
    assert mark(figure, "manifold") == ""
    assert figure.answer() != "336 cc/min"
    assert figure.box("#row-manifold .to-setup")["height"] >= 56
    assert (
        way_back(figure, "manifold").get_attribute("aria-label")
        == "Setup: 10 psi, back into Manifold pressure"
    )
    way_back(figure, "manifold").tap()
    assert (figure.field("manifold"), figure.answer()) == ("10", "336 cc/min")
    assert figure.page.evaluate("document.activeElement.id") == "take-manifold"


def test_a_link_passed_on_holds_all_numbers(car, origin, chromium):
    page = car.new_page()
    page.add_init_script("Navigator.prototype.share = async (what) => { window.shared = what.url }")
    figure = FigurePage(page, origin)
    page.tap("[data-act=share]")
    page.wait_for_function("() => window.shared")
    query = parse_qs(urlsplit(page.evaluate("shared")).query)
    assert query == {
        "rated_flow": ["350 cc/min"], "rated_drop": ["3 bar"], "rail": ["50 psi"], "manifold": ["10 psi"],
    }  # fmt: skip
    elsewhere = phone_of(chromium)
    other = FigurePage(elsewhere.new_page(), origin, query=urlsplit(page.evaluate("shared")).query)
    assert other.answer() == figure.answer() == "336 cc/min"
    elsewhere.close()


def test_what_a_choice_brings_along_is_the_setups_only_beside_the_setups_choice(car, origin):
    figure = FigurePage(car.new_page(), origin, "charge-temperature")
    assert (figure.page.input_value("#take-blower"), figure.field("efficiency")) == ("screw", "70")
    figure.page.select_option("#take-blower", "roots")
    assert figure.field("efficiency") != "70"
    assert mark(figure, "efficiency") == ""
    way_back(figure, "blower").tap()
    assert (figure.page.input_value("#take-blower"), figure.field("efficiency")) == ("screw", "70")


def test_a_number_of_the_setup_that_cannot_be_read_is_told_not_passed_over(context, origin):
    enter(setup_page(context, origin), boost="a lot")
    figure = FigurePage(context.new_page(), origin)
    assert "“a lot” cannot be read as one number" in figure.sentence()
    assert mark(figure, "manifold") == "from setup: My engine"
    assert figure.field("manifold") == "a lot"


def test_a_change_in_one_window_is_seen_by_a_figure_in_another(car, origin):
    figure = FigurePage(car.new_page(), origin)
    enter(setup_page(car, origin), boost="0")
    figure.page.wait_for_function("() => document.querySelector('#take-manifold').value === '0'")
    assert mark(figure, "manifold") == "from setup: My engine"


def test_a_setup_that_is_not_in_use_says_nothing(car, origin):
    page = setup_page(car, origin)
    page.locator(".setup-list input").last.check(force=True)
    page.wait_for_function("() => document.querySelector('[data-part=name]').textContent.startsWith('None')")
    assert FigurePage(car.new_page(), origin).answer() == "280 cc/min"


def test_a_store_that_answers_late_leaves_the_figures_own_numbers_until_asked(car, origin):
    page = car.new_page()
    page.add_init_script(SLOW % 1500)
    figure = FigurePage(page, origin)
    assert (figure.answer(), mark(figure, "manifold")) == ("280 cc/min", "")
    late = page.get_by_role("button", name="Take the numbers of setup: My engine")
    late.tap()
    assert (figure.answer(), mark(figure, "manifold")) == ("336 cc/min", "from setup: My engine")
    assert not late.is_visible()


def test_a_setup_that_no_page_left_word_of_joins_the_figure_at_work(car, origin):
    """The word in localStorage may be gone, as after clearing some of a site's data, while the store is there."""
    page = car.new_page()
    page.goto(f"{origin}/en/help/")
    page.evaluate("localStorage.removeItem('cowlside-setup')")
    figure = FigurePage(page, origin)
    page.wait_for_selector("#row-manifold .from-setup:not([hidden])")
    assert (figure.answer(), mark(figure, "manifold")) == ("336 cc/min", "from setup: My engine")
    assert page.evaluate("localStorage.getItem('cowlside-setup')") == "1"
    assert figure.noise == []


def test_where_there_is_no_setup_its_scripts_are_not_fetched_until_another_window_makes_one(context, origin):
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(urlsplit(request.url).path))
    figure = FigurePage(page, origin)
    page.wait_for_load_state("networkidle")
    assert any(path.endswith("/store.js") for path in asked)
    assert not any(path.endswith(("/from-setup.js", "/lib/setup.js")) for path in asked)
    enter(setup_page(context, origin), boost="5")
    page.wait_for_selector("#row-manifold .from-setup:not([hidden])")
    assert mark(figure, "manifold") == "from setup: My engine"


def test_such_a_setup_waits_until_asked_where_somebody_types_already(car, origin):
    page = car.new_page()
    page.goto(f"{origin}/en/help/")
    page.evaluate("localStorage.removeItem('cowlside-setup')")
    held: list[Route] = []
    page.route(re.compile(r"/from-setup\.js"), lambda route: held.append(route))
    with page.expect_request(re.compile(r"/from-setup\.js")):
        figure = FigurePage(page, origin)
    figure.type("manifold", "9")
    held[0].continue_()
    late = page.get_by_role("button", name="Take the numbers of setup: My engine")
    late.wait_for()
    assert (figure.field("manifold"), mark(figure, "rail")) == ("9", "")
    late.tap()
    assert (figure.field("manifold"), mark(figure, "rail")) == ("9", "from setup: My engine")


def test_figures_work_where_the_files_of_the_setup_do_not_come(context, origin):
    context.route(re.compile(r"/(from-setup|setup|store|idb)\.js"), lambda route: route.abort())
    assert FigurePage(context.new_page(), origin).answer() == "280 cc/min"


# -- results put into it ------------------------------------------------------------------------------------------------------------


def test_an_answer_is_put_into_the_setup_with_what_it_replaces_and_taken_out_again(car, origin):
    figure = FigurePage(car.new_page(), origin, "rail-pressure")
    put = figure.page.locator(".into-setup .put")
    answer = "53.5 psi"  # a regulator that follows the boost, 43.5 + 10, by hand
    assert put.inner_text().split("\n") == [
        "Put into setup: My engine", f"Rail pressure at full load: {answer}, replaces 50 psi",
    ]  # fmt: skip
    assert figure.box(".into-setup .put")["height"] >= 56
    put.tap()
    done = figure.page.locator(".setup-told")
    done.get_by_text(f"Rail pressure at full load: {answer} is in setup My engine.").wait_for()
    assert in_setup(setup_page(car, origin))["rail"] == answer.removesuffix(" psi")
    done.get_by_role("button", name="Undo: Rail pressure at full load back to 50 psi").tap()
    done.get_by_text("Undone.").wait_for()
    assert in_setup(setup_page(car, origin))["rail"] == "50"


def test_an_input_that_was_found_is_put_into_its_field(car, origin):
    """Which injector gives 400 cc/min there: 400/√(40/43.511) = 417 cc/min, by hand."""
    figure = FigurePage(car.new_page(), origin, query="solve=rated_flow&flow=400+cc%2Fmin")
    assert figure.answer() == "417.2 cc/min"
    put = figure.page.locator(".into-setup .put")
    assert "Rated flow of one injector: 417.2 cc/min, replaces 350 cc/min" in put.inner_text()
    put.tap()
    figure.page.locator(".setup-told button").wait_for()
    assert in_setup(setup_page(car, origin))["injector_flow"] == "417.2"


def test_a_field_that_was_empty_is_filled_and_emptied_again(car, origin):
    figure = FigurePage(car.new_page(), origin, "site-pressure")
    put = figure.page.locator(".into-setup .put")
    assert put.inner_text().endswith("not entered so far")
    put.tap()
    figure.page.get_by_role("button", name="Undo: Air pressure at the car back to not entered").tap()
    figure.page.locator(".setup-told").get_by_text("Undone.").wait_for()
    assert "site" not in in_setup(setup_page(car, origin))


def test_nothing_is_offered_without_a_setup_or_an_answer(context, origin):
    figure = FigurePage(context.new_page(), origin, "rail-pressure")
    assert not figure.page.locator(".into-setup").is_visible()
    enter(setup_page(context, origin), base_pressure="43.5")
    figure.open("boost=900+psi")
    assert figure.sentence()
    assert not figure.page.locator(".into-setup").is_visible()


def test_a_result_that_cannot_be_kept_says_so_and_holds_in_the_window(car, origin):
    page = car.new_page()
    page.add_init_script(
        """const transaction = IDBDatabase.prototype.transaction;
        IDBDatabase.prototype.transaction = function (names, mode, ...more) {
          if (mode === 'readwrite') throw new DOMException('connection lost', 'UnknownError');
          return transaction.call(this, names, mode, ...more);
        }"""
    )
    figure = FigurePage(page, origin, "rail-pressure")
    page.locator(".into-setup .put").tap()
    page.get_by_text("is not kept on this phone. It holds in this window only.").wait_for()
    assert figure.noise == []
    figure.open()
    assert page.locator(".into-setup .put").is_visible()


# -- everybody -------------------------------------------------------------------------------------------------------------------------


def test_a_keyboard_alone_enters_names_and_switches(context, origin):
    page = setup_page(context, origin)
    page.focus("#take-displacement")
    page.keyboard.type("3.4")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "take-compression"
    page.keyboard.type("9.5")
    page.keyboard.press("Escape")
    page.wait_for_selector(KEPT, state="attached")
    page.focus("[data-act=add]")
    page.keyboard.press("Enter")
    page.wait_for_selector(".setup-list label:nth-child(3)")
    page.keyboard.type("Spare engine")
    page.wait_for_selector(KEPT, state="attached")
    page.focus(".setup-list input:checked")
    page.keyboard.press("ArrowUp")
    page.wait_for_function("() => document.querySelector('[data-part=name]').textContent === 'My engine'")
    assert in_setup(page) == {"displacement": "3.4", "compression": "9.5"}
    figure = FigurePage(context.new_page(), origin, "compression-under-boost", "compression=8")
    figure.page.focus("#row-compression .to-setup")
    figure.page.keyboard.press("Enter")
    assert figure.field("compression") == "9.5"
    assert figure.page.text_content("#row-compression .from-setup") == "from setup: My engine"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing_on_a_filled_setup_nor_on_a_figure_that_starts_from_it(chromium, origin, theme):
    phone = phone_of(chromium, 390, 844, color_scheme=theme, reduced_motion="reduce")
    page = setup_page(phone, origin)
    enter(page, displacement="3.4", ve="500", charge="a lot", fuel="e10", base_pressure="43.5", boost="9")
    assert faults(page) == []
    page.tap("#take-displacement")
    assert faults(page) == []
    page.keyboard.press("Escape")
    page.tap("[data-act=delete]")
    page.wait_for_selector(".setup-undo button")
    assert faults(page) == []
    page.tap(".setup-undo button")
    figure = FigurePage(phone.new_page(), origin, "rail-pressure", "boost=5+psi")
    figure.page.locator(".into-setup .put").tap()
    figure.page.locator(".setup-told button").wait_for()
    assert faults(figure.page) == []
    phone.close()


@pytest.mark.parametrize(("width", "size"), [(320, 16), (390, 32)])
def test_nothing_is_cut_on_the_narrowest_phone_nor_with_text_at_twice_its_size(chromium, origin, width, size):
    phone = phone_of(chromium, width, 568 if width == 320 else 844)
    page = phone.new_page()
    phone.new_cdp_session(page).send(
        "Page.setFontSizes", {"fontSizes": {"standard": size, "fixed": size - 4}}
    )
    page.goto(f"{origin}/en/setup/")
    page.wait_for_selector(READY)
    enter(page, displacement="3.4", ve="500", charge="a lot and more", base_pressure="43.5", boost="9")
    page.fill("#setup-name", "Harbourwagonwiththesmallpulleyandthespareengine of spring")
    page.wait_for_selector(KEPT, state="attached")
    assert sticking_out(page) == []
    page.tap("#take-blower_pulley")
    assert sticking_out(page) == []
    page.keyboard.press("Escape")
    page.goto(f"{origin}/en/figures/rail-pressure/?boost=5+psi")
    page.wait_for_selector("[data-module=figure][data-started]")
    assert way_back(FigurePage(page, origin, "rail-pressure", "boost=5+psi"), "boost").is_visible()
    assert sticking_out(page) == []
    phone.close()


def test_a_restarted_phone_without_a_network_starts_its_figures_from_the_setup(own_profile, server, book):
    host = server(create_app(book=book))
    phone = own_profile()
    page = setup_page(phone, host.origin)
    page.wait_for_selector("[data-module=saved-status][data-state=saved]")
    enter(page, injector_flow="350", rail="50", boost="10")
    phone.close()
    host.down()
    phone = own_profile()
    page = setup_page(phone, host.origin)
    assert in_setup(page) == {"injector_flow": "350", "rail": "50", "boost": "10"}
    figure = FigurePage(phone.new_page(), host.origin)
    assert (figure.answer(), mark(figure, "rail")) == ("336 cc/min", "from setup: My engine")
