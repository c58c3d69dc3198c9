"""The bundle: which files a phone saves, with the hash of each, and the text of the service worker that saves them.

Pure: bytes in, text out. Addresses are relative to the site's root and final, that is, answered without a redirect:
`en/figures/fuel-headroom/`, `s/0123456789ab/js/main.js`, `en/manifest.webmanifest`.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from ..errors import Told

PATIENCE_SECONDS = 20.0
"""How long the worker waits for the next byte of a file before it gives the file up."""

HASH_LENGTH = 12
"""Characters of a file's hash in the worker's list (9 bytes): enough to tell any two files apart, and the list comes with each release."""

_DRAWN = re.compile(rb"<!--drawn-->.*?<!--/drawn-->", re.DOTALL)

DATA_LINE = re.compile(r"^const BUNDLE = .*$", re.MULTILINE)
"""The one line of static/js/sw.js that is replaced."""

_PATH = re.compile(r"[A-Za-z0-9._~-]+(/[A-Za-z0-9._~-]+)*/?")
_RELEASE = re.compile(r"[A-Za-z0-9.-]+")
_TEXTS = ("html", "css", "javascript", "plain", "csv")
_KINDS = (
    *(f"text/{name}" for name in _TEXTS),
    *(f"application/{name}" for name in ("json", "manifest+json", "wasm")),
    *(f"image/{name}" for name in ("svg+xml", "png", "x-icon")),
    *(f"audio/{name}" for name in ("wav", "mpeg", "ogg")),
    "font/woff2",
)
# By these words in a name blocker lists pick what to refuse; one blocked file, and nothing at all would be saved.
_BLOCKED = re.compile(
    r"(?:ads?|adv|adverts?|analytics|banners?|beacon|metrics|pixel|popup|promo|sponsor|stats|telemetry|track(?:er|ing)?)"
)


class BundleProblem(Told):
    """Files that may not be saved on a phone: one whole sentence for each, sorted."""

    def __init__(self, sentences: Iterable[str]) -> None:
        self.sentences = sorted(sentences)
        super().__init__("\n".join(self.sentences))


@dataclass(frozen=True, order=True)
class BundledFile:
    """One file as the worker must receive it.

    path    relative to the site's root, final.
    kind    media type in lower case without parameters.
    sha256  base64, as in an `integrity` attribute.
    """

    path: str
    kind: str
    sha256: str


@dataclass(frozen=True)
class Bundle:
    """All that one release saves: `shared` for every language, `own` for each language by itself.

    languages  the first is the one that is saved when nothing tells which.
    dated      ISO date of the content, '' when unknown; the phone shows it beside 'saved'.
    news       language -> one plain sentence: what this release changes for the reader.
    packs      language -> a JSON file {path: text} that holds many of its files at once; it is not kept itself.
    """

    release: str
    languages: tuple[str, ...]
    shared: tuple[BundledFile, ...]
    own: Mapping[str, tuple[BundledFile, ...]]
    dated: str = ""
    news: Mapping[str, str] = field(default_factory=dict)
    packs: Mapping[str, BundledFile] = field(default_factory=dict)

    def files(self, language: str) -> tuple[BundledFile, ...]:
        """Everything that makes `language` work without a network."""
        return self.shared + self.own[language]


def make_bundle(
    files: Mapping[str, tuple[bytes, str]],
    shared: Mapping[str, tuple[bytes, str]],
    release: str,
    languages: Sequence[str],
    *,
    dated: str = "",
    news: Mapping[str, str] | None = None,
    packs: Mapping[str, tuple[str, bytes, str]] | None = None,
) -> Bundle:
    """The bundle of one release.

    files      path -> (body, content type) of what belongs to one language; the language is the first part of the
               path (`en/help/`) or stands in the file's name (`s/RELEASE/js/words.en.js`).
    shared     the same for what every language needs.
    languages  codes, the first one being the site's own language.
    packs      language -> (path, body, content type) of its pack.
    Raises     BundleProblem with a sentence for each file that could not be saved, or not under this address.
    """
    owners = {path: _language_of(path, languages) for path in files}
    problems = [*_release_problems(release, languages), *_path_problems([*files, *shared])]
    for path, (body, content_type) in {**files, **shared}.items():
        problems += _file_problems(path, body, content_type)
    problems += [
        f"{path}: belongs to no language. Hand it over as shared."
        for path, owner in owners.items()
        if not owner
    ]
    problems += [f"{path}: is given twice. Hand it over once." for path in files.keys() & shared.keys()]
    problems += [
        f"{home}: is missing. Each language needs its own start page."
        for home in (f"{language}/" for language in languages)
        if home not in files
    ]
    if problems:
        raise BundleProblem(problems)
    return Bundle(
        release,
        tuple(languages),
        _bundled(shared),
        {one: _bundled({p: f for p, f in files.items() if owners[p] == one}) for one in languages},
        dated,
        dict(news or {}),
        {
            language: _bundled({path: (body, content_type)})[0]
            for language, (path, body, content_type) in (packs or {}).items()
        },
    )


def worker_source(template_text: str, bundle: Bundle, patience_seconds: float = PATIENCE_SECONDS) -> str:
    """The text of /sw.js: `template_text` (static/js/sw.js) with its one line of data put in.

    The same bundle gives the same bytes; another release gives other bytes, by which browsers notice it.
    Raises   BundleProblem when the template has not exactly one line to replace.
    """
    if len(DATA_LINE.findall(template_text)) != 1:
        raise BundleProblem(
            ["sw.js: needs exactly one line that begins with 'const BUNDLE ='. Restore that line."]
        )
    data = {
        "release": bundle.release,
        "dated": bundle.dated,
        "languages": list(bundle.languages),
        "news": dict(sorted(bundle.news.items())),
        "patience": round(patience_seconds * 1000),
        "shared": [_row(one) for one in bundle.shared],
        "packs": {language: _row(pack) for language, pack in sorted(bundle.packs.items())},
        "own": {language: [_row(one) for one in bundle.own[language]] for language in bundle.languages},
    }
    line = f"const BUNDLE = {json.dumps(data, separators=(',', ':'))};"
    return DATA_LINE.sub(lambda _: line, template_text)


def sha256_base64(body: bytes) -> str:
    """The hash as `integrity` attributes and the worker's list write it, without the leading 'sha256-'."""
    return base64.b64encode(hashlib.sha256(body).digest()).decode("ascii")


def as_kept(body: bytes, content_type: str) -> bytes:
    """A file as a phone keeps it: a page without what its script draws anew at each start. Twin: `asKept` in static/js/sw.js."""
    return _DRAWN.sub(b"", body) if media_type(content_type) == "text/html" else body


def media_type(content_type: str) -> str:
    """'Text/HTML; charset=utf-8' -> 'text/html'."""
    return content_type.partition(";")[0].strip().lower()


def _bundled(files: Mapping[str, tuple[bytes, str]]) -> tuple[BundledFile, ...]:
    kept = {path: (as_kept(body, kind), media_type(kind)) for path, (body, kind) in files.items()}
    return tuple(BundledFile(path, kind, sha256_base64(body)) for path, (body, kind) in sorted(kept.items()))


def _row(one: BundledFile) -> list[str]:
    return [one.path, one.kind, one.sha256[:HASH_LENGTH]]


def belongs_to(path: str, language: str) -> bool:
    """Whether a path is of one language: by its first part, or by its file's name ('words.en.js')."""
    return path.partition("/")[0] == language or language in path.rpartition("/")[2].split(".")[1:-1]


def _language_of(path: str, languages: Sequence[str]) -> str:
    """The language that alone needs this path, '' if none does."""
    return next((language for language in languages if belongs_to(path, language)), "")


def _release_problems(release: str, languages: Sequence[str]) -> list[str]:
    problems = []
    if not _RELEASE.fullmatch(release):
        problems.append(f"release {release!r}: may hold letters, digits, '.' and '-' only.")
    if not languages or len(set(languages)) != len(languages):
        problems.append(f"languages {list(languages)!r}: name at least one, and each once.")
    return problems


def _path_problems(paths: Iterable[str]) -> list[str]:
    problems = []
    for path in paths:
        parts = path.rstrip("/").split("/")
        if not _PATH.fullmatch(path) or {".", ".."} & set(parts):
            problems.append(
                f"{path!r}: is no plain address below the site's root. Use letters, digits and . _ ~ - /"
            )
        elif parts[-1] == "index.html":
            problems.append(
                f"{path}: is not final, hosts send it on to its folder. List {path[: -len('index.html')]}"
            )
        elif blocked := [
            word for word in re.split(r"[^a-z]+", parts[-1].lower()) if _BLOCKED.fullmatch(word)
        ]:
            problems.append(f"{path}: content blockers refuse names with {blocked[0]!r}. Rename the file.")
    return problems


def _file_problems(path: str, body: bytes, content_type: str) -> list[str]:
    kind = media_type(content_type)
    if kind not in _KINDS:
        return [f"{path}: is of the unexpected type {content_type!r}. Known are: {', '.join(_KINDS)}."]
    if (kind == "text/html") != path.endswith("/"):
        return [f"{path}: a page's address ends in '/', and only a page's does."]
    if not body:
        return [f"{path}: is empty. A file that is saved must hold something."]
    return []
