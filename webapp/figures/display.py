"""Numbers as they are shown: how many digits an answer deserves, and one quantity in all units of its kind.

static/js/lib/display.js is the same, function by function, so that server and phone print the same characters.

The rule: the last digit shown is the first of the likely spread, or the second where the spread begins with 1 or 2; never more
than six digits, never fewer than two. A number with no spread (a plain conversion) shows five and drops closing noughts.
Three decimals behind a whole part are never shown, because that form can be read as thousands: a spread number then loses a
digit, an exact one gains a true one.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .numbers import first_power, write_number

MOST_DIGITS, LEAST_DIGITS, EXACT_DIGITS, OTHER_DIGITS, FULL_DIGITS = 6, 2, 5, 4, 12
LEAST_ECHO, MOST_ECHO = 1e-3, 1e7
LEAST_OTHER = 1e-6  # less is a row of noughts that nobody counts right: 0.1 ms in hours


def in_unit(si: float, unit: Mapping[str, Any]) -> float:
    """The number of a quantity in a unit."""
    return float((si - unit["offset"]) / unit["factor"]) + 0.0


def last_place(value: float, spread: float) -> int:
    """Power of ten of the last digit that `value` ± `spread` deserves (both in the unit shown)."""
    first, digit = first_power(spread)
    place = first - 1 if digit < 3 else first
    top = first_power(value)[0] if value else place
    place = min(max(place, top - MOST_DIGITS + 1), top - LEAST_DIGITS + 1) if value else place
    return -2 if place == -3 and abs(value) >= 1 else place


def written(si: float, unit: Mapping[str, Any], spread: float, decimal: str) -> str:
    """A quantity's number in a unit, with the digits that its SI `spread` allows; nought for an exact one."""
    value = in_unit(si, unit)
    if spread > 0:
        return write_number(value, place=last_place(value, spread / unit["factor"]), decimal=decimal)
    return exact(value, EXACT_DIGITS, decimal)


def exact(value: float, digits: int, decimal: str) -> str:
    """A number to so many digits without closing noughts."""
    if not value:
        return "0"
    place = first_power(value)[0] - digits + 1
    if place == -3 and abs(value) >= 1:
        place = -4
    text = write_number(value, place=place, decimal=decimal)
    if decimal not in text or "e" in text:
        return text
    short = text.rstrip("0").rstrip(decimal)
    # Dropping noughts may lead back to the form with three decimals.
    whole, _, decimals = short.partition(decimal)
    return short + "0" if len(decimals) == 3 and whole.strip("−") != "0" else short


def half_width(spread: float, unit: Mapping[str, Any], value: float, decimal: str) -> str:
    """A spread's number, to the same place as the value it belongs to but never as nought."""
    width = spread / unit["factor"]
    place = min(last_place(value, width), first_power(width)[0])
    return write_number(width, place=-2 if place == -3 and width >= 1 else place, decimal=decimal)


def all_units(
    si: float, kind: Mapping[str, Any], units: Mapping[str, Any], first: str, spread: float, decimal: str
) -> list[dict[str, str]]:
    """The quantity in the other units of its kind, less those in which it is too small to read: [{number, unit}]."""
    return [
        {"number": written(si, units[unit], spread, decimal), "unit": units[unit]["symbol"]}
        for unit in kind["units"]
        if unit != first and not 0 < abs(in_unit(si, units[unit])) < LEAST_OTHER
    ]


def echo(
    si: float, kind: Mapping[str, Any], units: Mapping[str, Any], first: str, decimal: str
) -> list[dict[str, str]]:
    """A typed quantity in the other units of its kind, less those in which it is too small or large to read."""
    others = [(units[unit]["symbol"], in_unit(si, units[unit])) for unit in kind["units"] if unit != first]
    return [
        {"number": exact(value, OTHER_DIGITS, decimal), "unit": symbol}
        for symbol, value in others
        if not value or LEAST_ECHO <= abs(value) < MOST_ECHO
    ]


def with_unit(number: str, symbol: str) -> str:
    """'43.5 psi', '90°', or the number alone for a kind without a symbol."""
    if symbol == "°":
        return number + symbol
    return f"{number} {symbol}" if symbol else number


def full_text(si: float, unit: Mapping[str, Any], decimal: str) -> str:
    """A quantity with twelve digits and its unit, in a form that can be typed back; beyond them stands only
    the noise of the machine.
    """
    return with_unit(exact(in_unit(si, unit), FULL_DIGITS, decimal), unit["symbol"])
