"""Answers found along a Figure's run: where another answer comes to a level, where it is most, what it is at a place.

A run goes over one of the Figure's own answers, its *place*: an engine speed, say. At each place the answers below it are worked
out anew. static/js/lib/run.js is its twin.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from .brent import root_between
from .model import Give, Sweep

Values = dict[str, Any]
# What is known at a place; None where the Figure refuses there.
At = Callable[[float], Values | None]
Number = Callable[[Any, Values], float]


class Run:
    """The run of one set of inputs; its samples are worked out once, when the first answer asks for them.

    at        place -> what is known there
    number    formula and values -> number
    """

    def __init__(self, sweep: Sweep, start: float, stop: float, at: At, number: Number) -> None:
        self.places = places(start, stop, sweep.steps)
        self._at, self.number = at, number
        self._known: dict[float, Values | None] = {}
        self._samples: list[tuple[float, Values]] | None = None

    def at(self, place: float) -> Values | None:
        """What is known at a place; several answers often look at one."""
        if place not in self._known:
            self._known[place] = self._at(place)
        return self._known[place]

    @property
    def samples(self) -> list[tuple[float, Values]]:
        """Each place that has answers, with them."""
        if self._samples is None:
            found = [(x, self.at(x)) for x in self.places]
            self._samples = [(x, values) for x, values in found if values is not None]
        return self._samples

    def find(self, give: Give, values: Values) -> float:
        """What a 'reach', 'peak' or 'look' answer is; infinite for a level never reached, NaN for what is not known."""
        if give.type == "look":
            there = self.at(self.number(give.at, values))
            return math.nan if there is None else float(there[give.of])
        return self._reach(give) if give.type == "reach" else self._peak(give)

    def off(self, give: Give, x: float) -> float:
        """How far beyond its level the answer of a 'reach' is at a place; NaN where it is not known."""
        values = self.at(x)
        return math.nan if values is None else self._beyond(give, values)

    def slope(self, give: Give, x: float) -> float:
        """How `off` changes with the place, there."""
        h = (self.places[-1] - self.places[0]) / 1000
        return (self.off(give, x + h) - self.off(give, x - h)) / (2 * h)

    def _beyond(self, give: Give, values: Values) -> float:
        beyond = float(values[give.of]) - self.number(give.level, values)
        return beyond if give.upward else -beyond

    def _reach(self, give: Give) -> float:
        # The neighbour before, None at the start and behind a place without answers: there is no root to be looked for then.
        before: tuple[float, float] | None = None
        for x in self.places:
            values = self.at(x)
            if values is None:
                before = None
                continue
            beyond = self._beyond(give, values)
            if beyond >= 0:
                if before is None or beyond == 0:
                    return x
                return root_between(lambda place: self.off(give, place), before[0], x, before[1], beyond)
            before = (x, beyond)
        return math.inf

    def _peak(self, give: Give) -> float:
        """The place of the samples where the answer is most (or least); of several, the first."""
        sign = 1 if give.upward else -1
        found, most = math.nan, -math.inf
        for x, values in self.samples:
            if sign * values[give.of] > most:
                found, most = x, sign * values[give.of]
        return found


def places(start: float, stop: float, steps: int) -> list[float]:
    """steps + 1 places from start to stop. The last is the end itself: a bit beyond it would lie outside the range."""
    return [start + (stop - start) * n / steps for n in range(steps)] + [stop]
