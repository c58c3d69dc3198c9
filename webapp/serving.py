"""Starts the app under waitress and prints the address to open."""

from __future__ import annotations

import os
import sys

from .config import hosts_for

THREADS = 8


def serve(host: str, port: int) -> int:
    """Serve until interrupted. Returns an exit code: 0 after an interrupt, 2 when the address cannot be had."""
    from . import create_app
    from .site.server import create_server

    # Hosts named in the environment win; otherwise the names by which this address can rightly be asked.
    named = {} if os.environ.get("COWLSIDE_HOSTS") else {"HOSTS": hosts_for(host)}
    app = create_app(named)
    try:
        server = create_server(app, host, port, THREADS)
    except (OSError, ValueError) as error:
        print(
            f"Cannot listen on {host}:{port} ({error}). Give another --host or --port; --port 0 takes a free one.",
            file=sys.stderr,
        )
        return 2
    shown = "localhost" if host in ("127.0.0.1", "0.0.0.0", "::") else host  # noqa: S104 - compared, not bound
    print(f"Cowlside is at http://{shown}:{server.effective_port}/  (stop it with Ctrl+C)", flush=True)
    try:
        server.run()
    except KeyboardInterrupt:
        pass
    finally:
        server.close()
    return 0
