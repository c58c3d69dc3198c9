"""What the reader hands on: one plain record a content file, checked for form but not yet for meaning.

Texts are `Text`s that know their line, so that whoever checks the meaning (a formula, a unit, a link) can name the place.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from .finds import Term
from .front_matter import Text


@dataclass
class TakeFile:
    """One input as written: see model.Take for the meaning of each key."""

    name: Text
    label: Text
    note: Text
    kind: Text
    unit: Text
    value: Text
    low: Text
    high: Text
    accuracy: Text
    choose: Text
    setup: Text | None = None
    across: TakeFile | None = None
    method: str = ""
    points: list[Text] = field(default_factory=list)
    group: Text | None = None


@dataclass
class CaseFile:
    """One row of a formula with conditions; `when` is empty for the last."""

    when: Text
    formula: Text


@dataclass
class GiveFile:
    """One answer as written."""

    name: Text
    label: Text
    note: Text
    kind: Text
    unit: Text
    first: bool
    shown: bool
    unlike: Text
    asked: bool = False
    formula: Text | None = None
    setup: Text | None = None
    cases: list[CaseFile] = field(default_factory=list)
    equation: Text | None = None
    low: Text | None = None
    high: Text | None = None
    where: list[tuple[Text, Text]] = field(default_factory=list)
    words: list[SayFile] = field(default_factory=list)
    over: Text | None = None
    start: Text | None = None
    stop: Text | None = None
    table: Text | None = None
    only: Text | None = None
    most: int = 0
    columns: list[GiveFile] = field(default_factory=list)
    each: Text | None = None
    rank: Text | None = None
    by: list[Text] = field(default_factory=list)
    picture: list[tuple[Text, Text]] = field(default_factory=list)
    # over the run: 'reach' (where answer `of` comes to `level`), 'peak' (where it is most), 'look' (its value at `place`)
    way: str = ""
    upward: bool = True
    of: Text | None = None
    level: Text | None = None
    place: Text | None = None


@dataclass
class SayFile:
    """A sentence with its condition (empty: always); `level` only for verdicts."""

    when: Text
    say: Text
    level: str = ""


@dataclass
class RemedyFile:
    solve: Text
    answer: Text
    equals: Text
    when: Text
    say: Text
    place: Text | None = None


@dataclass
class PictureFile:
    """One picture of a sweep: the answers drawn in it, and levels marked with a sentence."""

    title: Text
    draw: list[Text]
    limits: list[LimitFile]


@dataclass
class LimitFile:
    """A level of answer `of`, marked in its picture."""

    of: Text
    level: Text
    say: Text
    beyond: str = ""


@dataclass
class SweepFile:
    over: Text
    start: Text
    stop: Text
    steps: int
    draw: list[Text]
    title: Text
    pictures: list[PictureFile] = field(default_factory=list)


@dataclass
class CheckFile:
    given: list[tuple[Text, Text]]
    expect: list[tuple[Text, Text]]
    within: Text
    source: Text
    line: int


@dataclass
class ConstantFile:
    name: Text
    label: Text
    kind: Text
    value: Text
    source: Text


@dataclass
class FigureFile:
    """One file of content/figures/."""

    id: str
    file: str
    title: Text
    summary: Text
    part: Text
    order: int
    order_line: int
    groups: list[tuple[Text, Text]]
    takes: list[TakeFile]
    constants: list[ConstantFile]
    gives: list[GiveFile]
    refuse: list[SayFile]
    warn: list[SayFile]
    verdict: list[SayFile]
    remedies: list[RemedyFile]
    sweeps: list[SweepFile]
    needs: list[Text]
    related: list[Text]
    assumes: list[Text]
    sources: list[Text]
    estimate: Text
    checks: list[CheckFile]
    finds: list[Text]
    body: str
    links: list[tuple[str, int]]


@dataclass
class SetupField:
    """One thing that a person enters once; `choose` is empty for a number, the rest for a choice."""

    name: Text
    label: Text
    note: Text
    kind: Text
    unit: Text
    low: Text
    high: Text
    choose: Text = Text("", 0)  # noqa: RUF009


@dataclass
class SetupGroup:
    name: Text
    label: Text
    fields: list[SetupField]


@dataclass
class SetupFile:
    """content/setup.md."""

    file: str
    groups: list[SetupGroup]
    body: str
    links: list[tuple[str, int]]


@dataclass
class Statement:
    """One sentence of a caution and the ids of the sources it stands on."""

    say: Text
    sources: list[Text]


@dataclass
class SourceFile:
    name: Text
    basis: str


@dataclass
class CautionFile:
    """One hazard sheet; `parts` in the order of the keys of cautions.PARTS."""

    id: str
    file: str
    title: Text
    order: int
    signal: str
    says: Text
    signs: list[Text]
    parts: dict[str, list[Statement]]
    sources: dict[Text, SourceFile]
    finds: list[Text]
    body: str
    links: list[tuple[str, int]]


@dataclass
class EmergencyPart:
    id: Text
    title: Text
    steps: list[Statement]
    finds: list[Text]


@dataclass
class EmergencyFile:
    """content/emergency.md: the one-tap page."""

    file: str
    title: Text
    says: Text
    numbers: list[dict[str, Text]]
    parts: list[EmergencyPart]
    sources: dict[Text, SourceFile]
    body: str
    links: list[tuple[str, int]]


@dataclass
class ColumnFile:
    name: Text
    label: Text
    kind: Text
    unit: Text


@dataclass
class FeedFile:
    """One Figure that a table's rows can be put into: for each input it fills, what fills it."""

    figure: Text
    fills: list[tuple[Text, Text]]
    label: Text


@dataclass
class TableFile:
    """One file of content/tables/: columns in the front matter, rows in the body's pipe table, whose first
    column is the row's id. `sort` names the columns a reader may sort by, each with the reason.
    """

    id: str
    file: str
    title: Text
    summary: Text
    order: int
    columns: list[ColumnFile]
    rows: list[tuple[int, list[str]]]
    feeds: list[FeedFile]
    sort: list[tuple[Text, Text]]
    needs: list[Text]
    sources: list[Text]
    finds: list[Text]
    body: str
    links: list[tuple[str, int]]


@dataclass
class PageFile:
    """One file of content/help/, content/changes.md or content/glossary.md: a title and a body; `terms` of the glossary alone."""

    id: str
    file: str
    title: Text
    summary: Text
    order: int
    body: str
    links: list[tuple[str, int]]
    version: Text | None = None
    terms: list[Term] = field(default_factory=list)
