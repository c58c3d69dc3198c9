"""Reads the whole content folder in one run and reports every mistake of form in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from ..errors import Problem
from .figure_file import read_figure
from .front_matter import Document, Text, read_document
from .hazards import HazardsFile, read_hazards
from .job_file import read_job
from .job_records import JobFile
from .other_files import read_caution, read_emergency, read_glossary, read_page, read_table, read_words
from .records import CautionFile, EmergencyFile, FigureFile, PageFile, SetupFile, TableFile
from .setup_file import read_setup

Record = TypeVar("Record")
SOURCE_LANGUAGE = "en"
# Where content stands: folders of many files, and the files that there is one of.
FOLDERS = ("cautions", "figures", "help", "jobs", "tables", "words")
SINGLES = ("changes.md", "emergency.md", "glossary.md", "hazards.md", "setup.md", "units.md")


@dataclass
class Library:
    """Every content file, read. `problems` holds all that is wrong with their form."""

    figures: list[FigureFile] = field(default_factory=list)
    cautions: list[CautionFile] = field(default_factory=list)
    tables: list[TableFile] = field(default_factory=list)
    pages: list[PageFile] = field(default_factory=list)
    jobs: list[JobFile] = field(default_factory=list)
    words: dict[Text, Text] = field(default_factory=dict)
    word_files: dict[str, str] = field(default_factory=dict)
    emergency: EmergencyFile | None = None
    glossary: PageFile | None = None
    changes: PageFile | None = None
    setup: SetupFile | None = None
    hazards: HazardsFile | None = None
    units: Document | None = None
    problems: list[Problem] = field(default_factory=list)


def read_library(folder: Path) -> Library:
    """The library in `folder`, whose files are named in problems as 'content/…'."""
    library = Library()
    library.figures = list(_each(folder, "figures", library, read_figure))
    library.cautions = list(_each(folder, "cautions", library, read_caution))
    library.tables = list(_each(folder, "tables", library, read_table))
    library.pages = list(_each(folder, "help", library, read_page))
    library.jobs = list(_each(folder, "jobs", library, read_job))
    for path in sorted((folder / "words").glob("*.md")):
        _add_words(folder, path, library)
    library.units = _one(folder, "units.md", library)
    emergency, glossary, changes = (
        _one(folder, name, library) for name in ("emergency.md", "glossary.md", "changes.md")
    )
    library.emergency = read_emergency(emergency, library.problems) if emergency else None
    library.glossary = read_glossary(glossary, library.problems) if glossary else None
    library.changes = read_page("changes", changes, library.problems) if changes else None
    # A folder without this file has no setup: each Figure then starts at its own numbers.
    setup = _one(folder, "setup.md", library) if (folder / "setup.md").exists() else None
    library.setup = read_setup(setup, library.problems) if setup else None
    # Without this one no words of a person's own lead to a sheet.
    hazards = _one(folder, "hazards.md", library) if (folder / "hazards.md").exists() else None
    library.hazards = read_hazards(hazards, library.problems) if hazards else None
    _check_places(folder, library)
    return library


def file_name(folder: Path, path: Path) -> str:
    """The name by which a problem calls a file: 'content/figures/mixture.md'."""
    return f"content/{path.relative_to(folder).as_posix()}"


def _each(
    folder: Path, part: str, library: Library, read: Callable[[str, Document, list[Problem]], Record]
) -> Iterator[Record]:
    for path in sorted((folder / part).glob("*.md")):
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", path.stem):
            mend = "Use small letters, digits and single hyphens, as in injector-flow.md."
            what = "the file's name cannot be part of an address."
            library.problems.append(Problem(file_name(folder, path), 1, "", what, mend))
        document = _read(folder, path, library)
        if document:
            yield read(path.stem, document, library.problems)


def _one(folder: Path, name: str, library: Library) -> Document | None:
    path = folder / name
    if not path.exists():
        library.problems.append(
            Problem(f"content/{name}", 1, "", "the file is missing.", "Every content folder needs it.")
        )
        return None
    return _read(folder, path, library)


def _read(folder: Path, path: Path, library: Library) -> Document | None:
    name = file_name(folder, path)
    try:
        data = path.read_bytes()
        text = data.decode("utf-8").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        library.problems.append(Problem(name, line, "", "the file is not UTF-8.", "Save it as UTF-8."))
        return None
    except OSError as error:
        what = f"the file cannot be read ({error.strerror})."
        library.problems.append(Problem(name, 1, "", what, "Look at its rights, or remove it."))
        return None
    return read_document(name, text, library.problems)


def _check_places(folder: Path, library: Library) -> None:
    """Complain of every Markdown file that no reader opens: a page in a misspelt folder must not vanish in silence."""
    for path in sorted(folder.rglob("*.md")):
        part = path.relative_to(folder).parent.as_posix()
        if part not in FOLDERS and not (part == "." and path.name in SINGLES):
            what, mend = "no reader opens this file.", f"Put it into one of {', '.join(FOLDERS)}."
            library.problems.append(Problem(file_name(folder, path), 1, "", what, mend))


def _add_words(folder: Path, path: Path, library: Library) -> None:
    document = _read(folder, path, library)
    for key, text in (read_words(document, library.problems) if document else {}).items():
        if key in library.words:
            library.problems.append(
                Problem(
                    document.file if document else "",
                    key.line,
                    f"words.{key}",
                    "stands in two files of words.",
                    "Remove one.",
                )
            )
        library.words[key] = text
        library.word_files[key] = document.file if document else ""
