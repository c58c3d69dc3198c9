"""What every test shares: the compiled content, the repo's folder, no network, no test left out in silence."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

# Nothing is timed: on a busy machine a drawn example may take its time.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

LOOPBACK = ("127.", "::1", "localhost")

# Reasons for which a test may be left out, word for word, each with its cause beside it. There is none today.
SKIPS_ALLOWED: frozenset[str] = frozenset()


# Files that take longest, the longest first: begun last, one of them would keep one worker busy alone at the end.
LONG = (
    "test_engine_agreement", "test_job_card", "test_axe", "test_torque_round", "test_layout", "test_app_offline", "test_job_store",
    "test_offline", "test_number_pad", "test_updates", "test_finder_agreement", "test_setup", "test_store",
)  # fmt: skip


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: LONG.index(item.path.stem) if item.path.stem in LONG else len(LONG))


@pytest.fixture(scope="session")
def repo() -> Path:
    """The folder that holds pyproject.toml."""
    return Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def book() -> Any:
    """All content, compiled once for each worker; a session's only way to it, as compiling takes seconds."""
    from webapp.book import load_book

    return load_book()


@pytest.fixture(scope="session", autouse=True)
def only_this_machine() -> Iterator[None]:
    """A test that would speak to another machine fails at once, wherever in the code the call stands."""
    connect = socket.socket.connect

    def guarded(self: socket.socket, address: Any) -> None:
        # A datagram socket that connects sends nothing: the app asks it for this machine's own address.
        far = self.family in (socket.AF_INET, socket.AF_INET6) and not str(address[0]).startswith(LOOPBACK)
        if far and self.type == socket.SOCK_STREAM:
            raise RuntimeError(f"A test wanted to speak to {address[0]}: tests stay on this machine.")
        connect(self, address)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", guarded)
        yield


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """A run in which a test was left out for a reason that is not in the list has not passed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if reporter is not None and exitstatus == 0 and _left_out(reporter):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Name every test that was left out, with its reason."""
    left_out = _left_out(terminalreporter)
    if left_out:
        terminalreporter.section("left out, so this run fails", red=True)
    for name, reason in left_out:
        terminalreporter.line(f"{name}: {reason}")


def _left_out(reporter: pytest.TerminalReporter) -> list[tuple[str, str]]:
    """(test, reason) of each one skipped or expected to fail, less the reasons that are allowed."""
    reports = [*reporter.stats.get("skipped", []), *reporter.stats.get("xfailed", [])]
    found = [(report.nodeid, _reason(report)) for report in reports]
    return [(name, reason) for name, reason in found if reason not in SKIPS_ALLOWED]


def _reason(report: Any) -> str:
    if hasattr(report, "wasxfail"):
        return str(report.wasxfail)
    text = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
    return str(text).removeprefix("Skipped: ")
