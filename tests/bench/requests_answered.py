"""Requests a second of a Figure's page, divided by those of a bare Flask route that returns the same bytes."""

from __future__ import annotations

import http.client
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from statistics import median

from flask import Flask, Response
from server_process import Running
from werkzeug.test import Client, EnvironBuilder, run_wsgi_app

from webapp import create_app

PAGE = "/en/figures/injector-flow/"
ASKED = PAGE + "?rail=43.5+psi&manifold=8+psi"
PAGES = (("plain page", PAGE, 0.8), ("page with inputs in its address", ASKED, None))
HEADERS = {"Host": "localhost"}
ROUNDS = 7
CALLS = 200


def measure() -> Iterator[tuple]:
    """In process and over waitress: the plain page, and one with inputs in its address, which is computed each time.

    The budget is the plain page's: a computed answer has no bare counterpart, its ratio only shows where it is going.
    """
    app = create_app()
    for title, address, budget in PAGES:
        value = ratio(called(app, address), called(bare_app(address), address))
        yield f"{title} ÷ bare Flask, in process", value, "×", budget, True
    for title, address, budget in PAGES:
        with ExitStack() as stack:
            ours = stack.enter_context(Running(python_serving("webapp:create_app()")))
            bare = stack.enter_context(Running(python_serving(f"requests_answered:bare_app({address!r})")))
            ask, ask_bare = asked(ours.port, address), asked(bare.port, address)
            yield f"{title} ÷ bare Flask, over waitress", ratio(ask, ask_bare), "×", budget, True
            each = median(seconds(ask) for _ in range(3)) / CALLS
            yield f"  {title}, requests a second over waitress", 1 / each, "/s"


def bare_app(address: str) -> Flask:
    """One route with the very bytes of the page at `address`, and nothing else."""
    body = Client(create_app()).get(address, headers=HEADERS).data
    bare = Flask("bare")

    @bare.get(PAGE)
    def page() -> Response:
        return Response(body, mimetype="text/html")

    return bare


def called(app: Flask, address: str) -> Callable[[], None]:
    """One call of the WSGI app, its answer read to the end."""
    builder = EnvironBuilder(address, headers=HEADERS)

    def call() -> None:
        run_wsgi_app(app, builder.get_environ(), buffered=True)

    return call


def asked(port: int, address: str) -> Callable[[], None]:
    """One request over a connection that stays open."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)

    def ask() -> None:
        connection.request("GET", address, headers=HEADERS)
        answer = connection.getresponse()
        answer.read()
        if answer.status != 200:
            raise SystemExit(f"{address} answered {answer.status}")

    return ask


def ratio(ours: Callable[[], None], bare: Callable[[], None]) -> float:
    """Median over rounds of bare seconds ÷ our seconds; the rounds take turns, so that a busy moment hits both."""
    seconds(ours), seconds(bare)
    return median(seconds(bare) / seconds(ours) for _ in range(ROUNDS))


def seconds(call: Callable[[], None]) -> float:
    start = time.perf_counter()
    for _ in range(CALLS):
        call()
    return time.perf_counter() - start


def python_serving(expression: str) -> list[str]:
    """Command of a waitress that serves 'module:expression' on the port that is put in the place of PORT."""
    module, call = expression.split(":", 1)
    code = (
        f"import {module}, waitress; waitress.serve({module}.{call}, host='127.0.0.1', port=PORT, threads=4)"
    )
    return [sys.executable, "-c", code]
