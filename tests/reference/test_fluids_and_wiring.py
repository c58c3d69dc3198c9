"""Coolant, small volumes, wires and fuses against water's own equation, published freezing points and copper reckoned by hand.

Sources: CoolProp (IAPWS-95 and IAPWS-IF97 for water, ASHRAE freezing data, propylene glycol), Lange's Handbook of Chemistry,
15th edition, table 5.13 (read), IEC 60028:1925 and ASTM B258 (from memory), FAA AC 43.13-1B (read).
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI
from reference.real_air import PSI, ZERO, asked, found, refusal
from scipy.optimize import brentq

from webapp.figures.answer import BadInput, answer

COPPER = 1.7241e-8  # Ω·m at 20 °C, IEC 60028:1925
SHARES = (10, 20, 25, 30, 35, 40, 45, 50, 55, 60)
# Propylene glycol by volume, °C: Lange's Handbook, table 5.13 (read).
LANGE = {10: -2.2, 20: -6.7, 25: -8.9, 30: -12.8, 35: -16.1, 40: -20.6, 50: -33.3}


def said(book: Any, figure: str, **typed: str) -> dict[str, Any]:
    return answer(book, "en", figure, typed)


# -- coolant --------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize(("kind", "fit", "slack"), [("ethylene", "AEG", 0.6), ("propylene", "APG", 2.1)])
def test_freezing_is_never_colder_than_ashrae_data(
    book: Any, share: int, kind: str, fit: str, slack: float
) -> None:
    """CoolProp's fits of ASHRAE data by volume. Propylene glycol follows Lange, which is warmer by up to 1.4 °C."""
    theirs = PropsSI("T_freeze", "T", 300, "P", 101325, f"INCOMP::{fit}[{share / 100}]")
    typed = {"antifreeze": kind, "target": f"{share} %", "now": "0 %", "drained": "8 L"}
    ours = asked(book, "coolant-mix", **typed)("freezes")
    assert theirs - 0.01 <= ours <= theirs + slack


@pytest.mark.parametrize("share", LANGE)
def test_propylene_glycol_is_never_colder_than_lange(book: Any, share: int) -> None:
    typed = {"antifreeze": "propylene", "target": f"{share} %", "now": "0 %", "drained": "8 L"}
    ours = asked(book, "coolant-mix", **typed)("freezes") - ZERO
    assert LANGE[share] - 0.01 <= ours <= LANGE[share] + 1.3


@pytest.mark.parametrize(
    ("now", "target", "fill", "drained"),
    [
        (0, 50, 100, 5),
        (25, 50, 100, 5),
        (40, 33, 100, 6),
        (60, 50, 50, 7),
        (30, 45, 70, 4.5),
        (50, 50, 100, 2),
    ],
)
def test_what_is_poured_makes_the_strength_litre_by_litre(
    book: Any, now: float, target: float, fill: float, drained: float
) -> None:
    """Glycol counted in litres, before and after, with what is left inside."""
    typed = {"now": f"{now} %", "target": f"{target} %", "fill": f"{fill} %", "drained": f"{drained} L"}
    mix = asked(book, "coolant-mix", **typed)
    pour, water = mix("pour") * 1000, mix("water") * 1000
    glycol = now / 100 * (8 - drained) + fill / 100 * pour
    assert pour + water == pytest.approx(drained)
    assert glycol / 8 == pytest.approx(target / 100)


def test_Q24_five_of_eight_quarts(book: Any) -> None:
    typed = {"system": "8 US qt", "now": "0 %"}
    mix = asked(book, "coolant-mix", drained="5 US qt", **typed)
    assert mix("pour") == pytest.approx(4 * 0.946352946e-3)
    too_little = refusal(book, "coolant-mix", drained="3 US qt", **typed)
    assert "37.5 %" in too_little
    assert "2 times" in too_little
    assert "31.25 %" in refusal(book, "coolant-mix", drained="5 US qt", fill="50 %", **typed)


def test_rounds_are_counted_as_draining_again_and_again_counts_them(book: Any) -> None:
    strength, rounds = 0.1, 0
    while strength < 0.5:
        strength, rounds = strength + (1 - strength) * 1.5 / 8, rounds + 1
    assert f"{rounds} times" in refusal(book, "coolant-mix", now="10 %", drained="1.5 L")


def test_strengths_that_cannot_be_reached_refuse(book: Any) -> None:
    assert "60 %" in refusal(book, "coolant-mix", target="70 %")
    assert "whole system" in refusal(book, "coolant-mix", drained="9 L")
    assert "stronger" in refusal(book, "coolant-mix", now="50 %", fill="33 %")
    assert "slowly" in refusal(book, "coolant-mix", now="80 %", target="0.1 %")
    assert "beyond 60 %" in str(said(book, "coolant-mix", now="80 %", drained="7 L"))


@pytest.mark.parametrize("kilopascals", [40, 75, 97.3, 101.325, 150, 207.3, 280, 350])
def test_water_boils_where_iapws_says(book: Any, kilopascals: float) -> None:
    """Two formulations of CoolProp: the industrial IAPWS-IF97 and the scientific IAPWS-95."""
    site = min(kilopascals, 100)
    typed = {"coolant": "water", "site": f"{site:.5f} kPa", "cap": f"{kilopascals - site:.5f} kPa"}
    ours = asked(book, "boil-point", **typed)("boils")
    assert ours == pytest.approx(PropsSI("T", "P", kilopascals * 1000, "Q", 0, "IF97::Water"), abs=0.01)
    assert ours == pytest.approx(PropsSI("T", "P", kilopascals * 1000, "Q", 0, "Water"), abs=0.01)


@pytest.mark.parametrize(("row", "by_mass"), [("propylene-40", 0.409), ("propylene-50", 0.509)])
@pytest.mark.parametrize("cap", [0, 0.9, 1.4])
def test_half_propylene_glycol_boils_near_an_ideal_mixture(
    book: Any, row: str, by_mass: float, cap: float
) -> None:
    """Raoult's law with both vapour pressures of CoolProp, root by scipy; ours is the cautious side."""
    glycol = by_mass / 76.095 / (by_mass / 76.095 + (1 - by_mass) / 18.015)
    pressure = 97300 + cap * 1e5

    def excess(t: float) -> float:
        parts = ((1 - glycol, "Water"), (glycol, "PropyleneGlycol"))
        return sum(part * PropsSI("P", "T", t, "Q", 0, fluid) for part, fluid in parts) - pressure

    ideal = brentq(excess, 340, 440)
    ours = asked(book, "boil-point", coolant=row, cap=f"{cap} bar")("boils")
    assert ideal - 1 < ours <= ideal


def test_coolants_boil_at_sea_level_as_their_table_says(book: Any) -> None:
    for row, cells in book.tables["coolant-strengths"]["rows"].items():
        ours = asked(book, "boil-point", coolant=row, cap="0 bar", site="101.32500 kPa")("boils")
        assert ours == pytest.approx(cells["open"], abs=0.05)


def test_Q25_cap_and_altitude_and_opening_it_hot(book: Any) -> None:
    """Steam by the balance of heat between saturated water and steam of CoolProp."""
    site = 10.7 * PSI
    open_at, hot = PropsSI("T", "P", site, "Q", 0, "Water"), ZERO + (228 - 32) / 1.8
    liquid, steam = (PropsSI("H", "P", site, "Q", q, "Water") for q in (0, 1))
    share = (PropsSI("H", "T", hot, "Q", 0, "Water") - liquid) / (steam - liquid)
    volume = share / PropsSI("D", "P", site, "Q", 1, "Water")
    boil = asked(book, "boil-point", coolant="water", cap="9.5 psi", site="10.7 psi", hot="228 °F")
    assert boil("open") == pytest.approx(open_at, abs=0.01)
    assert boil("flash") == pytest.approx(share, rel=0.03)
    assert boil("steam") == pytest.approx(volume, rel=0.05)
    shown = said(book, "boil-point", coolant="water", cap="9.5 psi", site="10.7 psi", hot="228 °F")
    assert any("Keep it closed" in sentence for sentence in shown["warnings"])


# -- small volumes --------------------------------------------------------------------------------------------------------------


def test_ounces_and_gallons_of_two_countries(book: Any) -> None:
    """By definition: 231 in³ in 128 parts, 4.54609 L in 160 parts."""
    us, imperial = 231 * 16.387064 / 128, 4546.09 / 160
    volume = asked(book, "fluid-volumes", volume="7.3 US fl oz")
    assert volume("same") * 1e6 == pytest.approx(7.3 * us)
    assert volume("imp_for_us") * 1e6 == pytest.approx(7.3 * imperial)
    assert asked(book, "fluid-volumes", volume="3 US qt")("imp_gal_for_us") * 1e6 == pytest.approx(
        0.75 * 4546.09
    )
    assert asked(book, "fluid-volumes", volume="3 imp gal")("imp_quarts") == pytest.approx(12)
    with pytest.raises(BadInput, match="US fl oz, imp fl oz"):
        said(book, "fluid-volumes", volume="7.3 oz")


# -- wires and fuses ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("gauge", [10, 14, 18, 20])
def test_a_gauge_wire_loses_what_its_diameter_says(book: Any, gauge: int) -> None:
    """ASTM B258 diameter, IEC 60028 copper, summed over a metre at a time."""
    diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39)
    per_metre = COPPER / (math.pi / 4 * diameter**2)
    typed = {"ohms": f"{per_metre:.9f} Ω/m", "out": "7 m", "back": "5 m", "joints": "0 mΩ", "warm": "20 °C"}
    drop = asked(book, "wire-drop", wire=f"awg-{gauge}", current="2 A", **typed)("drop")
    assert drop == pytest.approx(sum(2 * per_metre for _ in range(12)), rel=1e-6)


def test_hot_wire_has_the_resistance_that_the_faa_formula_gives(book: Any) -> None:
    """FAA AC 43.13-1B change 1, chapter 11: L2 = 254.5 × L1/(234.5 + T2) (read)."""
    cold, hot = (asked(book, "wire-drop", joints="0 mΩ", warm=f"{t} °C")("drop") for t in (20, 85))
    assert cold / hot == pytest.approx(254.5 / (234.5 + 85), rel=1e-4)


def test_Q26_longer_harness_lifts_a_shared_ground(book: Any) -> None:
    """18 AWG, 21 mΩ/m: 8 ft are 51 mΩ, and 1.5 A make 77 mV of them; an injector of 1 A loses 0.1 V there and back."""
    typed = {"wire": "awg-18", "back": "8 ft", "warm": "20 °C", "joints": "0 mΩ"}
    shared = asked(book, "wire-drop", out="0 m", current="1.5 A", **typed)
    assert shared("lift") == pytest.approx(0.077, abs=0.0005)
    assert shared("sensor") == pytest.approx(0.0153, abs=0.0001)
    assert asked(book, "wire-drop", out="8 ft", current="1 A", **typed)("drop") == pytest.approx(
        0.102, abs=0.0005
    )
    assert "cannot flow" in refusal(book, "wire-drop", current="300 A")


@pytest.mark.parametrize(("amps", "metres"), [(0.5, 2), (3, 6), (10, 4), (20, 1), (25, 3), (50, 0.5)])
def test_the_smallest_wire_is_found(book: Any, amps: float, metres: float) -> None:
    typed = {"current": f"{amps} A", "out": f"{metres} m", "back": f"{metres} m", "warm": "20 °C"}
    most = (0.05 * 13.8 / amps - 0.01) / (2 * metres)
    rows = book.tables["wire-sizes"]["rows"]
    ours = asked(book, "wire-size", **typed)
    size = min(
        cells["area"] for row, cells in rows.items() if row.startswith("mm2") and does(cells, most, amps)
    )
    assert ours("size") == pytest.approx(size)
    assert ours("load") >= 0.95 * 13.8


def does(cells: dict[str, Any], most: float, amps: float) -> bool:
    return bool(cells["resistance_flexible"] <= most and cells["current"] / 2 >= amps)


def test_no_wire_is_told_with_its_reason(book: Any) -> None:
    assert "no wire is thick enough" in refusal(book, "wire-size", joints="100 mΩ")
    assert "bears here" in refusal(book, "wire-size", current="60 A", joints="0 mΩ")
    assert "thickest of the table" in refusal(book, "wire-size", current="30 A", out="20 m")
    assert "no wire" in refusal(book, "wire-size", out="0 m", back="0 m")


def test_the_flag_for_metric_wire_agrees_with_its_name(book: Any) -> None:
    for row, cells in book.tables["wire-sizes"]["rows"].items():
        assert cells["metric"] == (1 if row.startswith("mm2") else 0)


@pytest.mark.parametrize(
    ("fuse", "load", "level", "word"),
    [
        ("15 A", "10 A", "ok", "suits"),
        ("20 A", "10 A", "stop", "Too large"),
        ("7.5 A", "10 A", "stop", "Too small"),
        ("10 A", "9 A", "near", "ages"),
        ("15 A", "11.9 A", "near", "next thicker wire"),
        ("10 A", "11.9 A", "stop", "no blade fuse"),
        ("15 A", "14 A", "stop", "No fuse is right"),
    ],
)
def test_a_fuse_is_judged_by_wire_and_load(book: Any, fuse: str, load: str, level: str, word: str) -> None:
    """4 mm² bears 32 A in the table, half of it in a loom: 16 A. Rules of common practice."""
    verdict = said(book, "fuse-check", fuse=fuse, load=load)["verdict"]
    assert verdict["level"] == level
    assert word in verdict["text"]


def test_the_wanted_wire_is_found_backwards(book: Any) -> None:
    """Load of 13 V: 0.8 V over 10 A less 10 mΩ, over 8 m at 20 °C, by hand."""
    ohms = found(book, "wire-drop", "ohms", load="13 V", warm="20 °C")
    assert ohms == pytest.approx((0.08 - 0.01) / 8)
