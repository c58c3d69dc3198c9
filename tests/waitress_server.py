"""The real server on a free port of this machine, in a thread that ends with it."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from flask import Flask
from waitress import wasyncore

from webapp.site.server import create_server

WAIT_SECONDS = 20


@contextmanager
def running(app: Flask) -> Iterator[int]:
    """Serve `app` within it; gives the port."""
    server = create_server(app, "127.0.0.1", 0, threads=4)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield server.effective_port
    finally:
        # Sockets belong to the loop's own thread, so it closes them itself; with none left the loop ends.
        server.trigger.pull_trigger(lambda: wasyncore.close_all(server._map, ignore_all=True))
        thread.join(WAIT_SECONDS)
        server.task_dispatcher.shutdown()
        assert not thread.is_alive()
