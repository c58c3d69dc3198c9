"""What is declared, what is locked and what is installed: the same packages, in the same versions."""

from __future__ import annotations

import importlib.metadata
import json
import re
import tomllib
from pathlib import Path

import pytest
from packages import closure, mentioned
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name


@pytest.fixture(scope="session")
def project(repo: Path) -> dict:
    return tomllib.loads((repo / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def test_every_dependency_is_in_the_docs_with_its_reason(project, repo):
    documents = "".join((repo / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md"))
    names = [Requirement(text).name for text in project["dependencies"]]
    assert [name for name in names if name.lower() not in documents.lower()] == []


def test_every_declared_package_is_used(project, repo):
    """By the app where the app asks for it, by a test where the tests do; tools are started, not imported."""
    tools = {"hatchling", "mypy", "pytest-xdist", "ruff", "types-pyyaml"}
    lists = {"webapp/": project["dependencies"], "tests/": project["optional-dependencies"]["test"]}
    for folder, declared in lists.items():
        code = "\n".join(path.read_text(encoding="utf-8") for path in python_files(repo / folder))
        wanted = {canonicalize_name(Requirement(text).name) for text in declared} - tools
        assert wanted - imported(code) == set()


def python_files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*.py") if "node_modules" not in path.parts]


def imported(code: str) -> set[str]:
    """Canonical names of the distributions that the import lines of some code come from."""
    modules = set(re.findall(r"^\s*(?:import|from) (\w+)", code, re.MULTILINE))
    makers = importlib.metadata.packages_distributions()
    return {canonicalize_name(maker) for module in modules for maker in makers.get(module, ())}


def test_the_lock_is_exact_and_names_no_address(repo):
    for line in lock_lines(repo):
        assert re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.]+", line), line


def test_what_is_installed_is_what_the_lock_says(project, repo):
    """Each package that the app or its tests pull in, however indirectly, is locked to the version in use."""
    lock = {
        canonicalize_name(name): version for name, version in (line.split("==") for line in lock_lines(repo))
    }
    needed = set(closure([*project["dependencies"], *project["optional-dependencies"]["test"]]))
    assert {name: importlib.metadata.version(name) for name in needed} == {
        name: lock.get(name) for name in needed
    }
    assert set(lock) <= needed | mentioned(needed), "the lock holds a package that nothing asks for"


def test_the_node_lock_is_exact_and_names_no_address(repo):
    wanted = json.loads((repo / "tests/package.json").read_text(encoding="utf-8"))["devDependencies"]
    packages = json.loads((repo / "tests/package-lock.json").read_text(encoding="utf-8"))["packages"]
    assert packages.pop("")["devDependencies"] == wanted
    assert {name: packages[f"node_modules/{name}"]["version"] for name in wanted} == wanted
    assert [name for name, entry in packages.items() if "resolved" in entry or not entry["integrity"]] == []


def lock_lines(repo: Path) -> list[str]:
    lines = (repo / "requirements.lock").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line and not line.startswith("#")]
