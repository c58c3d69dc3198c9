"""Templates of jobs: as pages to be read and printed, and as the phone's module js/jobs.LANG.js."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from ..book import Book
from ..content.job_records import ASKS, LISTS, ORDERS
from .excerpts import Context, caution_list, listed
from .links import Links

# More strips than these on top of a page are not read (our own judgement); the others follow folded, and each step names its own.
STRIPS = 3
# A sheet is sent once, though a hundred steps need it.
_GIVE_SHEETS = """for (const job of Object.values(JOBS)) {
  for (const step of job.stages.flatMap((stage) => stage.steps)) if (step.needs) step.needs = step.needs.map((id) => SHEETS[id]);
}
"""
# Keys of a step as the phone gets it; what holds nothing is left out.
_KEYS = ("id", "do", "note", "needs", "gate", *LISTS, *ASKS, "ends", "closes", "figures", "round")


def jobs_context(book: Book, lang: str, links: Links) -> Context:
    """What jobs.html, and the pages that a card is drawn on, get beside what all templates get."""
    return {"jobs": listed(book.texts[lang]["jobs"], "job", links)}


def job_context(book: Book, lang: str, name: str, links: Links) -> Context:
    """What job.html gets beside what all templates get."""
    text = book.texts[lang]["jobs"][name]
    cautions = caution_list(book, lang, sheets_of(book, name), links)
    stages = [
        {**stage, "number": n, "steps": [_shown(book, lang, step, links) for step in stage["steps"]]}
        for n, stage in enumerate(stages_of(book, lang, name), 1)
    ]
    return {
        "job": {
            "id": name,
            "stages": stages,
            "basis": links.in_html(text["basis"]),
            "body": links.in_html(text["body"]),
        },
        "cautions": cautions[:STRIPS],
        "further": cautions[STRIPS:],
    }


def sheets_of(book: Book, name: str) -> list[str]:
    """Every sheet that a step of the job needs, each once."""
    steps = (step for stage in book.jobs[name]["stages"] for step in stage["steps"])
    return list(dict.fromkeys(need for step in steps for need in step["needs"]))


def stages_of(book: Book, lang: str, name: str) -> Iterator[Context]:
    """{title, says, steps} of each stage, structure and texts of a step in one."""
    text = book.texts[lang]["jobs"][name]
    for stage, said in zip(book.jobs[name]["stages"], text["stages"], strict=True):
        steps = [
            _joined(book, lang, one, words) for one, words in zip(stage["steps"], said["steps"], strict=True)
        ]
        yield {"title": said["title"], "says": said["says"], "steps": steps}


def jobs_module(book: Book, lang: str) -> bytes:
    """Exports JOBS: {id: {title, summary, stages: [{title, says, steps}]}}, SHEETS: {id: {id, title, signal, says}} of every
    caution, and HAZARDS: [{words, besides, sheets}]; addresses are below the language.
    """
    texts = book.texts[lang]["jobs"]
    jobs = {
        name: {
            "title": texts[name]["title"],
            "summary": texts[name]["summary"],
            "stages": [
                _without_nothing({**stage, "steps": [_sent(step) for step in stage["steps"]]})
                for stage in stages_of(book, lang, name)
            ],
        }
        for name in book.jobs
    }
    sheets = {
        name: _sheet(book, lang, name)
        for name in sorted(book.cautions, key=lambda one: book.cautions[one]["order"])
    }
    hazards = [{**book.texts[lang]["hazards"][name], "sheets": of} for name, of in book.hazards.items()]
    data = {"SHEETS": sheets, "HAZARDS": hazards, "JOBS": jobs}
    lines = [f"export const {name} = {_quoted(value)};\n" for name, value in data.items()]
    return f"// content/jobs/\n{''.join(lines)}{_GIVE_SHEETS}".encode()


def _quoted(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _joined(book: Book, lang: str, step: Context, text: Context) -> Context:
    """A step's structure and texts as one record; its sheets with their sentences, its Figures as addresses below the language."""
    pair = zip(step["figures"], text["figures"], strict=True)
    return {
        **{key: step[key] for key in ("id", "gate", "closes", "order_query")},
        **{key: text[key] for key in ("do", "note", *LISTS)},
        "needs": [_sheet(book, lang, need) for need in step["needs"]],
        **{name: _both(step[name], [{"label": label} for label in text[name]]) for name in ASKS},
        "ends": _both(step["ends"], text["ends"]),
        "figures": [_figure(book, lang, link, label) for link, label in pair],
        "round": {**text["round"], **step["round"]} if step["round"] else None,
    }


def _both(structures: list[Context], texts: list[Context]) -> list[Context]:
    return [{**said, **made} for made, said in zip(structures, texts, strict=True)]


def _sheet(book: Book, lang: str, name: str) -> Context:
    text = book.texts[lang]["cautions"][name]
    return {
        "id": name,
        "title": text["title"],
        "signal": book.cautions[name]["signal"],
        "says": text["says"],
    }


def _figure(book: Book, lang: str, link: Context, label: str) -> Context:
    title = label or book.texts[lang]["figures"][link["figure"]]["title"]
    query = f"?{link['query']}" if link["query"] else ""
    return {"title": title, "href": f"figures/{link['figure']}/{query}"}


def _shown(book: Book, lang: str, step: Context, links: Links) -> Context:
    """A step with what a page needs beside: links from this page, names of units, the round's own Figure."""
    needs = caution_list(book, lang, [need["id"] for need in step["needs"]], links)
    figures = [{**one, "href": links.to(one["href"])} for one in step["figures"]]
    made = step["round"] and {
        **step["round"],
        "href": links.to(f"figures/{ORDERS}/?{step['order_query']}"),
        "name": book.texts[lang]["row_labels"]["bolt-patterns"][step["round"]["pattern"]],
    }
    symbols = book.units["units"]
    asks = {name: [{**ask, "unit": symbols[ask["in"]]["symbol"]} for ask in step[name]] for name in ASKS}
    return {**step, **asks, "needs": needs, "figures": figures, "round": made}


def _sent(step: Context) -> Context:
    """A step as the phone gets it: nothing empty, no 0 for a count that is not known."""
    kept = {
        **step,
        "needs": [need["id"] for need in step["needs"]],
        "ends": [_without_nothing(end) for end in step["ends"]],
    }
    if step["round"]:
        kept["round"] = _without_nothing(step["round"])
    return _without_nothing({key: kept[key] for key in _KEYS})


def _without_nothing(record: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in record.items() if value}
