"""Front matter: what is no YAML, what is no key, and what has the wrong form stops the build with the line it stands on."""

from __future__ import annotations

import pytest

from webapp.content.front_matter import Document, Mapping, Sequence, Text, read_document
from webapp.errors import ContentError, Problem

FIGURE = "figures/orifice.md"
MEND = "Quote a text that begins with a sign or holds a colon, a comma or a brace."


def read(text: str) -> Document:
    problems: list[Problem] = []
    document = read_document("content/page.md", text, problems)
    assert not problems
    assert document
    return document


def test_every_value_stays_the_text_that_was_written_and_knows_its_line():
    """YAML alone would make false, 750 minutes, 1000.0 and None of these."""
    front = read("---\nno: no\ntime: 12:30\nbig: 1e3\nnothing: ~\nlist:\n  - on\n  - 007\n---\nBody\n").front
    assert {str(key): value for key, value in front.items.items() if isinstance(value, Text)} == {
        "no": "no", "time": "12:30", "big": "1e3", "nothing": "~",
    }  # fmt: skip
    entries = front.items[Text("list", 0)]
    assert isinstance(entries, Sequence)
    assert [(item, item.line) for item in entries.items] == [("on", 7), ("007", 8)]


def test_the_body_knows_the_line_it_starts_on():
    document = read("---\na: b\nc: {d: e}\n---\nFirst\n---\nLast\n")
    assert (document.body, document.body_line) == ("First\n---\nLast\n", 5)
    inner = document.front.items[Text("c", 0)]
    assert isinstance(inner, Mapping)
    assert inner.line == 3


def test_only_a_line_feed_counts_as_the_end_of_a_line():
    """Editors do not count U+2028 or a form feed, so a problem below one must not be a line further down."""
    document = read("---\na: b\n---\nOne\u2028two\x0cthree\n")
    assert document.body == "One\u2028two\x0cthree\n"


def test_windows_line_ends_and_a_byte_order_mark_change_nothing(small):
    text = small.text(FIGURE)
    (small.folder / FIGURE).write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert small.book().figures["orifice"] == small.book().figures["orifice"]
    small.change(FIGURE, "summary:", "sumary:")
    assert f"content/{FIGURE}:{small.line(FIGURE, 'sumary:')}: sumary: unknown key." in small.problems()[-1]


def test_an_unknown_key_is_named_with_the_nearest_known_one(small):
    small.change(FIGURE, "related: []", "relatd: []")
    small.expect(
        FIGURE, "relatd",
        'relatd: unknown key. Did you mean "related"? A text that holds a comma needs quotes.',
    )  # fmt: skip


def test_an_unknown_key_deep_inside_is_named_by_its_whole_path(small):
    small.change(FIGURE, "in: rpm,", "in: rpm, whole: true,")
    with pytest.raises(
        ContentError, match=r"orifice\.md:\d+: takes\.turns\.whole: unknown key\. Allowed here: "
    ):
        small.book()


def test_a_comma_that_cuts_a_text_in_two_is_hinted_at(small):
    small.change(FIGURE, "label: Rated at,", "label: Rated at, in the book,")
    small.expect(
        FIGURE, "Rated at",
        "takes.rated_drop.in the book: unknown key. Allowed here: accuracy, across, from, group, in, kind, label, note, to, value."
        " A text that holds a comma needs quotes.",
    )  # fmt: skip


def test_a_missing_key_is_asked_for_on_the_line_of_what_lacks_it(small):
    small.change(FIGURE, "in: rpm, ", "")
    small.expect(FIGURE, "turns:", 'takes.turns.in: is missing. Add a line "in: …".')


def test_a_missing_key_of_the_file_is_asked_for(small):
    small.change(FIGURE, "part: fuel\n", "")
    small.expect(FIGURE, "title: Orifice", 'part: is missing. Add a line "part: …".')


def test_an_empty_text_is_no_text(small):
    small.change(FIGURE, "part: fuel\n", "part:\n")
    small.expect(FIGURE, "part:", "part: is empty. Write the text behind the colon.")


@pytest.mark.parametrize("list_or_mapping", ["[Orifice, flow]", "{of: Orifice}"])
def test_a_list_or_mapping_where_one_text_belongs_is_refused(small, list_or_mapping):
    small.change(FIGURE, "title: Orifice", f"title: {list_or_mapping}")
    small.expect(
        FIGURE, "title: ",
        "title: should be one text, not a list or a mapping. Write it on one line, in quotes if it holds a comma or colon.",
    )  # fmt: skip


def test_a_text_where_a_list_belongs_is_refused(small):
    small.change(FIGURE, "needs: [hot]", "needs: hot")
    small.expect(FIGURE, "needs: hot", 'needs: should be a list. Write "- …" lines or [a, b].')


def test_a_text_where_a_mapping_belongs_is_refused(small):
    small.change(FIGURE, 'half: {label: A half, kind: ratio, value: "0.5", source: made up}', "half: 0.5")
    problems = small.problems()
    assert 'constants.half: should be a mapping. Write "name: {…}" lines below it.' in problems[0]
    assert f":{small.line(FIGURE, 'half: 0.5')}: " in problems[0]


def test_a_mapping_where_the_text_of_a_list_belongs_is_refused(small):
    small.change(FIGURE, "- A fixed orifice.", "- Assumed: a fixed orifice.")
    small.expect(
        FIGURE,
        "- Assumed",
        'assumes: each entry should be one text. Write "- text" lines, quoted if they hold a colon.',
    )


def test_a_text_where_a_row_belongs_is_refused(small):
    small.change(FIGURE, "related: []", "related: []\nverdict: [it fits]")
    small.expect(FIGURE, "verdict", 'verdict: each entry should be a mapping. Write "- {key: value}" lines.')


@pytest.mark.parametrize("order", ["first", "1.5", "1e3", "１", "1_0", ""])
def test_a_number_that_is_not_whole_digits_is_refused(small, order):
    small.change(FIGURE, "order: 1", f"order: {order}")
    said = (
        f'order: "{order}" is not a whole number. Write digits only.'
        if order
        else "order: is empty. Write the text behind the colon."
    )
    small.expect(FIGURE, "order:", said)


@pytest.mark.parametrize("flag", ["yes", "True", "1", ""])
def test_true_and_false_are_written_so_and_no_other_way(small, flag):
    small.change(FIGURE, "first: true", f"first: {flag}")
    said = small.problems()[-1]
    assert f':{small.line(FIGURE, "first:")}: gives.flow.first: "{flag}" is not known here.' in said


def test_an_empty_list_of_checks_or_sources_is_refused(small):
    small.change(FIGURE, "sources:\n  - Made up for a test.\n", "sources: []\n")
    small.expect(FIGURE, "sources: []", 'sources: is empty. Write "- …" lines below it.')


def test_a_key_that_stands_twice_is_refused(small):
    """A YAML library keeps the last one and says nothing."""
    small.change(FIGURE, "related: []", "title: Another\nrelated: []")
    small.expect(FIGURE, "title: Another", "title: stands twice; only one can count. Remove one of them.")


def test_an_answer_that_stands_twice_is_refused(small):
    small.change(
        FIGURE,
        "refuse:\n",
        "  drop: {label: D, kind: pressure difference, in: kPa, formula: rail - manifold}\nrefuse:\n",
    )
    small.expect(FIGURE, "label: D,", "gives.drop: stands twice; only one can count. Remove one of them.")


@pytest.mark.parametrize(
    "text",
    ["", "Some text without front matter.\n", "---\ntitle: never closed\n", "\n---\ntitle: late\n---\n"],
)
def test_a_file_without_front_matter_is_refused(small, text):
    small.write("help/typing.md", text)
    assert small.problems() == [
        "content/help/typing.md:1: the front matter is missing. Begin the file with a line ---, the keys, and a second line ---."
    ]


@pytest.mark.parametrize("front", ["", "# only a comment\n", "- a\n- list\n", "just words\n"])
def test_front_matter_without_keys_is_refused(small, front):
    small.write("help/typing.md", f"---\n{front}---\nText.\n")
    assert small.problems() == [
        'content/help/typing.md:2: the front matter holds no keys. Write "key: value" lines.'
    ]


YAML_MISTAKES = {
    "a colon in a text": ("title: a\nsummary: b: c\n", 3, "mapping values are not allowed here"),
    "a tab for indenting": (
        "title: a\n\tsummary: b\n",
        3,
        "found character '\\t' that cannot start any token",
    ),
    "a quote never closed, where it was opened": (
        'title: a\nsummary: "b\norder: 1\n',
        3,
        "a quote or bracket is never closed",
    ),
    "a bracket never closed, where it was opened": (
        "title: a\nsigns: [b\n",
        3,
        "a quote or bracket is never closed",
    ),
    "a text behind a quoted one": (
        'title: a\nsummary: "b" c\n',
        3,
        "expected <block end>, but found '<scalar>'",
    ),
    "an alias": ("title: a\nsummary: *a\n", 3, "a text begins with &, * or !"),
    "an anchor, which would vanish": ("title: a\nsummary: &c text\n", 3, "a text begins with &, * or !"),
    "a tag, which would vanish": ("title: a\nsummary: !important text\n", 3, "a text begins with &, * or !"),
    "a tag that makes objects": (
        "title: a\nsummary: !!python/object/apply:os.getcwd []\n",
        3,
        "a text begins with &, * or !",
    ),
    "a control character": ("title: a\nsummary: b\x07\n", 3, "it holds a control character"),
    "a list in itself": ("title: a\nsigns: &x [*x]\n", 3, "a text begins with &, * or !"),
    "very deep nesting": ("title: " + "[" * 3000 + "\n", 2, "it is nested too deep"),
}


@pytest.mark.parametrize("name", YAML_MISTAKES)
def test_what_is_no_yaml_is_refused_with_its_line(small, name):
    front, line, what = YAML_MISTAKES[name]
    small.write("help/typing.md", f"---\n{front}---\nText.\n")
    assert small.problems() == [
        f"content/help/typing.md:{line}: the front matter is not YAML: {what}. {MEND}"
    ]


def test_a_key_that_is_no_word_is_refused(small):
    small.write("help/typing.md", "---\ntitle: a\n? [b]\n: c\n---\n")
    assert "content/help/typing.md:2: a key is not a plain word. Quote it." in small.problems()


def test_a_file_that_is_not_utf_8_is_refused_with_the_line_of_the_byte(small):
    (small.folder / "help/typing.md").write_bytes(b"---\ntitle: a\nsummary: caf\xe9\n---\n")
    assert small.problems() == ["content/help/typing.md:3: the file is not UTF-8. Save it as UTF-8."]


def test_a_file_that_cannot_be_opened_is_named(small):
    (small.folder / "help/away.md").symlink_to(small.folder / "nowhere.md")
    problems = small.problems()
    assert problems == [
        "content/help/away.md:1: the file cannot be read (No such file or directory). Look at its rights, or remove it."
    ]
