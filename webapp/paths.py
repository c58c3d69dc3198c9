"""Where content, static files and the cache lie: beside the package in a clone, inside it in a wheel.

Three settings say otherwise: COWLSIDE_CONTENT, COWLSIDE_STATIC and COWLSIDE_CACHE name a folder each.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def content_dir() -> Path:
    """Folder of the Markdown files; it is not promised to exist."""
    return _folder("COWLSIDE_CONTENT", "content", "figures")


def static_dir() -> Path:
    """Folder of what the browser runs; it is not promised to exist."""
    return _folder("COWLSIDE_STATIC", "static", "js")


def cache_dir() -> Path | None:
    """A folder that can be written, made if need be, or None: a read-only disk must not stop the app.

    Never raises. With COWLSIDE_CACHE set no other place is tried; set to nothing it turns the cache off.
    """
    try:
        folder = _wanted_cache()
        if folder is None:
            return None
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        # Permission bits do not tell (root, read-only mounts, full disks): only a written file does.
        with tempfile.TemporaryFile(dir=folder) as probe:
            probe.write(b"1")
    except (OSError, RuntimeError, ValueError):
        return None
    return folder


def _folder(setting: str, name: str, mark: str) -> Path:
    """The set folder, else the clone's (known by a sub-folder `mark`), else the copy inside the wheel."""
    if chosen := os.environ.get(setting):
        return Path(chosen).expanduser().resolve()
    beside = _PACKAGE.parent / name
    return beside if (beside / mark).is_dir() else _PACKAGE / "_shipped" / name


def _wanted_cache() -> Path | None:
    """The cache folder by the settings alone; RuntimeError where the user has no home."""
    chosen = os.environ.get("COWLSIDE_CACHE")
    if chosen is not None:
        return Path(chosen).expanduser().resolve() if chosen else None
    shared = os.environ.get("XDG_CACHE_HOME", "")
    # The XDG rule: a relative path there is to be ignored.
    base = Path(shared) if os.path.isabs(shared) else Path.home() / ".cache"
    return base / "cowlside"
