"""The `cowlside` command as a person and a script use it."""

from __future__ import annotations

import json
import re
import socket
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from webapp.cli import main


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of a call."""
    try:
        code = main(arguments)
    except SystemExit as stop:
        code = int(stop.code or 0)
    said = capsys.readouterr()
    return code, said.out, said.err


def answered(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    code, out, err = run(capsys, "calc", *arguments, "--json")
    assert (code, err) == (0, "")
    return json.loads(out)


def test_a_figure_is_worked_out_from_typed_inputs(capsys: pytest.CaptureFixture[str]) -> None:
    """310 cc/min at 3 bar, 43.5 psi rail, 8 psi boost: 310 times the root of 35.5/43.511, by hand 280.01."""
    result = answered(
        capsys,
        "injector-flow",
        "rated_flow=310 cc/min",
        "rated_drop=3 bar",
        "rail=43.5 psi",
        "manifold=8 psi",
    )
    flow = result["gives"]["flow"]
    assert flow["value"] == pytest.approx(280.01, abs=0.01)
    assert flow["unit"] == "cc/min"
    assert flow["si"] == pytest.approx(280.01 / 6e7, rel=1e-4)
    assert flow["spread"] > 0
    assert result["figure"] == "injector-flow"
    assert result["refused"] is None
    assert isinstance(result["warnings"], list)


def test_inputs_may_stand_behind_options(capsys: pytest.CaptureFixture[str]) -> None:
    result = answered(
        capsys, "injector-flow", "--solve", "rail", "flow=310 cc/min", "rated_drop=3 bar", "manifold=0 psi"
    )
    assert result["found"]["rail"]["si"] == pytest.approx(300_000)


def test_a_physical_refusal_is_an_answer_with_a_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    result = answered(capsys, "injector-flow", "rail=20 psi", "manifold=30 psi")
    assert result["gives"] == {}
    assert "nothing flows" in result["refused"]


def test_a_number_out_of_range_is_refused_with_the_limit(capsys: pytest.CaptureFixture[str]) -> None:
    assert "150 psi" in answered(capsys, "injector-flow", "rail=200 psi")["refused"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["injector-flow", "rail=abc"], ["Rail pressure", "abc"]),
        (["injector-flow", "rail="], ["Rail pressure", "empty"]),
        (["injector-flow", "rail=1,234 psi"], ["1.234", "1234"]),
        (["injector-flow", "rail=3 N·m"], ["Rail pressure", "torque"]),
        (["injector-flow", "rial=3 bar"], ["rial", "rail"]),
        (["injector-flow", "rail"], ["name", "value unit"]),
        (["injector-flow", "--solve", "rial"], ["rial", "rail"]),
        (["injector-flaw"], ["injector-flaw", "injector-flow"]),
        (["injector-flow", "rail=NaN"], ["Rail pressure"]),
    ],
)
def test_bad_input_exits_2_with_a_sentence(
    capsys: pytest.CaptureFixture[str], arguments: list[str], words: list[str]
) -> None:
    code, out, err = run(capsys, "calc", *arguments, "--json")
    assert (code, out) == (2, "")
    for word in words:
        assert word in err
    assert "Traceback" not in err


def test_describe_lists_takes_and_gives_with_kind_unit_and_range(capsys: pytest.CaptureFixture[str]) -> None:
    described = answered(capsys, "injector-flow", "--describe")
    rail = described["takes"]["rail"]
    assert (rail["kind"], rail["unit"]) == ("gauge pressure", "psi")
    assert (rail["low"], rail["high"]) == pytest.approx((5, 150))
    assert described["gives"]["flow"]["kind"] == "volume flow"


def test_every_figure_answers_on_its_defaults_and_describes_itself(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, book: Any
) -> None:
    """The content is read once for all of them."""
    monkeypatch.setattr("webapp.cli.load_book", lambda: book)
    for figure_id, figure in book.figures.items():
        result = answered(capsys, figure_id)
        assert result["refused"] is None, figure_id
        assert set(result["gives"]) == {give.name for give in figure.gives}
        assert set(answered(capsys, figure_id, "--describe")["takes"]) == {take.name for take in figure.takes}
        assert run(capsys, "calc", figure_id)[0] == 0


def test_check_counts_the_content_by_kind(capsys: pytest.CaptureFixture[str], book: Any) -> None:
    code, out, _ = run(capsys, "check")
    counts = {line.split(maxsplit=1)[1]: int(line.split()[0]) for line in out.splitlines()}
    assert code == 0
    assert counts["figures"] == len(book.figures)
    assert counts["cautions"] == len(book.cautions)
    assert counts["tables"] == len(book.tables)


def test_check_of_a_faulty_folder_exits_1_and_names_every_place(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "figures").mkdir()
    (tmp_path / "figures" / "odd.md").write_text("---\ntitle: Odd\nsumary: x\n---\n", encoding="utf-8")
    code, out, err = run(capsys, "check", str(tmp_path))
    assert (code, out) == (1, "")
    assert 'content/figures/odd.md:3: sumary: unknown key. Did you mean "summary"?' in err
    assert "content/units.md:1: the file is missing." in err


def test_sources_lists_every_figure_with_where_its_checks_come_from(
    capsys: pytest.CaptureFixture[str], book: Any
) -> None:
    code, out, _ = run(capsys, "sources")
    assert code == 0
    for figure_id, figure in book.figures.items():
        assert figure_id in out.splitlines()
        assert all(check.source in out for check in figure.checks)


def test_sources_of_the_cautions_lists_every_sheet_in_order_with_each_source_and_how_it_was_used(
    capsys: pytest.CaptureFixture[str], book: Any
) -> None:
    code, out, _ = run(capsys, "sources", "--cautions")
    assert code == 0
    pages = [page.splitlines() for page in re.split(r"\n(?=\S)", out.strip())]
    listed = {name: [line.split(maxsplit=3) for line in lines] for name, *lines in pages}
    texts = book.texts["en"]
    by_order = sorted(book.cautions, key=lambda name: book.cautions[name]["order"])
    assert list(listed) == [*by_order, "emergency"]
    assert listed["fire"][0] == [
        "read",
        "6",
        "×",
        "US Fire Administration advice, as passed on by fire departments",
    ]
    for name, lines in listed.items():
        sheet = texts["emergency"] if name == "emergency" else texts["cautions"][name]
        assert [(basis, source) for basis, _, _, source in lines] == [
            (s["basis"], s["name"]) for s in sheet["sources"]
        ]
        assert all(int(count) > 0 for _, count, *_ in lines)


def test_every_figure_has_two_checks_from_outside(book: Any) -> None:
    short = [figure_id for figure_id, figure in book.figures.items() if len(figure.checks) < 2]
    assert short == []


def test_export_writes_the_site_and_refuses_a_folder_that_holds_something_else(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    there = tmp_path / "site"
    code, _, _ = run(capsys, "export", str(there))
    assert code == 0
    assert (there / "en" / "figures" / "injector-flow" / "index.html").is_file()
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "letter.txt").write_text("mine", encoding="utf-8")
    code, _, err = run(capsys, "export", str(tmp_path / "other"))
    assert code == 2
    assert (tmp_path / "other" / "letter.txt").read_text(encoding="utf-8") == "mine"
    assert err.strip().endswith(".")


def test_a_port_in_use_is_said_in_a_sentence() -> None:
    """In a process of its own, since a server that never starts leaves its sockets to the end of it."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        command = [sys.executable, "-m", "webapp.cli", "serve", "--port", str(taken.getsockname()[1])]
        done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 2
    assert "Cannot listen on 127.0.0.1" in done.stderr
    assert "Traceback" not in done.stderr
