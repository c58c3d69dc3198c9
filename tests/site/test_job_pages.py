"""The pages of the job card as the server makes them: readable and printable without scripts; and the phone's module of templates."""

from __future__ import annotations

import base64
import html
import json
import subprocess
from typing import Any

import html5lib
import pytest
from bundle_list import saved_files
from installing import NODE
from page_checks import elements, text_of

PARTS = ("ready", "photo", "new", "apart", "touch")


@pytest.fixture(scope="module")
def jobs(app: Any) -> dict[str, Any]:
    """What the phone's module exports, as a JavaScript engine reads it."""
    site = app.extensions["cowlside"]
    text = site.documents[f"s/{site.release}/js/jobs.en.js"].body.decode()
    module = f"data:text/javascript;base64,{base64.b64encode(text.encode()).decode()}"
    program = f"import {{ JOBS }} from {json.dumps(module)};\nconsole.log(JSON.stringify(JOBS));"
    node = [NODE.find() or "node", "--input-type=module", "-"]
    made: dict[str, Any] = json.loads(
        subprocess.run(node, input=program, capture_output=True, text=True, check=True, timeout=60).stdout
    )
    return made


def tree_of(reader: Any, path: str) -> Any:
    return html5lib.parse(reader.get(f"/en/{path}").text, namespaceHTMLElements=False)


def by_id(tree: Any, name: str) -> Any:
    (found,) = [one for one in tree.iter() if one.get("id") == name]
    return found


def test_the_home_page_has_the_part_and_the_part_lists_every_template_in_order(reader, book):
    assert "../en/job/" in [one.get("href") for one in elements(tree_of(reader, ""), "a")]
    links = [one.get("href") for one in elements(tree_of(reader, "job/"), "a")]
    wanted = [f"../../en/job/{name}/" for name in book.jobs]
    assert [link for link in links if link in wanted] == wanted


def test_components_find_their_places_hidden_until_they_start(reader, book):
    pages = {"job/": "job-list", "job/card/": "job-card", "job/round/": "torque-round"}
    pages |= {f"job/{name}/": "job-make" for name in book.jobs}
    for path, module in pages.items():
        (place,) = [one for one in elements(tree_of(reader, path), "div") if one.get("data-module") == module]
        assert place.get("hidden") is not None, path
        assert path.count("/") == 1 or module != "job-make" or place.get("data-job") == path.split("/")[1]


def test_a_page_without_its_card_says_why_and_leads_to_the_templates(reader, book):
    words = book.words("en")
    for path in ("job/card/", "job/round/"):
        tree = tree_of(reader, path)
        assert words["job_shell_no_script"] in text_of(tree)
        links = [one.get("href") for one in elements(tree, "a")]
        assert all(f"../../../en/job/{name}/" in links for name in book.jobs)


def test_whatever_card_is_asked_for_the_same_page_is_sent(reader):
    plain = reader.get("/en/job/card/").data
    assert reader.get("/en/job/card/?job=%22%3E%3Cb%3E").data == plain
    assert reader.get("/en/job/round/?job=a&round=b").data == reader.get("/en/job/round/").data


def test_a_template_shows_cautions_first_and_every_step_its_own_before_what_to_do(reader, book):
    for name, job in book.jobs.items():
        text = reader.get(f"/en/job/{name}/").text
        first = text.index('class="job-stage"')
        needed = {need for stage in job["stages"] for step in stage["steps"] for need in step["needs"]}
        assert all(text.index(f"cautions/{need}/") < first for need in needed), name
        tree = html5lib.parse(text, namespaceHTMLElements=False)
        for step in (step for stage in job["stages"] for step in stage["steps"]):
            inside = [one for one in by_id(tree, f"step-{step['id']}").iter() if isinstance(one.tag, str)]
            classes = [one.get("class", "") for one in inside]
            links = [one.get("href") or "" for one in inside[: classes.index("job-do")] if one.tag == "a"]
            assert sorted(link.split("/")[-2] for link in links) == sorted(step["needs"]), step["id"]


def test_a_template_says_every_text_of_every_step(reader, book):
    for name in book.jobs:
        tree = tree_of(reader, f"job/{name}/")
        for stage in book.texts["en"]["jobs"][name]["stages"]:
            for text, step in zip(
                stage["steps"],
                book.jobs[name]["stages"][book.texts["en"]["jobs"][name]["stages"].index(stage)]["steps"],
                strict=True,
            ):
                said = text_of(by_id(tree, f"step-{step['id']}"))
                texts = [text["do"], text["note"], *(line for part in PARTS for line in text[part])]
                texts += [*text["manual"], *text["read"], *(end["place"] for end in text["ends"])]
                texts += [text["round"]["label"]] if text["round"] else []
                for one in texts:
                    assert " ".join(html.unescape(one).split()) in said, (name, step["id"], one)


def test_a_box_on_a_page_is_drawn_and_no_control_that_forgets_its_tick(reader, book):
    for name in book.jobs:
        tree = tree_of(reader, f"job/{name}/")
        assert not elements(tree, "input", "form")
        boxes = [one for one in elements(tree, "span") if one.get("class") == "job-box"]
        assert len(boxes) >= sum(len(stage["steps"]) for stage in book.jobs[name]["stages"])
        assert all(one.get("aria-hidden") == "true" for one in boxes)


def test_the_module_holds_every_step_with_sheets_and_figures_and_nothing_empty(jobs, book):
    assert list(jobs) == list(book.jobs)
    for name, job in jobs.items():
        made = [step for stage in job["stages"] for step in stage["steps"]]
        kept = [step for stage in book.jobs[name]["stages"] for step in stage["steps"]]
        assert [step["id"] for step in made] == [step["id"] for step in kept]
        for step, own in zip(made, kept, strict=True):
            assert all(step.values()), step
            assert set(step) <= {
                *(
                    "id",
                    "do",
                    "note",
                    "needs",
                    "gate",
                    "manual",
                    "read",
                    "ends",
                    "closes",
                    "figures",
                    "round",
                ),
                *PARTS,
            }
            for need, sheet in zip(step.get("needs", []), own["needs"], strict=True):
                text = book.texts["en"]["cautions"][sheet]
                assert need == {
                    "id": sheet,
                    "title": text["title"],
                    "signal": book.cautions[sheet]["signal"],
                    "says": text["says"],
                }
            assert step.get("gate", "") == own["gate"]
            for ask in (*step.get("manual", []), *step.get("read", [])):
                assert ask["in"] in book.units["kinds"][ask["kind"]]["units"] and ask["label"]


def test_an_address_in_the_module_is_below_the_language_and_answers(jobs, reader):
    steps = [step for job in jobs.values() for stage in job["stages"] for step in stage["steps"]]
    links = {link["href"] for step in steps for link in step.get("figures", [])}
    assert len(links) > 20
    for link in links:
        assert link.startswith("figures/")
        assert reader.get(f"/en/{link}").status_code == 200


def test_all_of_it_is_saved_on_the_phone(app, reader):
    site = app.extensions["cowlside"]
    saved = {file.path for file in saved_files(reader.get("/sw.js").text, "en")}
    pages = {address for address in site.pages if address.startswith("en/job/")}
    assert len(pages) == 8
    assert pages | {f"s/{site.release}/js/jobs.en.js", f"s/{site.release}/css/job.css"} <= saved
