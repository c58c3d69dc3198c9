"""Joins the modules that every page starts with into one script, so that a phone reads one file instead of thirty.

A module becomes a function that returns what the module exports; `piece("js/lib/number.js")` runs it once, when it is first
wanted. No name is changed, so an error still says which function it came from. What a module may say is therefore kept plain, one
line each:

    import { a, b } from "./x.js";      import * as K from "./x.js";
    export function a                   export async function a     export class A     export const A

An `import()` in the first module names what is started on some pages only: it is joined as well. An `import()` in any other module
is for later, and its file stays apart; what such a file imports from a joined module it is given by `piece`. A vendored file stays
as it was published, and is imported by the joined script. Everything else stops the build with a sentence.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping
from dataclasses import dataclass

from ..errors import Told

VENDOR = "vendor/"

_STATIC = re.compile(r'^import (?:\{ ([^{}"]+) \}|\* as (\w+)) from "([^"]+)";$', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?function\*? (\w+)|class (\w+)|const (\w+)\b)", re.MULTILINE)
# In a JSDoc type, the name of the type follows: import("./x.js").Row
_LATER = re.compile(r'\bimport\((?:"([^"]*)"|`([^`]*)`)\)(?!\.[A-Z])')
_LEFT_OVER = (
    (
        re.compile(r"^(?:import|export)\b(?!\().*", re.MULTILINE),
        'write imports as import { a } from "./x.js"; in one line, and export a function, a class or a const where it is made.',
    ),
    (
        re.compile(r"^(?:(?:const|let|var) .*= )?await\b.*", re.MULTILINE),
        "a joined module cannot wait while it starts. Wait inside a function.",
    ),
    (
        re.compile(r"^[^*\n]*\bimport\((?![\"`]).*", re.MULTILINE),
        'write what is imported later as a text: import("./x.js").',
    ),
    (
        # From the line's start: looked for at every place of a minified file's one long line it takes seconds.
        re.compile(r"^.*\bimport\.meta\b.*", re.MULTILINE),
        "a joined module has no address of its own. Pass the address to its function.",
    ),
)
_HEAD = """export const piece = (name) => made[name] ??= makers[name]();
const makers = {
"""


class LinkProblem(Told):
    """A module that cannot be joined: which one, what stands there, and how to write it."""


@dataclass(frozen=True)
class _Module:
    """What one module says. `needs` must run before it, `later` it asks for itself; both are names of files."""

    name: str
    text: str
    needs: tuple[str, ...]
    later: tuple[str, ...]
    exports: tuple[str, ...]


class Linker:
    """Joins the modules that the script `first` starts with into that script.

    files    name -> source of every script: 'js/lib/number.js', 'vendor/…'.
    first    the one that pages name.
    Raises   LinkProblem.
    """

    def __init__(self, files: Mapping[str, str], first: str) -> None:
        self.files, self.first = files, first
        self.joined: dict[str, _Module] = {}
        self._vendored: list[str] = []
        self._reach(first, ())

    def scripts(self) -> dict[str, str]:
        """Name -> text of every script that is served; joined modules stand in `first` alone."""
        apart = {
            name: text if name.startswith(VENDOR) else self.apart(name, text)
            for name, text in self.files.items()
            if name not in self.joined
        }
        return {**apart, self.first: self._written()}

    def apart(self, name: str, text: str) -> str:
        """A script that stays apart; what it imports from joined modules it takes from `first`."""
        changed = _STATIC.sub(
            lambda found: self._taken(name, found) if _target(name, found[3]) in self.joined else found[0],
            text,
        )
        changed = _LATER.sub(lambda found: self._later_apart(name, found), changed)
        return (
            changed if changed == text else f'import {{ piece }} from "{_way(name, self.first)}";\n{changed}'
        )

    def _reach(self, name: str, path: tuple[str, ...]) -> None:
        """Read a module and all it needs, each behind its needs."""
        if name in path:
            circle = " → ".join([*path[path.index(name) :], name])
            raise LinkProblem(
                f"static/{name}: imports itself in a circle ({circle}). Move what both need into a third module."
            )
        if name not in self.files:
            raise LinkProblem(f"static/{path[-1]}: imports {name}, which does not exist. Mend the path.")
        if name in self.joined or name in self._vendored:
            return
        if name.startswith(VENDOR):
            self._vendored.append(name)
            return
        module = _read(name, self.files[name])
        for target in module.needs:
            self._reach(target, (*path, name))
        self.joined[name] = module
        for target in module.later if name == self.first else ():
            self._reach(target, (name,))

    def _written(self) -> str:
        """The joined script: vendored files, the pieces, and the start of the first of them."""
        numbered = list(enumerate(self._vendored))
        imports = "".join(f'import * as vendor{n} from "{_way(self.first, name)}";\n' for n, name in numbered)
        made = ", ".join(f'"{name}": vendor{n}' for n, name in numbered)
        pieces = "".join(
            f'"{name}": (() => {{\n{self._body(module)}}}),\n' for name, module in self.joined.items()
        )
        return f'{imports}const made = {{{made}}};\n{_HEAD}{pieces}}};\npiece("{self.first}");\n'

    def _body(self, module: _Module) -> str:
        """A module as the inside of a function."""
        text = _STATIC.sub(lambda found: self._taken(module.name, found), module.text)
        text = _LATER.sub(lambda found: self._later(module.name, found), _EXPORT.sub("", text))
        return f"{text.rstrip()}\nreturn {{ {', '.join(module.exports)} }};\n"

    def _taken(self, name: str, found: re.Match[str]) -> str:
        """What stands in place of an import."""
        names = f"{{ {found[1]} }}".replace(" as ", ": ")
        return f'const {found[2] or names} = piece("{_target(name, found[3])}");'

    def _later(self, name: str, found: re.Match[str]) -> str:
        """What stands in place of an `import()` in a joined module."""
        target = _target(name, found[1] or found[2])
        if target in self.joined:
            return f'Promise.resolve().then(() => piece("{target}"))'
        if found[1] and target not in self.files:
            raise LinkProblem(f"static/{name}: imports {target}, which does not exist. Mend the path.")
        return f"import(`{_way(self.first, target)}`)"

    def _later_apart(self, name: str, found: re.Match[str]) -> str:
        """What stands in place of an `import()` in a script apart: a joined module has no file of its own."""
        is_joined = bool(found[1]) and _target(name, found[1]) in self.joined
        return self._later(name, found) if is_joined else found[0]


def _read(name: str, text: str) -> _Module:
    rest = _EXPORT.sub("", _STATIC.sub("", text))
    for pattern, remedy in _LEFT_OVER:
        if found := pattern.search(rest):
            raise LinkProblem(f'static/{name}: "{found[0].strip()}": {remedy}')
    needs, later = _needs(name, text), _later(name, text)
    exports = tuple(next(filter(None, names)) for names in _EXPORT.findall(text))
    return _Module(name, text, needs, later, exports)


def imports_of(name: str, text: str) -> tuple[str, ...]:
    """Names of the scripts that one imports, at once or later; those whose name is put together are not known."""
    return _needs(name, text) + _later(name, text)


def _needs(name: str, text: str) -> tuple[str, ...]:
    return tuple(_target(name, path) for _, _, path in _STATIC.findall(text))


def _later(name: str, text: str) -> tuple[str, ...]:
    return tuple(_target(name, path) for path, _ in _LATER.findall(text) if path)


def _target(name: str, path: str) -> str:
    """The file that a path in the module `name` means: ('js/lib/a.js', '../main.js') -> 'js/main.js'."""
    if not path.startswith(("./", "../")):
        raise LinkProblem(
            f'static/{name}: imports "{path}". Write the way to the file, as "./x.js" or "../lib/x.js".'
        )
    return posixpath.normpath(posixpath.join(posixpath.dirname(name), path))


def _way(name: str, target: str) -> str:
    """The path by which `name` imports `target`; the inverse of `_target`."""
    way = posixpath.relpath(target, posixpath.dirname(name))
    return way if way.startswith("../") else f"./{way}"
