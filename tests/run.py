#!/usr/bin/env python3
"""Every check of Cowlside with one command: `python3 tests/run.py`; words behind it go to pytest.

Needs Python 3.11 or newer and nothing else: it makes .venv, installs what requirements.lock and
tests/package-lock.json name, and on Debian (as root) the browsers. A second run installs nothing.
Exit codes: 0 all passed, 1 a check failed, 3 something could not be installed (the last line says what).
"""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from pathlib import Path

from installing import (
    CHROMIUM,
    FIREFOX,
    NODE,
    NODE_MODULES,
    NPM,
    PYTHON,
    REPO,
    VENV,
    WEBKIT,
    ask,
    set_up,
    stop,
)

STEP_SECONDS = 2400


def main(arguments: Sequence[str]) -> int:
    """Set up, run every check even after a failure, print the table, and last pytest's own closing line."""
    if sys.version_info < (3, 11):  # noqa: UP036 - the ruff target is what the code needs; this says so in words
        stop(f"needs Python 3.11 or newer; this is {sys.version.split()[0]}: try python3.11 tests/run.py")
    set_up()
    print_versions()
    results = [(title, *run_step(title, command)) for title, command in steps(arguments)]
    print()
    for title, passed, _, seconds in results:
        print(f"{'passed' if passed else 'FAILED':8}{title:18}{seconds:7.1f} s")
    print(results[-1][2], flush=True)
    return 0 if all(passed for _, passed, _, _ in results) else 1


def steps(pytest_arguments: Sequence[str]) -> list[tuple[str, Sequence[str | Path]]]:
    """Title and command of each check; pytest stands last, so that its closing line is the last word."""
    tsc = (NODE.find() or "node", NODE_MODULES / "typescript" / "bin" / "tsc")
    tool = (PYTHON, "-m")
    return [
        ("ruff check", (*tool, "ruff", "check", ".")),
        ("ruff format", (*tool, "ruff", "format", "--check", "--output-format", "concise", ".")),
        ("mypy", (*tool, "mypy")),
        ("tsc pages", (*tsc, "-p", "tests/tsconfig.json")),
        ("tsc worker", (*tsc, "-p", "tests/tsconfig.worker.json")),
        ("cowlside check", (VENV / "bin" / "cowlside", "check")),
        (
            "pytest",
            (*tool, "pytest", "-n", "2", "--dist", "loadfile", "--no-loadscope-reorder", *pytest_arguments),
        ),
    ]


def print_versions() -> None:
    """One line for each program whose version can explain a difference between two machines."""
    print(f"{'Python':18}{ask((PYTHON, '--version'))}")
    for program in (NODE, NPM, CHROMIUM, FIREFOX, WEBKIT):
        print(f"{program.title:18}{ask((program.find() or program.title, '--version')) or 'present'}")


def run_step(title: str, command: Sequence[str | Path]) -> tuple[bool, str, float]:
    """Run one check and pass its output through.

    Returns   whether it passed, the last line it printed, and its seconds.
    """
    print(f"\n== {title}", flush=True)
    start, last = time.monotonic(), ""
    with subprocess.Popen(
        command,
        cwd=REPO,
        env=environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    ) as process:
        limit = threading.Timer(STEP_SECONDS, process.kill)
        limit.start()
        for raw in process.stdout or ():
            line = raw.decode("utf-8", "replace")
            print(line, end="", flush=True)
            last = line.strip() or last
        passed = process.wait() == 0
        limit.cancel()
    return passed, last, time.monotonic() - start


def environment() -> dict[str, str]:
    """The environment of the checks: this tree, and nothing that the caller's shell points elsewhere."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("COWLSIDE_")}
    kept.pop("PYTHONPATH", None)
    return kept | {"COWLSIDE_CHROMIUM": CHROMIUM.find() or "", "PYTHONUTF8": "1"}


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
