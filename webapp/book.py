"""The Book: everything that content says, checked and compiled, as plain data. Built once from the files, then cached.

A cached Book is read without the formula and unit libraries, which makes the second start quick.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from .figures.calculator import Calculator
from .figures.choices import choice_values
from .figures.model import Figure, figure_from_json, to_json
from .paths import cache_dir, content_dir

# Goes into the cache's name: raise it when the Book's shape changes.
SHAPE = 4


@dataclass
class Book:
    """All content of one release. `texts` maps language -> texts; everything else is free of language. `setup` is
    the one of figures/setup.py, without groups and fields where the content has none; `jobs` are those of jobs.py;
    `hazards` are the sheets on each, the one to propose first.
    """

    units: dict[str, Any]
    figures: dict[str, Figure]
    setup: dict[str, Any]
    cautions: dict[str, dict[str, Any]]
    tables: dict[str, dict[str, Any]]
    jobs: dict[str, dict[str, Any]]
    hazards: dict[str, list[str]]
    texts: dict[str, dict[str, Any]]
    version: str
    _calculators: dict[str, Calculator] = field(default_factory=dict, repr=False)

    @property
    def languages(self) -> list[str]:
        return list(self.texts)

    def words(self, language: str) -> Mapping[str, str]:
        words: Mapping[str, str] = self.texts[language]["words"]
        return words

    @cached_property
    def choices(self) -> dict[str, dict[str, dict[str, float]]]:
        """Rows of numbers, for the tables that choices pick from and series run over."""
        figures = self.figures.values()
        used = {take.table for figure in figures for take in figure.takes}
        used |= {give.table for figure in figures for give in figure.gives}
        return choice_values({table_id: table for table_id, table in self.tables.items() if table_id in used})

    def calculator(self, figure_id: str) -> Calculator:
        if figure_id not in self._calculators:
            self._calculators[figure_id] = Calculator(self.figures[figure_id], self.choices)
        return self._calculators[figure_id]

    def to_json(self) -> str:
        """The Book as text; the same Book gives the same bytes."""
        names = ("units", "setup", "cautions", "tables", "jobs", "hazards", "texts", "version")
        data = {name: getattr(self, name) for name in names}
        data["figures"] = {figure_id: to_json(figure) for figure_id, figure in self.figures.items()}
        return json.dumps(data, ensure_ascii=False, separators=(",", ":"))

    @classmethod
    def from_json(cls, text: str) -> Book:
        data = json.loads(text)
        data["figures"] = {
            figure_id: figure_from_json(figure) for figure_id, figure in data["figures"].items()
        }
        return cls(**data)


def load_book(folder: Path | None = None) -> Book:
    """The Book of a content folder, from the cache where that is up to date. Raises ContentError with every problem."""
    folder = folder or content_dir()
    place = _cache_file(folder)
    if place and place.exists():
        try:
            return Book.from_json(place.read_text(encoding="utf-8"))
        except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
            # A cut or foreign file: build anew and write over it.
            pass
    from .binding import build_book

    # Read back from its text, so that a first start and a cached one have the very same Book.
    text = build_book(folder).to_json()
    if place:
        _write(place, text)
    return Book.from_json(text)


def content_hash(folder: Path) -> str:
    """Hash over every content file and the code that compiles it."""
    digest = hashlib.sha256(str(SHAPE).encode())
    here = Path(__file__).parent
    code = [*here.glob("*.py"), *(here / "content").glob("*.py"), *(here / "figures").glob("*.py")]
    for top, paths in ((folder, folder.rglob("*.md")), (here, code)):
        for path in sorted(path for path in paths if path.is_file()):
            # With its folder: the same text is another thing in another part.
            digest.update(path.relative_to(top).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()


def _cache_file(folder: Path) -> Path | None:
    cache = cache_dir()
    return cache / f"book-{content_hash(folder)[:24]}.json" if cache else None


def _write(place: Path, text: str) -> None:
    # Written beside and moved over, so that two starting servers never read half a file.
    beside = place.with_suffix(f".{os.getpid()}.part")
    try:
        for old in place.parent.glob("book-*.json"):
            old.unlink(missing_ok=True)
        beside.write_text(text, encoding="utf-8")
        beside.replace(place)
    except OSError:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
