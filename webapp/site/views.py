"""Pages that are not ready-made: a Figure with what somebody typed, the choice of a language, addresses that are nearly right."""

from __future__ import annotations

from flask import Blueprint, Response, abort, current_app, request

from .answers import answer_with, go_to
from .build import Site
from .documents import NEVER
from .figure_page import asked_for
from .finder_page import QUERY
from .languages import preferred

bp = Blueprint("pages", __name__)


def site() -> Site:
    """The site that the app serves."""
    found: Site = current_app.extensions["cowlside"]
    return found


@bp.route("/", methods=["GET"], provide_automatic_options=False)
@bp.route("/index.html", methods=["GET"], provide_automatic_options=False)
def choose_language() -> Response:
    """The only address whose answer depends on the browser's languages, and so the only one that is never kept."""
    lang = preferred(request.headers.get("Accept-Language", ""), site().languages)
    return go_to(f"{lang}/", 302, cache=NEVER, vary="Accept-Language, Accept-Encoding")


@bp.route("/<path:address>", methods=["GET"], provide_automatic_options=False)
def open_address(address: str) -> Response:
    """A document, a Figure's page with its query, or the right address of a nearly right one."""
    document = site().documents.get(address)
    if document is None:
        return go_to(_nearly_right(address) or abort(404), 301)
    return (document.reads_query and _computed(address)) or answer_with(document)


def _computed(address: str) -> Response | None:
    """The page for what the query says, 400 where a Figure cannot use it; None where the query says nothing to it.

    Everything typed is still in its field, whatever the status.
    """
    if not site().pages[address].figure:
        typed = request.args.get(QUERY, "")
        return answer_with(site().found(address, typed)) if typed else None
    given, solve = asked_for(site().book.figures[site().pages[address].figure], request.args)
    if not given and not solve:
        return None
    document, is_error = site().computed(address, tuple(given.items()), solve)
    return answer_with(document, 400 if is_error else 200)


def _nearly_right(address: str) -> str | None:
    """The address that was meant: without 'index.html', with its last slash, in small letters."""
    folder = address.removesuffix("index.html")
    tries = (folder, f"{address}/", folder.lower(), f"{address.lower()}/")
    return next((one for one in tries if one in site().documents), None)
