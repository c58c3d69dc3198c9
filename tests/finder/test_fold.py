"""Texts as the finder compares them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.finder.fold import pairs_of, phrase_of, words_of


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Ft-Lb", ["ft", "lb"]),
        ("lbf·ft", ["lbf", "ft"]),
        ("M8×1,25", ["m8", "1.25"]),
        ("m8 x 1.25", ["m8", "1.25"]),
        ("3/8-24 UNF", ["3/8", "24", "unf"]),
        ("1 1/8 in", ["1", "1/8", "in"]),
        ("1⅛", ["11/8"]),
        ("-6", ["-6"]),
        ("AN -6", ["an", "-6"]),
        ("an-6", ["an", "-6"]),
        ("−6", ["-6"]),
        ("#10-32", ["#10", "32"]),
        ("λ 0.85", ["lambda", "0.85"]),
        ("Öl Düse Straße", ["ol", "duse", "strasse"]),
        ("caña, ÉTÉ", ["cana", "ete"]),
        ("37° (J514)", ["37", "j514"]),
        ("cc/min", ["cc", "min"]),
        ("mm²", ["mm2"]),
        ("Ω·m", ["ohm", "m"]),
        ("… ” /.,-#", []),
        ("", []),
    ],
)
def test_what_is_one_word(text, words):
    assert words_of(text) == words


def test_neighbours_count_as_one_word_too():
    assert pairs_of(["ft", "lb", "torque"]) == ["ftlb", "lbtorque"]
    assert pairs_of(["ft"]) == []


def test_a_phrase_is_the_same_in_any_order_but_two_sizes_stay_two():
    assert phrase_of(words_of("lb ft")) == phrase_of(words_of("ft-lb")) == phrase_of(["ftlb"])
    assert phrase_of(words_of("1 1/8 in")) != phrase_of(words_of("11/8 in"))


@given(st.text())
def test_words_fold_to_themselves(text):
    words = words_of(text)
    assert all(words)
    assert words_of(" ".join(words)) == [part for word in words for part in words_of(word)]
