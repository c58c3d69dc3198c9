"""The safety signs as the pages carry them: each has its drawing, its word, the shape and the colours of its class."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import brotli
import pytest

from webapp.book import Book
from webapp.site.sign_drawings import DRAWINGS
from webapp.site.signs import sign_picture

# Safety colours, contrast colours and what stands behind the symbol, by class. The shapes: ISO 3864-1:2011; the RAL numbers of the
# colours (yellow 1003, red 3001, blue 5005, green 6032): ISO 3864-4:2011, both as described in an encyclopaedia.
COLOURS = {
    "W": {"#f9a900", "#000"},
    "P": {"#9b2423", "#fff", "#000"},
    "M": {"#005387", "#fff"},
    "E": {"#237f52", "#fff"},
    "F": {"#9b2423", "#fff"},
}
WHOLE_SET = 12_000  # bytes, brotli


@pytest.fixture(scope="module")
def used(book: Book) -> list[str]:
    """Every sign that a sheet names."""
    return sorted({sign for sheet in book.cautions.values() for sign in sheet["signs"]})


def parsed(sign: str) -> ElementTree.Element:
    return ElementTree.fromstring(sign_picture(sign))


def test_every_sign_that_a_sheet_names_has_a_drawing_and_every_drawing_is_named(used: list[str]) -> None:
    assert used == sorted(DRAWINGS)
    assert [sign for sign in used if not DRAWINGS[sign]] == []


def test_a_sign_without_a_drawing_leaves_its_word_alone() -> None:
    assert sign_picture("W999") == ""
    assert sign_picture("X001") == ""


def test_every_sign_is_well_formed_hidden_from_screen_readers_and_free_of_what_the_policy_blocks(
    used: list[str],
) -> None:
    for sign in used:
        picture = parsed(sign)
        assert picture.get("aria-hidden") == "true", sign
        assert picture.get("viewBox") == "0 0 96 96", sign
        for element in picture.iter():
            assert element.tag in {"svg", "g", "path", "circle", "rect"}, sign
            assert not {"style", "id", "href", "onload"} & set(element.attrib), sign


def test_a_sign_wears_the_colours_of_its_class_and_no_other(used: list[str]) -> None:
    for sign in used:
        worn = {
            value
            for element in parsed(sign).iter()
            for key, value in element.attrib.items()
            if key in ("fill", "stroke") and value != "none"
        }
        assert worn == COLOURS[sign[0]], sign


def test_a_warning_is_an_equal_sided_triangle_that_stands_on_its_side(used: list[str]) -> None:
    for sign in (sign for sign in used if sign[0] == "W"):
        triangles = [path for path in parsed(sign) if path.tag == "path"]
        assert [path.get("fill") for path in triangles[:3]] == ["#f9a900", "#000", "#f9a900"], sign
        for path in triangles[:3]:
            (top_x, top_y), (right, base), left = corners(path.get("d", ""))
            assert top_x == (left + right) / 2 == 48
            assert (base - top_y) / (right - left) == pytest.approx(0.866, abs=0.004)


def corners(d: str) -> tuple[tuple[float, float], tuple[float, float], float]:
    """Top, right corner and left x of 'M48 12 90 84.7H6z'."""
    across, _, left = d.removeprefix("M").removesuffix("z").partition("H")
    top_x, top_y, right, base = (float(number) for number in across.split())
    return (top_x, top_y), (right, base), float(left)


def test_a_prohibition_is_a_ring_with_a_bar_from_upper_left_to_lower_right_over_its_drawing(
    used: list[str],
) -> None:
    """Ring a tenth of the outer diameter, bar 8 %, at 45 degrees: ISO 3864-1, figure of the prohibition sign (from memory)."""
    for sign in (sign for sign in used if sign[0] == "P"):
        *_, ring, bar = list(parsed(sign))
        radius, width = float(ring.get("r", 0)), float(ring.get("stroke-width", 0))
        outer = 2 * radius + width
        assert (ring.tag, ring.get("fill"), ring.get("stroke")) == ("circle", "none", "#9b2423"), sign
        assert width / outer == pytest.approx(0.1, abs=0.005)
        assert float(bar.get("stroke-width", 0)) / outer == pytest.approx(0.08, abs=0.005)
        x1, y1, x2, y2 = (float(number) for number in bar.get("d", "").removeprefix("M").split())
        assert (x1, y1, x2, y2) == (x1, x1, 96 - x1, 96 - x1)
        assert x1 < 48


@pytest.mark.parametrize(
    ("letter", "shape", "colour"),
    [("M", "circle", "#005387"), ("E", "rect", "#237f52"), ("F", "rect", "#9b2423")],
)
def test_what_must_be_done_is_a_disc_and_rescue_and_fire_are_squares(
    used: list[str], letter: str, shape: str, colour: str
) -> None:
    for sign in (sign for sign in used if sign[0] == letter):
        edge, field = list(parsed(sign))[:2]
        assert (edge.tag, edge.get("fill")) == (shape, "#fff"), sign
        assert (field.tag, field.get("fill")) == (shape, colour), sign
        assert field.get("width") == field.get("height"), sign


def test_the_word_stands_beside_each_sign_on_its_sheet(reader: Any, book: Book) -> None:
    words = book.words("en")
    for name, sheet in book.cautions.items():
        page = reader.get(f"/en/cautions/{name}/").text
        assert page.count('<svg class="sign"') == len(sheet["signs"]), name
        for sign in sheet["signs"]:
            assert f"{sign_picture(sign)}<span>{words[f'sign_{sign}']} <small>{sign}</small></span>" in page


def test_the_whole_set_is_small(used: list[str]) -> None:
    assert len(brotli.compress("".join(map(sign_picture, used)).encode())) <= WHOLE_SET
