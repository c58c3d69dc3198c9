"""Ways from outside checks to Figures and tables: boost, mixture, geometry of drives."""

from __future__ import annotations

from reference.check_ways import Cells, NoAnswer, Way

# Molecules that stand in the table of fuels: atoms of carbon, hydrogen and oxygen.
MOLECULES: dict[tuple[float, float, float], str] = {
    (8, 18, 0): "isooctane",
    (2, 6, 1): "ethanol",
    (1, 4, 1): "methanol",
    (3, 8, 0): "propane",
    (4, 10, 0): "butane",
    (7, 16, 0): "rating-fluid",
    (1, 1.87, 0): "petrol",
}


def molecule(carbon: float, hydrogen: float, oxygen: float) -> str:
    if (carbon, hydrogen, oxygen) not in MOLECULES:
        raise NoAnswer("this fuel is not among its rows, and no Figure reckons with molecules")
    return MOLECULES[carbon, hydrogen, oxygen]


def fuel_row(fluid: str, temperature: float) -> str:
    """Row id of a pure fuel at 15 °C."""
    if abs(temperature - 288.15) > 1e-6:
        raise NoAnswer("it holds densities at 15 °C only")
    return {"n_heptane": "heptane"}.get(fluid, fluid)


def rating_row(temperature: float) -> str:
    """Row id of the fluid that injectors are rated with, at 21 °C."""
    if abs(temperature - 294.15) > 1e-6:
        raise NoAnswer("it holds n-heptane at 21 °C only")
    return "rating-fluid"


def heated_by_exhaust(
    inlet_temperature: float,
    exhaust_flow: float,
    exhaust_drop: float,
    cp_exhaust: float,
    mechanical_efficiency: float,
    air_flow: float,
    cp_air: float,
) -> float:
    """K of the air behind a compressor that a turbine drives."""
    taken_on = exhaust_flow * cp_exhaust * exhaust_drop * mechanical_efficiency
    return inlet_temperature + taken_on / (air_flow * cp_air)


ENGINE_WAYS: tuple[Way | Cells, ...] = (
    Way(
        "boost",
        "charge-temperature",
        {"inlet": "inlet_temperature", "ratio": "pressure_ratio", "gamma": "gamma"},
        {"outlet_temperature": "ideal"},
    ),
    Way(
        "boost",
        "charge-temperature",
        {
            "inlet": "inlet_temperature",
            "ratio": "pressure_ratio",
            "gamma": "gamma",
            "efficiency": "isentropic_efficiency",
        },
        {"outlet_temperature": "outlet", "temperature_rise": "rise"},
    ),
    Way(
        "boost",
        "charge-temperature",
        {"inlet": "inlet_temperature", "ratio": "pressure_ratio", "gamma": lambda cp, cv: cp / cv},
        {"isentropic_efficiency": "efficiency"},
        solve=("efficiency", "outlet", "outlet_temperature"),
        spare="air_flow",
    ),
    # What the exhaust gives up, less friction, is what the air takes on; the efficiency that makes this temperature.
    Way(
        "boost",
        "charge-temperature",
        {
            "inlet": "inlet_temperature",
            "ratio": lambda pressure_out, pressure_in: pressure_out / pressure_in,
            "gamma": "gamma",
        },
        {"isentropic_efficiency": "efficiency"},
        solve=("efficiency", "outlet", heated_by_exhaust),
    ),
    # Power hangs on the temperatures alone: an efficiency that makes them, at the Figure's own γ.
    Way(
        "boost",
        "drive-power",
        {
            "flow": "air_flow",
            "inlet": "inlet_temperature",
            "boost": lambda pressure_ratio: (pressure_ratio - 1) * 97300,
            "efficiency": lambda pressure_ratio, inlet_temperature, outlet_temperature: (
                inlet_temperature
                * (pressure_ratio ** (0.4 / 1.4) - 1)
                / (outlet_temperature - inlet_temperature)
            ),
        },
        {"power": "by_heat"},
        fixed={"blower": "screw", "site": "97.3 kPa", "loss": "0 kPa", "mechanical": "100 %"},
        spare="cp cv",
    ),
    Way(
        "boost",
        "charge-cooler",
        {"hot": "inlet_temperature", "coolant": "coolant_temperature", "effectiveness": "effectiveness"},
        {"outlet_temperature": "cooled"},
    ),
    Way(
        "boost",
        "density-gain",
        {
            "site": "pressure_in",
            "outside": "temperature_in",
            "boost": lambda pressure_out, pressure_in: pressure_out - pressure_in,
            "charge": "temperature_out",
        },
        {"density_ratio": "gain"},
    ),
    # A blower that turns 12 000 times a minute, as large as that flow needs.
    Way(
        "boost",
        "drive-power",
        {"boost": "pressure_rise", "volume": lambda volume_flow: volume_flow / 200},
        {"power": "by_pressure"},
        fixed={"speed": "12000 rpm", "loss": "0 kPa", "mechanical": "100 %", "blower": "roots"},
    ),
    Way(
        "boost",
        "charge-temperature",
        {"ratio": "pressure_ratio", "gamma": "gamma"},
        {"efficiency": "best"},
    ),
    Way(
        "boost",
        "drive-power",
        {
            "site": "pressure_in",
            "boost": lambda pressure_in, pressure_ratio: pressure_in * (pressure_ratio - 1),
            "volume": "swept_per_revolution",
        },
        {"work": "work"},
        fixed={"loss": "0 kPa", "blower": "roots"},
    ),
    Cells("mixture", "fuels", molecule, {"afr_stoich": "stoich"}),
    # Density and ratio of pure ethanol are the Figure's constants, the same as the checks give.
    Way(
        "mixture",
        "mixture",
        {"ethanol": "ethanol_volume_fraction", "rest": "afr_gasoline", "rest_density": "density_gasoline"},
        {"ethanol_mass_fraction": "mass_share", "afr_stoich": "stoich", "density": "density"},
        spare="density_ethanol afr_ethanol",
    ),
    Way(
        "mixture",
        "fuel-blend",
        {"wanted": "ethanol_volume_fraction"},
        {"afr_stoich": "stoich", "density": "density"},
        fixed={"share_now": "0 %", "fuel": "ethanol", "in_tank": "5 L", "tank": "300 L"},
        spare="density_ethanol afr_ethanol density_gasoline afr_gasoline",
    ),
    Way(
        "mixture",
        "mixture",
        {"rest": "afr_stoich"},
        {"afr": "afr", "phi": "phi"},
        fixed={"fuel": "petrol"},
        solve=("afr", "lambda_now", "lambda"),
    ),
    Way(
        "mixture",
        "fuel-demand",
        {"lambda_target": "lambda", "afr_stoich": "afr_stoich"},
        {"afr": "afr"},
    ),
    Way(
        "mixture",
        "gauge-scale",
        {"shown": "displayed_afr", "scale": "scale_afr_stoich", "stoich": "fuel_afr_stoich"},
        {"lambda": "lambda_now", "true_afr": "true_ratio"},
    ),
    # The tables give fuels at 15 °C; a Figure lets them swell from there.
    Way(
        "mixture",
        "fuel-demand",
        {"fuel": lambda fluid: fluid, "fuel_temperature": "temperature"},
        {"(?P<fluid>ethanol|methanol|isooctane)": "warm_density"},
    ),
    *(
        Cells(
            "mixture",
            table,
            fuel_row,
            {"(?P<fluid>ethanol|methanol|n_heptane|isooctane)": "density"},
        )
        for table in ("fuels", "fuel-viscosity")
    ),
    Cells("injectors", "fuels", rating_row, {"density": "density"}),
    Way(
        "geometry",
        "belt-length",
        {
            "blower_pulley": "small_diameter",
            "new_pulley": "small_diameter",
            "crank_pulley": "large_diameter",
            "centre": "centre_distance",
        },
        {"wrap_small": "wrap_blower", "wrap_large": "wrap_crank", "length": "length"},
    ),
    Way(
        "geometry",
        "blower-speed",
        {"crank_pulley": "diameter", "speed": "speed"},
        {"belt_speed": "belt_speed"},
    ),
    Way(
        "geometry",
        "blower-speed",
        {"crank_pulley": "driver_diameter", "blower_pulley": "driven_diameter", "speed": "driver_speed"},
        {"driven_speed": "blower_speed"},
    ),
)
