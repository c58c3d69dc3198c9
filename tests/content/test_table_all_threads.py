"""The list of all threads, of drills and of wrenches: nothing in them may differ from the tables they are gathered from."""

from __future__ import annotations

import math
from typing import Any

import pytest
from content.table_cells import INCH, in_mm, inch_size, metric_size, numbers, stress_area, texts


def test_sizes_are_those_of_the_tables_the_list_is_gathered_from(book: Any) -> None:
    listed = {column: numbers(book, "all-threads", column) for column in ("diameter", "pitch", "stress_area")}
    gathered = set()
    for table, diameter in (
        ("metric-threads", "diameter"),
        ("unified-threads", "diameter"),
        ("flare-and-hose", "diameter"),
        ("pipe-threads", "measured"),
    ):
        for row, size in numbers(book, table, diameter).items():
            assert listed["diameter"][row] == pytest.approx(size, abs=0.006), row
        for row, size in numbers(book, table, "pitch").items():
            assert listed["pitch"][row] == pytest.approx(size, rel=0.004), row
        gathered |= set(book.tables[table]["rows"])
    assert set(book.tables["all-threads"]["rows"]) == gathered
    inches = {row: area * INCH**2 for row, area in numbers(book, "unified-threads", "stress_area").items()}
    for row, area in {**numbers(book, "metric-threads", "stress_area"), **inches}.items():
        assert listed["stress_area"][row] == pytest.approx(area, rel=0.003), row


def test_metric_rows_follow_from_their_names(book: Any) -> None:
    """Profile of ISO 68-1 (from memory): bore d − 1.0825 P; stress area by ISO 898-1 (from memory)."""
    pitches = numbers(book, "all-threads", "pitch")
    bores, areas = numbers(book, "all-threads", "bore"), numbers(book, "all-threads", "stress_area")
    for row in book.tables["metric-threads"]["rows"]:
        diameter, fine = metric_size(row)
        assert fine is None or pitches[row] == fine
        assert bores[row] == pytest.approx(diameter - 5 / 4 * math.sqrt(3) / 2 * pitches[row], abs=0.006)
        assert areas[row] == pytest.approx(stress_area(diameter, pitches[row]), rel=0.001)


def test_inch_rows_follow_from_their_names(book: Any) -> None:
    """ASME B1.1 basic sizes and stress area 0.7854 (D − 0.9743/n)² (formula from memory)."""
    names, areas = texts(book, "all-threads", "name"), numbers(book, "all-threads", "stress_area")
    for row in book.tables["unified-threads"]["rows"]:
        diameter, threads = inch_size(names[row])
        assert areas[row] == pytest.approx(
            math.pi / 4 * (diameter - 0.9743 / threads) ** 2 * INCH**2, rel=0.001
        )


def test_pipe_threads_have_the_bore_of_their_standards(book: Any) -> None:
    """G: ISO 228-1, minor diameter in open thread data (read). NPT: E1 − 0.8 p with E1 of ASME B1.20.1 (from memory)."""
    bores = numbers(book, "all-threads", "bore")
    for row, bore in {"g-1-8": 8.566, "g-1-4": 11.445, "g-3-8": 14.950, "g-1-2": 18.631}.items():
        assert bores[row] == pytest.approx(bore, abs=0.006)
    for row, (pitch_diameter, threads) in {
        "npt-1-8": (0.37360, 27),
        "npt-1-4": (0.49163, 18),
        "npt-3-8": (0.62701, 18),
        "npt-1-2": (0.77843, 14),
    }.items():
        assert bores[row] == pytest.approx((pitch_diameter - 0.8 / threads) * INCH, abs=0.01)


def test_drills_have_the_sizes_of_their_names(book: Any) -> None:
    """Numbers and letters: ASME B94.11M (from memory), a handful of which everybody knows."""
    sizes = numbers(book, "inch-drills", "size")
    rounded = numbers(book, "inch-drills", "millimetres")
    parts = numbers(book, "inch-drills", "parts")
    for row, count in parts.items():
        assert sizes[row] == pytest.approx(count / 64, abs=1e-9)
        assert in_mm(texts(book, "inch-drills", "name")[row]) == pytest.approx(count / 64 * INCH)
    for row, size in {
        "no-7": 0.201,
        "no-21": 0.159,
        "no-60": 0.04,
        "letter-f": 0.257,
        "letter-e": 0.25,
    }.items():
        assert sizes[row] == size
    for row, size in sizes.items():
        assert rounded[row] == pytest.approx(size * INCH, abs=0.0051), row
    assert list(sizes.values()) == sorted(sizes.values())


def test_tap_drills_of_the_inch_threads_are_drills_of_the_list(book: Any) -> None:
    """Each inch tap drill of the thread table is a drill of that name and size."""
    names = texts(book, "inch-drills", "name")
    sizes = {
        name.removesuffix(" in"): numbers(book, "inch-drills", "size")[row] for row, name in names.items()
    }
    for row, drill in texts(book, "unified-threads", "drill").items():
        size = numbers(book, "unified-threads", "tap_drill")[row]
        assert sizes[drill] * INCH == pytest.approx(size, abs=0.006), (row, drill)


def test_wrenches_have_the_openings_of_their_names_and_stand_by_size(book: Any) -> None:
    openings, names = numbers(book, "wrench-openings", "width"), texts(book, "wrench-openings", "name")
    for row, width in openings.items():
        name = names[row]
        size = float(name.removesuffix(" mm")) if name.endswith(" mm") else in_mm(name)
        assert width == pytest.approx(size, abs=1e-6), row
    assert list(openings.values()) == sorted(openings.values())


def test_every_head_of_the_bolt_tables_has_its_wrench(book: Any) -> None:
    openings = numbers(book, "wrench-openings", "width").values()
    wanted = [
        *numbers(book, "wrench-sizes", "hexagon").items(),
        *numbers(book, "wrench-sizes", "small_hexagon").items(),
        *numbers(book, "wrench-sizes", "older").items(),
        *numbers(book, "inch-wrench-sizes", "hexagon").items(),
        *numbers(book, "inch-wrench-sizes", "nut").items(),
    ]
    for row, width in wanted:
        assert any(abs(opening - width) < 0.006 for opening in openings), row
