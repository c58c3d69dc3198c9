"""A web server on this machine whose faults are switched on and off while a browser uses it.

server = FaultyServer(app)              # or a folder, which is then served as plain files
server.rules["/en/help/"] = status(502)     # one address; "/s/*" or "*" for many
server.serve(other_app)                 # a new release
server.down(); server.up()              # the same port is dead for a while
"""

from __future__ import annotations

import contextlib
import mimetypes
import socket
import ssl
import threading
from collections.abc import Callable, Iterable
from fnmatch import fnmatchcase
from http import HTTPStatus
from itertools import cycle
from pathlib import Path
from typing import Any, NamedTuple

from werkzeug.serving import WSGIRequestHandler, make_server

App = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]
LONGEST_STALL_SECONDS = 60
GARAGE = (
    "garage.test"  # resolved to this machine, but not taken for it: plain http by this name is not secure
)
LOGIN_PAGE = b"<!doctype html><title>Wi-Fi</title><h1>Please log in to the Wi-Fi</h1>"


class Request(NamedTuple):
    """One line of the server's log."""

    method: str
    path: str
    query: str


class Call(NamedTuple):
    """What a rule is given: the request, the way to begin an answer, the app behind, and the server."""

    env: dict[str, Any]
    start: Callable[..., Any]
    app: App
    server: FaultyServer


Rule = Callable[[Call], Iterable[bytes]]


class FaultyServer:
    """Serves an app or a folder on a free port; `close` when done.

    rules   pattern -> Rule; the first pattern that fits the path decides, else the app answers.
    log     every request in the order of arrival.
    """

    def __init__(self, app: App | Path, ssl_context: ssl.SSLContext | None = None) -> None:
        self.rules: dict[str, Rule] = {}
        self.log: list[Request] = []
        self.freed = threading.Event()
        self._ssl, self._port, self._apps, self._lock = ssl_context, 0, cycle([]), threading.Lock()
        self.serve(app)
        self.up()

    @property
    def origin(self) -> str:
        """The address for a browser: localhost counts as secure, and a certificate can name it."""
        return f"{'https' if self._ssl else 'http'}://localhost:{self._port}"

    def serve(self, *apps: App | Path) -> None:
        """From now on these answer, request by request in turn if there are several."""
        self._apps = cycle([folder_app(app) if isinstance(app, Path) else app for app in apps])

    def up(self) -> None:
        """Listen, on the port of last time."""
        self.freed.clear()
        self._open: set[socket.socket] = set()
        handler = type("Handler", (Quiet,), {"open": self._open})
        self._server = make_server(
            "127.0.0.1",
            self._port,
            self._answer,
            threaded=True,
            ssl_context=self._ssl,
            request_handler=handler,
        )
        self._port = self._server.server_port
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True)
        self._thread.start()

    def down(self) -> None:
        """Refuse connections, and end those that are open: those that stall, and those that a browser keeps for later."""
        self.freed.set()
        self._server.shutdown()
        self._thread.join()
        self._server.server_close()
        for connection in list(self._open):
            with contextlib.suppress(OSError):
                connection.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        """Down for good; a second call does nothing."""
        if self._thread.is_alive():
            self.down()

    def asked(self, pattern: str = "*") -> list[str]:
        """Paths asked for so far that fit the pattern."""
        return [request.path for request in self.log if fnmatchcase(request.path, pattern)]

    def _answer(self, env: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        path = env["PATH_INFO"]
        with self._lock:
            self.log.append(Request(env["REQUEST_METHOD"], path, env["QUERY_STRING"]))
            app = next(self._apps)
            rule = next((rule for pattern, rule in self.rules.items() if fnmatchcase(path, pattern)), None)
        return rule(Call(env, start, app, self)) if rule else app(env, start)


class Quiet(WSGIRequestHandler):
    """Writes no log, takes a browser that hangs up for what it is, and lists the connections that are open."""

    open: set[socket.socket]

    def setup(self) -> None:
        """A connection begins."""
        super().setup()
        self.open.add(self.connection)

    def finish(self) -> None:
        """It ends."""
        self.open.discard(self.connection)
        super().finish()

    def log(self, type: str, message: str, *args: Any) -> None:
        """Nothing: the server's own list is the log."""

    def connection_dropped(self, error: BaseException, environ: Any = None) -> None:
        """Nothing: browsers drop connections all the time."""


def answer(body: bytes, kind: str, code: int = 200) -> Rule:
    """This in place of whatever was asked for."""

    def rule(call: Call) -> Iterable[bytes]:
        call.start(f"{code} {HTTPStatus(code).phrase}", [("Content-Type", kind)])
        return [body]

    return rule


def html_page(body: bytes = LOGIN_PAGE, code: int = 200) -> Rule:
    """A page of HTML, as a Wi-Fi login gives."""
    return answer(body, "text/html; charset=utf-8", code)


def status(code: int) -> Rule:
    """An error page with this status."""
    return html_page(f"<!doctype html><title>{code}</title><h1>{code}</h1>".encode(), code)


def moved(to: str, code: int = 302) -> Rule:
    """A redirect to `to`."""

    def rule(call: Call) -> Iterable[bytes]:
        call.start(f"{code} {HTTPStatus(code).phrase}", [("Location", to), ("Content-Length", "0")])
        return [b""]

    return rule


def stall(call: Call) -> Iterable[bytes]:
    """Accept the request and never answer; the connection ends with `down`, or when `freed` is set."""
    call.server.freed.wait(LONGEST_STALL_SECONDS)
    return abort(call)


def abort(call: Call) -> Iterable[bytes]:
    """Break the connection without an answer."""
    connection: socket.socket = call.env["werkzeug.socket"]
    # What follows the answer still writes to it: that must fail as a dropped connection does, not as a closed file.
    connection.shutdown(socket.SHUT_RDWR)
    raise ConnectionAbortedError


def delayed(seconds: float) -> Rule:
    """The right answer after this time, or at once when `freed` is set."""

    def rule(call: Call) -> Iterable[bytes]:
        call.server.freed.wait(seconds)
        return call.app(call.env, call.start)

    return rule


def folder_app(folder: Path) -> App:
    """A plain web host: files with the type of their ending, `folder` sent on to `folder/`, that to its index.html."""

    def app(env: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        path = env["PATH_INFO"]
        target = (folder / path.lstrip("/")).resolve()
        call = Call(env, start, app, None)  # type: ignore[arg-type]
        if not target.is_relative_to(folder.resolve()):
            return status(404)(call)
        if target.is_dir() and not path.endswith("/"):
            return moved(f"{path}/", 301)(call)
        target = target / "index.html" if target.is_dir() else target
        if not target.is_file():
            return status(404)(call)
        kind = mimetypes.guess_type(target.name)[0] or "application/octet-stream"
        start("200 OK", [("Content-Type", kind)])
        return [target.read_bytes()]

    return app
