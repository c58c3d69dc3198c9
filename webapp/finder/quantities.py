"""A number typed with its unit, in every unit of each kind that it can be. static/js/lib/quantities.js is its twin.

What counts as a number and as a unit is decided by `numbers` and `unit_names` alone; here stands what becomes of a text that
belongs to no field and so has no kind of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import zip_longest
from typing import Any
from urllib.parse import quote

from ..figures.display import FULL_DIGITS, echo, exact
from ..figures.numbers import NumberProblem, Reading, read_number, read_quantity, split_quantity
from ..figures.unit_names import near_units, symbols, unit_key, units_asked, units_named

_NEAREST = 4  # units that a wrong one is offered
_SHORTEST = 3  # letters of a wrong unit that can be near another: below that everything is


@dataclass
class Sense:
    """One thing that a typed quantity can be.

    number, unit   as typed, the unit by its symbol
    kinds          titles of the kinds, several where the same number holds for all of them
    sorts          what stands beside such a number: 'gauge', 'absolute' …; empty for a kind that has none
    read_as        the unit's symbol where something else was typed that is also the symbol of another unit, else ''
    others         [{number, unit}]: the same in the other units
    """

    number: str
    unit: str
    kinds: list[str]
    sorts: list[str]
    read_as: str
    others: list[dict[str, str]]


@dataclass
class Link:
    """A Figure filled with the typed quantity: `value`, as the input called `label`."""

    title: str
    path: str
    value: str
    label: str


@dataclass
class Quantity:
    """What a text says as a quantity.

    unit       the unit as typed
    senses     all it can be, empty where it cannot be read
    problem    what is wrong or not yet said, '' for nothing; `choices` are texts that would say it
    links      the Figures that take it
    """

    unit: str = ""
    senses: list[Sense] = field(default_factory=list)
    problem: str = ""
    choices: list[str] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)


class Quantities:
    """Reads quantities in one language: `words` and the mark of decimals are that language's, `data` its index."""

    def __init__(
        self, data: Mapping[str, Any], units: Mapping[str, Any], words: Mapping[str, str], decimal: str
    ) -> None:
        self.data, self.units, self.words, self.decimal = data, units, words, decimal
        self._covering = _covering(units["kinds"])

    def read(self, text: str) -> Quantity | None:
        """The quantity that a text states; None where it states none."""
        number, unit = split_quantity(text)
        if not unit:
            return None
        named = units_named(unit, self.units["kinds"], self.units)
        asked = units_asked(unit, self.units)
        if not named and not asked:
            return None
        found = Quantity(unit)
        try:
            read_number(number)
            # What is typed just as a unit is written comes before what only goes by that name.
            named.sort(key=lambda pair: unit_key(self.units["units"][pair[1]]["symbol"]) != unit_key(unit))
            readings = [(kind, read_quantity(text, kind, self.units, own)) for kind, own in named]
        except NumberProblem as problem:
            found.problem = problem.sentence(self.words)
            found.choices = [
                f"{problem.fields[key]} {unit}" for key in ("type_a", "type_b") if key in problem.fields
            ]
            return found
        if asked:
            names = symbols(asked, self.units)
            found.choices = [f"{number} {name}" for name in names]
            code = "asked_unit" if not named else "also_unit"
            found.problem = NumberProblem(code, unit=unit, choices=names).sentence(self.words)
        groups = self._groups(readings)
        found.senses = [self._sense(unit, readings, group) for group in groups]
        found.links = _in_turn(
            [self._links(number, [pair for pair in readings if pair[0] in group]) for group in groups]
        )
        return found

    def near(self, text: str) -> Quantity | None:
        """What a number with an unknown unit may have meant; None where the text is nothing of the sort, or nothing is near."""
        number, unit = split_quantity(text)
        kinds = self._covering if len(unit) >= _SHORTEST else []
        near = [name for kind in kinds for name in near_units(unit, kind, self.units)]
        names = list(dict.fromkeys(symbols(near, self.units)))[:_NEAREST]
        if not names:
            return None
        problem = NumberProblem("no_unit_near", unit=unit, choices=names).sentence(self.words)
        return Quantity(unit, problem=problem, choices=[f"{number} {name}" for name in names])

    def _groups(self, readings: list[tuple[str, Reading]]) -> list[list[str]]:
        """Kinds whose numbers are the same in every unit: those of one unit that have a sort each, as pressures have."""
        groups: dict[tuple[str, str], list[str]] = {}
        for kind, reading in readings:
            alone = "" if self.units["kinds"][kind]["sort"] else kind
            groups.setdefault((reading.unit, alone), []).append(kind)
        return list(groups.values())

    def _sense(self, typed: str, readings: list[tuple[str, Reading]], group: list[str]) -> Sense:
        kinds, units = self.units["kinds"], self.units["units"]
        reading = next(reading for kind, reading in readings if kind == group[0])
        listed = {"units": list(dict.fromkeys(unit for kind in group for unit in kinds[kind]["units"]))}
        symbol = units[reading.unit]["symbol"]
        meant = {units[other.unit]["symbol"] for _, other in readings}
        is_other = unit_key(typed) != unit_key(symbol) and unit_key(typed) in map(unit_key, meant)
        return Sense(
            number=exact(reading.number, FULL_DIGITS, self.decimal),
            unit=symbol,
            kinds=[kinds[kind]["title"] for kind in group],
            sorts=list(
                dict.fromkeys(
                    self.words[f"sort_{kinds[kind]['sort']}"] for kind in group if kinds[kind]["sort"]
                )
            ),
            read_as=symbol if is_other else "",
            others=echo(reading.si, listed, units, reading.unit, self.decimal),
        )

    def _links(self, number: str, readings: list[tuple[str, Reading]]) -> list[Link]:
        """Each Figure once, under the first kind for which it has an input whose range holds the number."""
        links: dict[str, Link] = {}
        for kind, reading in readings:
            place = self.data["kinds"].index(kind)
            value = f"{number} {self.units['units'][reading.unit]['symbol']}"
            text = quote(value, safe="/").replace("%20", "+")
            for name, title, _, _, _, inputs, _ in self.data["figures"]:
                for at, take, label, own, *limits in inputs:
                    if at == place and name not in links and self._holds(kind, own, limits, reading.si):
                        links[name] = Link(title, f"figures/{name}/?{take}={text}", value, label)
        return list(links.values())

    def _holds(self, kind: str, own: int, limits: list[float], si: float) -> bool:
        """Whether an input whose limits are in the kind's unit number `own` takes a value."""
        unit = self.units["units"][self.units["kinds"][kind]["units"][own]]
        low, high = (limit * unit["factor"] + unit["offset"] for limit in limits)
        return bool(low <= si <= high)


def _in_turn(lists: list[list[Link]]) -> list[Link]:
    """One link of each sense in turn, each Figure once: which sense is meant is not known, and a thumb looks through few."""
    links: dict[str, Link] = {}
    for row in zip_longest(*lists):
        for link in row:
            if link:
                links.setdefault(link.title, link)
    return list(links.values())


def _covering(kinds: Mapping[str, Any]) -> list[str]:
    """Kinds in order that hold every unit between them, less those that bring no further one."""
    seen: set[str] = set()
    kept = []
    for kind, entry in kinds.items():
        if not seen.issuperset(entry["units"]):
            kept.append(kind)
            seen.update(entry["units"])
    return kept
