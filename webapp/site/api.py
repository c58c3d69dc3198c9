"""JSON: /api/figures/ID?name=value answers what `cowlside calc --json` prints, `?describe=1` what the Figure takes.

Sentences are in the first language of the site. Everything else about the query is as on the Figure's page: unknown
names are left out, of a repeated one the first counts, and an input that cannot be used makes the status 400.
"""

from __future__ import annotations

import json
from typing import Any

from flask import Blueprint, Response, request

from ..errors import UnknownFigure
from ..figures.answer import BadInput, answer, describe, find_figure
from ..figures.model import Figure
from ..figures.present import present
from .answers import answer_with
from .documents import ASK_FIRST, NEVER, Document
from .figure_page import SOLVE, is_refused_input
from .views import site

JSON = "application/json"

bp = Blueprint("api", __name__, url_prefix="/api")


@bp.route("/figures/<name>", methods=["GET"], provide_automatic_options=False)
def figure_answer(name: str) -> Response:
    """The answers of a Figure, or with `describe` its inputs and answers."""
    book, lang = site().book, site().languages[0]
    figure = find_figure(book, name)
    if request.args.get("describe"):
        return as_json(describe(book, lang, name))
    typed, unknown = _typed(figure), request.args.get(SOLVE, "")
    try:
        found = answer(book, lang, name, typed, unknown)
    except BadInput as problem:
        return as_json(
            {"figure": name, "gives": {}, "warnings": [], "refused": str(problem), "error": str(problem)}, 400
        )
    status = (
        400
        if found["refused"] and is_refused_input(figure, present(book, lang, figure, typed, unknown))
        else 200
    )
    return as_json({**found, "error": found["refused"]} if status == 400 else found, status)


@bp.app_errorhandler(UnknownFigure)
def no_such_figure(problem: UnknownFigure) -> Response:
    """A sentence and the names that are like it."""
    words = site().book.words(site().languages[0])
    return as_json(
        {"error": words["site_api_no_figure"], "near": problem.near, "figures": list(site().book.figures)},
        404,
    )


def as_json(record: Any, status: int = 200) -> Response:
    """A record as the answer; what was refused is not kept by anybody."""
    text = json.dumps(record, ensure_ascii=False, allow_nan=False)
    return answer_with(Document(f"{text}\n".encode(), JSON, ASK_FIRST if status == 200 else NEVER), status)


def _typed(figure: Figure) -> dict[str, str]:
    names = [take.name for take in figure.takes]
    if request.args.get(SOLVE):
        names += [give.name for give in figure.gives]
    return {name: request.args[name] for name in names if name in request.args}
