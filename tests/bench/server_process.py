"""A server in a process of its own, on a free port of this machine, ended by its own id."""

from __future__ import annotations

import http.client
import os
import socket
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType

PATIENCE_SECONDS = 60
SERVE = [str(Path(sys.prefix) / "bin" / "cowlside"), "serve", "--port", "PORT"]


class Running:
    """`with Running([... 'PORT' ...]) as server`: started, and answering on `server.port`.

    command   the word or part of a word PORT stands for the port.
    settings  environment variables on top of the present ones.
    seconds   from the start of the process to the first answer.
    """

    def __init__(
        self, command: list[str], settings: Mapping[str, str] | None = None, path: str = "/en/"
    ) -> None:
        self.port = free_port()
        self.path = path
        self.command = [word.replace("PORT", str(self.port)) for word in command]
        self.environment = {**os.environ, **(settings or {})}
        self.seconds = 0.0

    def __enter__(self) -> Running:
        start = time.perf_counter()
        here = Path(__file__).parent
        self.process = subprocess.Popen(
            self.command, cwd=here, env=self.environment, stdout=subprocess.DEVNULL
        )
        while time.perf_counter() - start < PATIENCE_SECONDS and self.process.poll() is None:
            if self.answers():
                self.seconds = time.perf_counter() - start
                return self
            time.sleep(0.002)
        self.process.kill()
        raise SystemExit(f"{' '.join(self.command)}: did not answer")

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.process.terminate()
        self.process.wait(timeout=10)

    def answers(self) -> bool:
        """Whether any answer at all comes."""
        return self.status_of(self.path) is not None

    def status_of(self, path: str) -> int | None:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            connection.request("GET", path, headers={"Host": "localhost"})
            answer = connection.getresponse()
            answer.read()
            return answer.status
        except ConnectionError:
            return None
        finally:
            connection.close()

    def resident_megabytes(self) -> float:
        """Memory that the process holds now (Linux)."""
        for line in Path(f"/proc/{self.process.pid}/status").read_text().splitlines():
            if line.startswith("VmRSS:"):
                return int(line.split()[1]) * 1024 / 1e6
        raise SystemExit("this system does not tell a process's memory")


def free_port() -> int:
    """A port that was free a moment ago."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
