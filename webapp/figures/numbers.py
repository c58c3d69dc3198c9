"""Numbers as people type them and as the app writes them. static/js/lib/number.js is its twin, function by function.

The grammar, over text that the table `NORMAL` has cleaned:

    quantity  [sign] (fraction | decimal | power) [unit]
    fraction  [whole (space | "-")] digits "/" digits       1 1/8  1-1/8  11/8; behind a whole it is below 1
    decimal   [digits] [mark digits]                        12  12.5  12,5  .5
              groups [the other mark, digits]               12 500  1'234.5  1.234,5  1,234,567
    groups    1 to 3 digits, the first not 0; then, once or more, the same one of space ' , . and 3 digits
    power     digit [mark digits] "e" ["-"] 2 or 3 digits   only as `write_number` writes the huge and the tiny

Comma and point both mark decimals, in every language. One of them alone, behind the head of a group and before
exactly three digits (1,234), can mean two numbers: it is asked back, never guessed. `write_number` never writes
that form: see `_with_marks`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .unit_names import kinds_of, near_units, symbols, units_asked, units_named

LIMIT = 64
SMALLEST_PLAIN, LARGEST_PLAIN = -9, 14  # powers of ten of the first digit; beyond them stands the form 1.5e20
MOST_DECIMALS = 25  # enough for 17 digits of the smallest plain number; more zeros would only outgrow LIMIT

_VULGAR = (
    "½:1/2 ⅓:1/3 ⅔:2/3 ¼:1/4 ¾:3/4 ⅕:1/5 ⅖:2/5 ⅗:3/5 ⅘:4/5 "
    "⅙:1/6 ⅚:5/6 ⅐:1/7 ⅛:1/8 ⅜:3/8 ⅝:5/8 ⅞:7/8 ⅑:1/9 ⅒:1/10"
)
VULGAR = dict(pair.split(":") for pair in _VULGAR.split(" "))


def _span(first: int, last: int) -> str:
    return "".join(map(chr, range(first, last + 1)))


NORMAL: dict[str, str] = {
    # Two spaces, which no group of digits may hold: two cells of a pasted table must not become one number.
    **dict.fromkeys("\t\n\v\f\r\u0085\u2028\u2029", "  "),
    **dict.fromkeys("\u00a0\u1680\u202f\u205f\u3000" + _span(0x2000, 0x200A), " "),
    # Direction marks, byte order mark and joiners have no shape: what is read is what is seen.
    **dict.fromkeys("\u061c\u200b\u200e\u200f\u2060\ufeff", ""),
    **dict.fromkeys(_span(0x202A, 0x202E) + _span(0x2066, 0x2069), ""),
    **{chr(code): chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)},  # full-width forms
    # Digits: Arabic, Persian and Urdu, Devanagari.
    **{chr(zero + n): str(n) for zero in (0x0660, 0x06F0, 0x0966) for n in range(10)},
    **dict.fromkeys("\u2212\ufe58\ufe63" + _span(0x2010, 0x2015), "-"),
    **dict.fromkeys("\u02bc\u066c\u2018\u2019\u2032", "'"),
    **dict.fromkeys("\u201c\u201d\u2033", '"'),
    **dict.fromkeys("\u2044\u2215", "/"),
    **{"\u066b": ".", "\u060c": ",", "\u066a": "%"},
    # A space on both sides: 1⅛ is 1 1/8, and ½8 is not 1/28.
    **{sign: f" {digits} " for sign, digits in VULGAR.items()},
}
_NORMAL = str.maketrans(NORMAL)

_MARKED = r"(?:[0-9.,]|'(?=[0-9]))"
_RUN = rf"{_MARKED}+(?: [0-9]{{3}}(?![0-9]){_MARKED}*)*"
_FRACTION = r"(?:([0-9]+)(?: +|-))?([0-9]+) ?/ ?([0-9]+)"
_NUMBER = re.compile(rf"([-+]?) *(?:{_FRACTION}|({_RUN})([eE][-+]?[0-9]+)?)")
_SIMPLE = re.compile(r"([0-9]*)(?:[.,]([0-9]+))?")
_GROUPED = re.compile(r"([1-9][0-9]{0,2}([ '.,])[0-9]{3}(?:\2[0-9]{3})*)(?:(?!\2)[.,]([0-9]+))?")
_GROUP_HEAD = re.compile(r"[1-9][0-9]{0,2}")
_POWER = re.compile(r"([1-9](?:[.,][0-9]+)?)e(-?[1-9][0-9]{1,2})")
_NUMBER_MARK = re.compile(r"[-+0-9.,'/]")
_MORE_NUMBER = re.compile(r"(?!'+$)[-+0-9.,'/ ]+")  # but marks of feet and inches alone are a unit


class NumberProblem(Exception):
    """A text that states no number, or a number that cannot be stated.

    code     empty, ambiguous, unreadable, zero_denominator, too_long, not_finite, unknown_unit, asked_unit or
             wrong_kind
    fields   what the sentence needs, texts and lists of unit symbols. ambiguous: text, a and b (the two numbers
             in plain digits), type_a and type_b (what to type for each); unreadable, zero_denominator: text;
             too_long: limit; unknown_unit: unit, near, choices; asked_unit: unit, choices; wrong_kind: unit,
             kind (its title), choices
    """

    def __init__(self, code: str, **fields: str | list[str]) -> None:
        super().__init__(code, fields)
        self.code, self.fields = code, fields

    @property
    def key(self) -> str:
        """Key of the sentence among the words of content/words/numbers.md."""
        if self.fields.get("choices") == []:  # a bare count: no unit can be named
            return "number_no_unit"
        return f"number_{self.code}" + ("_near" if self.fields.get("near") else "")

    def sentence(self, words: Mapping[str, str]) -> str:
        """What is wrong and how to mend it, in the language of `words` (key -> text)."""
        texts = {
            name: field if isinstance(field, str) else ", ".join(field) for name, field in self.fields.items()
        }
        return re.sub(r"\{([a-z_]+)\}", lambda found: texts[found[1]], words[self.key])


@dataclass(frozen=True)
class Reading:
    """A quantity as typed: `number` in `unit` (an id), and the same as `si`. Both finite, never -0."""

    number: float
    unit: str
    si: float


def read_number(text: str) -> float:
    """The number that `text` states, finite and never -0; a unit behind it is refused. Raises NumberProblem."""
    cleaned = _cleaned(text)
    found = _NUMBER.match(cleaned)
    if not found or found.end() < len(cleaned):
        raise NumberProblem("unreadable", text=cleaned)
    return _value(found, cleaned)


def read_quantity(text: str, kind: str, units: Mapping[str, Any], default_unit: str) -> Reading:
    """The number and unit that `text` states, as typed into a field.

    kind           kind of the field, a key of units["kinds"]
    units          the table of units (see unit_names)
    default_unit   id of the unit that is meant when none is typed
    Raises         NumberProblem; what is wrong with the number comes before what is wrong with the unit
    """
    cleaned = _cleaned(text)
    found = _NUMBER.match(cleaned)
    unit_text = cleaned[found.end() :].strip(" ") if found else ""
    # "3000 1/min" ends in a unit; "1..2" and "12," in something that is still part of the number.
    if not found or (_NUMBER_MARK.match(unit_text) and not _is_known(unit_text, units)):
        raise NumberProblem("unreadable", text=cleaned)
    number = _value(found, cleaned)
    unit = _unit_meant(unit_text, kind, units, default_unit) if unit_text else default_unit
    entry = units["units"][unit]
    return Reading(number, unit, _finite(number * entry["factor"] + entry["offset"]))


def split_quantity(text: str) -> tuple[str, str]:
    """Number and unit of a typed text, cleaned but not judged; what has no unit behind a number stays whole."""
    try:
        cleaned = _cleaned(text)
    except NumberProblem:
        return text, ""
    found = _NUMBER.match(cleaned)
    rest = cleaned[found.end() :].strip(" ") if found else ""
    return (cleaned, "") if not found or _MORE_NUMBER.fullmatch(rest) else (found[0].strip(" "), rest)


def write_number(
    value: float, place: int | None = None, digits: int | None = None, decimal: str = "."
) -> str:
    """`value` for people, in a form that `read_number` reads as exactly what stands there.

    place      power of ten of the last digit kept: -2 keeps hundredths, 2 keeps hundreds
    digits     or: how many digits are kept, from the first that is not 0
    decimal    "." or ","
    Returns    minus U+2212; groups of three parted by U+202F from 10 000 up; 1.5e20 from 1e15 up and below 1e-9
    Rounding   on the shortest decimal digits of the value, halves away from zero: 1.005 to hundredths is 1.01
    Raises     NumberProblem not_finite; ValueError for place and digits both, digits below 1 or another mark
    """
    one_accuracy = digits is None or (place is None and digits >= 1)
    if not one_accuracy or decimal not in (".", ","):
        raise ValueError(f"place {place}, digits {digits}, decimal {decimal!r}")
    figures, last = _shortest(_finite(float(value)))
    if digits is not None and figures:
        place = last + len(figures) - digits
    figures, last = _rounded(figures, last, place)
    if digits is not None and len(figures) > digits:  # 9.99 became 10.0: one more in front, one fewer behind
        figures, last, place = figures[:-1], last + 1, last + 1
    sign = "−" if value < 0 and figures else ""
    first = last + len(figures) - 1
    if figures and not SMALLEST_PLAIN <= first <= LARGEST_PLAIN:
        return sign + _with_power(figures.rstrip("0"), first, decimal)
    return sign + _with_marks(figures, last, last if place is None else place, decimal)


def write_full(value: float, decimal: str = ".") -> str:
    """`value` with all its digits, for links, copies and fields: `read_number` gives the very same value back."""
    return write_number(value, decimal=decimal)


def first_power(value: float) -> tuple[int, int]:
    """Power of ten and digit of the first digit of a number that is not 0: 0.025 gives (-2, 2)."""
    figures, power = _shortest(value)
    return power + len(figures) - 1, int(figures[0])


def _cleaned(text: str) -> str:
    """`text` through the table. The limit comes first, so that nothing long is ever worked on."""
    if len(text) > LIMIT:
        raise NumberProblem("too_long", limit=str(LIMIT))
    cleaned = text.translate(_NORMAL).strip(" ")
    if not cleaned:
        raise NumberProblem("empty")
    return cleaned


def _value(found: re.Match[str], cleaned: str) -> float:
    sign, whole, over, under, run, power = found.groups()
    if over:
        size = _fraction(whole, over, under, cleaned)
    elif power:
        size = _with_exponent(run + power, cleaned)
    else:
        size = float(_decimal(sign, run, cleaned))
    return _finite(-size if sign == "-" else size)


def _fraction(whole: str | None, over: str, under: str, cleaned: str) -> float:
    if float(under) == 0:
        raise NumberProblem("zero_denominator", text=cleaned)
    # 1 125/8 could be 1125/8 as well; a proper fraction behind the whole leaves no doubt.
    if whole and float(over) >= float(under):
        raise NumberProblem("unreadable", text=cleaned)
    return (float(whole or "0") * float(under) + float(over)) / float(under)


def _with_exponent(text: str, cleaned: str) -> float:
    """Only the form that `write_number` writes; with one digit before its mark, 1.234e20 has one meaning."""
    own = _POWER.fullmatch(text)
    if not own or SMALLEST_PLAIN <= int(own[2]) <= LARGEST_PLAIN:
        raise NumberProblem("unreadable", text=cleaned)
    size = float(f"{own[1].replace(',', '.')}e{own[2]}")
    if size == 0:  # 1e-400 is not nothing
        raise NumberProblem("not_finite")
    return size


def _decimal(sign: str, run: str, cleaned: str) -> str:
    """Plain digits with a point, such as 1234.5, from digits with marks."""
    simple = _SIMPLE.fullmatch(run)
    if simple:
        whole, decimals = simple[1], simple[2] or "0"
        if len(decimals) == 3 and _GROUP_HEAD.fullmatch(whole):
            raise _ambiguity(sign.replace("+", ""), run, whole, decimals)
        return f"{whole or '0'}.{decimals}"
    grouped = _GROUPED.fullmatch(run)
    if not grouped:
        raise NumberProblem("unreadable", text=cleaned)
    return f"{grouped[1].replace(grouped[2], '')}.{grouped[3] or '0'}"


def _ambiguity(sign: str, run: str, whole: str, decimals: str) -> NumberProblem:
    a, b = f"{sign}{whole}.{decimals}", f"{sign}{whole}{decimals}"
    return NumberProblem("ambiguous", text=sign + run, a=a, b=b, type_a=f"{a}0", type_b=b)


def _finite(value: float) -> float:
    """`value`, with -0 made 0. Raises NumberProblem for an infinity and for what is no number."""
    if not math.isfinite(value):
        raise NumberProblem("not_finite")
    return value + 0.0


def _is_known(unit_text: str, units: Mapping[str, Any]) -> bool:
    return bool(units_named(unit_text, units["kinds"], units) or units_asked(unit_text, units))


def _unit_meant(text: str, kind: str, units: Mapping[str, Any], default_unit: str) -> str:
    """Id of the unit that `text` means in a field of `kind`. Raises NumberProblem."""
    own = [unit for _, unit in units_named(text, [kind], units)]
    if len(own) == 1:
        return own[0]
    listed = units["kinds"][kind]["units"]
    asked = own or units_asked(text, units)
    named = units_named(text, units["kinds"], units)
    # A gallon in a field of US gallons is one of these. A pound is a mass: in a field of torque it stays half a unit.
    if default_unit in asked and (own or not named):
        return default_unit
    choices = [unit for unit in asked if unit in listed]
    if choices:
        raise NumberProblem("asked_unit", unit=text, choices=symbols(choices, units))
    usable = symbols(listed, units)
    elsewhere = [other for other, _ in named] or kinds_of(asked, units)
    if elsewhere:
        title = units["kinds"][elsewhere[0]]["title"]
        raise NumberProblem("wrong_kind", unit=text, kind=title, choices=usable)
    near = symbols(near_units(text, kind, units), units)
    raise NumberProblem("unknown_unit", unit=text, near=near, choices=usable)


def _shortest(value: float) -> tuple[str, int]:
    """The fewest digits that read back as |value|, and the power of ten of the last; 0 has no digits."""
    mantissa, _, exponent = repr(abs(value)).partition("e")
    whole, _, decimals = mantissa.partition(".")
    figures = (whole + decimals).rstrip("0")
    power = int(exponent or "0") + len(whole) - len(figures)
    return (figures.lstrip("0"), power) if figures else ("", 0)


def _rounded(figures: str, last: int, place: int | None) -> tuple[str, int]:
    """The digits cut at `place`, halves away from zero, and the power of ten of the last that is left."""
    if place is None or place <= last or not figures:
        return figures, last
    cut = place - last
    kept = figures[: max(0, len(figures) - cut)]
    first_cut = figures[len(kept)] if cut <= len(figures) else "0"
    return (str(int(kept or "0") + 1) if first_cut >= "5" else kept), place


def _with_power(figures: str, first: int, decimal: str) -> str:
    mantissa = figures[0] + (decimal + figures[1:] if len(figures) > 1 else "")
    return f"{mantissa}e{'−' if first < 0 else ''}{abs(first)}"


def _with_marks(figures: str, last: int, place: int, decimal: str) -> str:
    """Digits with decimal mark and groups, filled up with zeros to `place`.

    Where the mark could be taken for one of thousands (1.234) a zero follows (1.2340): same value, no doubt.
    """
    decimals = min(max(0, -place), MOST_DECIMALS)
    filled = (figures + "0" * (decimals + last if figures else 0)).rjust(decimals + 1, "0")
    whole, fraction = filled[: len(filled) - decimals], filled[len(filled) - decimals :]
    if len(fraction) == 3 and _GROUP_HEAD.fullmatch(whole):
        fraction += "0"
    if len(whole) > 4:
        whole = re.sub(r"(?!^)(?=(?:[0-9]{3})+$)", "\u202f", whole)
    return whole + (decimal + fraction if fraction else "")
