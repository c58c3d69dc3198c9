"""Air, belts and the sky by other routes than the app's: real air, a mixture of ideal gases, hulls around circles.

Sources: CoolProp (equation of state of air, Lemmon 2000), cantera (ideal gas of N2, O2 and Ar), scipy (roots, hulls), fluids
(US Standard Atmosphere 1976). All SI.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import cantera
import numpy as np
from CoolProp.CoolProp import PropsSI
from scipy.optimize import brentq
from scipy.spatial import ConvexHull

from webapp.figures.answer import answer

PSI = 6894.757293  # Pa, Unicode CLDR units.json
ZERO = 273.15


def asked(book: Any, figure: str, **typed: str) -> Callable[[str], float]:
    """The Figure's answers, SI, by name, for inputs typed as a reader types them."""
    result = answer(book, "en", figure, typed)
    assert result["refused"] is None, result["refused"]
    return lambda name: float(result["gives"][name]["si"])


def refusal(book: Any, figure: str, **typed: str) -> str:
    """The sentence with which the Figure refuses."""
    sentence = answer(book, "en", figure, typed)["refused"]
    assert sentence, f"{figure} answers {typed}"
    return str(sentence)


def found(book: Any, figure: str, unknown: str, **typed: str) -> float:
    """The SI value of the input that gives the wanted answer, which stands among `typed`."""
    result = answer(book, "en", figure, typed, unknown)
    assert result["found"], result["refused"]
    return float(result["found"][unknown]["si"])


def density(temperature: float, pressure: float) -> float:
    """Of real air, kg/m³."""
    return float(PropsSI("D", "T", temperature, "P", pressure, "Air"))


def enthalpy(temperature: float, pressure: float) -> float:
    """Of real air, J/kg."""
    return float(PropsSI("H", "T", temperature, "P", pressure, "Air"))


def ideal_work(temperature: float, low: float, high: float) -> float:
    """J/kg that a perfect compressor needs for real air: enthalpy rise at constant entropy."""
    entropy = PropsSI("S", "T", temperature, "P", low, "Air")
    return float(PropsSI("H", "S", entropy, "P", high, "Air")) - enthalpy(temperature, low)


def outlet(temperature: float, low: float, high: float, efficiency: float) -> float:
    """K behind a compressor of that isentropic efficiency, real air."""
    warm = enthalpy(temperature, low) + ideal_work(temperature, low, high) / efficiency
    return float(PropsSI("T", "H", warm, "P", high, "Air"))


@cache
def _gas() -> Any:
    return cantera.Solution("air.yaml")


def mixed_density(temperature: float, pressure: float) -> float:
    """Of dry air as a mixture of ideal gases, kg/m³."""
    gas = _gas()
    gas.TPX = temperature, pressure, "N2:0.78084, O2:0.209476, AR:0.00934"
    return float(gas.density)


def balance(
    swept: float, inlet: tuple[float, float], efficiency: float, cooler: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Where blower and engine pass the same mass of real air: Pa right behind the blower, K there, K in the manifold.

    swept     volume that the blower really moves while the engine draws one unit of volume
    inlet     K and Pa before the blower
    cooler    effectiveness, K of what cools it, Pa lost in it
    """
    temperature, low = inlet
    share, cold, loss = cooler

    def states(high: float) -> tuple[float, float]:
        hot = outlet(temperature, low, high, efficiency)
        return hot, hot - share * (hot - cold)

    def excess(high: float) -> float:
        return density(states(high)[1], high - loss) - swept * density(temperature, low)

    high = float(brentq(excess, 1.0001 * low, 3.9 * low, xtol=1e-3))
    return (high, *states(high))


def belt_around(circles: list[tuple[float, float, float]]) -> tuple[float, list[float]]:
    """Length of a tight belt around (x, y, diameter) circles and the angle of contact on each, from a convex hull of points."""
    each = 40_000
    turn = np.linspace(0.0, 2 * np.pi, each, endpoint=False)
    rims = [(x + d / 2 * np.cos(turn), y + d / 2 * np.sin(turn)) for x, y, d in circles]
    hull = ConvexHull(np.concatenate([np.column_stack(rim) for rim in rims]))
    # In the plane scipy calls the perimeter of a hull its area.
    touched = np.bincount(hull.vertices // each, minlength=len(circles))
    return float(hull.area), [float(2 * np.pi * count / each) for count in touched]
