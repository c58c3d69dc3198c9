"""The pages of sources: what each Figure and each caution stands on, made from the Book, the same lists that the command prints."""

from __future__ import annotations

import re
from typing import Any

import brotli
import html5lib
import pytest
from bundle_list import saved_files
from page_checks import elements, text_of

from webapp.cli import main

ADDRESS, CAUTIONS = "/en/help/sources/", "/en/help/caution-sources/"
# How a source is known stands in its own words; or a link leads to the table or sheet that says so.
BASIS = re.compile(
    r"\bread\b|\bseen\b|memory|comput|by hand|\bworked\b|definition|integrated|no source|href=\"(tables|cautions)/"
)


def squeezed(text: str) -> str:
    return " ".join(text.split())


def test_every_figure_stands_there_with_each_of_its_sources_and_of_its_checks(reader: Any, book: Any) -> None:
    page = html5lib.parse(reader.get(ADDRESS).text, namespaceHTMLElements=False)
    shown = squeezed(text_of(page))
    for name, figure in book.figures.items():
        assert book.texts["en"]["figures"][name]["title"] in shown
        for check in figure.checks:
            assert squeezed(check.source) in shown, name
    items = [squeezed(text_of(one)) for one in elements(page, "li")]
    sources = [line for name in book.figures for line in book.texts["en"]["figures"][name]["sources"]]
    plain = [squeezed(text_of(html5lib.parse(line, namespaceHTMLElements=False))) for line in sources]
    assert set(plain) <= set(items)


def test_the_page_and_the_command_hold_the_same_list(
    reader: Any, book: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    page = html5lib.parse(reader.get(ADDRESS).text, namespaceHTMLElements=False)
    main_part = next(one for one in elements(page, "main"))
    shown = [squeezed(text_of(one)) for one in elements(main_part, "li")]
    assert main(["sources"]) == 0
    printed = [squeezed(line) for line in capsys.readouterr().out.splitlines() if line.startswith("    ")]
    # The page groups by part, the command goes by number.
    assert sorted(printed) == sorted(shown)


def test_each_line_says_how_it_is_known(book: Any) -> None:
    lines = [(name, check.source) for name, figure in book.figures.items() for check in figure.checks]
    lines += [(name, line) for name, text in book.texts["en"]["figures"].items() for line in text["sources"]]
    assert [line for line in lines if not BASIS.search(line[1])] == []


def test_the_help_list_leads_there_and_the_phone_keeps_it(reader: Any) -> None:
    assert 'href="../../en/help/sources/"' in reader.get("/en/help/").text
    worker = reader.get("/sw.js").text
    assert ADDRESS.lstrip("/") in {file.path for file in saved_files(worker, "en")}


def test_it_is_grouped_by_part_as_the_list_of_figures_is(reader: Any) -> None:
    def headings(address: str) -> list[str]:
        page = html5lib.parse(reader.get(address).text, namespaceHTMLElements=False)
        return [text_of(one) for one in elements(page, "h2")]

    assert headings(ADDRESS) == headings("/en/figures/")


# -- of the caution sheets ----------------------------------------------------------------------------------------------------------


def sheets_of(book: Any) -> dict[str, Any]:
    """Every sheet's text and that of the page 'If it goes wrong', by the names that the command prints."""
    texts = book.texts["en"]
    return {**texts["cautions"], "emergency": texts["emergency"]}


def test_the_page_of_the_cautions_and_the_command_hold_the_same_list(
    reader: Any, book: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    page = html5lib.parse(reader.get(CAUTIONS).text, namespaceHTMLElements=False)
    main_part = next(one for one in elements(page, "main"))
    words = book.words("en")
    shown: dict[str, list[str]] = {}
    for one in elements(main_part, "h2", "li"):
        if one.tag == "h2":
            here = shown.setdefault(one.get("id", ""), [])
        else:
            here.append(squeezed(text_of(one)))
    assert main(["sources", "--cautions"]) == 0
    printed: dict[str, list[str]] = {}
    rows: list[str] = []
    for line in capsys.readouterr().out.splitlines():
        if line.startswith(" "):
            basis, count, _, name = line.split(maxsplit=3)
            rows.append(squeezed(f"{name}: {words[f'basis_{basis}']}. Statements: {count}"))
        else:
            rows = printed.setdefault(line, [])
    assert printed == shown
    assert list(printed) == [
        *sorted(book.cautions, key=lambda name: book.cautions[name]["order"]),
        "emergency",
    ]


def test_every_statement_of_every_sheet_stands_on_a_source_that_is_listed(book: Any) -> None:
    for name, text in sheets_of(book).items():
        numbers = {source["number"] for source in text["sources"]}
        for part in text["sections" if name != "emergency" else "parts"]:
            for statement in part["statements"]:
                assert statement["sources"], (name, statement["say"])
                assert set(statement["sources"]) <= numbers, (name, statement["say"])


def test_the_list_of_sheets_and_the_help_lead_to_the_sources_of_the_cautions(reader: Any) -> None:
    for address in ("/en/cautions/", "/en/help/"):
        assert 'href="../../en/help/caution-sources/"' in reader.get(address).text


def test_it_costs_the_offline_copy_little(reader: Any) -> None:
    """Alone, without what it shares with the Figures' pages, it must not cost more than 15 KB."""
    assert len(brotli.compress(reader.get(ADDRESS).data, quality=11)) <= 15_000
