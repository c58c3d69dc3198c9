"""Which unit a text names: a closed table of spellings, compared as whole texts. Twin: static/js/lib/unit-names.js.

`units` is everywhere the plain table that the phone has too:

    {"kinds": {kind: {"title", "units": [ids], "spellings": {text: id}}},
     "units": {id: {"symbol", "factor", "offset", "names"}},
     "asked": {text: [ids]}}

SI value = number * factor + offset; `spellings` count in their own kind only and may be absent; `asked` are names with more
than one meaning.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

UNIT_MARKS: dict[str, str] = {
    **dict.fromkeys(" ^", ""),
    **dict.fromkeys("*-.⋅∙•⁻", "·"),
    **{"¹": "1", "²": "2", "³": "3", "₂": "2"},
    **{"\u00b5": "μ", "\u2126": "Ω", "\u212a": "K", "º": "°", "˚": "°", "℃": "°C", "℉": "°F", "\u2033": '"'},
}
_UNIT_MARKS = str.maketrans(UNIT_MARKS)


@lru_cache(maxsize=4096)
def unit_key(text: str) -> str:
    """What two spellings of one unit share: spaces, raised digits and the mark between the parts make no difference."""
    # The hyphen of "3/8-inch" and the point of "in." belong to the sentence around the unit.
    return re.sub(r"^ *-|\. *$", "", text).translate(_UNIT_MARKS).replace("''", '"')


def units_named(text: str, kinds: Iterable[str], units: Mapping[str, Any]) -> list[tuple[str, str]]:
    """(kind, unit id) of each unit that has this name: spelled exactly so, or else in other capitals."""
    key = unit_key(text)
    listed = [(kind, unit) for kind in kinds for unit in units["kinds"][kind]["units"]]
    exact = [pair for pair in listed if key in _keys(*pair, units)]
    if exact:
        return exact
    folded = [pair for pair in listed if key.lower() in [name.lower() for name in _keys(*pair, units)]]
    return [pair for pair in folded if not _is_other_prefix(key, _keys(*pair, units), units)]


def units_asked(text: str, units: Mapping[str, Any]) -> list[str]:
    """Ids of the units that an ambiguous name can mean; empty for any other name."""
    key, asked = unit_key(text), units["asked"]
    exact = [name for name in asked if unit_key(name) == key]
    names = exact or [name for name in asked if unit_key(name).lower() == key.lower()]
    return list(asked[names[0]]) if names else []


def kinds_of(ids: Iterable[str], units: Mapping[str, Any]) -> list[str]:
    """Kinds that can be stated in any of these units."""
    wanted = set(ids)
    return [kind for kind, entry in units["kinds"].items() if wanted.intersection(entry["units"])]


def symbols(ids: Iterable[str], units: Mapping[str, Any]) -> list[str]:
    """Symbols of the units; a bare count has none."""
    return [units["units"][unit]["symbol"] for unit in ids if units["units"][unit]["symbol"]]


def near_units(text: str, kind: str, units: Mapping[str, Any]) -> list[str]:
    """Up to three units of `kind` with a spelling within two changes of `text`: nearest first, then as listed."""
    key = unit_key(text).lower()
    ranked = [
        (min((_changes(key, name.lower()) for name in _keys(kind, unit, units)), default=9), unit)
        for unit in units["kinds"][kind]["units"]
    ]
    near = sorted((pair for pair in ranked if pair[0] <= 2), key=lambda pair: pair[0])
    return [unit for _, unit in near[:3]]


def _keys(kind: str, unit: str, units: Mapping[str, Any]) -> list[str]:
    """Keys of all spellings of a unit in a kind. An empty spelling is none: then no unit was typed."""
    entry, spellings = units["units"][unit], units["kinds"][kind].get("spellings", {})
    names = [unit, entry["symbol"], *entry["names"], *(name for name in spellings if spellings[name] == unit)]
    return [key for key in map(unit_key, names) if key]


def _is_other_prefix(key: str, keys: list[str], units: Mapping[str, Any]) -> bool:
    """Whether `key` has milli where `keys` have mega, or the reverse: mPa is not MPa, but Mph may be mph."""
    first, behind = key[:1], key[1:]
    if first not in ("m", "M") or first.swapcase() + behind not in keys:
        return False
    every = ((kind, unit) for kind, entry in units["kinds"].items() for unit in entry["units"])
    return any(behind in _keys(*pair, units) for pair in every)


def _changes(one: str, other: str) -> int:
    """Letters to add, drop or replace to get from one text to the other; 9 where it is over 2 by the lengths alone,
    or where no letter would stay: "x" is not almost "K".

    Source    V. I. Levenshtein's distance of 1966 (from memory); the table of the two texts is filled row by row.
    """
    if abs(len(one) - len(other)) > 2:
        return 9
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one):
        above, row = row, [i + 1]
        for j, against in enumerate(other):
            row.append(min(above[j] + (letter != against), above[j + 1] + 1, row[j] + 1))
    return row[-1] if row[-1] < max(len(one), len(other)) else 9
