"""Seconds from `cowlside serve` to the first answer, and the memory it then holds."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from bytes_sent import FIGURE
from requests_answered import python_serving
from server_process import SERVE, Running
from werkzeug.test import Client

from webapp import create_app

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from bundle_list import saved_pages

STARTS = 3


def measure() -> Iterator[tuple]:
    """The first start with nothing made yet, starts after it, a bare Flask for comparison, and resident memory."""
    with tempfile.TemporaryDirectory() as cache:
        settings = {"COWLSIDE_CACHE": cache}
        yield "start to first answer, first time", start_seconds(settings), "s", 5
        cached = median(start_seconds(settings) for _ in range(STARTS))
        yield "start to first answer, content cached", cached, "s", 1
        bare = median(bare_start_seconds() for _ in range(STARTS))
        yield "  ÷ a bare Flask under the same server", cached / bare, "×"
        with Running(SERVE, settings) as server:
            yield "resident memory after the first answer", server.resident_megabytes(), "MB", 150
            for path in all_addresses():
                server.status_of(path)
            yield (
                "resident memory after every page and 200 computed ones",
                server.resident_megabytes(),
                "MB",
                150,
            )


def start_seconds(settings: dict[str, str]) -> float:
    with Running(SERVE, settings, f"/{FIGURE}") as server:
        return server.seconds


def bare_start_seconds() -> float:
    with Running(python_serving("flask:Flask('bare')")) as server:
        return server.seconds


def all_addresses() -> list[str]:
    """Every saved page once, and one Figure with many inputs."""
    worker = Client(create_app()).get("/sw.js", headers={"Host": "localhost"}).text
    asked = [f"/{FIGURE}?rail={30 + number / 10}+psi" for number in range(200)]
    return [f"/{path}" for path in saved_pages(worker, "en")] + asked
