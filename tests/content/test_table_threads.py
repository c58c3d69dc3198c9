"""Tables of threads, bolts and friction against outside or computed facts. The source stands beside each check;
'from memory' means that it was not seen.
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from content.table_cells import INCH, inch_size, metric_size, numbers, stress_area, texts


def test_coarse_pitches_are_those_of_iso_261(book: Any) -> None:
    """ISO 261 coarse series; M5 to M14 read in the pitch row of an excerpt of JIS B 1176:2014, the rest from memory."""
    coarse = {3: 0.5, 3.5: 0.6, 4: 0.7, 5: 0.8, 6: 1, 7: 1, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2, 16: 2}
    coarse |= {18: 2.5, 20: 2.5, 22: 2.5, 24: 3}
    diameters = numbers(book, "metric-threads", "diameter")
    found = {}
    for row, pitch in numbers(book, "metric-threads", "pitch").items():
        diameter, fine = metric_size(row)
        assert diameters[row] == pytest.approx(diameter)
        assert fine is None or fine == pytest.approx(pitch)
        assert fine is None or fine < coarse[diameter]
        if fine is None:
            found[diameter] = pitch
    assert found == pytest.approx(coarse)


def test_stress_areas_follow_the_formula_of_iso_898_1(book: Any) -> None:
    pitches, diameters = (numbers(book, "metric-threads", name) for name in ("pitch", "diameter"))
    for row, area in numbers(book, "metric-threads", "stress_area").items():
        rounding = 0.0051 if area < 100 else 0.051
        assert area == pytest.approx(stress_area(diameters[row], pitches[row]), abs=rounding), row


def test_stress_areas_agree_with_the_printed_ones(book: Any) -> None:
    """ISO 898-1:2013, nominal stress areas (from memory): three digits, so 0.5 % apart at most."""
    printed = {"m5": 14.2, "m6": 20.1, "m8": 36.6, "m10": 58.0, "m12": 84.3, "m14": 115, "m16": 157}
    printed |= {"m8x1": 39.2, "m10x1.25": 61.2, "m10x1": 64.5, "m12x1.25": 92.1, "m14x1.5": 125}
    areas = numbers(book, "metric-threads", "stress_area")
    assert {row: areas[row] for row in printed} == pytest.approx(printed, rel=0.005)


def test_a_metric_tap_drill_leaves_about_three_quarters_of_a_thread(book: Any) -> None:
    """The shop's rule: diameter less pitch (common practice), within 0.2 mm."""
    pitches, diameters = (numbers(book, "metric-threads", name) for name in ("pitch", "diameter"))
    for row, drill in numbers(book, "metric-threads", "tap_drill").items():
        assert drill == pytest.approx(diameters[row] - pitches[row], abs=0.101), row


def test_clearance_holes_are_the_medium_series_of_iso_273(book: Any) -> None:
    """ISO 273 medium (from memory)."""
    medium = {"m3": 3.4, "m4": 4.5, "m5": 5.5, "m6": 6.6, "m8": 9, "m10": 11, "m12": 13.5, "m16": 17.5}
    medium |= {"m14": 15.5, "m18": 20, "m20": 22, "m22": 24, "m24": 26}
    holes = numbers(book, "metric-threads", "clearance")
    for row, hole in holes.items():
        coarse = row.partition("x")[0]
        assert hole == holes[coarse]
        assert hole == pytest.approx(medium.get(coarse, hole))


@pytest.mark.parametrize(("column", "stress"), [("class_8_8", 580), ("class_10_9", 830), ("class_12_9", 970)])
def test_a_proof_load_is_stress_times_area_and_never_more(book: Any, column: str, stress: float) -> None:
    """Proof stress of ISO 898-1:1999 as a college course page quotes it (read); 0.7 % for the rounding of the printed tables."""
    loads = numbers(book, "proof-loads", column)
    assert {"m5", "m6", "m8", "m10", "m12", "m14", "m16"} <= set(loads)
    for row, load in loads.items():
        diameter, fine = metric_size(row)
        product = stress * stress_area(diameter, fine or numbers(book, "metric-threads", "pitch")[row]) / 1000
        assert 0.993 * product < load <= product, row


def test_no_proof_load_is_above_the_printed_one(book: Any) -> None:
    """ISO 898-1:2013, tables of proof loads (from memory), N."""
    printed = {
        "class_8_8": {"m5": 8230, "m6": 11600, "m8": 21200, "m10": 33700, "m12": 48900, "m14": 66700},
        "class_10_9": {"m5": 11800, "m6": 16700, "m8": 30400, "m10": 48100, "m12": 70000, "m14": 95500},
        "class_12_9": {"m5": 13800, "m6": 19500, "m8": 35500, "m10": 56300, "m12": 81800, "m14": 112000},
    }
    for column, loads in printed.items():
        shown = numbers(book, "proof-loads", column)
        for row, load in loads.items():
            assert 0.99 * load < 1000 * shown[row] <= load, (column, row)


def test_a_class_mark_states_the_tensile_stress_and_the_share_at_yield(book: Any) -> None:
    """ISO 898-1, clause on designation (from memory): 100 × the first number, and its tenths."""
    yields, tensiles, proofs = (
        numbers(book, "bolt-classes", name) for name in ("yield_stress", "tensile", "proof")
    )
    for row in (row for row in tensiles if row.startswith("class-")):
        first, tenths = row.removeprefix("class-").removesuffix("-over-m16").split(".")
        for shown, nominal in (
            (tensiles[row], 100 * int(first)),
            (yields[row], 10 * int(first) * int(tenths)),
        ):
            assert 0.999 < shown / nominal < 1.08, (
                row
            )  # least values may stand a little above the nominal ones
        assert 0.87 * yields[row] < proofs[row] < yields[row], row


def test_metric_classes_have_the_stresses_of_iso_898_1(book: Any) -> None:
    """Proof, yield and tensile, MPa: ISO 898-1:1999 as a college course page quotes it (read); 5.6 and 6.8 from memory."""
    quoted = {"4.6": (225, 240, 400), "4.8": (310, 340, 420), "5.8": (380, 420, 520), "9.8": (650, 720, 900)}
    quoted |= {"8.8": (580, 640, 800), "8.8-over-m16": (600, 660, 830), "10.9": (830, 940, 1040)}
    quoted |= {"12.9": (970, 1100, 1220), "5.6": (280, 300, 500), "6.8": (440, 480, 600)}
    rows = {f"class-{mark}": stresses for mark, stresses in quoted.items()}
    rows["unmarked"] = quoted["4.6"]  # common practice, no source
    for number, column in enumerate(("proof", "yield_stress", "tensile")):
        shown = numbers(book, "bolt-classes", column)
        assert {row: shown[row] for row in rows} == pytest.approx({r: s[number] for r, s in rows.items()})


def test_inch_grades_are_the_ksi_of_sae_j429_and_astm_a574(book: Any) -> None:
    """SAE J429, table 1, and ASTM A574 (from memory), ksi; 1 ksi = 6.894757 MPa, NIST SP 811, appendix B.8."""
    ksi = {"sae-1": (33, 36, 60), "sae-2": (55, 57, 74), "sae-5": (85, 92, 120), "sae-8": (120, 130, 150)}
    ksi |= {"sae-5-large": (74, 81, 105), "sae-2-large": (33, 36, 60)}
    for row, stresses in ksi.items():
        for column, stress in zip(("proof", "yield_stress", "tensile"), stresses, strict=True):
            assert numbers(book, "bolt-classes", column)[row] == pytest.approx(6.894757 * stress, abs=0.5)
    for row, proof, tensile in (("a574", 140, 180), ("a574-large", 135, 170)):
        assert numbers(book, "bolt-classes", "proof")[row] == pytest.approx(6.894757 * proof, abs=0.5)
        assert numbers(book, "bolt-classes", "tensile")[row] == pytest.approx(6.894757 * tensile, abs=0.5)


def test_a_stainless_mark_states_a_tenth_of_the_tensile_stress(book: Any) -> None:
    """ISO 3506-1:2009 (from memory); 0.2 % yield 210, 450 and 600 MPa for 50, 70 and 80."""
    yields = numbers(book, "stainless-bolts", "yield_stress")
    for row, tensile in numbers(book, "stainless-bolts", "tensile").items():
        class_ = int(row.partition("-")[2])
        assert tensile == 10 * class_
        assert yields[row] == {50: 210, 70: 450, 80: 600}[class_]


def test_inch_threads_follow_asme_b1_1(book: Any) -> None:
    """0.7854 (D − 0.9743/n)², ASME B1.1 appendix (from memory); printed areas are cut to three or four digits."""
    areas, diameters, pitches = (
        numbers(book, "unified-threads", name) for name in ("stress_area", "diameter", "pitch")
    )
    for row, name in texts(book, "unified-threads", "name").items():
        diameter, threads = inch_size(name)
        assert diameters[row] == pytest.approx(INCH * diameter, abs=0.0051), row
        assert pitches[row] == pytest.approx(INCH / threads, abs=0.000051), row
        assert areas[row] == pytest.approx(0.7854 * (diameter - 0.9743 / threads) ** 2, rel=0.006), row


def test_inch_stress_areas_are_those_of_a_textbook_table(book: Any) -> None:
    """Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th edition, table 8-2 (read), in²."""
    table = {"unc-1-4": 0.0318, "unf-1-4": 0.0364, "unc-5-16": 0.0524, "unf-5-16": 0.0580, "unc-3-8": 0.0775}
    table |= {"unf-3-8": 0.0878, "unc-1-2": 0.1419, "unf-1-2": 0.1599, "unc-3-4": 0.334, "unf-3-4": 0.373}
    areas = numbers(book, "unified-threads", "stress_area")
    assert {row: areas[row] for row in table} == pytest.approx(table, rel=0.002)


@pytest.mark.parametrize(("column", "ksi"), [("grade_5", 85), ("grade_8", 120)])
def test_an_inch_proof_load_is_stress_times_area_rounded_down(book: Any, column: str, ksi: float) -> None:
    """Proof stress of SAE J429 (from memory)."""
    areas = numbers(book, "unified-threads", "stress_area")
    for row, load in numbers(book, "proof-loads-inch", column).items():
        assert -0.001 < 1000 * ksi * areas[row] - load < 10, row


def first_threads(book: Any) -> dict[str, tuple[float, float]]:
    """Row of any table of threads -> diameter at the first thread and pitch, mm, worked out from its name."""
    coarse = numbers(book, "metric-threads", "pitch")
    sizes = {row: (metric_size(row)[0], coarse[row]) for row in coarse} | {"m27x2": (27.0, 2.0)}
    for table, column in (("unified-threads", "name"), ("flare-and-hose", "thread")):
        for row, name in texts(book, table, column).items():
            diameter, threads = inch_size(name)
            sizes[row] = (INCH * diameter, INCH / threads)
    measured = numbers(book, "pipe-threads", "measured")
    for row, name in texts(book, "pipe-threads", "name").items():
        sizes[row] = (measured[row], INCH / int(re.findall(r"-(\d+)", name)[0]))
    return sizes


def test_look_alikes_state_the_true_gaps(book: Any) -> None:
    """Differences worked out again from the sizes of the threads, which are checked beside this."""
    sizes = first_threads(book)
    pitch_gaps = numbers(book, "thread-lookalikes", "pitch_gap")
    for pair, gap in numbers(book, "thread-lookalikes", "diameter_gap").items():
        ends = [(a, b) for a in sizes for b in sizes if f"{a}-{b}" == pair]
        assert len(ends) == 1, pair
        (diameter, pitch), (other_diameter, other_pitch) = (sizes[end] for end in ends[0])
        assert gap == pytest.approx(diameter - other_diameter, abs=0.0101), pair
        assert pitch_gaps[pair] == pytest.approx(100 * (pitch / other_pitch - 1), abs=0.051), pair


def test_nut_factors_of_book_one_are_those_printed(book: Any) -> None:
    """Shigley's Mechanical Engineering Design, 9th edition (2011), table 8-15, p. 439 (read)."""
    printed = {"book-black": 0.30, "book-zinc": 0.20, "book-lubricated": 0.18, "book-cadmium": 0.16}
    printed |= {"book-paste": 0.12}
    shown = numbers(book, "nut-factors", "k")
    assert {row: shown[row] for row in printed} == pytest.approx(printed)


def test_the_other_nut_factors_are_those_remembered_and_those_of_the_shop(book: Any) -> None:
    """Bickford, Design and Behavior of Bolted Joints (from memory); the first three rows are common practice, no source."""
    spread = {"dry": (0.16, 0.20, 0.27), "oiled": (0.12, 0.15, 0.20), "paste": (0.09, 0.12, 0.17)}
    spread |= {"handbook-received": (0.158, 0.2, 0.267), "handbook-oil": (0.1, 0.21, 0.225)}
    spread |= {"handbook-molybdenum": (0.1, 0.13, 0.18), "handbook-paste": (0.11, 0.17, 0.21)}
    spread |= {"handbook-phosphate": (0.15, 0.19, 0.23), "handbook-zinc": (0.075, 0.295, 0.53)}
    low, high = numbers(book, "nut-factors", "k_low"), numbers(book, "nut-factors", "k_high")
    typical = numbers(book, "nut-factors", "k")
    assert low.keys() == high.keys() == spread.keys()
    for row, numbers_of_row in spread.items():
        assert (low[row], typical[row], high[row]) == pytest.approx(numbers_of_row), row
        assert low[row] < typical[row] < high[row], row


def test_friction_classes_are_those_of_vdi_2230(book: Any) -> None:
    """VDI 2230-1, friction classes A to E (from memory; two traders' copies agree)."""
    low, high = (numbers(book, "friction-classes", f"friction_{end}") for end in ("low", "high"))
    assert list(low.values()) == pytest.approx([0.04, 0.08, 0.14, 0.20, 0.30])
    assert list(high.values()) == pytest.approx([0.10, 0.16, 0.24, 0.35])  # class E has no upper end


def test_the_nut_factor_of_a_friction_class_follows_from_its_friction(book: Any) -> None:
    """ISO 16047:2005 (from memory): T/F = P/2π + 0.577 d2 μ + 0.5 D μ; M10 × 1.5, d2 9.026 mm, D 12.8 mm."""
    for end in ("low", "high"):
        k = numbers(book, "friction-classes", f"k_{end}")
        friction = numbers(book, "friction-classes", f"friction_{end}")
        assert k.keys() == friction.keys()
        for row, mu in friction.items():
            arm = 1.5 / (2 * math.pi) + 9.026 * mu / (2 * math.cos(math.pi / 6)) + 12.8 / 2 * mu
            assert k[row] == pytest.approx(arm / 10, abs=0.0055), row
