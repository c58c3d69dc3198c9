"""The job card's model in the browser, without a database: what it allows, what can be undone, what goes together (field fault F57)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from browser.cards import FRESH, TEMPLATE, opened
from browser.faults import FaultyServer
from content.test_needed_sheets import TOPICS, topics_in
from figures.number_material import REPO
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page

from webapp.book import Book

DRAWN = settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
MOVES = st.lists(
    st.tuples(st.integers(0, 21), st.integers(0, 30), st.integers(0, 30)), min_size=1, max_size=40
)

# One deed for each number; which thing it is done to is drawn too, among those that are there. `now` and `id` differ each time.
PLAY = """() => {
  const among = (things, n) => Object.keys(things)[n % Math.max(1, Object.keys(things).length)] ?? 'nothing';
  const maps = ['stages', 'steps', 'ends', 'entries', 'rounds', 'kept', 'photos'];
  window.deedOf = (card, [which, a, b], id, now) => {
    const [step, end, entry, round, stage] = ['steps', 'ends', 'entries', 'rounds', 'stages'].map((name) => among(card[name], a));
    const name = maps[b % 7];
    return [
      () => deeds.tick(card, step, now), () => deeds.untick(card, step), () => deeds.begin(card, step, now),
      () => deeds.openEnd(card, id, {step, kind: shape.END_KINDS[b % 12], count: 1 + b % 4}, now),
      () => deeds.closeEnd(card, end, now, 1 + b % 3), () => deeds.reopenEnd(card, end),
      () => deeds.changeEnd(card, end, {place: `place ${b}`, count: 1 + b % 5}, now),
      () => deeds.addEntry(card, id, {step, sort: 'reading', label: 'psi', value: `${b}`, unit: 'psi'}, now),
      () => deeds.changeEntry(card, entry, {value: `${b}`}), () => deeds.remove(card, name, among(card[name], a), now),
      () => deeds.restore(card, name, among(card[name], a)), () => deeds.moveStep(card, step, b % 2 ? 1 : -1),
      () => deeds.moveStage(card, stage, b % 2 ? 1 : -1), () => deeds.addStep(card, id, {stage, title: `own ${b}`, after: step}),
      () => deeds.addStage(card, id, `stage ${b}`), () => deeds.writeNote(card, step, `note ${b}`, {base: b % 3 ? card.steps[step]?.note : 'else', other: `${id}-b`}),
      () => deeds.interruption(card, now), () => deeds.resume(card),
      () => deeds.addRound(card, id, {step, label: 'm', pattern: 'rows', across: 2, down: 1, torque: '13 N·m', shares: [0.5, 1]}, now),
      () => deeds.markBolt(card, round, Math.floor(b / 2) % 3, 1 + b % 2, now, 2), () => deeds.repeatRounds(card, round, b % 3),
      () => deeds.keepAnswer(card, id, {step, figure: 'mixture', title: 'm', query: '', answer: `${b}`}, now),
    ][which]();
  };
  // What is left when what was only ever deleted is not looked at.
  window.seen = ({history, ...card}) => Object.fromEntries(Object.entries(card).map(([name, value]) => [name,
    maps.includes(name) ? Object.fromEntries(Object.entries(value).filter(([key, thing]) => !(thing.gone && fresh.has(key)))) : value]));
  window.played = (moves) => {
    const cards = [card];
    window.fresh = new Set();
    moves.forEach((move, n) => {
      const [now, id] = [2000 + n, `new-${n}`];
      const deed = deedOf(cards.at(-1), move, id, now);
      const next = M(cards.at(-1), deed, now);
      if (next !== cards.at(-1)) cards.push(next);
      fresh.add(id).add(`${id}-b`);
    });
    return cards;
  };
}"""


@pytest.fixture(scope="module")
def page(chromium: Browser) -> Iterator[Page]:
    server = FaultyServer(REPO / "static")
    context = chromium.new_context()
    page = opened(context, server)
    page.evaluate(PLAY)
    yield page
    context.close()
    server.close()


@pytest.fixture(autouse=True)
def _a_fresh_card(page: Page) -> None:
    page.evaluate(FRESH, TEMPLATE)


@DRAWN
@given(MOVES)
def test_any_actions_taken_back_one_by_one_give_the_start_and_done_again_give_the_end(page: Page, moves: Any):
    page.evaluate(FRESH, TEMPLATE)
    found = page.evaluate(
        """(moves) => {
          const cards = played(moves);
          const faults = [];
          let back = cards.at(-1);
          const ids = Object.keys(back.history);
          for (let n = cards.length - 2; n >= 0; n -= 1) {
            const {job: next, left} = job.undo(back, job.lastAction(back).id, 9000, ALL);
            if (next === back) return [['stuck', n]]; // the first start, ticked before an end was opened, may be ticked no more
            back = next;
            if (left.length || !job.same(seen(back), seen(cards[n]))) faults.push(['undo', n, left]);
          }
          for (const id of ids) back = job.redo(back, id, ALL).job;
          if (!job.same(back, cards.at(-1))) faults.push(['redo']);
          return faults;
        }""",
        moves,
    )
    assert [fault for fault in found if fault[0] != "stuck"] == []


@DRAWN
@given(MOVES)
def test_any_actions_leave_a_card_that_a_file_can_carry(page: Page, moves: Any):
    page.evaluate(FRESH, TEMPLATE)
    found = page.evaluate(
        """(moves) => {
          const jobs = [played(moves).at(-1)];
          const result = fileShape.check(JSON.stringify({format: 'cowlside', schema: 1, made: 1, jobs, setups: [], kept: {}, photos: []}));
          return result.ok ? job.same(result.data.jobs[0], jobs[0]) : result.problems;
        }""",
        moves,
    )
    assert found is True


@DRAWN
@given(MOVES, MOVES)
def test_F57_what_two_windows_do_to_different_things_comes_to_the_same_in_either_order(
    page: Page, before: Any, two: Any
):
    page.evaluate(FRESH, TEMPLATE)
    found = page.evaluate(
        """([before, two]) => {
          window.card = played(before).at(-1);
          const [one, other] = two.slice(0, 2).map((move, n) => deedOf(card, move, `late-${n}`, 5000 + n));
          if (!one || !other) return true;
          const things = [one, other].map(({sets}) => sets.map(({path}) => path.join('/')));
          const isApart = things[0].every((path) => things[1].every((way) => !way.startsWith(path) && !path.startsWith(way)));
          const isGate = [one, other].some(({sets}) => sets.some(({path, to}) => to && path[2] === 'done' && card.steps[path[1]]?.gate));
          if (!isApart || isGate) return true; // whether the first start may be ticked depends on what was open then
          const done = [[one, other], [other, one]].map((both) => both.reduce((now, deed) => M(now, deed, 6000), card));
          const {history: _, ...first} = done[0];
          const {history: __, ...second} = done[1];
          return job.same(first, second);
        }""",
        [before, two],
    )
    assert found is True


def test_a_first_start_cannot_be_ticked_while_an_end_is_open_by_undoing_or_redoing_either(page: Page):
    found = page.evaluate(
        """() => {
          const open = (card, id) => M(card, deeds.openEnd(card, id, {kind: 'rag'}, 1));
          const tick = (card) => M(card, deeds.tick(card, 'start', 2));
          const loose = open(card, 'end-1');
          const ticked = tick(M(loose, deeds.closeEnd(loose, 'end-1', 3)));
          const id = job.lastAction(ticked).id;
          const again = open(job.undo(ticked, id, 4, ALL).job, 'end-2');
          const unticked = M(ticked, deeds.untick(ticked, 'start'));
          const reopened = M(unticked, deeds.reopenEnd(unticked, 'end-1'));
          const untick = Object.keys(reopened.history).at(-2);
          return [
            tick(loose) === loose, ticked.steps.start.done, job.redo(again, id, ALL).job === again,
            job.undo(reopened, untick, 5, ALL).job === reopened,
            ends.blocks(loose, 'start', null, {}), ends.blocks(loose, 'start', {needs: [{id: 'road-pull'}]}, {fire: 1, 'first-start': 1}),
            ends.blocks(ticked, 'start', null, {fire: 1, 'first-start': 1}), ends.blocks(loose, 'rail', {gate: 'first-start'}, {}),
          ];
        }"""
    )
    sheets = [{"why": "sheet", "sheet": name} for name in ("first-start", "fire")]
    ends = {"why": "ends", "count": 1}
    assert found[:4] == [True, 2, True, True]
    assert found[4:] == [[*sheets, ends], [{"why": "sheet", "sheet": "road-pull"}, ends], [], [ends]]


def test_a_step_is_not_ticked_undone_or_redone_past_a_sheet_that_is_not_confirmed(page: Page):
    found = page.evaluate(
        """() => {
          const tick = {...deeds.tick(card, 'start', 2), id: 'tick-1', at: 2};
          const part = {...ALL, confirmed: {fire: 1}};
          const text = {...ALL, texts: new Map([['start', {needs: [{id: 'road-pull'}]}], ['rail', {gate: 'first-start'}]])};
          const ticked = job.attempt(card, tick, ALL).job;
          const back = job.undo(ticked, 'tick-1', 3).job;
          const unticked = M(ticked, deeds.untick(ticked, 'start'));
          const untick = job.lastAction(unticked).id;
          const loose = M(card, deeds.openEnd(card, 'end-1', {kind: 'rag'}, 1));
          const rail = {...deeds.tick(loose, 'rail', 2), id: 'tick-2', at: 2};
          return [
            [job.act(card, tick) === card, job.attempt(card, tick, part).job === card, ticked.steps.start.done, back.steps.start.done],
            job.attempt(card, tick).blocks, job.attempt(card, tick, part).blocks, job.attempt(card, tick, text).blocks,
            job.attempt(card, tick, ALL).blocks, job.redo(back, 'tick-1', part).blocks, job.undo(unticked, untick, 5, part).blocks,
            [job.redo(back, 'tick-1', part).job === back, job.undo(unticked, untick, 5, part).job === unticked],
            [job.redo(back, 'tick-1', ALL).job.steps.start.done, job.undo(unticked, untick, 5, ALL).job.steps.start.done],
            job.attempt(loose, rail, text).blocks, job.attempt(loose, rail, ALL).blocks,
          ];
        }"""
    )
    first, fire, pull = ({"why": "sheet", "sheet": name} for name in ("first-start", "fire", "road-pull"))
    assert found == [
        [True, True, 2, 0],
        *([first, fire], [first], [pull], []),
        *([first], [first]),
        [True, True],
        [2, 2],
        *([{"why": "ends", "count": 1}], []),
    ]


def test_an_end_stays_open_when_its_step_or_stage_is_deleted_and_stands_with_what_hangs_on_nothing(
    page: Page,
):
    found = page.evaluate(
        """() => {
          let now = M(card, deeds.openEnd(card, 'end-1', {step: 'plugs', kind: 'capped', count: 2}, 1));
          now = M(now, deeds.remove(now, 'stages', 'stage-1', 2));
          return [list.stagesOf(now).map(({id}) => id), list.allSteps(now).length, ends.countOpen(now), list.thingsAt(now, 'ends', '').length,
            list.thingsAt(now, 'ends', 'plugs').length, list.allSteps(job.undo(now, job.lastAction(now).id, 3).job).length];
        }"""
    )
    assert found == [["stage-2"], 2, {"ends": 1, "pieces": 2}, 1, 0, 5]


def test_ends_are_closed_piece_by_piece_counted_and_not_beyond(page: Page):
    found = page.evaluate(
        """() => {
          let now = M(card, deeds.openEnd(card, 'end-1', {step: 'plugs', kind: 'rag', count: 3}, 1));
          const seen = [];
          for (const by of [1, 1, 5]) {
            now = M(now, deeds.closeEnd(now, 'end-1', 10 + by, by));
            seen.push([now.ends['end-1'].closed, now.ends['end-1'].done, ends.countOpen(now).pieces]);
          }
          seen.push(deeds.closeEnd(now, 'end-1', 20), deeds.changeEnd(now, 'end-1', {count: 2}, 20));
          now = M(now, deeds.changeEnd(now, 'end-1', {count: 4}, 20));
          seen.push([now.ends['end-1'].done, ends.countOpen(now).pieces]);
          now = M(now, deeds.reopenEnd(now, 'end-1'));
          return [...seen, ends.openEnds(now)[0].left];
        }"""
    )
    assert found == [[1, 0, 2], [2, 0, 1], [3, 15, 0], None, None, [0, 1], 4]


def test_a_round_of_ten_in_two_rows_goes_on_after_an_interruption_and_ends_with_a_check_in_turn(page: Page):
    """The order is handed in, as the Figure 'tightening-order' gives it; the check walks the rows there and back."""
    found = page.evaluate(
        """() => {
          const order = [3, 8, 7, 2, 4, 9, 6, 1, 5, 10];
          let now = M(card, deeds.addRound(card, 'round-1', {label: 'm', pattern: 'rows', across: 5, down: 2, torque: '13 N·m', shares: [0.3, 0.7, 1]}, 1));
          const walked = [];
          for (let turn, n = 0; (turn = rounds.nextBolt(now.rounds['round-1'], order)); n += 1) {
            walked.push(turn.bolt);
            if (turn.round === 1 && turn.nth === 4) now = M(JSON.parse(JSON.stringify(now)), deeds.interruption(now, 50));
            now = M(now, deeds.markBolt(now, 'round-1', turn.round, turn.bolt, 100 + n, 10));
          }
          const {done} = now.rounds['round-1'];
          const twice = deeds.markBolt(now, 'round-1', 0, 3, 9, 10), early = deeds.markBolt(M(now, deeds.repeatRounds(now, 'round-1', 1)), 'round-1', 2, 3, 9, 10);
          now = M(now, deeds.repeatRounds(now, 'round-1', 2));
          const next = rounds.nextBolt(now.rounds['round-1'], order);
          now = job.undo(now, job.lastAction(now).id, 1).job;
          return [walked, done, twice, early, next, rounds.nextBolt(now.rounds['round-1'], order), rounds.marksOf(now.rounds['round-1'], 3).length];
        }"""
    )
    order = [3, 8, 7, 2, 4, 9, 6, 1, 5, 10]
    next_one = {"round": 2, "bolt": 3, "share": 1, "isCheck": False, "nth": 1, "of": 10}
    assert found == [order * 3 + [1, 2, 3, 4, 5, 10, 9, 8, 7, 6], 139, None, None, next_one, None, 10]


def test_F57_a_note_that_another_window_has_changed_is_kept_beside_and_no_further_save_makes_a_third(
    page: Page,
):
    found = page.evaluate(
        """() => {
          const save = (now, text, base, other) => M(now, deeds.writeNote(now, 'rail', text, {base, other}));
          let now = save(card, 'here', '', 'here-1');
          now = save(now, 'here too', 'here', 'here-1');
          for (const [text, base] of [['th', ''], ['there', 'th'], ['there!', 'there']]) now = save(now, text, base, 'there-1');
          const both = [now.steps.rail.note, list.notesBeside(now, 'rail').map(({id, value}) => [id, value])];
          now = M(now, deeds.settleNote(now, 'there-1', 'here too there!', 9));
          return [both, now.steps.rail.note, list.notesBeside(now, 'rail').length];
        }"""
    )
    assert found == [[["here too"][0], [["there-1", "there!"]]], "here too there!", 0]


def test_a_text_typed_in_many_saves_is_one_action(page: Page):
    found = page.evaluate(
        """() => {
          let now = card, joins;
          ['P', 'Pl', 'Plug'].reduce((base, text) => {
            now = M(now, deeds.writeNote(now, 'rail', text, {base, other: 'other-1', joins}));
            joins = job.lastAction(now).id;
            return text;
          }, '');
          const count = Object.keys(now.history).length;
          return [count, now.steps.rail.note, job.undo(now, joins, 1).job.steps.rail.note];
        }"""
    )
    assert found == [1, "Plug", ""]


def test_undo_names_what_has_been_changed_since_and_leaves_it(page: Page):
    found = page.evaluate(
        """() => {
          let now = M(card, deeds.openEnd(card, 'end-1', {kind: 'rag', place: 'left'}, 1));
          const opening = job.lastAction(now).id;
          now = M(now, deeds.changeEnd(now, 'end-1', {place: 'right'}, 2));
          const {job: same, left} = job.undo(now, opening, 3);
          return [same === now, left.map(({path}) => path), ends.countOpen(now).ends];
        }"""
    )
    assert found == [True, [["ends", "end-1"]], 1]


def test_an_action_that_sets_one_field_twice_is_taken_back_from_its_end(page: Page):
    sets = "['one', 'two'].map((to) => ({path: ['name'], to}))"
    script = f"job.undo(M(card, {{what: 'rename', fields: {{}}, sets: {sets}}}), `act-${{number}}`, 1)"
    found = page.evaluate(script)
    assert (found["job"]["name"], found["left"]) == ("Blower on the harbour wagon", [])


def test_the_history_keeps_the_last_200_and_an_action_done_twice_counts_once(page: Page):
    found = page.evaluate(
        """() => {
          let now = card;
          for (let n = 0; n < 230; n += 1) now = M(now, deeds.rename(now, `name ${n}`));
          const past = job.pastActions(now);
          const twice = job.act(now, {...deeds.rename(now, 'other'), id: past[0].id, at: 1});
          return [past.length, past[0].fields.name, past.at(-1).fields.name, twice === now];
        }"""
    )
    assert found == [200, "name 229", "name 30", True]


@pytest.mark.parametrize(
    ("path", "to"),
    [
        ("['id']", "'other'"),
        ("['schema']", "2"),
        ("['history']", "{'a-1': {}}"),
        ("['steps']", "{}"),
        ("['steps', 'rail']", "undefined"),
        ("['steps', 'rail', 'done']", "'yes'"),
        ("['steps', 'rail', 'done']", "-1"),
        ("['steps', 'rail', 'done']", "NaN"),
        ("['steps', 'rail', 'stage']", "'nowhere'"),
        ("['steps', 'nowhere', 'note']", "'text'"),
        ("['steps', 'rail', '__proto__']", "{}"),
        ("['steps', '__proto__', 'done']", "1"),
        ("['steps', 'constructor', 'done']", "1"),
        ("['__proto__', 'polluted']", "1"),
        ("['steps', 'rail', 'note']", "'x'.repeat(100001)"),
        ("['ends', 'end-1']", "{kind: 'rag'}"),
        ("['rounds', 'round-1', 'marks', '0:1']", "1"),
        ("[]", "{}"),
    ],
)
def test_what_does_not_fit_into_a_card_changes_nothing(page: Page, path: str, to: str):
    script = f"M(card, {{what: 'rename', fields: {{}}, sets: [{{path: ['name'], to: 'x'}}, {{path: {path}, to: {to}}}]}}) === card && !({{}}).polluted"
    assert page.evaluate(script) is True


def test_steps_move_over_the_edges_of_stages_and_between_two_as_often_as_one_likes(page: Page):
    found = page.evaluate(
        """() => {
          const ids = (now) => list.stagesOf(now).map(({id}) => list.stepsOf(now, id).map((step) => step.id).join(' '));
          const move = (now, id, by) => M(now, deeds.moveStep(now, id, by));
          let now = move(card, 'plugs', 1);
          const over = ids(now);
          now = move(now, 'plugs', -1);
          const back = ids(now);
          // Each time a new step between the same two: halves of halves, until there is no number left between.
          for (let n = 0; n < 120; n += 1) now = M(now, deeds.addStep(now, `own-${n}`, {stage: 'stage-1', title: 'own', after: 'relieve'}));
          const order = ids(now)[0].split(' ');
          return [over, back, order.length, order.slice(0, 3), order.at(-1), deeds.moveStep(card, 'relieve', -1), deeds.moveStep(card, 'after', 1)];
        }"""
    )
    assert found == [
        ["relieve rail", "plugs start after"],
        ["relieve rail plugs", "start after"],
        123,
        ["relieve", "own-119", "own-118"],
        "plugs",
        None,
        None,
    ]


def test_a_step_that_a_later_template_has_is_offered_and_taken_with_its_cautions(page: Page):
    found = page.evaluate(
        """(stages) => {
          const later = {id: 'drain', do: 'Drain it.', needs: [{id: 'fire'}]};
          const lacking = list.stepsLacking(card, [...stages, {steps: [later]}]);
          const now = M(card, deeds.takeStep(card, later, 'stage-1'));
          return [lacking.map(({id}) => id), now.steps.drain.needs, list.stepsLacking(now, [{steps: [later]}]).length, list.stepsOf(now, 'stage-1').at(-1).id];
        }""",
        TEMPLATE,
    )
    assert found == [["drain"], ["fire"], 0, "drain"]


def test_every_action_has_its_sentence(page: Page, book: Any):
    """What deeds call themselves, read out of their modules, and the words for the history."""
    import re

    sources = (REPO / "static" / "js" / "lib").glob("*-deeds.js")
    source = " ".join(path.read_text(encoding="utf-8") for path in sources)
    names = set(re.findall(r'what: "(\w+)"', source))
    names |= {"end_close", "end_close_some", "step_needs", "step_reword"}
    words = book.words("en")
    told = {key.removeprefix("card_did_") for key in words if key.startswith("card_did_")}
    assert told == names


# -- what own words lead to ------------------------------------------------------------------------------------------------

LEADS = "([text, hazards]) => leads.leadsTo(text, hazards)"


def hazards(book: Book) -> list[dict[str, Any]]:
    return [{**book.texts["en"]["hazards"][name], "sheets": sheets} for name, sheets in book.hazards.items()]


@pytest.mark.parametrize(
    ("text", "sheets"),
    [
        ("Take the injectors out of the rail.", ["opening-a-fuel-line"]),
        ("Drain the COOLANT, and pull the radiator", ["opening-the-cooling-system"]),
        ("Slip the drive-belt off", ["belts-pulleys-fans"]),
        ("Wear the seat belt", []),
        ("Undo the battery, then grind the bracket", ["battery-and-electrical", "grinding-and-drilling"]),
        ("Read the battery voltage", []),
        ("Petrol goes in", ["petrol-spill"]),
        ("Look at the fuel on a road pull", ["road-pull"]),
        ("First start", ["first-start"]),
        ("Jack up the front", ["under-and-over-the-car"]),
        ("Clean the bench", []),
        ("", []),
    ],
)
def test_own_words_lead_to_the_sheet_of_what_they_speak_of(
    page: Page, book: Book, text: str, sheets: list[str]
):
    assert page.evaluate(LEADS, [text, hazards(book)]) == sheets


def test_words_of_every_template_lead_to_a_sheet_on_each_hazard_that_the_check_of_content_finds_in_them(
    page: Page, book: Book
):
    texts = [
        step["do"]
        for job in book.texts["en"]["jobs"].values()
        for stage in job["stages"]
        for step in stage["steps"]
    ]
    assert len(texts) > 100
    for text in texts:
        found = set(page.evaluate(LEADS, [text, hazards(book)]))
        assert [topic for topic in sorted(topics_in(text)) if not TOPICS[topic][2] & found] == [], text
