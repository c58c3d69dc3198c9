"""Tables of wrenches, drills, fittings, wires and belts against outside or computed facts. The source stands beside each check;
'from memory' means that it was not seen.
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from content.table_cells import INCH, in_mm, inch_size, metric_size, numbers, texts

SIZES = "m3 m3.5 m4 m5 m6 m7 m8 m10 m12 m14 m16 m18 m20 m22 m24".split()


@pytest.mark.parametrize(
    ("column", "sizes"),
    [
        # ISO 4014, 4017 and 4032 in the open data of the library bd_warehouse (read).
        ("hexagon", [5.5, 6, 7, 8, 10, 11, 13, 16, 18, 21, 24, 27, 30, 34, 36]),
        # DIN 931 and 934 in the same data; M8 to M14 also in an article that quotes the annex of JIS B 1180 (read).
        ("older", [5.5, 6, 7, 8, 10, 11, 13, 17, 19, 22, 24, 27, 30, 32, 36]),
        # JIS B 1180, annex, small hexagon, as that article tabulates it (read).
        ("small_hexagon", [None, None, None, None, None, None, 12, 14, 17, 19, 22, 24, 27, 30, 32]),
        # ISO 4762 in the same data, M5 to M14 also in an excerpt of JIS B 1176:2014 (read).
        ("key", [2.5, None, 3, 4, 5, None, 6, 8, 10, 12, 14, None, 17, None, 19]),
        # ISO 4162 / ISO 15071 / JIS B 1189 in open tables (read).
        ("small_flange", [None, None, None, 7, 8, None, 10, 13, 15, 18, 21, None, None, None, None]),
        # EN 1665 and ISO 4161 in open tables (read).
        ("flange", [None, None, None, 8, 10, None, 13, 16, 18, 21, 24, None, 30, None, None]),
        ("flange_nut", [None, None, None, 8, 10, None, 13, 15, 18, 21, 24, None, 30, None, None]),
        # ISO 7380 and ISO 10642 in the same data (read).
        ("flat_key", [2, None, 2.5, 3, 4, None, 5, 6, 8, 10, 10, None, 12, None, None]),
    ],
)
def test_wrench_sizes_are_those_of_the_standards(book: Any, column: str, sizes: list[float | None]) -> None:
    wanted = {row: size for row, size in zip(SIZES, sizes, strict=True) if size is not None}
    assert numbers(book, "wrench-sizes", column) == pytest.approx(wanted)


def test_inch_hexagons_are_their_fractions_and_those_of_asme_b18_2_1(book: Any) -> None:
    """ASME B18.2.1 (from memory): bolt 1.5 × diameter from 5/16 in up, but 5/8 for 7/16, 13/16 for 9/16; 7/16 for 1/4."""
    bolts, nuts = (numbers(book, "inch-wrench-sizes", name) for name in ("hexagon", "nut"))
    for row, fraction in texts(book, "inch-wrench-sizes", "nut_in").items():
        assert nuts[row] == pytest.approx(in_mm(fraction), abs=0.0051), row
    exceptions = {"in-1-4": "7/16", "in-5-16": "1/2", "in-7-16": "5/8", "in-9-16": "13/16"}
    for row, size in bolts.items():
        written = texts(book, "inch-wrench-sizes", "bolt_in")[row]
        diameter = in_mm(texts(book, "inch-wrench-sizes", "name")[row])
        assert size == pytest.approx(in_mm(written), abs=0.0051), row
        assert size == pytest.approx(in_mm(exceptions.get(row, "")) or 1.5 * diameter, abs=0.0051), row


def test_a_drill_leaves_the_thread_it_says(book: Any) -> None:
    """(d − drill) / (1.299 P): the height of a full thread is 3/4 × 0.866 P on each side (Machinery's Handbook, from memory)."""
    table = "drills-near-taps"
    for row, name in texts(book, table, "name").items():
        if row.startswith("m"):
            diameter, fine = metric_size(row)
            pitch = fine or numbers(book, "metric-threads", "pitch")[row]
        else:
            diameter, pitch = INCH * inch_size(name)[0], INCH / inch_size(name)[1]
        for drill, share in (("metric_drill", "metric_share"), ("inch_drill_size", "inch_share")):
            sizes, shares = numbers(book, table, drill), numbers(book, table, share)
            assert sizes.keys() == shares.keys()
            if row in sizes:
                full = 2 * 0.75 * math.sqrt(3) / 2 * pitch
                # One half for the rounding of the share, and what 0.005 mm of drill make.
                error = 0.5 + 100 * 0.0051 / full
                assert shares[row] == pytest.approx(100 * (diameter - sizes[row]) / full, abs=error), row
                assert 55 <= shares[row] <= 85, row


def test_inch_drills_have_the_size_of_their_name(book: Any) -> None:
    """Numbered and lettered drills: ASME B94.11M (from memory), inches; fractions by their value."""
    named = {"#43": 0.0890, "#42": 0.0935, "#38": 0.1015, "#37": 0.1040, "#36": 0.1065, "#33": 0.1130}
    named |= {"#29": 0.1360, "#25": 0.1495, "#21": 0.1590, "#16": 0.1770, "#14": 0.1820, "#7": 0.2010}
    named |= {"#3": 0.2130, "F": 0.2570, "I": 0.2720, "Q": 0.3320, "U": 0.3680}
    for table, size in (("drills-near-taps", "inch_drill_size"), ("unified-threads", "tap_drill")):
        names = texts(book, table, "inch_drill" if table == "drills-near-taps" else "drill")
        for row, drill in numbers(book, table, size).items():
            wanted = INCH * named[names[row]] if names[row] in named else in_mm(names[row])
            assert drill == pytest.approx(wanted, abs=0.0051), (table, row)


def test_tap_drills_agree_between_the_two_tables(book: Any) -> None:
    metric, inch = numbers(book, "metric-threads", "tap_drill"), numbers(book, "unified-threads", "tap_drill")
    for row, drill in numbers(book, "drills-near-taps", "metric_drill").items():
        assert drill == pytest.approx(
            metric[row] if row in metric else inch[row], abs=1e-9 if row in metric else 0.0551
        )


def test_a_dash_number_is_the_tube_in_sixteenths_of_an_inch(book: Any) -> None:
    for row, tube in numbers(book, "flare-and-hose", "tube").items():
        assert tube == pytest.approx(INCH / 16 * int(row.removeprefix("dash-")), abs=0.0051), row


def test_flare_threads_are_those_of_sae_j514(book: Any) -> None:
    """SAE J514 / ISO 8434-2 and SAE AS4395 (from memory)."""
    j514 = {"-3": "3/8-24", "-4": "7/16-20", "-5": "1/2-20", "-6": "9/16-18", "-8": "3/4-16", "-10": "7/8-14"}
    j514 |= {"-12": "1 1/16-12", "-14": "1 3/16-12", "-16": "1 5/16-12"}
    table = "flare-and-hose"
    diameters, pitches = numbers(book, table, "diameter"), numbers(book, table, "pitch")
    shown = {}
    for row, thread in texts(book, table, "thread").items():
        diameter, threads = inch_size(thread)
        assert diameters[row] == pytest.approx(INCH * diameter, abs=0.0051), row
        assert pitches[row] == pytest.approx(INCH / threads, abs=0.0051), row
        shown[texts(book, table, "name")[row]] = thread.rsplit(" ", 1)[0]
    assert shown == j514


def test_hose_bores_are_those_read_and_never_above_the_tube(book: Any) -> None:
    """Least bore: FAA AC 43.13-1B, table 9-3, hoses to MIL-H-8794 (read)."""
    faa = {"dash-3": "1/8", "dash-4": "3/16", "dash-5": "1/4", "dash-6": "5/16", "dash-8": "13/32"}
    faa |= {"dash-10": "1/2", "dash-12": "5/8", "dash-16": "7/8"}
    least, most, tubes = (
        numbers(book, "flare-and-hose", name) for name in ("bore_least", "bore_most", "tube")
    )
    assert least == pytest.approx({row: in_mm(bore) for row, bore in faa.items()}, abs=0.0051)
    # Most: SAE J517 (from memory) has the bore of the dash number itself.
    assert most == pytest.approx(tubes)
    assert all(least[row] < most[row] for row in least)


def test_pipe_threads_read_as_their_standards_make_them(book: Any) -> None:
    """NPT: pipe outside diameter of ASME B1.20.1 and E0 = D − (0.05 D + 1.1) p (read and from memory); G: ISO 228-1 (read)."""
    pipes = {"npt-1-16": 0.3125, "npt-1-8": 0.405, "npt-1-4": 0.540, "npt-3-8": 0.675, "npt-1-2": 0.840}
    parallel = {"g-1-16": 7.723, "g-1-8": 9.728, "g-1-4": 13.157, "g-3-8": 16.662, "g-1-2": 20.955}
    measured, pitches = (numbers(book, "pipe-threads", name) for name in ("measured", "pitch"))
    for row, name in texts(book, "pipe-threads", "name").items():
        pitch = 1 / int(re.findall(r"-(\d+)", name)[0])
        assert pitches[row] == pytest.approx(INCH * pitch, abs=0.0051), row
        if row in pipes:
            pitch_diameter = pipes[row] - (0.05 * pipes[row] + 1.1) * pitch
            assert measured[row] == pytest.approx(INCH * (pitch_diameter + 0.8 * pitch), abs=0.0051), row
        else:
            assert measured[row] == pytest.approx(parallel[row], abs=0.0051), row


def test_gauge_sizes_follow_astm_b258(book: Any) -> None:
    """d = 0.127 mm × 92^((36 − n)/39), ASTM B258 (from memory)."""
    for row, area in numbers(book, "wire-sizes", "area").items():
        system, _, size = row.partition("-")
        exact = float(size) if system == "mm2" else math.pi / 4 * (0.127 * 92 ** ((36 - int(size)) / 39)) ** 2
        assert area == pytest.approx(exact, rel=0.0012), row


def test_wire_resistance_is_resistivity_over_area(book: Any) -> None:
    """IEC 60028 copper, 1.7241e-8 Ω·m at 20 °C; a flexible wire is 0 to 28 % above, in no case below."""
    areas, flexible = (numbers(book, "wire-sizes", name) for name in ("area", "resistance_flexible"))
    for row, resistance in numbers(book, "wire-sizes", "resistance").items():
        assert resistance == pytest.approx(17.241 / areas[row], rel=0.005), row
        assert 1 <= flexible[row] / resistance < 1.28, row


def test_flexible_wires_have_the_limits_of_iec_60228_class_5(book: Any) -> None:
    """IEC 60228:2004, table 3, plain copper, mΩ/m (read in two reproductions)."""
    limits = {
        "0.5": 39.0,
        "0.75": 26.0,
        "1": 19.5,
        "1.5": 13.3,
        "2.5": 7.98,
        "4": 4.95,
        "6": 3.30,
        "10": 1.91,
    }
    limits |= {"16": 1.21, "25": 0.780}
    shown = numbers(book, "wire-sizes", "resistance_flexible")
    limits["0.35"] = 54.4  # ISO 6722-1:2011 (from memory)
    assert {size: shown[f"mm2-{size}"] for size in limits} == pytest.approx(limits)


def test_gauge_resistance_agrees_with_a_university_table(book: Any) -> None:
    """Wire gauges in a university's physics reference, after Floyd, Electric Circuit Fundamentals (read), Ω for 1000 ft."""
    table = {"10": 0.9989, "12": 1.588, "14": 2.525, "16": 4.016, "18": 6.385, "20": 10.15}
    shown = numbers(book, "wire-sizes", "resistance")
    for gauge, ohms in table.items():
        assert shown[f"awg-{gauge}"] == pytest.approx(ohms / 304.8 * 1000, rel=0.002), gauge


def test_tinned_aircraft_wire_has_the_limits_of_the_faa(book: Any) -> None:
    """FAA AC 43.13-1B change 1, table 11-9 (read), Ω for 1000 ft; for AWG 20 and 18 solid copper has more."""
    limits = {"22": 16.2, "16": 4.81, "14": 3.06, "12": 2.02, "10": 1.26, "8": 0.70, "6": 0.44, "4": 0.28}
    shown, solid = (numbers(book, "wire-sizes", name) for name in ("resistance_flexible", "resistance"))
    for gauge, ohms in limits.items():
        assert shown[f"awg-{gauge}"] == pytest.approx(ohms / 304.8 * 1000, abs=0.0051), gauge
    for gauge, ohms in {"20": 9.88, "18": 6.23}.items():
        assert shown[f"awg-{gauge}"] == solid[f"awg-{gauge}"] > ohms / 304.8 * 1000


def test_a_cautious_current_is_below_the_published_one(book: Any) -> None:
    """DIN VDE 0298-4, table 11, one core, times 0.87 for 40 °C (from memory): none above, none below three quarters."""
    vde = {"mm2-0.75": 13.1, "mm2-1": 16.5, "mm2-1.5": 20.9, "mm2-2.5": 27.8, "mm2-4": 36.5, "mm2-6": 47.0}
    vde |= {"mm2-10": 63.5, "mm2-16": 85.3, "mm2-25": 112.2, "awg-18": 14.1, "awg-16": 19.3, "awg-14": 25.1}
    vde |= {"awg-12": 32.7, "awg-10": 43.3, "awg-8": 57.2, "awg-6": 75.9, "awg-4": 101.2}
    currents = numbers(book, "wire-sizes", "current")
    assert all(0.75 * limit < currents[row] <= limit for row, limit in vde.items())


def test_a_cautious_current_grows_with_the_copper_and_heats_alike(book: Any) -> None:
    """Heat per metre is I²R. Still air carries off little more from a thick wire: 2 to 11 W a metre in all."""
    areas, currents, flexible = (
        numbers(book, "wire-sizes", name) for name in ("area", "current", "resistance_flexible")
    )
    by_area = sorted(areas, key=lambda row: areas[row])
    assert [currents[row] for row in by_area] == sorted(currents.values())
    watts = [currents[row] ** 2 * flexible[row] / 1000 for row in by_area]
    assert all(2 < watt < 11 for watt in watts)


def test_rib_pitches_edges_and_least_pulleys_are_those_of_iso_9982(book: Any) -> None:
    """ISO 9982 and, for PK, ISO 9981 (from memory)."""
    pitches = {"ph": 1.60, "pj": 2.34, "pk": 3.56, "pl": 4.70, "pm": 9.40}
    assert numbers(book, "belt-profiles", "pitch") == pytest.approx(pitches)
    edges = numbers(book, "belt-profiles", "edge")
    assert edges == pytest.approx({"ph": 1.3, "pj": 1.8, "pk": 2.5, "pl": 3.3, "pm": 6.4})
    # An edge is wider than half a pitch, or the outer rib would hang over.
    assert all(edges[row] > pitch / 2 for row, pitch in pitches.items())
    pulleys = {"ph": 13, "pj": 20, "pk": 45, "pl": 75, "pm": 180}
    assert numbers(book, "belt-profiles", "least_pulley") == pytest.approx(pulleys)


def test_widths_of_a_belt_follow_from_its_ribs(book: Any) -> None:
    """ISO 9981 (from memory): pulley face at least (n − 1) pitches and two edges; belt about n pitches."""
    pitch, edge = (numbers(book, "belt-profiles", name)["pk"] for name in ("pitch", "edge"))
    belts, grooves, pulleys = (numbers(book, "belt-widths", name) for name in ("belt", "grooves", "pulley"))
    assert [int(row.removeprefix("pk-")) for row in belts] == list(range(3, 13))
    for row, belt in belts.items():
        ribs = int(row.removeprefix("pk-"))
        assert belt == pytest.approx(ribs * pitch)
        assert grooves[row] == pytest.approx((ribs - 1) * pitch)
        assert pulleys[row] == pytest.approx((ribs - 1) * pitch + 2 * edge)


def test_a_belt_may_run_out_of_line_by_half_a_degree(book: Any) -> None:
    """Half and a quarter of a degree: common practice, no source; rounded down to 0.1 mm."""
    for column, degrees in (("most", 0.5), ("aim", 0.25)):
        for row, offset in numbers(book, "belt-alignment", column).items():
            exact = float(row.removeprefix("span-")) * math.tan(math.radians(degrees))
            assert 0 <= exact - offset < 0.1, row
