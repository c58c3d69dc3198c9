"""The front of the app: hands out what is ready-made, lets Flask answer the rest, and puts the same headers on both.

It stands before Flask so that the commonest request, a page or a file that does not depend on what was typed, costs a look-up.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from ..config import QUERY_LIMIT
from .documents import Document
from .headers import SECURITY_HEADERS, HostRule
from .packing import Packer

Environ = dict[str, Any]
App = Callable[[Environ, Callable[..., Any]], Iterable[bytes]]

_SECURITY_NAMES = frozenset(name.lower() for name, _ in SECURITY_HEADERS)


class Front:
    """WSGI: documents by address, everything else from `inner`."""

    def __init__(
        self, inner: App, documents: Mapping[str, Document], hosts: HostRule, packer: Packer
    ) -> None:
        self._inner, self._hosts, self._packer = inner, hosts, packer
        self._documents = {f"/{address}": document for address, document in documents.items()}

    def __call__(self, environ: Environ, start_response: Callable[..., Any]) -> Iterable[bytes]:
        document = self._documents.get(environ.get("PATH_INFO", ""))
        if document is None or not self._may_answer(document, environ):
            return self._inner(environ, _with_security_headers(start_response))
        if not self._packer.is_started:
            self._packer.start()
        status, headers, body = document.answer(
            environ.get("HTTP_ACCEPT_ENCODING", ""), environ.get("HTTP_IF_NONE_MATCH", "")
        )
        start_response(status, headers)
        return [body] if environ["REQUEST_METHOD"] == "GET" else []

    def _may_answer(self, document: Document, environ: Environ) -> bool:
        """Whether the ready-made bytes are the answer: a plain reading request with nothing to compute or refuse."""
        query = environ.get("QUERY_STRING", "")
        return (
            environ["REQUEST_METHOD"] in ("GET", "HEAD")
            and (not query or (not document.reads_query and len(query) <= QUERY_LIMIT))
            and self._hosts.allows(environ.get("HTTP_HOST", ""))
            and environ.get("CONTENT_LENGTH", "") in ("", "0")
        )


def _with_security_headers(start_response: Callable[..., Any]) -> Callable[..., Any]:
    """`start_response` that adds the headers to whatever Flask answers, its own refusals and redirects included."""

    def start(status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> Any:
        own = [pair for pair in headers if pair[0].lower() not in _SECURITY_NAMES]
        return start_response(status, [*own, *SECURITY_HEADERS], *([exc_info] if exc_info else []))

    return start
