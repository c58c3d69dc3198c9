"""The site: from a Book to a Flask app, or to a folder of plain files."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Flask
from jinja2 import StrictUndefined
from werkzeug.middleware.proxy_fix import ProxyFix

from ..book import Book
from ..config import BODY_LIMIT, read_settings
from ..paths import cache_dir, static_dir
from . import api, errors, views
from .assets import read_static
from .build import Site
from .front import Front
from .headers import HostRule
from .languages import WordsBabel
from .packing import Packer

__all__ = ["make_app", "make_site"]


class Absent(StrictUndefined):
    """What a template finds where a context has nothing: it may be asked about (`if`), never printed."""

    def __bool__(self) -> bool:  # type: ignore[override]
        return False


def make_site(book: Book, config: Mapping[str, Any] | None = None) -> Site:
    """The site of a Book, rendered on first use; what both the app and the export stand on."""
    app = Flask("webapp", static_folder=None, template_folder="site/templates")
    app.config.update(read_settings(config))
    app.config["MAX_CONTENT_LENGTH"] = BODY_LIMIT
    app.jinja_env.undefined = Absent
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    WordsBabel(app, {lang: texts["words"] for lang, texts in book.texts.items()})
    site = Site(app, book, read_static(static_dir()), cache_dir())
    app.extensions["cowlside"] = site
    return site


def make_app(book: Book, config: Mapping[str, Any] | None = None) -> Flask:
    """The Flask app that serves the site of a Book."""
    site = make_site(book, config)
    app, hosts = site.app, HostRule(site.app.config["HOSTS"])
    app.url_map.merge_slashes = False  # a doubled slash is a wrong address, not a redirect that echoes it
    for blueprint in (api.bp, views.bp):
        app.register_blueprint(blueprint)
    errors.handle_errors(app, hosts)
    packer = Packer(site.documents.values(), site.release, cache_dir())
    front: Any = Front(app.wsgi_app, site.documents, hosts, packer)
    if count := app.config["PROXIES"]:
        front = ProxyFix(front, x_for=count, x_proto=count, x_host=count, x_prefix=count)
    app.wsgi_app = front  # type: ignore[method-assign]
    return app
