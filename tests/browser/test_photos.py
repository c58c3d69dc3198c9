"""A photo is made smaller on the phone, upright, without what the camera wrote into it; what cannot be shown gets a sentence."""

from __future__ import annotations

import base64
import struct
from collections.abc import Iterator
from typing import Any

import pytest
from browser.cards import FRESH, TEMPLATE, opened
from browser.faults import FaultyServer
from playwright.sync_api import Browser, Page

# A picture of one colour on the left and another on the right, as the camera would give it.
DRAWN = """async ([width, height, type]) => {
  const canvas = Object.assign(document.createElement('canvas'), {width, height});
  const context = canvas.getContext('2d');
  context.fillStyle = 'red';
  context.fillRect(0, 0, width / 2, height);
  if (type === 'image/jpeg') { context.fillStyle = 'blue'; context.fillRect(width / 2, 0, width, height); }
  const blob = await new Promise((done) => canvas.toBlob(done, type));
  return fileShape.base64Of(new Uint8Array(await blob.arrayBuffer()));
}"""
# What `prepare` makes of bytes, its first bytes, and the colours near its four edges (left, right, top, bottom).
PREPARED = """async (data) => {
  const found = await photos.prepare(new Blob([fileShape.bytesOf(data)]));
  if (found.problem) return found;
  const {blob, width, height, type} = found.picture;
  const bitmap = await createImageBitmap(blob);
  const canvas = Object.assign(document.createElement('canvas'), {width, height});
  const context = canvas.getContext('2d');
  context.drawImage(bitmap, 0, 0);
  const colour = (x, y) => { const [r, g, b] = context.getImageData(x * (width - 1), y * (height - 1), 1, 1).data;
    return r > 200 && g > 200 && b > 200 ? 'white' : r > 200 ? 'red' : b > 200 ? 'blue' : 'other'; };
  return {width, height, type, seen: [bitmap.width, bitmap.height], data: fileShape.base64Of(new Uint8Array(await blob.arrayBuffer())),
    edges: [colour(0.02, 0.5), colour(0.98, 0.5), colour(0.5, 0.02), colour(0.5, 0.98)]};
}"""


@pytest.fixture(scope="module")
def page(chromium: Browser, host: FaultyServer) -> Iterator[Page]:
    context = chromium.new_context()
    yield opened(context, host)
    context.close()


def prepared(page: Page, data: str) -> Any:
    return page.evaluate(PREPARED, data)


@pytest.mark.parametrize(
    ("size", "kept"),
    [
        ((4000, 3000), [1600, 1200]),
        ((3000, 4000), [1200, 1600]),
        ((640, 480), [640, 480]),
        ((6000, 2), [1600, 1]),
    ],
)
def test_the_longer_side_is_1600_at_most_and_small_ones_stay_as_they_are(page, size, kept):
    found = prepared(page, page.evaluate(DRAWN, [*size, "image/jpeg"]))
    assert ([found["width"], found["height"]], found["seen"], found["type"]) == (kept, kept, "image/jpeg")
    assert base64.b64decode(found["data"])[:3] == b"\xff\xd8\xff"


def test_a_photo_taken_on_its_side_comes_upright_and_without_what_the_camera_wrote(page):
    """Exif 2.3 (JEITA CP-3451C), tag 0x0112: 6 means that the picture's left edge is the top of what was seen."""
    plain = base64.b64decode(page.evaluate(DRAWN, [800, 600, "image/jpeg"]))
    place = b"taken at 54.1 N"
    entries = struct.pack(">HHHIHH", 1, 0x0112, 3, 1, 6, 0) + struct.pack(">I", 0)
    exif = b"Exif\0\0MM\0*" + struct.pack(">I", 8) + entries + place
    turned = plain[:2] + b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif + plain[2:]
    found = prepared(page, base64.b64encode(turned).decode())
    assert [found["width"], found["height"]] == [600, 800]
    assert found["edges"][2:] == ["red", "blue"]
    assert place not in base64.b64decode(found["data"])
    assert b"Exif" not in base64.b64decode(found["data"])


def test_what_is_see_through_becomes_white(page):
    found = prepared(page, page.evaluate(DRAWN, [100, 50, "image/png"]))
    assert found["edges"][:2] == ["red", "white"]


@pytest.mark.parametrize(
    ("data", "key"),
    [
        (b"", "card_photo_empty"),
        (b"no picture at all", "card_photo_unreadable"),
        (b"\xff\xd8\xff\xe0 cut", "card_photo_unreadable"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "card_photo_unreadable"),
    ],
)
def test_what_is_no_picture_gets_a_sentence(page, book, data, key):
    problem = prepared(page, base64.b64encode(data).decode())["problem"]
    assert (problem["key"], key in book.words("en")) == (key, True)


@pytest.mark.parametrize(
    "fault",
    [
        "window.createImageBitmap = undefined",
        "HTMLCanvasElement.prototype.getContext = () => null",
        "HTMLCanvasElement.prototype.toBlob = (done) => done(null)",
    ],
)
def test_a_browser_that_cannot_make_it_smaller_says_so(page, host, fault):
    data = page.evaluate(DRAWN, [100, 50, "image/jpeg"])
    other = opened(page.context, host)
    other.evaluate(f"() => {{ {fault} }}")
    found = other.evaluate("(data) => photos.prepare(new Blob([fileShape.bytesOf(data)]))", data)
    other.close()
    assert found == {"problem": {"key": "card_photo_impossible", "fields": {}}}


def test_a_deleted_photo_can_come_back_until_its_room_is_freed(page):
    page.evaluate(FRESH, TEMPLATE)
    found = page.evaluate(
        """async () => {
          await cards.addJob(card);
          const picture = {blob: new Blob(['12345'], {type: 'image/jpeg'}), width: 1, height: 1, type: 'image/jpeg'};
          const {photo: id} = await photos.addPhoto('card-1', picture, {step: 'rail'});
          const used = await photos.unusedPhotos();
          const {action} = await cards.doAct('card-1', (now) => deeds.remove(now, 'photos', id, 5));
          const unused = await photos.unusedPhotos();
          await cards.undo('card-1', action);
          const again = await photos.unusedPhotos();
          await cards.redo('card-1', action);
          await photos.discardPhotos(unused.ids);
          return [used, unused.ids[0] === id, unused.bytes, again.ids, await photos.photo(id)];
        }"""
    )
    assert found == [{"ids": [], "bytes": 0}, True, 5, [], None]
