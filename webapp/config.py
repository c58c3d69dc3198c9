"""Every setting of the server with its default and meaning; read once, when the app is made.

The three folders (COWLSIDE_CONTENT, COWLSIDE_STATIC, COWLSIDE_CACHE) are read where they are used, in paths.py, since
the commands that need no server use them too; they are listed here so that one table names all.
"""

from __future__ import annotations

import contextlib
import os
import re
import socket
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from .errors import Told

QUERY_LIMIT = 4096  # characters behind the `?`; a whole Figure typed in full takes less than 1,000
BODY_LIMIT = 16 * 1024  # bytes; nothing here takes a body at all
LOCAL_HOSTS = ("localhost", "127.0.0.1", "[::1]")

_HOST_NAME = re.compile(r"\.?[a-z0-9]([a-z0-9.-]*[a-z0-9])?|\[[0-9a-f:.]+\]", re.IGNORECASE)


class SettingError(Told, ValueError):
    """A setting whose text cannot be used; says which one, what is wrong and what to write."""


@dataclass(frozen=True)
class Setting:
    """One setting. `key` is its name in app.config, '' for those that paths.py reads; `read` turns text into the value."""

    env: str
    key: str
    default: str
    meaning: str
    read: Callable[[str], Any] = str


def _read_hosts(text: str) -> tuple[str, ...]:
    names = tuple(part.strip().lower() for part in text.split(",") if part.strip())
    for name in names:
        if not _HOST_NAME.fullmatch(name):
            raise SettingError(
                f'COWLSIDE_HOSTS: "{name}" is not a host name. Write names without https:// and without a port, '
                'separated by commas, such as "garage.example.org, 192.168.1.20".'
            )
    return names or LOCAL_HOSTS


def _read_proxies(text: str) -> int:
    if re.fullmatch(r"[0-9]", text.strip()):
        return int(text)
    raise SettingError(
        f'COWLSIDE_PROXIES: "{text}" is not a number from 0 to 9. Write how many proxies stand before the app.'
    )


def _read_scripts(text: str) -> str:
    if text.strip() in ("joined", "apart"):
        return text.strip()
    raise SettingError(f'COWLSIDE_SCRIPTS: "{text}" is neither "joined" nor "apart". Write one of the two.')


SETTINGS: tuple[Setting, ...] = (
    Setting(
        "COWLSIDE_HOSTS",
        "HOSTS",
        ", ".join(LOCAL_HOSTS),
        "Names by which the server may be asked, separated by commas; '.example.org' takes every name below it.",
        _read_hosts,
    ),
    Setting(
        "COWLSIDE_PROXIES",
        "PROXIES",
        "0",
        "How many proxies in front set X-Forwarded-For, -Proto, -Host and -Prefix; at 0 these headers count for nothing.",
        _read_proxies,
    ),
    Setting(
        "COWLSIDE_SCRIPTS",
        "SCRIPTS",
        "joined",
        "'apart' sends every module as it is written, to be stepped through; 'joined' sends what pages start with as one script.",
        _read_scripts,
    ),
    Setting("COWLSIDE_CONTENT", "", "content/ beside the package", "Folder of the Markdown files."),
    Setting(
        "COWLSIDE_STATIC", "", "static/ beside the package", "Folder of style sheets, scripts and icons."
    ),
    Setting(
        "COWLSIDE_CACHE",
        "",
        "cowlside/ in the user's cache folder",
        "Folder for what start-up makes; set to nothing: none is used.",
    ),
)


def read_settings(
    given: Mapping[str, Any] | None = None, environ: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """Settings for app.config.

    given     values that win over the environment: by key (HOSTS as a list of names, PROXIES as a number), or any of Flask's own.
              TRUSTED_HOSTS, Flask's name for the same thing, is taken as HOSTS.
    environ   os.environ unless a test gives another.
    Raises    SettingError with a sentence for a text that cannot be used.
    """
    environ = os.environ if environ is None else environ
    found = {one.key: one.read(environ.get(one.env) or one.default) for one in SETTINGS if one.key}
    given = dict(given or {})
    if "TRUSTED_HOSTS" in given:
        given["HOSTS"] = given.pop("TRUSTED_HOSTS")
    if "HOSTS" in given:
        given["HOSTS"] = _read_hosts(",".join(given["HOSTS"]))
    return {**found, **given}


def hosts_for(address: str) -> tuple[str, ...]:
    """Names by which a server bound to `address` can rightly be asked.

    The local ones and the address itself; for 'every address' (0.0.0.0, ::) the machine's own name and addresses.
    """
    names = [*LOCAL_HOSTS]
    if address in ("0.0.0.0", "::", ""):  # noqa: S104  compared, not bound
        names += _own_names()
    else:
        names.append(address)
    return tuple(dict.fromkeys(_as_host(name) for name in names))


def _own_names() -> list[str]:
    name = socket.gethostname()
    found = [name, f"{name}.local"]
    with contextlib.suppress(OSError):  # a machine whose name no resolver knows still has its name
        found += [str(entry[4][0]) for entry in socket.getaddrinfo(name, None, type=socket.SOCK_STREAM)]
    # The address of the way out, which a name in /etc/hosts often hides; connecting a UDP socket sends nothing.
    # Without any network there is none.
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))
        found.append(probe.getsockname()[0])
    return [one for one in found if _HOST_NAME.fullmatch(_as_host(one))]


def _as_host(name: str) -> str:
    bare = name.strip().lower().partition("%")[0]  # an IPv6 zone is the machine's own affair
    return f"[{bare}]" if ":" in bare and not bare.startswith("[") else bare
