"""waitress for this app: what comes too large, too slowly or not as HTTP gets a sentence and the headers of every answer.

waitress by itself closes the connection on a large body while the sender is still sending, which a phone shows as
'connection reset'. Here such a body is read to its end, thrown away as it comes, and then answered.
"""

from __future__ import annotations

import io
import time
from typing import Any

import waitress
from flask import Flask
from waitress import wasyncore
from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser
from waitress.receiver import ChunkedReceiver, FixedStreamReceiver
from waitress.task import ErrorTask
from waitress.utilities import Error, RequestHeaderFieldsTooLarge

from ..config import BODY_LIMIT
from .build import Site
from .errors import plain_sentence
from .headers import SECURITY_HEADERS

SWALLOWED_LIMIT = 128 * 1024 * 1024  # bytes read and thrown away before the connection is cut after all
HEADER_LIMIT = 32 * 1024  # bytes; the longest address that is answered with a page fits in
PATIENCE_SECONDS = 60.0  # for a request to arrive

_END_OF_HEADERS = b"\r\n\r\n"


def create_server(app: Flask, host: str, port: int, threads: int = 8) -> Any:
    """A waitress server of the app, listening but not yet running.

    Raises   OSError or ValueError when the address cannot be had.
    """
    sockets: dict[int, Any] = {}
    try:
        server = waitress.create_server(
            app,
            map=sockets,
            host=host,
            port=port,
            threads=threads,
            ident=None,
            max_request_body_size=SWALLOWED_LIMIT,
            max_request_header_size=HEADER_LIMIT,
            # With proxies set it is the app that reads their headers; without, nobody does.
            clear_untrusted_proxy_headers=not app.config["PROXIES"],
        )
    except BaseException:
        # What it had opened before it failed would stay open.
        wasyncore.close_all(sockets)
        raise
    for one in sockets.values():
        one.channel_class, one.site = _Channel, app.extensions["cowlside"]
    return server


class RequestTimeout(Error):
    """408, which waitress has no class for."""

    code = 408
    reason = "Request Timeout"


class _Kept:
    """Takes in a body of any length and keeps just enough to show that it is too long."""

    def __init__(self) -> None:
        self._bytes, self._length = b"", 0

    def append(self, data: bytes) -> None:
        self._length += len(data)
        self._bytes += data[: BODY_LIMIT + 1 - len(self._bytes)]

    def __len__(self) -> int:
        return self._length

    def getfile(self) -> io.BytesIO:
        return io.BytesIO(self._bytes)

    def close(self) -> None:
        self._bytes = b""


class _Parser(HTTPRequestParser):
    """Reads a request. A body goes into `_Kept`; headers that are too long are read to their end before they are refused."""

    completed: bool
    error: Any

    def __init__(self, adjustments: Any) -> None:
        super().__init__(adjustments)
        self._begun = time.monotonic()
        self._swallowing, self._swallowed, self._tail = False, 0, b""

    def parse_header(self, header: bytes) -> None:
        super().parse_header(header)
        if self.chunked:
            self.body_rcv = ChunkedReceiver(_Kept())
        elif self.content_length > 0:
            self.body_rcv = FixedStreamReceiver(self.content_length, _Kept())

    def received(self, data: bytes) -> int:
        taken: int = len(data) if self._swallowing else super().received(data)
        if self._swallowing or isinstance(self.error, RequestHeaderFieldsTooLarge):
            self._swallow(data)
        if not self.completed and time.monotonic() - self._begun > PATIENCE_SECONDS:
            self.error, self.completed = RequestTimeout("request"), True
        return taken

    def _swallow(self, data: bytes) -> None:
        """Go on reading too long headers until their end has come."""
        self._swallowing, self._swallowed = True, self._swallowed + len(data)
        self.completed = _END_OF_HEADERS in self._tail + data or self._swallowed > SWALLOWED_LIMIT
        self._tail = (self._tail + data)[-len(_END_OF_HEADERS) :]


class _Refusal(ErrorTask):
    """The answer to what is no request for the app."""

    def execute(self) -> None:
        error = self.request.error
        site: Site = self.channel.server.site
        body = f"{plain_sentence(site, site.languages[0], error.code)}\n".encode()
        self.status = f"{error.code} {error.reason}"
        self.response_headers += [
            ("Content-Type", "text/plain; charset=utf-8"),
            ("Cache-Control", "no-store"),
            *SECURITY_HEADERS,
        ]
        self.content_length = len(body)
        self.set_close_on_finish()
        self.write(body)


class _Channel(HTTPChannel):
    parser_class = _Parser
    error_task_class = _Refusal
