"""Installs what the checks need, each thing once; part of `python3 tests/run.py`, standard library only.

What a person reads from a failure is the last line: what to install or mend. The exit code is then 3.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple, NoReturn

REPO = Path(__file__).resolve().parent.parent
VENV = REPO / ".venv"
PYTHON = VENV / "bin" / "python"
NODE_MODULES = REPO / "tests" / "node_modules"
STAMP = VENV / "installed-for-tests"
STAMPED = ("pyproject.toml", "requirements.lock", "tests/package.json", "tests/package-lock.json")
SECONDS = 1200


class Program(NamedTuple):
    """A program that the tests start.

    title    what to call it.
    names    its names on PATH, the first found is taken.
    package  Debian package that brings it.
    setting  environment variable that names another one, or "".
    """

    title: str
    names: tuple[str, ...]
    package: str
    setting: str = ""

    def find(self) -> str | None:
        """Path of the program, or None."""
        chosen = os.environ.get(self.setting) if self.setting else None
        found = map(shutil.which, [chosen] if chosen else self.names)
        return next((path for path in found if path), None)


CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
CHROMIUM = Program("Chromium", CHROMIUM_NAMES, "chromium", "COWLSIDE_CHROMIUM")
NODE = Program("Node", ("node", "nodejs"), "nodejs")
NPM = Program("npm", ("npm",), "npm")
WEBKIT = Program("WebKitGTK driver", ("WebKitWebDriver",), "webkit2gtk-driver")
FIREFOX = Program("Firefox ESR", ("firefox-esr",), "firefox-esr")
PROGRAMS = (
    CHROMIUM,
    NODE,
    NPM,
    WEBKIT,
    FIREFOX,
    Program("Xvfb", ("Xvfb",), "xvfb"),
    Program("xvfb-run", ("xvfb-run",), "xvfb"),
    Program("xauth", ("xauth",), "xauth"),
    Program("certutil", ("certutil",), "libnss3-tools"),
)


def set_up() -> None:
    """Install all that is missing; quick when the stamp says that nothing changed."""
    install_programs()
    if STAMP.exists() and STAMP.read_text() == stamp() and venv_is_ours() and NODE_MODULES.is_dir():
        return
    make_venv()
    STAMP.unlink(missing_ok=True)
    install(
        (PYTHON, "-m", "pip", "install", "-q", "-c", "requirements.lock", "-e", ".[test]"),
        "pip could not install what requirements.lock names: see the lines above.",
    )
    install(
        (NPM.find() or "npm", "ci", "--no-audit", "--no-fund", "--ignore-scripts"),
        "npm could not install what tests/package-lock.json names: see the lines above.",
        NODE_MODULES.parent,
    )
    STAMP.write_text(stamp())


def stamp() -> str:
    """What was installed, in one hash; the Python version counts, as wheels are made for one."""
    seen = hashlib.sha256(sys.version.encode())
    for name in STAMPED:
        seen.update((REPO / name).read_bytes())
    return seen.hexdigest()


def install_programs() -> None:
    """See that every program is there."""
    if missing := missing_programs():
        print("Missing:", ", ".join(program.title for program in missing), flush=True)
        apt_install(sorted({program.package for program in missing}))
    if still := missing_programs():
        names = ", ".join(" or ".join(program.names) for program in still)
        stop(f"still not found on PATH: {names}. Please install by hand, then run this again.")


def missing_programs() -> list[Program]:
    """The programs that are not on this machine."""
    return [program for program in PROGRAMS if not program.find()]


def apt_install(packages: Sequence[str]) -> None:
    """Install Debian packages; stop with the command to type where that is not ours to do."""
    command = ("apt-get", "install", "-y", "--no-install-recommends", *packages)
    remedy = f"please install by hand, then run this again: {' '.join(command)}"
    if not (os.geteuid() == 0 and Path("/etc/debian_version").exists() and shutil.which("apt-get")):
        stop(remedy)
    bounds = ("Acquire::Retries=3", "Acquire::http::Timeout=60", "DPkg::Lock::Timeout=120")
    bounded = ("-q", *(word for bound in bounds for word in ("-o", bound)))
    install(("apt-get", *bounded, "update"), remedy)
    install(("apt-get", *bounded, *command[1:]), remedy)


def make_venv() -> None:
    """Make .venv, or make it anew when its Python is gone or the folder was copied from elsewhere."""
    if venv_is_ours():
        return
    # Debian keeps the part that puts pip into a venv in a package of its own.
    if ask((sys.executable, "-c", "import ensurepip, venv")) is None:
        apt_install(["python3-venv"])
    install((sys.executable, "-m", "venv", "--clear", VENV), "python3 -m venv failed: see the lines above.")


def venv_is_ours() -> bool:
    """Whether .venv was made at this place and runs: its scripts hold the place they were made at."""
    config = VENV / "pyvenv.cfg"
    made_here = config.exists() and str(VENV) in config.read_text(encoding="utf-8")
    return made_here and ask((PYTHON, "-m", "pip", "--version")) is not None


def install(command: Sequence[str | Path], remedy: str, folder: Path = REPO) -> None:
    """Run one installing command, twice if need be: a network that fails twice in a row needs a person."""
    for attempt in (1, 2):
        print("$", *command, flush=True)
        try:
            if not subprocess.run(command, cwd=folder, env=environment(), timeout=SECONDS).returncode:
                return
        except (OSError, subprocess.TimeoutExpired) as problem:
            print(problem, flush=True)
        if attempt == 1:
            time.sleep(5)
    stop(remedy)


def environment() -> dict[str, str]:
    """The environment with all questions answered beforehand and all retries bounded."""
    return os.environ | {
        "DEBIAN_FRONTEND": "noninteractive",
        "PIP_DISABLE_PIP_VERSION_CHECK": "1",
        "PIP_NO_INPUT": "1",
        "PIP_RETRIES": "3",
        "NPM_CONFIG_FETCH_RETRIES": "3",
        "NPM_CONFIG_FETCH_TIMEOUT": "60000",
        "NPM_CONFIG_UPDATE_NOTIFIER": "false",
    }


def ask(command: Sequence[str | Path]) -> str | None:
    """First line of what a command prints, or None when it fails."""
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=60)
    except (OSError, subprocess.TimeoutExpired):
        return None
    return (done.stdout.strip().splitlines() or [""])[0] if done.returncode == 0 else None


def stop(sentence: str) -> NoReturn:
    """End with the one line that says what to install or mend."""
    print(f"\ntests/run.py: {sentence}", flush=True)
    raise SystemExit(3)
