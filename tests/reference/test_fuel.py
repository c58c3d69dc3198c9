"""Injectors, pump, line, blend and spill by other routes than the app's: pipe friction, equations of state, a simulated pump,
fuel counted by mass and by molecules. The source stands beside each check.
"""

from __future__ import annotations

import math
from itertools import product
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.core import dP_from_K
from fluids.friction import friction_factor, one_phase_dP
from reference.real_air import PSI, asked, found, refusal

from webapp.figures.answer import answer

BAR = 1e5
CC_MIN = 1e-6 / 60
L_H = 1e-3 / 3600
POUND = 0.45359237  # kg, Unicode CLDR units.json
HP = 745.69987158227  # W, 550 ft·lbf/s
GAS = 8.314462618  # J/(mol·K), CODATA 2018


# -- line: library fluids, which solves Colebrook's equation ---------------------------------------------------


@pytest.mark.parametrize(
    ("litres", "bore", "rough"), list(product((80, 120, 300, 900), (5, 8, 12), (0, 0.0015, 0.05)))
)
def test_the_loss_of_a_turbulent_line_is_that_of_colebrook(
    book: Any, litres: int, bore: int, rough: float
) -> None:
    """Haaland's formula is to be within 2 % of Colebrook's (Haaland 1983, from memory); the library goes by mass and viscosity."""
    line = asked(
        book,
        "fuel-line",
        volume_flow=f"{litres} L/h",
        inner_diameter=f"{bore} mm",
        roughness=f"{rough} mm",
        length="7 m",
        density="745 kg/m³",
        kinematic_viscosity="0.55 mm²/s",
    )
    mass, width = litres * L_H * 745, bore / 1000
    assert line("reynolds") == pytest.approx(4 * mass / (math.pi * width * 745 * 0.55e-6), rel=1e-9)
    assert line("reynolds") > 4000
    darcy = friction_factor(Re=line("reynolds"), eD=rough / bore, Method="Colebrook")
    assert line("friction_factor") == pytest.approx(darcy, rel=0.02)
    loss = one_phase_dP(
        m=mass, rho=745, mu=745 * 0.55e-6, D=width, roughness=rough / 1000, L=7, Method="Colebrook"
    )
    assert line("pressure_drop") == pytest.approx(loss, rel=0.02)


@pytest.mark.parametrize(("litres", "bore"), [(2, 6), (8, 6), (15, 8), (30, 16)])
def test_the_loss_of_a_laminar_line_is_that_of_hagen_and_poiseuille(
    book: Any, litres: int, bore: int
) -> None:
    """128 μ L Q/(π D⁴), which knows no friction factor (White, Fluid Mechanics, from memory)."""
    given = {"volume_flow": f"{litres} L/h", "inner_diameter": f"{bore} mm", "length": "3 m"}
    line = asked(
        book, "fuel-line", **given, density="745 kg/m³", kinematic_viscosity="0.55 mm²/s", roughness="0 mm"
    )
    loss = 128 * 745 * 0.55e-6 * 3 * litres * L_H / (math.pi * (bore / 1000) ** 4)
    assert line("reynolds") < 2300
    assert line("pressure_drop") == pytest.approx(loss, rel=1e-9)


@pytest.mark.parametrize("reynolds", [2301, 2700, 3200, 3999])
def test_between_laminar_and_turbulent_the_factor_lies_between_both(book: Any, reynolds: int) -> None:
    litres = reynolds * math.pi * 0.008 * 0.55e-6 / 4 / L_H
    given = {"inner_diameter": "8 mm", "kinematic_viscosity": "0.55 mm²/s"}
    line = asked(book, "fuel-line", volume_flow=f"{litres!r} L/h", **given)
    turbulent = friction_factor(Re=reynolds, eD=0.0015 / 8, Method="Colebrook")
    assert 64 / reynolds < line("friction_factor") < 1.02 * turbulent
    result = answer(book, "en", "fuel-line", {"volume_flow": f"{litres!r} L/h", **given})
    assert any("flips" in warning for warning in result["warnings"])


def test_fittings_and_height_add_to_the_line(book: Any) -> None:
    """Library fluids for the loss numbers; the column of fuel by hand."""
    given = {"volume_flow": "200 L/h", "inner_diameter": "8 mm", "density": "745 kg/m³"}
    line = asked(book, "fuel-line", **given, fittings="6", height="-0.8 m")
    assert line("fitting_drop") == pytest.approx(dP_from_K(K=6, rho=745, V=line("velocity")), rel=1e-12)
    assert line("height_drop") == pytest.approx(-745 * 9.80665 * 0.8, rel=1e-12)
    parts = sum(line(name) for name in ("pressure_drop", "fitting_drop", "height_drop"))
    assert line("total_drop") == pytest.approx(parts, rel=1e-12)


@pytest.mark.parametrize(
    ("row", "fluid"), [("ethanol", "Ethanol"), ("methanol", "Methanol"), ("heptane", "n-Heptane")]
)
def test_viscosities_are_those_of_the_pure_fluids(book: Any, row: str, fluid: str) -> None:
    """CoolProp at 20 °C and 4 bar; density at 15 °C."""
    cells = book.tables["fuel-viscosity"]["rows"][row]
    warm, cool = ({"T": 273.15 + celsius, "P": 4 * BAR} for celsius in (20, 15))
    inputs, standard = ([pair for item in at.items() for pair in item] for at in (warm, cool))
    kinematic = PropsSI("V", *inputs, fluid) / PropsSI("D", *inputs, fluid)
    assert cells["viscosity"] == pytest.approx(kinematic, rel=0.01)
    assert cells["density"] == pytest.approx(PropsSI("D", *standard, fluid), rel=1e-3)


@pytest.mark.parametrize(("row", "share"), [("e10", 0.1), ("e20", 0.2), ("e50", 0.5), ("e85", 0.85)])
def test_viscosities_of_blends_share_out_the_logarithm(book: Any, row: str, share: float) -> None:
    rows = book.tables["fuel-viscosity"]["rows"]
    petrol, ethanol = (math.log(rows[name]["viscosity"]) for name in ("petrol", "ethanol"))
    mixed = math.exp((1 - share) * petrol + share * ethanol)
    assert rows[row]["viscosity"] == pytest.approx(mixed, rel=0.01)


# -- injectors: the spray hole worked out from the rating, then used ---------------------------------------------


def through_the_hole(
    rated: float, rated_drop: float, rated_density: float, drop: float, density: float
) -> float:
    """Volume flow, m³/s, of a fuel through the hole that the rating tells: Q = Cd·A·√(2Δp/ρ) (White, from memory)."""
    hole = rated / math.sqrt(2 * rated_drop / rated_density)
    return hole * math.sqrt(2 * drop / density)


@pytest.mark.parametrize(("power", "drop", "density"), [(120, 2.5, 745), (200, 3.8, 786.4), (90, 3, 683)])
def test_injectors_of_the_size_asked_for_feed_just_that_power(
    book: Any, power: int, drop: float, density: float
) -> None:
    size = asked(
        book,
        "injector-size",
        power=f"{power} kW",
        bsfc="350 g/(kW·h)",
        injectors="5",
        duty="80 %",
        drop=f"{drop} bar",
        density=f"{density} kg/m³",
        rated_drop="3 bar",
        rated_density="683 kg/m³",
    )
    each = through_the_hole(size("rated"), 3 * BAR, 683, drop * BAR, density) * density
    assert 5 * 0.8 * each == pytest.approx(power * 0.35 / 3600, rel=1e-9)
    assert size("each_mass") == pytest.approx(each, rel=1e-9)
    assert size("rated_mass") == pytest.approx(size("rated") * 683, rel=1e-12)


def test_what_the_fitted_injectors_feed_puts_them_at_the_duty_asked_for(book: Any) -> None:
    able = asked(book, "injector-size")("fitted_power")
    assert asked(book, "injector-size", power=f"{able!r} W")("fitted_duty") == pytest.approx(0.85, rel=1e-9)


@pytest.mark.parametrize(
    ("row", "rise", "fall"),
    [("unreferenced", 0, 0), ("referenced", 1, 1), ("rising-4", 4, 1), ("rising-8", 8, 1)],
)
def test_rail_and_injector_with_each_regulator(book: Any, row: str, rise: int, fall: int) -> None:
    """Springs and diaphragms by hand; the flow through the hole that the base pressure tells."""
    given = {"base": "3 bar", "boost": "60 kPa", "idle": "-65 kPa", "flow": "440 cc/min"}
    typed = asked(book, "rail-pressure", **given, regulator=row)
    drop = 3 * BAR + rise * 60e3 - 60e3
    assert typed("drop_boost") == pytest.approx(drop, rel=1e-12)
    assert typed("drop_idle") == pytest.approx(3 * BAR - fall * 65e3 + 65e3, rel=1e-12)
    flow = through_the_hole(440 * CC_MIN, 3 * BAR, 700, drop, 700)
    assert typed("flow_boost") == pytest.approx(flow, rel=1e-12)
    each = {
        line[0]: line[1:] for line in answer(book, "en", "rail-pressure", given)["gives"]["each"]["value"]
    }
    assert each[row] == pytest.approx(
        [3 * BAR + rise * 60e3, drop, math.sqrt(drop / (3 * BAR)) - 1, typed("drop_idle")],
        rel=1e-9,
        abs=1e-12,
    )


def test_a_referenced_regulator_changes_nothing_to_the_last_bit(book: Any) -> None:
    for boost in ("0.1 psi", "7.3 psi", "13.37 psi"):
        assert asked(book, "rail-pressure", boost=boost, base="41.7 psi")("change") == 0


def test_boost_above_an_unreferenced_rail_is_refused_in_words(book: Any) -> None:
    said = refusal(book, "rail-pressure", regulator="unreferenced", base="30 psi", boost="32 psi")
    assert "nothing is left" in said
    assert "follows boost" in said


@pytest.mark.parametrize("old_drop", [2.0, 3.0])
@pytest.mark.parametrize("rated_by", ["by-volume", "by-mass"])
def test_the_new_pulse_brings_the_same_fuel(book: Any, rated_by: str, old_drop: float) -> None:
    """Fuel of a pulse: open time times flow, each injector with its own dead time and hole."""
    swap = asked(
        book,
        "injector-swap",
        rated_by=rated_by,
        old_flow="240 cc/min",
        new_flow="550 cc/min",
        old_mass=f"{240 * 0.7 * 60 / 1000 / POUND!r} lb/h",
        new_mass=f"{550 * 0.7 * 60 / 1000 / POUND!r} lb/h",
        old_rated="2.5 bar",
        new_rated="3 bar",
        old_drop=f"{old_drop} bar",
        new_drop="3.5 bar",
        pulse="14 ms",
        idle_pulse="3 ms",
        old_dead="0.8 ms",
        new_dead="1.2 ms",
    )
    old = through_the_hole(240 * CC_MIN, 2.5 * BAR, 700, old_drop * BAR, 700)
    new = through_the_hole(550 * CC_MIN, 3 * BAR, 700, 3.5 * BAR, 700)
    for before, after in ((14e-3, swap("new_pulse")), (3e-3, swap("new_idle"))):
        assert (after - 1.2e-3) * new == pytest.approx((before - 0.8e-3) * old, rel=1e-9)
    assert swap("untold") == pytest.approx(new / old - 1, rel=1e-9)


# -- fuel: equations of state and the balance of what burns ------------------------------------------------------


@pytest.mark.parametrize("celsius", [-20, 0, 30, 50])
@pytest.mark.parametrize(
    ("row", "fluid"), [("ethanol", "Ethanol"), ("methanol", "Methanol"), ("rating-fluid", "n-Heptane")]
)
def test_warm_fuel_takes_more_room_as_the_pure_fluids_do(
    book: Any, row: str, fluid: str, celsius: int
) -> None:
    """CoolProp at 4 bar: one number for all fuels is good to 0.6 % from −20 to 50 °C."""
    cool, warm = (PropsSI("D", "T", 273.15 + t, "P", 4 * BAR, fluid) for t in (15, celsius))
    demand = asked(
        book, "fuel-demand", fuel=row, density=f"{cool:.2f} kg/m³", fuel_temperature=f"{celsius} °C"
    )
    assert demand("warm_density") == pytest.approx(warm, rel=6e-3)
    assert demand("fuel_volume_flow") * demand("warm_density") == pytest.approx(demand("fuel_mass_flow"))


def test_the_fuel_of_an_air_flow_leaves_the_lambda_that_was_asked_for(book: Any) -> None:
    """Air over fuel and stoichiometric ratio, counted back through the app's own mixture."""
    demand = asked(book, "fuel-demand", air_mass_flow="224 g/s", lambda_target="0.78", fuel="e85")
    ratio = 0.224 / demand("fuel_mass_flow")
    assert asked(book, "mixture", fuel="e85", afr=f"{ratio!r}")("lambda_now") == pytest.approx(0.78, rel=1e-3)


@pytest.mark.parametrize(
    ("now", "added", "wanted"), [(10, 85, 30), (85, 0, 40), (0, 100, 50), (12.5, 74, 61)]
)
def test_the_blend_holds_what_was_poured(book: Any, now: float, added: float, wanted: float) -> None:
    """Litres of ethanol and of petrol counted one by one, air by mass: 9 kg and 14.6 kg (table of fuels)."""
    given = {"share_now": f"{now} %", "share_added": f"{added} %", "wanted": f"{wanted} %"}
    blend = asked(book, "fuel-blend", in_tank="22 L", tank="300 L", **given)
    poured = blend("add") * 1000
    ethanol = 22 * now / 100 + poured * added / 100
    petrol = 22 + poured - ethanol
    assert 100 * ethanol / (22 + poured) == pytest.approx(wanted, rel=1e-9)
    air = ethanol * 0.7937 * 9 + petrol * 0.745 * 14.6
    assert blend("stoich") == pytest.approx(air / (ethanol * 0.7937 + petrol * 0.745), rel=1e-9)
    before = 0.7937 * 9 * now / 100 + 0.745 * 14.6 * (1 - now / 100)
    assert blend("more") == pytest.approx(before / (air / (22 + poured)) - 1, rel=1e-9)


def test_a_tank_driven_down_to_what_is_said_is_then_just_full(book: Any) -> None:
    start = asked(book, "fuel-blend")("most_before")
    full = asked(book, "fuel-blend", in_tank=f"{start * 1000!r} L")
    assert full("afterwards") == pytest.approx(0.06, rel=1e-9)
    assert full("if_full") == pytest.approx(0.3, rel=1e-9)


def test_a_share_that_no_mixing_gives_is_refused_in_words(book: Any) -> None:
    assert "between" in refusal(book, "fuel-blend", wanted="90 %", share_added="85 %")
    assert "between" in refusal(book, "fuel-blend", wanted="5 %")
    assert "no mixing" in refusal(book, "fuel-blend", share_added="10 %")


# -- pump: a motor and a displacement, worked out apart ----------------------------------------------------------


def simulated_pump(volts: float, pressure: float) -> float:
    """m³/s of a made-up positive-displacement pump on a direct-current motor; leakage goes with pressure.

    Torque is displacement times pressure over 2π, and sets the current; what the winding does not take turns the motor.
    (Any text on electric machines and on pumps, from memory.)
    """
    displacement, constant, winding, leak = 0.35e-6, 0.016, 0.45, 2.2e-11
    current = displacement * pressure / (2 * math.pi) / constant + 1.5
    turns = (volts - current * winding) / (constant * 2 * math.pi)
    return displacement * turns - leak * pressure


@pytest.mark.parametrize("volts", [11.5, 12.5, 13.0])
def test_a_second_point_tells_the_flow_at_any_voltage_between(book: Any, volts: float) -> None:
    at = 4.2 * BAR
    sheet, second = simulated_pump(13.5, at), simulated_pump(11, at)
    given = {
        "regulator": "referenced",
        "base": "3 bar",
        "boost": "1 bar",
        "loss": "0.2 bar",
        "pump": "; ".join(
            f"{p} bar: {simulated_pump(13.5, p * BAR) / L_H!r} L/h" for p in (2.0, 3.2, 4.0, 4.4, 5.0)
        ),
    }
    given |= {"second_volts": "11 V", "second_share": f"{100 * second / sheet!r} %", "need": "60 L/h"}
    pump = asked(book, "pump-margin", **given, volts=f"{volts} V")
    assert pump("pressure") == pytest.approx(at, rel=1e-12)
    assert pump("flow") == pytest.approx(simulated_pump(volts, at), rel=1e-9)
    # In proportion to voltage it would be too much: the reason for the second point.
    assert sheet * volts / 13.5 > 1.01 * pump("flow")


@pytest.mark.parametrize("psi", [12, 30, 41.3, 55.5, 74, 89.9])
def test_the_curve_is_read_by_straight_lines(book: Any, psi: float) -> None:
    """numpy's interpolation over the points of the data sheet."""
    points = {10: 172, 30: 156, 45: 142, 60: 124, 75: 101, 90: 70}
    given = {"base": f"{psi - 4} psi", "boost": "0 psi", "loss": "4 psi"}
    sheet = asked(book, "pump-margin", **given)("sheet_flow") / L_H
    assert sheet == pytest.approx(np.interp(psi, list(points), list(points.values())), rel=1e-9)


def test_no_flow_is_guessed_beyond_the_data_sheet(book: Any) -> None:
    beyond = refusal(book, "pump-margin", base="80 psi", boost="20 psi")
    assert "end at 90 psi" in beyond
    assert "Pressure at the pump" in beyond
    assert "end at 10 psi" in refusal(book, "pump-margin", base="3 psi", boost="0 psi")
    assert "do not rise" in refusal(book, "pump-margin", pump="60 psi: 100 L/h; 40 psi: 120 L/h")
    assert "nothing is guessed" in refusal(book, "pump-margin", volts="9 V")


def test_the_voltage_that_brings_the_margin_does(book: Any) -> None:
    volts = found(book, "pump-margin", "volts", margin="20 %")
    assert asked(book, "pump-margin", volts=f"{volts!r} V")("margin") == pytest.approx(0.2, rel=1e-6)
    assert any("terminals" in said for said in answer(book, "en", "pump-margin", {})["remedies"])


# -- spill: molecules ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("grams", "celsius"), [(68, 20), (68, -10), (72, 35), (98, 20)])
def test_vapour_of_a_spill_is_counted_in_molecules(book: Any, grams: int, celsius: int) -> None:
    """Ideal gas law with the molar gas constant (CODATA 2018); air of 28.9645 g/mol (ISO 2533, from memory)."""
    given = {"spilled": "1 L", "temperature": f"{celsius} °C", "heavier": f"{grams / 28.9645!r}"}
    room = 740 / grams * GAS * (273.15 + celsius) / 101325
    spill = asked(book, "spill-vapour", **given)
    assert spill("vapour") == pytest.approx(room, rel=1e-4)
    assert spill("mixture") == pytest.approx(room / 0.014, rel=1e-4)


def test_a_light_part_of_petrol_takes_the_room_of_its_real_vapour(book: Any) -> None:
    """CoolProp: n-pentane, 72.15 g/mol, thin as it is in air at its lower limit, brought to the pressure of the air."""
    thin = PropsSI("D", "T", 293.15, "P", 1400, "n-Pentane") / 1400 * 101325
    spill = asked(book, "spill-vapour", spilled="1 L", density="626 kg/m³", heavier=f"{72.15 / 28.9645!r}")
    assert spill("vapour") == pytest.approx(0.626 / thin, rel=5e-3)


@pytest.mark.parametrize("litres", ["0.001", "0.05", "0.15", "1", "5", "200"])
def test_no_spill_is_ever_called_harmless(book: Any, litres: str) -> None:
    result = answer(book, "en", "spill-vapour", {"spilled": f"{litres} L"})
    assert result["verdict"]["level"] == "stop"
    assert "explosive" in result["verdict"]["text"]
    first = result["warnings"][0]
    for words in ("Touch no switch", "Everybody", "Call", "from outside"):
        assert words in first
    assert "No number here says that a spill is safe" in result["warnings"][1]
    assert book.figures["spill-vapour"].needs[0] == "petrol-spill"


# -- questions that people ask, with the numbers as they gave them -------------------------------------------------


def test_Q17_42_pound_injectors_on_a_computer_made_for_19(book: Any) -> None:
    """2.21 times the fuel; −55 % of trim; 1.66 left at a limit of 25 %, λ about 0.60; about 25 lb/h is the most trims can follow."""
    given = {"rated_by": "by-mass", "old_mass": "19 lb/h", "trim": "25 %"}
    swap = asked(book, "injector-swap", **given, new_mass="42 lb/h")
    told = [swap(name) for name in ("ratio", "trim_needed", "left_over", "lambda_left")]
    assert told == pytest.approx([2.21, -0.55, 1.66, 0.60], rel=0.01)
    most = found(book, "injector-swap", "new_mass", **given, trim_needed="-25 %")
    assert most * 3600 / POUND == pytest.approx(25.33, rel=1e-3)
    verdict = answer(book, "en", "injector-swap", {**given, "new_mass": "42 lb/h"})["verdict"]
    assert verdict["level"] == "stop"
    assert "dead time" in verdict["text"]


@pytest.mark.parametrize(("rating", "horsepower"), [(42, 476), (19, 215)])
def test_Q17_the_power_that_eight_injectors_feed(book: Any, rating: int, horsepower: int) -> None:
    """85 % duty and 0.60 lb/(hp·h)."""
    given = {"injectors": "8", "duty": "85 %", "bsfc": "0.60 lb/(hp·h)", "each_mass": f"{rating} lb/h"}
    assert found(book, "injector-size", "power", **given) / HP == pytest.approx(horsepower, abs=0.5)


def test_Q18_a_255_litre_pump_at_40_psi_under_10_psi_of_boost(book: Any) -> None:
    """It works against 50 psi; without its own curve there is no flow. 228 L/h at 0.74 kg/L feed 620 hp at 0.60 lb/(hp·h)."""
    given = {"base": "40 psi", "boost": "10 psi", "loss": "0 psi"}
    assert asked(book, "pump-margin", **given)("pressure") / PSI == pytest.approx(50, rel=1e-9)
    assert "end at 40 psi" in refusal(book, "pump-margin", **given, pump="20 psi: 262 L/h; 40 psi: 255 L/h")
    mass = asked(book, "injector-units", flow="228 L/h", density="0.74 kg/L")("mass_flow")
    assert mass / POUND * 3600 == pytest.approx(372, abs=0.5)
    power = found(book, "injector-size", "power", bsfc="0.60 lb/(hp·h)", fuel_mass_flow="372 lb/h")
    assert power / HP == pytest.approx(620, abs=0.5)


def test_Q19_rail_that_is_not_referenced_under_7_psi(book: Any) -> None:
    """√((53 − 7)/58) = 0.891 of the fuel: the sag first, then the boost."""
    sagged = asked(book, "injector-flow", rated_drop="58 psi", rail="53 psi", manifold="0 psi")("share")
    pushed = asked(book, "rail-pressure", regulator="unreferenced", base="53 psi", boost="7 psi")("change")
    assert sagged * (1 + pushed) == pytest.approx(0.891, abs=5e-4)


def test_Q29_a_litre_on_the_floor_beside_a_heater(book: Any) -> None:
    """0.18 m³ of vapour at 3 to 4 times the weight of air, 12.8 m³ explosive; a layer of 0.45 m over 36 m² needs about 1.3 L."""
    given = {"spilled": "1 L", "heavier": "3.4", "lower_limit": "1.4 %", "layer": "0.45 m"}
    spill = asked(book, "spill-vapour", **given, length="6 m", width="6 m")
    assert spill("vapour") == pytest.approx(0.18, rel=0.02)
    assert spill("mixture") == pytest.approx(12.8, rel=0.02)
    assert spill("fills_layer") * 1000 == pytest.approx(1.3, rel=0.05)
    # What rises first is lighter and takes more room: that is what the page opens with.
    assert asked(book, "spill-vapour")("vapour") == pytest.approx(0.26, rel=0.01)
