"""Which words scripts are sent. What only pages say is not sent at all; what only some pages' scripts say comes with those.

A script that imports lib/further-words.js is a door: behind it stand the further words. All other scripts that the first one can
reach, without going through a door, make do with the words that all pages share. A script says a word whose key stands anywhere in
it, or begins with what stands in front of `${` in a template.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from .linker import imports_of

DOOR = "js/lib/further-words.js"

_NAME = re.compile(r"\w+")
_BEGINNING = re.compile(r"`(\w*_)\$\{")


def parted(
    words: Mapping[str, str], scripts: Mapping[str, str], first: str
) -> tuple[dict[str, str], dict[str, str]]:
    """(what all pages share, the further words), each key -> text.

    scripts   name -> source of every script; `first` is the one that all pages start with.
    """
    shared = _said(words, [scripts[name] for name in _reached(scripts, first)])
    all_said = _said(words, scripts.values())
    return (
        {key: text for key, text in words.items() if key in shared},
        {key: text for key, text in words.items() if key in all_said - shared},
    )


def _reached(scripts: Mapping[str, str], first: str) -> set[str]:
    """Names of the scripts that can be reached from the first one without going through a door."""
    found, waiting = set(), [first]
    while waiting:
        name = waiting.pop()
        if name in found or name not in scripts:
            continue
        targets = imports_of(name, scripts[name])
        if DOOR not in targets:
            found.add(name)
            waiting += targets
    return found


def _said(words: Mapping[str, str], sources: Iterable[str]) -> set[str]:
    names: set[str] = set()
    beginnings: set[str] = set()
    for source in sources:
        names.update(_NAME.findall(source))
        beginnings.update(_BEGINNING.findall(source))
    starts = tuple(beginnings)
    return {key for key in words if key in names or key.startswith(starts)}
