"""One language's index as plain data, made from the Book: js/finder.LANG.js on the phone, read as it is by the server.

kinds      names of the kinds of quantity, which the rest names by their numbers
figures    [id, title, summary, finds, further words of labels, inputs, kinds of the other inputs and of the answers];
           inputs [[kind, name, label, unit, low, high]]: the first of each kind, with the range that the Figure holds for
           in that unit, named by its place in the kind's list
emergency  [id, title, finds] of each part, and the page's own title in front: [title, [parts]]
cautions   [id, title, sentence, finds]
tables     [id, title, summary, finds, words of the columns, [row, label, row, label, …]]
jobs       [id, title, summary, finds, [[step, what to do, finds]]] of each template
help       [path, title, summary]
glossary   [anchor, word, first sentence, finds]
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ..book import Book
from ..figures.model import Figure
from .fold import words_of

Data = dict[str, Any]


def index_data(book: Book, lang: str) -> Data:
    """The index of one language; the same Book gives the same data."""
    texts, kinds = book.texts[lang], list(book.units["kinds"])
    return {
        "kinds": kinds,
        "figures": [
            _figure(book, figure, texts["figures"][name], kinds) for name, figure in book.figures.items()
        ],
        "emergency": [
            texts["emergency"]["title"],
            [[part["id"], part["title"], part["finds"]] for part in texts["emergency"]["parts"]],
        ],
        "cautions": [_caution(name, texts) for name in _by_order(book.cautions)],
        "tables": [_table(name, texts) for name in _by_order(texts["tables"])],
        "jobs": [_job(name, book, texts) for name in book.jobs],
        "help": _help(texts),
        "glossary": [
            [term["id"], term["word"], term["says"], term["finds"]] for term in texts["glossary"]["terms"]
        ],
    }


def _figure(book: Book, figure: Figure, text: Data, kinds: list[str]) -> list[Any]:
    inputs: dict[str, list[Any]] = {}
    for take in figure.takes:
        if take.is_numeric and take.kind not in inputs:
            label = text["labels"][take.name]["label"]
            unit = book.units["units"][take.unit]
            place = book.units["kinds"][take.kind]["units"].index(take.unit)
            limits = [_written(limit, unit) for limit in (take.low, take.high)]
            inputs[take.kind] = [kinds.index(take.kind), take.name, label, place, *limits]
    told = [text["title"], text["summary"], *text["finds"], *(row[2] for row in inputs.values())]
    labels = [entry["label"] for entry in text["labels"].values()]
    of_kinds = {take.kind for take in figure.takes} | {give.kind for give in figure.gives}
    others = of_kinds - {"", *inputs}
    numbers = sorted(kinds.index(kind) for kind in others)
    return [
        figure.id,
        text["title"],
        text["summary"],
        text["finds"],
        _further(labels, told),
        list(inputs.values()),
        numbers,
    ]


def _caution(name: str, texts: Data) -> list[Any]:
    text = texts["cautions"][name]
    return [name, text["title"], text["says"], text["finds"]]


def _table(name: str, texts: Data) -> list[Any]:
    text = texts["tables"][name]
    told = [text["title"], text["summary"], *text["finds"]]
    columns = _further(text["columns"].values(), told)
    rows = [part for pair in texts["row_labels"][name].items() for part in pair]
    return [name, text["title"], text["summary"], text["finds"], columns, rows]


def _job(name: str, book: Book, texts: Data) -> list[Any]:
    text = texts["jobs"][name]
    steps = [step["id"] for stage in book.jobs[name]["stages"] for step in stage["steps"]]
    said = [step for stage in text["stages"] for step in stage["steps"]]
    rows = [[step, words["do"], words["finds"]] for step, words in zip(steps, said, strict=True)]
    return [name, text["title"], text["summary"], text["finds"], rows]


def _help(texts: Data) -> list[list[str]]:
    pages = [(f"help/{name}/", texts["pages"][name]) for name in _by_order(texts["pages"])]
    pages += [(f"{name}/", texts[name]) for name in ("glossary", "changes")]
    return [[path, text["title"], text["summary"]] for path, text in pages]


def _further(labels: Iterable[str], told: Iterable[str]) -> str:
    """The words of labels that nothing told already holds, each once; of one or two letters only where they are not mere letters."""
    known = {word for text in told for word in words_of(text)}
    words = dict.fromkeys(word for text in labels for word in words_of(text))
    return " ".join(word for word in words if word not in known and not (len(word) < 3 and word.isalpha()))


def _written(si: float, unit: Data) -> float | int:
    """A limit as its file writes it; going to SI and back adds noise behind twelve digits."""
    found = float(f"{(si - unit['offset']) / unit['factor']:.12g}") + 0.0
    return int(found) if found.is_integer() and abs(found) < 1e15 else found


def _by_order(texts: Data) -> list[str]:
    return sorted(texts, key=lambda name: (texts[name]["order"], name))
