"""Units and kinds: from content/units.md through pint to the plain table that server, command line and phone share.

A factor says how many SI units one unit is; SI value = number * factor + offset. pint's parser never sees a text from a file or a
person: a definition is split at `*`, `/` and `**` here and each part must be a unit name that pint itself has.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from ..content.sections import Section
from .natures import NATURES, Dimension, Sort

if TYPE_CHECKING:
    import pint

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
    for name, entry in section.named("units", True):
        found = _read_unit(str(name), entry)
        if found:
            units[str(name)], dimensions[str(name)] = found
    kinds: dict[str, Any] = {}
    kind_dimensions: dict[str, Dimension] = {}
    for name, entry in section.named("kinds", True):
        kinds[str(name)] = _read_kind(entry, units)
        of_units = {dimensions[unit] for unit in kinds[str(name)]["units"] if unit in dimensions}
        if len(of_units) > 1:
            entry.complain(
                "units",
                "units of different dimensions stand in one kind.",
                "Give each dimension a kind of its own.",
            )
        kind_dimensions[str(name)] = of_units.pop() if of_units else ()
    asked = _read_asked(section, units)
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
    try:
        quantity = _quantity(str(definition))
    except ValueError as error:
        entry.complain("is", str(error), "Write unit names of the unit library joined by *, / and **.")
        return None
    record["factor"], record["offset"] = _linear(quantity)
    return record, _dimension(quantity)


def _quantity(definition: str) -> Any:
    """The pint quantity of '1 / minute', 'kelvin', 'meter ** 3 / hour'. Raises ValueError with a sentence."""
    registry = _registry()
    powers: dict[str, int] = {}
    sign = 1
    for part in (
        definition.replace("**", "^")
        .replace("*", " * ")
        .replace("/", " / ")
        .replace("^ ", "^")
        .replace(" ^", "^")
        .split()
    ):
        if part in ("*", "/"):
            sign = -1 if part == "/" else 1
            continue
        name, _, power = part.partition("^")
        if name != "1":
            if name not in registry:
                raise ValueError(f'"{name}" is not a unit of the unit library.')
            powers[name] = powers.get(name, 0) + sign * int(power or "1")
    return registry.Quantity(1.0, registry.UnitsContainer(powers))


def _linear(quantity: Any) -> tuple[float, float]:
    """(factor, offset) to SI. An offset unit is measured at two points, since its factor alone would lose the offset."""
    registry, unit = quantity._REGISTRY, quantity.units
    if str(unit) not in ("degree_Celsius", "degree_Fahrenheit"):
        return float(quantity.to_base_units().magnitude), 0.0
    at_0 = float(registry.Quantity(0.0, unit).to("kelvin").magnitude)
    # 9 degrees Fahrenheit are exactly 5 kelvin; the step of the scale is exact in both cases.
    step = 1.0 if str(unit) == "degree_Celsius" else 5.0 / 9.0
    return step, at_0


def _dimension(quantity: Any) -> Dimension:
    return tuple(
        sorted(
            (_BASES[base], Fraction(exponent).limit_denominator(12))
            for base, exponent in quantity.dimensionality.items()
        )
    )


def _read_kind(entry: Section, units: dict[str, Any]) -> dict[str, Any]:
    listed = [str(text) for text in entry.texts("units", True)]
    for unit in listed:
        if unit not in units:
            entry.complain(
                "units", f'"{unit}" is not among the units below.', "Add it there or correct the spelling."
            )
    record: dict[str, Any] = {
        "title": str(entry.text("title")),
        "sort": str(entry.text("sort", "")),
        "nature": entry.one_of("nature", sorted(NATURES), "plain"),
        "units": [unit for unit in listed if unit in units],
        "spellings": {},
    }
    for unit, spellings in _spellings(entry):
        record["spellings"].update(dict.fromkeys(spellings, unit))
    entry.close()
    return record


def _spellings(entry: Section) -> list[tuple[str, list[str]]]:
    """Spellings that say the kind as well as the unit ('psig'): they count in this kind only."""
    inner = entry.section("spellings")
    return (
        [(str(unit), [str(text) for text in inner.texts(unit)]) for unit in inner.node.items] if inner else []
    )


def _read_asked(section: Section, units: dict[str, Any]) -> dict[str, list[str]]:
    inner = section.section("asked")
    asked = {str(key): [str(text) for text in inner.texts(key)] for key in inner.node.items} if inner else {}
    for key, choices in asked.items():
        for unit in choices:
            if unit not in units and inner:
                inner.complain(key, f'"{unit}" is not among the units.', "Correct the spelling.")
    return asked
