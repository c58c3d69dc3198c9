"""Binds a Book: reads the content folder, compiles the Figures, checks everything that spans files, gathers the texts."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

from babel.numbers import get_decimal_symbol

from .book import Book
from .content.front_matter import Text
from .content.hazards import Hazard
from .content.job_records import END_KINDS, LISTS, JobFile
from .content.library import SOURCE_LANGUAGE, Library, read_library
from .content.markdown import render_line
from .content.other_files import PARTS
from .content.records import (
    CautionFile,
    EmergencyFile,
    FigureFile,
    PageFile,
    SayFile,
    SetupFile,
    SourceFile,
    Statement,
    SweepFile,
    TableFile,
)
from .content.sections import Section
from .errors import ContentError, Problem, did_you_mean
from .figures.calculator import Calculator
from .figures.checking import check_figure
from .figures.choices import choice_values
from .figures.compiler import Compiler
from .figures.feeds_compiler import FeedsCompiler, sort_columns
from .figures.model import Figure
from .figures.setup import check_setup_uses, compile_setup
from .figures.tables import compile_table
from .figures.units import read_units
from .jobs import JobsCompiler, job_text

# The groups in which the Figures are listed; each needs the words part_ID and part_ID_says.
FIGURE_PARTS = ("torque", "air", "mixture", "fuel", "fluids", "wiring", "general", "reading")


def build_book(folder: Path) -> Book:
    """The Book of a content folder. Raises ContentError with every problem of every file."""
    library = read_library(folder)
    problems = library.problems
    units = read_units(Section(library.units.file, library.units.front, problems)) if library.units else None
    if units is None:
        raise ContentError(problems)
    tables = {record.id: compile_table(record, units, problems) for record in library.tables}
    figures = {record.id: Compiler(record, units, tables, problems).figure() for record in library.figures}
    figures = dict(sorted(figures.items(), key=lambda pair: (pair[1].order, pair[0])))
    _add_uses(library, figures, tables, units.table, problems)
    jobs = _jobs(library, figures, tables, units.table, problems)
    setup = (
        compile_setup(library.setup, units, tables, problems)
        if library.setup
        else {"groups": {}, "fields": {}}
    )
    _check_across(library, figures, tables, problems)
    check_setup_uses(library.setup, library.figures, problems)
    _check_words(library, units.table["kinds"], problems)
    _run_checks(figures, units.table, tables, problems)
    if problems:
        raise ContentError(problems)
    return Book(
        units=units.table,
        figures=figures,
        setup=setup,
        cautions={
            c.id: {"signal": c.signal, "order": c.order, "signs": [str(sign) for sign in c.signs]}
            for c in library.cautions
        },
        tables=tables,
        jobs=jobs,
        hazards=_hazard_sheets(library),
        texts={
            SOURCE_LANGUAGE: {
                **_texts(library),
                "row_labels": _row_labels(tables),
                "decimal": get_decimal_symbol(SOURCE_LANGUAGE),
            }
        },
        version=str(library.changes.version) if library.changes and library.changes.version else "",
    )


def _add_uses(
    library: Library,
    figures: dict[str, Figure],
    tables: dict[str, Any],
    units: dict[str, Any],
    problems: list[Problem],
) -> None:
    """Adds to each table what its rows can be put into and what it can be sorted by."""
    unsound = {problem.file for problem in problems}
    is_sound = not any(file.startswith(("content/tables/", "content/units.md")) for file in unsound)
    # A Figure with problems of its own is named by them alone: what it takes is not known yet.
    known = {name: figure for name, figure in figures.items() if figure.file not in unsound}
    for record in library.tables:
        table = tables[record.id]
        table["sort"] = sort_columns(record, table["columns"], problems)
        if is_sound:
            sound = [feed for feed in record.feeds if feed.figure in known or feed.figure not in figures]
            record = replace(record, feeds=sound)
            table["feeds"] = FeedsCompiler(record, known, tables, units, problems).feeds()


def _jobs(
    library: Library,
    figures: dict[str, Figure],
    tables: dict[str, Any],
    units: dict[str, Any],
    problems: list[Problem],
) -> dict[str, Any]:
    """The templates in their order, checked against all that they name."""
    # With a fault in a table or unit, whether a Figure takes a text is not known.
    unsound = {problem.file for problem in problems}
    if any(file.startswith(("content/tables/", "content/units.md")) for file in unsound):
        unsound |= {figure.file for figure in figures.values()}
    known = {name: figure for name, figure in figures.items() if figure.file not in unsound}
    cautions = [caution.id for caution in library.cautions]
    return {
        record.id: JobsCompiler(
            record, cautions, known, figures.keys() - known.keys(), tables, units, problems
        ).job()
        for record in sorted(library.jobs, key=lambda record: (record.order, record.id))
    }


# -- checks that span files ------------------------------------------------------------------------------------


def _run_checks(
    figures: dict[str, Figure], units: dict[str, Any], tables: dict[str, Any], problems: list[Problem]
) -> None:
    """Compute the checks of every Figure that stands on sound files, so that one run reports those that do not come out too."""
    unsound = {problem.file for problem in problems}
    if any(file.startswith(("content/tables/", "content/units.md")) for file in unsound):
        return
    rows = choice_values(tables)
    for figure in figures.values():
        if figure.file not in unsound:
            problems.extend(check_figure(figure, Calculator(figure, rows), units, tables))


def _check_across(
    library: Library, figures: dict[str, Figure], tables: dict[str, Any], problems: list[Problem]
) -> None:
    cautions = {caution.id for caution in library.cautions}
    guarded: list[FigureFile | TableFile] = [*library.figures, *library.tables]
    for record in guarded:
        for need in record.needs:
            if need not in cautions:
                problems.append(
                    Problem(
                        record.file,
                        need.line,
                        "needs",
                        f'there is no caution "{need}".',
                        did_you_mean(need, cautions),
                    )
                )
    _check_hazards(library, cautions, problems)
    for figure in library.figures:
        for other in figure.related:
            if other not in figures:
                problems.append(
                    Problem(
                        figure.file,
                        other.line,
                        "related",
                        f'there is no Figure "{other}".',
                        did_you_mean(other, figures),
                    )
                )
        if figure.part and figure.part not in FIGURE_PARTS:
            problems.append(
                Problem(
                    figure.file,
                    figure.part.line,
                    "part",
                    f'there is no part "{figure.part}".',
                    did_you_mean(figure.part, FIGURE_PARTS),
                )
            )
    _check_ids(library, problems)
    _check_links(library, cautions, figures, tables, problems)


def _check_ids(library: Library, problems: list[Problem]) -> None:
    """One name, one thing: no two content files of any kind share an id, since finder and links go by it;
    no two Figures share a number.
    """
    everything: list[FigureFile | CautionFile | TableFile | PageFile | JobFile]
    everything = [*library.figures, *library.cautions, *library.tables, *library.pages, *library.jobs]
    named: dict[str, str] = {}
    for record in everything:
        first = named.setdefault(record.id, record.file)
        if first != record.file:
            what = f'the id "{record.id}" is taken by {first}.'
            problems.append(Problem(record.file, 1, "", what, "Rename one of the files."))
    numbered: dict[int, str] = {}
    for figure in library.figures:
        first = numbered.setdefault(figure.order, figure.file)
        if figure.order and first != figure.file:
            what = f"the number {figure.order} is taken by {first}."
            problems.append(Problem(figure.file, figure.order_line, "order", what, "Give it one of its own."))


def _check_links(
    library: Library,
    cautions: set[str],
    figures: dict[str, Figure],
    tables: dict[str, Any],
    problems: list[Problem],
) -> None:
    places = (
        {f"figures/{name}" for name in figures}
        | {f"cautions/{name}" for name in cautions}
        | {f"tables/{name}" for name in tables}
        | {f"job/{job.id}" for job in library.jobs}
    )
    places |= {f"help/{page.id}" for page in library.pages} | {
        "figures",
        "cautions",
        "tables",
        "job",
        "help",
        "help/sources",
        "help/caution-sources",
        "glossary",
        "changes",
        "emergency",
    }
    words = [term.anchor for term in library.glossary.terms] if library.glossary else []
    places |= {f"glossary#{word}" for word in words}
    places |= {"setup"} if library.setup else set()
    pages: list[Any] = [
        *library.figures,
        *library.cautions,
        *library.tables,
        *library.pages,
        *library.jobs,
        library.glossary,
        library.changes,
        library.emergency,
        library.setup,
    ]
    for record in pages:
        for target, line in record.links if record else []:
            # A word of the glossary must be there; other parts of a page are named by the page itself.
            page, _, _ = target.partition("#")
            place = target if page == "glossary" else page.partition("?")[0].strip("/")
            if place not in places:
                problems.append(
                    Problem(
                        record.file,
                        line,
                        "",
                        f'the link "{target}" leads nowhere.',
                        did_you_mean(target, places),
                    )
                )


def _check_words(library: Library, kinds: dict[str, Any], problems: list[Problem]) -> None:
    """Every word that the content's own ids ask for is there: parts, cautions, signs, sorts of quantity."""
    wanted = [f"part_{part}" for part in FIGURE_PARTS] + [f"caution_{part}" for part in PARTS]
    wanted += (
        [f"job_end_{kind}" for kind in END_KINDS] + [f"job_{name}" for name in LISTS] if library.jobs else []
    )
    wanted += [f"sign_{sign}" for caution in library.cautions for sign in caution.signs]
    wanted += [f"sort_{kind['sort']}" for kind in kinds.values() if kind["sort"]]
    for key in dict.fromkeys(wanted):
        if key not in library.words:
            problems.append(
                Problem(
                    "content/words/common.md",
                    1,
                    f"words.{key}",
                    "is missing.",
                    "Add the word to one of the files of content/words/.",
                )
            )
    for key, text in library.words.items():
        if re.search(r"[{}]", re.sub(r"\{\w+\}", "", text)):
            problems.append(
                Problem(
                    library.word_files[key],
                    key.line,
                    f"words.{key}",
                    "has a brace that holds no field name.",
                    "Write {name}.",
                )
            )


def _check_hazards(library: Library, cautions: set[str], problems: list[Problem]) -> None:
    if not library.hazards:
        return
    for hazard in library.hazards.hazards:
        for sheet in hazard.sheets:
            if sheet not in cautions:
                place = f"hazards.{hazard.id}.sheets"
                what = f'there is no caution "{sheet}".'
                problems.append(
                    Problem(library.hazards.file, sheet.line, place, what, did_you_mean(sheet, cautions))
                )


# -- texts ---------------------------------------------------------------------------------------------------


def _texts(library: Library) -> dict[str, Any]:
    assert library.emergency and library.glossary and library.changes
    return {
        "words": {str(key): str(text) for key, text in library.words.items()},
        "figures": {record.id: _figure_text(record) for record in library.figures},
        "cautions": {record.id: _caution_text(record) for record in library.cautions},
        "emergency": _emergency_text(library.emergency),
        "tables": {record.id: _table_text(record) for record in library.tables},
        "pages": {record.id: _page_text(record) for record in library.pages},
        "jobs": {record.id: job_text(record) for record in library.jobs},
        "glossary": _glossary_text(library.glossary),
        "changes": _page_text(library.changes),
        "setup": _setup_text(library.setup),
        "hazards": {
            str(hazard.id): {"words": _plain(hazard.words), "besides": _plain(hazard.besides)}
            for hazard in _hazards(library)
        },
    }


def _hazards(library: Library) -> list[Hazard]:
    return library.hazards.hazards if library.hazards else []


def _hazard_sheets(library: Library) -> dict[str, list[str]]:
    return {str(hazard.id): _plain(hazard.sheets) for hazard in _hazards(library)}


def _setup_text(record: SetupFile | None) -> dict[str, Any]:
    groups = record.groups if record else []
    labels = {
        str(field.name): {"label": str(field.label), "note": str(field.note)}
        for group in groups
        for field in group.fields
    }
    named = {str(group.name): str(group.label) for group in groups}
    return {"groups": named, "labels": labels, "body": record.body if record else ""}


def _figure_text(record: FigureFile) -> dict[str, Any]:
    labelled: list[Any] = [
        *record.takes,
        *record.gives,
        *record.constants,
        *(column for give in record.gives for column in give.columns),
    ]
    return {
        "title": str(record.title),
        "summary": str(record.summary),
        "labels": {
            str(item.name): {"label": str(item.label), "note": str(getattr(item, "note", ""))}
            for item in labelled
        },
        "across": {str(take.name): str(take.across.label) for take in record.takes if take.across},
        "series": {
            str(give.name): {"each": str(give.each), "rank": str(give.rank)}
            for give in record.gives
            if give.columns
        },
        "words": {str(give.name): _says(give.words) for give in record.gives if give.words},
        "refuse": _says(record.refuse),
        "warn": _says(record.warn),
        "verdict": _says(record.verdict),
        "remedies": [str(remedy.say) for remedy in record.remedies],
        "groups": {str(name): str(label) for name, label in record.groups},
        "sweeps": [_sweep_text(sweep) for sweep in record.sweeps],
        "estimate": str(record.estimate),
        "assumes": [render_line(text) for text in record.assumes],
        "sources": [render_line(text) for text in record.sources],
        "constants": {str(constant.name): str(constant.source) for constant in record.constants},
        "checks": [str(check.source) for check in record.checks],
        "finds": _plain(record.finds),
        "body": record.body,
    }


def _sweep_text(sweep: SweepFile) -> dict[str, Any]:
    pictures = [
        {"title": str(picture.title), "limits": [str(limit.say) for limit in picture.limits]}
        for picture in sweep.pictures
    ]
    return {"title": str(sweep.title), "pictures": pictures or [{"title": str(sweep.title), "limits": []}]}


def _says(rows: list[SayFile]) -> list[str]:
    return [str(row.say) for row in rows]


def _caution_text(record: CautionFile) -> dict[str, Any]:
    return {
        "title": str(record.title),
        "says": str(record.says),
        "sections": [
            {"id": part, "statements": _statements(record.parts[part], record.sources)} for part in PARTS
        ],
        "sources": _sources(record.sources),
        "finds": _plain(record.finds),
        "body": record.body,
    }


def _emergency_text(record: EmergencyFile) -> dict[str, Any]:
    return {
        "title": str(record.title),
        "says": str(record.says),
        "numbers": [{key: str(value) for key, value in number.items()} for number in record.numbers],
        "parts": [
            {
                "id": str(p.id),
                "title": str(p.title),
                "statements": _statements(p.steps, record.sources),
                "finds": _plain(p.finds),
            }
            for p in record.parts
        ],
        "sources": _sources(record.sources),
        "body": record.body,
    }


def _statements(statements: list[Statement], sources: dict[Text, SourceFile]) -> list[dict[str, Any]]:
    numbers = {name: number for number, name in enumerate(sources, 1)}
    return [{"say": str(s.say), "sources": sorted(numbers[name] for name in s.sources)} for s in statements]


def _sources(sources: dict[Text, SourceFile]) -> list[dict[str, Any]]:
    return [
        {"number": n, "name": str(source.name), "basis": source.basis}
        for n, source in enumerate(sources.values(), 1)
    ]


def _row_labels(tables: dict[str, Any]) -> dict[str, dict[str, str]]:
    """What a row is called in a list to choose from: its first column of words."""
    named = {}
    for table_id, table in tables.items():
        column = next((name for name, spec in table["columns"].items() if not spec["kind"]), None)
        named[table_id] = {
            row_id: str(row[column]) if column else row_id for row_id, row in table["rows"].items()
        }
    return named


def _table_text(record: TableFile) -> dict[str, Any]:
    return {
        "title": str(record.title),
        "summary": str(record.summary),
        "order": record.order,
        "columns": {str(column.name): str(column.label) for column in record.columns},
        "feeds": [str(feed.label) for feed in record.feeds],
        "needs": [str(need) for need in record.needs],
        "sources": [render_line(text) for text in record.sources],
        "finds": _plain(record.finds),
        "body": record.body,
    }


def _glossary_text(record: PageFile) -> dict[str, Any]:
    terms = [
        {"id": term.anchor, "word": term.word, "says": term.says, "finds": _plain(term.finds)}
        for term in record.terms
    ]
    return {**_page_text(record), "terms": terms}


def _plain(texts: list[Text]) -> list[str]:
    return [str(text) for text in texts]


def _page_text(record: PageFile) -> dict[str, Any]:
    return {
        "title": str(record.title),
        "summary": str(record.summary),
        "order": record.order,
        "body": record.body,
        "version": str(record.version or Text("", 0)),
    }
