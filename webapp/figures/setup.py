"""The setup as plain data, and whether the Figures that name its fields may: one field, one kind of thing everywhere.

{"groups": {group id: [field name]},
 "fields": {field name: {"type": "quantity", "count" or "choice", "kind", "unit", "low", "high" (SI), "table"}}}
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from ..content.front_matter import Text
from ..content.records import FigureFile, GiveFile, SetupField, SetupFile, TakeFile
from ..errors import Problem, did_you_mean
from .numbers import NumberProblem, read_quantity
from .units import Units


def compile_setup(
    record: SetupFile, units: Units, tables: Mapping[str, Any], problems: list[Problem]
) -> dict[str, Any]:
    """The setup described above; a field with a problem is left out after it has been reported."""
    fields: dict[str, dict[str, Any]] = {}
    for group in record.groups:
        for field in group.fields:
            made = _field(record, field, units, tables, problems)
            if not re.fullmatch(r"[a-z][a-z0-9_]*", field.name):
                _complain(
                    problems,
                    record.file,
                    field.name,
                    "cannot be a field's name.",
                    "Use small letters, digits and _.",
                )
            elif str(field.name) in fields:
                _complain(problems, record.file, field.name, "stands here twice.", "Rename or remove one.")
            elif made:
                fields[str(field.name)] = made
    groups = {
        str(group.name): [str(field.name) for field in group.fields if str(field.name) in fields]
        for group in record.groups
    }
    return {"groups": groups, "fields": fields}


def check_setup_uses(
    record: SetupFile | None, figures: Iterable[FigureFile], problems: list[Problem]
) -> None:
    """Complain of a Figure's `setup: FIELD` that there is no such field for, or of another kind; and of a field that nothing uses."""
    declared: dict[str, SetupField] = {}
    for group in record.groups if record else []:
        for field in group.fields:
            declared.setdefault(str(field.name), field)
    used = set()
    for figure in figures:
        for part, entries in (("takes", figure.takes), ("gives", figure.gives)):
            for entry in entries:
                if entry.setup:
                    used.add(str(entry.setup))
                    _check_use(figure.file, f"{part}.{entry.name}.setup", entry, declared, problems)
    for name, field in declared.items():
        if name not in used and record:
            what, mend = (
                "no Figure uses this field.",
                f'Write "setup: {name}" beside an input of a Figure, or remove it.',
            )
            _complain(problems, record.file, field.name, what, mend)


def _check_use(
    file: str,
    at: str,
    entry: TakeFile | GiveFile,
    declared: Mapping[str, SetupField],
    problems: list[Problem],
) -> None:
    assert entry.setup is not None
    field = declared.get(str(entry.setup))
    if field is None:
        what = f'content/setup.md has no field "{entry.setup}".'
        mend = did_you_mean(entry.setup, declared) if declared else "Declare it there."
    elif isinstance(entry, TakeFile) and entry.across:
        what, mend = "a curve cannot come from the setup.", "Remove the key."
    elif isinstance(entry, GiveFile) and (entry.words or entry.columns):
        what, mend = "only a number can be put into the setup.", "Remove the key."
    elif _nature(entry) != _nature(field):
        what = f'the field "{entry.setup}" is {_nature(field)}, this is {_nature(entry)}.'
        mend = "Name a field of the same kind, or of the same table."
    else:
        return
    problems.append(Problem(file, entry.setup.line, at, what, mend))


def _nature(entry: TakeFile | GiveFile | SetupField) -> str:
    """What must agree: 'a choice of fuels' or 'of kind volume'."""
    table = getattr(entry, "choose", "")
    return f'a choice of the table "{table}"' if table else f'of kind "{entry.kind}"'


def _field(
    record: SetupFile,
    field: SetupField,
    units: Units,
    tables: Mapping[str, Any],
    problems: list[Problem],
) -> dict[str, Any] | None:
    if field.choose:
        if field.choose not in tables:
            what, mend = f'there is no table "{field.choose}".', did_you_mean(field.choose, tables)
            _complain(problems, record.file, field.name, what, mend, "choose", field.choose.line)
            return None
        return {
            "type": "choice",
            "kind": "",
            "unit": "",
            "low": 0.0,
            "high": 0.0,
            "table": str(field.choose),
        }
    if not _has_unit(record, field, units, problems):
        return None
    low, high = (
        _number(record, field, text, key, units, problems)
        for key, text in (("from", field.low), ("to", field.high))
    )
    if low is None or high is None:
        return None
    if low >= high:
        _complain(problems, record.file, field.name, "from is not below to.", "Give the low end first.")
    kind = "count" if field.kind == "count" else "quantity"
    return {
        "type": kind,
        "kind": str(field.kind),
        "unit": str(field.unit),
        "low": low,
        "high": high,
        "table": "",
    }


def _has_unit(record: SetupFile, field: SetupField, units: Units, problems: list[Problem]) -> bool:
    """Whether kind and unit are known and fit; what is missing altogether is reported already."""
    if not field.kind or not field.unit:
        return False
    if not units.has_kind(field.kind):
        what, mend = f'there is no kind "{field.kind}".', did_you_mean(field.kind, units.kinds)
        _complain(problems, record.file, field.name, what, mend, "kind", field.kind.line)
        return False
    listed = units.table["kinds"][field.kind]["units"]
    if field.unit not in listed:
        what, mend = f'"{field.unit}" is no unit of {field.kind}.', did_you_mean(field.unit, listed)
        _complain(problems, record.file, field.name, what, mend, "in", field.unit.line)
        return False
    return True


def _number(
    record: SetupFile, field: SetupField, text: Text, key: str, units: Units, problems: list[Problem]
) -> float | None:
    if not text:
        return None
    try:
        return float(read_quantity(text, str(field.kind), units.table, str(field.unit)).si)
    except NumberProblem as problem:
        what = f'"{text}" is no number of this kind ({problem.code}).'
        mend = f"Write a number in {field.unit}."
        _complain(problems, record.file, field.name, what, mend, key, text.line)
        return None


def _complain(
    problems: list[Problem], file: str, name: Text, what: str, mend: str, key: str = "", line: int = 0
) -> None:
    at = f"fields.{name}" + (f".{key}" if key else "")
    problems.append(Problem(file, line or name.line, at, what, mend))
