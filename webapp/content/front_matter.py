"""Front matter: the YAML block on top of a Markdown file, as a tree whose every leaf knows its line.

Scalars stay text. YAML's own guesses (`no` as false, `12:30` as a number) never happen, because only the composer of the YAML
library runs, not its constructor; a later reader decides what a text should be.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import yaml

from ..errors import Problem


class Text(str):
    """A text that remembers the line of the file it stood on."""

    line: int

    def __new__(cls, text: str, line: int) -> Text:
        made = super().__new__(cls, text)
        made.line = line
        return made


@dataclass(frozen=True)
class Mapping:
    """A YAML mapping: `items` in the file's order, keys with their lines."""

    items: dict[Text, Node]
    line: int


@dataclass(frozen=True)
class Sequence:
    """A YAML list."""

    items: list[Node]
    line: int


Node = Text | Mapping | Sequence


@dataclass(frozen=True)
class Document:
    """One content file: its front matter and its Markdown body, which starts on `body_line`."""

    file: str
    front: Mapping
    body: str
    body_line: int


def read_document(file: str, text: str, problems: list[Problem]) -> Document | None:
    """Split a file into front matter and body.

    file      the name that problems will carry, such as 'content/figures/mixture.md'
    Returns   the document, or None after adding to `problems` what keeps it from being read.
    """
    lines = split_lines(text.removeprefix("\ufeff"))
    ends = [n for n, line in enumerate(lines) if line.rstrip() == "---"]
    if not lines or lines[0].rstrip() != "---" or len(ends) < 2:
        problems.append(
            Problem(
                file,
                1,
                "",
                "the front matter is missing.",
                "Begin the file with a line ---, the keys, and a second line ---.",
            )
        )
        return None
    front = _compose(file, "".join(lines[1 : ends[1]]), problems)
    if front is None:
        return None
    return Document(file, front, "".join(lines[ends[1] + 1 :]), ends[1] + 2)


def split_lines(text: str) -> list[str]:
    """The lines of a text, ends kept. Only a line feed parts them: editors and the Markdown parser count nothing else."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)


class _Loader(yaml.SafeLoader):
    """Refuses anchors, aliases and tags: they take a text's first word away in silence, and aliases make short files endless."""

    def compose_node(self, parent: Any, index: Any) -> Any:
        event = self.peek_event()  # type: ignore[no-untyped-call]
        if getattr(event, "anchor", None) or getattr(event, "tag", None):
            raise yaml.MarkedYAMLError(problem="a text begins with &, * or !", problem_mark=event.start_mark)
        return super().compose_node(parent, index)


# What makes a text begin with a sign that YAML takes for itself; _Loader words the mistake.
_SIGN = re.compile(r"(?:^|[\s\[{,:-])[&*!]", re.MULTILINE)
_MOST_BRACKETS = 2000  # the C library reads nested brackets without looking at how deep it is


def _root(block: str) -> yaml.Node | None:
    """The YAML library's tree: by its C part where that is there and nothing is wrong, five times as fast."""
    quick = getattr(yaml, "CSafeLoader", None)
    if quick and not _SIGN.search(block) and block.count("[") + block.count("{") < _MOST_BRACKETS:
        try:
            return yaml.compose(block, Loader=quick)
        except yaml.YAMLError:
            pass  # read again below, where mistakes have their lines and words
    return yaml.compose(block, Loader=_Loader)


def _compose(file: str, block: str, problems: list[Problem]) -> Mapping | None:
    try:
        root = _root(block)
    except (yaml.YAMLError, RecursionError) as error:
        line, what = _yaml_mistake(error, block)
        mend = "Quote a text that begins with a sign or holds a colon, a comma or a brace."
        problems.append(Problem(file, line + 2, "", f"the front matter is not YAML: {what}.", mend))
        return None
    if not isinstance(root, yaml.MappingNode):
        problems.append(Problem(file, 2, "", "the front matter holds no keys.", 'Write "key: value" lines.'))
        return None
    tree = _tree(file, root, problems, "")
    assert isinstance(tree, Mapping)
    return tree


def _yaml_mistake(error: Exception, block: str) -> tuple[int, str]:
    """Line (from nought) and wording of what the YAML library found."""
    if isinstance(error, yaml.MarkedYAMLError):
        # A quote or bracket that is never closed is noticed at the end, but to be mended where it was opened.
        never_closed = "end of stream" in str(error.problem) or "stream end" in str(error.problem)
        mark = error.context_mark if never_closed else error.problem_mark or error.context_mark
        what = "a quote or bracket is never closed" if never_closed else str(error.problem)
        return (mark.line if mark else 0), what
    position = getattr(error, "position", None)
    if position is None:
        return 0, "it is nested too deep"
    return block.count("\n", 0, position), "it holds a control character"


def _tree(file: str, node: yaml.Node, problems: list[Problem], path: str) -> Node:
    # The block starts on the file's second line and YAML counts from nought: hence + 2.
    line = node.start_mark.line + 2
    if isinstance(node, yaml.ScalarNode):
        return Text(str(node.value).strip(), line)
    if isinstance(node, yaml.SequenceNode):
        return Sequence(
            [_tree(file, item, problems, f"{path}[{n}]") for n, item in enumerate(node.value)], line
        )
    items: dict[Text, Node] = {}
    for key_node, value_node in node.value:
        if not isinstance(key_node, yaml.ScalarNode):
            problems.append(Problem(file, line, path, "a key is not a plain word.", "Quote it."))
            continue
        key = Text(str(key_node.value), key_node.start_mark.line + 2)
        here = f"{path}.{key}".lstrip(".")
        if key in items:
            problems.append(
                Problem(file, key.line, here, "stands twice; only one can count.", "Remove one of them.")
            )
        items[key] = _tree(file, value_node, problems, here)
    return Mapping(items, line)
