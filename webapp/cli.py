"""The `cowlside` command: serve, check, calc, export. Thin: it reads arguments, calls, prints and gives an exit code.

Exit codes: 0 done (a calculation that is refused is an answer too), 1 content with problems, 2 bad input.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections.abc import Sequence
from html import unescape
from pathlib import Path
from typing import Any

from .book import Book, load_book
from .errors import ContentError, Told, UnknownFigure, did_you_mean

LANGUAGE = "en"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; returns its exit code."""
    parser = _parser()
    options, behind = parser.parse_known_args(arguments)
    if behind and (not hasattr(options, "inputs") or any(text.startswith("-") for text in behind)):
        parser.error(f"not understood: {' '.join(behind)}")
    if behind:
        # Inputs may stand behind options too, which the library's own reading of a list does not allow.
        options.inputs = [*options.inputs, *behind]
    try:
        code: int = options.run(options)
    except ContentError as error:
        print(error, file=sys.stderr)
        return 1
    except Told as error:
        return _bad(str(error))
    except BrokenPipeError:
        # The reader of our output (head, less) has gone; that is no error.
        sys.stderr.close()
        return 0
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="cowlside", description="Figures, cautions and tables for fitting a belt-driven blower at home."
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    serve = commands.add_parser("serve", help="start the app and print its address")
    serve.add_argument(
        "--host",
        default="127.0.0.1",
        help="address to listen on; 0.0.0.0 lets a phone on the same network in",
    )
    serve.add_argument("--port", type=int, default=8000, help="port to listen on; 0 takes a free one")
    serve.set_defaults(run=_serve)
    check = commands.add_parser("check", help="check every content file and count them by kind")
    check.add_argument("folder", nargs="?", type=Path, help="content folder (default: the app's own)")
    check.set_defaults(run=_check)
    calc = commands.add_parser("calc", help="work out one Figure")
    calc.add_argument("figure", help="its name, such as injector-flow")
    calc.add_argument(
        "inputs", nargs="*", metavar='name="value unit"', help="inputs; the others stand at their defaults"
    )
    calc.add_argument(
        "--solve", default="", metavar="NAME", help="find this input; give the wanted answer as name=value"
    )
    calc.add_argument("--json", action="store_true", help="print one JSON object")
    calc.add_argument("--describe", action="store_true", help="list what the Figure takes and gives")
    calc.set_defaults(run=_calc)
    sources = commands.add_parser("sources", help="list each Figure with its sources and those of its checks")
    sources.add_argument(
        "--cautions",
        action="store_true",
        help="list each caution sheet with its sources and how they were used",
    )
    sources.set_defaults(run=_sources)
    export = commands.add_parser("export", help="write the whole site as static files")
    export.add_argument("folder", type=Path, help="folder to write; new, empty or an earlier export")
    export.add_argument(
        "--prefix",
        default="",
        help="path below which the host serves it, such as /club/; only 404.html needs it",
    )
    export.set_defaults(run=_export)
    return parser


def _serve(options: argparse.Namespace) -> int:
    from .serving import serve

    return serve(options.host, options.port)


def _check(options: argparse.Namespace) -> int:
    from .binding import build_book
    from .paths import content_dir

    book = build_book(options.folder or content_dir())
    texts = book.texts[LANGUAGE]
    counts = {
        "figures": len(book.figures),
        "cautions": len(book.cautions),
        "tables": len(book.tables),
        "help pages": len(texts["pages"]),
        "job templates": len(book.jobs),
        "steps": sum(len(stage["steps"]) for job in book.jobs.values() for stage in job["stages"]),
    }
    counts.update(
        {"kinds": len(book.units["kinds"]), "units": len(book.units["units"]), "words": len(texts["words"])}
    )
    counts["checks"] = sum(len(figure.checks) for figure in book.figures.values())
    for kind, count in counts.items():
        print(f"{count:5} {kind}")
    return 0


def _calc(options: argparse.Namespace) -> int:
    from .figures.answer import BadInput, answer, describe

    book = load_book()
    try:
        if options.describe:
            _print_description(describe(book, LANGUAGE, options.figure), options.json)
            return 0
        result = answer(book, LANGUAGE, options.figure, _typed(options.inputs), options.solve)
    except BadInput as error:
        return _bad(str(error))
    except UnknownFigure as error:
        return _bad(f'There is no Figure "{error.name}". {did_you_mean(error.name, book.figures)}')
    if options.json:
        print(json.dumps(result, ensure_ascii=False))
    else:
        _print_answer(book, result)
    return 0


def _typed(inputs: Sequence[str]) -> dict[str, str]:
    from .figures.answer import BadInput

    typed = {}
    for text in inputs:
        name, equals, value = text.partition("=")
        if not equals:
            raise BadInput(
                f'"{text}" is no input. Write it as name="value unit", for example rail="43.5 psi".'
            )
        typed[name.strip()] = value
    return typed


def _bad(sentence: str) -> int:
    print(sentence, file=sys.stderr)
    return 2


def _print_answer(book: Book, result: dict[str, Any]) -> None:
    if result["refused"]:
        print(result["refused"])
    for name, entry in (result["found"] or {}).items():
        print(f"{name} = {entry['value']:.6g} {entry['unit']}")
    shown = [give.name for give in book.figures[result["figure"]].gives if give.shown or give.first]
    for entry in (result["gives"][name] for name in shown if name in result["gives"]):
        value = entry["value"]
        text = (
            f"{value:.6g} {entry['unit']}"
            if isinstance(value, float)
            else value
            if isinstance(value, str)
            else json.dumps(value)
        )
        spread = f"  ± {entry['spread']:.2g}" if entry["spread"] else ""
        print(f"{entry['label']}: {text.strip()}{spread}")
    verdict = [result["verdict"]["text"]] if result["verdict"] else []
    for line in [*verdict, *result["warnings"], *result["remedies"], result["estimate"]]:
        if line:
            print(line)


def _print_description(description: dict[str, Any], as_json: bool) -> None:
    if as_json:
        print(json.dumps(description, ensure_ascii=False))
        return
    print(description["title"])
    for name, take in description["takes"].items():
        span = (
            f"{take['low']:g} to {take['high']:g} {take['unit']}"
            if "low" in take
            else ", ".join(take.get("rows", ["points"]))
        )
        print(f"  takes {name}: {take['label']} ({span})")
    for name, give in description["gives"].items():
        print(f"  gives {name}: {give['label']} ({give['unit'] or give['type']})")


def _sources(options: argparse.Namespace) -> int:
    from .figures.sources import sources_of

    book = load_book()
    if options.cautions:
        _print_caution_sources(book)
        return 0
    for figure_id in book.figures:
        formulas, checks = sources_of(book, LANGUAGE, figure_id)
        print(figure_id)
        for source in (*map(_plain, formulas), *checks):
            print(f"    {source}")
    return 0


def _print_caution_sources(book: Book) -> None:
    """Each sheet, the page 'if it goes wrong' last, with its sources: basis, how many statements stand on it, name."""
    from .caution_sources import caution_sources

    for name, sources in caution_sources(book, LANGUAGE):
        print(name)
        for source in sources:
            print(f"    {source.basis:8} {source.statements:3} × {source.name}")


def _plain(html: str) -> str:
    """A line of a page without its marks."""
    return unescape(re.sub(r"<[^>]*>", "", html))


def _export(options: argparse.Namespace) -> int:
    from .site.export import export

    count = export(load_book(), options.folder, options.prefix)
    print(f"{count} files written to {options.folder}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
