#!/usr/bin/env python3
"""Measures Cowlside against its budgets: `.venv/bin/python tests/bench/run.py [bytes] [rate] [start] [phone] [finder]`.

Each figure is printed beside its budget; where a figure depends on the machine it is a ratio against something bare
measured in the same run. Nothing fails here: a slow machine is no fault.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from typing import NamedTuple

import bytes_sent
import finder
import phone
import requests_answered
import server_start


class Line(NamedTuple):
    """One measured figure. `budget` is the most allowed, or the least where `at_least` is set; None where there is none."""

    what: str
    value: float
    unit: str
    budget: float | None = None
    at_least: bool = False


PARTS: dict[str, Callable[[], Iterable[tuple]]] = {
    "bytes": bytes_sent.measure,
    "rate": requests_answered.measure,
    "start": server_start.measure,
    "phone": phone.measure,
    "finder": finder.measure,
}


def main(wanted: list[str]) -> int:
    """Print one line for each figure as soon as it is known."""
    if unknown := [name for name in wanted if name not in PARTS]:
        print(f"{', '.join(unknown)}: no such part. There are: {', '.join(PARTS)}.", file=sys.stderr)
        return 2
    print(f"{'what':66}{'measured':>12}  {'budget':>12}")
    for name in wanted or PARTS:
        for fields in PARTS[name]():
            print(spell(Line(*fields)), flush=True)
    return 0


def spell(line: Line) -> str:
    """The figure, its budget, and whether it keeps to it."""
    measured = f"{line.value:.3g}" if abs(line.value) < 1000 else f"{line.value:.0f}"
    if line.budget is None:
        return f"{line.what:66}{measured + ' ' + line.unit:>12}"
    kept = line.value >= line.budget if line.at_least else line.value <= line.budget
    budget = f"{'≥' if line.at_least else '≤'} {line.budget:g} {line.unit}"
    return f"{line.what:66}{measured + ' ' + line.unit:>12}  {budget:>12}  {'kept' if kept else 'MISSED'}"


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
