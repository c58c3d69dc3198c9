"""Units and kinds: from content/units.md through pint to the plain table that server, command line and phone share.

A factor says how many SI units one unit is; SI value = number * factor + offset. pint's parser never sees a text from a file or a
person: a definition is split at `*`, `/` and `**` here and each part must be a unit name that pint itself has.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from ..content.sections import Section
from .natures import NATURES, Dimension, Sort
from .unit_names import unit_key

if TYPE_CHECKING:
    import pint

# Only a plain name, never more of a text, reaches the unit library.
_FACTOR = r"(1|[A-Za-z][A-Za-z0-9_]*)(?:\s*\*\*\s*(-?[1-9]))?"
OFFSET_UNITS = frozenset({"degree_Celsius", "degree_Fahrenheit"})
# pint's names of base dimensions, in the words that messages use.
_BASES = {
    "[mass]": "mass",
    "[length]": "length",
    "[time]": "time",
    "[temperature]": "temperature",
    "[current]": "current",
}


@cache
def _registry() -> pint.UnitRegistry[Any]:
    # One registry a process, without a cache folder, since the home may not be writable.
    import pint

    return pint.UnitRegistry(cache_folder=None, autoconvert_offset_to_baseunit=True)


class Units:
    """The table of units and kinds. `table` is the JSON-able form given to the phone (see the address-free
    description in `read_units`).
    """

    def __init__(self, table: dict[str, Any], dimensions: dict[str, Dimension]) -> None:
        self.table, self._dimensions = table, dimensions

    def sort_of(self, kind: str) -> Sort:
        """Dimension and nature of a kind; KeyError for an unknown kind."""
        return Sort(self._dimensions[kind], self.table["kinds"][kind]["nature"])

    def has_kind(self, kind: str) -> bool:
        return kind in self.table["kinds"]

    @property
    def kinds(self) -> list[str]:
        return list(self.table["kinds"])


def read_units(section: Section) -> Units:
    """The units table of a front matter.

    Returns   Units whose `table` is {"kinds": {kind: {title, sort, nature, units}}, "units": {id: {symbol, factor, offset, names,
              spoken}}, "asked": {text: [unit ids]}}; problems go to the section's list.
    """
    section.text("title")
    units: dict[str, Any] = {}
    dimensions: dict[str, Dimension] = {}
    declared: set[str] = set()
    for name, entry in section.named("units", True):
        declared.add(str(name))
        found = _read_unit(str(name), entry)
        if found:
            units[str(name)], dimensions[str(name)] = found
    kinds: dict[str, Any] = {}
    kind_dimensions: dict[str, Dimension] = {}
    for name, entry in section.named("kinds", True):
        kinds[str(name)] = _read_kind(entry, units, declared)
        _check_spellings(entry, kinds[str(name)], units)
        of_units = {dimensions[unit] for unit in kinds[str(name)]["units"] if unit in dimensions}
        if len(of_units) > 1:
            entry.complain(
                "units",
                "units of different dimensions stand in one kind.",
                "Give each dimension a kind of its own.",
            )
        kind_dimensions[str(name)] = of_units.pop() if of_units else ()
    _check_used(section, kinds, units)
    asked = _read_asked(section, declared)
    section.close()
    return Units({"kinds": kinds, "units": units, "asked": asked}, kind_dimensions)


def _read_unit(name: str, entry: Section) -> tuple[dict[str, Any], Dimension] | None:
    definition = entry.text("is")
    # An empty spelling means something: a plain ratio is typed without a unit.
    names = [name, *(str(text) for text in entry.texts("names", blank=True))]
    record: dict[str, Any] = {
        "symbol": str(entry.text("symbol", name)),
        "names": list(dict.fromkeys(names)),
        "spoken": str(entry.text("spoken", "")),
    }
    entry.close()
    if not definition:
        return None
    try:
        quantity = _quantity(str(definition))
        dimension = _dimension(quantity)
    except ValueError as error:
        entry.complain("is", str(error), "Write unit names of the unit library joined by *, / and **.")
        return None
    record["factor"], record["offset"] = _linear(quantity)
    return record, dimension


def _quantity(definition: str) -> Any:
    """The pint quantity of '1 / minute', 'kelvin', 'meter ** 3 / hour'. Raises ValueError with a sentence."""
    registry = _registry()
    powers: dict[str, int] = {}
    for sign, name, power in _factors(definition):
        if name != "1":
            if name not in registry:
                raise ValueError(f'"{name}" is not a unit of the unit library.')
            full_name = registry.get_name(name)
            powers[full_name] = powers.get(full_name, 0) + sign * power
    if OFFSET_UNITS.intersection(powers) and list(powers.values()) != [1]:
        raise ValueError(f'"{definition}" multiplies a scale that has its nought elsewhere: use kelvin.')
    return registry.Quantity(1.0, registry.UnitsContainer(powers))


def _factors(definition: str) -> Iterator[tuple[int, str, int]]:
    """(1 or -1, name, power) of each factor of 'meter ** 3 / hour'. Raises ValueError with a sentence."""
    if not re.fullmatch(rf"\s*{_FACTOR}(\s*[*/]\s*{_FACTOR})*\s*", definition):
        raise ValueError(f'"{definition}" is not a product of units.')
    for sign, name, power in re.findall(rf"([*/]?)\s*{_FACTOR}", definition):
        yield -1 if sign == "/" else 1, name, int(power or "1")


def _linear(quantity: Any) -> tuple[float, float]:
    """(factor, offset) to SI. An offset unit is measured at two points, since its factor alone would lose the offset."""
    registry, unit = quantity._REGISTRY, quantity.units
    if str(unit) not in OFFSET_UNITS:
        return float(quantity.to_base_units().magnitude), 0.0
    at_0 = float(registry.Quantity(0.0, unit).to("kelvin").magnitude)
    # 9 degrees Fahrenheit are exactly 5 kelvin; the step of the scale is exact in both cases.
    step = 1.0 if str(unit) == "degree_Celsius" else 5.0 / 9.0
    return step, at_0


def _dimension(quantity: Any) -> Dimension:
    strange = [base for base in quantity.dimensionality if base not in _BASES]
    if strange:
        raise ValueError(f"its dimension {strange[0]} is not used here.")
    exponents = quantity.dimensionality.items()
    return tuple(
        sorted((_BASES[base], Fraction(exponent).limit_denominator(12)) for base, exponent in exponents)
    )


def _read_kind(entry: Section, units: dict[str, Any], declared: set[str]) -> dict[str, Any]:
    listed = entry.texts("units", True)
    for unit in listed:
        if unit not in declared:
            what = f'"{unit}" is not among the units below.'
            entry.complain("units", what, "Add it there or correct the spelling.", unit.line)
    record: dict[str, Any] = {
        "title": str(entry.text("title")),
        "sort": str(entry.text("sort", "")),
        "nature": entry.one_of("nature", sorted(NATURES), "plain"),
        "units": [str(unit) for unit in listed if unit in units],
        "spellings": {},
    }
    # Spellings that say the kind as well as the unit ('psig') count in this kind only.
    inner = entry.section("spellings")
    for name in inner.node.items if inner else ():
        if inner and name not in listed:
            inner.complain(name, "is not among this kind's units.", "Correct the spelling.")
        elif inner:
            record["spellings"].update({str(text): str(name) for text in inner.texts(name)})
    entry.close()
    return record


def _check_spellings(entry: Section, kind: dict[str, Any], units: dict[str, Any]) -> None:
    """No spelling may stand for two units of one kind, in whatever capitals it is typed."""
    meant: dict[str, str] = {}
    for unit in kind["units"]:
        own = [name for name, other in kind["spellings"].items() if other == unit]
        for name in [units[unit]["symbol"], *units[unit]["names"], *own]:
            key = unit_key(name).casefold()
            if key and meant.setdefault(key, unit) != unit:
                what = f'"{name}" can mean {meant[key]} and {unit}.'
                entry.complain("units", what, "Leave the spelling to one of them.")


def _check_used(section: Section, kinds: dict[str, Any], units: dict[str, Any]) -> None:
    used = {unit for kind in kinds.values() for unit in kind["units"]}
    inner = section.section("units")
    for name in inner.node.items if inner else ():
        if inner and name in units and name not in used:
            inner.complain(name, "no kind lists this unit.", "List it or remove it.", name.line)


def _read_asked(section: Section, declared: set[str]) -> dict[str, list[str]]:
    inner = section.section("asked")
    asked = {}
    for key in inner.node.items if inner else ():
        choices = inner.texts(key, True) if inner else []
        asked[str(key)] = [str(unit) for unit in choices]
        for unit in choices:
            if unit not in declared and inner:
                inner.complain(key, f'"{unit}" is not among the units.', "Correct the spelling.", unit.line)
    return asked
