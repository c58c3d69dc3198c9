"""From the Book to a whole site in memory: every page of every language as bytes, every asset, one release id.

What each template is given
---------------------------
Every `href` below is ready for use in its page: relative, so that the site works below any folder and as plain files.

All templates
    _                 words: _('key'), _('key', name=value); the key must stand in content/words/*.md
    lang, direction   'en' and 'ltr' or 'rtl', for <html lang dir>
    languages         [{id, name, href, current}]: this page in each language, name in that language itself
    root              way up to the first folder of the site: './', '../', '../../' …
    base              root + lang + '/': way to the home page of this language
    assets            root + 's/RELEASE/': where css/, js/, icons/ and vendor/ lie
    release           12 hex digits, for <html data-release>
    version           '0.1.0'; version_day '2026-11-25' (for <time datetime>); version_date the same day written out
    path              address of this page below the language: '', 'figures/', 'figures/mixture/'
    page              {title, summary, head}: `head` is the whole text of <title>, 'Error:' included where there is one
    up                {title, href} of the page above, or None on the home page
    theme_colour      {light, dark} for <meta name=theme-color>
    csp               text for <meta http-equiv=Content-Security-Policy>, the same policy as the header

home.html       parts [{id, title, says, href}]   ids: figures, setup, job, cautions, tables, glossary, help, emergency (those that exist)
find.html       typed     what was asked for, '' on the plain page
                answer    webapp.finder.finding.Answer
                senses    [{number, unit, kinds, sorts, alike, read_as, others [{number, unit}]}] of a number with its unit
                choices   [{text, href}]; filled and entries [{title, href, about}]
figures.html    groups [{id, title, figures [{id, title, summary, href}]}]
figure.html     figure    the Figure (webapp/figures/model.py)
                text      its FigureText of this language; body, assumes and sources are HTML with working links
                view      the View of webapp.figures.present
                cautions  [{id, title, signal, says, href}], the worst signal word first
                related   [{id, title, summary, href}]
                working   [{name, label, mathml, filled}] for each answer that has a formula; `filled` has the numbers in it
                query     {name: text} of what was asked for in the address, known names and `solve` only; {} on the plain page
                solve     name of the unknown, or ''
                is_error  the answer is about something typed that cannot be used: show the summary, `page.head` says 'Error:'
cautions.html   cautions [{id, title, signal, says, href}]
caution.html    caution {id, title, signal, says, signs [{id, picture (SVG)}], sections [{id, statements [{say, sources [{number, name,
                basis}]}]}], sources [{number, name, basis}], body}
emergency.html  emergency {title, says, numbers [{label, number, where}], parts [{id, title, steps [{say, sources [{number, name,
                basis}]}]}], sources [{number, name, basis}], body}
tables.html     tables [{id, title, summary, href}]
table.html      table {id, title, summary, row_head, columns [{id, label, unit, sorts}], rows [{id, label, cells [{text, words, by}],
                uses [{label, href}]}], only_use {label, href} or None, has_uses, sorts, body,
                sources [HTML]}; the rows' labels stand under `row_head` and in no other column. cautions
jobs.html       jobs [{id, title, summary, href}]
job.html        job {id, stages [{number, title, says, steps}], basis, body}; a step is that of job_pages: {id, do, note, gate, needs
                [caution], ready, photo, new, apart, touch [text], manual and read [{label, kind, in, unit}], ends [{kind, place,
                count, note}], closes [kind], figures [{title, href}], round {label, note, pattern, name, across, down, href}};
                cautions, and the further ones
job_card.html   module    job-card or torque-round, the component that draws the page; jobs as in jobs.html
setup.html      groups [{id, label, rows}]: the rows in the shape of a view's; body
page.html       html (help pages, change list, glossary); items [{id, title, summary, href}] on the list of help pages, else []
sources.html    groups [{id, title, says, figures [{id, title, href, sources [HTML], checks [text]}]}]; checks, how many in all
caution_sources.html  sheets [{id, title, href, sources [{basis, name, statements}]}]
start.html      nothing more. The first page of an export, which a server answers with a redirect.
offline.html    nothing more. It stands for an address that is not saved while there is no network.
error.html      error {status, title, says, mend, links [{title, href}]}

Scripts made from the Book, below `assets` + 'js/'
--------------------------------------------------
main.js              static/js/main.js and all it starts with, joined (linker.py); units.js is in it
units.js             UNITS                               webapp/figures/emit_module.py
figures/ID.LANG.js   FIGURE, CHOICES, TEXT, ROW_LABELS   the same
setup.LANG.js        FIGURE, TEXT, ROW_LABELS          webapp/figures/emit_setup.py
words.LANG.js        WORDS, DECIMAL                      assets.words_module: what the scripts of all pages say
further-words.LANG.js  the same: what only the job card, rounds, sheets and the setup say (wording.py)
finder.LANG.js       FINDER                              webapp/finder/data.py
jobs.LANG.js         JOBS                                webapp/site/job_pages.py
book-info.js    RELEASE, VERSION, VERSION_DAY, LANGUAGES
"""

from __future__ import annotations

import importlib.resources
import json
import re
from collections.abc import Iterator, Mapping
from functools import cached_property, lru_cache
from html import unescape
from pathlib import Path
from typing import Any

from flask import Flask

from .. import VERSION
from ..book import Book
from ..figures.emit_module import figure_module, units_module
from ..figures.emit_setup import setup_module
from ..finder import Finding, index_data
from . import assets
from .bundle import as_kept, belongs_to, make_bundle, worker_source
from .documents import ASK_FIRST, FOREVER, Document, is_text
from .excerpts import Context
from .figure_page import figure_context
from .finder_page import finder_context
from .headers import content_policy
from .job_pages import jobs_module
from .keeping import keep, read_kept
from .languages import direction_of, in_order, name_of, speaking, written_day
from .linker import Linker
from .links import Links
from .manifest import INK, ONLY_TO_INSTALL, PAPER, manifest
from .pack import packed
from .pages import Page, pages_of
from .wording import parted

HTML = "text/html; charset=utf-8"
MANIFEST = "application/manifest+json"
WORKER = "sw.js"

_REMEMBERED = 128  # computed pages; with their packed form about 4 MB

_FIRST_CHANGE = re.compile(r"<li>(.*?)</li>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


class Site:
    """The whole site of one Book. `pages` and `documents` go by address: 'en/figures/', 's/RELEASE/js/main.js', 'sw.js'."""

    def __init__(
        self, app: Flask, book: Book, static: Mapping[str, bytes], folder: Path | None = None
    ) -> None:
        self.app, self.book, self.static, self.folder = app, book, static, folder
        self._indexes: dict[str, dict[str, Any]] = {}
        self._findings: dict[str, Finding] = {}
        self.languages = in_order(book.texts)
        self.version_day = book.version if _DAY.fullmatch(book.version) else ""
        self.release = assets.release_of(self._inputs())
        # A link that is shared is opened by many: what it gives depends on nothing but what it says.
        self.computed = lru_cache(maxsize=_REMEMBERED)(self._compute)
        self.found = lru_cache(maxsize=_REMEMBERED)(self._find)
        self.pages = {page.address: page for lang in self.languages for page in pages_of(book, lang)}

    @cached_property
    def documents(self) -> dict[str, Document]:
        """Everything that the site serves without a query, rendered once for each release and kept in `folder`."""
        documents = read_kept(self.folder, self.release)
        if documents is None:
            documents = self._rendered()
            keep(self.folder, self.release, documents)
        return documents

    def _rendered(self) -> dict[str, Document]:
        with self.app.app_context():
            pages = {
                address: Document(self.render(page), HTML, reads_query=page.reads_query)
                for address, page in self.pages.items()
            }
        own = {**pages, **self._own_files()}
        shared = self._shared_files()
        packs = {lang: self._pack(lang, own, shared) for lang in self.languages}
        return {**own, **shared, **dict(packs.values()), WORKER: self._worker(own, shared, packs)}

    def _pack(
        self, lang: str, own: Mapping[str, Document], shared: Mapping[str, Document]
    ) -> tuple[str, Document]:
        """All texts that a language needs in one file: what repeats from one to the next is then sent once."""
        needed = {**{address: one for address, one in own.items() if belongs_to(address, lang)}, **shared}
        texts = {
            address: as_kept(one.body, one.media).decode()
            for address, one in needed.items()
            if is_text(one.media)
        }
        body = packed(texts, lang).encode()
        return f"s/{self.release}/pages.{lang}.txt", Document(body, assets.MEDIA[".txt"], FOREVER)

    def _compute(self, address: str, typed: tuple[tuple[str, str], ...], solve: str) -> tuple[Document, bool]:
        """A Figure's page for what was typed, and whether something typed cannot be used. Needs an application context."""
        page = self.pages[address]
        links = Links(address, page.lang)
        context = figure_context(
            self.book, page.lang, self.book.figures[page.figure], links, dict(typed), solve
        )
        return Document(self.render(page, **context), HTML), context["is_error"]

    def _find(self, address: str, typed: str) -> Document:
        """The finder's page for what was typed. Needs an application context."""
        page = self.pages[address]
        context = finder_context(self.finding(page.lang), typed, Links(address, page.lang))
        return Document(self.render(page, **context), HTML)

    def index(self, lang: str) -> dict[str, Any]:
        """The finder's index of a language, as the phone gets it."""
        if lang not in self._indexes:
            self._indexes[lang] = index_data(self.book, lang)
        return self._indexes[lang]

    def finding(self, lang: str) -> Finding:
        """The finder of a language, made when it is first asked."""
        if lang not in self._findings:
            texts = self.book.texts[lang]
            self._findings[lang] = Finding(
                self.index(lang), self.book.units, texts["words"], texts["decimal"]
            )
        return self._findings[lang]

    def render(self, page: Page, **context: Any) -> bytes:
        """A page as bytes; `context` stands in for what the page itself would give. Needs an application context."""
        links = Links(page.address, page.lang)
        content = context or page.content(links)
        return self.render_template(
            page.template, page.lang, page.path, links, page.title, page.summary, page.up, content
        )

    def render_template(
        self,
        template: str,
        lang: str,
        path: str,
        links: Links,
        title: str,
        summary: str,
        up: str | None,
        content: Context,
    ) -> bytes:
        """A template with what all templates get and with `content`."""
        with speaking(lang):
            shared = self._shared_context(lang, path, links)
            head = self._head(lang, title, up is not None, bool(content.get("is_error")))
            above = (
                {"title": self.pages[f"{lang}/{up}"].title, "href": links.to(up)} if up is not None else None
            )
            page = {"title": title, "summary": summary, "head": head}
            return (
                self.app.jinja_env.get_template(template)
                .render({**shared, "page": page, "up": above, **content})
                .encode()
            )

    def _shared_context(self, lang: str, path: str, links: Links) -> Context:
        return {
            "lang": lang,
            "direction": direction_of(lang),
            "languages": [self._language_link(one, lang, path, links) for one in self.languages],
            "root": links.root,
            "base": links.base,
            "assets": f"{links.root}s/{self.release}/",
            "release": self.release,
            "version": VERSION,
            "version_day": self.version_day,
            "version_date": written_day(lang, self.version_day),
            "path": path,
            "theme_colour": {"light": PAPER, "dark": INK},
            "csp": content_policy(in_page=True),
        }

    def _language_link(self, other: str, lang: str, path: str, links: Links) -> Context:
        """The same page in another language, or its home page where it has not that page."""
        same = path if f"{other}/{path}" in self.pages else ""
        return {
            "id": other,
            "name": name_of(other),
            "current": other == lang,
            "href": f"{links.root}{other}/{same}",
        }

    def _head(self, lang: str, title: str, is_below_home: bool, is_error: bool) -> str:
        words = self.book.words(lang)
        whole = words["site_head"].replace("{title}", title) if is_below_home else title
        return words["site_head_error"].replace("{head}", whole) if is_error else whole

    def _own_files(self) -> dict[str, Document]:
        """What belongs to one language beside its pages."""
        made = {}
        for lang in self.languages:
            words, decimal = self.book.words(lang), self.book.texts[lang]["decimal"]
            shared, further = parted(words, self.linker.files, assets.FIRST)
            scripts = {
                f"words.{lang}.js": assets.words_module(shared, decimal),
                f"further-words.{lang}.js": assets.words_module(further, decimal),
                f"finder.{lang}.js": assets.index_module(self.index(lang)),
                f"jobs.{lang}.js": jobs_module(self.book, lang),
            }
            if self.book.setup["fields"]:
                scripts[f"setup.{lang}.js"] = setup_module(self.book, lang)
            for figure in self.book.figures.values():
                scripts[f"figures/{figure.id}.{lang}.js"] = figure_module(self.book, lang, figure)
            for name, script in scripts.items():
                if self.is_joined:
                    script = self.linker.apart(f"js/{name}", script.decode()).encode()
                made[f"s/{self.release}/js/{name}"] = Document(script, assets.MEDIA[".js"], FOREVER)
            text = json.dumps(manifest(words, lang, self.release), ensure_ascii=False, indent=1)
            made[f"{lang}/manifest.webmanifest"] = Document(text.encode(), MANIFEST)
        return made

    @cached_property
    def linker(self) -> Linker:
        """What joins the scripts that pages start with."""
        return assets.linker(self.static, {"js/units.js": units_module(self.book)})

    @property
    def is_joined(self) -> bool:
        """Whether scripts are sent joined, not as they are written."""
        return bool(self.app.config["SCRIPTS"] == "joined")

    def _shared_files(self) -> dict[str, Document]:
        """What every language needs."""
        facts = assets.info_module(
            RELEASE=self.release, VERSION=VERSION, VERSION_DAY=self.version_day, LANGUAGES=self.languages
        )
        files = {**assets.served(self._scripts_and_others()), "js/book-info.js": facts}
        if not self.is_joined:
            files |= {name: body for name, body in self.static.items() if assets.is_script(name)}
        return {
            f"s/{self.release}/{name}": Document(body, assets.media_of(name), FOREVER)
            for name, body in files.items()
        }

    def _scripts_and_others(self) -> dict[str, bytes]:
        """Files of static/ and the units; scripts joined, unless they are wanted apart."""
        if not self.is_joined:
            return {**self.static, "js/units.js": units_module(self.book)}
        others = {name: body for name, body in self.static.items() if not assets.is_script(name)}
        return {**others, **{name: text.encode() for name, text in self.linker.scripts().items()}}

    def _worker(
        self,
        own: Mapping[str, Document],
        shared: Mapping[str, Document],
        packs: Mapping[str, tuple[str, Document]],
    ) -> Document:
        news = {lang: first_change(self.book.texts[lang]["changes"]["body"]) for lang in self.languages}
        left_out = {f"s/{self.release}/{name}" for name in ONLY_TO_INSTALL}
        bundle = make_bundle(
            _bytes(own),
            _bytes({address: one for address, one in shared.items() if address not in left_out}),
            self.release,
            self.languages,
            dated=self.version_day,
            news=news,
            packs={lang: (path, pack.body, pack.media) for lang, (path, pack) in packs.items()},
        )
        text = self.static[assets.WORKER].decode()
        text = worker_source(assets.lean_worker(text) if self.is_joined else text, bundle)
        return Document(text.encode(), assets.MEDIA[".js"], ASK_FIRST)

    def _inputs(self) -> Iterator[tuple[str, bytes]]:
        """Everything that decides a byte of the site: content, static files, templates, the program and its version."""
        yield "version", VERSION.encode()
        yield "scripts", str(self.app.config["SCRIPTS"]).encode()
        yield "book", self.book.to_json().encode()
        yield from self.static.items()
        package = Path(str(importlib.resources.files("webapp")))
        for path in sorted([*package.rglob("*.html"), *package.rglob("*.py")]):
            yield path.relative_to(package).as_posix(), path.read_bytes()


def first_change(html: str) -> str:
    """The first line of the change list as plain text, '' where there is none: it is what an update is offered with."""
    found = _FIRST_CHANGE.search(html)
    return " ".join(unescape(_TAG.sub("", found[1])).split()) if found else ""


def _bytes(documents: Mapping[str, Document]) -> dict[str, tuple[bytes, str]]:
    return {address: (document.body, document.media) for address, document in documents.items()}
