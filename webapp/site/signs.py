"""Safety signs as inline SVG: the outer shape and the colours of a sign's class, and our drawing in it.

Shapes and colours after ISO 3864-1 and ISO 3864-4 as an encyclopaedia describes them: a yellow triangle with a black edge warns, a
red ring with a bar on white forbids, a blue disc orders, a green square leads to safety, a red square marks fire equipment. Inline,
since an image of its own would be one more file to save, and a style attribute would break the policy. The picture is hidden from
screen readers: its word always stands beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

from .sign_drawings import DRAWINGS

YELLOW, RED, BLUE, GREEN = "#f9a900", "#9b2423", "#005387", "#237f52"
BLACK, WHITE = "#000", "#fff"

_STROKES = {"line": 5.0, "fine": 3.5, "slit": 3.5}


@dataclass(frozen=True)
class SignClass:
    """What all signs of one letter share.

    frame   SVG below the drawing.
    over    SVG above it.
    place   where the drawing goes, as an SVG transform.
    ink     colour of the symbol.
    ground  colour behind the symbol.
    """

    frame: str
    over: str
    ink: str
    ground: str
    place: str = ""


def _square(colour: str) -> str:
    return f'<rect x="1" y="1" width="94" height="94" rx="6" fill="{WHITE}"/><rect x="4" y="4" width="88" height="88" rx="4" fill="{colour}"/>'


def _triangle(d: str, colour: str, round_by: float) -> str:
    return f'<path d="{d}" fill="{colour}" stroke="{colour}" stroke-width="{round_by:g}" stroke-linejoin="round"/>'


CLASSES: dict[str, SignClass] = {
    # Yellow edge, black edge, yellow field: three triangles about one middle. Yellow is more than half of it, as the standard asks.
    "W": SignClass(
        _triangle("M48 12 90 84.7H6z", YELLOW, 10)
        + _triangle("M48 12 90 84.7H6z", BLACK, 7)
        + _triangle("M48 18.1 84.7 81.7H11.3z", YELLOW, 4),
        "",
        BLACK,
        YELLOW,
        "translate(-4 -4.4) scale(1.083)",
    ),
    # The ring is a tenth of the width and the bar 8 %, from upper left to lower right: red is more than 35 % of it.
    "P": SignClass(
        f'<circle cx="48" cy="48" r="47" fill="{WHITE}"/>',
        f'<circle cx="48" cy="48" r="41" fill="none" stroke="{RED}" stroke-width="9"/>'
        f'<path d="M19 19 77 77" stroke="{RED}" stroke-width="7.4"/>',
        BLACK,
        WHITE,
    ),
    "M": SignClass(
        f'<circle cx="48" cy="48" r="47" fill="{WHITE}"/><circle cx="48" cy="48" r="44.5" fill="{BLUE}"/>',
        "",
        WHITE,
        BLUE,
    ),
    "E": SignClass(_square(GREEN), "", WHITE, GREEN),
    "F": SignClass(_square(RED), "", WHITE, RED),
}


def sign_picture(sign: str) -> str:
    """The sign as an <svg> element, '' for one that has no drawing (its word stands alone then).

    sign  letter and number of ISO 7010, such as 'W021'.
    """
    kind = CLASSES.get(sign[:1])
    if sign not in DRAWINGS or kind is None:
        return ""
    return (
        '<svg class="sign" viewBox="0 0 96 96" width="48" height="48" aria-hidden="true" focusable="false">'
        f"{kind.frame}{symbol(sign)}{kind.over}</svg>"
    )


def symbol(sign: str) -> str:
    """What stands inside the shape of a sign that has a drawing."""
    kind = CLASSES[sign[0]]
    inside = "".join(_part(way, path, kind) for way, path in DRAWINGS[sign])
    return f'<g transform="{kind.place}">{inside}</g>' if kind.place else inside


def _part(way: str, path: str, kind: SignClass) -> str:
    colour = kind.ground if way in ("cut", "slit") else kind.ink
    if way in ("fill", "cut"):
        return f'<path d="{path}" fill="{colour}"/>'
    return (
        f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{_STROKES[way]:g}"'
        ' stroke-linecap="round" stroke-linejoin="round"/>'
    )
