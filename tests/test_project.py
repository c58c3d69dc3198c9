"""The repo as a whole: what lies where, what it may say, and that what is written down is what is there."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "requirements.lock",
    "webapp",
    "static",
    "tests",
    "content",
}
UNTRACKED = {
    ".git",
    ".venv",
    "node_modules",
    "__pycache__",
    ".hypothesis",
    ".mypy_cache",
    ".pytest_cache",
    ".ruff_cache",
}
COMMANDS = (
    "python3 -m venv .venv && .venv/bin/pip install -q -c requirements.lock -e . && .venv/bin/cowlside serve",
    "python3 tests/run.py",
)
# Written in pieces, so that this file does not hold what it looks for.
MACHINE_PATHS = re.compile(r"(?<![\w./-])/(?:" + "|".join(("work", "root", "home", "Users", "tmp")) + r")/")
REGISTRIES = re.compile(
    "|".join(
        (
            "py" r"pi\.org",
            "python" r"hosted\.org",
            "npm" r"js\.(?:org|com)",
            "yarn" r"pkg\.com",
            "deb" r"ian\.org/debian",
        )
    )
)


@pytest.fixture(scope="session")
def tracked(repo: Path) -> list[Path]:
    """Every file that git holds or would take up, or every file of a copy without git."""
    if names := names_by_git(repo):
        return [repo / name for name in names if (repo / name).is_file()]
    return [
        path
        for path in repo.rglob("*")
        if path.is_file() and not UNTRACKED & set(path.relative_to(repo).parts)
    ]


def names_by_git(repo: Path) -> list[str]:
    """What git says, or nothing where it is not installed, or the folder is no clone or another person's."""
    command = ("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
    try:
        done = subprocess.run(command, cwd=repo, capture_output=True, text=True)
    except FileNotFoundError:
        return []
    return [name for name in done.stdout.split("\0") if name] if done.returncode == 0 else []


@pytest.fixture(scope="session")
def texts(tracked: list[Path], repo: Path) -> dict[str, str]:
    """Relative name -> text of each tracked file that is text."""
    found = {}
    for path in tracked:
        data = path.read_bytes()
        if b"\0" not in data[:8000]:
            found[path.relative_to(repo).as_posix()] = data.decode("utf-8")
    return found


def test_the_top_level_holds_only_what_a_reader_expects(tracked, repo):
    top = {path.relative_to(repo).parts[0] for path in tracked}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL
    assert {"README.md", "DEVELOPERS.md", "LICENSE"} <= top


def test_no_file_names_a_place_on_somebody_s_machine(texts):
    assert offenders(texts, MACHINE_PATHS) == []


def test_no_file_names_a_package_registry(texts):
    assert offenders(texts, REGISTRIES) == []


def test_no_file_promises_work_for_later(texts):
    later = re.compile(r"\b(?:TO" r"DO|FIX" r"ME|XX" r"X)\b")
    assert offenders({name: text for name, text in texts.items() if "/vendor/" not in name}, later) == []


def test_no_python_file_is_left_half_written(texts):
    gap = re.compile(r"^\s*(?:\.\.\.|raise NotImplemented" r"Error.*)$", re.MULTILINE)
    assert offenders({name: text for name, text in texts.items() if name.endswith(".py")}, gap) == []


def test_file_names_are_safe_on_every_disk(tracked, repo):
    names = [path.relative_to(repo).as_posix() for path in tracked]
    assert [name for name in names if not re.fullmatch(r"[A-Za-z0-9._/-]+", name)] == []
    assert len({name.casefold() for name in names}) == len(names)


@pytest.mark.parametrize("command", COMMANDS)
def test_the_readme_gives_the_command(command, repo):
    assert command in (repo / "README.md").read_text(encoding="utf-8")


def test_ci_runs_the_readme_s_test_command_and_nothing_else(repo):
    lines = (repo / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    commands = [line for line in lines if line and not line.startswith("#")]
    assert commands == ["set -eu", 'cd "$(dirname "$0")/.."', f"exec {COMMANDS[1]}"]


def subcommands() -> list[str]:
    """Names in the list that `cowlside --help` prints."""
    return re.findall(r"^ {4}([a-z]+)(?= |$)", run_cowlside("--help"), re.MULTILINE)


def test_every_subcommand_of_cowlside_is_in_the_docs(documents):
    names = subcommands()
    assert {"serve", "check", "calc", "export"} <= set(names)
    assert [name for name in names if f"cowlside {name}" not in documents] == []


def test_every_option_of_each_subcommand_is_in_the_docs(documents):
    for name in subcommands():
        options = set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", run_cowlside(name, "--help"))) - {"--help"}
        assert [option for option in options if option not in documents] == [], name


def test_every_setting_is_in_the_docs(texts, documents):
    code = "".join(
        text
        for name, text in texts.items()
        if name.endswith(".py") and name.startswith(("webapp/", "tests/"))
    )
    settings = set(re.findall(r"\bCOWLSIDE_[A-Z_]*[A-Z]\b", code))
    assert {"COWLSIDE_CACHE", "COWLSIDE_CONTENT", "COWLSIDE_CHROMIUM"} <= settings
    assert [name for name in sorted(settings) if name not in documents] == []


def test_vendored_files_are_the_published_ones(repo):
    """static/vendor/notes.md says package, version, licence and hash of each file; there are no others but types, which are ours."""
    folder = repo / "static" / "vendor"
    record = yaml.safe_load((folder / "notes.md").read_text(encoding="utf-8").split("---\n")[1])
    lying = [path for path in folder.rglob("*") if path.is_file() and path.suffix not in (".md", ".ts")]
    hashes = {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in lying
    }
    assert {name: entry["sha256"] for name, entry in record.items()} == hashes
    wanted = {"package", "version", "file", "licence"}
    assert [name for name, entry in record.items() if not wanted <= set(entry)] == []


@pytest.mark.parametrize("package", ["webapp.content", "webapp.figures"])
def test_reading_and_computing_need_no_web_framework(package):
    """content -> figures -> site, and never back. A fresh interpreter shows what an import drags in."""
    loaded = run_python(f"import sys, {package}; print(*sys.modules)").split()
    assert package in loaded
    assert {"flask", "werkzeug", "jinja2", "webapp.site"} & set(loaded) == set()


@pytest.fixture(scope="session")
def documents(repo: Path) -> str:
    return "".join((repo / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md"))


def offenders(texts: dict[str, str], pattern: re.Pattern[str]) -> list[str]:
    """'file:line: text' of each match."""
    return [
        f"{name}:{text.count(chr(10), 0, match.start()) + 1}: {match[0].strip()}"
        for name, text in texts.items()
        for match in pattern.finditer(text)
    ]


def run_cowlside(*words: str) -> str:
    command = (Path(sys.prefix) / "bin" / "cowlside", *words)
    return subprocess.run(command, capture_output=True, text=True, check=True, timeout=60).stdout


def run_python(code: str) -> str:
    return subprocess.run(
        (sys.executable, "-c", code), capture_output=True, text=True, check=True, timeout=60
    ).stdout
