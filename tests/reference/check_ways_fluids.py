"""Ways from outside checks to Figures and tables: injectors, fuel supply, coolant."""

from __future__ import annotations

import math

from reference.check_ways import Cells, NoAnswer, Way

BSFC = 0.33 / 3.6e6  # kg/J: 330 g/(kW·h)
STANDARD = 100_000.0  # Pa, the open air of the boiling points below


def weak_by_mass(mass_fraction: float) -> str:
    """Row id of ethylene glycol by mass, up to where the sources that the table keeps to agree with the rest."""
    if mass_fraction > 0.35:
        raise NoAnswer(
            "from 40 % on its sources disagree by 1.5 K and more; it keeps to the warmer on purpose, as the check's note advises"
        )
    return by_share("mass", mass_fraction)


def by_share(prefix: str, share: float) -> str:
    """Row id of a strength of so many per cent."""
    return f"{prefix}-{100 * share:g}"


FLOW = {"rated_flow": "flow"}

FLUID_WAYS: tuple[Way | Cells, ...] = (
    # Open air in the manifold: the rail's gauge pressure is the drop.
    Way(
        "injectors",
        "injector-flow",
        {**FLOW, "rated_drop": "pressure_difference", "rail": "new_pressure_difference"},
        {"new_flow": "flow"},
        fixed={"manifold": "0 kPa"},
    ),
    Way(
        "injectors",
        "injector-units",
        {"flow": "flow", "density": "density"},
        {"mass_flow(_si|_us)?": "mass_flow"},
    ),
    Way("injectors", "injector-duty", {"speed": "speed"}, {"cycle_time": "longest"}, fixed={"fired": "1"}),
    Way(
        "injectors",
        "injector-duty",
        {"speed": "speed", "pulse": "pulse_width"},
        {"duty": "duty"},
        fixed={"fired": "1"},
    ),
    Way(
        "injectors",
        "fuel-change",
        {"speed": "speed", "pulse": "pulse_width"},
        {"duty": "duty"},
        fixed={"fired": "1", "measured": "12 AFR", "target": "12 AFR"},
    ),
    Way(
        "injectors", "injector-size", {"power": "power", "bsfc": "bsfc"}, {"fuel_mass_flow": "fuel_mass_flow"}
    ),
    # Any power and consumption that make this flow; the duty at which each injector gives its static flow.
    Way(
        "injectors",
        "injector-size",
        {"power": lambda fuel_mass_flow: fuel_mass_flow / BSFC, "injectors": "injectors"},
        {"duty": "duty"},
        fixed={"bsfc": "330 g/(kW·h)"},
        solve=("duty", "each_mass", "static_mass_flow"),
    ),
    Way(
        "injectors",
        "fuel-demand",
        {"air_mass_flow": "air_mass_flow", "afr_stoich": "afr_stoich", "lambda_target": "lambda"},
        {"fuel_mass_flow": "fuel_mass_flow"},
    ),
    *(
        Way(
            "fuel",
            figure,
            {"rail": "rail_gauge_pressure", "manifold": "manifold_gauge_pressure"},
            {"pressure_difference": "drop"},
        )
        for figure in ("injector-flow", "fuel-change")
    ),
    # A rail that stands still while the manifold is pressed or drawn on: no hose to the regulator. Boost and vacuum have a row each,
    # which refuses the other.
    Way(
        "fuel",
        "rail-pressure",
        {"base": "rail_gauge_pressure", "idle": "manifold_gauge_pressure"},
        {"pressure_difference": "drop_idle"},
        fixed={"regulator": "unreferenced"},
    ),
    Way(
        "fuel",
        "rail-pressure",
        {"base": "rail_gauge_pressure", "boost": "manifold_gauge_pressure"},
        {"pressure_difference": "drop_boost"},
        fixed={"regulator": "unreferenced"},
    ),
    Way(
        "fuel",
        "injector-flow",
        {**FLOW, "rated_drop": "base_pressure", "rail": "base_pressure", "manifold": "boost"},
        {"flow": "flow"},
    ),
    Way(
        "fuel",
        "rail-pressure",
        {"flow": "flow", "base": "base_pressure", "boost": "boost"},
        {"flow": "flow_boost"},
        fixed={"regulator": "unreferenced"},
    ),
    # Ten parts of air to one of fuel, so that the air is ten times the fuel that is asked for.
    Way(
        "fuel",
        "fuel-demand",
        {
            "air_mass_flow": lambda fuel_mass_flow: 10 * fuel_mass_flow,
            "density": "density",
            "margin": lambda margin: margin - 1,
        },
        {"volume_flow": "volume_flow"},
        fixed={"lambda_target": "1 λ", "afr_stoich": "10 AFR", "fuel_temperature": "15 °C"},
    ),
    Way(
        "fuel",
        "fuel-line",
        {
            name: name
            for name in (
                "volume_flow",
                "inner_diameter",
                "length",
                "density",
                "kinematic_viscosity",
                "roughness",
            )
        },
        {name: name for name in ("velocity", "reynolds", "friction_factor", "pressure_drop")},
    ),
    # A bore of 8 mm, as rough and as fast as the two numbers say.
    Way(
        "fuel",
        "fuel-line",
        {
            "roughness": lambda relative_roughness: 0.008 * relative_roughness,
            "volume_flow": lambda reynolds: reynolds * 0.5e-6 * math.pi * 0.008 / 4,
        },
        {"friction_factor": "friction_factor"},
        fixed={"inner_diameter": "8 mm", "kinematic_viscosity": "0.5 mm²/s", "length": "1 m"},
    ),
    # The kind of glycol stands in the words of the check only. The whole system is drained, so that any strength can be reached.
    *(
        Way(
            "coolant",
            "coolant-mix",
            {"target": "volume_fraction"},
            {"freezing_point": "freezes"},
            fixed={"antifreeze": glycol, "system": "8 L", "drained": "8 L", "now": "0 %"},
            said=f"point of {glycol} glycol",
        )
        for glycol in ("ethylene", "propylene")
    ),
    # What is mixed by mass has a table of its own.
    Cells(
        "coolant",
        "glycols-by-mass",
        weak_by_mass,
        {"freezing_point": "ethylene_freezes"},
        said="point of ethylene glycol in water by mass",
    ),
    Cells(
        "coolant",
        "glycols-by-mass",
        lambda mass_fraction: by_share("mass", mass_fraction),
        {"freezing_point": "propylene_freezes"},
        said="point of propylene glycol in water by mass",
    ),
    *(
        Cells(
            "coolant",
            "glycols",
            lambda volume_fraction: by_share("vol", volume_fraction),
            {"freezing_point": f"{glycol}_freezes"},
            said=f"point of {glycol} glycol in water by volume",
        )
        for glycol in ("ethylene", "propylene")
    ),
    Way(
        "coolant",
        "boil-point",
        {
            "site": lambda absolute_pressure: min(absolute_pressure, STANDARD),
            "cap": lambda absolute_pressure: max(absolute_pressure - STANDARD, 0.0),
        },
        {"boiling_temperature": "water"},
        fixed={"coolant": "water", "hot": "20 °C"},
    ),
    Way(
        "coolant",
        "boil-point",
        {"cap": "cap_gauge_pressure", "site": "ambient_pressure"},
        {"absolute_pressure": "inside", "boiling_temperature": "water"},
        fixed={"coolant": "water", "hot": "20 °C"},
    ),
    Way(
        "coolant",
        "coolant-mix",
        {
            "system": "system_volume",
            "drained": "system_volume",
            "now": "present_fraction",
            "target": "wanted_fraction",
            "fill": "refill_fraction",
        },
        {"drain_volume": "exchange"},
    ),
    # Water in for coolant out: the strength that so much of an exchange comes to.
    Way(
        "coolant",
        "coolant-mix",
        {"system": "system_volume", "drained": "system_volume", "now": "present_fraction"},
        {"final_fraction": "target"},
        solve=("target", "exchange", "top_up_water"),
    ),
)
