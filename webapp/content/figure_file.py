"""Reads one file of content/figures/ into a FigureFile."""

from __future__ import annotations

from ..errors import Problem
from .finds import read_finds
from .front_matter import Document, Text
from .markdown import line_links, render_body
from .records import (
    CaseFile,
    CheckFile,
    ConstantFile,
    FigureFile,
    GiveFile,
    LimitFile,
    PictureFile,
    RemedyFile,
    SayFile,
    SweepFile,
    TakeFile,
)
from .sections import Section

LEVELS = ("ok", "near", "stop")
# On which side of a level in a picture nobody wants to be; '' where the level is only marked.
BEYOND = ("", "above", "below")
METHODS = ("linear", "monotone")
# Key of an answer found along the run -> how it is found, and whether more counts.
RUN_WAYS = {
    "reach": ("reach", True),
    "highest": ("peak", True),
    "lowest": ("peak", False),
    "look": ("look", True),
}


def read_figure(name: str, document: Document, problems: list[Problem]) -> FigureFile:
    """The record of a Figure's file; problems are added, never raised."""
    top = Section(document.file, document.front, problems)
    body = render_body(document.file, document.body, document.body_line, problems)
    assumes, sources = top.texts("assumes"), top.texts("sources", True)
    record = FigureFile(
        id=name,
        file=document.file,
        title=top.text("title"),
        summary=top.text("summary"),
        part=top.text("part"),
        order=top.integer("order"),
        order_line=top.line_of("order"),
        groups=_pairs(top, "groups"),
        takes=[_take(key, entry) for key, entry in top.named("takes", True)],
        constants=[_constant(key, entry) for key, entry in top.named("constants")],
        gives=[_give(key, entry) for key, entry in top.named("gives", True)],
        refuse=[_say(entry) for entry in top.sections("refuse")],
        warn=[_say(entry) for entry in top.sections("warn")],
        verdict=[_say(entry, LEVELS) for entry in top.sections("verdict")],
        remedies=[_remedy(entry) for entry in top.sections("remedies")],
        sweeps=[_sweep(entry) for entry in top.sections("sweeps")],
        needs=top.texts("needs"),
        related=top.texts("related"),
        assumes=assumes,
        sources=sources,
        estimate=top.text("estimate", ""),
        checks=[_check(entry) for entry in top.sections("checks", True)],
        finds=read_finds(top, "finds"),
        body=body.html,
        links=[
            *body.links,
            *((target, text.line) for text in [*assumes, *sources] for target in line_links(text)),
        ],
    )
    top.close()
    return record


def _take(name: Text, entry: Section) -> TakeFile:
    """An input of one of three forms. Only the keys of its own form are asked for, so that any other is an unknown key."""
    nothing = Text("", entry.line)
    label, note = entry.text("label"), entry.text("note", "")
    take = TakeFile(name, label, note, nothing, nothing, nothing, nothing, nothing, nothing, nothing)
    take.group = entry.text("group", "")
    if entry.has("setup"):
        take.setup = entry.text("setup")
    if entry.has("choose"):
        take.choose, take.value = entry.text("choose"), entry.text("value")
    else:
        take.kind, take.unit, take.low, take.high = (entry.text(key) for key in ("kind", "in", "from", "to"))
        across = entry.section("across")
        if across:
            take.across, take.points = _across(name, across), entry.texts("points", True)
            take.method = entry.one_of("method", METHODS, "linear")
        else:
            take.value, take.accuracy = entry.text("value"), entry.text("accuracy", "")
    entry.close()
    return take


def _across(name: Text, entry: Section) -> TakeFile:
    nothing = Text("", entry.line)
    take = TakeFile(
        name=name,
        label=entry.text("label"),
        note=nothing,
        kind=entry.text("kind"),
        unit=entry.text("in"),
        value=nothing,
        low=entry.text("from"),
        high=entry.text("to"),
        accuracy=nothing,
        choose=nothing,
    )
    entry.close()
    return take


def _constant(name: Text, entry: Section) -> ConstantFile:
    constant = ConstantFile(
        name, entry.text("label"), entry.text("kind"), entry.text("value"), entry.text("source")
    )
    entry.close()
    return constant


def _give(name: Text, entry: Section) -> GiveFile:
    words, columns = entry.has("words"), entry.has("columns")
    give = GiveFile(
        name=name,
        label=entry.text("label"),
        note=entry.text("note", ""),
        kind=entry.text("kind", "" if words or columns else None),
        unit=entry.text("in", "" if words or columns else None),
        first=entry.flag("first"),
        shown=entry.one_of("shown", ["true", "false"], "true") == "true",
        unlike=entry.text("unlike", ""),
        asked=entry.flag("asked"),
    )
    way = next((key for key in RUN_WAYS if entry.has(key)), "")
    if entry.has("setup"):
        give.setup = entry.text("setup")
    if words:
        give.words = [_say(row) for row in entry.sections("words", True)]
    elif columns:
        _read_series(entry, give)
    elif entry.has("equation"):
        give.equation, give.low, give.high = entry.text("equation"), entry.text("from"), entry.text("to")
        give.where = _pairs(entry, "where")
    elif way:
        _read_run(entry, give, way)
    else:
        _read_formula(entry, give)
    entry.close()
    return give


def _read_run(entry: Section, give: GiveFile, key: str) -> None:
    """An answer found along the Figure's run: where another comes to a level, where it is most or least, or what it is there."""
    give.way, give.upward = RUN_WAYS[key]
    give.of = entry.text(key)
    if give.way == "look":
        give.place = entry.text("at")
    elif give.way == "reach":
        give.upward = not entry.has("at_most")
        give.level = entry.text("at_least" if give.upward else "at_most")


def _read_series(entry: Section, give: GiveFile) -> None:
    """A table of answers, over whole numbers or over the rows of a table of content/tables/."""
    give.over = entry.text("over")
    if entry.has("of"):
        give.table, give.only, give.most = entry.text("of"), entry.text("only", ""), entry.integer("most", 0)
        give.each = entry.text("each")
    else:
        give.start, give.stop = entry.text("from"), entry.text("to")
        give.each = entry.text("each", "")
    give.columns = [_column(key, column) for key, column in entry.named("columns", True)]
    give.rank, give.by = entry.text("rank", ""), entry.texts("by")
    give.picture = _pairs(entry, "picture")


def _column(name: Text, entry: Section) -> GiveFile:
    label, note, kind, unit = (
        entry.text("label"),
        entry.text("note", ""),
        entry.text("kind"),
        entry.text("in"),
    )
    formula = entry.text("formula")
    shown = entry.one_of("shown", ["true", "false"], "true") == "true"
    entry.close()
    return GiveFile(name, label, note, kind, unit, False, shown, Text("", entry.line), formula=formula)


def _read_formula(entry: Section, give: GiveFile) -> None:
    if not entry.has("cases"):
        give.formula = entry.text("formula")
        return
    for row in entry.sections("cases"):
        give.cases.append(CaseFile(row.text("when", ""), row.text("is")))
        row.close()
    if not give.cases or give.cases[-1].when or not all(case.when for case in give.cases[:-1]):
        entry.complain(
            "cases",
            "the last row, and only the last, must stand without a condition.",
            'End the list with "- {is: …}".',
        )


def _say(entry: Section, levels: tuple[str, ...] = ()) -> SayFile:
    row = SayFile(
        entry.text("when", "" if levels or entry.path.find(".words") > 0 else None), entry.text("say")
    )
    if levels:
        row.level = entry.one_of("level", levels)
    entry.close()
    return row


def _remedy(entry: Section) -> RemedyFile:
    remedy = RemedyFile(
        entry.text("solve"),
        entry.text("for"),
        entry.text("equals"),
        entry.text("when"),
        entry.text("say"),
        entry.text("at") if entry.has("at") else None,
    )
    entry.close()
    return remedy


def _sweep(entry: Section) -> SweepFile:
    sweep = SweepFile(
        entry.text("over"),
        entry.text("from"),
        entry.text("to"),
        entry.integer("steps", 60),
        entry.texts("draw", True),
        entry.text("title", ""),
        [_picture(one) for one in entry.sections("pictures")],
    )
    entry.close()
    return sweep


def _picture(entry: Section) -> PictureFile:
    picture = PictureFile(
        entry.text("title"), entry.texts("draw", True), [_limit(one) for one in entry.sections("limits")]
    )
    entry.close()
    return picture


def _limit(entry: Section) -> LimitFile:
    limit = LimitFile(
        entry.text("of"), entry.text("at"), entry.text("say"), entry.one_of("beyond", BEYOND, "")
    )
    entry.close()
    return limit


def _check(entry: Section) -> CheckFile:
    check = CheckFile(
        _pairs(entry, "given"),
        _pairs(entry, "expect", True),
        entry.text("within"),
        entry.text("source"),
        entry.line,
    )
    entry.close()
    return check


def _pairs(entry: Section, key: str, wanted: bool = False) -> list[tuple[Text, Text]]:
    """A mapping of name to text, in order."""
    inner = entry.section(key, wanted)
    return [(name, inner.text(name)) for name in inner.node.items] if inner else []
