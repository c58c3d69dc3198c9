"""Answers that Flask gives: computed pages, redirects and refusals, in the same form as the ready-made ones."""

from __future__ import annotations

import posixpath
import re

from flask import Response, request

from .documents import NEVER, Document

_PREFIX = re.compile(r"(?:/[A-Za-z0-9._~-]+)+")


def answer_with(document: Document, status: int = 200) -> Response:
    """The document in the coding that the request takes; 304 where the reader has it and the status is 200."""
    known = request.headers.get("If-None-Match", "") if status == 200 else ""
    line, headers, body = document.answer(request.headers.get("Accept-Encoding", ""), known)
    response = Response(body, status=line if status == 200 else status)
    response.headers.clear()
    response.headers.extend(headers)
    return response


def go_to(address: str, status: int, cache: str = "no-cache", vary: str = "Accept-Encoding") -> Response:
    """Redirect to an address of the site (one that exists, never a text from the request), with the query kept.

    The Location is a path and never holds a host. Behind a known prefix it begins with it; else it is relative, since a
    proxy may have cut a prefix off without a word.
    """
    prefix = request.environ.get("SCRIPT_NAME", "")
    # A prefix can come from a header: '//elsewhere' must not become a link to another host.
    place = f"{prefix}/{address}" if _PREFIX.fullmatch(prefix) else _way_to(address)
    query = request.environ.get("QUERY_STRING", "")
    response = Response(status=status)
    response.headers.clear()
    response.headers["Location"] = place + (f"?{query}" if query else "")
    response.headers["Cache-Control"] = cache
    response.headers["Vary"] = vary
    response.headers["Content-Length"] = "0"
    return response


def _way_to(address: str) -> str:
    """The shortest relative link from the address asked for to a folder of the site."""
    return posixpath.relpath(f"/{address}", posixpath.dirname(raw_path())) + "/"


def raw_path() -> str:
    """The path as it was sent and as a browser counts its folders: `%2F` is no slash there, but is one in PATH_INFO."""
    sent = str(request.environ.get("REQUEST_URI", "")).partition("?")[0]
    prefix = request.environ.get("SCRIPT_NAME", "")
    return sent.removeprefix(prefix) if sent.startswith("/") else request.path


def refused(body: bytes, media: str, status: int) -> Response:
    """An error page: not kept by anybody, since the next try may go well."""
    return answer_with(Document(body, media, NEVER), status)
