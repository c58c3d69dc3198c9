"""The safety signs as a browser paints them: enough of the safety colour, and the drawing inside its shape."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from webapp.site.sign_drawings import DRAWINGS
from webapp.site.signs import CLASSES, sign_picture, symbol

PIXELS = 288
# Share of the sign that its safety colour must cover: ISO 3864-1, clauses on each class (from memory).
LEAST = {"W": 0.5, "P": 0.35, "M": 0.5, "E": 0.5, "F": 0.5}
COLOUR = {"W": "#f9a900", "P": "#9b2423", "M": "#005387", "E": "#237f52", "F": "#9b2423"}

# Given the sign, its shape and its drawing alone: [pixels of the sign, of them in the safety colour, of the drawing, of them outside].
COUNT = """async ([whole, shape, drawing, colour, ground, pixels]) => {
    const painted = async svg => {
        const image = new Image();
        image.src = 'data:image/svg+xml,' + encodeURIComponent(svg);
        await image.decode();
        const canvas = new OffscreenCanvas(pixels, pixels).getContext('2d');
        canvas.drawImage(image, 0, 0, pixels, pixels);
        return canvas.getImageData(0, 0, pixels, pixels).data;
    };
    const [all, under, over] = [await painted(whole), await painted(shape), await painted(drawing)];
    const isNear = (data, at, wanted) => data[at + 3] > 128 && wanted.every((one, part) => Math.abs(one - data[at + part]) < 40);
    const count = [0, 0, 0, 0];
    for (let at = 0; at < all.length; at += 4) {
        if (all[at + 3] > 128) count[0] += 1;
        if (isNear(all, at, colour)) count[1] += 1;
        if (over[at + 3] > 128) {
            count[2] += 1;
            if (!isNear(under, at, ground)) count[3] += 1;
        }
    }
    return count;
}"""


def rgb(colour: str) -> list[int]:
    """'#f9a900' or '#fff' as three numbers."""
    digits = colour.lstrip("#")
    digits = digits if len(digits) == 6 else "".join(digit * 2 for digit in digits)
    return list(bytes.fromhex(digits))


def picture(inside: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 96" width="48" height="48">{inside}</svg>'
    )


@pytest.mark.parametrize("sign", sorted(DRAWINGS))
def test_a_sign_shows_enough_of_its_safety_colour_and_keeps_its_drawing_inside_its_shape(
    window: Page, sign: str
) -> None:
    window.goto("about:blank")
    kind = CLASSES[sign[0]]
    whole = sign_picture(sign).replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    # The bar of a prohibition crosses its drawing by rule; the ring does not.
    shape = picture(kind.frame + kind.over.partition("<path")[0])
    given = [whole, shape, picture(symbol(sign)), rgb(COLOUR[sign[0]]), rgb(kind.ground), PIXELS]
    area, coloured, drawn, outside = window.evaluate(COUNT, given)
    assert coloured / area >= LEAST[sign[0]]
    assert drawn >= 0.06 * area
    assert outside <= 0.01 * drawn
