"""Where content, static files and the cache are looked for."""

from __future__ import annotations

import shutil
import subprocess
import sys

import pytest

from webapp.paths import cache_dir, content_dir, static_dir


@pytest.fixture(autouse=True)
def no_settings(monkeypatch, tmp_path):
    """A person with an ordinary home and none of our settings."""
    for name in ("COWLSIDE_CONTENT", "COWLSIDE_STATIC", "COWLSIDE_CACHE", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path / "home"))


def test_a_clone_uses_the_files_that_can_be_edited(repo):
    assert content_dir() == repo / "content"
    assert static_dir() == repo / "static"


@pytest.mark.parametrize(
    ("setting", "folder"), [("COWLSIDE_CONTENT", content_dir), ("COWLSIDE_STATIC", static_dir)]
)
def test_a_setting_names_another_folder(monkeypatch, tmp_path, setting, folder):
    monkeypatch.setenv(setting, str(tmp_path / "mine"))
    assert folder() == tmp_path / "mine"
    monkeypatch.setenv(setting, "~/mine")
    assert folder() == tmp_path / "home" / "mine"


def test_an_empty_setting_for_content_counts_as_none(monkeypatch, repo):
    monkeypatch.setenv("COWLSIDE_CONTENT", "")
    assert content_dir() == repo / "content"


def test_away_from_the_clone_the_shipped_copy_is_used(repo, tmp_path):
    """Also beside a foreign folder that happens to be called content."""
    (tmp_path / "webapp").mkdir()
    (tmp_path / "content").mkdir()
    (tmp_path / "webapp" / "__init__.py").touch()
    shutil.copy(repo / "webapp" / "paths.py", tmp_path / "webapp")
    code = "from webapp.paths import content_dir, static_dir; print(content_dir(), static_dir())"
    done = subprocess.run(
        (sys.executable, "-c", code), cwd=tmp_path, capture_output=True, text=True, check=True
    )
    shipped = tmp_path / "webapp" / "_shipped"
    assert done.stdout.split() == [str(shipped / "content"), str(shipped / "static")]


def test_the_cache_is_made_in_the_home_for_its_owner_alone(tmp_path):
    folder = cache_dir()
    assert folder == tmp_path / "home" / ".cache" / "cowlside"
    assert folder.stat().st_mode & 0o777 == 0o700
    assert list(folder.iterdir()) == []


def test_the_system_s_cache_setting_is_followed(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "shared"))
    assert cache_dir() == tmp_path / "shared" / "cowlside"
    monkeypatch.setenv("XDG_CACHE_HOME", "not/absolute")
    assert cache_dir() == tmp_path / "home" / ".cache" / "cowlside"


def test_our_own_cache_setting_comes_first_and_nothing_turns_it_off(monkeypatch, tmp_path):
    monkeypatch.setenv("COWLSIDE_CACHE", str(tmp_path / "own" / "deep"))
    assert cache_dir() == tmp_path / "own" / "deep"
    monkeypatch.setenv("COWLSIDE_CACHE", "")
    assert cache_dir() is None


@pytest.mark.parametrize("place", ["/dev/null/cache", "/proc/cowlside", "nul\0byte"])
def test_a_place_that_cannot_be_written_gives_no_cache_and_no_error(monkeypatch, place):
    """Not by permission bits: for root these do not count."""
    if "\0" not in place:
        monkeypatch.setenv("COWLSIDE_CACHE", place)
    else:
        monkeypatch.setattr("webapp.paths._wanted_cache", lambda: type(content_dir())(place))
    assert cache_dir() is None


def test_a_person_without_a_home_gets_no_cache_and_no_error(monkeypatch):
    monkeypatch.delenv("HOME")
    monkeypatch.setattr("pathlib.Path.home", lambda: (_ for _ in ()).throw(RuntimeError("no home")))
    assert cache_dir() is None
