"""Which entries a few typed words mean, the likeliest first. static/js/lib/ranking.js is its twin.

The rule, which a test can follow by hand:

1. Each typed word is looked for in the words of every entry. Whole is worth 100, the beginning of a word 60 to 90 by how much of it
   is typed, the inside of a word (from three letters) 20 to 40. That times the weight of the place where the word stands (`WEIGHTS`)
   is what the typed word gives the entry; of several places the best counts. Two neighbours typed apart also count as one word,
   whole or begun.
2. A typed word of letters alone that neither is a word nor begins one may be mistyped: one change from four letters up, two from
   eight. It is worth less than anything that is typed right, and entries with more words typed right stand in front of others.
3. Entries that hold every typed word are found; where there is none, those that hold the most. The words of a table are words of its
   rows too, and those of a template words of its steps, but a row or step is found only where a word of its own is typed as well. A word of letters and figures with which nothing begins is
   taken for two: an6.
4. The sum, the worth of the kind of thing (`KINDS`) and `SAME_PHRASE` for a title or further name that is just what was typed
   decide the order; what is then still equal stands as in the index.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from .fold import pairs_of, phrase_of, words_of

LIMIT = 64  # characters of a query that are looked at
WEIGHTS = {"title": 10, "finds": 10, "id": 7, "labels": 5, "units": 4, "summary": 3, "above": 2}
ABOVE = WEIGHTS["above"]
KINDS = {
    "figure": 200,
    "emergency": 150,
    "caution": 180,
    "table": 150,
    "help": 60,
    "word": 90,
    "job": 170,
    "row": 0,
    "step": 0,
}
SAME_PHRASE = 100
RIGHT = 4096  # added to what a rightly typed word gives, so that no mistyped one comes near
OWN = 2048  # added to what a word of the entry itself gives, not of the table around it


@dataclass(frozen=True)
class Entry:
    """One thing to be found. `path` is its address below the language, `about` what stands under its title."""

    kind: str
    title: str
    path: str
    about: str


@dataclass(frozen=True)
class Found:
    """How many entries are found, the first of them in order, and whether they hold every typed word."""

    count: int
    entries: list[Entry] = field(default_factory=list)
    whole: bool = True


class Ranking:
    """The entries of one index. `units` is the table of kinds and units: a Figure is found by the units it takes."""

    def __init__(self, data: Mapping[str, Any], units: Mapping[str, Any]) -> None:
        self.entries: list[Entry] = []
        self.postings: dict[str, dict[int, int]] = {}
        self.phrases: dict[str, list[int]] = {}
        self._units = [_unit_words(kind, units) for kind in data["kinds"]]
        for figure in data["figures"]:
            self._add_figure(*figure)
        title, parts = data["emergency"]
        for name, part, finds in parts:
            self._add(Entry("emergency", part, f"emergency/#{name}", title), finds, {"summary": [title]})
        for name, caution, says, finds in data["cautions"]:
            fields = {"id": [_spaced(name)], "summary": [says]}
            self._add(Entry("caution", caution, f"cautions/{name}/", says), finds, fields)
        for name, table, summary, finds, labels, _ in data["tables"]:
            fields = {"id": [_spaced(name)], "labels": [labels], "summary": [summary]}
            self._add(Entry("table", table, f"tables/{name}/", summary), finds, fields)
        for name, job, summary, finds, _ in data["jobs"]:
            fields = {"id": [_spaced(name)], "summary": [summary]}
            self._add(Entry("job", job, f"job/{name}/", summary), finds, fields)
        for path, page, summary in data["help"]:
            self._add(Entry("help", page, path, summary), [], {"summary": [summary]})
        for anchor, word, says, finds in data["glossary"]:
            self._add(Entry("word", word, f"glossary/#{anchor}", says), finds, {"summary": [says]})
        for name, table, _, finds, _, rows in data["tables"]:
            for row, label in zip(rows[::2], rows[1::2], strict=True):
                fields = {"id": [_spaced(row)], "above": [table, *finds]}
                self._add(Entry("row", label, f"tables/{name}/#row-{row}", table), [], fields)
        for name, job, _, finds, steps in data["jobs"]:
            for step, says, own in steps:
                # What a step says is a sentence, not a title: its words weigh as those of a summary.
                fields = {"id": [_spaced(step)], "summary": [says], "above": [job, *finds]}
                self._add(Entry("step", says, f"job/{name}/#step-{step}", job), own, fields, titled=False)

    def find(self, query: str, most: int) -> Found:
        """The entries that a query means, `most` of them at most."""
        typed = [part for word in words_of(query[:LIMIT]) for part in self._parted(word)]
        given = [self._given(word) for word in typed]
        for n, pair in enumerate(pairs_of(typed)):
            joined = self._matches(pair, is_pair=True)
            for place in (n, n + 1):
                _keep_best(given[place], joined)
        keys = self._keys(given, self.phrases.get(phrase_of(typed), []))
        # What holds the most of the typed words, and of that what holds the most of them as typed.
        fullest = -min((key[0] for key in keys), default=0)
        kept = sorted(key for key in keys if -key[0] == fullest)
        return Found(len(kept), [self.entries[key[3]] for key in kept[:most]], fullest == len(typed))

    def same(self, query: str, most: int) -> list[Entry]:
        """The entries whose title or further name is just what was typed."""
        numbers = self.phrases.get(phrase_of(words_of(query[:LIMIT])), [])
        return [self.entries[number] for number in dict.fromkeys(numbers)][:most]

    def _keys(self, given: list[dict[int, int]], same: list[int]) -> list[tuple[int, int, int, int]]:
        """(-words held, -of these as typed, -worth, number) of each entry that holds one."""
        keys = []
        for entry in sorted(set().union(*given)):
            held = [gave[entry] for gave in given if entry in gave]
            if not any(gave & OWN for gave in held):
                continue
            worth = sum(gave % OWN for gave in held) + KINDS[self.entries[entry].kind]
            worth += SAME_PHRASE if entry in same else 0
            keys.append((-len(held), -sum(gave >= RIGHT for gave in held), -worth, entry))
        return keys

    def _parted(self, word: str) -> list[str]:
        parts = re.fullmatch(r"([^0-9]+)([0-9].*)", word)
        return (
            [*parts.groups()]
            if parts and not any(other.startswith(word) for other in self.postings)
            else [word]
        )

    def _given(self, word: str) -> dict[int, int]:
        """Entry -> what a typed word gives it."""
        given = self._matches(word)
        if not any(other.startswith(word) for other in self.postings):
            _keep_best(given, self._mistyped(word))
        return given

    def _matches(self, word: str, is_pair: bool = False) -> dict[int, int]:
        given: dict[int, int] = {}
        for other, entries in self.postings.items():
            share = _share(word, other, is_pair)
            if share:
                for entry, weight in entries.items():
                    given[entry] = max(given.get(entry, 0), RIGHT + _gives(share, weight))
        return given

    def _mistyped(self, word: str) -> dict[int, int]:
        most = (len(word) >= 4) + (len(word) >= 8) if not any(mark in "0123456789" for mark in word) else 0
        given: dict[int, int] = {}
        for other, entries in self.postings.items() if most else ():
            share = _near(word, other, most)
            if share:
                for entry, weight in entries.items():
                    given[entry] = max(given.get(entry, 0), _gives(share, weight))
        return given

    # -- making the index -----------------------------------------------------------------------------------------

    def _add_figure(
        self,
        name: str,
        title: str,
        summary: str,
        finds: list[str],
        labels: str,
        inputs: list[Any],
        kinds: list[int],
    ) -> None:
        of_kinds = [*(row[0] for row in inputs), *kinds]
        fields = {
            "id": [_spaced(name)],
            "labels": [labels, *(row[2] for row in inputs)],
            "units": [word for kind in of_kinds for word in self._units[kind]],
            "summary": [summary],
        }
        self._add(Entry("figure", title, f"figures/{name}/", summary), finds, fields)

    def _add(
        self, entry: Entry, finds: list[str], fields: Mapping[str, list[str]], titled: bool = True
    ) -> None:
        number = len(self.entries)
        self.entries.append(entry)
        for phrase in (entry.title, *finds) if titled else finds:
            words = words_of(phrase)
            self.phrases.setdefault(phrase_of(words), []).append(number)
            for word in (*words, *pairs_of(words)):
                self._post(word, number, WEIGHTS["title"])
        for place, texts in fields.items():
            for text in texts:
                for word in words_of(text):
                    self._post(word, number, WEIGHTS[place])

    def _post(self, word: str, entry: int, weight: int) -> None:
        entries = self.postings.setdefault(word, {})
        entries[entry] = max(entries.get(entry, 0), weight)


def _unit_words(kind: str, units: Mapping[str, Any]) -> list[str]:
    """Every name of every unit of a kind, each as one word."""
    named = [units["units"][unit] for unit in units["kinds"][kind]["units"]]
    texts = [text for unit in named for text in (unit["symbol"], *unit["names"])]
    return list(dict.fromkeys("".join(words_of(text)) for text in texts))


def _spaced(name: str) -> str:
    return name.replace("-", " ")


def _keep_best(given: dict[int, int], further: Mapping[int, int]) -> None:
    for entry, gave in further.items():
        given[entry] = max(given.get(entry, 0), gave)


def _gives(share: int, weight: int) -> int:
    return share * weight + (OWN if weight != ABOVE else 0)


def _share(word: str, other: str, is_pair: bool) -> int:
    """What a typed word is worth against a word of the index, in hundredths; 0 where it is not in it."""
    if word == other:
        return 100
    if other.startswith(word):
        return 60 + 30 * len(word) // len(other)
    if not is_pair and len(word) >= 3 and word in other:
        return 20 + 20 * len(word) // len(other)
    return 0


def _near(word: str, other: str, most: int) -> int:
    """What a mistyped word is worth: 22 or 14 for one or two changes of a whole word, 12 or 8 for those of its beginning."""
    if len(other) < len(word) - most:
        return 0
    whole, begun = changes(word, other, most)
    if whole <= most:
        return 30 - 8 * max(whole, 1)
    return 16 - 4 * max(begun, 1) if begun <= most else 0


def changes(word: str, other: str, most: float = math.inf) -> tuple[int, int]:
    """Letters to add, drop, replace or swap with their neighbour to get from `word` to `other`, and to the nearest beginning of it;
    where both are more than `most`, any two numbers above it.

    Source    The distance of F. J. Damerau (1964) in the form in which no letter is changed twice (from memory).
    """
    before: list[int] = []
    row = list(range(len(other) + 1))
    least = 0
    for i, letter in enumerate(word):
        above, row = row, [i + 1]
        for j, against in enumerate(other):
            best = above[j] + (letter != against)
            if above[j + 1] < best:
                best = above[j + 1] + 1
            if row[j] < best:
                best = row[j] + 1
            if i and j and letter == other[j - 1] and word[i - 1] == against and before[j - 1] < best:
                best = before[j - 1] + 1
            row.append(best)
        before, last, least = above, least, min(row)
        # No later row has less than the less of two rows that follow one another.
        if least > most and last > most:
            return least, least
    return row[-1], least
