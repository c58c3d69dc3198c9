"""The pack: what Python takes apart the worker puts together, byte for byte. The worker's own functions are run in Node."""

from __future__ import annotations

import json
import subprocess

import pytest
from installing import NODE

from webapp.site.bundle import as_kept
from webapp.site.documents import is_text
from webapp.site.pack import packed

# Not to be mistaken: our own marks in a text, quotes in quotes, a row's name within another's, a label that holds signs.
ODD = {
    "en/": '<!doctype html>\n<html lang="en"><p id="row-m3" class="">M3 $& $1 &amp; a="b"</p> <a title="M3 $&amp; m3 m3.5 m3-x xm3">m3</a>\n'
    '<b id="row-m3.5"> </b><i for="take-m3.5-hint" hidden value="">later</i><a href="?t=m3.5">x</a><mi data-symbol="a_b">a b</mi><mi>a b</mi><mi data-symbol="a">b</mi></html>\n',
    "en/empty/": "",
    "en/text/": "no tag at all: a < b > c",
    "en/open/": '<p title="a > b">cut <b class="x',
    "en/marks/": "holds \x02 itself",
    "s/r/js/words.en.js": 'export const WORDS = {"a":"say \\"no\\"","b":"","c":"back\\\\"};\nconst D=\'it"s\';\n',
    "s/r/js/main.js": 'a="b";x=`"`;',
    "s/r/css/base.css": 'a{content:"\\1F"}\n',
}


def put_together(repo, pack: str) -> dict[str, str]:
    """What the worker makes of a pack."""
    worker = (repo / "static/js/sw.js").read_text(encoding="utf-8")
    start = worker.index("function filesIn(")
    end = worker.index("/** @param {Map<string, Listed[]>} wrong ", start)
    script = (
        f"{worker[start:end]}\nconst chunks = []; for await (const chunk of process.stdin) chunks.push(chunk);\n"
        "console.log(JSON.stringify([...filesIn(Buffer.concat(chunks).toString('utf8'))]));"
    )
    command = [NODE.find() or "node", "--input-type=module", "-e", script]
    done = subprocess.run(command, input=pack.encode(), capture_output=True, check=True, timeout=60)
    return dict(json.loads(done.stdout))


def test_odd_texts_come_back_as_they_were_and_one_with_a_mark_of_ours_comes_by_itself(repo):
    assert put_together(repo, packed(ODD, "en")) == {
        path: text for path, text in ODD.items() if path != "en/marks/"
    }


@pytest.mark.parametrize("pack", ["", "en/", "en/\x1d\x01\x02", "en/\x1dtext\x1fa\x1d\x01 id=\x02 x=\x02"])
def test_a_pack_that_was_cut_gives_texts_that_fit_no_hash_but_no_error(repo, pack):
    assert all(isinstance(text, str) for text in put_together(repo, pack).values())


def test_every_text_of_the_site_comes_back_as_it_was(app, repo):
    documents = app.extensions["cowlside"].documents
    (pack,) = (one for address, one in documents.items() if "/pages.en." in address)
    found = put_together(repo, pack.body.decode())
    assert {path: text.encode() for path, text in found.items()} == {
        address: as_kept(one.body, one.media)
        for address, one in documents.items()
        if is_text(one.media) and address != "sw.js" and one is not pack and not address.endswith("404.html")
    }
