"""Putting the app on the home screen: Chromium's own list of what stands in the way is empty (field fault F66)."""

from __future__ import annotations

import json
import struct

import pytest
from browser.stand_in import FIGURE, STATIC, open_saved, releases, stand_in, wait_for

V1 = stand_in("v1")
SIZES = {
    "tag-192.png": 192,
    "tag-512.png": 512,
    "tag-maskable-192.png": 192,
    "tag-maskable-512.png": 512,
    "tag-apple-180.png": 180,
}


@pytest.mark.parametrize("name", SIZES)
def test_an_icon_has_the_size_that_its_name_says(name):
    head = (STATIC / "icons" / name).read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", head[16:24]) == (SIZES[name], SIZES[name])


def test_F66_nothing_stands_in_the_way_of_the_home_screen(own_profile, server):
    host = server(V1)
    phone = own_profile()
    page = phone.new_page()
    open_saved(page, f"{host.origin}/en/")
    cdp = phone.new_cdp_session(page)
    assert cdp.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
    found = cdp.send("Page.getAppManifest")
    assert found["errors"] == []
    assert found["url"] == f"{host.origin}/en/manifest.webmanifest"
    described = json.loads(found["data"])
    icons = {(icon["sizes"], icon["purpose"]) for icon in described["icons"]}
    sizes = {(f"{size}x{size}", purpose) for size in (192, 512) for purpose in ("any", "maskable")}
    assert icons == {*sizes, ("any", "any")}
    for icon in described["icons"]:
        answer = page.request.get(f"{host.origin}/en/{icon['src']}")
        assert (answer.status, answer.headers["content-type"]) == (200, icon["type"])


def test_F66_a_restarted_phone_opens_from_the_home_screen_without_a_network(own_profile, server):
    host = server(V1)
    phone = own_profile()
    open_saved(phone.new_page(), f"{host.origin}/en/")
    phone.close()
    host.down()
    page = own_profile().new_page()
    page.goto(f"{host.origin}/en/?from=home-screen")
    assert releases(page) == {"v1"}
    assert wait_for(page, "saved").startswith("Saved on this phone")
    page.goto(f"{host.origin}/en/{FIGURE}")
    assert releases(page) == {"v1"}


def test_F66_two_folders_of_a_host_are_two_apps(own_profile, server, tmp_path):
    for folder in ("one", "two"):
        V1.write_to(tmp_path / folder)
    host = server(tmp_path)
    phone = own_profile()
    page = phone.new_page()
    ids = []
    for folder in ("one", "two"):
        page.goto(f"{host.origin}/{folder}/en/")
        ids.append(phone.new_cdp_session(page).send("Page.getAppId")["appId"])
    assert ids == [f"{host.origin}/{folder}/en/?from=home-screen" for folder in ("one", "two")]
