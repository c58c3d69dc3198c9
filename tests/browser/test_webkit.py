"""The same in WebKitGTK, the nearest thing to an iPhone: its text for a redirected answer is the one that iPhones show."""

from __future__ import annotations

import json
import time

import pytest
from browser.faults import stall
from browser.stand_in import BELL, FIGURE, TYPED, stand_in

V1, V2 = stand_in("v1"), stand_in("v2")


def seen(driver, script, wanted):
    """Ask the page until it answers `wanted`; what it answered last."""
    last = None
    for _ in range(300):
        last = driver.execute_async_script(
            f"const done = arguments[0]; (async () => {{ {script} }})().then(done, error => done('error: ' + error));"
        )
        if last == wanted:
            break
        time.sleep(0.1)
    return last


def state_of(driver, wanted):
    return seen(driver, "return document.querySelector('#status').dataset.state ?? '';", wanted)


def heading(driver):
    """The page's heading, or the first words of what stands there without one: a browser's own error."""
    found = driver.find_elements("css selector", "h1") or driver.find_elements("css selector", "body")
    return found[0].text


@pytest.fixture
def saved_in_webkit(webkit, server):
    """WebKitGTK with the first release saved; the server's port is new, so nothing is left from another test."""
    host = server(V1)
    webkit.get(host.origin)
    assert state_of(webkit, "saved") == "saved"
    return webkit, host


def test_F06_in_webkit_each_form_of_an_address_opens_from_the_copy(saved_in_webkit):
    driver, host = saved_in_webkit
    host.down()
    for typed, final in TYPED.items():
        driver.get(f"{host.origin}/{typed}")
        assert heading(driver) == f"Page {final}"
        assert state_of(driver, "saved") == "saved"


def test_F07_in_webkit_a_shared_link_opens_from_the_copy(saved_in_webkit):
    driver, host = saved_in_webkit
    host.down()
    driver.get(f"{host.origin}/en/{FIGURE}?rail=43.5+psi&fbclid=IwAR0#kpa")
    assert seen(driver, "return document.querySelector('#kpa').textContent;", "299.9 kPa") == "299.9 kPa"


def test_F11_in_webkit_a_saved_app_opens_though_the_server_never_answers(saved_in_webkit):
    driver, host = saved_in_webkit
    host.rules["*"] = stall
    driver.get(f"{host.origin}/en/{FIGURE}?rail=43.5")
    assert heading(driver) == f"Page en/{FIGURE}"
    assert state_of(driver, "saved") == "saved"


def test_F14_in_webkit_a_byte_range_is_a_right_206(saved_in_webkit):
    driver, host = saved_in_webkit
    host.down()
    script = (
        "const answer = await fetch('/s/v1/sound/bell.wav', {headers: {Range: 'bytes=0-1'}});"
        "const bytes = [...new Uint8Array(await answer.arrayBuffer())];"
        "return JSON.stringify([answer.status, answer.headers.get('Content-Range'), bytes]);"
    )
    wanted = [206, f"bytes 0-1/{len(BELL)}", list(BELL[:2])]
    assert json.loads(seen(driver, script, json.dumps(wanted, separators=(",", ":")))) == wanted


def test_F30_in_webkit_an_address_that_is_not_saved_says_so(saved_in_webkit):
    driver, host = saved_in_webkit
    host.down()
    driver.get(f"{host.origin}/en/figures/not/there/")
    assert heading(driver) == "Page en/offline/"
    driver.find_element("css selector", "#home").click()
    assert seen(driver, "return document.querySelector('h1').textContent;", "Page en/") == "Page en/"


def test_F01_in_webkit_the_new_version_is_there_after_one_tap_and_alone(saved_in_webkit):
    driver, host = saved_in_webkit
    host.serve(V2)
    driver.get(f"{host.origin}/en/")
    ready = "return document.querySelector('#notice').textContent.startsWith('A new version is ready');"
    assert seen(driver, ready, True) is True
    driver.find_element("css selector", "#notice button").click()
    release = "return [document.documentElement.dataset.release, document.body.dataset.figures].join();"
    assert seen(driver, release, "v2,v2") == "v2,v2"
    assert state_of(driver, "saved") == "saved"
    assert seen(driver, "return (await caches.keys()).join();", "cowlside:%2F:v2:en") == "cowlside:%2F:v2:en"
    host.down()
    driver.get(f"{host.origin}/en/help/")
    assert seen(driver, release, "v2,v2") == "v2,v2"
