"""content/jobs/: what is read of a template, and each mistake with its line and remedy."""

from __future__ import annotations

import pytest

JOB = "jobs/lid.md"
SOUND = """---
title: Change the lid
summary: Off and on again.
order: 1
finds: [cover]
basis: "Made up, see [the page](help/typing)."
stages:
  - title: Before you begin
    says: An hour.
    steps:
      - id: read-it
        do: Read the manual.
        note: To the end.
        needs: [hot]
        ready: [A spanner]
        photo: [The lid]
        new: [The seal]
        apart: [The pump]
        touch: [The hose]
        manual:
          - {label: Lid bolts, kind: torque, in: N·m}
        read:
          - {label: Oil, kind: temperature, in: °C}
        finds: [handbook]
      - id: lid-off
        do: Take it off.
        ends:
          - {kind: bagged, place: lid bolts, count: 4, note: long ones}
          - {kind: own, place: bench, note: Lid on the bench.}
  - title: On again
    steps:
      - id: lid-on
        do: Put it on.
        gate: first-start
        closes: [bagged, own]
        figures:
          - {figure: orifice, given: {rail: 250 kPa, fuel: petrol}, label: How much flows}
          - {figure: orifice}
        round: {label: Lid, pattern: rows, across: "2", down: "2", note: Gently.}
---
See [the sheet](cautions/hot).
"""
ORDER = """---
title: Order
summary: Which bolt next.
part: torque
order: 2
takes:
  pattern: {label: Pattern, choose: bolt-patterns, value: rows}
  across: {label: Across, kind: count, in: ×1, value: 5, from: 1, to: 64}
  down: {label: Down, kind: count, in: ×1, value: 2, from: 1, to: 64}
gives:
  bolts: {label: Bolts, kind: count, in: ×1, formula: across * down * pattern.number, first: true}
assumes: [Nothing.]
sources: [Made up for a test.]
checks:
  - {given: {across: 2, down: 2}, expect: {bolts: 4}, within: 0.1 %, source: by hand}
---
"""
PATTERNS = """---
title: Patterns
summary: How bolts stand.
order: 2
columns:
  name: {label: Name}
  number: {label: Number, kind: count, in: ×1}
sources: [Made up for a test.]
---
| id | name | number |
|---|---|---|
| rows | Rows | 1 |
| circle | Circle | 2 |
"""


@pytest.fixture
def lid(small):
    """The small content with one template and what a torque round stands on."""
    small.write("figures/tightening-order.md", ORDER)
    small.write("tables/bolt-patterns.md", PATTERNS)
    small.write(JOB, SOUND)
    return small


def test_a_template_becomes_plain_data_free_of_language(lid):
    book = lid.book()
    assert list(book.jobs) == ["lid"]
    (first, last) = book.jobs["lid"]["stages"]
    read, off = first["steps"]
    (on,) = last["steps"]
    assert (read["id"], read["needs"], read["gate"]) == ("read-it", ["hot"], "")
    assert read["manual"] == [{"kind": "torque", "in": "N·m"}]
    assert read["read"] == [{"kind": "temperature", "in": "°C"}]
    assert off["ends"] == [{"kind": "bagged", "count": 4}, {"kind": "own", "count": 0}]
    assert (on["gate"], on["closes"]) == ("first-start", ["bagged", "own"])
    assert on["figures"] == [
        {"figure": "orifice", "query": "rail=250%20kPa&fuel=petrol"},
        {"figure": "orifice", "query": ""},
    ]
    assert on["round"] == {"pattern": "rows", "across": 2, "down": 2}
    assert on["order_query"] == "pattern=rows&across=2&down=2"


def test_its_texts_are_those_of_the_language(lid):
    text = lid.book().texts["en"]["jobs"]["lid"]
    assert (text["title"], text["finds"]) == ("Change the lid", ["cover"])
    assert 'href="help/typing"' in text["basis"] and 'href="cautions/hot"' in text["body"]
    (first, last) = text["stages"]
    assert (first["title"], first["says"], last["says"]) == ("Before you begin", "An hour.", "")
    read, off = first["steps"]
    assert {key: read[key] for key in ("do", "note", "ready", "photo", "new", "apart", "touch", "finds")} == {
        "do": "Read the manual.",
        "note": "To the end.",
        "ready": ["A spanner"],
        "photo": ["The lid"],
        "new": ["The seal"],
        "apart": ["The pump"],
        "touch": ["The hose"],
        "finds": ["handbook"],
    }
    assert (read["manual"], read["read"]) == (["Lid bolts"], ["Oil"])
    assert off["ends"][0] == {"place": "lid bolts", "note": "long ones"}
    assert last["steps"][0]["figures"] == ["How much flows", ""]
    assert last["steps"][0]["round"] == {"label": "Lid", "note": "Gently."}


def test_a_book_with_templates_is_read_back_as_it_was(lid):
    book = lid.book()
    assert type(book).from_json(book.to_json()).to_json() == book.to_json()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "        note: To the end.",
            "        notes: To the end.",
            'stages[1].steps[1].notes: unknown key. Did you mean "note"? A text that holds a comma needs quotes.',
        ),
        (
            "do: Take it off.",
            "do: ''",
            "stages[1].steps[2].do: is empty. Write the text behind the colon.",
        ),
        (
            "needs: [hot]",
            "needs: [hat]",
            'stages[1].steps[1].needs: there is no caution "hat". Did you mean "hot"?',
        ),
        ("needs: [hot]", "needs: [hot, hot]", 'stages[1].steps[1].needs: "hot" stands twice. Remove one.'),
        (
            "gate: first-start",
            "gate: last-start",
            'stages[2].steps[1].gate: "last-start" is not known here. Did you mean "first-start"?',
        ),
        (
            "kind: torque, in: N·m",
            "kind: torqe, in: N·m",
            'stages[1].steps[1].manual.kind: there is no kind "torqe". Did you mean "torque"?',
        ),
        (
            "kind: temperature, in: °C",
            "kind: temperature, in: kPa",
            'stages[1].steps[1].read.in: "kPa" is no unit of temperature. Allowed here: K, °C.',
        ),
        (
            "{label: Oil, kind: temperature, in: °C}",
            "{label: Oil, kind: temperature}",
            'stages[1].steps[1].read[1].in: is missing. Add a line "in: …".',
        ),
        (
            "{kind: bagged, place: lid bolts, count: 4",
            "{kind: boxed, place: lid bolts, count: 4",
            'stages[1].steps[2].ends[1].kind: "boxed" is not known here. Allowed here: bagged, capped, clamped, drained, dry_fitted,'
            " finger_tight, guard_off, own, rag, temporary_tie, tool, unplugged.",
        ),
        (
            "count: 4",
            "count: 0",
            'stages[1].steps[2].ends[1].count: "0" is no number of things. Write 1 to 999, or leave the key out.',
        ),
        (
            "count: 4",
            "count: four",
            'stages[1].steps[2].ends[1].count: "four" is no number of things. Write 1 to 999, or leave the key out.',
        ),
        (
            "{kind: own, place: bench, note: Lid on the bench.}",
            "{kind: own, place: bench}",
            'stages[1].steps[2].ends[2].note: is missing. Add a line "note: …".',
        ),
        (
            "{kind: own, place: bench, note: Lid on the bench.}",
            "{kind: own, note: Lid on the bench.}",
            'stages[1].steps[2].ends[2].place: is missing. Add a line "place: …".',
        ),
        (
            "closes: [bagged, own]",
            "closes: [baged, own]",
            'stages[2].steps[1].closes: "baged" is not known here. Did you mean "bagged"?',
        ),
        (
            "closes: [bagged, own]",
            "closes: [own, own]",
            'stages[2].steps[1].closes: "own" stands twice. Remove one.',
        ),
        (
            "{figure: orifice, given",
            "{figure: orifise, given",
            'stages[2].steps[1].figures[1].figure: there is no Figure "orifise". Did you mean "orifice"?',
        ),
        (
            "rail: 250 kPa",
            "rale: 250 kPa",
            'stages[2].steps[1].figures[1].given.rale: the Figure "orifice" has no input "rale". Did you mean "rail"?',
        ),
        (
            "rail: 250 kPa",
            "rail: 2500 kPa",
            'stages[2].steps[1].figures[1].given.rail: "2500 kPa" is nothing that this input takes. Write a number from 0 to 1000 kPa.',
        ),
        (
            "rail: 250 kPa",
            "rail: 250 rpm",
            'stages[2].steps[1].figures[1].given.rail: "250 rpm" is nothing that this input takes. Write a number from 0 to 1000 kPa.',
        ),
        (
            "fuel: petrol",
            "fuel: unknown",
            'stages[2].steps[1].figures[1].given.fuel: "unknown" is nothing that this input takes. Allowed here: petrol.',
        ),
        (
            "fuel: petrol",
            "fuel: petroll",
            'stages[2].steps[1].figures[1].given.fuel: "petroll" is nothing that this input takes. Did you mean "petrol"?',
        ),
        (
            "pattern: rows",
            "pattern: row",
            'stages[2].steps[1].round.pattern: "row" is nothing that this input takes. Did you mean "rows"?',
        ),
        (
            'across: "2"',
            'across: "65"',
            'stages[2].steps[1].round.across: "65" is nothing that this input takes. Write a whole number from 1 to 64.',
        ),
        (
            'down: "2"',
            'down: "1.5"',
            'stages[2].steps[1].round.down: "1.5" is nothing that this input takes. Write a whole number from 1 to 64.',
        ),
        ("order: 1\n", "order: one\n", 'order: "one" is not a whole number. Write digits only.'),
        (
            "id: lid-off",
            "id: Lid off",
            'stages: "Lid off" cannot be a step\'s id. Use small letters, digits and single hyphens.',
        ),
        (
            "id: lid-off",
            "id: read-it # again",
            'stages: the step "read-it" stands on line 11 too. Give this one an id of its own.',
        ),
        (
            "finds: [handbook]",
            "finds: [handbook, Handbook]",
            'stages[1].steps[1].finds: "Handbook" stands twice. Remove one.',
        ),
        (
            "See [the sheet](cautions/hot).",
            "See [the sheet](cautions/hat).",
            'the link "cautions/hat" leads nowhere. Did you mean "cautions/hot"?',
        ),
        (
            "(help/typing)",
            "(help/typos)",
            'the link "help/typos" leads nowhere. Did you mean "help/typing"?',
        ),
    ],
)
def test_a_mistake_is_told_with_its_line_and_how_to_mend_it(lid, old, new, said):
    lid.change(JOB, old, new)
    part = next(line for line in new.split("\n") if line.strip())
    lid.expect(JOB, part, said)


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("title", "title: is missing."),
        ("summary", "summary: is missing."),
        ("order", "order: is missing."),
        ("basis", "basis: is missing."),
    ],
)
def test_what_every_template_has_is_asked_for(lid, key, said):
    lines = [line for line in SOUND.split("\n") if not line.startswith(f"{key}: ")]
    lid.write(JOB, "\n".join(lines))
    (problem,) = lid.problems()
    assert said in problem and problem.startswith(f"content/{JOB}:")


@pytest.mark.parametrize("name", ["card", "round"])
def test_a_template_cannot_take_the_address_of_a_page_of_the_card(lid, name):
    lid.write(f"jobs/{name}.md", SOUND)
    assert lid.problems() == [
        f'content/jobs/{name}.md:1: a template cannot be called "{name}": a page of the card has this address. Rename the file.'
    ]


@pytest.mark.parametrize("other", ["orifice", "hot", "fuels", "typing"])
def test_a_template_shares_its_name_with_nothing_else(lid, other):
    lid.write(f"jobs/{other}.md", SOUND)
    (said,) = lid.problems()
    assert said.startswith(f'content/jobs/{other}.md:1: the id "{other}" is taken by ')


def test_a_stage_without_steps_and_a_job_without_stages_are_refused(lid):
    head = SOUND.partition("stages:")[0]
    lid.write(JOB, f"{head}stages: []\n---\n")
    assert lid.problems() == [f'content/{JOB}:7: stages: is empty. Write "- …" lines below it.']
    lid.write(JOB, f"{head}stages:\n  - {{title: Empty, steps: []}}\n---\n")
    assert lid.problems() == [f'content/{JOB}:8: stages[1].steps: is empty. Write "- …" lines below it.']


def test_a_round_needs_the_figure_that_orders_it(lid):
    (lid.folder / "figures/tightening-order.md").unlink()
    (lid.folder / "tables/bolt-patterns.md").unlink()
    part = "round: {label"
    said = 'stages[2].steps[1].round: there is no Figure "tightening-order" to put a round in order. Add the Figure, or remove the round.'
    lid.expect(JOB, part, said)


def test_a_figure_with_a_fault_of_its_own_is_not_blamed_on_the_template(lid):
    lid.change("figures/orifice.md", "formula: rail - manifold", "formula: rail + manifold")
    assert all("figures/orifice.md" in problem for problem in lid.problems())


def test_the_kinds_of_loose_ends_must_have_words(lid):
    lid.change("words/common.md", "  job_end_rag: Some words\n", "")
    assert lid.problems() == [
        "content/words/common.md:1: words.job_end_rag: is missing. Add the word to one of the files of content/words/."
    ]


def test_a_page_may_lead_to_a_template(lid):
    lid.change("help/typing.md", "Some text.", "See [the lid](job/lid) and [all of them](job).")
    assert "job/lid" in lid.book().texts["en"]["pages"]["typing"]["body"]
