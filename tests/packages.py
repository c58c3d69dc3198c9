"""Which installed packages a list of requirements comes down to."""

from __future__ import annotations

import importlib.metadata
from collections.abc import Iterable, Iterator

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name


def closure(wanted: list[str], seen: set[str] | None = None) -> Iterator[str]:
    """Canonical names of the wanted packages and of all that they need on this machine."""
    seen = set() if seen is None else seen
    for text in wanted:
        requirement = Requirement(text)
        name = canonicalize_name(requirement.name)
        markers = [{"extra": extra} for extra in ("", *requirement.extras)]
        if name in seen:
            continue
        seen.add(name)
        yield name
        inner = [Requirement(line) for line in importlib.metadata.requires(name) or []]
        needed = [str(r) for r in inner if not r.marker or any(r.marker.evaluate(extra) for extra in markers)]
        yield from closure([line.split(";")[0] for line in needed], seen)


def mentioned(names: Iterable[str]) -> set[str]:
    """Canonical names of all that these packages may need, on whatever system and Python."""
    lines = [line for name in names for line in importlib.metadata.requires(name) or []]
    return {canonicalize_name(Requirement(line).name) for line in lines}
