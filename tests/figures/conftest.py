"""Nothing here is timed: on a busy machine a drawn example may take its time."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
