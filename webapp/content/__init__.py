"""Reads content/ into typed records; knows nothing of formulas, pages or the web."""

from .library import Library, read_library

__all__ = ["Library", "read_library"]
