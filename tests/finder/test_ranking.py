"""The rule of ranking, over a small index that can be followed by hand, and over the real content."""

from __future__ import annotations

import pytest

from webapp.finder.ranking import LIMIT, Ranking, changes

UNITS = {
    "kinds": {"torque": {"title": "torque", "units": ["N·m"]}},
    "units": {"N·m": {"symbol": "N·m", "names": ["Nm", "newton metres"]}},
}


def index(**parts):
    """An index of these parts and nothing else."""
    names = ("figures", "cautions", "tables", "jobs", "help", "glossary")
    empty = {"emergency": ["If it goes wrong", []], **{name: [] for name in names}}
    return Ranking({"kinds": ["torque"], **empty, **parts}, UNITS)


def figure(name, title, summary="", finds=(), labels="", inputs=(), kinds=()):
    return [name, title, summary, list(finds), labels, list(inputs), list(kinds)]


def titles(ranking, query):
    return [entry.title for entry in ranking.find(query, 12).entries]


def test_a_whole_word_comes_before_a_beginning_and_that_before_an_inside():
    ranking = index(figures=[figure("a", "Overflow"), figure("b", "Flowing"), figure("c", "Flow")])
    assert titles(ranking, "flow") == ["Flow", "Flowing", "Overflow"]


def test_a_title_comes_before_labels_and_these_before_a_summary():
    ranking = index(
        figures=[
            figure("a", "One", summary="duty"),
            figure("b", "Two", labels="duty"),
            figure("c", "Duty"),
        ]
    )
    assert titles(ranking, "duty") == ["Duty", "Two", "One"]


def test_a_further_name_counts_as_much_as_the_title():
    ranking = index(figures=[figure("a", "Charge cooler", finds=["intercooler"]), figure("b", "Coolant")])
    assert titles(ranking, "intercooler") == ["Charge cooler"]


def test_words_may_stand_in_any_order_and_all_must_be_held():
    ranking = index(figures=[figure("a", "Fuel pump margin"), figure("b", "Fuel line")])
    assert titles(ranking, "pump fuel") == ["Fuel pump margin"]


def test_where_nothing_holds_all_words_that_which_holds_most_is_found_and_said_to_be_a_part():
    ranking = index(figures=[figure("a", "Fuel pump margin"), figure("b", "Fuel line")])
    found = ranking.find("fuel pump banana", 12)
    assert [entry.title for entry in found.entries] == ["Fuel pump margin"]
    assert not found.whole


@pytest.mark.parametrize("query", ["ft lb", "ft-lb", "ftlb", "FT LB", "lb ft"])
def test_spaces_hyphens_and_capitals_make_no_difference(query):
    ranking = index(figures=[figure("a", "Torque", finds=["ft lb"]), figure("b", "Belt")])
    assert titles(ranking, query) == ["Torque"]


def test_a_figure_is_found_by_the_units_it_takes():
    ranking = index(
        figures=[figure("a", "Clamp", inputs=[[0, "twist", "Twist", 0, 0, 9]]), figure("b", "Belt")]
    )
    assert titles(ranking, "nm") == titles(ranking, "newton metres") == ["Clamp"]


@pytest.mark.parametrize(
    ("query", "is_found"),
    [
        ("torqe", True),  # one letter left out
        ("torquee", True),  # one too many
        ("tirque", True),  # one wrong
        ("tourque", True),
        ("toruqe", True),  # two swapped
        ("trq", False),  # under four letters nothing is forgiven
        ("tirqae", False),  # two changes in six letters
        ("presure raito", True),
    ],
)
def test_a_mistyped_word_is_forgiven_one_change_from_four_letters_up(query, is_found):
    ranking = index(figures=[figure("a", "Torque"), figure("b", "Pressure ratio")])
    assert bool(titles(ranking, query)) == is_found


@pytest.mark.parametrize(
    ("query", "is_found"), [("compresion", True), ("conpresion", True), ("conbresion", False)]
)
def test_two_changes_are_forgiven_from_eight_letters_up(query, is_found):
    assert bool(titles(index(figures=[figure("a", "Compression")]), query)) == is_found


def test_a_mistyped_beginning_is_found_while_it_is_being_typed():
    assert titles(index(figures=[figure("a", "Injector duty")]), "inkect") == ["Injector duty"]


def test_a_size_is_never_taken_for_another():
    ranking = index(tables=[["t", "Table", "", [], "", ["a", "M1000", "b", "2000"]]])
    assert titles(ranking, "2001") == []
    assert not ranking.find("m1001", 12).whole


def test_what_is_typed_right_comes_before_what_is_mistyped():
    ranking = index(
        figures=[figure("a", "Hase", finds=["base"])], glossary=[["word-x", "Elsewhere", "In a chase.", []]]
    )
    # "hase" itself is typed right in the one and stands inside a word of the other; "base" would be one change away.
    assert titles(ranking, "hase") == ["Hase", "Elsewhere"]
    assert titles(ranking, "chas") == ["Elsewhere"]


def test_kinds_decide_between_equals_and_the_order_of_the_index_what_is_then_equal():
    ranking = index(
        figures=[figure("a", "Belt one"), figure("b", "Belt two")],
        glossary=[["word-belt", "Belt three", "", []]],
        tables=[["t", "Belt four", "", [], "", ["r", "Belt five"]]],
    )
    assert titles(ranking, "belt") == ["Belt one", "Belt two", "Belt four", "Belt three", "Belt five"]


def test_a_row_is_found_by_the_words_of_its_table_only_together_with_one_of_its_own():
    ranking = index(tables=[["flare", "Flare", "", ["jic"], "", ["dash-6", "-6", "dash-8", "-8"]]])
    assert titles(ranking, "jic") == ["Flare"]
    assert titles(ranking, "jic -6") == titles(ranking, "jic 6") == titles(ranking, "jic6") == ["-6"]


def test_a_row_leads_to_its_place_in_the_table():
    ranking = index(tables=[["flare", "Flare", "", [], "", ["dash-6", "-6"]]])
    assert ranking.find("-6", 12).entries[0].path == "tables/flare/#row-dash-6"


def test_a_step_is_found_by_what_it_says_after_everything_that_is_called_so_and_leads_to_its_place():
    steps = [["drain", "Drain it into the pan.", ["empty it"]], ["close", "Close the tap.", []]]
    ranking = index(jobs=[["refill", "Coolant", "", ["flush"], steps]], help=[["help/pan/", "Pan", ""]])
    assert titles(ranking, "pan") == ["Pan", "Drain it into the pan."]
    assert ranking.find("tap", 12).entries[0].path == "job/refill/#step-close"
    assert [entry.kind for entry in ranking.find("empty", 12).entries] == ["step"]
    # The words of the job are those of its steps only together with one of their own.
    assert titles(ranking, "flush") == ["Coolant"]
    assert titles(ranking, "flush tap") == ["Close the tap."]


def test_only_so_many_are_shown_but_all_are_counted():
    ranking = index(figures=[figure(f"f{n}", f"Belt {n}") for n in range(30)])
    found = ranking.find("belt", 12)
    assert (found.count, len(found.entries)) == (30, 12)


def test_F27_nothing_behind_the_limit_is_looked_at(finding):
    assert finding.ranking.find("torque " + " " * LIMIT + "banana", 1).whole
    assert finding.answer("torque " * 4000).state == "long"


@pytest.mark.parametrize(
    ("one", "other", "whole", "begun"),
    [
        ("kitten", "sitting", 3, 2),  # a textbook pair of the distance (from memory)
        ("ab", "ba", 1, 1),
        ("torqe", "torque", 1, 1),
        ("", "abc", 3, 0),
        ("inj", "injector", 5, 0),
    ],
)
def test_changes_between_two_words(one, other, whole, begun):
    assert changes(one, other) == (whole, begun)


def test_every_path_of_the_index_is_there_once_and_answers(book, finding):
    paths = [entry.path for entry in finding.ranking.entries]
    assert len(paths) == len(set(paths)) > 900
    folders = {"figures": book.figures, "tables": book.tables, "cautions": book.cautions, "job": book.jobs}
    for folder, names in folders.items():
        assert {f"{folder}/{name}/" for name in names} <= set(paths)
    rows = sum(len(table["rows"]) for table in book.tables.values())
    assert sum("#row-" in path for path in paths) == rows
    steps = sum(len(stage["steps"]) for job in book.jobs.values() for stage in job["stages"])
    assert sum("#step-" in path for path in paths) == steps


def test_everything_is_found_by_its_own_title(finding):
    """Rows may share a title with others, and so may steps; every other thing is among the first twelve for it."""
    for entry in finding.ranking.entries:
        if entry.kind not in ("row", "step"):
            assert entry in finding.ranking.find(entry.title, 12).entries, entry
