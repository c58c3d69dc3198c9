"""By which names the server may be asked, and whose word about it counts (F29)."""

from __future__ import annotations

from urllib.parse import urljoin

import pytest

from webapp import create_app
from webapp.config import LOCAL_HOSTS, SettingError, hosts_for, read_settings
from webapp.site.headers import HostRule

FORGED = [
    "elsewhere.example",
    "localhost.elsewhere.example",
    "elsewhere.example:80",
    "localhost@elsewhere.example",
    "127.0.0.1.elsewhere.example",
    "",
    "localhost:port",
    "[::1",
    "[::2]",
    "a" * 500,
    "localhost/../x",
]
FORWARDED = {
    "X-Forwarded-Host": "elsewhere.example",
    "X-Forwarded-Proto": "https",
    "X-Forwarded-Prefix": "/elsewhere",
    "X-Forwarded-For": "192.0.2.9",
    "Forwarded": "host=elsewhere.example;proto=https",
}


@pytest.mark.parametrize("name", FORGED)
@pytest.mark.parametrize(
    "address", ["/", "/en/", "/en/figures", "/api/figures/injector-flow", "/sw.js", "/nothing/"]
)
def test_F29_a_forged_host_is_refused_and_never_repeated(reader, name, address):
    answer = reader.client.get(address, headers={"Host": name})
    assert answer.status_code == 400
    assert "elsewhere" not in str(answer.headers) + answer.text
    assert "COWLSIDE_HOSTS" in answer.text


@pytest.mark.parametrize(
    "name", ["localhost", "localhost:8000", "LOCALHOST", "127.0.0.1:5000", "[::1]", "[::1]:8000"]
)
def test_F29_the_names_of_this_machine_are_known(reader, name):
    assert reader.client.get("/en/", headers={"Host": name}).status_code == 200


def test_F29_headers_of_a_proxy_that_nobody_set_change_nothing(reader):
    for address in ("/", "/en/", "/en/figures", "/en/figures/injector-flow/?rail=50+psi", "/nothing/"):
        plain, forwarded = reader.get(address), reader.get(address, headers=FORWARDED)
        assert dict(forwarded.headers) == dict(plain.headers)
        assert forwarded.data == plain.data


def test_F29_behind_a_proxy_that_is_set_prefix_host_and_https_are_right(bilingual_book, new_reader):
    app = create_app({"PROXIES": 1, "HOSTS": ["garage.example"]}, bilingual_book)
    seen = []
    app.before_request(lambda: seen.append(flask_address()))
    reader = new_reader(app)
    headers = {
        "X-Forwarded-Host": "garage.example",
        "X-Forwarded-Proto": "https",
        "X-Forwarded-Prefix": "/club/tools",
    }
    assert reader.client.get("/", headers=headers).headers["Location"] == "/club/tools/en/"
    assert (
        reader.client.get("/en/figures?x=1", headers=headers).headers["Location"]
        == "/club/tools/en/figures/?x=1"
    )
    assert seen == ["https://garage.example/club/tools/", "https://garage.example/club/tools/"]
    assert (
        reader.client.get("/en/", headers={**headers, "X-Forwarded-Host": "elsewhere.example"}).status_code
        == 400
    )
    page = reader.client.get("/en/figures/", headers=headers).text
    assert "garage.example" not in page
    assert "/club" not in page


def flask_address():
    from flask import request

    return request.root_url


@pytest.mark.parametrize(
    "prefix",
    ["//elsewhere.example", "/x//y", "https://elsewhere.example", "/\\elsewhere.example", "/a b", "/<x>"],
)
def test_F29_a_prefix_that_is_no_folder_leads_nowhere_else(bilingual_book, new_reader, prefix):
    reader = new_reader(create_app({"PROXIES": 1}, bilingual_book))
    location = reader.client.get("/", headers={"X-Forwarded-Prefix": prefix}).headers["Location"]
    assert location == "en/"
    assert urljoin("http://localhost/", location) == "http://localhost/en/"


def test_F29_mounted_below_a_folder_by_the_server_the_redirects_hold_it(app):
    """A WSGI server that mounts the app says so in SCRIPT_NAME; '/club' without a slash must not lead to '/en/'."""
    client = app.test_client()
    answer = client.get("/", environ_overrides={"SCRIPT_NAME": "/club"})
    assert answer.headers["Location"] == "/club/en/"


def test_a_name_with_a_leading_point_takes_every_name_below_it():
    rule = HostRule([".example.org", "192.168.1.20"])
    assert rule.allows("garage.example.org")
    assert rule.allows("example.org:8000")
    assert rule.allows("192.168.1.20")
    assert not rule.allows("garage-example.org")
    assert not rule.allows("example.org.elsewhere.example")


def test_settings_are_read_from_the_environment_once_and_given_ones_win():
    environ = {"COWLSIDE_HOSTS": "garage.example.org, 192.168.1.20", "COWLSIDE_PROXIES": "2"}
    assert read_settings(environ=environ) == {
        "HOSTS": ("garage.example.org", "192.168.1.20"),
        "PROXIES": 2,
        "SCRIPTS": "joined",
    }
    assert read_settings(environ={}) == {"HOSTS": LOCAL_HOSTS, "PROXIES": 0, "SCRIPTS": "joined"}
    assert read_settings({"HOSTS": ["a.example"], "PROXIES": 1}, environ) == {
        "HOSTS": ("a.example",),
        "PROXIES": 1,
        "SCRIPTS": "joined",
    }
    assert read_settings({"TRUSTED_HOSTS": ["b.example"]}, {})["HOSTS"] == ("b.example",)


@pytest.mark.parametrize(
    ("environ", "told"),
    [
        ({"COWLSIDE_HOSTS": "https://garage.example.org"}, "Write names without https://"),
        ({"COWLSIDE_HOSTS": "*"}, "is not a host name"),
        ({"COWLSIDE_HOSTS": "localhost:8000"}, "without a port"),
        ({"COWLSIDE_PROXIES": "yes"}, "is not a number from 0 to 9"),
        ({"COWLSIDE_PROXIES": "-1"}, "is not a number from 0 to 9"),
    ],
)
def test_a_setting_that_cannot_be_used_is_named(environ, told):
    with pytest.raises(SettingError, match=told):
        read_settings(environ=environ)


def test_a_server_goes_by_the_names_of_the_address_it_listens_on():
    assert hosts_for("127.0.0.1") == LOCAL_HOSTS
    assert hosts_for("192.168.1.20") == (*LOCAL_HOSTS, "192.168.1.20")
    assert hosts_for("fe80::1%eth0") == (*LOCAL_HOSTS, "[fe80::1]")
    everywhere = hosts_for("0.0.0.0")
    assert set(LOCAL_HOSTS) < set(everywhere)
    assert read_settings({"HOSTS": everywhere}, {})["HOSTS"] == everywhere
