"""Boost and air against real air, mixtures of ideal gases and the standard atmosphere, each by another route than the app's."""

from __future__ import annotations

from itertools import product
from typing import Any

import fluids
import numpy as np
import pytest
from reference.real_air import (
    PSI,
    ZERO,
    asked,
    balance,
    density,
    enthalpy,
    found,
    ideal_work,
    mixed_density,
    outlet,
    refusal,
)
from scipy.optimize import brentq

SITE = 97_300.0  # Pa


@pytest.mark.parametrize(
    ("ratio", "efficiency", "celsius"), list(product((1.2, 1.5, 2), (1, 0.72, 0.58), (-10, 20, 45)))
)
def test_charge_temperature_is_that_of_real_air(
    book: Any, ratio: float, efficiency: float, celsius: float
) -> None:
    """CoolProp: constant entropy, then the enthalpy that the efficiency adds. Constant γ may cost a degree."""
    given = {
        "inlet": f"{celsius} °C",
        "ratio": str(ratio),
        "efficiency": str(efficiency) + " ×",
        "blower": "screw",
    }
    real = outlet(celsius + ZERO, SITE, SITE * ratio, efficiency)
    assert asked(book, "charge-temperature", **given)("outlet") == pytest.approx(real, abs=1)


@pytest.mark.parametrize("ratio", [1.1, 1.3, 1.6, 2.0, 2.5])
def test_a_perfect_roots_blower_does_its_ideal_work_over_pressure_times_volume(
    book: Any, ratio: float
) -> None:
    """CoolProp: work at constant entropy over (p2 − p1)/density, at 20 °C."""
    best = ideal_work(293.15, SITE, ratio * SITE) * density(293.15, SITE) / ((ratio - 1) * SITE)
    assert asked(book, "charge-temperature", ratio=str(ratio))("best") == pytest.approx(best, rel=2e-3)


def test_a_charge_cooler_takes_off_what_the_enthalpy_falls_by(book: Any) -> None:
    """CoolProp, 180 g/s at about 150 kPa."""
    cooler = asked(
        book,
        "charge-cooler",
        hot="120 °C",
        coolant="40 °C",
        effectiveness="65 %",
        flow="180 g/s",
        loss="5 kPa",
    )
    after = 273.15 + 120 - 0.65 * 80
    high = SITE + 8 * PSI
    assert cooler("cooled") == pytest.approx(after, abs=1e-9)
    assert cooler("heat") == pytest.approx(
        0.18 * (enthalpy(393.15, high) - enthalpy(after, high - 5000)), rel=3e-3
    )
    assert cooler("denser") == pytest.approx(
        density(after, high - 5000) / density(393.15, high) - 1, abs=1e-3
    )


@pytest.mark.parametrize(("boost", "celsius"), [(-9, 30), (0, 20), (5, 60), (14, 121)])
def test_density_gain_is_that_of_a_mixture_of_gases(book: Any, boost: float, celsius: float) -> None:
    """cantera: N2, O2 and Ar at both states."""
    high, warm = SITE + boost * PSI, celsius + ZERO
    gain = asked(book, "density-gain", boost=f"{boost} psi", charge=f"{celsius} °C", outside="20 °C")
    assert gain("gain") == pytest.approx(mixed_density(warm, high) / mixed_density(293.15, SITE), rel=1e-6)
    # The boost that cold air would need has the same density at 20 °C.
    assert mixed_density(293.15, SITE + gain("worth")) == pytest.approx(mixed_density(warm, high), rel=1e-6)
    assert gain("density") == pytest.approx(density(warm, high), rel=2e-3)


def test_F23_a_four_stroke_engine_fills_once_in_two_turns(book: Any) -> None:
    """Filled by hand: 6000 rpm are 100 turns and 50 fillings a second; 1.6 L, all of it filled, at 1.2 kg/m³ of cantera's air."""
    pressure = brentq(lambda p: mixed_density(300.0, p) - 1.2, 5e4, 2e5)
    given = {"displacement": "1.6 L", "speed": "6000 rpm", "ve": "100 %", "charge": "300 K", "boost": "0 psi"}
    flow = asked(book, "air-flow", **given, site=f"{pressure / 1000:.6f} kPa", outside="300 K")
    assert flow("swallowed") == pytest.approx(50 * 1.6e-3, rel=1e-12)
    assert flow("air") == pytest.approx(50 * 1.6e-3 * 1.2, rel=5e-4)
    assert flow("free") == pytest.approx(flow("swallowed"), rel=1e-9)
    assert asked(book, "air-flow", **{**given, "speed": "100 1/s"})("swallowed") == pytest.approx(50 * 1.6e-3)


COOLERS = [(0.0, 308.15, 0.0), (0.7, 313.15, 5000.0), (0.95, 283.15, 8000.0)]


@pytest.mark.parametrize("cooler", COOLERS)
@pytest.mark.parametrize("blower_pulley", [80, 72, 64])
@pytest.mark.parametrize("efficiency", [0.5, 0.75])
def test_boost_from_pulleys_passes_the_same_mass_of_real_air(
    book: Any, cooler: tuple[float, float, float], blower_pulley: int, efficiency: float
) -> None:
    """CoolProp's densities and enthalpies, root by scipy: nothing of the app's formula is in it."""
    share, cold, loss = cooler
    # 3.4 L engine filled to 88 %, one filling in two turns; 1.05 L blower filled to 85 %.
    swept = 1.05 * 0.85 * 165 / blower_pulley / (3.4 * 0.88 / 2)
    high, hot, charge = balance(swept, (303.15, SITE - 3000), efficiency, cooler)
    given = {"blower_pulley": f"{blower_pulley} mm", "filling": "85 %", "efficiency": f"{efficiency} ×"}
    given |= {"inlet": "30 °C", "loss": "3 kPa", "cooling": f"{share} ×", "coolant": f"{cold} K"}
    boost = asked(book, "boost-from-pulley", **given, cooler_loss=f"{loss} Pa")
    assert boost("boost") + SITE == pytest.approx(high - loss, rel=5e-3)
    assert boost("outlet") == pytest.approx(hot, rel=6e-3)
    assert boost("charge") == pytest.approx(charge, rel=6e-3)


def test_a_boost_that_was_measured_gives_the_filling_of_the_blower(book: Any) -> None:
    """Boost of real air with a filling of 73 %, then asked for backwards."""
    swept = 1.05 * 0.73 * 165 / 72 / (3.4 * 0.88 / 2)
    high, _, _ = balance(swept, (293.15, SITE - 2000), 0.58, (0, 300, 0))
    filling = found(book, "boost-from-pulley", "filling", boost=f"{(high - SITE) / 1000:.9f} kPa")
    assert filling == pytest.approx(0.73, abs=0.002)


def test_pulleys_that_give_no_boost_are_told_so(book: Any) -> None:
    assert "no boost" in refusal(book, "boost-from-pulley", blower_pulley="110 mm")
    assert "unit" in refusal(book, "boost-from-pulley", volume="5 L")
    assert "centrifugal" in refusal(book, "boost-from-pulley", blower="centrifugal")


@pytest.mark.parametrize(("faster", "celsius"), [(1.2, 20), (0.8, 20), (1.0, -15), (1.1, 40)])
def test_a_centrifugal_blower_does_work_by_the_square_of_its_speed(
    book: Any, faster: float, celsius: float
) -> None:
    """CoolProp: the work on a kilogram of real air, made faster² times, then the ratio that takes just that."""
    work = ideal_work(293.15, SITE, 1.5 * SITE) * faster**2
    ratio = brentq(lambda r: ideal_work(celsius + ZERO, SITE, r * SITE) - work, 1.001, 4)
    given = {"known_boost": f"{0.5 * SITE / 1000} kPa", "loss": "0 kPa", "air": f"{celsius} °C"}
    given |= {"known_speed": "5000 rpm", "speed": f"{5000 * faster:g} rpm", "pulley": "72 mm"}
    assert asked(book, "boost-from-speed", **given)("ratio") == pytest.approx(ratio, rel=2e-3)


@pytest.mark.parametrize(("blower", "efficiency"), [("screw", 0.68), ("centrifugal", 0.74)])
def test_drive_power_is_the_enthalpy_that_real_air_gains(book: Any, blower: str, efficiency: float) -> None:
    """CoolProp, 250 g/s from 25 °C; 10 % goes into friction."""
    low, high = SITE - 2000, SITE + 10 * PSI
    real = 0.25 * ideal_work(298.15, low, high) / efficiency / 0.9
    given = {"blower": blower, "flow": "250 g/s", "inlet": "25 °C", "boost": "10 psi", "mechanical": "90 %"}
    power = asked(book, "drive-power", **given, efficiency=f"{efficiency} ×", speed="9000 rpm")
    assert power("power") == pytest.approx(real, rel=3e-3)
    # F23: 9000 rpm are 150 turns a second.
    assert power("torque") == pytest.approx(power("power") / (2 * np.pi * 150), rel=1e-12)


@pytest.mark.parametrize(("here", "there"), [(0, 1500), (1500, 0), (340, 3000)])
def test_the_same_drive_at_another_height_passes_the_mass_of_real_air_there(
    book: Any, here: float, there: float
) -> None:
    """fluids: pressure of the US Standard Atmosphere 1976. CoolProp and scipy: what the same Roots-type
    blower makes of 25 °C here and 5 °C there. Loss before the blower left out.
    """
    low, thin = fluids.ATMOSPHERE_1976(here).P, fluids.ATMOSPHERE_1976(there).P
    first, second = (balance(1.28, (t, p), 0.58, (0, 300, 0)) for t, p in ((298.15, low), (278.15, thin)))
    given = {"height": f"{here} m", "air": "25 °C", "height_there": f"{there} m", "air_there": "5 °C"}
    given |= {"boost": f"{(first[0] - low) / 1000:.9f} kPa", "loss": "0 kPa", "flow": "100 g/s"}
    other = asked(book, "flow-altitude", **given)
    assert other("site_there") == pytest.approx(thin, rel=1e-5)
    assert other("boost_there") + thin == pytest.approx(second[0], rel=2e-3)
    assert other("flow_there") == pytest.approx(0.1 * density(278.15, thin) / density(298.15, low), rel=3e-3)


def test_a_sensors_line_is_the_one_numpy_fits(book: Any) -> None:
    volts, shown = [0.5, 4.5], [9.2, 17.6]
    slope, start = np.polyfit(volts, shown, 1)
    given = {
        "low_volts": "0.5 V",
        "low_afr": "9.2",
        "high_volts": "4.5 V",
        "high_afr": "17.6",
        "offset": "0.08 V",
    }
    sensor = asked(book, "sensor-output", **given, volts="1.63 V")
    assert sensor("afr") == pytest.approx(start + slope * 1.55, rel=1e-12)
    assert sensor("off") == pytest.approx(slope * 0.08, rel=1e-9)
    # Backwards: what must the logger read at λ 0.8?
    back = found(book, "sensor-output", "volts", **given, lambda_now="0.8")
    assert back == pytest.approx((0.8 * 14.7 - start) / slope + 0.08, rel=1e-9)
