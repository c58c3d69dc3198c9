"""Reads content/setup.md: what a person enters once, in groups of fields. Nothing in it has a number of its own."""

from __future__ import annotations

from ..errors import Problem
from .front_matter import Document, Text
from .markdown import render_body
from .records import SetupField, SetupFile, SetupGroup
from .sections import Section


def read_setup(document: Document, problems: list[Problem]) -> SetupFile:
    """The record of the setup's file; problems are added, never raised."""
    top = Section(document.file, document.front, problems)
    body = render_body(document.file, document.body, document.body_line, problems)
    groups = [_group(name, entry) for name, entry in top.named("groups", True)]
    top.close()
    return SetupFile(document.file, groups, body.html, body.links)


def _group(name: Text, entry: Section) -> SetupGroup:
    fields = [_field(key, field) for key, field in entry.named("fields", True)]
    group = SetupGroup(name, entry.text("label"), fields)
    entry.close()
    return group


def _field(name: Text, entry: Section) -> SetupField:
    """A field of one of two forms, as an input of a Figure; only the keys of its own form are asked for."""
    nothing = Text("", entry.line)
    field = SetupField(name, entry.text("label"), entry.text("note", ""), nothing, nothing, nothing, nothing)
    if entry.has("choose"):
        field.choose = entry.text("choose")
    else:
        field.kind, field.unit, field.low, field.high = (
            entry.text(key) for key in ("kind", "in", "from", "to")
        )
    entry.close()
    return field
