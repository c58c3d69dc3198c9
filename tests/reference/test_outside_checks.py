"""Every outside check that the app has a Figure or table for comes out; the rest is listed, each with its reason.

COWLSIDE_CHECKS=FILE takes another file of the same shape.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from reference.check_amounts import tolerance
from reference.check_runner import listing, questions, read_checks, run
from reference.check_ways import all_ways, fitting

OWN_FILE = Path(__file__).parent / "checks.json"
# How many entries of our own file are answered, and how many comparisons that makes: fewer would mean that something was lost.
ENTRIES_RUN = 144
COMPARISONS = 510


@cache
def checks() -> tuple[Mapping[str, Any], ...]:
    return tuple(read_checks(Path(os.environ.get("COWLSIDE_CHECKS") or OWN_FILE)))


@pytest.mark.parametrize("entry", checks(), ids=lambda entry: str(entry["id"]))
def test_an_outside_check_comes_out_or_says_why_it_is_not_run(book: Any, entry: Mapping[str, Any]) -> None:
    result = run(book, entry)
    assert not result.faults, f"{entry['what']} ({entry['source']}): {'; '.join(result.faults)}"
    assert {found.name for found in result.found} | set(result.not_run) == set(entry["expect"])
    assert all(result.not_run.values())


def test_no_fewer_of_our_own_checks_run_than_before(book: Any, capsys: pytest.CaptureFixture[str]) -> None:
    """Prints, for the file that was asked for, what is not run, and why."""
    with capsys.disabled():
        print("", *listing({str(entry["id"]): run(book, entry) for entry in checks()}), sep="\n")
    ran = [result for entry in read_checks(OWN_FILE) if (result := run(book, entry)).found]
    assert len(ran) >= ENTRIES_RUN
    assert sum(len(result.found) for result in ran) >= COMPARISONS


def test_every_way_is_used_by_one_of_our_own_checks(book: Any) -> None:
    """A way that no check takes is not known to be right."""
    taken = [
        way
        for entry in read_checks(OWN_FILE)
        for question in questions(entry, book.units)
        for way, _ in fitting(question.topic, question.what, question.given, question.name)
    ]
    assert [way for way in all_ways() if not any(way is other for other in taken)] == []


def made_up(**changed: Any) -> dict[str, Any]:
    """An entry as another file could hold it."""
    entry = {
        "id": "made-up",
        "topic": "torque",
        "what": "Straight adapter",
        "given": {
            "required_torque": "50 lbf*ft",
            "wrench_length": "20 inch",
            "adapter_length": "5 inch",
            "angle": "0 degree",
        },
        "expect": {"wrench_setting": "40 lbf*ft"},
        "tolerance": "rel 1e-9; exact",
        "source": "own arithmetic: 50 × 20/25",
        "basis": "computed",
    }
    return {**entry, **changed}


def test_an_entry_of_another_file_is_found_by_topic_and_names(book: Any) -> None:
    result = run(book, made_up())
    assert [found.by for found in result.found] == ["torque-adapter"]
    assert not result.faults
    assert not result.not_run


def test_a_wrong_result_is_a_fault(book: Any) -> None:
    faults = run(book, made_up(expect={"wrench_setting": "40.001 lbf*ft"})).faults
    assert len(faults) == 1
    assert "wrench_setting by torque-adapter" in faults[0]


def test_an_input_that_no_figure_would_hear_leaves_the_entry_unrun(book: Any) -> None:
    given = {**made_up()["given"], "grease": "0.1 dimensionless"}
    result = run(book, made_up(given=given))
    assert not result.found
    assert result.not_run == {"wrench_setting": "no Figure or table gives this from these inputs"}


def test_a_figure_that_refuses_is_named_with_the_reason(book: Any) -> None:
    given = {**made_up()["given"], "angle": "270 degree"}
    result = run(book, made_up(given=given))
    assert result.not_run == {"wrench_setting": "torque-adapter: refuses (above angle)"}


def test_an_entry_that_cannot_be_read_is_listed(book: Any) -> None:
    lines = listing({"made-up": run(book, made_up(expect={"wrench_setting": "3 parsnip"}))})
    assert lines[0].startswith("0 of 1 entries run")
    assert lines[1].startswith('made-up: wrench_setting: "3 parsnip" has a unit that is not known')


def test_names_with_letters_are_paired(book: Any) -> None:
    entry = made_up(
        given={"common": "1 bar", "size_a": "2 mm", "size_b": "3 mm"},
        expect={"area_a": "4 mm**2", "area_b": "9 mm**2", "all": "5 mm"},
    )
    asked = {question.full_name: question for question in questions(entry, book.units)}
    assert asked["area_b"].name == "area"
    assert asked["area_b"].given == pytest.approx({"common": 1e5, "size": 0.003})
    assert set(asked["all"].given) == {"common", "size_a", "size_b"}


@pytest.mark.parametrize(
    ("text", "expected", "just_in", "just_out"),
    [
        # A reading's share is one of its kelvin: 0.1 % of 300 K.
        ("rel 0.001; why", 300.0, 300.299, 300.301),
        ("abs 0.9 delta_degF; why", 300.0, 300.499, 300.501),
        ("abs 0.5 degC; why", 300.0, 299.501, 299.499),
    ],
)
def test_tolerances(book: Any, text: str, expected: float, just_in: float, just_out: float) -> None:
    allowed = tolerance(text, book.units)
    assert allowed.allows(just_in, expected)
    assert not allowed.allows(just_out, expected)


def test_a_tolerance_of_another_shape_is_told(book: Any) -> None:
    with pytest.raises(ValueError, match='write "rel x; why"'):
        tolerance("about 1 %", book.units)


def test_a_file_that_lacks_a_key_is_told(tmp_path: Path) -> None:
    file = tmp_path / "more.json"
    file.write_text('[{"id": "one", "topic": "torque"}]', encoding="utf-8")
    with pytest.raises(ValueError, match=r"more\.json, entry 1: lacks what, given"):
        read_checks(file)
