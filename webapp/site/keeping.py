"""The rendered site on disk, so that only the first start of a release renders it.

The file `site-RELEASE` holds one line, the SHA-256 of the rest, and then, packed by zlib, one line of JSON
([[address, media, Cache-Control, whether it reads the query, length], ...]) and the bodies. The release's name is a hash over all that
decides a byte of the site. A damaged or foreign file costs time but is never served: the site is then rendered anew.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import zlib
from collections.abc import Mapping
from pathlib import Path

from .documents import Document
from .packing import drop_old, replace

_FAST = 3  # of zlib's qualities: the file is read more often than it is sent anywhere


def read_kept(folder: Path | None, release: str) -> dict[str, Document] | None:
    """The documents of a release by address, or None where there is no sound file of them."""
    if not folder:
        return None
    try:
        digest, _, packed = (folder / f"site-{release}").read_bytes().partition(b"\n")
        if digest.decode() != hashlib.sha256(packed).hexdigest():
            return None
        index, _, bulk = zlib.decompress(packed).partition(b"\n")
        documents, start = {}, 0
        for address, media, cache, reads_query, length in json.loads(index):
            documents[address] = Document(bulk[start : start + length], media, cache, reads_query)
            start += length
    except (OSError, ValueError, TypeError, zlib.error):
        return None
    return documents


def keep(folder: Path | None, release: str, documents: Mapping[str, Document]) -> None:
    """Write the documents for the next start. A full or read-only disk only means that it renders again."""
    if not folder:
        return
    index = [
        [address, one.media, one.cache, one.reads_query, len(one.body)] for address, one in documents.items()
    ]
    plain = json.dumps(index).encode() + b"\n" + b"".join(one.body for one in documents.values())
    packed = zlib.compress(plain, _FAST)
    with contextlib.suppress(OSError):
        file = folder / f"site-{release}"
        replace(file, hashlib.sha256(packed).hexdigest().encode() + b"\n" + packed)
        drop_old(file)
