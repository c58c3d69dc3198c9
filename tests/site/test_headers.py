"""One policy for every page, in the header and in the page, with nothing that changes from answer to answer (F32)."""

from __future__ import annotations

import re

from webapp.site.export import export_files
from webapp.site.headers import SECURITY_HEADERS, content_policy


def test_the_policy_lets_nothing_in_that_is_not_a_file_of_the_site():
    policy = dict(part.split(" ", 1) for part in content_policy().split("; "))
    assert policy.pop("default-src") == "'none'"
    assert policy.pop("base-uri") == "'none'"
    assert policy.pop("frame-ancestors") == "'none'"
    # A photo on a job card comes out of the phone's own store; only a script of the page can make such an address.
    assert policy.pop("img-src") == "'self' blob:"
    assert set(policy.values()) == {"'self'"}
    assert {"script-src", "style-src", "connect-src", "worker-src", "manifest-src", "form-action"} <= set(
        policy
    )


def test_every_feature_is_off_but_the_screen_lock():
    features = dict(part.split("=") for part in dict(SECURITY_HEADERS)["Permissions-Policy"].split(", "))
    assert features.pop("screen-wake-lock") == "(self)"
    assert {"camera", "microphone", "geolocation", "usb", "payment"} <= set(features)
    assert set(features.values()) == {"()"}


def test_F32_every_answer_has_the_same_headers(reader, app):
    """The reader checks them on each answer; here is one of each sort."""
    etag = reader.get("/en/").headers["ETag"]
    statuses = {
        reader.get(address, method=method, headers=headers).status_code
        for address, method, headers in (
            ("/en/", "GET", {}),
            ("/en/", "GET", {"If-None-Match": etag}),
            ("/en/", "HEAD", {}),
            ("/en/", "POST", {}),
            ("/", "GET", {}),
            ("/en", "GET", {}),
            ("/nothing", "GET", {}),
            ("/en/?x=" + "a" * 5000, "GET", {}),
            ("/en/figures/injector-flow/?rail=abc", "GET", {}),
            ("/api/figures/injector-flow", "GET", {}),
            ("/api/nothing", "GET", {}),
            ("/en/", "GET", {"Host": "elsewhere.example"}),
            *((f"/{address}", "GET", {}) for address in app.extensions["cowlside"].documents),
        )
    }
    assert statuses == {200, 301, 302, 304, 400, 404, 405, 414}


def test_F32_the_same_address_gives_the_same_bytes_and_headers_each_time(reader):
    for address in ("/en/", "/en/figures/injector-flow/?rail=50+psi", "/nothing/", "/sw.js"):
        first, second = reader.get(address), reader.get(address)
        assert first.data == second.data
        assert dict(first.headers) == dict(second.headers)
        assert "nonce" not in first.text


def test_F32_the_export_carries_the_very_same_policy_in_its_pages(app):
    site = app.extensions["cowlside"]
    for name, body in export_files(site).items():
        if name.endswith(".html"):
            assert re.findall(rb'Content-Security-Policy" content="([^"]*)"', body) == [
                content_policy(in_page=True).replace("'", "&#39;").encode()
            ], name
