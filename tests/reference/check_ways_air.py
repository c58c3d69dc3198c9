"""Ways from outside checks to Figures: pressure, atmosphere, air."""

from __future__ import annotations

from reference.check_ways import Way

GAS = 287.05287  # J/(kg·K), the Figures' own constant

AIR_WAYS: tuple[Way, ...] = (
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
)
