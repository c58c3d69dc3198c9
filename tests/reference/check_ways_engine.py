"""Ways from outside checks to Figures and tables: pressure, atmosphere, air, boost, mixture, geometry of drives."""

from __future__ import annotations

from reference.check_ways import Cells, Way

GAS = 287.05287  # J/(kg·K), the Figures' own constant
# Molecules that stand in the table of fuels: atoms of carbon, hydrogen and oxygen.
MOLECULES = {
    (8, 18, 0): "isooctane",
    (2, 6, 1): "ethanol",
    (1, 4, 1): "methanol",
    (3, 8, 0): "propane",
    (4, 10, 0): "butane",
    (7, 16, 0): "rating-fluid",
    (1, 1.87, 0): "petrol",
}
FUEL_ROWS = {"ethanol": "ethanol", "methanol": "methanol", "isooctane": "isooctane", "n_heptane": "heptane"}


def molecule(carbon: float, hydrogen: float, oxygen: float) -> str:
    return MOLECULES.get((carbon, hydrogen, oxygen), f"C{carbon:g} H{hydrogen:g} O{oxygen:g}")


def near(kelvin: float, celsius: float) -> bool:
    return abs(kelvin - 273.15 - celsius) < 1e-6


ENGINE_WAYS: tuple[Way | Cells, ...] = (
    Way(
        "pressure",
        "pressure-units",
        {"gauge": "gauge_pressure", "site": "ambient_pressure"},
        {"absolute_pressure": "absolute"},
    ),
    # Vacuum is a gauge pressure below nought.
    Way(
        "pressure",
        "pressure-units",
        {"gauge": lambda vacuum: -vacuum, "site": "ambient_pressure"},
        {"absolute_pressure": "absolute"},
    ),
    Way(
        "pressure",
        "pressure-ratio",
        {"boost": "gauge_pressure", "site": "ambient_pressure"},
        {"absolute_pressure": "outlet", "pressure_ratio": "ratio"},
        fixed={"loss": "0 kPa"},
    ),
    Way(
        "pressure",
        "pressure-ratio",
        {"boost": "gauge_pressure_out", "site": "ambient_pressure", "loss": "inlet_loss"},
        {"pressure_ratio": "ratio"},
    ),
    Way(
        "atmosphere",
        "site-pressure",
        {"altitude": "altitude"},
        {"pressure": "pressure", "temperature": "temperature", "density": "density"},
    ),
    # The height alone, and the site's part of the Figure for another altitude.
    Way(
        "atmosphere",
        "pressure-sensor-check",
        {"altitude": "altitude"},
        {"pressure": "air"},
        fixed={"where": "height-only"},
    ),
    Way("atmosphere", "flow-altitude", {"height": "altitude"}, {"pressure": "site"}),
    # What the Figures hold as constants for the range where blowers work.
    Way("air", "charge-cooler", {}, {"cp": "heat_capacity"}, spare="temperature pressure"),
    Way("air", "drive-power", {}, {"gamma": "gamma"}, spare="temperature pressure"),
    Way("air", "charge-temperature", {}, {"gamma": "gamma"}, spare="temperature pressure"),
    Way("air", "air-flow", {}, {"R_air": "gas"}, spare="molar_mass molar_gas_constant"),
    Way(
        "air", "density-gain", {"outside": "temperature", "site": "pressure"}, {"density": "density_outside"}
    ),
    Way(
        "air",
        "air-flow",
        {"charge": "temperature", "site": "pressure"},
        {"density": "density"},
        fixed={"boost": "0 kPa"},
    ),
    # The Figure finds the density from pressure and temperature: this is the temperature that has the one asked for.
    Way(
        "air",
        "air-flow",
        {
            "displacement": "displacement",
            "speed": "speed",
            "ve": "volumetric_efficiency",
            "charge": lambda inlet_density: 101325 / (GAS * inlet_density),
        },
        {"air_mass_flow": "air"},
        fixed={"boost": "0 kPa", "site": "1 atm"},
    ),
    Way(
        "air",
        "air-flow",
        {"displacement": "displacement", "speed": "speed", "ve": "volumetric_efficiency"},
        {"volume_flow": "swallowed"},
    ),
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
    # Power hangs on the temperatures alone: an efficiency that makes them, at the Figure's own γ.
    Way(
        "boost",
        "drive-power",
        {
            "flow": "air_flow",
            "inlet": "inlet_temperature",
            "boost": lambda pressure_ratio: (pressure_ratio - 1) * 97300,
            "efficiency": lambda pressure_ratio, inlet_temperature, outlet_temperature: inlet_temperature
            * (pressure_ratio ** (0.4 / 1.4) - 1)
            / (outlet_temperature - inlet_temperature),
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
    *(
        Way("boost", figure, {"ratio": "pressure_ratio", "gamma": "gamma"}, {"efficiency": "best"})
        for figure in ("charge-temperature",)
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
    # The tables give fuels at 15 °C.
    *(
        Cells(
            "mixture",
            table,
            lambda temperature, fluid: FUEL_ROWS.get(fluid, fluid)
            if near(temperature, 15)
            else f"{fluid} at another temperature than 15 °C",
            {"(?P<fluid>ethanol|methanol|n_heptane|isooctane)": "density"},
        )
        for table in ("fuels", "fuel-viscosity")
    ),
    Cells(
        "injectors",
        "fuels",
        lambda temperature: "rating-fluid" if near(temperature, 21) else "n-heptane at another temperature",
        {"density": "density"},
    ),
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
    Way("geometry", "blower-speed", {"crank_pulley": "diameter", "speed": "speed"}, {"belt_speed": "belt_speed"}),
    Way(
        "geometry",
        "blower-speed",
        {"crank_pulley": "driver_diameter", "blower_pulley": "driven_diameter", "speed": "driver_speed"},
        {"driven_speed": "blower_speed"},
    ),
)
