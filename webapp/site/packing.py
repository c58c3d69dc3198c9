"""Brotli at its best quality, made once for each release: behind the first requests, then read back from the cache folder.

The file `packed-RELEASE` holds one line of JSON ({hash of the plain bytes: [start, length]}) and then the packed bytes. What is
read back is unpacked and compared before it is used, so a damaged or foreign file costs time but never sends wrong bytes.
"""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
import threading
import time
from collections.abc import Iterable
from pathlib import Path

import brotli

from .documents import Document

_KEPT_DAYS = 30


class Packer:
    """Packs documents once, in a thread of its own.

    It starts with the first request, so that a server which forks after loading the app gets one in each process that answers.
    """

    def __init__(self, documents: Iterable[Document], release: str, folder: Path | None) -> None:
        self._documents = [one for one in documents if one.is_packable]
        self._file = folder / f"packed-{release}" if folder else None
        self._lock = threading.Lock()
        self.is_started = False

    def start(self) -> None:
        """Begin, unless that has been done."""
        with self._lock:
            if self.is_started:
                return
            self.is_started = True
        threading.Thread(target=self.run, name="packer", daemon=True).start()

    def run(self) -> None:
        """Pack everything; documents offer Brotli as each becomes ready. Called directly, it returns when all is done."""
        self.is_started = True
        kept = self._read()
        fresh = False
        for document in self._documents:
            packed = kept.get(document.tag)
            if packed is None or not _unpacks_to(packed, document.body):
                kept[document.tag] = packed = brotli.compress(document.body, quality=11)
                fresh = True
            document.add_packed("br", packed)
        if fresh:
            self._write(kept)

    def _read(self) -> dict[str, bytes]:
        try:
            if not self._file:
                return {}
            index, _, bulk = self._file.read_bytes().partition(b"\n")
            return {tag: bulk[start : start + length] for tag, (start, length) in json.loads(index).items()}
        except (OSError, ValueError, TypeError, AttributeError):
            return {}

    def _write(self, kept: dict[str, bytes]) -> None:
        # A full or read-only disk only means that the next start packs again.
        with contextlib.suppress(OSError):
            if not self._file:
                return
            index, bulk = {}, b""
            for tag, packed in kept.items():
                index[tag] = [len(bulk), len(packed)]
                bulk += packed
            replace(self._file, json.dumps(index).encode() + b"\n" + bulk)
            drop_old(self._file)


def _unpacks_to(packed: bytes, body: bytes) -> bool:
    try:
        return bool(brotli.decompress(packed) == body)
    except brotli.error:
        return False


def replace(file: Path, content: bytes) -> None:
    """Write beside, then rename: another process never reads half a file."""
    handle, name = tempfile.mkstemp(dir=file.parent, prefix=".packing-")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
        os.replace(name, file)
    except OSError:
        os.unlink(name)
        raise


def drop_old(current: Path) -> None:
    """Remove what releases of long ago left beside a file of the same kind ('packed-…')."""
    oldest = time.time() - _KEPT_DAYS * 86400
    for file in current.parent.glob(f"{current.name.partition('-')[0]}-*"):
        if file != current and file.stat().st_mtime < oldest:
            file.unlink(missing_ok=True)
