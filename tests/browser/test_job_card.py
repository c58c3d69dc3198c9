"""The job card on the phone, as the person uses it over several days (field faults F12, F13, F47, F50 to F52, F56 to F58)."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from browser.axe import faults, sticking_out
from browser.card_page import CARD, CardPage, card_of, picture
from browser.figure_driver import phone_of
from browser.killed import kill
from browser.patience import let
from browser.stand_in import errors_of
from playwright.sync_api import Page

COOLING, START = "refill-the-cooling-system", "start-for-the-first-time"
NOON = datetime(2026, 11, 25, 12, 0)
HOURS_12 = 12 * 60 * 60 * 1000


# -- the whole way, without a network ------------------------------------------------------------------------------------------------


def test_offline_a_job_goes_from_its_template_to_the_gate_of_the_first_start(phone, origin):
    page = phone.new_page()
    noise = errors_of(page)
    page.goto(f"{origin}/en/")
    page.wait_for_selector("[data-module=saved-status][data-state=saved]")
    phone.set_offline(True)
    card = CardPage(page, origin).make(START)
    assert card.progress() == "0 of 19 steps done"
    assert card.open_step() == "returned"
    assert (
        card.try_tick("returned")
        == "Not ticked. First read and confirm the caution: Children, animals, and leaving the work overnight. First read and confirm the caution: Petrol spill."
    )
    card.confirm_all("returned").tick("returned")
    assert card.open_step() == "fluids"
    card.hang("rag or tape in a port", "left bank", 3)
    card.hang("capped", "fuel feed").hang("clamped", "coolant hose").hang("unplugged", "fan")
    assert page.inner_text(".card-count").split() == ["4", "loose", "ends", "open"]

    card.confirm_all("all-closed")
    reason = "4 loose ends are still open. Close each one first, with your own eyes and hands."
    assert card.described() == reason
    assert page.get_attribute(".card-tick", "aria-disabled") == "true"
    assert card.try_tick("all-closed") == f"Not ticked. {reason}"
    assert not card.is_done("all-closed")

    page.click("text=Show the loose ends")
    tag = page.locator("#loose-ends .card-tags > li").first
    assert "rag or tape in a port: left bank" in tag.inner_text()
    tag.get_by_role("button", name="Close one").click()
    page.wait_for_selector("text=2 of 3 still open")
    assert card.ends() == 4
    page.get_by_role("button", name="Close all 2: rag or tape in a port: left bank").click()
    page.wait_for_selector(".card-count[data-open='3']")
    for left in (2, 1, 0):
        page.locator("#loose-ends .card-tags > li").first.get_by_role("button", name="Close it: ").click()
        page.wait_for_selector(f".card-count[data-open='{left}']")
    page.locator("text=Back to the steps").first.click()
    assert card.described() == ""
    card.tick("all-closed")
    assert card.progress() == "2 of 19 steps done"
    assert noise == []


def test_a_card_from_nothing_has_its_own_steps_and_its_own_gate(context, origin):
    card = card_of(context, origin).make_from_nothing("Intake")
    page = card.page
    assert card.progress() == "No steps yet"
    page.click("summary:text-is('Add a step, change this stage')")
    for title, is_gate in (("Fit the pipe", False), ("Start it", True)):
        fold = page.locator(".card-stage-edit")
        if not fold.is_visible():
            page.click("text=Change steps and stages")
        fold.get_by_label("A new step").fill(title)
        if is_gate:
            fold.get_by_label("It starts the engine for the first time").check()
        fold.get_by_role("button", name="Add the step").click()
        page.wait_for_selector(f".is-open b:text-is('{title}')")
    card.hang("tool in the bay", "on the cross member")
    assert card.described() == "1 loose end is still open. Close it first, with your own eyes and hands."
    page.locator(".card-step").nth(0).locator(".card-step-head").click()
    page.click(".card-tick")
    page.wait_for_selector("[data-state=done]")
    assert card.progress() == "1 of 2 steps done"
    page.locator(".is-open summary:text-is('Change this step')").click()
    page.locator(".is-open >> text=Move up").click()
    page.wait_for_selector(".card-step:first-child b:text-is('Start it')")
    assert card.undo() == "Step moved: Start it"
    page.wait_for_selector(".card-step:last-child b:text-is('Start it')")


OWN = "Undo the fuel line at the rail"


def test_an_own_step_is_offered_the_cautions_that_its_words_lead_to_and_is_held_by_those_chosen(
    context, origin
):
    card = card_of(context, origin).make_from_nothing("Intake")
    page = card.page
    page.click("summary:text-is('Add a step, change this stage')")
    form = page.locator(".card-stage-edit .card-form").first
    form.get_by_label("A new step").press_sequentially(OWN)
    told = form.locator(".card-sheets [role=status]")
    assert told.text_content() == "Ticked, since your words lead there: Opening a fuel line."
    assert form.get_by_label("Opening a fuel line").is_checked()
    form.locator("summary:text-is('Choose from all cautions')").click()
    form.get_by_label("Fire in or near the engine bay").check()
    form.get_by_label("A new step").fill(f"{OWN}, belt off")
    assert form.get_by_label("Belts, pulleys and fans").is_checked()
    form.get_by_label("Belts, pulleys and fans").uncheck()
    form.get_by_label("A new step").fill(f"{OWN}, belt off first")
    assert not form.get_by_label("Belts, pulleys and fans").is_checked()
    form.get_by_role("button", name="Add the step").click()
    page.wait_for_selector(f".is-open b:text-is('{OWN}, belt off first')")
    step = card.open_step()
    assert page.locator(".is-open .card-strip").count() == 2
    assert "Opening a fuel line" in card.try_tick(step)
    card.reload()
    card.confirm_all(step).tick(step)


def test_the_cautions_of_an_own_step_are_changed_and_changed_back(context, origin):
    card = card_of(context, origin).make_from_nothing("Intake")
    page = card.page
    page.click("summary:text-is('Add a step, change this stage')")
    page.get_by_label("A new step").fill("Look around")
    page.get_by_role("button", name="Add the step").click()
    page.wait_for_selector(".is-open b:text-is('Look around')")
    page.click(".is-open summary:text-is('Change this step')")
    form = page.locator(".is-open .card-form:has(> button:text-is('Keep words and cautions'))")
    assert form.locator(".card-check input:checked").count() == 0
    form.get_by_label("This step in your own words").fill("Grind the bracket")
    assert form.get_by_label("Grinding, drilling").is_checked()
    form.get_by_role("button", name="Keep words and cautions").click()
    page.wait_for_selector(".is-open .card-strip")
    assert card.described().startswith("First read and confirm the caution: Grinding")
    form.get_by_label("Grinding, drilling").uncheck()
    form.get_by_role("button", name="Keep words and cautions").click()
    page.wait_for_selector(".is-open .card-strip", state="detached")
    card.hear("Cautions chosen for: Grind the bracket")
    assert card.undo() == "Cautions chosen for: Grind the bracket"
    page.wait_for_selector(".is-open .card-strip")


# -- cautions ------------------------------------------------------------------------------------------------------------------------


def test_a_caution_counts_for_twelve_hours_and_is_then_asked_for_again(context, origin):
    context.clock.install(time=NOON)
    card = card_of(context, origin).make(COOLING)
    page = card.page
    assert "Not confirmed." in page.inner_text(".card-strip")
    card.confirm_all("manual")
    assert page.inner_text(".card-sheet-state") == "✓ Confirmed 12:00, counts until Thursday 00:00."
    assert card.described() == ""
    context.clock.fast_forward(HOURS_12 - 60_000)
    assert page.locator(".card-strip.is-confirmed").count() == 1
    context.clock.fast_forward(120_000)
    page.wait_for_selector(".card-strip:not(.is-confirmed)")
    assert card.described() == "First read and confirm the caution: Opening the cooling system."
    card.try_tick("manual")
    assert not card.is_done("manual")


def test_a_phone_that_slept_finds_out_at_the_tap(context, origin):
    """Timers stand still while a phone sleeps; only its clock goes on."""
    card = card_of(context, origin).make(COOLING).confirm_all("manual")
    card.page.evaluate(f"() => {{ const now = Date.now() + {HOURS_12}; Date.now = () => now }}")
    assert "Opening the cooling system" in card.try_tick("manual")
    assert not card.is_done("manual")


def test_F57_a_window_that_was_told_nothing_does_not_tick_past_a_caution_that_another_one_has_let_lapse(
    context, origin
):
    """Without a channel between windows the first one still shows the caution as confirmed."""
    context.add_init_script("delete window.BroadcastChannel")
    card = card_of(context, origin).make(COOLING).confirm_all("manual")
    other = card_of(context, origin).open(card.job)
    other.page.click("text=I stop here")
    other.page.wait_for_selector(".card-stopped")
    assert card.page.locator(".card-strip.is-confirmed").count() == 1
    sentence = "Not ticked. First read and confirm the caution: Opening the cooling system."
    assert card.try_tick("manual") == sentence
    assert not card.is_done("manual")
    assert card.page.locator(".card-strip.is-confirmed").count() == 0


def test_a_tick_comes_back_by_undo_only_while_its_caution_counts(context, origin):
    card = card_of(context, origin).make(COOLING).confirm_all("manual").tick("manual").show("manual")
    page = card.page
    page.click("text=Not done after all")
    page.wait_for_selector("[data-step=manual]:not([data-state=done])")
    page.evaluate(f"() => {{ const now = Date.now() + {HOURS_12}; Date.now = () => now }}")
    page.click(".card-undo")
    page.wait_for_selector(".card-told p:has-text('Not undone, because the step may not stand as done: ')")
    assert card.told().endswith("First read and confirm the caution: Opening the cooling system.")
    assert not card.is_done("manual")


def test_interrupted_work_lapses_the_cautions_and_says_so_until_it_goes_on(context, origin):
    card = card_of(context, origin).make(COOLING).confirm_all("manual")
    page = card.page
    page.click("text=I stop here")
    page.wait_for_selector(".card-stopped")
    assert page.inner_text(".card-stopped b").startswith("Work is interrupted since ")
    assert page.locator(".card-strip.is-confirmed").count() == 0
    card.reload()
    assert page.locator(".card-stopped").is_visible()
    page.click("text=Go on")
    page.wait_for_selector(".card-stopped", state="detached")
    card.try_tick("manual")


# -- what is written -------------------------------------------------------------------------------------------------------------------


def test_values_are_read_with_the_units_of_their_kind_and_a_bad_one_stays_with_its_sentence(context, origin):
    card = card_of(context, origin).make(COOLING)
    page = card.page
    page.fill("[data-key='manual Torque of the drain plug']", "18 lbf ft")
    page.fill("[data-key='page manual Torque of the drain plug']", "4-17")
    page.fill("[data-key='manual Pressure on the cap']", "1,1,1 bar")
    page.keyboard.press("Tab")
    page.wait_for_selector(".is-open .fault:visible")
    fault = page.locator(".is-open .fault:visible")
    assert fault.inner_text().startswith("“1,1,1 bar” cannot be read as one number.")
    field = page.locator("[data-key='manual Pressure on the cap']")
    assert field.get_attribute("aria-invalid") == "true"
    assert field.get_attribute("aria-describedby") == fault.get_attribute("id")
    # 18 lbf ft x 1.355 817 948 331 4 N m = 24.4047 N m (NIST SP 811, appendix B.8).
    assert "24.4 N·m" in page.inner_text(".is-open")
    page.wait_for_selector(".card-state:has-text('Kept on this phone.')")
    let(page, 100)
    card.reload()
    assert card.field("manual Torque of the drain plug") == "18"
    assert card.field("unit manual Torque of the drain plug") == "lbf·ft"
    assert card.field("page manual Torque of the drain plug") == "4-17"
    assert card.field("manual Pressure on the cap") == "1,1,1 bar"
    assert page.locator(".is-open .fault:visible").count() == 1


def test_a_chosen_unit_says_what_the_number_was_in_and_changes_no_number(context, origin):
    card = card_of(context, origin).make(COOLING)
    page = card.page
    page.fill("[data-key='manual Pressure on the cap']", "15")
    page.select_option("[data-key='unit manual Pressure on the cap']", "psi")
    assert card.field("manual Pressure on the cap") == "15"
    # 15 psi x 6.894 757 kPa = 103.42 kPa (NIST SP 811, appendix B.8).
    page.wait_for_selector(".card-echo:has-text('103.4 kPa')")


def test_every_prompt_is_ticked_off_by_itself_and_stays_so(context, origin):
    card = card_of(context, origin).make(COOLING).show("look")
    page = card.page
    prompts = page.locator(".card-apart input")
    assert prompts.count() > 1
    prompts.nth(1).check()
    page.wait_for_selector(".card-undo[title^='Looked at: ']")
    card.reload()
    assert card.open_step() == "look"
    assert [prompts.nth(n).is_checked() for n in (0, 1)] == [False, True]
    card.undo()
    assert not prompts.nth(1).is_checked()


def test_part_numbers_and_own_readings_are_written_down_and_deleted(context, origin):
    card = card_of(context, origin).make(COOLING)
    page = card.page
    page.click(".is-open summary:text-is('Write down a part number or something else')")
    page.click(".is-open >> text=Write it down")
    assert (
        page.inner_text(".is-open .fault:visible")
        == "Fill in “Of what” and “Number or text”, then tap again."
    )
    page.locator(".is-open").get_by_label("What it is", exact=True).select_option("part")
    page.locator(".is-open").get_by_label("Of what").fill("Thermostat seal")
    page.locator(".is-open").get_by_label("Number or text").fill("ZX-81")
    page.click(".is-open >> text=Write it down")
    page.wait_for_selector(".card-entries:has-text('ZX-81')")
    page.get_by_role("button", name="Delete: Thermostat seal").click()
    page.wait_for_selector(".is-open .card-entries li", state="detached")
    assert card.undo() == "Deleted: Thermostat seal"
    page.wait_for_selector(".card-entries:has-text('ZX-81')")


def test_F56_a_note_outlives_a_killed_browser_and_the_card_opens_where_it_was(own_profile, origin, tmp_path):
    phone = own_profile()
    card = card_of(phone, origin).make(COOLING).show("drain")
    page, job = card.page, card.job
    page.locator("[data-key='note drain']").press_sequentially("Plug was rounded off")
    let(page, 1000)
    y = page.evaluate("scrollY")
    assert y > 300
    with phone.expect_event("close"):
        kill(tmp_path / "profile")
    again = card_of(own_profile(), origin).open(job)
    assert again.open_step() == "drain"
    assert again.field("note drain") == "Plug was rounded off"
    assert again.page.evaluate("document.activeElement.dataset.key") == "note drain"
    assert abs(again.page.evaluate("scrollY") - y) < 80


def test_F56_what_is_typed_in_a_page_s_last_moment_is_kept(context, origin):
    card = card_of(context, origin).make(COOLING)
    page, job = card.page, card.job
    page.locator("[data-key='note manual']").press_sequentially("Page 12 and 13!")
    page.locator("[data-key='manual Pressure on the cap']").press_sequentially("1.1 bar")
    page.goto(f"{origin}/en/")
    card.open(job)
    assert card.field("note manual") == "Page 12 and 13!"
    assert card.field("manual Pressure on the cap") == "1.1"
    card.reload()
    assert page.locator(".is-open .card-entries li").count() == 0


def test_a_note_typed_with_pauses_is_undone_as_one(context, origin):
    card = card_of(context, origin).make(COOLING)
    page = card.page
    note = page.locator("[data-key='note manual']")
    for text in ("Page 12", " and 13"):
        note.press_sequentially(text)
        let(page, 600)
    page.locator(".card-undo").focus()
    assert card.undo().startswith("Note written: ")
    assert card.field("note manual") == ""
    assert not page.locator(".card-undo").is_visible()


# -- photos ----------------------------------------------------------------------------------------------------------------------------


def test_a_photo_is_made_smaller_shown_small_opened_large_and_removed_with_undo(context, origin, tmp_path):
    card = card_of(context, origin).make(COOLING).show("open")
    page = card.page
    noise = errors_of(page)
    page.locator(".is-open input[type=file]").nth(1).set_input_files(picture(tmp_path / "level.png"))
    page.wait_for_selector(".card-picture[src^='blob:']")
    shown = page.locator(".card-picture")
    assert shown.evaluate(
        "image => image.decode().then(() => [image.naturalWidth, image.naturalHeight])"
    ) == [1600, 800]
    small = page.locator(".card-picture-open").bounding_box()
    page.click(".card-picture-open")
    large = page.locator(".card-picture-open").bounding_box()
    assert small and large and large["width"] > 1.5 * small["width"]
    assert page.get_attribute(".card-picture-open", "aria-expanded") == "true"
    page.get_by_label("What it shows").fill("Level before")
    page.keyboard.press("Tab")
    page.wait_for_selector("img[alt='Level before']")
    page.click("text=Delete this photo")
    page.wait_for_selector(".card-picture", state="detached")
    assert card.undo() == "Deleted: Level before"
    page.wait_for_selector("img[alt='Level before']")
    page.locator(".is-open input[type=file]").nth(1).set_input_files(
        {"name": "notes.txt", "mimeType": "text/plain", "buffer": b"no picture"}
    )
    page.wait_for_selector("text=This browser cannot show that photo.")
    assert noise == []


# -- undo --------------------------------------------------------------------------------------------------------------------------------


def test_the_last_action_is_always_in_reach_named_and_taken_back_and_done_again(context, origin):
    card = card_of(context, origin).make(COOLING)
    page = card.page
    assert not page.locator(".card-undo").is_visible()
    card.confirm_all("manual").tick("manual")
    assert card.undo() == "Done: Read the cooling system in your manual and write down what it asks for."
    assert not card.is_done("manual")
    page.click(".card-told >> text=Do it again")
    page.wait_for_selector("[data-step=manual][data-state=done]")
    card.show("manual")
    page.click("text=Not done after all")
    page.wait_for_selector("[data-step=manual]:not([data-state=done])")
    assert card.undo().startswith("Not done after all: ")
    assert card.is_done("manual")

    card.show("drain")
    page.get_by_role("button", name="Hang a tag: drained or low: cooling system").click()
    page.wait_for_selector(".card-count[data-open='1']")
    page.get_by_role("button", name="Close it: drained or low: cooling system").click()
    page.wait_for_selector(".card-count[data-open='0']")
    assert card.undo() == "Loose end closed: drained or low: cooling system"
    assert card.ends() == 1
    page.click(".is-open .card-tags summary")
    page.click(".is-open >> text=Delete this tag")
    page.wait_for_selector(".card-count[data-open='0']")
    assert card.undo() == "Deleted: cooling system"
    assert card.ends() == 1
    assert card.undo() == "Loose end opened: drained or low: cooling system"
    assert card.ends() == 0

    page.click(".is-open summary:text-is('Change this step')")
    page.click("text=Delete this step")
    page.wait_for_selector("[data-step=drain]", state="detached")
    assert card.undo() == "Deleted: Drain it into the pan. Close the can at once."
    page.wait_for_selector("[data-step=drain]")


def test_an_older_action_is_taken_back_from_the_list_of_what_was_done(context, origin):
    card = card_of(context, origin).make(COOLING)
    page = card.page
    page.locator("[data-key='name']").fill("Coolant, spring")
    page.keyboard.press("Tab")
    page.wait_for_selector(".card-head .card-name:text-is('Coolant, spring')")
    card.show("drain").hang("clamped", "upper hose")
    page.click("summary:text-is('What was done')")
    page.get_by_role("button", name="Undo: Card renamed: Coolant, spring").last.click()
    page.wait_for_selector(".card-head .card-name:text-is('Open and refill the cooling system')")
    assert card.ends() == 1


def test_a_deleted_card_comes_back_from_the_list(context, origin):
    card = card_of(context, origin).make(COOLING)
    job = card.job
    page = card.list()
    page.get_by_role("button", name="Delete: Open and refill").click()
    page.wait_for_selector(".card-list-told >> text=Undo")
    assert page.locator(".card-list .link").count() == 0
    page.click(".card-list-told >> text=Undo")
    page.wait_for_selector(".card-list .link")
    page.get_by_role("button", name="Delete: Open and refill").click()
    page.wait_for_selector(".card-list-told >> text=Undo")
    page.goto(f"{origin}/en/job/card/?job={job}")
    page.wait_for_selector(CARD)
    assert page.inner_text(f"{CARD} .lead") == "This card is deleted: Open and refill the cooling system"
    page.click("text=Bring it back")
    page.wait_for_selector(".card-head")


def test_a_card_deleted_from_its_own_page_is_brought_back_there_by_keyboard_with_what_was_typed(
    context, origin
):
    card = card_of(context, origin).make(COOLING)
    page = card.page
    other = card_of(context, origin).open(card.job)
    page.fill("[data-key='note manual']", "Page 12")
    page.get_by_role("button", name="Delete this card").press("Enter")
    undo = page.get_by_role("button", name="Undo", exact=True)
    undo.wait_for()
    assert undo.evaluate("button => button === document.activeElement")
    says = page.inner_text("#" + (undo.get_attribute("aria-describedby") or ""))
    assert says == "This card is deleted: Open and refill the cooling system"
    other.page.wait_for_selector(f"{CARD} .lead:text-is('{says}')")
    assert not page.locator(".card-dock").is_visible()
    page.keyboard.press("Enter")
    page.wait_for_selector(".card-head")
    assert page.evaluate("document.activeElement.textContent") == "Open and refill the cooling system"
    card.hear("Card brought back: Open and refill the cooling system")
    assert card.field("note manual") == "Page 12"
    other.page.wait_for_selector(".card-head")
    card.hang("capped")
    assert card.list().locator(".card-list .link").count() == 1


# -- two windows ---------------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("channel", [True, False])
def test_F57_two_windows_follow_each_other_and_lose_nothing(context, origin, channel):
    if not channel:
        context.add_init_script("delete window.BroadcastChannel")
    one = card_of(context, origin).make(COOLING).show("raise")
    other = card_of(context, origin).open(one.job).show("drain")

    def looked_at(card: CardPage) -> None:
        card.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")

    one.hang("tool in the bay", "jack")
    looked_at(other)
    other.page.wait_for_selector(".card-count[data-open='1']")
    other.hang("drained or low", "sump")
    looked_at(one)
    one.page.wait_for_selector(".card-count[data-open='2']")
    one.show("drain")

    note = "[data-key='note drain']"
    one.page.focus(note)
    other.page.focus(note)
    one.page.locator(note).press_sequentially("first window")
    let(one.page, 600)
    other.page.locator(note).press_sequentially("second window")
    let(other.page, 600)
    looked_at(one)
    for card in (one, other):
        card.page.wait_for_selector("text=Another window has written here too.")
        assert card.page.locator(".card-version p").all_inner_texts() == ["first window", "second window"]
    other.page.click("text=Keep both")
    other.page.wait_for_selector(".card-beside", state="hidden")
    looked_at(one)
    one.page.wait_for_selector(".card-beside", state="hidden")
    assert other.field("note drain") == "first window\nsecond window"
    assert one.reload().field("note drain") == "first window\nsecond window"


# -- out and in ------------------------------------------------------------------------------------------------------------------------------


def test_F58_an_export_comes_whole_into_a_fresh_phone_and_is_taken_out_again(
    chromium, context, origin, tmp_path
):
    card = card_of(context, origin).make(COOLING).show("open")
    page = card.page
    job = card.job
    page.locator(".is-open input[type=file]").nth(1).set_input_files(
        picture(tmp_path / "level.png", 300, 200)
    )
    page.wait_for_selector(".card-picture[src^='blob:']")
    card.hang("clamped", "upper hose", 2)
    page.fill(".is-open input[data-key^='reading ']", "45")
    page.keyboard.press("Tab")
    page.wait_for_selector(".card-undo[title^='Noted: ']")
    page.click("text=Make a file of this card")
    with page.expect_download() as download:
        page.click(".card-out >> text=Download it")
    path = tmp_path / download.value.suggested_filename
    download.value.save_as(path)
    assert download.value.suggested_filename.startswith("cowlside-")

    fresh = phone_of(chromium)
    other = card_of(fresh, origin)
    page = other.list()
    page.click("summary:text-is('Take cards to another phone')")
    page.set_input_files(".card-in-out input[type=file]", path)
    page.wait_for_selector(".card-fates")
    assert page.locator(".card-fates li").all_inner_texts() == [
        "Card Open and refill the cooling system: is added",
        "Photos that come to this phone: 1",
    ]
    assert page.locator(".card-list .link").count() == 0
    page.click("text=Add it now")
    page.wait_for_selector(".card-list .link")
    other.open(job).show("open")
    other.page.wait_for_selector(".card-picture[src^='blob:']")
    assert other.ends() == 1
    assert "2 pieces" in other.page.inner_text(".is-open .card-tags")
    assert other.page.input_value(".is-open input[data-key^='reading ']") == "45"
    page = other.list()
    page.click("summary:text-is('Take cards to another phone')")
    aside = page.locator(".card-aside")
    assert "What was here before is kept aside, about 1 kB." in aside.inner_text()
    page.set_input_files(
        ".card-in-out input[type=file]", path
    )  # another look at a file takes nothing of it away
    page.wait_for_selector(".card-fates")
    page.get_by_role("button", name="Forget what was here before").press("Enter")
    aside.get_by_text("The import can no longer be taken back.").wait_for()
    assert page.get_by_role("button", name="Undo: put back").count() == 0
    page.keyboard.press("Enter")  # undo has the focus
    aside.get_by_text("Kept aside again.").wait_for()
    page.click("text=Undo: put back what was here before")
    page.wait_for_selector(".card-list .link", state="detached")
    assert aside.inner_text().strip() == "Undone: what was here before is back."
    fresh.close()


def test_what_an_import_has_put_aside_is_forgotten_for_good_when_the_page_is_left(chromium, context, origin):
    card = card_of(context, origin).make(COOLING)
    page = card.list()
    page.click("summary:text-is('Take cards to another phone')")
    page.click("text=Make a file of everything")
    with page.expect_download() as info:
        page.click("text=Download it")
    fresh = phone_of(chromium)
    page = card_of(fresh, origin).list()
    page.click("summary:text-is('Take cards to another phone')")
    page.set_input_files(".card-in-out input[type=file]", info.value.path())
    page.click("text=Add it now")
    page.click("text=Forget what was here before")
    page.wait_for_selector(".card-aside >> text=Forgotten.")
    page.reload()
    page.wait_for_selector(".card-list .link")
    page.click("summary:text-is('Take cards to another phone')")
    assert page.locator(".card-aside button").count() == 0
    assert page.locator(".card-list .link").count() == 1
    fresh.close()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('{"format": "cowlside", "sch', "The file ends too early"),
        ('{"format": "cowlside", "schema": 99}', "comes from a newer version of the app"),
        ("[1, 2]", "This is not an export of job cards"),
        ('{"format": "cowlside", "schema": 1}', "The file lacks the entry jobs."),
    ],
)
def test_F59_a_bad_file_gives_a_sentence_and_changes_nothing(context, origin, tmp_path, text, sentence):
    card = card_of(context, origin).make(COOLING)
    page = card.list()
    path = tmp_path / "bad.json"
    path.write_text(text, encoding="utf-8")
    page.click("summary:text-is('Take cards to another phone')")
    page.set_input_files(".card-in-out input[type=file]", path)
    page.wait_for_selector(".card-faults .fault")
    assert sentence in page.inner_text(".card-faults")
    assert "Nothing on this phone was changed." in page.inner_text("[data-module=job-list]")
    assert page.locator(".card-list .link").count() == 1


SHARING = """navigator.canShare = () => true;
navigator.share = async ({files}) => {
  window.shared = files[0].name;
  if (window.refusal) throw new DOMException('', window.refusal);
};"""


@pytest.mark.parametrize(
    ("refusal", "said"),
    [
        ("", "Handed over. Look there whether it has arrived."),
        ("AbortError", "Not handed over: it was cancelled. The file is still ready."),
        ("NotAllowedError", "This browser does not hand over such a file. Download it, or show it as text."),
    ],
)
def test_F58_sharing_claims_only_what_has_happened(context, origin, refusal, said):
    context.add_init_script(SHARING)
    page = card_of(context, origin).make(COOLING).page
    page.evaluate("name => { window.refusal = name }", refusal)
    page.click("text=Make a file of this card")
    page.click("text=Hand it to another app")
    page.wait_for_selector(f".card-out-told:text-is('{said}')")
    assert page.evaluate("shared").endswith(".json")


def test_F58_where_nothing_else_is_left_the_file_is_shown_as_text(context, origin):
    context.add_init_script(
        "Object.defineProperty(navigator, 'standalone', {value: true}); delete Navigator.prototype.share;"
    )
    page = card_of(context, origin).make(COOLING).page
    page.click("text=Make a file of this card")
    page.wait_for_selector(".card-out .card-acts button")
    assert page.locator(".card-out >> text=Download it").count() == 0
    page.click("text=Show it as text")
    page.wait_for_selector(".card-out textarea")
    assert json.loads(page.input_value(".card-out textarea"))["jobs"][0]["template"] == COOLING


def test_readings_go_out_as_a_table(context, origin):
    card = card_of(context, origin).make(COOLING)
    page = card.page
    page.fill("[data-key='manual Torque of the drain plug']", "18 lbf ft")
    page.keyboard.press("Tab")
    page.wait_for_selector(".card-undo[title^='Noted: ']")
    page.click("text=Make a table of the readings")
    with page.expect_download() as download:
        page.click(".card-out >> text=Download it")
    lines = Path(download.value.path()).read_text(encoding="utf-8-sig").splitlines()
    assert len(lines) == 2
    assert "from the manual,Torque of the drain plug,18,lbf·ft" in lines[1]


# -- on paper, and where little works ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_on_paper_every_step_is_open_and_nothing_can_be_pressed(context, origin, paper):
    card = card_of(context, origin).make(COOLING).show("drain")
    page = card.page
    card.hang("clamped", "upper hose", 2)
    page.fill("[data-key='note drain']", "Plug was rounded off")
    page.keyboard.press("Tab")
    page.wait_for_selector(".card-undo[title^='Note written']")
    page.emulate_media(media="print")
    page.wait_for_selector(".card-sheet .sheet-step")
    assert page.locator(".card-sheet .sheet-step").count() == 16
    assert (
        page.locator(
            "main button:visible, main input:visible, main textarea:visible, main summary:visible"
        ).count()
        == 0
    )
    text = page.inner_text(".card-sheet")
    for part in (
        "1 loose end open",
        "clamped: upper hose · 2 pieces",
        "Plug was rounded off",
        "Thermostat and its seal",
        "Torque of the drain plug",
        "Opening the cooling system",
    ):
        assert part in text
    # Lines to write on, for what the manual says and for readings.
    assert (page.locator(".sheet-line").first.bounding_box() or {"width": 0})["width"] > 50
    assert page.pdf(format=paper).startswith(b"%PDF")
    page.emulate_media(media="screen")
    page.wait_for_selector(".card-sheet", state="hidden")
    assert page.locator(".card-sheet .sheet-step").count() == 0


@pytest.mark.parametrize(
    "fault",
    [
        "Object.defineProperty(window, 'indexedDB', {value: undefined})",
        "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError') }",
    ],
)
def test_F12_without_a_store_a_card_works_for_the_page_and_says_that_it_is_not_kept(context, origin, fault):
    context.add_init_script(fault)
    card = card_of(context, origin)
    page = card.page
    noise = errors_of(page)
    card.make(COOLING)
    assert page.inner_text(".card-state").startswith("Not kept: this browser window has no store.")
    card.show("drain").hang("clamped", "upper hose")
    page.fill("[data-key='note drain']", "holds here")
    page.keyboard.press("Tab")
    page.wait_for_selector(".card-undo[title^='Note written']")
    card.undo()
    page.wait_for_function("() => document.querySelector(\"[data-key='note drain']\").value === ''")
    assert noise == []


def test_F13_a_card_that_is_not_on_this_phone_says_what_to_do(context, origin):
    page = context.new_page()
    page.goto(f"{origin}/en/job/card/?job=gone")
    page.wait_for_selector(CARD)
    assert "This card is not on this phone." in page.inner_text(f"{CARD} .lead")
    assert page.locator(f"{CARD} a.link").get_attribute("href").endswith("/en/job/")


def test_a_keyboard_alone_opens_a_step_hangs_a_tag_and_ticks(context, origin):
    card = card_of(context, origin).make(COOLING).confirm_all("manual")
    page = card.page

    def tab_to(selector: str) -> None:
        for _ in range(120):
            page.keyboard.press("Tab")
            if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
        pytest.fail(f"Tab never comes to {selector}")

    page.evaluate("document.activeElement.blur()")
    tab_to(".is-open .card-loose summary")
    page.keyboard.press("Enter")
    tab_to(".is-open .card-kinds button")
    page.keyboard.press("Space")
    page.wait_for_selector(".card-count[data-open='1']")
    tab_to(".card-tick")
    page.keyboard.press("Enter")
    page.wait_for_selector("[data-step=manual][data-state=done]")
    assert page.evaluate("document.activeElement.dataset.key") == "step ready"
    assert "Next: Lay out everything" in card.told()
    tab_to(".card-count")
    page.keyboard.press("Enter")
    page.wait_for_selector("#loose-ends")
    assert page.evaluate("document.activeElement.textContent") == "Loose ends"
    tab_to("#loose-ends .card-tags .card-acts button")
    page.keyboard.press("Enter")
    page.wait_for_selector(".card-count[data-open='0']")
    assert page.evaluate("document.activeElement.textContent") == "Loose ends"
    tab_to(".card-undo")
    page.keyboard.press("Space")
    page.wait_for_selector(".card-count[data-open='1']")


# -- speed -------------------------------------------------------------------------------------------------------------------------------------


def test_a_tick_repaints_its_own_step_and_the_next_one_alone(context, origin):
    card = card_of(context, origin).make("fit-a-blower")
    page = card.page
    steps = page.locator(".card-step").count()
    assert steps > 70
    page.evaluate(
        """() => {
          window.touched = new Set();
          new MutationObserver((list) => list.forEach(({target}) => touched.add(target.closest?.('.card-step')?.dataset.step)))
            .observe(document.querySelector('.card-stages'), {childList: true, subtree: true, attributes: true, characterData: true});
        }"""
    )
    free = page.evaluate(
        "async () => { const {JOBS} = await import(`/s/${document.documentElement.dataset.release}/js/jobs.en.js`);"
        " return JOBS['fit-a-blower'].stages.flatMap(({steps}) => steps).find(({needs, gate}) => !needs && !gate)?.id ?? '' }"
    )
    assert free
    card.show(free)
    page.evaluate("touched.clear()")
    card.tick(free)
    touched = set(page.evaluate("[...touched].filter(Boolean)"))
    assert free in touched
    assert touched <= {free, card.open_step()}


# -- how it looks ------------------------------------------------------------------------------------------------------------------------------


def full(card: CardPage, tmp_path: Path) -> None:
    """An open step with something of everything."""
    page = card.page
    card.show("drain")
    page.locator(".card-offer").first.click()
    page.wait_for_selector(".card-count[data-open='1']")
    card.hang("removed and bagged", "Einspritzventilbefestigungsschrauben", 12)
    page.locator(".is-open input[type=file]").nth(1).set_input_files(picture(tmp_path / "a.png", 300, 200))
    page.wait_for_selector(".card-picture[src^='blob:']")
    page.fill(".is-open input[data-key^='reading ']", "1,1,1")
    page.keyboard.press("Tab")
    page.click(".is-open summary:text-is('Change this step')")
    page.locator(".is-open").get_by_label("A new step").fill("Undo the fuel line, then grind the bracket")
    page.click(".is-open summary:text-is('Choose from all cautions')")
    page.wait_for_selector(".is-open .fault:visible")


@pytest.mark.parametrize("theme", ["light", "dark", "forced"])
def test_no_view_of_the_card_breaks_an_accessibility_rule(chromium, origin, theme, tmp_path):
    colours = {"forced_colors": "active"} if theme == "forced" else {"color_scheme": theme}
    context = phone_of(chromium, 390, 844, reduced_motion="reduce", **colours)
    card = card_of(context, origin).make(COOLING)
    page = card.page

    def at_the_top() -> list[str]:
        page.evaluate("scrollTo(0, 0)")
        return faults(page, forced_colours=theme == "forced")

    found = at_the_top()
    full(card, tmp_path)
    found += at_the_top()
    page.click("text=Change steps and stages")
    page.click("text=I stop here")
    page.wait_for_selector(".card-stopped")
    found += at_the_top()
    card.show_ends()
    page.click("#loose-ends summary:text-is('Another loose end')")
    found += at_the_top()
    page.locator("#loose-ends button").first.click()
    page.click("text=Delete this card")
    page.wait_for_selector(".card-none")
    found += at_the_top()
    page.click("text=Undo")
    page.wait_for_selector(".card-head")
    card.list()
    page.click("summary:text-is('Take cards to another phone')")
    page.click("text=Make a file of everything")
    page.wait_for_selector(".card-out .card-acts button")
    found += at_the_top()
    page.goto(f"{origin}/en/job/{COOLING}/")
    page.wait_for_selector("[data-module=job-make][data-started]")
    found += at_the_top()
    context.close()
    assert found == []


@pytest.mark.parametrize("text", ["100%", "200%"])
def test_F50_F52_at_320_pixels_and_double_text_nothing_is_cut_and_a_thumb_hits_everything(
    chromium, origin, text, tmp_path
):
    context = phone_of(chromium, 320, 568)
    card = card_of(context, origin).make(COOLING)
    page = card.page

    def small() -> list[str]:
        page.evaluate("text => { document.documentElement.style.fontSize = text }", text)
        return sticking_out(page)

    full(card, tmp_path)
    found = small()
    low: list[Any] = page.evaluate(
        """() => [...document.querySelectorAll('.card button, .card summary, .card input[type=text], .card select, .card textarea, .card .call')]
          .filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < 55.5).map((one) => one.outerHTML.slice(0, 80))"""
    )
    tick = page.locator(".card-tick").bounding_box()
    dock = page.locator(".card-dock").bounding_box()
    card.show_ends()
    found += small()
    card.undo()
    told = page.locator(".card-dock").bounding_box()
    page.locator("#loose-ends button").first.click()
    page.click("text=Delete this card")
    page.wait_for_selector(".card-none")
    found += small()
    card.list()
    page.click("summary:text-is('Take cards to another phone')")
    found += small()
    context.close()
    assert (found, low) == ([], [])
    assert tick and tick["height"] >= 60
    # Nothing fixed over content taller than a third of the screen (field fault F48).
    assert dock and dock["height"] <= 568 / 3
    assert told and told["height"] <= 568 / 2


def test_what_stays_at_the_thumb_stays_in_sight_wherever_the_card_is(context, origin):
    card = card_of(context, origin).make(COOLING).show("drain").hang("clamped", "hose")
    page: Page = card.page
    for y in (0, 800, 10**6):
        page.evaluate("y => scrollTo(0, y)", y)
        box = page.locator(".card-count").bounding_box()
        assert box and box["y"] >= 0 and box["y"] + box["height"] <= 664
