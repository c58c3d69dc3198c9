"""Why a result of an outside check has neither Figure nor table: said where the list of what did not run is printed."""

from __future__ import annotations

import re

# (topic, result's name as a regular expression, reason)
GAPS = (
    ("torque", "power", "no Figure turns torque and speed into power: nothing at the car measures torque"),
    ("torque", "bmep", "no Figure for mean effective pressure: a test bench's number"),
    ("fasteners", "low|high", "no table of torques for flare nuts: the part's maker gives them"),
    (
        "air",
        "vapour_pressure|saturation_pressure|density",
        "no Figure reckons with moist air; dry air stands in each one's assumptions",
    ),
    (
        "air",
        "correction_factor|factor_at_reference",
        "no Figure corrects a test bench's power to another day",
    ),
    (
        "boost",
        "outlet_temperature|isentropic_efficiency",
        "no Figure for a turbine: the tool is about driven blowers",
    ),
    ("mixture", "density_min|density_max", "the limits of a fuel standard stand in words, not in a cell"),
    (
        "mixture",
        "afr_stoich",
        "no Figure reckons with molecules, and the table of fuels is reckoned with argon in the air",
    ),
    ("injectors", "pulse_width", "no Figure starts from the fuel for one cycle"),
    ("coolant", "density", "no Figure or table gives the density of coolant"),
    (
        "coolant",
        "mass_fraction",
        "the table of glycols gives it to 0.1 %, as one can measure; the check wants 0.01 %",
    ),
    (
        "wiring",
        "r_.*",
        "the table keeps to the limits of IEC 60228, which are higher: the wire may be the worse one",
    ),
    (
        "geometry",
        "arc_length|displacement|compression_ratio|target_.*|mean_piston_speed",
        "no Figure for this: the engine's data sheet says it",
    ),
)


def why_not(topic: str, name: str) -> str:
    """The reason for a result that nothing answers, from these inputs."""
    for gap_topic, pattern, reason in GAPS:
        if gap_topic == topic and re.fullmatch(pattern, name):
            return reason
    return "no Figure or table gives this from these inputs"
