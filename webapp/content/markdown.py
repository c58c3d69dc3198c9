"""Markdown bodies: CommonMark with tables, raw HTML shown as text, headings in order, links that lead somewhere.

The parser is markdown-it-py. Pages give their own title as the first heading, so a body starts at the second level.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.token import Token

from ..errors import Problem
from .front_matter import split_lines

_PARSER = MarkdownIt("commonmark", {"html": False, "typographer": False}).enable("table")


def _open_table(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    """A table may be wider than a phone: it scrolls by itself, and a keyboard can reach it. It is called by its first head."""
    name = escapeHtml(_first_head(tokens, at))
    return f'<div class="table-scroll" tabindex="0" role="region" aria-label="{name}"><table>\n'


def _first_head(tokens: Sequence[Token], at: int) -> str:
    """Text of the first cell of the table that opens at a token."""
    return next((token.content for token in tokens[at:] if token.type == "inline"), "")


_PARSER.add_render_rule("table_open", _open_table)
_PARSER.add_render_rule("table_close", lambda *_: "</table></div>\n")


@dataclass
class Body:
    """A rendered body: its HTML and the internal links (target, line) that the site must be able to follow."""

    html: str
    links: list[tuple[str, int]] = field(default_factory=list)


def render_body(file: str, text: str, first_line: int, problems: list[Problem]) -> Body:
    """HTML of a Markdown body.

    first_line   line of the file on which `text` starts, so that problems carry the file's own lines.
    Links to other content are written as 'figures/mixture', 'cautions/fire', 'help/offline'; the site turns them into addresses.
    """
    tokens = _PARSER.parse(text)
    body = Body("")
    depth = 1
    for at, token in enumerate(tokens):
        line = first_line + (token.map[0] if token.map else 0)
        if token.type == "table_open" and not _first_head(tokens, at):
            mend = "Write in it what the first column holds."
            problems.append(Problem(file, line, "", "the first head of the table is empty.", mend))
        if token.type == "heading_open":
            depth = _check_heading(file, line, depth, int(token.tag[1]), problems)
        if token.type == "inline":
            body.links.extend((target, line + below) for target, below in _internal_links(token))
    body.html = _PARSER.renderer.render(tokens, _PARSER.options, {})
    return body


def render_line(text: str) -> str:
    """HTML of one line of text with Markdown's inline marks, without the paragraph around it."""
    return _PARSER.renderInline(text)


def line_links(text: str) -> list[str]:
    """The internal links of one line of text."""
    return [target for token in _PARSER.parseInline(text) for target, _ in _internal_links(token)]


def pipe_table(text: str, first_line: int) -> list[tuple[int, list[str]]]:
    """The rows of the first table of a body, header first, each with its line; cells as plain Markdown text."""
    rows: list[tuple[int, list[str]]] = []
    for token in _PARSER.parse(text):
        if token.type == "table_close":
            break
        if token.type == "tr_open":
            rows.append((first_line + (token.map[0] if token.map else 0), []))
        elif token.type == "inline" and rows:
            rows[-1][1].append(token.content)
    return rows


def without_table(text: str) -> str:
    """The body with its first table blanked out, line for line: a table's page shows the table in a form of its own."""
    tokens = _PARSER.parse(text)
    spans = [token.map for token in tokens if token.type == "table_open" and token.map]
    if not spans:
        return text
    first, behind = spans[0]
    lines = split_lines(text)
    return "".join([*lines[:first], *"\n" * (behind - first), *lines[behind:]])


def _check_heading(file: str, line: int, depth: int, level: int, problems: list[Problem]) -> int:
    if level == 1:
        problems.append(
            Problem(
                file,
                line,
                "",
                "a heading of the first level stands in the body.",
                "The title is the first heading: begin with ##.",
            )
        )
    elif level > depth + 1:
        problems.append(
            Problem(
                file,
                line,
                "",
                f"the heading jumps from level {depth} to {level}.",
                f"Use {'#' * (depth + 1)} here.",
            )
        )
    return level


def _internal_links(token: Token) -> list[tuple[str, int]]:
    """Targets of links and pictures within the content, each with how many lines below the paragraph's first it stands."""
    found, below = [], 0
    for child in token.children or []:
        below += child.type in ("softbreak", "hardbreak")
        target = child.attrs.get({"link_open": "href", "image": "src"}.get(child.type, ""))
        if isinstance(target, str) and not ("://" in target or target.startswith(("mailto:", "tel:", "#"))):
            found.append((target, below))
    return found
