"""Reads content/jobs/: templates of a job, in stages of steps. The keys are listed in DEVELOPERS.md."""

from __future__ import annotations

import re

from ..errors import Problem, did_you_mean
from .finds import read_finds
from .front_matter import Document, Text
from .job_records import (
    ASKS,
    END_KINDS,
    GATES,
    LISTS,
    AskFile,
    EndFile,
    JobFile,
    LinkFile,
    RoundFile,
    StageFile,
    StepFile,
)
from .markdown import line_links, render_body
from .sections import Section

# Pages of the card stand beside the templates, below job/.
TAKEN = ("card", "round")


def read_job(name: str, document: Document, problems: list[Problem]) -> JobFile:
    """The record of a template; problems are added, never raised."""
    top = Section(document.file, document.front, problems)
    body = render_body(document.file, document.body, document.body_line, problems)
    if name in TAKEN:
        what = f'a template cannot be called "{name}": a page of the card has this address.'
        problems.append(Problem(document.file, 1, "", what, "Rename the file."))
    basis = top.text("basis")
    record = JobFile(
        id=name,
        file=document.file,
        title=top.text("title"),
        summary=top.text("summary"),
        order=top.integer("order"),
        basis=basis,
        stages=[_stage(entry) for entry in top.sections("stages", True)],
        finds=read_finds(top),
        body=body.html,
        links=[*body.links, *((target, basis.line) for target in line_links(basis))],
    )
    _check_step_ids(top, record.steps)
    top.close()
    return record


def _stage(entry: Section) -> StageFile:
    steps = [_step(step) for step in entry.sections("steps", True)]
    stage = StageFile(entry.text("title"), entry.text("says", ""), steps)
    entry.close()
    return stage


def _step(entry: Section) -> StepFile:
    step = StepFile(
        id=entry.text("id"),
        do=entry.text("do"),
        note=entry.text("note", ""),
        needs=_once(entry, "needs"),
        gate=entry.one_of("gate", GATES) if entry.has("gate") else "",
        lists={name: entry.texts(name) for name in LISTS},
        asks={name: [_ask(ask) for ask in entry.sections(name)] for name in ASKS},
        ends=[_end(end) for end in entry.sections("ends")],
        closes=_kinds(entry, "closes"),
        links=[_link(link) for link in entry.sections("figures")],
        round=_round(entry.section("round")),
        finds=read_finds(entry),
    )
    entry.close()
    return step


def _ask(entry: Section) -> AskFile:
    ask = AskFile(entry.text("label"), entry.text("kind"), entry.text("in"))
    entry.close()
    return ask


def _end(entry: Section) -> EndFile:
    kind = entry.one_of("kind", END_KINDS)
    count = entry.text("count", "")
    if count and not re.fullmatch("[1-9][0-9]{0,2}", count):
        entry.complain("count", f'"{count}" is no number of things.', "Write 1 to 999, or leave the key out.")
        count = Text("", count.line)
    # Of its own kind, only its note says what it is.
    end = EndFile(
        kind, entry.text("place"), int(count or 0), entry.text("note", None if kind == "own" else "")
    )
    entry.close()
    return end


def _link(entry: Section) -> LinkFile:
    given = entry.section("given")
    pairs = [(name, given.text(name)) for name in given.node.items] if given else []
    link = LinkFile(entry.text("figure"), pairs, entry.text("label", ""))
    entry.close()
    return link


def _round(entry: Section | None) -> RoundFile | None:
    if entry is None:
        return None
    label, pattern, across, down = (entry.text(key) for key in ("label", "pattern", "across", "down"))
    made = RoundFile(label, pattern, across, down, entry.text("note", ""))
    entry.close()
    return made


def _kinds(entry: Section, key: str) -> list[Text]:
    """A list of kinds of loose ends, each once."""
    kinds = _once(entry, key)
    for kind in kinds:
        if kind not in END_KINDS:
            entry.complain(key, f'"{kind}" is not known here.', did_you_mean(kind, END_KINDS), kind.line)
    return kinds


def _once(entry: Section, key: str) -> list[Text]:
    texts = entry.texts(key)
    for n, text in enumerate(texts):
        if text in texts[:n]:
            entry.complain(key, f'"{text}" stands twice.', "Remove one.", text.line)
    return texts


def _check_step_ids(top: Section, steps: list[StepFile]) -> None:
    """Cards point to a step by its id: it can be part of an address and is the file's only one."""
    named: dict[str, Text] = {}
    for step in steps:
        first = named.setdefault(str(step.id), step.id)
        if step.id and not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", step.id):
            mend = "Use small letters, digits and single hyphens."
            top.complain("stages", f'"{step.id}" cannot be a step\'s id.', mend, step.id.line)
        elif step.id and first is not step.id:
            what = f'the step "{step.id}" stands on line {first.line} too.'
            top.complain("stages", what, "Give this one an id of its own.", step.id.line)
