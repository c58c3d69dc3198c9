"""Whoever is led to a hazard meets its sheet: a Figure, a table or a step of a job that speaks of fuel, coolant, a belt, a battery,
grinding, a start or a road pull names one of the sheets on it.

The words of the work stand in content/hazards.md. A text that only borrows one of them stands in EXCEPTIONS with the reason.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from webapp.book import Book
from webapp.content.front_matter import Text, read_document
from webapp.content.hazards import read_hazards
from webapp.content.job_records import ASKS, LISTS
from webapp.content.markdown import render_line
from webapp.paths import content_dir

HAZARDS = read_hazards(
    read_document("hazards.md", (content_dir() / "hazards.md").read_text(encoding="utf-8"), []), []
).hazards


def _any(phrases: list[Text]) -> re.Pattern[str]:
    """Finds whole phrases, in small letters or large; their words may be parted by a hyphen or the end of a line."""
    patterns = (r"[\s-]+".join(map(re.escape, re.split(r"[\s-]+", phrase))) for phrase in phrases)
    return re.compile(rf"\b(?:{'|'.join(patterns) or '(?!)'})\b", re.IGNORECASE)


# topic -> (words that lead to it, what does not count as one, sheets of which one must be named)
TOPICS: dict[str, tuple[re.Pattern[str], re.Pattern[str], set[str]]] = {
    str(one.id): (_any(one.words), _any(one.besides), {str(sheet) for sheet in one.sheets}) for one in HAZARDS
}

CONVERTS = "turns one number into another, or lists numbers: nothing is opened, driven or touched"
NEXT = (
    "names the part as the next thing to look at; no line is opened, and the Figure on it carries the sheet"
)
BORROWED = "the word says where a number comes from or what else shares the trouble, not what is worked on"
WARNS = "the word stands in a warning of its own, or of the sheet that the page has"
LINKED = "one sentence in passing, with the way to the sheet in it"

# reason -> (page, topic)
EXCEPTIONS: dict[str, set[tuple[str, str]]] = {
    CONVERTS: {
        *((page, "fuel") for page in ("any-unit", "injector-units", "octane-scales")),
        *((page, "fuel") for page in ("dial-scales", "injector-ratings", "octane-numbers")),
        *((page, "fuel-line") for page in ("injector-units", "injector-ratings")),
        *((page, "fuel-line") for page in ("fuel-viscosity", "fuels")),
        ("any-unit", "belt"),
        ("fluid-volumes", "coolant"),
    },
    NEXT: {
        *((page, "fuel-line") for page in ("flow-altitude", "boost-from-speed", "fuel-blend", "wire-drop")),
        *((page, "fuel-line") for page in ("injector-duty", "trim-effect", "false-lean")),
        ("fuel-headroom", "battery"),
    },
    BORROWED: {
        *((page, "belt") for page in ("pressure-ratio", "density-gain", "flow-altitude", "fuel-demand")),
        *((page, "running-engine") for page in ("wire-drop", "wire-size")),
        ("trim-effect", "battery"),
        ("thread-engagement", "coolant"),
        *(("sealant-cure", topic) for topic in ("fuel", "fuel-line")),
    },
    WARNS: {
        ("drill-and-wrench", "fuel"),
        ("spill-vapour", "lifting"),
        ("nut-factors", "grinding"),
        ("flare-and-hose", "solvent"),
    },
    LINKED: {("clamp-load", "grinding")},
}


def strings(node: Any) -> Iterator[str]:
    """Every text a reader meets in a part of the Book; where something comes from is no step of work."""
    if isinstance(node, str):
        # The name of another page is no step either; that page has its own sheets.
        yield html.unescape(re.sub(r"<a [^>]*>.*?</a>|<[^>]*>", " ", node, flags=re.DOTALL))
    elif isinstance(node, Mapping):
        for key, value in node.items():
            if key not in ("sources", "checks", "constants", "needs"):
                yield from strings(value)
    elif isinstance(node, list):
        for value in node:
            yield from strings(value)


def topics_in(text: str) -> set[str]:
    return {topic for topic, (words, besides, _) in TOPICS.items() if words.search(besides.sub("·", text))}


def unguarded(text: str, needs: set[str]) -> set[str]:
    """Topics of a text on which none of its sheets is."""
    return {topic for topic in topics_in(text) if not TOPICS[topic][2] & needs}


def pages(book: Book) -> Iterator[tuple[str, str, list[str]]]:
    """(name, text, sheets) of every Figure and table."""
    texts = book.texts["en"]
    for name, figure in book.figures.items():
        yield name, " | ".join(strings(texts["figures"][name])), list(figure.needs)
    for name, text in texts["tables"].items():
        yield name, " | ".join([*strings(text), *strings(book.tables[name]["rows"])]), list(text["needs"])


def excepted() -> set[tuple[str, str]]:
    return set().union(*EXCEPTIONS.values())


def test_no_figure_and_no_table_that_leads_to_a_hazard_lacks_its_sheet(book: Book) -> None:
    lacking = {(name, topic) for name, text, needs in pages(book) for topic in unguarded(text, set(needs))}
    assert sorted(lacking - excepted()) == []


def test_every_exception_is_needed(book: Book) -> None:
    lacking = {(name, topic) for name, text, needs in pages(book) for topic in unguarded(text, set(needs))}
    assert sorted(excepted() - lacking) == []


def test_a_sheet_that_is_only_linked_is_linked(book: Book) -> None:
    for name, topic in EXCEPTIONS[LINKED]:
        assert any(
            f"cautions/{sheet}" in book.texts["en"]["figures"][name]["body"] for sheet in TOPICS[topic][2]
        )


def test_no_page_is_buried_under_its_sheets(book: Book) -> None:
    """More than three are not read (our own judgement)."""
    assert [name for name, _, needs in pages(book) if len(needs) > 3 or len(set(needs)) != len(needs)] == []


def test_every_sheet_of_the_lists_is_there_and_every_sheet_that_guards_work_is_in_a_list(book: Book) -> None:
    listed = set().union(*(sheets for _, _, sheets in TOPICS.values()))
    assert sorted(listed - set(book.cautions)) == []
    assert sorted(set(book.cautions) - listed) == ["leaving-the-work"]  # it closes a day, no single step


# -- jobs ----------------------------------------------------------------------------------------------------


# Keys of a template that hold names of other things, or of kinds: no text that somebody reads.
NAMES = {"needs", "id", "order", "gate", "closes", "kind", "in", "count", "figure", "given", "pattern"}


def unguarded_steps(source: str) -> list[tuple[str, str]]:
    """(text, topic) of every text of a template that no `needs` guards. A step's texts are guarded by the step's own sheets; what is said
    of a stage, and of the whole job, by those of the steps in it, as the page shows them in front."""
    _, front, body = source.split("---\n", 2)
    job = yaml.safe_load(front)
    found = list(_unguarded_in(job, set()))
    for paragraph in body.split("\n\n"):
        text = " ".join(strings(render_line(paragraph)))
        found += [(text, topic) for topic in sorted(unguarded(text, sheets_in(job)))]
    return found


def sheets_in(node: Any) -> set[str]:
    """Every sheet that a part of a template needs, however deep in it."""
    if isinstance(node, Mapping):
        return set(node.get("needs") or []).union(*(sheets_in(value) for value in node.values()))
    return set().union(*(sheets_in(value) for value in node)) if isinstance(node, list) else set()


def _unguarded_in(node: Any, above: set[str]) -> Iterator[tuple[str, str]]:
    if isinstance(node, Mapping):
        own = above | set(node.get("needs") or [])
        for key, value in node.items():
            if key in ("stages", "steps"):
                yield from _unguarded_in(value, own)
            elif key not in NAMES:
                yield from _unguarded_in(value, own | sheets_in(node))
    elif isinstance(node, list):
        for value in node:
            yield from _unguarded_in(value, above)
    elif isinstance(node, str):
        yield from ((node, topic) for topic in sorted(unguarded(node, above)))


def test_no_step_of_a_job_that_leads_to_a_hazard_lacks_its_sheet() -> None:
    lacking = {
        path.name: found
        for path in sorted((content_dir() / "jobs").glob("*.md"))
        if (found := unguarded_steps(path.read_text(encoding="utf-8")))
    }
    assert lacking == {}


@pytest.mark.parametrize(
    ("step", "topic"),
    [
        ("Take the injectors out.", "fuel-line"),
        ("Drain the coolant.", "coolant"),
        ("Slip the belt off.", "belt"),
        ("Lay the fuse beside the battery.", "battery"),
        ("Drill the broken stud out.", "grinding"),
        ("Lower the car onto axle stands.", "lifting"),
        ("Wipe it with brake cleaner.", "solvent"),
        ("Hook the throttle cable in.", "throttle-cable"),
        ("Now the first start.", "first-start"),
        ("Read it with the engine running.", "running-engine"),
        ("Log one pull, a passenger reads.", "road-pull"),
    ],
)
def test_a_step_without_its_sheet_is_found_and_one_with_it_is_not(step: str, topic: str) -> None:
    bare = f'---\ntitle: A job\nstages:\n  - steps:\n      - {{do: "{step}"}}\n---\nText.\n'
    assert (step, topic) in unguarded_steps(bare)
    sheets = sorted(set().union(*(TOPICS[one][2] for one in topics_in(step))))
    guarded = bare.replace(f'"{step}"', f'"{step}", needs: [{", ".join(sheets)}]')
    assert unguarded_steps(guarded) == []


@pytest.mark.parametrize(
    "entry",
    [
        'note: "{}"',
        *(f'{name}: ["{{}}"]' for name in LISTS),
        *(f'{name}: [{{{{label: "{{}}", kind: volume, in: L}}}}]' for name in ASKS),
        'ends: [{{kind: own, place: "{}", note: here}}]',
        'ends: [{{kind: own, place: here, note: "{}"}}]',
        'figures: [{{figure: coolant-mix, given: {{now: 25 %}}, label: "{}"}}]',
        'round: {{label: "{}", pattern: rows, across: 5, down: 2}}',
        'round: {{label: Lid, pattern: rows, across: 5, down: 2, note: "{}"}}',
        'finds: ["{}"]',
    ],
)
def test_every_text_of_a_step_is_looked_at(entry: str) -> None:
    bare = (
        "---\nstages:\n  - steps:\n      - do: Go on.\n        "
        + entry.format("Drain the coolant.")
        + "\n---\n"
    )
    assert unguarded_steps(bare) == [("Drain the coolant.", "coolant")]
    guarded = bare.replace("do: Go on.", "do: Go on.\n        needs: [opening-the-cooling-system]")
    assert unguarded_steps(guarded) == []


def test_a_step_is_not_guarded_by_the_sheet_of_its_neighbour_but_what_stands_above_both_is() -> None:
    job = (
        "---\ntitle: Coolant\nstages:\n  - title: Coolant out\n    steps:\n"
        "      - {do: Drain the coolant., needs: [opening-the-cooling-system]}\n      - {do: Pour coolant.}\n---\nCoolant.\n"
    )
    assert unguarded_steps(job) == [("Pour coolant.", "coolant")]


def test_a_jobs_own_text_is_looked_at_too() -> None:
    (found,) = unguarded_steps(
        "---\ntitle: A job\nstages:\n  - steps:\n      - {do: Go on., needs: [fire]}\n---\nText.\n\nOpen the *radiator*.\n"
    )
    assert found[1] == "coolant"


def test_no_step_is_buried_under_its_sheets(book: Book) -> None:
    """More than three are not read (our own judgement)."""
    steps = [step for job in book.jobs.values() for stage in job["stages"] for step in stage["steps"]]
    assert steps
    assert [step["id"] for step in steps if len(step["needs"]) > 3] == []


def test_the_folder_of_the_jobs_is_the_one_that_is_looked_into(tmp_path: Path, monkeypatch: Any) -> None:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "belt.md").write_text("---\ntitle: Change the belt\n---\nText.\n", encoding="utf-8")
    monkeypatch.setenv("COWLSIDE_CONTENT", str(tmp_path))
    with pytest.raises(AssertionError, match="belt"):
        test_no_step_of_a_job_that_leads_to_a_hazard_lacks_its_sheet()
