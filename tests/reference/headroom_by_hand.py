"""The fuel headroom of an engine, worked out once more from handbook formulas: no line is shared with the product.

Mass flows of blower and engine are set equal by SciPy's root finder, the rail is the pressure at which pump, line and injectors
agree, friction follows Colebrook's equation, and the air of the place comes from the US Standard Atmosphere 1976 of the library
`fluids` (which is ISO 2533 below 11 km). SI throughout; pressures are absolute unless their name says gauge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from fluids import ATMOSPHERE_1976
from fluids.friction import Colebrook
from scipy.optimize import brentq

PSI = 6894.757293168361
RPM = 1 / 60
GAS = 287.05287
K = 0.4 / 1.4  # (γ - 1)/γ


@dataclass
class Car:
    """The demonstration engine; each number as the fuel headroom page shows it, in SI."""

    displacement: float = 3.4e-3
    idle: float = 800 * RPM
    redline: float = 6200 * RPM
    ve: list[tuple[float, float]] = field(
        default_factory=lambda: [(800 * RPM, 0.75), (4200 * RPM, 0.92), (6200 * RPM, 0.88)]
    )
    altitude: float = 340.0
    inlet: float = 293.15
    loss: float = 2e3
    volume: float = 1.05e-3
    crank_pulley: float = 0.165
    blower_pulley: float = 0.072
    filling: list[tuple[float, float]] = field(
        default_factory=lambda: [(800 * RPM, 0.60), (6200 * RPM, 0.80)]
    )
    efficiency: float = 0.58
    cooling: float = 0.0
    coolant: float = 308.15
    cooler_loss: float = 0.0
    stoich: float = 14.01
    density: float = 749.9
    target: float = 0.78
    injectors: int = 6
    rated_flow: float = 310e-6 / 60
    rated_drop: float = 3e5
    rated_density: float = 683.0
    dead_time: float = 0.9e-3
    base: float = 43.5 * PSI
    boost_rate: float = 1.0
    pump_psi: tuple[float, ...] = (10, 30, 45, 60, 75, 90)
    pump_lph: tuple[float, ...] = (172, 156, 142, 124, 101, 70)
    pump_share: float = 1.0
    volts: float = 12.6
    bore: float = 8e-3
    length: float = 5.0
    fittings: float = 5.0
    height: float = 0.5
    filter_loss: float = 2 * PSI


def chain(car: Car, rpm: float) -> dict[str, float]:
    """What the page calls manifold, boost, charge, air, need, pump_pressure, available, rail, drop, duty, lambda_true at a speed."""
    turns = rpm * RPM
    share = (turns / car.redline) ** 2
    site = ATMOSPHERE_1976(car.altitude).P
    before, in_cooler = site - car.loss * share, car.cooler_loss * share
    ve = np.interp(turns, *zip(*car.ve, strict=True))
    filling = np.interp(turns, *zip(*car.filling, strict=True))
    blower = car.volume * turns * car.crank_pulley / car.blower_pulley * filling * before / (GAS * car.inlet)

    def charge_behind(p2: float) -> float:
        hot = car.inlet + car.inlet * ((p2 / before) ** K - 1) / car.efficiency
        return hot - car.cooling * (hot - car.coolant)

    def engine(p2: float) -> float:
        return ve * car.displacement * turns / 2 * (p2 - in_cooler) / (GAS * charge_behind(p2))

    p2 = before if engine(before) >= blower else brentq(lambda p: engine(p) - blower, before, 4 * before)
    air, manifold = engine(p2), p2 - in_cooler
    boost = manifold - site
    need = air / (car.target * car.stoich) / car.density
    return {
        "manifold": manifold,
        "boost": boost,
        "charge": charge_behind(p2),
        "air": air,
        "need": need,
        **_fuel_side(car, turns, boost, need),
    }


def _pump(car: Car, gauge: float) -> float:
    # Flow against voltage: the straight line through 100 % at 13.5 V and 82 % at 12 V.
    at_volts = 1 - 0.18 * (13.5 - car.volts) / 1.5
    return float(np.interp(gauge / PSI, car.pump_psi, car.pump_lph)) / 3.6e6 * car.pump_share * at_volts


def _lost(car: Car, flow: float) -> float:
    speed = flow / (math.pi * car.bore**2 / 4)
    friction = Colebrook(speed * car.bore / 0.6e-6, 0.0015e-3 / car.bore)
    dynamic = car.density * speed**2 / 2
    pipe = (friction * car.length / car.bore + car.fittings) * dynamic
    return pipe + car.density * 9.80665 * car.height + car.filter_loss


def _open_flow(car: Car, drop: float) -> float:
    """All injectors held open: Bernoulli's orifice, with the fuel's density against the rated fluid's."""
    one = car.rated_flow * math.sqrt(drop / car.rated_drop) if drop > 0 else 0.0
    return car.injectors * one * math.sqrt(car.rated_density / car.density)


def _fuel_side(car: Car, turns: float, boost: float, need: float) -> dict[str, float]:
    wanted = car.base + car.boost_rate * max(boost, 0.0)
    low, high = car.pump_psi[0] * PSI, car.pump_psi[-1] * PSI
    at_pump = brentq(lambda p: p - _lost(car, _pump(car, p)) - wanted, low, high)
    available = _pump(car, at_pump)
    most = _open_flow(car, wanted - boost)
    if most > available:
        meet = brentq(
            lambda p: _open_flow(car, p - _lost(car, _pump(car, p)) - boost) - _pump(car, p), low, at_pump
        )
        most = _pump(car, meet)
    delivered = min(need, most)
    held = at_pump
    if available < delivered:
        held = brentq(lambda p: _pump(car, p) - delivered, low, at_pump)
    rail = held - _lost(car, _pump(car, held))
    cycle = 2 / turns
    pulse = car.dead_time + need / _open_flow(car, rail - boost) * cycle
    return {
        "pump_pressure": at_pump,
        "available": available,
        "rail": rail,
        "drop": rail - boost,
        "pulse": pulse,
        "duty": pulse / cycle,
        "lambda_true": car.target * need / delivered,
    }
