"""Phone and server read and write numbers alike: the browser runs the script on what the Python tests read."""

from __future__ import annotations

import functools
import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from browser.faults import FaultyServer
from figures.number_material import (
    CASES,
    REPO,
    WORDS,
    hostile_texts,
    outcome,
    outcome_of_case,
    values_to_write,
    written_arguments,
)
from playwright.sync_api import Browser, Page

from webapp.figures.numbers import NORMAL, first_power, read_number, read_quantity, write_full, write_number
from webapp.figures.unit_names import UNIT_MARKS

UNITS = CASES["units"]
TYPED = CASES["numbers"] + CASES["quantities"]

# Calls a function of the module for each list of arguments; the answers have the shape of number_material.outcome.
CALLS = """async ([name, lists, words]) => {
  const module = await import("/js/lib/number.js");
  return JSON.stringify(lists.map((list) => {
    try {
      return { result: module[name](...list) };
    } catch (problem) {
      if (!(problem instanceof module.NumberProblem)) throw problem;
      return { code: problem.code, fields: problem.fields, sentence: problem.sentence(words) };
    }
  }));
}"""


@pytest.fixture(scope="module")
def static_server() -> Iterator[FaultyServer]:
    """A server of static/ alone: the scripts under test need nothing else."""
    server = FaultyServer(REPO / "static")
    yield server
    server.close()


@pytest.fixture(scope="module")
def page(chromium: Browser, static_server: FaultyServer) -> Iterator[Page]:
    """A page from which scripts of that server can be imported."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{static_server.origin}/js/lib/number.js")
    yield page
    context.close()


def in_browser(page: Page, name: str, lists: list[Any]) -> list[dict[str, Any]]:
    # JSON of the browser's own, as 7.4e17 travels without a mark and would come back as another whole number.
    return json.loads(page.evaluate(CALLS, [name, lists, WORDS]), parse_int=float)


def test_the_phone_reads_and_refuses_every_case_of_the_table_as_the_server_does(page):
    numbers = in_browser(page, "readNumber", [[case["text"]] for case in CASES["numbers"]])
    lists = [[case["text"], case["kind"], UNITS, case["default"]] for case in CASES["quantities"]]
    quantities = in_browser(page, "readQuantity", lists)
    for case, found in zip(TYPED, numbers + quantities, strict=True):
        assert found.get("code") == case.get("problem"), case
        assert found == outcome_of_case(case), case


def test_the_phone_writes_every_case_of_the_table_as_the_server_does(page):
    found = in_browser(page, "writeNumber", [written_arguments(case) for case in CASES["written"]])
    assert [each["result"] for each in found] == [case["text"] for case in CASES["written"]]


def test_the_phone_splits_a_typed_text_and_finds_the_first_digit_as_the_server_does(page):
    found = in_browser(page, "splitQuantity", [[case["text"]] for case in CASES["split"]])
    assert [each["result"] for each in found] == [[case["number"], case["unit"]] for case in CASES["split"]]
    values = [value for value, _, _ in values_to_write(1000) if value]
    found = in_browser(page, "firstPower", [[value] for value in values])
    assert [tuple(each["result"]) for each in found] == [first_power(value) for value in values]


@pytest.mark.parametrize("mark", [".", ","])
def test_F22_ten_thousand_values_are_written_alike_character_by_character(page, mark):
    lists = [[*each, mark] for each in values_to_write(10_000)]
    found = [each["result"] for each in in_browser(page, "writeNumber", lists)]
    assert found == [write_number(*each) for each in lists]
    assert not any(re.search(r"NaN|Infinity|undefined|[-−]0(?![.,0-9])", text) for text in found)


@pytest.mark.parametrize("mark", [".", ","])
def test_F18_ten_thousand_values_written_by_the_phone_read_back_as_themselves(page, mark):
    values = [value for value, _, _ in values_to_write(10_000)]
    written = [each["result"] for each in in_browser(page, "writeFull", [[value, mark] for value in values])]
    assert [each["result"] for each in in_browser(page, "readNumber", [[text] for text in written])] == values
    assert written == [write_full(value, mark) for value in values]


def test_F20_the_phone_writes_no_infinity_and_no_minus_zero(page):
    written = """async () => {
      const { NumberProblem, writeFull } = await import("/js/lib/number.js");
      const attempt = (value) => {
        try { return writeFull(value); } catch (problem) { return problem instanceof NumberProblem && problem.code; }
      };
      return [NaN, Infinity, -Infinity, undefined, -0, -0.0001].map(attempt);
    }"""
    assert page.evaluate(written) == [*["not_finite"] * 4, "0", "−0.0001"]


def test_F20_no_minus_zero_is_read(page):
    signs = """async (texts) => {
      const { readNumber } = await import("/js/lib/number.js");
      return texts.map((text) => Object.is(readNumber(text), 0));
    }"""
    assert page.evaluate(signs, ["-0", "−0,0", "-0/5", "0"]) == [True] * 4


def test_F27_a_thousand_hostile_texts_come_to_the_same_on_phone_and_server(page):
    texts = hostile_texts(1000)
    for name, reader, behind in (
        ("readNumber", read_number, ()),
        ("readQuantity", read_quantity, ("gauge pressure", UNITS, "bar")),
        ("readQuantity", read_quantity, ("torque", UNITS, "lbf·in")),
    ):
        found = in_browser(page, name, [[text, *behind] for text in texts])
        expected = [outcome(functools.partial(reader, text, *behind)) for text in texts]
        assert [pair for pair in zip(texts, found, expected, strict=True) if pair[1] != pair[2]] == []


@pytest.mark.parametrize(
    ("module", "name", "expected"), [("number", "NORMAL", NORMAL), ("unit-names", "UNIT_MARKS", UNIT_MARKS)]
)
def test_F18_phone_and_server_hold_the_same_table_of_signs(page, module, name, expected):
    table = "async ([module, name]) => [...(await import(`/js/lib/${module}.js`))[name]]"
    assert dict(page.evaluate(table, [module, name])) == expected


def test_a_senseless_writing_is_refused_on_the_phone_too(page):
    refused = """async (lists) => {
      const { writeNumber } = await import("/js/lib/number.js");
      return lists.map((list) => {
        try { return writeNumber(...list); } catch (problem) { return problem instanceof RangeError; }
      });
    }"""
    lists = [[1, 0, 3, "."], [1, None, 0, "."], [1, None, -1, "."], [1, None, None, "٫"]]
    assert page.evaluate(refused, lists) == [True] * 4


# The WebDriver client warns about an argument that it passes to itself.
@pytest.mark.filterwarnings("ignore:setting remote_server_addr:DeprecationWarning")
def test_F22_the_engine_of_the_iphone_reads_and_writes_as_the_server_does_too(webkit, static_server):
    """WebKit's engine finds the digits of a number and matches patterns by code of its own."""
    webkit.get(f"{static_server.origin}/js/lib/number.js")
    run = f"const [call, done] = arguments; ({CALLS})(JSON.parse(call)).then(done, (e) => done(String(e)));"
    lists = {
        "writeNumber": [[*each, ","] for each in values_to_write(10_000)],
        "readNumber": [[text] for text in hostile_texts(1000)],
    }
    for name, call in (("writeNumber", write_number), ("readNumber", read_number)):
        found = json.loads(
            webkit.execute_async_script(run, json.dumps([name, lists[name], WORDS])), parse_int=float
        )
        assert found == [outcome(functools.partial(call, *each)) for each in lists[name]]
