"""The checks themselves: a test left out fails the run, tests stay on this machine, set-up ends in a plain sentence."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys

import installing
import pytest

LEFT_OUT = {
    "skip": 'import pytest\ndef test_a():\n    pytest.skip("no such browser")\n',
    "mark": 'import pytest\n@pytest.mark.skip(reason="no such browser")\ndef test_a():\n    assert False\n',
    "xfail": 'import pytest\n@pytest.mark.xfail(reason="no such browser")\ndef test_a():\n    assert False\n',
    "module": 'import pytest\npytest.skip("no such browser", allow_module_level=True)\n',
}


def run_pytest(repo, folder, text, *words):
    """A run of its own, in a folder with our conftest and one test file."""
    shutil.copy(repo / "tests" / "conftest.py", folder)
    (folder / "test_one.py").write_text(f"{text}\ndef test_other():\n    assert True\n")
    command = (sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "--rootdir", folder, *words)
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=120)


@pytest.mark.parametrize("way", LEFT_OUT)
def test_a_run_with_a_test_left_out_has_not_passed(repo, tmp_path, way):
    done = run_pytest(repo, tmp_path, LEFT_OUT[way])
    assert done.returncode != 0
    assert "no such browser" in done.stdout


def test_two_workers_change_nothing_about_that(repo, tmp_path):
    done = run_pytest(repo, tmp_path, LEFT_OUT["skip"], "-n", "2")
    assert done.returncode == 1
    assert "left out, so this run fails" in done.stdout
    assert "no such browser" in done.stdout


def test_a_run_with_nothing_left_out_passes(repo, tmp_path):
    assert run_pytest(repo, tmp_path, "").returncode == 0


def test_a_test_cannot_reach_another_machine():
    """192.0.2.1 is set aside for documents: there is nothing behind it even if the guard failed."""
    with socket.socket() as outward:
        outward.settimeout(0.2)
        with pytest.raises(RuntimeError, match=r"192\.0\.2\.1"):
            outward.connect(("192.0.2.1", 9))


def test_without_the_right_to_install_the_command_is_named(monkeypatch, capsys):
    missing = installing.Program("A browser", ("no-such-program",), "some-browser")
    monkeypatch.setattr(installing, "PROGRAMS", (missing,))
    monkeypatch.setattr("os.geteuid", lambda: 1000)
    with pytest.raises(SystemExit) as ending:
        installing.install_programs()
    assert ending.value.code == 3
    last = capsys.readouterr().out.splitlines()[-1]
    assert "apt-get install -y --no-install-recommends some-browser" in last


def test_a_program_can_be_named_by_a_setting(monkeypatch):
    monkeypatch.setenv("COWLSIDE_CHROMIUM", sys.executable)
    assert installing.CHROMIUM.find() == sys.executable
    monkeypatch.setenv("COWLSIDE_CHROMIUM", "/no/such/browser")
    assert installing.CHROMIUM.find() is None


def test_a_virtual_environment_from_elsewhere_is_not_ours(monkeypatch, tmp_path):
    """Copied with the folder, its scripts would still start the other one's Python."""
    monkeypatch.setattr(installing, "VENV", tmp_path)
    monkeypatch.setattr(installing, "PYTHON", sys.executable)
    (tmp_path / "pyvenv.cfg").write_text("command = python3 -m venv /some/where/else\n")
    assert not installing.venv_is_ours()
    (tmp_path / "pyvenv.cfg").write_text(f"command = python3 -m venv {tmp_path}\n")
    assert installing.venv_is_ours()


def test_a_failing_installer_is_tried_twice_and_ends_in_the_remedy(monkeypatch, capsys, tmp_path):
    monkeypatch.setattr("time.sleep", lambda seconds: None)
    tries = tmp_path / "tries"
    command = (sys.executable, "-c", f"open({str(tries)!r}, 'a').write('x'); raise SystemExit(1)")
    with pytest.raises(SystemExit) as ending:
        installing.install(command, "look at the network.")
    assert ending.value.code == 3
    assert tries.read_text() == "xx"
    assert capsys.readouterr().out.splitlines()[-1] == "tests/run.py: look at the network."
