"""Modules joined into one script. What a joined script does is looked at by running it in Node."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from installing import NODE

from webapp.book import Book
from webapp.config import SettingError, read_settings
from webapp.site import make_site
from webapp.site.assets import FIRST, linker, read_static
from webapp.site.linker import Linker, LinkProblem

PAGE = {
    "js/main.js": 'const PARTS = { a: () => import("./parts/a.js") };\nvoid begin();\nasync function begin() {\n'
    "  const { start } = await PARTS.a();\n  await start();\n}\n",
    "js/parts/a.js": 'import { half, Odd as Uneven } from "../lib/half.js";\nimport { unit } from "../../vendor/unit/unit.js";\n'
    "export async function start() {\n"
    '  const { third } = await import("./third.js");\n  const { WORDS } = await import(`../words.${"en"}.js`);\n'
    "  try {\n    half(3);\n  } catch (error) {\n"
    "    console.log(half(4), third(9), WORDS, unit, error instanceof Uneven, third.Odd === Uneven);\n  }\n}\n",
    "js/parts/third.js": 'import { Odd } from "../lib/half.js";\nexport function third(n) {\n  return n / 3;\n}\nthird.Odd = Odd;\n',
    "js/lib/half.js": "export class Odd extends Error {}\nexport const half = (n) => {\n  if (n % 2) throw new Odd();\n"
    "  return n / 2;\n};\n",
    "js/words.en.js": 'export const WORDS = "words";\n',
    "vendor/unit/unit.js": "const unit = 7;\nexport { unit };\n",
}


def test_a_joined_script_does_what_its_modules_did(tmp_path: Path) -> None:
    """Names, classes and values are the same to a module that stays apart, to a joined one and to a vendored file."""
    found = [ran(tmp_path / name, files) for name, files in (("apart", PAGE), ("joined", joined(PAGE)))]
    assert found == ["2 3 words 7 true true\n"] * 2


def test_what_pages_start_with_is_gone_and_the_rest_stays_apart() -> None:
    assert set(joined(PAGE)) == set(PAGE) - {"js/parts/a.js", "js/lib/half.js"}
    assert joined(PAGE)["vendor/unit/unit.js"] == PAGE["vendor/unit/unit.js"]
    assert joined(PAGE)["js/words.en.js"] == PAGE["js/words.en.js"]


def test_a_script_of_one_language_takes_what_it_needs_from_the_joined_one() -> None:
    made = Linker(PAGE, "js/main.js").apart(
        "js/figures/x.en.js", 'import * as K from "../lib/half.js";\nK.half(2);\n'
    )
    assert made == 'import { piece } from "../main.js";\nconst K = piece("js/lib/half.js");\nK.half(2);\n'


def test_a_script_apart_that_asks_later_for_a_joined_module_is_given_it_too() -> None:
    """A joined module has no file of its own: its address would answer 404."""
    made = Linker(PAGE, "js/main.js").apart(
        "js/parts/late.js", 'const { half } = await import("../lib/half.js");\n'
    )
    assert made == (
        'import { piece } from "../main.js";\n'
        'const { half } = await Promise.resolve().then(() => piece("js/lib/half.js"));\n'
    )


def test_a_name_of_a_type_is_no_import() -> None:
    files = {"js/main.js": '/** @typedef {import("./gone.js").Row} Row */\nconst one = 1;\n'}
    assert 'import("./gone.js").Row' in joined(files)["js/main.js"]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('import a from "./x.js";', 'static/js/main.js: "import a from "./x.js";": write imports as'),
        ('import {\n  a\n} from "./x.js";', 'static/js/main.js: "import {": write imports as'),
        ("export default 1;", "export a function, a class or a const where it is made"),
        ("export let a = 1;", "export a function, a class or a const where it is made"),
        ("export { a };", "export a function, a class or a const where it is made"),
        ("const a = await b();", "a joined module cannot wait while it starts"),
        ("const a = (b) => import(b);", "write what is imported later as a text"),
        ("f(import.meta.url);", "a joined module has no address of its own"),
        ('import { a } from "./gone.js";', "static/js/main.js: imports js/gone.js, which does not exist"),
        ('import { a } from "gone";', 'static/js/main.js: imports "gone". Write the way to the file'),
        (
            'const a = () => import("./gone.js");',
            "static/js/main.js: imports js/gone.js, which does not exist",
        ),
        ('import { b } from "./b.js";', r"in a circle \(js/b.js → js/c.js → js/b.js\)"),
    ],
)
def test_what_cannot_be_joined_is_told_with_its_remedy(text: str, sentence: str) -> None:
    circle = {"js/b.js": 'import { c } from "./c.js";', "js/c.js": 'import { b } from "./b.js";'}
    with pytest.raises(LinkProblem, match=sentence):
        Linker({"js/main.js": text, **circle}, "js/main.js")


def test_our_own_scripts_join(repo: Path) -> None:
    """Each stays the only one of its kind: a class that two scripts know must be one class."""
    made = {"js/units.js": b"export const UNITS = {};\n"}
    scripts = linker(read_static(repo / "static"), made).scripts()
    assert not {"js/lib/number.js", "js/lib/kernel.js", "js/components/figure.js"} & set(scripts)
    assert scripts[FIRST].count("class NumberProblem") == 1


def test_scripts_are_sent_as_they_are_written_where_somebody_wants_to_step_through_them(
    repo: Path, book: Book
) -> None:
    site = make_site(book, {"SCRIPTS": "apart"})
    sent = site.documents[f"s/{site.release}/js/lib/number.js"].body
    assert sent == (repo / "static/js/lib/number.js").read_bytes()
    figure = site.documents[f"s/{site.release}/js/figures/injector-flow.en.js"].body
    assert b'import * as K from "../lib/kernel.js";' in figure
    assert site.release != make_site(book).release
    with pytest.raises(SettingError, match='COWLSIDE_SCRIPTS: "both" is neither "joined" nor "apart"'):
        read_settings(environ={"COWLSIDE_SCRIPTS": "both"})


def joined(files: dict[str, str]) -> dict[str, str]:
    return Linker(
        {name: text for name, text in files.items() if "words" not in name}, "js/main.js"
    ).scripts() | {name: text for name, text in files.items() if "words" in name}


def ran(folder: Path, files: dict[str, str]) -> str:
    """What the scripts print when the first of them is run."""
    for name, text in {**files, "package.json": '{"type": "module"}'}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return subprocess.run(
        [NODE.find() or "node", folder / "js/main.js"], capture_output=True, text=True, check=True, timeout=60
    ).stdout
