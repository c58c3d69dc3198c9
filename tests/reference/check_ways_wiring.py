"""Ways from outside checks to Figures and tables: wiring."""

from __future__ import annotations

import math

from reference.check_ways import Cells, Way


def area_row(area: str) -> str:
    """Row id of a conductor of '0_75' mm²."""
    return f"mm2-{area.replace('_', '.')}"


WIRING_WAYS: tuple[Way | Cells, ...] = (
    # Printed by the gauge; the table holds ohms a length at 20 °C, its reckoned copper the same resistivity.
    *(
        Cells(
            "wiring",
            "wire-sizes",
            lambda gauge: f"awg-{gauge}",
            {r"r_awg(?P<gauge>\d+)": "resistance"},
            spare=spare,
        )
        for spare in ("temperature", "temperature resistivity")
    ),
    Cells(
        "wiring",
        "wire-sizes",
        lambda awg: f"awg-{awg:g}",
        # The table tells wires by their copper; a solid one is a circle of that area.
        {"area": "area", "diameter": lambda area: 2 * math.sqrt(area / math.pi)},
    ),
    # The length is that of the whole run, without joints, at the temperature that the resistance is stated at.
    Way(
        "wiring",
        "wire-drop",
        {"ohms": "resistance_per_length", "out": "length", "current": "current"},
        {"voltage_drop": "drop"},
        fixed={"back": "0 m", "joints": "0 mΩ", "warm": "20 °C"},
    ),
    Way(
        "wiring",
        "wire-drop",
        {
            "ohms": lambda resistivity, area: resistivity / area,
            "out": "one_way_length",
            "back": "one_way_length",
            "current": "current",
            "warm": "temperature",
        },
        {"voltage_drop": "drop", "drop_fraction": "lost"},
        fixed={"joints": "0 mΩ", "supply": "12 V"},
        said="12 V",
    ),
    # A metre of wire has as many ohms as it has ohms a metre. How copper grows with heat is the Figure's constant.
    Way(
        "wiring",
        "wire-drop",
        {"ohms": "resistance_20", "warm": "temperature"},
        {"resistance": "loop"},
        fixed={"out": "1 m", "back": "0 m", "joints": "0 mΩ"},
        spare="coefficient",
    ),
    # The hot run that loses as much as the cold one did: 10 mV a metre at 1 A.
    Way(
        "wiring",
        "wire-drop",
        {"warm": "temperature"},
        {"length": "out"},
        fixed={"ohms": "10 mΩ/m", "current": "1 A", "back": "0 m", "joints": "0 mΩ"},
        solve=("out", "drop", lambda length_20: 0.01 * length_20),
    ),
    Cells(
        "wiring",
        "wire-sizes",
        lambda area: area_row(area),
        {r"r_(?P<area>\d+(_\d+)?)": "resistance_flexible"},
        spare="conductor_class",
        said="flexible",
    ),
)
