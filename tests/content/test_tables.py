"""The form of every table: addresses, names, sources, and that each cell says how it is known."""

from __future__ import annotations

import re
from typing import Any

import pytest
from content.table_cells import numbers, texts


def test_there_are_the_tables_a_mechanic_looks_for(book: Any) -> None:
    wanted = {"metric-threads", "proof-loads", "bolt-classes", "wrench-sizes", "flare-and-hose", "wire-sizes"}
    wanted |= {"fuels", "glycols", "nut-factors", "belt-profiles", "belt-widths", "belt-alignment"}
    wanted |= {"boost-and-vacuum", "afr-and-lambda", "drills-near-taps"}
    assert wanted <= set(book.tables)


def test_each_row_has_an_address_and_a_name_of_its_own(book: Any) -> None:
    for table, names in book.texts["en"]["row_labels"].items():
        assert all(re.fullmatch(r"[a-z0-9][a-z0-9.-]*", row) for row in names), table
        assert all(names.values()), table
        assert len(set(names.values())) == len(names), table


def test_no_row_and_no_column_is_empty(book: Any) -> None:
    for table, content in book.tables.items():
        for row, cells in content["rows"].items():
            assert any(cells[name] is not None for name in list(cells)[1:]), (table, row)
        for name in content["columns"]:
            assert any(cells[name] not in (None, "—") for cells in content["rows"].values()), (table, name)


def test_each_source_says_how_it_is_known(book: Any) -> None:
    for table, text in book.texts["en"]["tables"].items():
        assert text["sources"], table
        for source in text["sources"]:
            assert re.search(r"\bread\b|from memory|computed|no source", source), (table, source)


def test_a_row_says_of_each_of_its_cells_how_it_is_known(book: Any) -> None:
    known = r"\bread\b|from memory|computed|no source|common practice"
    for table, content in book.tables.items():
        if "basis" in content["columns"]:
            for row, basis in texts(book, table, "basis").items():
                assert re.search(known, basis), (table, row)


def test_tables_without_a_column_for_it_hold_nothing_from_memory(book: Any) -> None:
    """There the sources may call a definition or a formula remembered, which computed cells then confirm, but no cell."""
    without = {table for table, content in book.tables.items() if "basis" not in content["columns"]}
    computed = {
        "afr-and-lambda",
        "air-by-altitude",
        "boiling-points",
        "boost-and-vacuum",
        "thread-lookalikes",
    }
    assert without == computed | {"wrench-sizes"}  # wrench sizes were all read
    assert not any("memory" in source for source in book.texts["en"]["tables"]["wrench-sizes"]["sources"])


@pytest.mark.parametrize(
    ("table", "columns"),
    [
        ("metric-threads", ("diameter", "pitch", "stress_area")),
        ("unified-threads", ("diameter", "pitch", "stress_area")),
        ("bolt-classes", ("proof", "tensile")),
        ("nut-factors", ("k",)),
        ("wire-sizes", ("area", "resistance", "resistance_flexible", "current")),
        ("belt-profiles", ("pitch", "edge", "least_pulley")),
    ],
)
def test_columns_that_formulas_need_are_filled_in_every_row(
    book: Any, table: str, columns: tuple[str, ...]
) -> None:
    for column in columns:
        assert list(numbers(book, table, column)) == list(book.tables[table]["rows"])


@pytest.mark.parametrize(
    ("table", "caution"),
    [
        ("flare-and-hose", "opening-a-fuel-line"),
        ("pipe-threads", "opening-a-fuel-line"),
        ("glycols", "opening-the-cooling-system"),
        ("glycols-by-mass", "opening-the-cooling-system"),
        ("boiling-points", "opening-the-cooling-system"),
    ],
)
def test_a_table_that_leads_to_a_hazard_opens_with_its_caution(book: Any, table: str, caution: str) -> None:
    assert caution in book.texts["en"]["tables"][table]["needs"]
