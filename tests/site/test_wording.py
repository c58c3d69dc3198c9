"""Which words the phone's scripts are sent, and that none that a script says is missing."""

from __future__ import annotations

import pytest

from webapp.site import assets
from webapp.site.wording import DOOR, parted

WORDS = {
    key: key
    for key in ("a_one", "a_two", "b_one", "page_only", "kind_x", "kind_y", "late_x", "behind", "both_say")
}
SCRIPTS = {
    "js/main.js": 'const P = { a: () => import("./a.js"), b: () => import("./b-start.js") };\nwords.a_one;',
    "js/a.js": 'import { c } from "./c.js";\nwords[`kind_${k}`]; import(`./late.${x}.js`); words.both_say;',
    "js/c.js": 'fill("a_two"); /** @typedef {import("./b.js").B} B */',
    "js/b-start.js": 'import { startWithFurtherWords } from "./lib/further-words.js";\nimport("./b.js");',
    "js/b.js": 'import { c } from "./c.js";\nwords.b_one; words["behind"]; words.both_say; words[`late_${x}`];',
    "js/lib/further-words.js": "export async function startWithFurtherWords() {}",
}


def test_what_only_stands_behind_a_door_comes_by_itself_and_what_only_pages_say_not_at_all():
    shared, further = parted(WORDS, SCRIPTS, "js/main.js")
    assert list(shared) == ["a_one", "a_two", "kind_x", "kind_y", "both_say"]
    assert list(further) == ["b_one", "late_x", "behind"]


def test_a_script_that_is_also_reached_without_the_door_has_its_words_without_it():
    scripts = SCRIPTS | {"js/c.js": 'const later = () => import("./b.js");'}
    assert "b_one" in parted(WORDS, scripts, "js/main.js")[0]


@pytest.fixture
def real(app):
    site = app.extensions["cowlside"]
    return site.linker.files, parted(site.book.words("en"), site.linker.files, assets.FIRST)


def test_the_scripts_of_the_job_card_rounds_sheets_and_the_setup_stand_behind_the_door(real):
    scripts, (shared, further) = real
    doors = {name for name, text in scripts.items() if f'/{DOOR.rpartition("/")[2]}"' in text}
    assert doors == {f"js/components/{name}-start.js" for name in ("jobs", "round", "setup", "sheets")}
    assert {"card_kept", "round_hint", "caution_state_full", "wake_on"} & set(further)
    assert {"figure_found_for", "keep_act", "offline_saved", "number_unreadable"} <= set(shared)
    assert not shared.keys() & further.keys()
