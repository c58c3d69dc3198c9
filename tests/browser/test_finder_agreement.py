"""Phone and server find alike: the same entries in the same order, the same quantities, the same sentences."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import pytest
from browser.faults import FaultyServer
from figures.number_material import CASES, REPO
from finder.test_trade_queries import FIRST
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page

from webapp.finder import Finding, index_data
from webapp.finder.fold import MARKS, words_of

ODD = ("", " ", "  x", "...", "-", "#", "1,234 psi", "1/0 in", "5 gal", "13 lb", "330 cc", "20 C", "6 bar", "1 1/8 in", "13 ft lbz", "x" * 70, "−6", "½ in", "Öl", "an6", "jic6", "😀 m8", "injec😀or", "ﬁre", "ΛΑΜ", "λ 0,85", "m8 x 1,25", "\u00a0 inj", "İnj")  # fmt: skip
OPEN = """async ([data, units, words, decimal]) => {
  const { Finding } = await import("/js/lib/finding.js");
  const { wordsOf, MARKS } = await import("/js/lib/fold.js");
  Object.assign(window, { finding: new Finding(data, units, words, decimal), wordsOf, MARKS });
}"""


@pytest.fixture(scope="module", params=[("en", "."), ("de", ",")], ids=["point", "comma"])
def finding(request: pytest.FixtureRequest, book: Any) -> Finding:
    """The server's finder, with either mark of decimals."""
    return Finding(index_data(book, "en"), book.units, book.words("en"), request.param[1])


@pytest.fixture(scope="module")
def page(chromium: Browser, book: Any, finding: Finding) -> Iterator[Page]:
    """A page that holds the phone's finder, made from the same data."""
    server = FaultyServer(REPO / "static")
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{server.origin}/js/lib/finding.js")
    data = finding.quantities.data
    page.evaluate(OPEN, [data, book.units, dict(book.words("en")), finding.quantities.decimal])
    yield page
    context.close()
    server.close()


def differing(page: Page, finding: Finding, queries: list[str]) -> list[Any]:
    """(query, phone's answer, server's answer) wherever these are not the same."""
    found = json.loads(
        page.evaluate("queries => JSON.stringify(queries.map(text => finding.answer(text)))", queries)
    )
    expected = [asdict(finding.answer(query)) for query in queries]
    return [trio for trio in zip(queries, found, expected, strict=True) if trio[1] != trio[2]]


def test_every_query_of_the_trade_and_every_beginning_of_it(page, finding):
    queries = [query[:end] for query in (*FIRST, *ODD) for end in range(len(query) + 1)]
    assert differing(page, finding, list(dict.fromkeys(queries))) == []


@pytest.mark.parametrize("finding", [("en", ".")], indirect=True, ids=["point"])
def test_every_title_and_every_title_with_one_change(page, finding):
    dice = random.Random(3)
    titles = list(dict.fromkeys(entry.title for entry in finding.ranking.entries))
    assert differing(page, finding, [changed(title, dice) for title in titles] + titles[:300]) == []


def changed(text: str, dice: random.Random) -> str:
    """A text with a letter left out, doubled, replaced, or swapped with the next."""
    at = dice.randrange(len(text))
    left, letter, right = text[:at], text[at], text[at + 1 :]
    return dice.choice(
        [left + right, left + 2 * letter + right, left + "q" + right, left + right[:1] + letter + right[1:]]
    )


def test_every_number_of_the_number_reader_s_own_cases(page, finding):
    queries = [case["text"] for case in CASES["quantities"] + CASES["numbers"]]
    assert differing(page, finding, queries) == []


def test_F27_whatever_is_typed(page, finding):
    words = st.sampled_from(sorted(finding.ranking.postings))
    letters = st.text(st.characters(max_codepoint=0x24F, exclude_categories=["Cs", "Cn"]), max_size=12)
    piece = st.one_of(
        words,
        letters,
        words.map(lambda word: word[:3]),
        st.sampled_from(["13", "1/8", "-6", "psi", "ft lb", "cc"]),
    )

    @settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
    @given(st.lists(st.lists(piece, max_size=4).map(" ".join), min_size=1, max_size=20))
    def agree(queries):
        assert differing(page, finding, queries) == []

    agree()


def test_both_part_and_fold_the_words_of_every_text_alike(page, finding):
    texts = [text for entry in finding.ranking.entries for text in (entry.title, entry.about)]
    assert page.evaluate("texts => texts.map(wordsOf)", texts) == [words_of(text) for text in texts]
    assert dict(page.evaluate("[...MARKS]")) == MARKS
