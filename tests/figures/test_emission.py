"""What a formula becomes for the phone and for the reader: the same numbers from the JavaScript, the same meaning from the MathML."""

from __future__ import annotations

import json
import re
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from figures.formula_trees import CONDITIONS, FORMULAS, NAMES, SUMS, VALUES, same
from figures.javascript import evaluated
from figures.one_figure import worked
from hypothesis import given, settings

from webapp.errors import FormulaError
from webapp.figures.emit_js import javascript
from webapp.figures.emit_mathml import mathml, mathml_cases
from webapp.figures.emit_module import figure_module
from webapp.figures.lower import lower
from webapp.figures.model import figure_from_json, to_json
from webapp.figures.parse import Parser, cases, read_tree
from webapp.figures.program import compiled

PARSER = Parser(dict.fromkeys((*NAMES, "drop", "rated_drop", "new_flow")), {"pump": None})


def js(text: str) -> str:
    return javascript(PARSER.expression(read_tree(text)))


def js_condition(text: str) -> str:
    return javascript(PARSER.condition(read_tree(text)))


# -- JavaScript ----------------------------------------------------------------------------------------------


@settings(max_examples=150)
@given(FORMULAS, VALUES)
def test_f28_the_javascript_of_a_formula_gives_what_its_program_gives(tree, values):
    expression = PARSER.expression(read_tree(tree.text))
    assert same(evaluated(javascript(expression), values), compiled(lower(expression))(values)), tree.text


def test_F28_a_condition_that_always_holds_is_one_on_both_sides():
    text = "a if not (b != 2 * a or b == 2 * a) else c"
    expression, values = PARSER.expression(read_tree(text)), {"a": 1.0, "b": 2.0, "c": 3.0}
    assert evaluated(javascript(expression), values) == compiled(lower(expression))(values) == 3


@settings(max_examples=60)
@given(SUMS, VALUES)
def test_f28_the_javascript_of_a_sum_gives_what_its_program_gives(tree, values):
    expression = PARSER.expression(read_tree(tree.text))
    assert same(evaluated(javascript(expression), values), compiled(lower(expression))(values)), tree.text


@settings(max_examples=150)
@given(CONDITIONS, VALUES)
def test_f28_the_javascript_of_a_condition_holds_when_its_program_holds(tree, values):
    condition = PARSER.condition(read_tree(tree.text))
    try:
        made = lower(condition)
    except FormulaError:
        return
    told = javascript(condition)
    assert (told == "true" or bool(evaluated(told, values))) is bool(compiled(made)(values)), tree.text


PRINTED = {
    "a - b": "(v.a + (-v.b))",
    "a / b / c": "((v.a/v.b)/v.c)",
    "a / (b * c)": "(v.a/(v.b*v.c))",
    "2 * a": "(2*v.a)",
    "0.5 * a": "(0.5*v.a)",
    "1e-7 * a": "(1e-07*v.a)",
    "sqrt(a)": "Math.sqrt(v.a)",
    "a ** 0.5": "Math.pow(v.a, 0.5)",
    "a ** 2": "Math.pow(v.a, 2)",
    "abs(a)": "Math.abs(v.a)",
    "floor(a)": "Math.floor(v.a)",
    "ceiling(a)": "Math.ceil(v.a)",
    "log(a)": "Math.log(v.a)",
    "exp(a)": "Math.exp(v.a)",
    "asin(a) + acos(a) + atan(a)": "((Math.asin(v.a) + Math.acos(v.a)) + Math.atan(v.a))",
    "sin(a) + cos(a) + tan(a)": "((Math.sin(v.a) + Math.cos(v.a)) + Math.tan(v.a))",
    "min(a, b)": "Math.min(v.a, v.b)",
    "max(a, b)": "Math.max(v.a, v.b)",
    "pi * a": "(Math.PI*v.a)",
    "angular(a)": "(2*Math.PI*v.a)",
    "difference(a)": "v.a",
    "fuel.density": 'v["fuel.density"]',
    "pump(a)": 'K.curve("pump", v.pump, v.a)',
    "total(k, 1, 3, k * a)": 'K.total(v, "k", 1, 3, (v) => (v.k*v.a))',
    "a if b > 0 else c": "((v.b > 0) ? v.a : v.c)",
    "a if b == 0 else c": "((v.b === 0) ? v.a : v.c)",
    "a if b != 0 else c": "((v.b !== 0) ? v.a : v.c)",
}


@pytest.mark.parametrize("text", PRINTED)
def test_the_javascript_of_each_part_of_a_formula(text):
    assert js(text) == PRINTED[text]


def test_and_or_and_not_keep_their_brackets():
    assert js_condition("(a > 0 or b > 0) and c > 0") == "((v.a > 0) || (v.b > 0)) && (v.c > 0)"
    assert js_condition("not (a > 0 and b > 0)") == "!((v.a > 0) && (v.b > 0))"


def test_a_function_that_javascript_lacks_is_an_error_and_no_comment():
    """The printer of the formula library would print a comment and go on."""
    import sympy

    with pytest.raises(FormulaError, match="has no form in JavaScript"):
        javascript(sympy.gamma(sympy.Symbol("a", real=True)))
    with pytest.raises(FormulaError, match="cannot be computed on the phone"):
        lower(sympy.gamma(sympy.Symbol("a", real=True)))


def test_conditions_a_row_become_nested_choices():
    rows = [
        (PARSER.condition(read_tree("a > 2")), PARSER.expression(read_tree("b"))),
        (PARSER.condition(read_tree("a > 1")), PARSER.expression(read_tree("c"))),
    ]
    made = cases(rows, PARSER.expression(read_tree("0")))
    assert javascript(made) == "((v.a > 2) ? v.b : (v.a > 1) ? v.c : 0)"
    assert lower(made) == [
        "case",
        [[[">", ["name", "a"], 2], ["name", "b"]], [[">", ["name", "a"], 1], ["name", "c"]]],
        0,
    ]


# -- MathML --------------------------------------------------------------------------------------------------
#
# Read back as a person reads it: brackets, fractions, roots and powers group, nothing else does; words and signs stand in the
# order in which they are met. Python's own precedence then says what was read.

SIGNS = {
    "·": "*",
    "−": "-",
    "+": "+",
    "(": "(",
    ")": ")",
    "=": "==",
    "≠": "!=",
    "<": "<",
    ">": ">",
    "≤": "<=",
    "≥": ">=",
    ",": ",",
}
WORDS = {
    "{math_if}": " if ",
    "{math_else}": " else ",
    "{math_and}": " and ",
    "{math_or}": " or ",
    "{math_not}": " not ",
}


def read_back(element: ElementTree.Element) -> str:
    """The text of a formula, from its MathML."""
    parts = [read_back(child) for child in element]
    if element.tag == "mfrac":
        return f"(({parts[0]})/({parts[1]}))"
    if element.tag == "msup":
        return f"{parts[0]}**({parts[1]})"
    if element.tag == "msqrt":
        return f"sqrt({''.join(parts)})"
    text = (element.text or "").strip()
    if element.tag == "mi":
        return element.get("data-symbol") or {"π": "pi"}.get(text, text)
    if element.tag == "mo":
        return SIGNS[text]
    return WORDS.get(text, text) + "".join(parts)


def reading_of(markup: str) -> str:
    return read_back(ElementTree.fromstring(markup))


@settings(max_examples=150)
@given(FORMULAS, VALUES)
def test_a_formula_read_off_its_mathml_gives_the_same_number(tree, values):
    text = reading_of(mathml("", read_tree(tree.text)))
    again = PARSER.expression(read_tree(text))
    with np.errstate(all="ignore"):
        expected = tree.value(values)
    assert same(compiled(lower(again))(values), expected), (tree.text, text)


@settings(max_examples=150)
@given(CONDITIONS, VALUES)
def test_a_condition_read_off_its_mathml_holds_for_the_same_numbers(tree, values):
    text = reading_of(mathml("", read_tree(tree.text)))
    try:
        made = lower(PARSER.condition(read_tree(text)))
    except FormulaError:
        assert not tree.value(values)
        return
    assert bool(compiled(made)(values)) is bool(tree.value(values)), (tree.text, text)


READ_BACK = {
    "drop - (a + b)": "drop-(a+b)",
    "drop - -a": "drop-(-a)",
    "drop + -a": "drop+(-a)",
    "+a": "a",
    "(a if b > 0 else c) + 1": "(a if b>0 else c)+1",
    "a if b > 0 and (c > 0 or a > 0) else c": "a if b>0 and (c>0 or a>0) else c",
    "angular(a) ** 2": "(2*pi*a)**(2)",
    "(a / b) ** 2": "(((a)/(b)))**(2)",
    "difference(a) / 2": "((a)/(2))",
    "difference(a - b) * 2": "(a-b)*2",
    "pump(a)": "pump(a)",
    "min(a, b)": "min(a,b)",
}


@pytest.mark.parametrize("text", READ_BACK)
def test_mathml_has_the_brackets_that_a_reader_needs_and_no_other(text):
    assert reading_of(mathml("", read_tree(text))) == READ_BACK[text]


def test_a_sum_is_drawn_with_its_bounds_and_in_brackets_where_more_follows():
    markup = mathml("", read_tree("total(k, 1, 3, k + a) * b"))
    found = ElementTree.fromstring(markup)
    bounds = found.find(".//munderover")
    assert bounds is not None
    assert ["".join(part.itertext()) for part in bounds] == ["∑", "k=1", "3"]
    assert "".join(found.itertext()) == "(∑k=13(k+a))·b"


def test_every_symbol_says_which_number_belongs_into_its_place():
    markup = mathml("new_flow", read_tree("rated_drop * sqrt(drop / rated_drop) * fuel.density"))
    found = ElementTree.fromstring(markup)
    symbols = [(each.get("data-symbol"), each.text) for each in found.iter("mi")]
    assert symbols == [
        ("new_flow", "new flow"), ("rated_drop", "rated drop"), ("drop", "drop"), ("rated_drop", "rated drop"), ("fuel.density", "fuel density"),
    ]  # fmt: skip
    assert found.tag == "math"


def test_rows_with_conditions_are_drawn_one_below_the_other():
    rows = [(read_tree("a > 1"), read_tree("b")), (None, read_tree("c"))]
    found = ElementTree.fromstring(mathml_cases("drop", rows))
    assert ["".join(row.itertext()) for row in found.iter("mtr")] == ["b{math_if}a>1", "c{math_else}"]


# -- the record and the module -------------------------------------------------------------------------------

EVERYTHING = """
takes:
  boost: {label: B, kind: gauge pressure, in: psi, value: 8, from: -14, to: 40, accuracy: 2 % of 30 psi}
  site: {label: S, kind: site pressure, in: kPa, value: 100, from: 60, to: 110, accuracy: 1 %}
  threads: {label: N, kind: count, in: ×1, value: 4, from: 1, to: 9}
  fuel: {label: F, choose: fuels, value: petrol}
  thickness: {label: D, kind: density, in: kg/m³, value: fuel.density, from: 600, to: 900}
  pump: {label: P, kind: volume flow, in: L/h, from: 0, to: 300, method: monotone, points: ['0: 255', '300: 190', '600: 20'], across: {label: At, kind: gauge pressure, in: kPa, from: 0, to: 600}}
constants:
  k: {label: K, kind: ratio, value: "0.2857", source: made up}
gives:
  ratio: {label: R, kind: ratio, in: ×, formula: (boost + site) / site, first: true}
  flow: {label: Q, kind: volume flow, in: L/h, formula: pump(boost)}
  balance: {label: X, kind: ratio, in: ×, equation: balance ** k == twice, from: 1, to: 99, where: {twice: 2 * ratio}}
  told: {label: T, words: [{when: ratio > 2, say: much}, {say: little}]}
  rows: {label: Rows, over: n, from: 1, to: threads, each: Row, columns: {size: {label: S, kind: ratio, in: ×, formula: n * ratio}}}
  part: {label: C, kind: ratio, in: ×, cases: [{when: ratio > 2, is: ratio / 2}, {is: ratio}]}
refuse: [{when: boost + site <= 0, say: "No air at {boost}."}]
warn: [{when: ratio > 2, say: "{ratio} is much."}]
verdict: [{when: ratio > 3, level: stop, say: Stop.}, {level: ok, say: Fine.}]
remedies: [{solve: boost, for: ratio, equals: "2", when: ratio > 2, say: "Set {boost}."}]
sweeps: [{over: boost, from: boost, to: boost, draw: [ratio]}]
"""
FUELS = """---
title: F
summary: S
order: 1
columns: {name: {label: N}, density: {label: D, kind: density, in: kg/m³}}
sources: [Made up.]
---
| id | name | density |
|---|---|---|
| petrol | Petrol | 740 |
| open | Open | — |
"""  # fmt: skip


def everything() -> Any:
    return worked(EVERYTHING, fuels=FUELS)


def test_a_compiled_figure_comes_back_from_json_as_it_was():
    """A cached Book computes without the formula library: nothing of a Figure may be lost on the way."""
    figure = everything().figure
    assert figure_from_json(json.loads(json.dumps(to_json(figure)))) == figure


def test_a_compiled_figure_holds_no_object_of_a_library():
    json.dumps(to_json(everything().figure), allow_nan=False)


def test_the_same_text_compiles_to_the_same_bytes():
    assert json.dumps(to_json(everything().figure)) == json.dumps(to_json(everything().figure))


def test_the_module_of_a_figure_is_the_same_bytes_every_time_and_names_its_file(book):
    for figure in book.figures.values():
        module = figure_module(book, "en", figure)
        assert module == figure_module(book, "en", figure)
        start = f'// {figure.file}\nimport * as K from "../lib/kernel.js";\nexport const FIGURE = {{id:{json.dumps(figure.id)}'
        assert module.decode().startswith(start)


def test_every_formula_of_the_shipped_figures_can_be_read_as_javascript(book):
    """Formulas with a curve need the phone's kernel; every other is read here by the language's rules."""
    read = 0
    for figure in book.figures.values():
        for give in figure.gives:
            if give.formula and "K.curve" not in give.formula.js:
                names = dict.fromkeys([*give.formula.names, *(name for name, _ in give.where)], 1.5)
                float(evaluated(give.formula.js, names))
                read += 1
    assert read >= len(book.figures)


def test_no_formula_of_the_shipped_figures_could_end_its_script(book):
    for figure in book.figures.values():
        text = figure_module(book, "en", figure).decode()
        assert "</script" not in text.lower()
        assert not re.search(r"[\u2028\u2029]", text)
