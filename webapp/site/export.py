"""The whole site as plain files: any web host and any sub-folder will do.

Everything is written into a folder beside the wanted one, which takes its place by renaming: nobody ever serves half an export.
"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from ..book import Book
from ..errors import Told
from . import make_site
from .build import Site
from .links import Links

MARK = "cowlside-export.txt"  # tells an earlier export, which may be replaced, from somebody's own folder


class ExportError(Told):
    """The folder cannot be written: a sentence that says why and what to do."""


def export(book: Book, folder: Path, prefix: str = "") -> int:
    """Write the site of a Book into `folder`; returns the number of files.

    folder    new, empty, or an earlier export, which is replaced whole.
    prefix    where the site will lie on its host ('/club/tools/'). Only 404.html needs it, since hosts show that page
              at any depth; without it that page finds its style sheet in the first folder alone.
    Raises    ExportError; then nothing has changed.
    """
    folder = folder.expanduser().resolve()
    _check(folder)
    files = export_files(make_site(book), prefix)
    beside = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=_parent(folder)))
    try:
        for name, body in files.items():
            place = beside / name
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(body)
        beside.chmod(0o755)  # a temporary folder is closed to the web server's user
        _swap(beside, folder)
    except OSError as problem:
        raise ExportError(
            f"{folder} could not be written ({problem.strerror}). Nothing has been changed."
        ) from problem
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return len(files)


def export_files(site: Site, prefix: str = "") -> dict[str, bytes]:
    """Name -> bytes of every file of the export."""
    with site.app.app_context():
        first = site.render_template(
            "start.html", site.languages[0], "", Links("", site.languages[0]), *_title(site), None, {}
        )
        missing = _missing(site, prefix)
    files = {_file_name(address): document.body for address, document in site.documents.items()}
    return {**files, "index.html": first, "404.html": missing, MARK: f"{site.release}\n".encode()}


def _file_name(address: str) -> str:
    return f"{address}index.html" if address.endswith("/") else address


def _title(site: Site) -> tuple[str, str]:
    words = site.book.words(site.languages[0])
    return words["site_name"], words["site_says"]


def _missing(site: Site, prefix: str) -> bytes:
    lang = site.languages[0]
    words = site.book.words(lang)
    links = Links("", lang)
    if prefix:
        links.root = f"/{prefix.strip('/')}/" if prefix.strip("/") else "/"
        links.base = f"{links.root}{lang}/"
    title, says, mend = (words[f"site_error_404_{part}"] for part in ("title", "says", "mend"))
    paths = ("", "figures/", "cautions/", "emergency/")
    home = [{"title": site.pages[f"{lang}/{path}"].title, "href": links.to(path)} for path in paths]
    error = {"status": 404, "title": title, "says": says, "mend": mend, "links": home}
    return site.render_template("error.html", lang, "", links, title, says, "", {"error": error})


def _check(folder: Path) -> None:
    if folder.is_dir() and any(folder.iterdir()) and not (folder / MARK).is_file():
        raise ExportError(
            f"{folder} holds files that are no export of Cowlside. Name a new or empty folder, or empty this one yourself."
        )
    if folder.exists() and not folder.is_dir():
        raise ExportError(f"{folder} is a file. Name a folder.")


def _parent(folder: Path) -> Path:
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise ExportError(
            f"{folder.parent} cannot be made ({problem.strerror}). Name another folder."
        ) from problem
    return folder.parent


def _swap(fresh: Path, folder: Path) -> None:
    """Put `fresh` in the place of `folder`; the old one is kept until the new one stands."""
    old = fresh.with_name(f"{fresh.name}.old")
    if folder.exists():
        folder.rename(old)
    try:
        fresh.rename(folder)
    except OSError:
        if old.exists():
            old.rename(folder)
        raise
    shutil.rmtree(old, ignore_errors=True)
