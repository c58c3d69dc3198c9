r"""The pack: all texts of one language's copy in one file, taken apart so that brotli makes it small.

Packed page by page, most of a page goes into stepping from what all pages share to what is this page's own and back, some hundred
times. In a pack each sort of thing has a stream of its own, and the worker puts the files together again; each is then checked
against its own hash, so a fault in here can lose time but never a byte. Twin: `filesIn` in static/js/sw.js.

    pack       streams parted by GS: the files' paths; named streams (name and pieces parted by US); last the skeletons, parted by RS
    page       its skeleton has a TEXT for each run of text between runs of tags (stream "text"), and a VALUE behind the `=` of an
               attribute (stream of the attribute's name). Attributes that hardly ever differ from page to page stay in the skeleton.
    script     of the language: VALUE for each quoted text (stream "string"). Other files are all skeleton.
    row        an id="row-X" begins one. In values up to the next, ROW stands for X and LABEL for the first text in the row.
    value      LAST stands for the last text in front of it that is more than space.
    formula    a text that says the data-symbol="x_y" in front of it, as "x y", is a SYMBOL.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Mapping

TEXT, VALUE, ROW, LABEL, SYMBOL, LAST = "\x01", "\x02", "\x03", "\x04", "\x05", "\x06"
GS, RS, US = "\x1d", "\x1e", "\x1f"
ROW_ID = "row-"

_OURS = re.compile("[\x01-\x06\x1d-\x1f]")
_TAGS = re.compile(r"((?:<[^>]*>\s*)+)")
_ATTRIBUTE = re.compile(r'([\w:-]+)="([^"]*)"')
_STRING = re.compile(r'"((?:[^"\\]|\\.)*)"')
_STAY = frozenset(
    "aria-hidden autocapitalize autocomplete autocorrect charset class d data-part enterkeyhint focusable height rel role scope"
    " spellcheck type viewBox width".split()
)

Give = Callable[[str, str], None]


def packed(texts: Mapping[str, str], language: str) -> str:
    """The pack of these files (path -> text). A file that holds one of our marks is left out; the worker fetches it by itself."""
    streams: dict[str, list[str]] = defaultdict(list)
    skeletons = {}
    for path in sorted(texts, key=lambda path: _place(path, language)):
        if not _OURS.search(texts[path]):
            skeletons[path] = _skeleton(
                path, texts[path], language, lambda name, piece: streams[name].append(piece)
            )
    # By name, the two large ones first: what is alike stands together.
    names = sorted(streams, key=lambda name: (name not in ("text", "string"), name))
    return GS.join(
        [
            US.join(skeletons),
            *(US.join([name, *streams[name]]) for name in names),
            RS.join(skeletons.values()),
        ]
    )


def _place(path: str, language: str) -> tuple[int, str, str]:
    """Pages, then scripts of the language, then the rest by type: what is alike stands together."""
    if path.endswith("/"):
        return 0, "", path
    return (1, "", path) if _is_of(path, language) else (2, path.rpartition(".")[2], path)


def _is_of(path: str, language: str) -> bool:
    return path.endswith(f".{language}.js")


def _skeleton(path: str, text: str, language: str, give: Give) -> str:
    """What is left of a file when `give(stream, piece)` has been handed the rest."""
    if path.endswith("/"):
        return _Page(give).skeleton(text)
    if _is_of(path, language):
        for found in _STRING.finditer(text):
            give("string", found[1])
        return _STRING.sub(VALUE, text)
    return text


class _Page:
    """One page on its way into the streams."""

    def __init__(self, give: Give) -> None:
        self.give = give
        self.row = self.label = self.symbol = self.last = ""

    def skeleton(self, text: str) -> str:
        runs = _TAGS.split(text)
        return "".join(self._tags(run) if n % 2 else self._text(run) for n, run in enumerate(runs))

    def _text(self, text: str) -> str:
        if self.row and not self.label:
            self.label = text
        self.last = text if text.strip() else self.last
        self.give("text", SYMBOL if text and text == self.symbol else text)
        return TEXT

    def _tags(self, tags: str) -> str:
        return _ATTRIBUTE.sub(self._attribute, tags)

    def _attribute(self, found: re.Match[str]) -> str:
        name, value = found.groups()
        if name in _STAY:
            return found[0]
        self.give(name, self._folded(value))
        if name == "id" and value.startswith(ROW_ID):
            self.row, self.label = value.removeprefix(ROW_ID), ""
        if name == "data-symbol":
            self.symbol = value.replace("_", " ")
        return f"{name}={VALUE}"

    def _folded(self, value: str) -> str:
        for text, mark in ((self.last, LAST), (self.label, LABEL)):
            value = value.replace(text, mark) if text else value
        return re.sub(rf"(?<![\w.]){re.escape(self.row)}(?![\w.])", ROW, value) if self.row else value
