"""The templates of content/jobs/: what they lead to is there, guarded, in an order that can be worked, and closed again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qsl

import pytest

from webapp.content.job_records import END_KINDS, LISTS
from webapp.figures.present import present
from webapp.site.figure_page import is_refused_input

LONGEST = 130  # characters of what to do: one or two short sentences (our own judgement)
# The numbers of a link are an example. Where a person's setup has the number, the link leaves it alone, but for the thing that is new.
NEW_HERE = {("change-a-blower-pulley", "blower_pulley"), ("change-a-blower-pulley", "new_pulley")}


def steps_of(book: Any, name: str) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """(structure, texts) of every step in order."""
    stages = zip(book.jobs[name]["stages"], book.texts["en"]["jobs"][name]["stages"], strict=True)
    return [pair for made, said in stages for pair in zip(made["steps"], said["steps"], strict=True)]


def all_steps(book: Any) -> Iterator[tuple[str, dict[str, Any], dict[str, Any]]]:
    return ((name, step, text) for name in book.jobs for step, text in steps_of(book, name))


def test_the_jobs_that_the_app_is_for_have_a_template(book: Any) -> None:
    assert list(book.jobs) == [
        "fit-a-blower",
        "change-injectors",
        "refill-the-cooling-system",
        "change-a-blower-pulley",
        "start-for-the-first-time",
    ]


def test_every_sheet_guards_a_step(book: Any) -> None:
    used = {need for _, step, _ in all_steps(book) for need in step["needs"]}
    assert used == set(book.cautions)
    assert len(used) == 15
    assert {need for step, _ in steps_of(book, "fit-a-blower") for need in step["needs"]} == used


def test_every_kind_of_loose_end_is_closed_by_a_later_step_of_the_same_job(book: Any) -> None:
    for name in book.jobs:
        steps = [step for step, _ in steps_of(book, name)]
        for n, step in enumerate(steps):
            for end in step["ends"]:
                assert any(end["kind"] in later["closes"] for later in steps[n + 1 :]), (
                    name,
                    step["id"],
                    end,
                )


def test_the_long_job_opens_and_asks_for_all_that_the_card_can_keep(book: Any) -> None:
    steps = steps_of(book, "fit-a-blower")
    opened = {end["kind"] for step, _ in steps for end in step["ends"]}
    assert opened | {"clamped", "tool"} == set(END_KINDS)
    assert all(any(text[key] for _, text in steps) for key in (*LISTS, "manual", "read", "note"))
    assert len(book.jobs["fit-a-blower"]["stages"]) >= 12


def test_a_gate_has_the_sheet_of_the_first_start_and_whoever_needs_that_sheet_meets_a_gate(book: Any) -> None:
    gates = [(name, step) for name, step, _ in all_steps(book) if step["gate"]]
    assert all("first-start" in step["needs"] for _, step in gates)
    led = {name for name, step, _ in all_steps(book) if "first-start" in step["needs"]}
    assert {name for name, _ in gates} == led
    assert led == set(book.jobs) - {"refill-the-cooling-system"}


def test_nothing_is_started_before_the_gate(book: Any) -> None:
    for name in book.jobs:
        ids = [step["id"] for step, _ in steps_of(book, name)]
        barred = [step["id"] for step, _ in steps_of(book, name) if step["gate"]]
        assert not {"start", "crank"} & set(ids) - set(barred), name


def test_a_fuel_line_is_capped_only_after_its_pressure_is_relieved(book: Any) -> None:
    count = 0
    for name in ("fit-a-blower", "change-injectors"):
        steps = [step for step, _ in steps_of(book, name)]
        relieved = [step["id"] for step in steps].index("relieve")
        for n, step in enumerate(steps):
            if "opening-a-fuel-line" in step["needs"] and any(
                end["kind"] == "capped" for end in step["ends"]
            ):
                assert n > relieved, (name, step["id"])
                count += 1
    assert count >= 2


def test_wherever_a_belt_is_laid_on_it_is_asked_what_touches_and_again_with_the_engine_rocked(
    book: Any,
) -> None:
    for name in ("fit-a-blower", "change-a-blower-pulley"):
        steps = steps_of(book, name)
        ids = [step["id"] for step, _ in steps]
        assert ids.index("belt-on") < ids.index("turn") < ids.index("turn-rocked")
        still, rocked = (" ".join(steps[ids.index(each)][1]["touch"]) for each in ("turn", "turn-rocked"))
        for words in (still, rocked):
            assert all(word in words for word in ("lip", "hose", "loom", "onnet")), (name, words)
        assert "Rock the engine to its limits" in steps[ids.index("turn-rocked")][1]["do"]


def test_every_job_that_takes_things_apart_asks_what_cannot_be_reached_later(book: Any) -> None:
    with_it = {name for name, _, text in all_steps(book) if text["apart"]}
    assert with_it == set(book.jobs) - {"start-for-the-first-time"}


@pytest.mark.parametrize("key", ["do", "note"])
def test_what_to_do_is_short_and_ends_as_a_sentence(book: Any, key: str) -> None:
    for name, step, text in all_steps(book):
        said = text[key]
        assert not said or said.endswith((".", "?")), (name, step["id"], said)
        assert key != "do" or len(said) <= LONGEST, (name, step["id"], len(said))


def test_every_link_is_one_that_its_figure_answers(book: Any) -> None:
    """With what the link gives and everything else at the Figure's own; a pump whose flow nobody can guess is asked for."""
    count = 0
    for name, step, _ in all_steps(book):
        for link in step["figures"]:
            figure = book.figures[link["figure"]]
            view = present(book, "en", figure, dict(parse_qsl(link["query"])))
            assert not is_refused_input(figure, view), (name, step["id"], link)
            assert view["state"] == "ok" or link["figure"] == "pump-margin", (
                name,
                step["id"],
                link,
                view["sentence"],
            )
            count += 1
    assert count > 50


def test_a_link_leaves_alone_what_the_persons_setup_holds(book: Any) -> None:
    for name, step, _ in all_steps(book):
        for link in step["figures"]:
            figure = book.figures[link["figure"]]
            held = {key for key, _ in parse_qsl(link["query"]) if figure.take(key).setup}
            assert not {(name, key) for key in held} - NEW_HERE, (name, step["id"], link)


def test_every_round_can_be_put_in_order(book: Any) -> None:
    """The counts by hand: rows are across times down, a circle has as many as across says."""
    count = 0
    for name, step, _ in all_steps(book):
        made = step["round"]
        if made:
            view = present(book, "en", book.figures["tightening-order"], dict(parse_qsl(step["order_query"])))
            assert view["state"] == "ok", (name, step["id"], view["sentence"])
            bolts = made["across"] * (made["down"] if made["pattern"] == "rows" else 1)
            (counted,) = [one["number"] for one in view["answers"] if one["name"] == "count"]
            assert counted == str(bolts), (name, step["id"])
            count += 1
    assert count >= 3


def test_the_numbers_of_the_demonstration_are_those_of_the_figures_that_start_there(book: Any) -> None:
    """The demonstration's engine: 3.4 L, 165 and 72 mm pulleys, 1.05 L a turn, six injectors of 310 cc/min at 3 bar."""
    wanted = {"displacement": 3.4e-3, "crank_pulley": 0.165, "blower_pulley": 0.072, "volume": 1.05e-3}
    figure = book.figures["fuel-headroom"]
    assert {name: figure.take(name).default for name in wanted} == pytest.approx(wanted)
