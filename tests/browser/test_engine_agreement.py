"""F28: phone and server are two engines. Here both are given the same inputs, drawn over every range with
its edges, and must agree.

The phone's side runs in real Chromium from the very module that the site serves.
"""

from __future__ import annotations

import json
import math
import random
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import pytest
from browser.faults import FaultyServer
from playwright.sync_api import Browser, Page

from webapp.book import Book, load_book
from webapp.errors import NoSolution
from webapp.figures.checking import default_givens
from webapp.figures.emit_module import figure_module, units_module
from webapp.figures.model import Figure, Take
from webapp.figures.present import Presenter, present
from webapp.figures.present_sweeps import sweeps_view
from webapp.paths import static_dir

DRAWS = 4_000
# Whole rows of a table go through for each draw.
DRAWS_OF_ROWS = 1_500
# A Figure with a run is worked out at some fifty places for each draw.
DRAWS_OF_A_RUN = 500
# Asked backwards, and typed, of each Figure.
QUESTIONS = 60
# With more inputs than this, numbers from all over their ranges hardly ever fit together.
MANY = 20
RELATIVE = 1e-12
BOOK = load_book()
IDS = list(BOOK.figures)

RUN = """
async ({id, draws}) => {
  const {FIGURE, CHOICES} = await import(`/js/figures/${id}.en.js`);
  const {Calculator} = await import('/js/lib/calculator.js');
  const calculator = new Calculator(FIGURE, CHOICES);
  return JSON.stringify(draws.map((givens) => {
    const {values, refusal, warnings, verdict} = calculator.evaluate(givens);
    return {values: refusal ? {} : values, refusal: refusal && [refusal.reason, refusal.name, refusal.index,
    refusal.limit], warnings, verdict};
  }), (_, value) => (value === Infinity ? "never" : value));
}
"""
SOLVE = """
async ({id, questions}) => {
  const {FIGURE, CHOICES} = await import(`/js/figures/${id}.en.js`);
  const {Calculator} = await import('/js/lib/calculator.js');
  const {NoSolution} = await import('/js/lib/search.js');
  const calculator = new Calculator(FIGURE, CHOICES);
  return questions.map(([unknown, answer, wanted, givens]) => {
    try { return calculator.solve(unknown, answer, wanted, givens); }
    catch (error) { if (!(error instanceof NoSolution)) throw error; return null; }
  });
}
"""
PRESENT = """
async ({id, questions, language}) => {
  const {FIGURE, CHOICES, TEXT, ROW_LABELS} = await import(`/js/figures/${id}.en.js`);
  const {UNITS} = await import('/js/units.js');
  const {Presenter} = await import('/js/lib/present.js');
  const presenter = new Presenter({units: UNITS, choices: CHOICES}, {text: TEXT, rowLabels: ROW_LABELS, ...language}, FIGURE);
  return questions.map(([typed, solve]) => presenter.view(typed, solve));
}
"""
SWEEPS = """
async ({id, questions, language}) => {
  const {FIGURE, CHOICES, TEXT, ROW_LABELS} = await import(`/js/figures/${id}.en.js`);
  const {UNITS} = await import('/js/units.js');
  const {Presenter} = await import('/js/lib/present.js');
  const {sweepsView} = await import('/js/lib/present-sweeps.js');
  const presenter = new Presenter({units: UNITS, choices: CHOICES}, {text: TEXT, rowLabels: ROW_LABELS, ...language}, FIGURE);
  return questions.map(([typed, solve]) => { presenter.view(typed, solve); return sweepsView(presenter); });
}
"""


@pytest.fixture(scope="module")
def page(chromium: Browser, book: Book) -> Iterator[Page]:
    """A blank page of a server that has the phone's modules and nothing else."""

    def app(env: dict[str, Any], start: Any) -> list[bytes]:
        name = env["PATH_INFO"].lstrip("/")
        made = {"js/units.js": lambda: units_module(book)}
        made.update(
            {
                f"js/figures/{one.id}.en.js": partial(figure_module, book, "en", one)
                for one in book.figures.values()
            }
        )
        body = made[name]() if name in made else b"<!doctype html><title>t</title>"
        if name.startswith("js/") and name not in made:
            body = (static_dir() / name).read_bytes()
        start(
            "200 OK",
            [
                ("Content-Type", "text/javascript" if name.endswith(".js") else "text/html"),
                ("Content-Length", str(len(body))),
            ],
        )
        return [body]

    running = FaultyServer(app)
    context = chromium.new_context()
    opened = context.new_page()
    opened.goto(running.origin)
    yield opened
    context.close()
    running.close()


@pytest.mark.parametrize("figure_id", IDS)
def test_F28_phone_and_server_give_the_same_answers(page: Page, book: Book, figure_id: str) -> None:
    figure, calculator = book.figures[figure_id], book.calculator(figure_id)
    draws = list(drawn(book, figure, draws_of(figure)))
    phone = json.loads(page.evaluate(RUN, {"id": figure_id, "draws": draws}))
    answered = 0
    for givens, there in zip(draws, phone, strict=True):
        here = calculator.evaluate(givens)
        refusal = here.refusal and [
            here.refusal.reason,
            here.refusal.name,
            here.refusal.index,
            here.refusal.limit,
        ]
        assert there["refusal"] == refusal, givens
        if refusal:
            continue
        answered += 1
        assert (there["warnings"], there["verdict"]) == (here.warnings, here.verdict), givens
        for name, value in here.values.items():
            assert alike(value, there["values"][name]), (name, value, there["values"][name], givens)
    assert answered > 100, "nearly every draw was refused: the ranges do not fit the Figure"


@pytest.mark.parametrize("figure_id", IDS)
def test_F28_solving_backwards_gives_the_target_and_the_same_on_the_phone(
    page: Page, book: Book, figure_id: str
) -> None:
    """Draw inputs, take the answer, forget one input, ask for that answer: the input found gives it again."""
    figure, calculator = book.figures[figure_id], book.calculator(figure_id)
    questions = []
    for givens in drawn(book, figure, 400):
        if len(questions) >= QUESTIONS:
            break
        outcome = calculator.evaluate(givens)
        if outcome.refusal:
            continue
        for take in figure.takes:
            for give in figure.wantable:
                if take.is_numeric and depends(calculator, take, give.name, givens):
                    start = {**givens, take.name: default_givens(figure)[take.name]}
                    questions.append([take.name, give.name, outcome.values[give.name], start])
    if takes_long(figure):
        questions = some(questions, lambda question: question[0])
    phone = page.evaluate(SOLVE, {"id": figure_id, "questions": questions})
    assert len(questions) > 0
    for (unknown, answer, wanted, givens), there in zip(questions, phone, strict=True):
        here = solved(calculator, unknown, answer, wanted, givens)
        assert here is not None, (unknown, answer, wanted, givens)
        assert abs(calculator.answer(answer, {**givens, unknown: here}) - wanted) <= 1e-6 * max(
            abs(wanted), 1e-12
        ), (unknown, answer)
        assert there is not None and math.isclose(here, there, rel_tol=1e-9, abs_tol=1e-12), (
            unknown,
            answer,
            here,
            there,
        )


@pytest.mark.parametrize("figure_id", IDS)
def test_F22_server_and_phone_print_the_same_characters(page: Page, book: Book, figure_id: str) -> None:
    figure = book.figures[figure_id]
    texts = book.texts["en"]
    language = {"words": texts["words"], "decimal": texts["decimal"]}
    questions = list(typed_questions(book, figure, QUESTIONS))
    if takes_long(figure):
        questions = some(questions, lambda question: question[1])
    phone = page.evaluate(PRESENT, {"id": figure_id, "questions": questions, "language": language})
    for (typed, solve), there in zip(questions, phone, strict=True):
        here = present(book, "en", figure, typed, solve)
        assert json.loads(json.dumps(here)) == there, (typed, solve)
        said = json.dumps(there, ensure_ascii=False)
        assert not any(token in said for token in ("NaN", "Infinity", "undefined", "\u221e")), (typed, solve)


@pytest.mark.parametrize("figure_id", [name for name in IDS if BOOK.figures[name].sweeps])
def test_F22_what_is_drawn_and_its_table_are_alike_on_both_sides(
    page: Page, book: Book, figure_id: str
) -> None:
    figure, texts = book.figures[figure_id], book.texts["en"]
    language = {"words": texts["words"], "decimal": texts["decimal"]}
    questions = list(typed_questions(book, figure, 12))
    if figure.run:
        questions = some(questions, lambda question: question[1])
    phone = page.evaluate(SWEEPS, {"id": figure_id, "questions": questions, "language": language})
    for (typed, solve), there in zip(questions, phone, strict=True):
        presenter = Presenter(book, "en", figure)
        presenter.view(typed, solve)
        assert near(sweeps_view(presenter), there), (typed, solve)


def some(questions: list[Any], about: Callable[[Any], str]) -> list[Any]:
    """Of a Figure that takes long: a question about each thing, and a third as many of all the others, drawn by lot."""
    mixed = random.Random("some").sample(questions, len(questions))
    first = list({about(one): one for one in mixed}.values())
    rest = [one for one in mixed if one not in first]
    return first + rest[: len(first) // 3]


def takes_long(figure: Figure) -> bool:
    """A run or rows of a table are worked out for each question, and a search asks a hundred."""
    return bool(figure.run) or any(give.type == "series" for give in figure.gives)


def near(here: Any, there: Any) -> bool:
    """Whether both are the same texts and, to the last bits, the same numbers."""
    if isinstance(here, dict):
        return here.keys() == there.keys() and all(near(here[key], there[key]) for key in here)
    if isinstance(here, list):
        return len(here) == len(there) and all(map(near, here, there))
    if isinstance(here, float) and there is not None:
        return math.isclose(here, there, rel_tol=1e-9, abs_tol=1e-9)
    return bool(here == there)


def draws_of(figure: Figure) -> int:
    if figure.run:
        return DRAWS_OF_A_RUN
    return DRAWS_OF_ROWS if takes_long(figure) else DRAWS


def drawn(book: Book, figure: Figure, count: int) -> Iterator[dict[str, Any]]:
    """Inputs over every range: the default, each end and a step beyond it, nought, equal values, then draws at random."""
    source = random.Random(figure.id)
    start = default_givens(figure)
    edges = []
    for take in figure.takes:
        if take.is_numeric:
            for value in {
                take.low,
                take.high,
                math.nextafter(take.low, -math.inf),
                math.nextafter(take.high, math.inf),
                0.0,
            }:
                edges.append({**start, take.name: value})
            same = [other.name for other in figure.takes if other.kind == take.kind and other.is_numeric]
            edges.append({**start, **dict.fromkeys(same, start[take.name])})
    yield from [start, *edges]
    for _ in range(count - 1 - len(edges)):
        wide = set(source.sample([take.name for take in figure.takes], min(len(figure.takes), MANY // 5)))
        near = len(figure.takes) > MANY
        yield {
            take.name: draw(book, take, source) if not near or take.name in wide else nearby(take, source)
            for take in figure.takes
        }


def nearby(take: Take, source: random.Random) -> Any:
    """A number within a fifth of the default; of a choice or a curve, the default."""
    if not take.is_numeric or take.type == "count":
        return take.default
    return min(max(take.default * source.uniform(0.8, 1.2), take.low), take.high)


def draw(book: Book, take: Take, source: random.Random) -> Any:
    if take.type == "choice":
        return source.choice(list(book.choices[take.table]))
    if take.type == "points":
        return [[x * source.uniform(0.98, 1.02), y * source.uniform(0.9, 1.1)] for x, y in take.default]
    if take.type == "count":
        return float(source.randint(int(take.low), int(take.high)))
    if take.low > 0 and take.high / take.low > 50 and source.random() < 0.5:
        return take.low * (take.high / take.low) ** source.random()
    return source.uniform(take.low, take.high)


def alike(here: Any, there: Any) -> bool:
    if isinstance(here, list):
        return len(here) == len(there) and all(alike(a, b) for a, b in zip(here, there, strict=True))
    if there == "never":
        return bool(here == math.inf)
    return bool(here == there) or math.isclose(here, there, rel_tol=RELATIVE, abs_tol=1e-300)


def depends(calculator: Any, take: Take, answer: str, givens: dict[str, Any]) -> bool:
    """Whether the answer moves with the input: a question about one that does not has no single answer."""
    value = calculator.answer(answer, givens)
    span = take.high - take.low
    moved = [
        calculator.answer(
            answer, {**givens, take.name: min(max(givens[take.name] + step * span, take.low), take.high)}
        )
        for step in (-0.05, 0.05)
    ]
    if take.type == "count":
        moved = [
            calculator.answer(answer, {**givens, take.name: givens[take.name] + step}) for step in (-1.0, 1.0)
        ]
    return all(math.isnan(other) or abs(other - value) > 1e-9 * abs(value) for other in moved) and not all(
        map(math.isnan, moved)
    )


def solved(calculator: Any, unknown: str, answer: str, wanted: float, givens: dict[str, Any]) -> float | None:
    try:
        found: float = calculator.solve(unknown, answer, wanted, givens)
    except NoSolution:
        return None
    return found


def typed_questions(book: Book, figure: Figure, count: int) -> Iterator[tuple[dict[str, str], str]]:
    """Texts as people type them, good and bad, with and without an unknown."""
    source = random.Random(f"typed {figure.id}")
    numeric = [take for take in figure.takes if take.is_numeric]
    numbers = [
        "0",
        "1",
        "12",
        "8,5",
        "-3",
        "-0",
        "-0,0",
        "1 1/2",
        "0.125",
        "2500",
        "1,234",
        "1e400",
        "",
        "abc",
        "43.5000",
        "12 furlongs",
        "\u0663",
    ]
    yield {}, ""
    yield {"nonsense": "1"}, "nonsense"
    for take in figure.takes:
        yield {take.name: "no such thing"}, ""
    for take in figure.takes:
        if take.type == "points":
            yield {take.name: "\r\n1: 2 \r\n\r\n 3: 4;\r\n5: 6; 7: 8\n"}, ""
    for take in numeric:
        yield {}, take.name
        yield {take.name: "", figure.first.name: "3"}, take.name
    for _ in range(count):
        typed = {}
        for take in source.sample(numeric, source.randint(1, len(numeric))) if numeric else []:
            unit = book.units["units"][source.choice(book.units["kinds"][take.kind]["units"])]
            factor = unit["factor"]
            number = (source.uniform(take.low, take.high) - unit["offset"]) / factor
            text = f"{number:.4g}" if source.random() < 0.8 else source.choice(numbers)
            typed[take.name] = f"{text} {unit['symbol']}" if source.random() < 0.8 else text
        yield typed, source.choice(["", "", numeric[0].name]) if numeric else ""
