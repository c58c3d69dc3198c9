"""README.md and DEVELOPERS.md say what is so: every key of a content file, the example, every file named.
Commands, settings and dependencies are looked at in test_project.py."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from webapp.binding import build_book
from webapp.content.job_records import ASKS, LISTS
from webapp.figures.parse import FUNCTIONS
from webapp.paths import content_dir


def test_the_developers_guide_names_every_key_and_function_of_a_figures_file(repo: Path) -> None:
    guide = (repo / "DEVELOPERS.md").read_text(encoding="utf-8")
    reader = (repo / "webapp" / "content" / "figure_file.py").read_text(encoding="utf-8")
    keys = set(
        re.findall(
            r'(?:text|texts|named|section|sections|one_of|flag|integer|_pairs)\((?:entry, |row, )?"(\w+)"',
            reader,
        )
    )
    words = set(re.findall(r"\w+", guide))
    assert len(keys) > 30
    assert sorted(keys - words) == []
    assert sorted(set(FUNCTIONS) - words) == []


def test_the_developers_guide_names_every_key_of_a_template(repo: Path) -> None:
    guide = (repo / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = guide.partition("## Keys of a job's template")[2].partition("\n## ")[0]
    reader = (repo / "webapp" / "content" / "job_file.py").read_text(encoding="utf-8")
    keys = set(
        re.findall(
            r'(?:text|texts|section|sections|one_of|integer|_once|_kinds)\((?:entry, )?"(\w+)"', reader
        )
    )
    assert len(keys) > 15
    assert sorted({*keys, *LISTS, *ASKS, "finds"} - set(re.findall(r"\w+", section))) == []


def test_the_figure_in_the_readme_is_a_figure(repo: Path, tmp_path: Path) -> None:
    example = re.search(r"```markdown\n(.*?)```", (repo / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    assert example
    folder = tmp_path / "content"
    shutil.copytree(content_dir(), folder)
    (folder / "figures" / "example.md").write_text(example[1], encoding="utf-8")
    assert "example" in build_book(folder).figures


def test_pictures_and_files_named_in_the_docs_exist(repo: Path) -> None:
    for name in ("README.md", "DEVELOPERS.md"):
        text = (repo / name).read_text(encoding="utf-8")
        for target in re.findall(r"\]\((?!#|https?:)([^)]+)\)", text):
            assert (repo / target).exists(), (name, target)
        for target in re.findall(r"`((?:tests|webapp|static|content)/[\w./-]*\w)`", text):
            assert (repo / target).exists(), (name, target)
