"""Pages for what cannot be answered: each says what is wrong and what to do, and never shows anything of the program.

The language is that of the address; where the address has none, the first. Under /api/ the same sentences come as JSON.
"""

from __future__ import annotations

import difflib
import re
from typing import Any

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException

from ..config import BODY_LIMIT, QUERY_LIMIT
from .answers import raw_path, refused
from .api import as_json
from .build import HTML, Site
from .headers import HostRule
from .links import Links
from .views import site

# Statuses with a text of their own (words site_error_STATUS_title, _says, _mend); every other one is told as 400 or 500,
# and 501 as 400, since it is about a request in a form that nobody reads.
_TOLD = (400, 404, 405, 408, 413, 414, 431, 500)
_LONGEST_COMPARED = 200  # characters of a wrong address that near ones are looked for
_LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*")


def handle_errors(app: Flask, hosts: HostRule) -> None:
    """Set up the checks that stand before every view, and the pages for what goes wrong."""

    @app.before_request
    def check_request() -> Response | None:
        return _first_refusal(hosts)

    @app.errorhandler(HTTPException)
    def tell(problem: HTTPException) -> Response:
        response = error_answer(problem.code or 500)
        if problem.code == 405:
            response.headers["Allow"] = "GET, HEAD"
        return response

    @app.errorhandler(Exception)
    def tell_fault(problem: Exception) -> Response:
        app.logger.exception("A request could not be answered.", exc_info=problem)
        return error_answer(500)


def _first_refusal(hosts: HostRule) -> Response | None:
    """The answer to a request that no view should see, or None."""
    if not hosts.allows(request.environ.get("HTTP_HOST", "")):
        return error_answer(400, "host")
    if len(request.environ.get("QUERY_STRING", "")) > QUERY_LIMIT or len(raw_path()) > QUERY_LIMIT:
        return error_answer(414)
    if (request.content_length or 0) > BODY_LIMIT:
        return error_answer(413)
    return None


def error_answer(status: int, kind: str = "") -> Response:
    """The page or the JSON for a status; `kind` picks another text than the status has by itself."""
    first = raw_path().lstrip("/").partition("/")[0]
    lang = first if first in site().languages else site().languages[0]
    sentence = plain_sentence(site(), lang, status, kind)
    if first == "api":
        return as_json({"error": sentence}, status)
    try:
        return refused(_page(site(), lang, status, kind), HTML, status)
    except Exception:
        # The fault may lie in the template itself; then the bare sentence is what is left.
        site().app.logger.exception("The error page could not be made.")
        return refused(f"{sentence}\n".encode(), "text/plain; charset=utf-8", status)


def plain_sentence(site: Site, lang: str, status: int, kind: str = "") -> str:
    """What is wrong and how to mend it, as text."""
    return f"{_text(site, lang, status, kind, 'says')} {_text(site, lang, status, kind, 'mend')}"


def _text(site: Site, lang: str, status: int, kind: str, part: str) -> str:
    told = status if status in _TOLD else 400 if status < 500 or status == 501 else 500
    text = site.book.words(lang)[f"site_error_{kind or told}_{part}"]
    return text.replace("{query_limit}", f"{QUERY_LIMIT}").replace("{body_limit}", f"{BODY_LIMIT}")


def _page(site: Site, lang: str, status: int, kind: str) -> bytes:
    links = Links(raw_path().removeprefix("/"), lang)
    near = _near(site, links) if status == 404 else []
    title, says, mend = (_text(site, lang, status, kind, part) for part in ("title", "says", "mend"))
    error = {
        "status": status,
        "title": title,
        "says": says,
        "mend": mend,
        "links": near or _home(site, lang, links),
    }
    return site.render_template("error.html", lang, "", links, title, says, "", {"error": error})


def _near(site: Site, links: Links) -> list[dict[str, Any]]:
    """Pages whose address is like the one asked for: the same in another language first, then what is spelled alike."""
    asked = request.path.strip("/")[:_LONGEST_COMPARED].lower() + "/"
    first, _, rest = asked.partition("/")
    found = (
        [f"{lang}/{rest}" for lang in site.languages]
        if _LANGUAGE.fullmatch(first) and first not in site.languages
        else []
    )
    found += difflib.get_close_matches(asked, site.pages, 4, 0.6)
    # A right last part under a wrong folder is likelier than any likeness of the whole.
    last = asked.strip("/").rpartition("/")[2]
    by_name = {
        address.strip("/").rpartition("/")[2]: address for address in site.pages if address.count("/") > 2
    }
    found += [by_name[name] for name in difflib.get_close_matches(last, by_name, 3, 0.7)]
    known = [address for address in dict.fromkeys(found) if address in site.pages][:5]
    return [{"title": site.pages[address].title, "href": links.root + address} for address in known]


def _home(site: Site, lang: str, links: Links) -> list[dict[str, Any]]:
    paths = ("", "figures/", "cautions/", "emergency/")
    return [{"title": site.pages[f"{lang}/{path}"].title, "href": links.to(path)} for path in paths]
