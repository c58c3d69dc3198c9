"""A wheel built from the repo works when installed elsewhere, with nothing but what it declares.

No network: the new environment gets hard links of the locked packages that the wheel asks for, and of no others, so a package
that the app uses without saying so fails here.
"""

from __future__ import annotations

import importlib.metadata
import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from packages import closure

HOMELESS = "/dev/null/home"


@pytest.fixture(scope="module")
def wheel(repo, tmp_path_factory) -> Path:
    """The wheel, built from the repo as it lies."""
    folder = tmp_path_factory.mktemp("wheel")
    pip("wheel", "-q", "--no-index", "--no-deps", "--no-build-isolation", "-w", folder, repo)
    (built,) = folder.glob("cowlside-*.whl")
    return built


@pytest.fixture(scope="module")
def elsewhere(wheel, tmp_path_factory) -> Path:
    """A fresh virtual environment that holds the wheel and the packages it declares."""
    folder = tmp_path_factory.mktemp("elsewhere") / "env"
    subprocess.run((sys.executable, "-m", "venv", "--without-pip", folder), check=True, timeout=120)
    (packages,) = folder.glob("lib/python*/site-packages")
    for name in closure(declared(wheel)):
        link_distribution(name, packages)
    pip("--python", folder / "bin" / "python", "install", "-q", "--no-index", "--no-deps", wheel)
    return folder


@pytest.fixture
def empty(tmp_path) -> Path:
    folder = tmp_path / "empty"
    folder.mkdir()
    return folder


def test_the_wheel_holds_every_content_and_static_file(wheel, repo):
    inside = {name.removeprefix("webapp/_shipped/") for name in zipfile.ZipFile(wheel).namelist()}
    for top in ("content", "static"):
        lying = {path.relative_to(repo).as_posix() for path in (repo / top).rglob("*") if path.is_file()}
        assert lying
        assert lying - inside == set()


def test_the_wheel_holds_templates_and_nothing_of_the_workshop(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    assert "webapp/site/templates/base.html" in names
    assert [name for name in names if not name.startswith(("webapp/", "cowlside-"))] == []
    assert [name for name in names if "__pycache__" in name or "node_modules" in name] == []


def test_what_the_wheel_declares_fits_together(elsewhere):
    assert "No broken requirements" in pip("--python", elsewhere / "bin" / "python", "check")


def test_check_passes_from_an_empty_folder(elsewhere, empty):
    done = cowlside(elsewhere, empty, "check")
    assert done.returncode == 0, done.stderr
    assert "figures" in done.stdout
    assert list(empty.iterdir()) == []


def test_calc_answers_without_a_home_to_write_to(elsewhere, empty):
    words = ("calc", "injector-flow", "rated_flow=310 cc/min", "rated_drop=3 bar", "rail=43.5 psi", "--json")
    done = cowlside(elsewhere, empty, *words)
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert answer["figure"] == "injector-flow"
    assert answer["refused"] is None
    assert answer["gives"]["flow"]["value"] > 0


def test_a_bad_input_exits_with_2_and_a_sentence(elsewhere, empty):
    done = cowlside(elsewhere, empty, "calc", "injector-flow", "rail=43.5 furlongs")
    assert done.returncode == 2
    assert "furlongs" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_second_run_reads_the_cache_and_writes_nothing_new(elsewhere, empty, tmp_path):
    cache = tmp_path / "cache"
    words = ("calc", "torque-units", "--json")
    first = cowlside(elsewhere, empty, *words, COWLSIDE_CACHE=str(cache))
    kept = snapshot(cache)
    second = cowlside(elsewhere, empty, *words, COWLSIDE_CACHE=str(cache))
    assert kept
    assert snapshot(cache) == kept
    assert first.stdout == second.stdout


def declared(wheel: Path) -> list[str]:
    """The packages that the wheel's own record asks for, extras left aside."""
    archive = zipfile.ZipFile(wheel)
    (record,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
    fields = archive.read(record).decode("utf-8").split("\n\n")[0].splitlines()
    wanted = [line.removeprefix("Requires-Dist: ") for line in fields if line.startswith("Requires-Dist: ")]
    assert wanted
    return [line for line in wanted if "extra ==" not in line]


def link_distribution(name: str, packages: Path) -> None:
    """Put an installed package into another site-packages, files only: no path of this environment goes along."""
    distribution = importlib.metadata.distribution(name)
    for file in distribution.files or ():
        source, target = Path(str(distribution.locate_file(file))), packages / file
        if ".." in file.parts or not source.is_file() or "__pycache__" in file.parts:
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            os.link(source, target)
        except OSError:  # another disk
            shutil.copy2(source, target)


def cowlside(env: Path, folder: Path, *words: str, **settings: str) -> subprocess.CompletedProcess[str]:
    """Run the installed command in a folder of its own, with a home that cannot be written and no other setting."""
    surroundings = {"PATH": "/usr/bin:/bin", "HOME": HOMELESS, "PYTHONUTF8": "1", **settings}
    command = (env / "bin" / "cowlside", *words)
    return subprocess.run(command, cwd=folder, env=surroundings, capture_output=True, text=True, timeout=120)


def snapshot(folder: Path) -> dict[str, int]:
    return {
        str(path.relative_to(folder)): path.stat().st_mtime_ns for path in folder.rglob("*") if path.is_file()
    }


def pip(*words: str | Path) -> str:
    done = subprocess.run((sys.executable, "-m", "pip", *words), capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    return done.stdout
