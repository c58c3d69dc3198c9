"""Bodies: headings in order, links that lead somewhere, raw HTML shown as text; each mistake with its own line."""

from __future__ import annotations

import re

import pytest

from webapp.content.markdown import line_links, pipe_table, render_body, render_line, without_table
from webapp.errors import Problem

PAGE = "help/typing.md"


def rendered(text: str) -> str:
    problems: list[Problem] = []
    html = render_body("content/page.md", text, 1, problems).html
    assert not problems
    return html


def test_raw_html_is_shown_as_text():
    html = rendered("Before <b onclick=x>bold</b>\n\n<script>alert(1)</script>\n\n<!-- a note -->\n")
    assert "&lt;b onclick=x&gt;bold&lt;/b&gt;" in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html
    assert "&lt;!-- a note --&gt;" in html
    assert "<script" not in html
    assert render_line("a <i>b</i> *c*") == "a &lt;i&gt;b&lt;/i&gt; <em>c</em>"


def test_a_link_that_would_run_a_script_stays_text():
    assert "<a" not in rendered("[press](javascript:alert(1)) [me](data:text/html,x)\n")


def test_a_table_scrolls_by_itself_and_a_keyboard_reaches_it():
    html = render_body("a.md", "| Size & unit | b |\n|---|---|\n| 1 | 2 |\n", 1, []).html
    opening = '<div class="table-scroll" tabindex="0" role="region" aria-label="Size &amp; unit"><table>'
    assert html.startswith(opening) and html.endswith("</table></div>\n")


def test_a_table_without_a_first_head_is_refused():
    problems: list[Problem] = []
    render_body("a.md", "Text.\n\n| | b |\n|---|---|\n| 1 | 2 |\n", 5, problems)
    assert [str(problem) for problem in problems] == [
        "a.md:7: the first head of the table is empty. Write in it what the first column holds."
    ]


def test_tables_lists_and_emphasis_are_rendered():
    html = rendered("| a | b |\n|---|---|\n| 1 | *2* |\n\n- one\n")
    assert "<td><em>2</em></td>" in html
    assert "<li>one</li>" in html


def test_a_heading_of_the_first_level_is_refused_since_the_title_is_one(small):
    small.change(PAGE, "Some text.", "Some text.\n\n# Typing")
    small.expect(
        PAGE,
        "# Typing",
        "a heading of the first level stands in the body. The title is the first heading: begin with ##.",
    )


def test_a_heading_underlined_as_first_level_is_refused_too(small):
    small.change(PAGE, "Some text.", "Some text.\n\nTyping\n======")
    small.expect(
        PAGE,
        "Typing",
        "a heading of the first level stands in the body. The title is the first heading: begin with ##.",
    )


def test_a_heading_out_of_order_is_refused(small):
    small.change(PAGE, "Some text.", "## One\n\n### Two\n\n##### Five\n\n## One again")
    small.expect(PAGE, "##### Five", "the heading jumps from level 3 to 5. Use #### here.")


def test_the_first_heading_is_of_the_second_level(small):
    small.change(PAGE, "Some text.", "Some text.\n\n### Three")
    small.expect(PAGE, "### Three", "the heading jumps from level 1 to 3. Use ## here.")


def test_headings_may_climb_back_any_number_of_levels():
    assert rendered("## a\n### b\n#### c\n## d\n### e\n").count("<h") == 5


def test_a_broken_link_is_named_with_the_line_it_stands_on_inside_its_paragraph(small):
    small.change(
        PAGE, "Some text.", "First line\nsecond line\nthird with a [link](figures/orifise) here\nfourth"
    )
    small.expect(PAGE, "[link]", 'the link "figures/orifise" leads nowhere. Did you mean "figures/orifice"?')


@pytest.mark.parametrize("end", ["  ", "\\"])
def test_hard_line_breaks_count_as_lines_too(small, end):
    small.change(PAGE, "Some text.", f"First line{end}\nthen a [link](cautions/hott)")
    small.expect(PAGE, "[link]", 'the link "cautions/hott" leads nowhere. Did you mean "cautions/hot"?')


def test_a_broken_link_in_a_list_a_quote_and_a_table_has_its_own_line(small):
    small.change(
        PAGE,
        "Some text.",
        "- item\n  [one](help/on)\n\n> [two](help/to)\n\n| a |\n|---|\n| b |\n| [three](help/th) |",
    )
    lines = {problem.split(": ")[0]: problem.split('"')[1] for problem in small.problems()}
    assert lines == {
        f"content/{PAGE}:{small.line(PAGE, mark)}": target
        for mark, target in (("[one]", "help/on"), ("[two]", "help/to"), ("[three]", "help/th"))
    }


def test_a_picture_that_is_not_there_is_a_broken_link(small):
    small.change(PAGE, "Some text.", "![a drawing](drawing.png)")
    assert (
        f'content/{PAGE}:{small.line(PAGE, "drawing")}: the link "drawing.png" leads nowhere.'
        in small.problems()[0]
    )


@pytest.mark.parametrize("key", ["assumes", "sources"])
def test_links_in_assumptions_and_sources_are_followed_too(small, key):
    old = {"assumes": "- A fixed orifice.", "sources": "- Made up for a test."}[key]
    small.change("figures/orifice.md", old, "- See [it](tables/fule).")
    small.expect(
        "figures/orifice.md", "See [it]", 'the link "tables/fule" leads nowhere. Did you mean "tables/fuels"?'
    )


@pytest.mark.parametrize("name", ["emergency.md", "glossary.md", "changes.md", "cautions/hot.md"])
def test_links_of_every_page_are_followed(small, name):
    small.write(name, small.text(name) + "\nA [link](help/nowhere).\n")
    assert (
        f'content/{name}:{small.line(name, "[link]")}: the link "help/nowhere" leads nowhere.'
        in small.problems()[0]
    )


@pytest.mark.parametrize(
    "target",
    [
        "figures/orifice",
        "figures/orifice/",
        "figures/orifice?rail=3+bar",
        "cautions/hot#never",
        "tables/fuels",
        "help/typing",
        *("figures", "cautions", "tables", "help", "glossary", "changes", "emergency"),
        *("#here", "https://example.org/x", "tel:112"),
    ],
)
def test_every_kind_of_page_can_be_linked_to(small, target):
    small.change(PAGE, "Some text.", f"A [link]({target}).")
    assert list(small.book().figures) == ["orifice"]


@pytest.mark.parametrize(
    "target",
    ["//example.org/x", "../figures/orifice", "/figures/orifice/../x", "orifice", "figures/orifice.md"],
)
def test_an_address_that_the_site_does_not_have_is_refused(small, target):
    small.change(PAGE, "Some text.", f"A [link]({target}).")
    assert f'the link "{target}" leads nowhere.' in small.problems()[0]


def test_the_line_of_a_broken_link_below_a_table_is_the_files_own(small):
    small.change("tables/fuels.md", "See [the sheet](cautions/hot)", "See [the sheet](cautions/hottt)")
    small.expect(
        "tables/fuels.md", "hottt", 'the link "cautions/hottt" leads nowhere. Did you mean "cautions/hot"?'
    )


def test_a_table_cut_out_of_a_body_leaves_every_other_line_where_it_was():
    text = "a\n\n| id |\n|---|\n| b |\n\nc\n"
    assert without_table(text).split("\n") == ["a", "", "", "", "", "", "c", ""]
    assert without_table("no table\n") == "no table\n"
    assert pipe_table(text, 10) == [(12, ["id"]), (14, ["b"])]


def test_links_of_one_line_are_those_within_the_content():
    assert line_links("[a](help/a) and [b](https://example.org) and [c](#c)") == ["help/a"]


def test_each_word_of_the_glossary_has_an_address_of_its_own(book):
    body = book.texts["en"]["glossary"]["body"]
    anchors = re.findall(r'<p id="([a-z0-9-]+)"><strong>', body)
    assert len(anchors) == body.count("<p") == len(set(anchors))
    wanted = {
        "clamp-load",
        "proof-load",
        "nut-factor",
        "pitch",
        "engagement",
        "ron",
        "mon",
        "aki",
        "filling",
        "pitch-line",
    }
    assert wanted | {"wrap", "drive-ratio", "effectiveness", "lambda", "e10-e85"} <= set(anchors)


def test_the_words_of_the_glossary_stand_in_the_order_of_the_alphabet(book):
    words = re.findall(r"<strong>(.*?)\.?</strong>", book.texts["en"]["glossary"]["body"])
    plain = [re.sub("[^a-z0-9 ]", "", word.lower()) for word in words]
    assert plain == sorted(plain)


def test_a_link_to_a_word_that_the_glossary_lacks_is_refused(small):
    small.write("glossary.md", "---\ntitle: Words\n---\n**Click wrench.** It clicks.\n")
    small.change("figures/orifice.md", "[the sheet](cautions/hot)", "[a word](glossary#click-wrench)")
    small.book()
    small.change("figures/orifice.md", "glossary#click-wrench", "glossary#click-wench")
    small.expect(
        "figures/orifice.md",
        "glossary#click-wench",
        'the link "glossary#click-wench" leads nowhere. Did you mean "glossary#click-wrench"?',
    )
