"""Too large, too slow, too strange: over a real connection to the real server (F33)."""

from __future__ import annotations

import contextlib
import re
import resource
import socket

import pytest

from webapp import create_app
from webapp.config import BODY_LIMIT, QUERY_LIMIT
from webapp.site import server as site_server
from webapp.site.headers import SECURITY_HEADERS

WAIT_SECONDS = 30
HUGE = 50 * 1024 * 1024


@pytest.fixture
def port(app, serve):
    app.wsgi_app._packer.run()  # packing takes memory too, and would blur what a body takes
    return serve(app)


def exchange(port, head, body=(), then=b""):
    """Send a request as bytes and read to the end of the connection: (status, headers in small letters, body)."""
    with socket.create_connection(("127.0.0.1", port), timeout=WAIT_SECONDS) as connection:
        # A server may answer before all has been sent; a reset here would be the fault that is looked for, when reading.
        connection.sendall(head)
        for piece in body:
            connection.sendall(piece)
        if then:
            connection.sendall(then)
        return parted(read_all(connection))


def read_all(connection):
    received = b""
    while piece := connection.recv(65536):
        received += piece
    return received


def parted(answer):
    head, _, body = answer.partition(b"\r\n\r\n")
    status, *lines = head.decode("latin-1").split("\r\n")
    headers = {}
    for line in lines:
        name, _, value = line.partition(": ")
        headers[name.lower()] = value
    return int(status.split()[1]), headers, body


def request(method, path, *lines):
    return "\r\n".join(
        [f"{method} {path} HTTP/1.1", "Host: localhost", "Connection: close", *lines, "", ""]
    ).encode("latin-1")


def pieces(total):
    """`total` bytes in pieces."""
    piece = b"x" * 65536
    for _ in range(total // len(piece)):
        yield piece
    yield piece[: total % len(piece)]


def chunks(total):
    """The same in the form of a body whose length is not told beforehand."""
    for piece in pieces(total):
        if piece:
            yield f"{len(piece):x}\r\n".encode() + piece + b"\r\n"


def assert_answered(answer, status, told=""):
    code, headers, body = answer
    assert code == status
    assert {name.lower(): value for name, value in SECURITY_HEADERS}.items() <= headers.items()
    assert told in body.decode()
    assert "server" not in headers
    assert not re.search(rb"Traceback|waitress|werkzeug", body)


@pytest.mark.parametrize("size", [BODY_LIMIT + 1, HUGE])
@pytest.mark.parametrize("method", ["POST", "GET"])
@pytest.mark.parametrize(
    "address", ["/en/", "/en/figures/injector-flow/?rail=50+psi", "/api/figures/injector-flow", "/sw.js"]
)
def test_F33_a_body_over_the_limit_is_read_thrown_away_and_answered(port, address, method, size):
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    answer = exchange(port, request(method, address, f"Content-Length: {size}"), pieces(size))
    assert_answered(answer, 413, str(BODY_LIMIT))
    grown_kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    assert grown_kb < 25_000
    assert exchange(port, request("GET", "/en/"))[0] == 200


@pytest.mark.parametrize("size", [BODY_LIMIT + 1, HUGE])
def test_F33_without_a_told_length_it_is_the_same(port, size):
    answer = exchange(port, request("POST", "/en/", "Transfer-Encoding: chunked"), chunks(size), b"0\r\n\r\n")
    assert_answered(answer, 413, str(BODY_LIMIT))
    assert exchange(port, request("GET", "/en/"))[0] == 200


def test_F33_a_form_with_files_is_refused_the_same_way(port):
    field = (
        b'--b\r\nContent-Disposition: form-data; name="rail"; filename="log.csv"\r\n\r\n'
        + b"1,2\n" * 200_000
        + b"\r\n--b--\r\n"
    )
    head = request(
        "POST",
        "/en/figures/injector-flow/",
        "Content-Type: multipart/form-data; boundary=b",
        f"Content-Length: {len(field)}",
    )
    assert_answered(exchange(port, head, [field]), 413, str(BODY_LIMIT))


def test_F33_a_body_within_the_limit_changes_nothing(port):
    assert exchange(port, request("GET", "/en/", "Content-Length: 5"), [b"hello"])[0] == 200
    assert (
        exchange(port, request("POST", "/en/", f"Content-Length: {BODY_LIMIT}"), pieces(BODY_LIMIT))[0] == 405
    )


def test_F33_a_length_that_is_only_promised_is_refused_when_it_is_beyond_all_measure(port):
    assert_answered(
        exchange(port, request("POST", "/en/", f"Content-Length: {10**15}")), 413, str(BODY_LIMIT)
    )
    assert_answered(exchange(port, request("POST", "/en/", "Content-Length: -5")), 400)
    assert exchange(port, request("GET", "/en/"))[0] == 200


def test_F33_a_body_that_trickles_in_is_given_up_and_others_are_served_meanwhile(port, monkeypatch):
    monkeypatch.setattr(site_server, "PATIENCE_SECONDS", 0.2)
    with socket.create_connection(("127.0.0.1", port), timeout=WAIT_SECONDS) as slow:
        slow.sendall(request("POST", "/en/", "Content-Length: 5000"))
        slow.settimeout(0.05)
        answer = b""
        for _ in range(200):
            with contextlib.suppress(TimeoutError):
                answer = slow.recv(65536)
                break
            slow.sendall(b"x")
            assert exchange(port, request("GET", "/en/"))[0] == 200
        slow.settimeout(WAIT_SECONDS)
        assert_answered(parted(answer + read_all(slow)), 408, "did not arrive in time")


def test_F33_an_over_long_query_gets_a_page_and_longer_ones_still_a_sentence(port):
    status, headers, body = exchange(
        port, request("GET", f"/en/figures/injector-flow/?rail={'9' * QUERY_LIMIT}")
    )
    assert status == 414
    assert headers["content-type"].startswith("text/html")
    assert str(QUERY_LIMIT) in body.decode()
    for longer in (site_server.HEADER_LIMIT, HUGE // 10):
        answer = exchange(port, request("GET", f"/en/?x={'9' * longer}"))
        assert_answered(answer, 431, "longer headers than this server reads")
    assert exchange(port, request("GET", "/en/"))[0] == 200


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        (b"nonsense\r\n\r\n", 400),
        (b"get / HTTP/1.1\r\nHost: localhost\r\n\r\n", 400),
        (b"GET / HTTP/1.1\r\nHost localhost\r\n\r\n", 400),
        (b"POST / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: gzip\r\n\r\n", 501),
        (b"POST / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n", 400),
        (b"GET / HTTP/1.0\r\n\r\n", 400),
        (b"GET //elsewhere.example/ HTTP/1.0\r\nHost: localhost\r\n\r\n", 404),
        (b"GET //elsewhere.example HTTP/1.0\r\nHost: localhost\r\n\r\n", 404),
        (b"GET //en HTTP/1.0\r\nHost: localhost\r\n\r\n", 301),
        (b"GET /en/../figures HTTP/1.0\r\nHost: localhost\r\n\r\n", 404),
        (b"GET /en/\xff\xfe HTTP/1.0\r\nHost: localhost\r\n\r\n", 400),
        (b"GET http://elsewhere.example/en/figures HTTP/1.0\r\nHost: localhost\r\n\r\n", 301),
        (b"GET /en/ HTTP/1.0\r\nHost: elsewhere.example\r\n\r\n", 400),
        (b"OPTIONS * HTTP/1.0\r\nHost: localhost\r\n\r\n", 405),
        (b"CONNECT elsewhere.example:443 HTTP/1.0\r\nHost: localhost\r\n\r\n", 405),
    ],
)
def test_what_is_no_proper_request_gets_a_sentence_and_the_headers(port, sent, status):
    answer = exchange(port, sent)
    assert answer[0] == status
    assert {name.lower(): value for name, value in SECURITY_HEADERS}.items() <= answer[1].items()
    assert b"elsewhere" not in answer[2]
    assert "elsewhere" not in answer[1].get("location", "")
    assert not re.search(rb"Traceback|waitress|werkzeug", answer[2])


def test_behind_a_proxy_the_server_hands_the_headers_on_and_else_takes_them_away(bilingual_book, serve):
    lines = ("X-Forwarded-Prefix: /club", "X-Forwarded-Host: localhost", "X-Forwarded-Proto: https")
    for proxies, location in ((0, "en/"), (1, "/club/en/")):
        port = serve(create_app({"PROXIES": proxies}, bilingual_book))
        assert exchange(port, request("GET", "/", *lines))[1]["location"] == location
