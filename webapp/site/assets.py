"""Assets: the files of static/ and the JavaScript made from the Book, all below s/RELEASE/ and never changing there."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import rcssmin
import rjsmin

from ..errors import Told
from .bundle import DATA_LINE
from .linker import Linker

MEDIA = {
    ".css": "text/css; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".ico": "image/x-icon",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".mp3": "audio/mpeg",
    ".ogg": "audio/ogg",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".wav": "audio/wav",
    ".woff2": "font/woff2",
}
WORKER = "js/sw.js"
# Notes on vendored files for whoever looks after them, and their types for the checker.
_UNSERVED = (".md", ".ts")
FIRST = "js/main.js"  # the script that pages name; it holds all that they start with
_EVERY_PAGE, _PAPER = "css/base.css", "css/print.css"
_NOT_ASSETS = (WORKER, "js/sw-retire.js")  # a worker must stand at the root of what it serves


class AssetProblem(Told):
    """A file in static/ that cannot be served: which one, and what to do."""


def read_static(folder: Path) -> dict[str, bytes]:
    """All files of static/, 'css/base.css' -> bytes, in the order of their names; the worker's text is among them.

    Raises   AssetProblem for a file of a type that no browser would be told.
    """
    files = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if not path.is_file() or any(part.startswith(".") for part in name.split("/")):
            continue
        if path.suffix in _UNSERVED:
            continue
        if path.suffix not in MEDIA:
            raise AssetProblem(
                f"static/{name}: files of this type are not served. Remove it, or add its type to MEDIA in site/assets.py."
            )
        files[name] = path.read_bytes()
    return files


def served(static: Mapping[str, bytes]) -> dict[str, bytes]:
    """The static files that stand below s/RELEASE/, scripts and style sheets without their comments.

    What only paper needs comes with what every page needs: a file of its own would be one more to open on a slow phone.
    """
    files = {name: body for name, body in static.items() if name not in _NOT_ASSETS}
    if _PAPER in files:
        files[_EVERY_PAGE] += b"\n@media print {\n" + files.pop(_PAPER) + b"}\n"
    return {name: _lean(name, body) for name, body in files.items()}


def linker(static: Mapping[str, bytes], made: Mapping[str, bytes]) -> Linker:
    """What joins the scripts of static/ and those that are `made` from the Book for every language."""
    return Linker(
        {name: body.decode() for name, body in {**static, **made}.items() if is_script(name)}, FIRST
    )


def is_script(name: str) -> bool:
    """Whether a file is a script of pages."""
    return name.endswith(".js") and name not in _NOT_ASSETS


def _lean(name: str, body: bytes) -> bytes:
    if name.startswith("vendor/"):
        return body  # published files stay what their recorded hash says
    if name.endswith(".js"):
        return str(rjsmin.jsmin(body.decode())).encode()
    if name.endswith(".css"):
        return str(rcssmin.cssmin(body.decode())).encode()
    return body


def lean_worker(text: str) -> str:
    """The worker without its comments; the line that takes the list stays a line."""
    found = DATA_LINE.search(text)
    if not found:
        return text
    before, after = (str(rjsmin.jsmin(part)) for part in (text[: found.start()], text[found.end() :]))
    return f"{before}\n{found[0]}\n{after}\n"


def words_module(words: Mapping[str, str], decimal: str) -> bytes:
    """js/words.LANG.js and js/further-words.LANG.js: what scripts say. WORDS (key -> text), DECIMAL (the decimal mark)."""
    return _module(WORDS=words, DECIMAL=decimal)


def index_module(data: Mapping[str, Any]) -> bytes:
    """js/finder.LANG.js: FINDER, the finder's index of one language."""
    return _module(FINDER=data)


def info_module(**facts: object) -> bytes:
    """js/book-info.js: one exported constant for each fact (RELEASE, VERSION, VERSION_DAY, LANGUAGES)."""
    return _module(**facts)


def media_of(name: str) -> str:
    """The Content-Type of a file by its ending."""
    return MEDIA[Path(name).suffix]


def release_of(parts: Iterable[tuple[str, bytes]]) -> str:
    """First 12 hex digits of the SHA-256 over names and bytes, each behind its length, so that no two lists look alike."""
    total = hashlib.sha256()
    for name, body in parts:
        total.update(f"{len(name)}:{name}{len(body)}:".encode())
        total.update(body)
    return total.hexdigest()[:12]


def _module(**constants: object) -> bytes:
    return "".join(
        f"export const {name} = {_literal(value)};\n" for name, value in constants.items()
    ).encode()


def _literal(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
