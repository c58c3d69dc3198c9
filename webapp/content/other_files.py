"""Reads the other content files: cautions, the emergency page, tables, words and pages."""

from __future__ import annotations

from ..errors import Problem
from .finds import give_finds, read_finds, with_anchors
from .front_matter import Document, Text
from .markdown import line_links, pipe_table, render_body, without_table
from .records import (
    CautionFile,
    ColumnFile,
    EmergencyFile,
    EmergencyPart,
    FeedFile,
    PageFile,
    SourceFile,
    Statement,
    TableFile,
)
from .sections import Section

# The order in which a hazard sheet is read; each is a key of the front matter and of the words.
PARTS = ("can_happen", "have_ready", "do_first", "never", "goes_wrong", "clean_up")
SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
BASES = ("read", "part", "memory", "practice", "own")


def read_caution(name: str, document: Document, problems: list[Problem]) -> CautionFile:
    """The record of a hazard sheet. Every statement must name sources that the sheet declares, and every source must be used."""
    top = Section(document.file, document.front, problems)
    body = render_body(document.file, document.body, document.body_line, problems)
    record = CautionFile(
        id=name,
        file=document.file,
        title=top.text("title"),
        order=top.integer("order"),
        signal=top.one_of("signal", SIGNALS),
        says=top.text("says"),
        signs=top.texts("signs"),
        parts={part: _statements(top, part) for part in PARTS},
        sources=_sources(top),
        finds=read_finds(top),
        body=body.html,
        links=body.links,
    )
    _check_sources(top, [statement for part in record.parts.values() for statement in part], record.sources)
    top.close()
    return record


def read_emergency(document: Document, problems: list[Problem]) -> EmergencyFile:
    """The record of the one-tap page 'if it goes wrong'."""
    top = Section(document.file, document.front, problems)
    numbers = []
    for entry in top.sections("numbers", True):
        numbers.append({key: entry.text(key) for key in ("label", "number", "where")})
        entry.close()
    parts = []
    for entry in top.sections("parts", True):
        parts.append(_emergency_part(entry))
        entry.close()
    body = render_body(document.file, document.body, document.body_line, problems)
    record = EmergencyFile(
        document.file,
        top.text("title"),
        top.text("says"),
        numbers,
        parts,
        _sources(top),
        body.html,
        body.links,
    )
    _check_sources(top, [step for part in parts for step in part.steps], record.sources)
    top.close()
    return record


def read_table(name: str, document: Document, problems: list[Problem]) -> TableFile:
    """The record of a table; the pipe table's header must be 'id' and then the columns' names in order."""
    top = Section(document.file, document.front, problems)
    body = render_body(document.file, without_table(document.body), document.body_line, problems)
    columns = []
    for key, entry in top.named("columns", True):
        columns.append(ColumnFile(key, entry.text("label"), entry.text("kind", ""), entry.text("in", "")))
        entry.close()
    sources = top.texts("sources", True)
    links = [*body.links, *((target, text.line) for text in sources for target in line_links(text))]
    rows = pipe_table(document.body, document.body_line)
    header = ["id", *(str(column.name) for column in columns)]
    if not rows or rows[0][1] != header:
        line = rows[0][0] if rows else document.body_line
        problems.append(
            Problem(
                document.file,
                line,
                "",
                "the table's header does not match the columns.",
                f"It should read | {' | '.join(header)} |.",
            )
        )
        rows = rows[:1] or [(line, header)]
    elif len(rows) == 1:
        problems.append(
            Problem(document.file, rows[0][0], "", "the table has no rows.", "Write them below its header.")
        )
    record = TableFile(
        name,
        document.file,
        top.text("title"),
        top.text("summary"),
        top.integer("order"),
        columns,
        rows[1:],
        _feeds(top),
        _pairs(top.section("sort")),
        top.texts("needs"),
        sources,
        read_finds(top),
        body.html,
        links,
    )
    top.close()
    return record


def _feeds(top: Section) -> list[FeedFile]:
    """What the key `feeds` says: a list of {figure, fills: {input: what fills it}, label}."""
    feeds = []
    for entry in top.sections("feeds"):
        fills = _pairs(entry.section("fills", True))
        feeds.append(FeedFile(entry.text("figure"), fills, entry.text("label", "")))
        entry.close()
    return feeds


def _pairs(section: Section | None) -> list[tuple[Text, Text]]:
    """Each name of a mapping of texts with its text."""
    return [(name, section.text(name)) for name in section.node.items] if section else []


def read_words(document: Document, problems: list[Problem]) -> dict[Text, Text]:
    """The words of the interface: key -> text with {fields}."""
    top = Section(document.file, document.front, problems)
    inner = top.section("words", True)
    words = {key: inner.text(key) for key in inner.node.items} if inner else {}
    top.close()
    return words


def read_page(name: str, document: Document, problems: list[Problem]) -> PageFile:
    """A help page or the list of changes."""
    top = Section(document.file, document.front, problems)
    body = render_body(document.file, document.body, document.body_line, problems)
    version = top.text("version") if top.has("version") else None
    record = PageFile(
        name,
        document.file,
        top.text("title"),
        top.text("summary", ""),
        top.integer("order", 0),
        body.html,
        body.links,
        version,
    )
    top.close()
    return record


def read_glossary(document: Document, problems: list[Problem]) -> PageFile:
    """The glossary: each paragraph that opens with a bold word is that word's place."""
    top = Section(document.file, document.front, problems)
    body = render_body(document.file, document.body, document.body_line, problems)
    html, terms = with_anchors(body.html)
    give_finds(top, terms)
    record = PageFile(
        "glossary",
        document.file,
        top.text("title"),
        top.text("summary", ""),
        top.integer("order", 0),
        html,
        body.links,
        terms=terms,
    )
    top.close()
    return record


def _emergency_part(entry: Section) -> EmergencyPart:
    return EmergencyPart(
        entry.text("id"), entry.text("title"), _statements(entry, "steps"), read_finds(entry)
    )


def _statements(top: Section, key: str) -> list[Statement]:
    statements = []
    for entry in top.sections(key, True):
        statements.append(Statement(entry.text("say"), entry.texts("from", True)))
        entry.close()
    return statements


def _sources(top: Section) -> dict[Text, SourceFile]:
    sources = {}
    for key, entry in top.named("sources", True):
        sources[key] = SourceFile(entry.text("name"), entry.one_of("basis", BASES))
        entry.close()
    return sources


def _check_sources(top: Section, statements: list[Statement], sources: dict[Text, SourceFile]) -> None:
    used = {str(source) for statement in statements for source in statement.sources}
    for statement in statements:
        for source in statement.sources:
            if source not in sources:
                top.complain(
                    "sources",
                    f'"{source}" is named by a statement but not declared.',
                    "Declare it under sources.",
                    source.line,
                )
    for name in sources:
        if name not in used:
            what = f'"{name}" is declared but no statement names it.'
            top.complain("sources", what, "Remove it or name it.", name.line)
