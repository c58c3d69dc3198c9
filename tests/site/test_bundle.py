"""Which files a phone saves, what may not be among them, and the text of the worker that saves them."""

from __future__ import annotations

import base64
import hashlib
import json
import re

import pytest

from webapp.site.bundle import (
    HASH_LENGTH,
    BundledFile,
    BundleProblem,
    as_kept,
    make_bundle,
    media_type,
    sha256_base64,
    worker_source,
)
from webapp.site.manifest import manifest

HTML, CSS, JS = "text/html; charset=utf-8", "text/css", "Text/JavaScript; charset=utf-8"
OWN = {
    "en/": (b"home", HTML),
    "de/": (b"Start", HTML),
    "en/manifest.webmanifest": (b"{}", "application/manifest+json"),
    "s/r1/js/words.de.js": (b"export {}", JS),
}
SHARED = {"s/r1/css/base.css": (b"p{}", CSS)}
TEMPLATE = "// before\nconst BUNDLE = { release: '' };\n// after\n"
WORDS = {f"offline_app_{name}": name for name in ("name", "short_name", "description")}


def bundle(own=OWN, shared=SHARED, release="r1", languages=("en", "de"), **more):
    return make_bundle(own, shared, release, languages, **more)


def problems(**change):
    """The sentences with which a bundle is refused."""
    with pytest.raises(BundleProblem) as caught:
        bundle(**change)
    assert str(caught.value) == "\n".join(caught.value.sentences)
    return caught.value.sentences


def test_a_language_gets_its_own_files_and_the_shared_ones():
    made = bundle()
    assert [one.path for one in made.files("en")] == ["s/r1/css/base.css", "en/", "en/manifest.webmanifest"]
    assert [one.path for one in made.files("de")] == ["s/r1/css/base.css", "de/", "s/r1/js/words.de.js"]


def test_a_file_is_listed_with_type_and_hash():
    digest = base64.b64encode(hashlib.sha256(b"home").digest()).decode()
    assert bundle().own["en"][0] == BundledFile("en/", "text/html", digest)
    assert sha256_base64(b"home") == digest


def test_a_media_type_loses_its_parameters_and_capitals():
    assert media_type("Text/HTML; charset=utf-8") == "text/html"
    assert bundle().own["de"][1].kind == "text/javascript"


def test_of_a_page_that_is_kept_goes_what_its_script_draws_anew():
    """The worker must take away the same, or no page that comes by itself would fit its hash."""
    page = b"<ul><!--drawn--><li>1\n</li><!--/drawn--></ul><p>a</p><i><!--drawn-->b<!--/drawn--></i>"
    kept = b"<ul></ul><p>a</p><i></i>"
    assert as_kept(page, HTML) == kept
    assert as_kept(page, CSS) == page
    assert bundle({**OWN, "en/": (page, HTML)}).own["en"][0].sha256 == sha256_base64(kept)


def test_the_order_in_which_files_are_given_changes_nothing():
    backwards = dict(reversed(OWN.items()))
    assert worker_source(TEMPLATE, bundle(backwards)) == worker_source(TEMPLATE, bundle())


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("/en/help/", "no plain address"),
        ("../en/help/", "no plain address"),
        ("en/../help/", "no plain address"),
        ("en//help/", "no plain address"),
        ("en/help/?x=1", "no plain address"),
        ("en/hélp/", "no plain address"),
        ("https://example.org/", "no plain address"),
        ("", "no plain address"),
        ("en/help/index.html", "is not final, hosts send it on to its folder. List en/help/"),
        ("en/help", "a page's address ends in '/', and only a page's does."),
        ("fr/help/", "belongs to no language. Hand it over as shared."),
    ],
)
def test_an_address_that_cannot_be_saved_is_refused(path, said):
    assert any(said in sentence for sentence in problems(own={**OWN, path: (b"x", HTML)}))


@pytest.mark.parametrize("name", ["ad.js", "track.js", "analytics-of-rail.js", "top_banner.css", "Stats.js"])
def test_names_that_content_blockers_refuse_are_refused_at_build_time(name):
    (said,) = problems(shared={f"s/r1/js/{name}": (b"x", JS)})
    assert said.startswith(f"s/r1/js/{name}: content blockers refuse names with ")


@pytest.mark.parametrize("name", ["readings.js", "adjust.js", "tracks-of-thread.css", "road.js", "kit.js"])
def test_names_that_only_look_a_little_like_it_are_taken(name):
    assert bundle(shared={f"s/r1/js/{name}": (b"x", JS)}).shared[0].path.endswith(name)


def test_every_problem_is_told_at_once_and_sorted():
    said = problems(
        own={"en/": (b"", HTML), "s/r1/js/words.de.js": (b"x", "application/x-unknown")},
        shared={"en/": (b"", HTML)},
        release="r 1",
    )
    assert [sentence.partition(":")[0] for sentence in said] == [
        "de/",
        "en/",
        "en/",
        "release 'r 1'",
        "s/r1/js/words.de.js",
    ]
    assert "unexpected type 'application/x-unknown'. Known are: text/html" in said[-1]


@pytest.mark.parametrize("languages", [(), ("en", "en")])
def test_languages_are_named_once_each_and_at_least_one(languages):
    assert any("name at least one, and each once" in said for said in problems(languages=languages))


def data_of(text):
    """The list in a worker's text, and the text without its line."""
    (line,) = re.findall(r"^const BUNDLE = (.*);$", text, re.MULTILINE)
    return json.loads(line)


def test_the_worker_gets_the_list_in_place_of_one_line_and_nothing_else_changes():
    text = worker_source(TEMPLATE, bundle(dated="2026-11-25", news={"en": "A \\1 longer table."}), 1.5)
    assert text.splitlines()[0] == "// before"
    assert text.splitlines()[2] == "// after"
    data = data_of(text)
    assert (data["release"], data["dated"], data["languages"]) == ("r1", "2026-11-25", ["en", "de"])
    assert (data["news"], data["patience"]) == ({"en": "A \\1 longer table."}, 1500)
    assert data["shared"] == [["s/r1/css/base.css", "text/css", sha256_base64(b"p{}")[:HASH_LENGTH]]]
    assert [row[0] for row in data["own"]["de"]] == ["de/", "s/r1/js/words.de.js"]


def test_the_text_differs_with_every_release():
    assert worker_source(TEMPLATE, bundle(release="r2")) != worker_source(TEMPLATE, bundle())


@pytest.mark.parametrize("template", ["", "const BUNDLES = 1;", TEMPLATE * 2])
def test_a_template_without_its_one_line_is_refused(template):
    with pytest.raises(BundleProblem, match="exactly one line that begins with 'const BUNDLE ='"):
        worker_source(template, bundle())


def test_the_real_worker_takes_the_list(repo):
    text = worker_source((repo / "static/js/sw.js").read_text(encoding="utf-8"), bundle())
    assert data_of(text)["release"] == "r1"


def test_both_workers_name_our_caches_alike(repo):
    """What one keeps the other must find when the app is retired."""
    prefixes = [
        re.findall(
            r"`cowlside:\$\{encodeURIComponent\(.*pathname\)\}:`", (repo / f"static/js/{name}.js").read_text()
        )
        for name in ("sw", "sw-retire")
    ]
    assert [len(found) for found in prefixes] == [1, 1]


def test_the_manifest_is_relative_throughout():
    made = manifest(WORDS, "en", "r1")
    assert (made["start_url"], made["scope"], made["display"]) == ("./?from=home-screen", "../", "standalone")
    assert (made["name"], made["short_name"], made["description"]) == ("name", "short_name", "description")
    assert "id" not in made
    assert {(icon["sizes"], icon["purpose"]) for icon in made["icons"]} == {
        ("192x192", "any"),
        ("512x512", "any"),
        ("192x192", "maskable"),
        ("512x512", "maskable"),
        ("any", "any"),
    }


def test_each_icon_of_the_manifest_lies_in_static(repo):
    for icon in manifest(WORDS, "en", "r1")["icons"]:
        assert (repo / "static" / icon["src"].removeprefix("../s/r1/")).is_file()
