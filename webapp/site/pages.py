"""Which pages a language has, and what each gives its template. The list of what that is stands in build.py."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from ..book import Book
from ..finder.finding import Answer
from .excerpts import Context, caution_list, grouped, listed, short
from .figure_page import figure_context
from .hazard_pages import caution_context, emergency_context
from .job_pages import job_context, jobs_context
from .links import Links
from .setup_page import setup_context
from .sources_page import caution_sources_context, caution_sources_text, sources_context, sources_text
from .table_page import table_context

Content = Callable[[Links], Context]
FINDER = "find/"
# The Figure that a torque round's order comes from: what it needs stands first on that page too. Fuel line nuts, for which
# 'torque-adapter' needs its sheets, are not tightened in rounds.
ROUND_FIGURES = ("tightening-order",)

# The pages of sources: name, template, what gives its title and summary, what gives its content.
_SOURCES = (
    ("sources", "sources.html", sources_text, sources_context),
    ("caution-sources", "caution_sources.html", caution_sources_text, caution_sources_context),
)


@dataclass(frozen=True)
class Page:
    """One page of one language.

    path      address below the language, '' for the home page
    content   given the links of the page, what its template gets beside what all get
    up        path of the page above, None on the home page
    figure    id of the Figure that the page shows, '' elsewhere
    reads_query   what stands behind the `?` asks for another page: a Figure's inputs, what is to be found
    """

    lang: str
    path: str
    template: str
    title: str
    summary: str
    content: Content
    up: str | None = ""
    figure: str = ""

    @property
    def reads_query(self) -> bool:
        return bool(self.figure) or self.path == FINDER

    @property
    def address(self) -> str:
        return f"{self.lang}/{self.path}"


def pages_of(book: Book, lang: str) -> Iterator[Page]:
    """Every page of a language, the home page first."""
    kinds = (_home, _find, _figures, _cautions, _emergency, _tables, _jobs, _setup, _help, _offline)
    return (page for kind in kinds for page in kind(book, lang))


def _home(book: Book, lang: str) -> Iterator[Page]:
    def content(links: Links) -> Context:
        return {"parts": [_linked_part(book, lang, name, links) for name in _part_names(book)]}

    words = book.words(lang)
    yield Page(lang, "", "home.html", words["site_name"], words["site_says"], content, up=None)


def _find(book: Book, lang: str) -> Iterator[Page]:
    """The finder before anything is typed: that needs no index."""
    empty = {
        "typed": "",
        "answer": Answer("empty"),
        "senses": [],
        "choices": [],
        "filled": [],
        "entries": [],
    }
    words = book.words(lang)
    yield Page(lang, FINDER, "find.html", words["finder_title"], words["finder_says"], lambda _: empty)


def _figures(book: Book, lang: str) -> Iterator[Page]:
    yield _part(book, lang, "figures", "figures.html", lambda links: {"groups": _groups(book, lang, links)})
    for name, figure in book.figures.items():
        text = book.texts[lang]["figures"][name]
        content = partial(figure_context, book, lang, figure)
        yield Page(
            lang, f"figures/{name}/", "figure.html", text["title"], text["summary"], content, "figures/", name
        )


def _cautions(book: Book, lang: str) -> Iterator[Page]:
    def content(links: Links) -> Context:
        return {"cautions": caution_list(book, lang, list(book.cautions), links, by_order=True)}

    yield _part(book, lang, "cautions", "cautions.html", content)
    for name in book.cautions:
        text = book.texts[lang]["cautions"][name]
        sheet = partial(caution_context, book, lang, name)
        yield Page(lang, f"cautions/{name}/", "caution.html", text["title"], text["says"], sheet, "cautions/")


def _emergency(book: Book, lang: str) -> Iterator[Page]:
    text = book.texts[lang]["emergency"]
    content = partial(emergency_context, book, lang)
    yield Page(lang, "emergency/", "emergency.html", text["title"], text["says"], content)


def _tables(book: Book, lang: str) -> Iterator[Page]:
    texts = book.texts[lang]["tables"]
    if not texts:
        return
    yield _part(book, lang, "tables", "tables.html", lambda links: {"tables": listed(texts, "tables", links)})
    for name, text in texts.items():
        content = partial(table_context, book, lang, name)
        yield Page(lang, f"tables/{name}/", "table.html", text["title"], text["summary"], content, "tables/")


def _jobs(book: Book, lang: str) -> Iterator[Page]:
    """The list of templates, each of them, and the pages on which the phone draws a card and a torque round."""
    words, content = book.words(lang), partial(jobs_context, book, lang)
    yield _part(book, lang, "job", "jobs.html", content)
    for name, text in book.texts[lang]["jobs"].items():
        whole = partial(job_context, book, lang, name)
        yield Page(lang, f"job/{name}/", "job.html", text["title"], text["summary"], whole, "job/")
    for name, module, guarded in (("card", "job-card", ()), ("round", "torque-round", ROUND_FIGURES)):
        shell = partial(_shell, book, lang, module, guarded)
        title, says = words[f"job_{name}_title"], words[f"job_{name}_says"]
        yield Page(lang, f"job/{name}/", f"job_{name}.html", title, says, shell, "job/")


def _shell(book: Book, lang: str, module: str, figures: tuple[str, ...], links: Links) -> Context:
    """A page that the phone draws, with the sheets that the Figures it works with need."""
    needs = dict.fromkeys(need for figure in figures for need in book.figures[figure].needs)
    cautions = caution_list(book, lang, list(needs), links)
    return {**jobs_context(book, lang, links), "module": module, "cautions": cautions}


def _setup(book: Book, lang: str) -> Iterator[Page]:
    if book.setup["fields"]:
        yield _part(book, lang, "setup", "setup.html", partial(setup_context, book, lang))


def _help(book: Book, lang: str) -> Iterator[Page]:
    texts = book.texts[lang]

    def content(links: Links) -> Context:
        others = [short(texts[name], "", name, links) for name in ("glossary", "changes")]
        own = [short(text(book, lang), name, "help", links) for name, _, text, _ in _SOURCES]
        return {"html": "", "items": [*listed(texts["pages"], "help", links), *own, *others]}

    yield _part(book, lang, "help", "page.html", content)
    for name, template, own, shown in _SOURCES:
        title, summary = (own(book, lang)[key] for key in ("title", "summary"))
        yield Page(lang, f"help/{name}/", template, title, summary, partial(shown, book, lang), "help/")
    for name, text in texts["pages"].items():
        yield _text_page(lang, f"help/{name}/", text, "help/")
    yield _text_page(lang, "glossary/", texts["glossary"], "")
    yield _text_page(lang, "changes/", texts["changes"], "help/")


def _offline(book: Book, lang: str) -> Iterator[Page]:
    words = book.words(lang)
    yield Page(
        lang,
        "offline/",
        "offline.html",
        words["offline_page_title"],
        words["offline_page_says"],
        lambda _: {},
    )


def _part(book: Book, lang: str, name: str, template: str, content: Content) -> Page:
    words = book.words(lang)
    return Page(lang, f"{name}/", template, words[f"site_{name}"], words[f"site_{name}_says"], content)


def _text_page(lang: str, path: str, text: Context, up: str) -> Page:
    def content(links: Links) -> Context:
        return {"html": links.in_html(text["body"]), "items": []}

    return Page(lang, path, "page.html", text["title"], text["summary"], content, up)


def _part_names(book: Book) -> list[str]:
    setup, tables = ["setup"] if book.setup["fields"] else [], ["tables"] if book.tables else []
    return ["figures", *setup, "job", "cautions", *tables, "glossary", "help", "emergency"]


def _linked_part(book: Book, lang: str, name: str, links: Links) -> Context:
    words, emergency = book.words(lang), book.texts[lang]["emergency"]
    own = name == "emergency"
    title = emergency["title"] if own else words[f"site_{name}"]
    says = emergency["says"] if own else words[f"site_{name}_says"]
    return {"id": name, "title": title, "says": says, "href": links.to(f"{name}/")}


def _groups(book: Book, lang: str, links: Links) -> list[Context]:
    """The Figures by part, as the list of Figures shows them."""
    texts = book.texts[lang]["figures"]
    return grouped(book, lang, lambda name: short(texts[name], name, "figures", links))
