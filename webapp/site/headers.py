"""Headers that stand on every answer, whatever it is, and the rule for the Host header."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

# One policy for every page, in the header and in the page itself (for hosts that set no headers). No nonces: a saved page and a
# fresh header would disagree after a 304.
_POLICY = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    # blob: a photo on a job card comes from the phone's own store, and only this page's scripts can make such an address.
    "img-src": "'self' blob:",
    "connect-src": "'self'",
    "manifest-src": "'self'",
    "worker-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
}

# Only features that browsers know by these names: an unknown one is an error in the console of every page. Not named, and so left
# as browsers have them for the page itself: sharing, copying, and sound after a tap.
_FEATURES_OFF = (
    "accelerometer",
    "browsing-topics",
    "camera",
    "clipboard-read",
    "display-capture",
    "encrypted-media",
    "fullscreen",
    "gamepad",
    "geolocation",
    "gyroscope",
    "hid",
    "idle-detection",
    "local-fonts",
    "magnetometer",
    "microphone",
    "midi",
    "payment",
    "picture-in-picture",
    "publickey-credentials-get",
    "serial",
    "storage-access",
    "sync-xhr",
    "usb",
    "window-management",
    "xr-spatial-tracking",
)


def content_policy(in_page: bool = False) -> str:
    """The Content-Security-Policy. Browsers ignore frame-ancestors in a page and complain of it, so `in_page` leaves it out."""
    parts = [f"{name} {value}" for name, value in _POLICY.items()]
    return "; ".join(parts if in_page else [*parts, "frame-ancestors 'none'"])


SECURITY_HEADERS: tuple[tuple[str, str], ...] = (
    ("Content-Security-Policy", content_policy()),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Permissions-Policy", ", ".join([*(f"{name}=()" for name in _FEATURES_OFF), "screen-wake-lock=(self)"])),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("X-Frame-Options", "DENY"),
)

_LONGEST_HOST = 260  # a DNS name of 253 characters and a port
_HOST = re.compile(r"([a-z0-9.-]+|\[[0-9a-f:.]+\])(?::[0-9]{1,5})?", re.IGNORECASE | re.ASCII)


class HostRule:
    """Whether a Host header names one of the hosts that the server goes by.

    Flask's own check is not used: the release it comes with cuts an IPv6 name at its first colon, so '[::1]' never matches.
    """

    def __init__(self, names: Iterable[str]) -> None:
        self._names = frozenset(name.lower() for name in names)
        self._known = lru_cache(maxsize=256)(self._look_up)

    def allows(self, header: str) -> bool:
        """Whether `header` ('localhost:8000') is one of ours; an over-long one is refused before it takes room in the memory."""
        return len(header) <= _LONGEST_HOST and self._known(header)

    def _look_up(self, header: str) -> bool:
        match = _HOST.fullmatch(header)
        if not match:
            return False
        name = match[1].lower()
        above = [f".{name}", *(name[at:] for at, letter in enumerate(name) if letter == "." and at)]
        return name in self._names or any(part in self._names for part in above)
