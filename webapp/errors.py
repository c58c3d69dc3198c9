"""Every error that Cowlside raises on purpose, and the one place where place and remedy are worded.

A writer's mistake is a `Problem` (file, line, key, what, mend); all problems of a run travel together in a `ContentError`.
A formula's mistake is a `FormulaError`, which the reader of the file turns into a `Problem` by adding file and line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

# The search for a border stops a hair short of it: an answer so much smaller than the largest is nought.
NOISE = 1e-6


@dataclass(frozen=True, order=True)
class Problem:
    """One mistake in a content file. `what` and `mend` are whole sentences; `key` is the dotted path, '' for the whole file."""

    file: str
    line: int
    key: str
    what: str
    mend: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}: "
        return place + (f"{self.key}: " if self.key else "") + f"{self.what} {self.mend}".strip()


class Told(Exception):
    """An error whose message is a whole sentence for whoever started the command: what is wrong and how to mend it."""


class ContentError(Exception):
    """All problems of one run, sorted by file and line."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = sorted(set(problems))
        super().__init__("\n".join(str(problem) for problem in self.problems))


class FormulaError(Exception):
    """A formula that may not stand in a content file: `what` is wrong and how to `mend` it."""

    def __init__(self, what: str, mend: str) -> None:
        self.what, self.mend = what, mend
        super().__init__(f"{what} {mend}")


class NoSolution(Exception):
    """No value of the unknown gives the wanted answer; carries the SI range of answers that can be reached.

    `lowest` and `highest` are None when no value of the unknown gives any answer at all.
    """

    def __init__(self, answers: Iterable[float]) -> None:
        met = list(answers)
        self.lowest, self.highest = min(met, default=None), max(met, default=None)
        if met and abs(min(met)) < NOISE * abs(max(met)):
            self.lowest = 0.0
        super().__init__(f"answers from {self.lowest} to {self.highest} can be reached")


class UnknownFigure(Exception):
    """A figure was asked for by a name that no content file has."""

    def __init__(self, name: str, near: list[str]) -> None:
        self.name, self.near = name, near
        super().__init__(name)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """'Did you mean "x"?' for the nearest known word, else the list of what is allowed."""
    import difflib

    known = list(known)
    if not known:
        return "There is none yet."
    near = difflib.get_close_matches(word, known, 1, 0.6)
    return f'Did you mean "{near[0]}"?' if near else f"Allowed here: {', '.join(sorted(known))}."
