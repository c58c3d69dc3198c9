"""A typed, strict view of one mapping of front matter.

A `Section` hands out values by key and adds a `Problem` for whatever is missing, of the wrong form or unknown, so that one run
reports every mistake of a file. After a problem it hands out a harmless stand-in and reading goes on.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from ..errors import Problem, did_you_mean
from .front_matter import Mapping, Node, Sequence, Text


class Section:
    """One mapping, with the file and path that its problems carry."""

    def __init__(self, file: str, node: Mapping, problems: list[Problem], path: str = "") -> None:
        self.file, self.node, self.problems, self.path = file, node, problems, path
        self.line = node.line
        self._seen: set[str] = set()

    def at(self, key: str) -> str:
        """The dotted path of one of this section's keys."""
        return f"{self.path}.{key}".lstrip(".")

    def complain(self, key: str, what: str, mend: str, line: int | None = None) -> None:
        """Add a problem at `key`; its line is the key's own unless one is given."""
        self.problems.append(Problem(self.file, line or self.line_of(key), self.at(key), what, mend))

    def line_of(self, key: str) -> int:
        """The line a key stands on, or the section's own."""
        return next((known.line for known in self.node.items if known == key), self.line)

    def has(self, key: str) -> bool:
        return key in self.node.items

    def take(self, key: str, wanted: bool = True) -> Node | None:
        """The raw node under `key`; a problem is added when it is `wanted` and missing."""
        self._seen.add(key)
        node = self.node.items.get(Text(key, 0))
        if node is None and wanted:
            self.complain(key, "is missing.", f'Add a line "{key}: …".')
        return node

    def text(self, key: str, default: str | None = None) -> Text:
        """The text under `key`. Without a default the key must be there and must not be empty."""
        node = self.take(key, default is None)
        if node is None:
            return Text(default or "", self.line)
        if not isinstance(node, Text):
            self.complain(
                key,
                "should be one text, not a list or a mapping.",
                "Write it on one line, in quotes if it holds a comma or colon.",
            )
            return Text(default or "", node.line)
        if not node and default is None:
            self.complain(key, "is empty.", "Write the text behind the colon.")
        return node

    def one_of(self, key: str, allowed: Iterable[str], default: str | None = None) -> str:
        """The text under `key`, which must be one of `allowed`."""
        value, allowed = self.text(key, default), list(allowed)
        if value not in allowed and (value or default is not None):
            self.complain(key, f'"{value}" is not known here.', did_you_mean(value, allowed))
            return allowed[0]
        return str(value)

    def integer(self, key: str, default: int | None = None) -> int:
        """A whole number."""
        value = self.text(key, None if default is None else str(default))
        if re.fullmatch(r"-?[0-9]{1,9}", value):
            return int(value)
        if value or default is not None:
            self.complain(key, f'"{value}" is not a whole number.', "Write digits only.")
        return default or 0

    def flag(self, key: str) -> bool:
        """`true` or `false`; false when the key is missing."""
        return self.one_of(key, ["false", "true"], "false") == "true"

    def texts(self, key: str, wanted: bool = False, blank: bool = False) -> list[Text]:
        """A list of texts, empty when the key is missing and not `wanted`; an empty text counts only where
        `blank` may mean something.
        """
        found = []
        for item in self._sequence(key, wanted):
            if isinstance(item, Text) and (item or blank):
                found.append(item)
            else:
                self.complain(
                    key,
                    "each entry should be one text.",
                    'Write "- text" lines, quoted if they hold a colon.',
                    item.line,
                )
        return found

    def sections(self, key: str, wanted: bool = False) -> list[Section]:
        """A list of mappings, each as a section of its own."""
        found = []
        for number, item in enumerate(self._sequence(key, wanted)):
            if isinstance(item, Mapping):
                found.append(Section(self.file, item, self.problems, f"{self.at(key)}[{number + 1}]"))
            else:
                self.complain(
                    key, "each entry should be a mapping.", 'Write "- {key: value}" lines.', item.line
                )
        return found

    def section(self, key: str, wanted: bool = False) -> Section | None:
        """The mapping under `key` as a section, or None."""
        node = self.take(key, wanted)
        if isinstance(node, Mapping):
            if wanted and not node.items:
                self.complain(key, "is empty.", 'Write "name: {…}" lines below it.')
            return Section(self.file, node, self.problems, self.at(key))
        if node is None:
            return None
        self.complain(key, "should be a mapping.", 'Write "name: {…}" lines below it.', node.line)
        return None

    def named(self, key: str, wanted: bool = False) -> Iterator[tuple[Text, Section]]:
        """The mapping of mappings under `key`: each name with its section."""
        outer = self.section(key, wanted)
        for name in outer.node.items if outer else ():
            inner = outer.section(name) if outer else None
            if inner is not None:
                yield name, inner

    def close(self) -> None:
        """Complain of every key that nobody asked for."""
        for key in self.node.items:
            if key not in self._seen:
                self.complain(
                    key,
                    "unknown key.",
                    did_you_mean(key, self._seen) + " A text that holds a comma needs quotes.",
                    key.line,
                )

    def _sequence(self, key: str, wanted: bool) -> list[Node]:
        node = self.take(key, wanted)
        if isinstance(node, Sequence):
            if wanted and not node.items:
                self.complain(key, "is empty.", 'Write "- …" lines below it.')
            return node.items
        if node is None:
            return []
        self.complain(key, "should be a list.", 'Write "- …" lines or [a, b].', node.line)
        return []
