"""What the number tests of Python and of the browser share: the table of cases, values to write, hostile texts."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import yaml

from webapp.figures.numbers import NumberProblem, Reading, read_number, read_quantity

REPO = Path(__file__).resolve().parent.parent.parent
CASES: dict[str, Any] = json.loads(Path(__file__).with_name("number_cases.json").read_text(encoding="utf-8"))
WORDS: dict[str, str] = yaml.safe_load(
    (REPO / "content" / "words" / "numbers.md").read_text(encoding="utf-8").split("---\n")[1]
)["words"]

# Pieces that have fooled readers of numbers, and pieces of our own grammar; hostile texts are made of these.
_NUMERIC = (
    "0 1 7 12 125 500 0000 999999999 . , .. ' ’ - + − – / ⁄ ½ ⅛ ⅐ e E e5 e-12 e400 ( ) * ** ^ % ٪ ° º ″ ′"
)
_WORDLIKE = (
    "NaN inf Infinity -inf nan undefined null true None 0x10 1_0 1e3 1e15 9**9**7 __proto__ constructor"
)
_UNITLIKE = (
    "psi bar mPa MPa ft-lb lb gal °C rpm 1/min 1/s kg/m³ in mm x toString {unit} <b> ; -- $1 \\ & ² ⁻¹ µ Ω"
)
_FOREIGN = "٣ ٫ ٬ ۱ ५ １ ， ． － İ ß \u212a 😀 ½½"
_BLANK = (
    " ",
    "  ",
    "\t",
    "\n",
    "\r\n",
    "\u00a0",
    "\u202f",
    "\u2009",
    "\u200e",
    "\u061c",
    "\u2066",
    "\ufeff",
    "\0",
)
PIECES = (*f"{_NUMERIC} {_WORDLIKE} {_UNITLIKE} {_FOREIGN}".split(" "), *_BLANK)


def outcome(call: Callable[[], Any]) -> dict[str, Any]:
    """What a reading or writing came to, in the shape that the browser side reports too."""
    try:
        result = call()
    except NumberProblem as problem:
        return {"code": problem.code, "fields": problem.fields, "sentence": problem.sentence(WORDS)}
    if isinstance(result, Reading):
        result = {"number": result.number, "unit": result.unit, "si": result.si}
    return {"result": result}


def outcome_of_case(case: dict[str, Any]) -> dict[str, Any]:
    """The outcome of one entry of "numbers" or "quantities"."""
    if "kind" in case:
        return outcome(lambda: read_quantity(case["text"], case["kind"], CASES["units"], case["default"]))
    return outcome(lambda: read_number(case["text"]))


def written_arguments(case: dict[str, Any]) -> tuple[Any, ...]:
    """Arguments of `write_number` for one entry of "written"."""
    return case["value"], case.get("place"), case.get("digits"), case.get("decimal", ".")


def values_to_write(count: int) -> list[tuple[float, int | None, int | None]]:
    """(value, place, digits): ties, round numbers, all sizes and signs; the same list in every run."""
    chance = random.Random(22)
    return [(_value(chance), *_accuracy(chance)) for _ in range(count)]


def _value(chance: random.Random) -> float:
    sign = chance.choice((1, -1))
    makers: tuple[Callable[[], float], ...] = (
        lambda: chance.randrange(1, 8000) / 8,
        lambda: (chance.randrange(10**6) * 10 + 5) / 10 ** chance.randrange(1, 6),
        lambda: chance.randrange(1, 10**6) / 1000,
        lambda: float(chance.randrange(10**7)),
        lambda: chance.uniform(0, 2000),
        lambda: chance.uniform(1, 10) * 10.0 ** chance.randrange(-14, 19),
        lambda: float(10 ** chance.randrange(17)) - chance.choice((0, 0.001, 0.5)),
    )
    return sign * chance.choice(makers)()


def _accuracy(chance: random.Random) -> tuple[int | None, int | None]:
    kind = chance.randrange(3)
    return (
        (None, None)
        if kind == 0
        else (chance.randrange(-6, 4), None)
        if kind == 1
        else (None, chance.randrange(1, 9))
    )


def rounded(value: float, place: int | None, digits: int | None) -> float:
    """The value that a written text must state: decimal arithmetic of the standard library, halves away from zero."""
    exact = Decimal(repr(value))
    if digits is not None and exact:
        place = exact.adjusted() - digits + 1
    if place is None:
        return value
    step = Decimal(1).scaleb(place)
    size = (abs(exact) / step + Decimal("0.5")).__floor__() * step
    return float(size.copy_sign(exact)) + 0.0


def hostile_texts(count: int) -> list[str]:
    """Texts of one to eight pieces; the same list in every run."""
    chance = random.Random(27)
    return ["".join(chance.choices(PIECES, k=chance.randrange(1, 9))) for _ in range(count)]
