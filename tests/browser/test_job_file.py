"""The file that carries cards: it comes back as it went, and a file that is not right changes nothing (field faults F13, F58, F59)."""

from __future__ import annotations

import copy
import csv
import io
import json
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser.cards import FRESH, FULL, TEMPLATE, everything, exported, imported, looked_at, opened
from browser.faults import FaultyServer
from figures.number_material import REPO
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, BrowserContext, Page

DRAWN = settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
# A sentence begins with a capital or with the place in the file.
SENTENCE = re.compile(r"[A-Z/].*\.$", re.DOTALL)


@pytest.fixture
def page(phone: BrowserContext, host: FaultyServer) -> Page:
    return opened(phone, host)


@pytest.fixture(scope="module")
def full(chromium: Browser, host: FaultyServer) -> Iterator[Page]:
    """A phone with a card that has something of everything; the tests that use it change nothing on it."""
    phone = chromium.new_context()
    page = opened(phone, host)
    page.evaluate(FULL, TEMPLATE)
    yield page
    phone.close()


@pytest.fixture(scope="module")
def words(book: Any) -> Any:
    return book.words("en")


# -- out and in ---------------------------------------------------------------------------------------------------------


def test_an_export_on_a_fresh_phone_gives_the_same_to_the_byte_photos_included(full, page):
    text = exported(full)
    assert len(json.loads(text)["photos"]) == 2
    found = imported(page, text)
    assert [fate["becomes"] for fate in found["plan"]["jobs"]] == ["added"]
    assert (found["plan"]["photos"], found["plan"]["lacking"], found["plan"]["emergency"]) == (2, 0, "added")
    page.evaluate("file.forgetImport()")
    assert everything(page) == everything(full)
    assert exported(page) == text


def test_the_same_file_again_changes_nothing_and_says_so(full, page):
    text = exported(full)
    imported(page, text)
    plan = imported(page, text)["plan"]
    assert [fate["becomes"] for fate in plan["jobs"] + plan["setups"]] == ["same", "same"]
    assert (plan["photos"], plan["emergency"]) == (0, "same")


@pytest.mark.parametrize("way", ["merge", "replace"])
def test_what_is_here_too_is_replaced_the_rest_stays_or_goes_and_undo_brings_all_back(full, page, way):
    text = exported(full)
    imported(page, text)
    page.evaluate("file.forgetImport()")
    page.evaluate(FRESH, TEMPLATE)
    page.evaluate("cards.addJob(card)")
    page.evaluate("cards.doAct('card-full', (now) => deeds.rename(now, 'newer here'), {at: 9e12})")
    page.evaluate(
        "photos.addPhoto('card-full', {blob: new Blob(['x']), width: 1, height: 1, type: 'image/jpeg'}, {})"
    )
    page.evaluate("store.write([{store: 'kept', key: 'emergency', change: () => ({number: '911'})}])")
    page.evaluate("sheets.confirm('card-full', 'fire')")
    before = json.loads(everything(page))
    found = imported(page, text, way)
    fates = {fate["id"]: (fate["becomes"], fate["isOlder"]) for fate in found["plan"]["jobs"]}
    assert fates == {
        "card-full": ("replaced", True),
        "card-1": ("stays" if way == "merge" else "removed", False),
    }
    after = json.loads(everything(page))
    assert after["jobs"].get("card-full") == json.loads(text)["jobs"][0]
    assert ("card-1" in after["jobs"]) == (way == "merge")
    assert after["kept"]["emergency"] == {"number": "911" if way == "merge" else "112"}
    assert after["kept"]["job"] == {"id": "card-1" if way == "merge" else "card-full"}
    assert after["confirmed"] == {}  # a card of another day asks for its cautions again
    assert page.evaluate("photos.unusedPhotos().then(({ids}) => ids.length)") == 0  # undo still needs the one
    assert page.evaluate("file.importedAt()") == 6000
    assert page.evaluate("file.undoImport()") == {"kept": True, "why": "fine", "isStale": False}
    assert json.loads(everything(page)) == {**before, "confirmed": {}}


def test_an_import_whose_plan_is_stale_is_not_made_and_undo_never_throws_work_away(full, page):
    text = exported(full)
    imported(page, text)
    stale = page.evaluate(
        """async (text) => {
          await cards.doAct('card-full', (now) => deeds.rename(now, 'here'));
          const plan = await file.planned(await file.readFile(new Blob([text])), 'merge');
          await cards.doAct('card-full', (now) => deeds.rename(now, 'here again'));
          return [await file.doImport(plan, 1), await file.undoImport(), (await cards.readJob('card-full')).name];
        }""",
        text,
    )
    refused = {"kept": False, "why": "fine", "isStale": True}
    assert stale == [refused, refused, "here again"]


def test_F54_an_import_that_does_not_fit_changes_nothing(full, phone, page, host):
    text = exported(full)
    page.evaluate(FRESH, TEMPLATE)
    page.evaluate("cards.addJob(card)")
    before = everything(page)
    page.evaluate("navigator.storage.estimate = async () => ({quota: 1000, usage: 900})")
    assert imported(page, text)["outcome"] == {"kept": False, "why": "full", "isStale": False}
    assert (everything(page), page.evaluate("states")) == (before, ["fine"])
    assert everything(opened(phone, host)) == before


def test_one_card_is_exported_without_the_rest(full):
    data = json.loads(exported(full, ["card-full"]))
    assert (len(data["jobs"]), data["setups"], data["kept"], len(data["photos"])) == (1, [], {}, 2)
    assert full.evaluate(
        "file.makeFile(['card-full'], 1764060000000).then(({name, isTooLarge, lacking}) => [name, isTooLarge, lacking])"
    ) == [
        "cowlside-2025-11-25.json",
        False,
        0,
    ]


# -- broken files ----------------------------------------------------------------------------------------------------------

Change = Callable[[dict[str, Any]], Any]


def at(*path: Any, to: Any) -> Change:
    """Puts a value into a copy of the file's data."""

    def change(data: dict[str, Any]) -> dict[str, Any]:
        inner: Any = data
        for key in path[:-1]:
            inner = inner[key]
        inner[path[-1]] = to
        return data

    return change


def without(*path: Any) -> Change:
    def change(data: dict[str, Any]) -> dict[str, Any]:
        inner: Any = data
        for key in path[:-1]:
            inner = inner[key]
        del inner[path[-1]]
        return data

    return change


def doubled(name: str) -> Change:
    return lambda data: {**data, name: data[name] * 2}


JOB = ("jobs", 0)
PAST = {"at": 1, "what": "rename", "fields": {}, "undone": 0}
HOSTILE = "<img src=x onerror=alert(1)>\u202e\u0000"

# name -> (what is done to the right file, key of the sentence that must come first)
DATA: dict[str, tuple[Change, str]] = {
    "newer schema": (at("schema", to=2), "card_file_newer"),
    "schema of text": (at("schema", to="1"), "card_file_schema"),
    "schema nought": (at("schema", to=0), "card_file_schema"),
    "schema in halves": (at("schema", to=0.5), "card_file_schema"),
    "no schema": (without("schema"), "card_file_schema"),
    "another's format": (at("format", to="notes"), "card_file_foreign"),
    "no format": (without("format"), "card_file_foreign"),
    "a list": (lambda data: [data], "card_file_foreign"),
    "nothing but null": (lambda _: None, "card_file_foreign"),
    "another program's data": (lambda _: {"version": 3, "tasks": [{"done": True}]}, "card_file_foreign"),
    "no cards": (without("jobs"), "card_file_missing"),
    "cards by name": (at("jobs", to={"a": 1}), "card_file_list"),
    "a card of null": (at(*JOB, to=None), "card_file_object"),
    "a card of a newer kind": (at(*JOB, "schema", to=2), "card_file_one"),
    "an unknown entry": (at(*JOB, "owner", to="x"), "card_file_unknown"),
    "an unknown entry at the top": (at("plugins", to=[]), "card_file_unknown"),
    "a name of a number": (at(*JOB, "name", to=7), "card_file_text"),
    "a very long name": (at(*JOB, "name", to="x" * 501), "card_file_long"),
    "an id that is a way": (at(*JOB, "id", to="../../x"), "card_file_id"),
    "an id with script": (at(*JOB, "id", to=HOSTILE), "card_file_id"),
    "an id of every object": (at(*JOB, "id", to="constructor"), "card_file_id"),
    "a step of every object": (at(*JOB, "steps", "constructor", to={}), "card_file_key"),
    "time in words": (at(*JOB, "made", to="yesterday"), "card_file_number"),
    "time before time": (at(*JOB, "made", to=-1), "card_file_range"),
    "time beyond all": (at(*JOB, "steps", "rail", "done", to=1e300), "card_file_range"),
    "half a piece": (at(*JOB, "ends", "end-1", "count", to=1.5), "card_file_whole"),
    "more closed than there are": (at(*JOB, "ends", "end-1", "closed", to=4), "card_file_pieces"),
    "an unknown kind of end": (at(*JOB, "ends", "end-1", "kind", to="bomb"), "card_file_one"),
    "a gate of one's own": (at(*JOB, "steps", "rail", "gate", to="none"), "card_file_one"),
    "a step in no stage": (at(*JOB, "steps", "rail", "stage", to="stage-9"), "card_file_link"),
    "an end at no step": (at(*JOB, "ends", "end-1", "step", to="nowhere"), "card_file_link"),
    "a mark out of shape": (at(*JOB, "rounds", "round-1", "marks", to={"first": 1}), "card_file_mark"),
    "an adapter of text": (at(*JOB, "rounds", "round-1", "adapter", to="yes"), "card_file_object"),
    "a figure elsewhere": (at(*JOB, "kept", "kept-1", "figure", to="../../"), "card_file_id"),
    "a history that sets the id": (
        at(*JOB, "history", "a-1", to={**PAST, "sets": [{"path": ["id"], "from": "a", "to": "b"}]}),
        "card_file_past",
    ),
    "a history that reaches for all objects": (
        at(*JOB, "history", "a-1", to={**PAST, "sets": [{"path": ["__proto__", "x"], "to": 1}]}),
        "card_file_past",
    ),
    "a history that would bring in a wrong type": (
        at(*JOB, "history", "a-1", to={**PAST, "sets": [{"path": ["name"], "from": {"x": 1}, "to": "b"}]}),
        "card_file_text",
    ),
    "a history of something that is not there": (
        at(
            *JOB,
            "history",
            "a-1",
            to={**PAST, "sets": [{"path": ["steps", "gone", "done"], "from": 0, "to": 1}]},
        ),
        "card_file_past",
    ),
    "a history too long": (
        at(*JOB, "history", to={f"a-{n}": {**PAST, "sets": []} for n in range(201)}),
        "card_file_many",
    ),
    "a card twice": (doubled("jobs"), "card_file_same_id"),
    "a photo twice": (doubled("photos"), "card_file_same_id"),
    "a photo of no card": (at("photos", 0, "job", to="card-9"), "card_file_link"),
    "a photo that is a page": (at("photos", 0, "type", to="text/html"), "card_file_one"),
    "a photo that is a drawing with script": (at("photos", 0, "type", to="image/svg+xml"), "card_file_one"),
    "a photo of something else": (at("photos", 0, "data", to="PHNjcmlwdD4="), "card_file_picture"),
    "a photo cut short": (
        lambda data: at("photos", 0, "data", to=data["photos"][0]["data"][:-3])(data),
        "card_file_base64",
    ),
    "a set-up in use that is not there": (at("kept", "setup", to="set-9"), "card_file_link"),
    "a fact of somebody else": (at("kept", "password", to="x"), "card_file_unknown"),
}
# name -> (what is done to the right text, key)
TEXT: dict[str, tuple[Callable[[str], str], str]] = {
    "empty": (lambda _: "", "card_file_empty"),
    "blank": (lambda _: "\ufeff \n", "card_file_empty"),
    "cut in the middle": (lambda text: text[: len(text) // 2], "card_file_cut"),
    "cut before the last bracket": (lambda text: text.rstrip()[:-1], "card_file_cut"),
    "a page of a portal": (lambda _: "<!doctype html><title>Log in</title>", "card_file_broken"),
    "a comma too many": (lambda text: text.replace('"jobs": [', '"jobs": [,'), "card_file_broken"),
    "something behind the end": (lambda text: text + "{}", "card_file_broken"),
    "twice the same entry": (
        lambda text: text.replace('"made"', '"schema": 1, "made"', 1),
        "card_file_twice",
    ),
    "an entry of all objects": (
        lambda text: text.replace('"made"', '"__proto__": {"x": 1}, "made"', 1),
        "card_file_unknown",
    ),
    "deeper than deep": (lambda _: "[" * 100000, "card_file_deep"),
    "a number too large for a number": (
        lambda text: re.sub(r'"made": \d+', '"made": 1e999', text, count=1),
        "card_file_number",
    ),
}


@pytest.fixture(scope="module")
def right(full: Page) -> str:
    return exported(full)


@pytest.fixture(scope="module")
def here(chromium: Browser, host: FaultyServer) -> Iterator[Page]:
    """The phone on which the broken files are tried: it has a card of its own."""
    phone = chromium.new_context()
    page = opened(phone, host)
    page.evaluate(FRESH, TEMPLATE)
    page.evaluate("cards.addJob(card)")
    yield page
    phone.close()


@pytest.mark.parametrize("name", [*DATA, *TEXT])
def test_F59_a_broken_file_gets_a_sentence_and_changes_nothing(here, right, words, name):
    if name in DATA:
        change, key = DATA[name]
        text = json.dumps(change(copy.deepcopy(json.loads(right))))
    else:
        rewrite, key = TEXT[name]
        text = rewrite(right)
    assert text != right
    before = everything(here)
    problems = looked_at(here, text)
    assert problems[0]["key"] == key, problems
    for problem in problems:
        sentence = words[problem["key"]].format(**problem["fields"])
        assert SENTENCE.match(sentence), sentence
        assert len(sentence) < 400
    assert everything(here) == before
    assert here.evaluate("({}).x === undefined")


def test_F59_bytes_that_are_no_text_and_a_file_too_large_to_read_get_a_sentence(here):
    for encoding in ("utf-16", "latin-1"):
        raw = list('{"format": "cowlside", "name": "ä"}'.encode(encoding))
        found = here.evaluate("(raw) => file.readFile(new Blob([new Uint8Array(raw)]))", raw)
        assert [problem["key"] for problem in found["problems"]] == ["card_file_encoding"]
    large = here.evaluate("file.readFile({size: fileShape.MOST_BYTES + 1})")
    assert large["problems"] == [{"key": "card_file_large", "fields": {"size": 129, "most": 128}}]
    moved = here.evaluate(
        "file.readFile({size: 5, arrayBuffer: async () => { throw new DOMException('', 'NotReadableError') }})"
    )
    assert [problem["key"] for problem in moved["problems"]] == ["card_file_unreadable"]


def test_F59_a_file_with_hundreds_of_faults_tells_twenty_and_how_many_more(here, right):
    data = json.loads(right)
    data["jobs"] = [None] * 500
    problems = looked_at(here, json.dumps(data))
    assert len(problems) == 21
    assert problems[20] == {"key": "card_file_more", "fields": {"number": 480}}


def test_F59_a_right_file_is_read_with_a_byte_order_mark_other_blanks_and_entries_in_any_order(here, right):
    data = json.loads(right)
    turned = "\ufeff" + json.dumps(dict(reversed(data.items())), indent="\t").replace("\n", "\r\n") + "\r\n"
    assert looked_at(here, turned) == []


def test_F59_a_place_in_the_file_is_a_pointer_with_its_signs_escaped(here, right):
    """RFC 6901, section 3: '~' is written '~0' and '/' is written '~1'; lists count from 0 (section 4)."""
    data = json.loads(right)
    data["jobs"][0]["steps"]["a/b~c"] = {}
    assert looked_at(here, json.dumps(data))[0]["fields"]["where"] == "/jobs/0/steps/a~1b~0c"


SCHEMAS = REPO / "tests" / "browser" / "card_files"


def test_F59_there_is_a_file_of_every_schema_that_was_released(here):
    names = sorted(path.name for path in SCHEMAS.iterdir())
    assert names == [f"schema-{n}.json" for n in range(1, here.evaluate("fileShape.SCHEMA") + 1)]


@pytest.mark.parametrize("path", sorted(SCHEMAS.iterdir()), ids=lambda path: path.stem)
def test_F59_a_file_of_each_schema_comes_in_whole(page, path):
    text = path.read_text(encoding="utf-8")
    assert imported(page, text)["outcome"]["kept"] is True
    card = page.evaluate("inUse.jobInUse()")
    assert card["name"] == "Blower on the harbour wagon"
    assert page.evaluate("(card) => shape.faults(shape.JOB, card)", card) == []
    assert (
        page.evaluate("cards.looseEnds().then(({ends, pieces}) => [ends, pieces])"),
        page.evaluate("store.readAll('photos').then((all) => all.size)"),
    ) == ([1, 1], 1)


# -- the reader of JSON -----------------------------------------------------------------------------------------------------

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**40), 2**40) | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=20,
)  # fmt: skip


@DRAWN
@given(VALUES, st.integers(0, 10**6), st.sampled_from('{}[]":,\\e.-0 \n'))
def test_what_the_browser_s_own_reader_takes_is_taken_alike_and_what_it_refuses_is_refused(
    here: Page, value: Any, place: int, mark: str
):
    text = json.dumps(value, ensure_ascii=place % 2 == 0)
    where = place % (len(text) + 1)
    found = here.evaluate(
        """(texts) => texts.map((text) => {
          let theirs;
          try { theirs = {value: JSON.parse(text)}; } catch { theirs = null; }
          const ours = json.readJson(text);
          // Deeper than allowed, or a name twice: refused here alone.
          if (['card_file_deep', 'card_file_twice'].includes(ours.problem?.key)) return true;
          return 'value' in ours ? theirs && JSON.stringify(ours.value) === JSON.stringify(theirs.value) : theirs === null;
        })""",
        [text, text[:where] + mark + text[where:], text[:where], text[:where] + text[where + 1 :]],
    )
    assert found == [True] * 4


# -- the page about it --------------------------------------------------------------------------------------------------------

SECTIONS = {
    "The file": (),
    "A card": ("jobs", 0),
    "A stage": ("jobs", 0, "stages", "stage-1"),
    "A step": ("jobs", 0, "steps", "rail"),
    "A loose end": ("jobs", 0, "ends", "end-1"),
    "A thing noted": ("jobs", 0, "entries", "entry-1"),
    "A torque round": ("jobs", 0, "rounds", "round-1"),
    "An answer kept": ("jobs", 0, "kept", "kept-1"),
    "A set-up": ("setups", 0),
    "In use": ("kept",),
    "A photo": ("photos", 0),
}


@pytest.fixture(scope="module")
def document() -> str:
    return (REPO / "content" / "help" / "export-file.md").read_text(encoding="utf-8")


def documented(document: str, title: str) -> set[str]:
    section = document.split(f"\n## {title}\n")[1].split("\n## ")[0]
    heads = re.findall(r"^- ((?:`\w+`(?:, )?)+):", section, re.MULTILINE)
    return {name for head in heads for name in re.findall(r"`(\w+)`", head)}


@pytest.mark.parametrize("title", SECTIONS)
def test_the_page_names_exactly_what_is_written(document, right, title):
    value = json.loads(right)
    for key in SECTIONS[title]:
        value = value[key]
    assert documented(document, title) == set(value)


def test_the_page_names_exactly_what_is_written_of_photos_actions_and_adapters(document, right):
    job = json.loads(right)["jobs"][0]
    assert documented(document, "A photo on a card") == set(next(iter(job["photos"].values())))
    assert documented(document, "An action") == set(next(iter(job["history"].values())))
    written = {key for past in job["history"].values() for one in past["sets"] for key in one}
    assert written == {"path", "from", "to"}
    said = document.split("- `adapter`:")[1].split("\n- ")[0]
    assert set(re.findall(r"`(\w+)`", said)) - {"null"} == set(job["rounds"]["round-1"]["adapter"])
    kinds = document.split("- `kind`:")[1].split("\n- ")[0]
    source = (REPO / "static" / "js" / "lib" / "job-shape.js").read_text(encoding="utf-8")
    named = re.search(r"END_KINDS = .*?\[(.*?)\]\)", source, re.DOTALL)
    assert named
    assert re.findall(r"`(\w+)`", kinds) == re.findall(r'"(\w+)"', named[1])


def test_the_example_on_the_page_is_a_right_file(document, page):
    example = document.split("```json\n")[1].split("```")[0]
    assert looked_at(page, example) == []
    assert imported(page, example)["outcome"]["kept"] is True
    assert page.evaluate("cards.looseEnds().then(({pieces}) => pieces)") == 1


def test_every_sentence_that_a_fault_can_have_is_written(words):
    scripts = "".join(
        (REPO / "static" / "js" / "lib" / f"{name}.js").read_text(encoding="utf-8")
        for name in ("job-shape", "file-shape", "json-text", "job-file", "photos")
    )
    whole = set(re.findall(r'"(card_file_[a-z]\w*)"', scripts))
    parts = set(re.findall(r'(?:told\(|what: |what: bytes \? |"picture" : )"([a-z]\w*)"', scripts)) - whole
    photo = set(re.findall(r'\bno\("([a-z]+)"', scripts))
    assert (len(whole) > 10, len(parts) > 15, photo) == (
        True,
        True,
        {"empty", "large", "impossible", "unreadable"},
    )
    wanted = whole | {f"card_file_{part}" for part in parts} | {f"card_photo_{part}" for part in photo}
    assert sorted(wanted - set(words)) == []


# -- a table of readings --------------------------------------------------------------------------------------------------------


def test_F58_readings_come_as_a_table_that_python_s_reader_reads_back_and_no_cell_is_a_formula(full, words):
    """RFC 4180: CR LF, quotes doubled. What begins like a formula (OWASP's list: = + - @ tab, carriage return) is made a text."""
    values = ["=1+1", "+49", "-3.5", "@x", "\t=1", "\r=1", " =1", '"quoted", here', "two\nlines", "13", "＝1"]
    text = full.evaluate(
        """async ([words, values]) => {
          let card = await cards.readJob('card-full');
          values.forEach((value, n) => { card = M(card, deeds.addEntry(card, `csv-${n}`, {step: 'plugs', sort: 'reading', label: 'x', value, unit: 'psi'}, 3000 + n)); });
          return csv.readingsCsv([card], words);
        }""",
        [dict(words), values],
    )
    assert text.startswith("\ufeffCard,Stage,Step,What,Name,Value,Unit,Page of the manual,Time (UTC)\r\n")
    head, *rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    assert {len(row) for row in rows} == {len(head)}
    assert [row[5].removeprefix("'") for row in rows][-len(values) :] == values
    assert [cell for row in rows for cell in row if re.match(r"[\s]*[=+\-@＝＋－＠]", cell)] == []
    assert rows[0][1:8] == ["Take apart", "Take the rail off.", "reading", "Rail pressure", "43.5", "psi", ""]
    assert rows[1][3:8] == ["from the manual", "Rail bolts", "13", "lbf·ft", "4-17"]
    assert "ZX-81" not in text  # deleted
