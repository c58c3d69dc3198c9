"""Which Figure or table answers a question of an outside check: the shape of such a way, and the search among all of them."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

# A name, or a function whose parameters are names: 'pressure', lambda pressure, loss: pressure - loss.
Source = str | Callable[..., Any]


class NoAnswer(Exception):
    """A Figure or table that was asked has no answer; the message says why. A Source may raise it, too."""


@dataclass(frozen=True)
class Way:
    """A Figure that answers.

    topic    of the checks it is for
    take     Figure's input -> name in the check, or function of such names; a choice takes the id of its row
    give     name in the check (a regular expression; its named groups are names for the functions, too) -> Figure's answer, or
             function of answers, inputs and constants of the Figure and of names in the check, the Figure's own going first
    fixed    Figure's input -> what is typed there, for what the check leaves open; choices stand here with the id of their row
    solve    (Figure's input, its answer, wanted value as a Source): that input is looked for first
    spare    names in the check that the Figure does not ask for, as it knows or finds them itself
    said     words that must stand in what the check says it is, where names do not tell two apart
    """

    topic: str
    figure: str
    take: Mapping[str, Source]
    give: Mapping[str, Source]
    fixed: Mapping[str, str] = field(default_factory=dict)
    solve: tuple[str, str, Source] | None = None
    spare: str = ""
    said: str = ""

    @property
    def asks_for(self) -> list[Source]:
        return [*self.take.values(), *([self.solve[2]] if self.solve else [])]


@dataclass(frozen=True)
class Cells:
    """A table that answers: `row` gives the id of its row, `give` the column, or a function of the row's cells and of names."""

    topic: str
    table: str
    row: Callable[..., str]
    give: Mapping[str, Source]
    spare: str = ""
    said: str = ""

    @property
    def asks_for(self) -> list[Source]:
        return [self.row]


def names_in(source: Source) -> list[str]:
    """The names that a source is made of."""
    return [source] if isinstance(source, str) else list(inspect.signature(source).parameters)


def value_of(source: Source, names: Mapping[str, Any]) -> Any:
    """The value of a source where `names` are known; a text that is no name stands for itself (a column)."""
    if isinstance(source, str):
        return names.get(source, source)
    return source(*[names[name] for name in names_in(source)])


def told(give: Mapping[str, Source], name: str) -> Source:
    """The source behind the one pattern of `give` that `name` meets."""
    return next(source for pattern, source in give.items() if re.fullmatch(pattern, name))


def all_ways() -> tuple[Way | Cells, ...]:
    """Every way there is."""
    # Here, as they are written with the records of this module.
    from reference.check_ways_air import AIR_WAYS
    from reference.check_ways_engine import ENGINE_WAYS
    from reference.check_ways_fluids import FLUID_WAYS
    from reference.check_ways_wiring import WIRING_WAYS
    from reference.check_ways_workshop import WORKSHOP_WAYS

    return *WORKSHOP_WAYS, *AIR_WAYS, *ENGINE_WAYS, *FLUID_WAYS, *WIRING_WAYS


def fitting(
    topic: str, what: str, given: Mapping[str, Any], name: str
) -> Iterator[tuple[Way | Cells, dict[str, str]]]:
    """Every way that answers `name` from exactly these inputs, with the named groups that it read out of the name."""
    for way in all_ways():
        if way.topic != topic or way.said not in what:
            continue
        for pattern, source in way.give.items():
            match = re.fullmatch(pattern, name)
            if match and _uses_all(way, source, given, match.groupdict()):
                yield way, match.groupdict()


def _uses_all(way: Way | Cells, source: Source, given: Mapping[str, Any], groups: Mapping[str, str]) -> bool:
    """Whether the check gives all that the way asks for, and nothing that the way would leave unheard."""
    asked = {name for one in way.asks_for for name in names_in(one)} - set(groups)
    spare = set(way.spare.split())
    return asked <= set(given) and set(given) <= asked | spare | set(names_in(source))
