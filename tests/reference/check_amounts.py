"""Numbers of an outside check: '13 lbf*ft' to SI, and the tolerance that goes with an entry.

A unit that the app has is taken from the app's own units table, which is thereby checked along; the rest comes from pint.
SI as the app counts it: turns a second for a speed of turning, kelvin for a reading.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Any

import pint

# How the checks write a unit -> the app's unit. What stands on neither side is left to pint.
OWN_UNITS = {
    "N*m": "N·m",
    "lbf*ft": "lbf·ft",
    "lbf*inch": "lbf·in",
    "kgf*m": "kgf·m",
    "kgf*cm": "kgf·cm",
    "kPa": "kPa",
    "Pa": "Pa",
    "MPa": "MPa",
    "bar": "bar",
    "psi": "psi",
    "kgf/cm**2": "kgf/cm²",
    "inHg": "inHg",
    "mmHg": "mmHg",
    "inH2O": "inH2O",
    "atm": "atm",
    "degC": "°C",
    "degF": "°F",
    "kelvin": "K",
    "delta_degC": "Δ°C",
    "delta_degF": "Δ°F",
    "revolutions_per_minute": "rpm",
    "g/s": "g/s",
    "kg/h": "kg/h",
    "lb/h": "lb/h",
    "cm**3/min": "cc/min",
    "L/h": "L/h",
    "ft**3/min": "cfm",
    "gallon/h": "US gal/h",
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "inch": "in",
    "ft": "ft",
    "mm**2": "mm²",
    "inch**2": "in²",
    "cm**3": "cc",
    "mL": "mL",
    "L": "L",
    "inch**3": "in³",
    "fluid_ounce": "US fl oz",
    "imperial_fluid_ounce": "imp fl oz",
    "quart": "US qt",
    "gallon": "US gal",
    "imperial_gallon": "imp gal",
    "mg": "mg",
    "lb": "lb",
    "N": "N",
    "kN": "kN",
    "lbf": "lbf",
    "kW": "kW",
    "horsepower": "hp",
    "metric_horsepower": "PS",
    "kJ": "kJ",
    "m/s": "m/s",
    "ft/min": "ft/min",
    "km/h": "km/h",
    "mile/h": "mph",
    "ms": "ms",
    "V": "V",
    "A": "A",
    "ohm": "Ω",
    "mohm": "mΩ",
    "kg/m**3": "kg/m³",
    "lb/ft**3": "lb/ft³",
    "degree": "°",
    "radian": "rad",
    "J/(kg*K)": "J/(kg·K)",
    "kJ/(kg*K)": "kJ/(kg·K)",
    "ohm*m": "Ω·m",
    "mm**2/s": "mm²/s",
    "g/(kW*h)": "g/(kW·h)",
    "lb/(horsepower*h)": "lb/(hp·h)",
    "mohm/m": "mΩ/m",
    "ohm/km": "Ω/km",
    "ohm/ft": "Ω/ft",
}


def own_unit(text: str) -> str:
    """The app's unit of '13 lbf*ft', '' where the app has none."""
    return OWN_UNITS.get(text.partition(" ")[2], "")


def si(text: str, units: dict[str, Any]) -> float:
    """SI number of '13 lbf*ft'. `units` is the Book's table. Raises ValueError for what no one knows."""
    number, _, name = text.partition(" ")
    own = units["units"].get(OWN_UNITS.get(name, ""))
    if own:
        return float(number) * float(own["factor"]) + float(own["offset"])
    try:
        quantity = _registry().Quantity(float(number), name)
    except (pint.errors.PintError, AttributeError) as error:
        raise ValueError(f'"{text}" has a unit that is not known: {error}') from error
    turns = 2 * math.pi if "revolution" in name or "turn" in name else 1
    return float(quantity.to_base_units().magnitude) / turns


@dataclass(frozen=True)
class Tolerance:
    """How far a result may be off: a share of the expected one, or a fixed SI width."""

    share: float
    width: float

    def allows(self, computed: float, expected: float) -> bool:
        # The last digits of a sum of doubles are nobody's error: 1e-12 for an exact relation.
        room = max(self.share, 1e-12) * abs(expected) + self.width
        return abs(computed - expected) <= room


def tolerance(text: str, units: dict[str, Any]) -> Tolerance:
    """Of 'rel 1e-5; why' or 'abs 0.05 kW; why'. Raises ValueError for any other beginning."""
    words = text.partition(";")[0].split()
    if len(words) == 2 and words[0] == "rel":
        return Tolerance(float(words[1]), 0.0)
    if len(words) == 3 and words[0] == "abs":
        return Tolerance(0.0, si(f"{words[1]} {words[2]}", units) - si(f"0 {words[2]}", units))
    raise ValueError(f'"{text}" is no tolerance: write "rel x; why" or "abs x unit; why".')


@cache
def _registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
