"""Rule folders on disk: read safely and held against their schemas."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from itertools import chain
from typing import Any, NamedTuple

from doorlint import quantities
from doorlint.digests import digest
from doorlint.errors import BrokenRules
from doorlint.fits import fits
from doorlint.reading import Place, head
from doorlint.resources import folder
from doorlint.spec.marked import LIMIT, Marked, parse
from doorlint.spec.problems import shown
from doorlint.version import __version__

MOST_FILES = 500
MOST_BYTES = 8 * 2**20
"""In all the files of a rule folder."""


class Pack(NamedTuple):
    """One rule folder as plain data."""

    digest: str
    rules: list[dict[str, Any]]
    practice: dict[str, dict[str, Any]]
    tables: list[dict[str, Any]]
    stock: list[dict[str, Any]]
    """the dials of ``stock.yaml``, as written"""


def load(place: Place, house: bool = False) -> Pack:
    """The pack of one rule folder, read and held against the schemas.

    Raises :class:`BrokenRules` naming file, line and column of what is wrong with it.
    """
    return pack_of(contents(place), house)


def contents(place: Place) -> dict[str, bytes]:
    """The files of a rule folder by name, unread; raises :class:`BrokenRules` where there are none."""
    try:
        names = [*os.listdir(place), *(f"tables/{name}" for name in _inside(os.path.join(place, "tables")))]
    except OSError:
        raise BrokenRules(f"{place}: no such folder of rules") from None
    names = sorted(name for name in names if name.endswith(".yaml"))
    if not 1 <= len(names) <= MOST_FILES:
        raise BrokenRules(f"{place}: {len(names)} rule files; expected 1 to {MOST_FILES} named *.yaml or tables/*.yaml")
    files = {}
    for name in names:
        try:
            files[name] = head(f"{os.fspath(place)}/{name}", LIMIT + 1)
        except OSError as error:
            raise BrokenRules(f"{place}/{name}: cannot be read: {error.strerror}") from None
        if sum(map(len, files.values())) > MOST_BYTES:
            raise BrokenRules(f"{place}: more than {MOST_BYTES // 2**20} MiB of rules; split the folder")
    return files


def _inside(folder: str) -> list[str]:
    return os.listdir(folder) if os.path.isdir(folder) else []


def digest_of(files: Mapping[str, bytes]) -> str:
    """Sixteen hex digits that change when a rule folder changes, or the program that reads it."""
    named = ((b"\0%b\0%d\0" % (os.fsencode(name), len(data)), data) for name, data in files.items())
    return digest(__version__, *chain.from_iterable(named))[:16]


def pack_of(files: Mapping[str, bytes], house: bool = False) -> Pack:
    """The pack of the files of a rule folder; raises :class:`BrokenRules`."""
    pack = Pack(digest_of(files), [], {}, [], [])
    for name, data in files.items():
        if name == "tables/practice.yaml":
            pack.practice.update(
                {key: _practice(name, key, said) for key, said in _tree(name, data, "practice")["practice"].items()}
            )
        elif name.startswith("tables/"):
            pack.tables.append(_table(name, _tree(name, data, "table")))
        elif name == "stock.yaml":
            pack.stock.extend(_tree(name, data, "stock")["stock"])
        else:
            pack.rules.extend(_rules(name, _tree(name, data, "rules")))
    if not house and not pack.rules:
        raise BrokenRules("the rule library holds no rules")
    return pack


def _rules(name: str, statements: list[dict[str, Any]]) -> Iterable[dict[str, Any]]:
    subject = name.removesuffix(".yaml")
    for statement in statements:
        if not statement["id"].startswith(subject + "."):
            raise BrokenRules(f"{name}: rule {statement['id']}: in this file every id starts with {subject}.")
        yield statement


def _practice(name: str, key: str, said: dict[str, Any]) -> dict[str, Any]:
    try:
        return {**said, "value": _value(said["value"], said["dimension"])}
    except (ValueError, KeyError) as error:
        raise BrokenRules(f"{name}: {key}: {error}") from None


def _table(name: str, said: dict[str, Any]) -> dict[str, Any]:
    if name != f"tables/{said['table']}.yaml":
        raise BrokenRules(f"{name}: holds table {said['table']}; name the file after it")
    columns = list(said["columns"].items())
    for column, dimension in columns:
        if dimension != "text" and dimension not in quantities.DIMENSIONS:
            raise BrokenRules(f"{name}: columns: {column}: there is no dimension {dimension}")
        if dimension == "text" and said["match"].get(column, "exact") != "exact":
            raise BrokenRules(f"{name}: match: {column} is text, which only matches exactly")
    rows = []
    for number, row in enumerate(said["rows"], 1):
        if len(row) != len(columns):
            raise BrokenRules(f"{name}: row {number} has {len(row)} values; expected {len(columns)}")
        try:
            rows.append([_value(cell, dimension) for cell, (_, dimension) in zip(row, columns, strict=True)])
        except ValueError as error:
            raise BrokenRules(f"{name}: row {number}: {error}") from None
    for key in said["match"]:
        if key not in said["columns"]:
            raise BrokenRules(f"{name}: match: there is no column {key}")
    return {**said, "rows": rows}


def _value(text: str, dimension: str) -> float | str:
    return text if dimension == "text" else quantities.read(text, dimension)


def _tree(name: str, data: bytes, schema: str) -> Any:
    marked = parse(data)
    if marked.problem is not None:
        raise BrokenRules(f"{name}:{marked.problem.line}:{marked.problem.column}: {marked.problem.message}")
    if not _fits(schema)(marked.tree):
        _refuse(name, marked, schema)
    return marked.tree


def _schema(name: str) -> Any:
    return json.loads((folder("schemas") / f"{name}.schema.json").read_text("utf-8"))


@cache
def _fits(schema: str) -> Callable[[Any], bool]:
    return fits(_schema(schema))


def _refuse(name: str, marked: Marked, schema: str) -> None:
    """Raises :class:`BrokenRules` where jsonschema finds something wrong."""
    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import best_match

    error = best_match(Draft202012Validator(_schema(schema)).iter_errors(marked.tree))
    if error is not None:
        line, column = marked.position(error.absolute_path)
        where = "/".join(str(part) for part in error.absolute_path)
        raise BrokenRules(f"{name}:{line}:{column}: /{where}: {_worded(error)}")


def _worded(error: Any) -> str:
    """What jsonschema found wrong, in the words of the other refusals."""
    from difflib import get_close_matches

    said, wanted, known = error.instance, error.validator_value, error.schema.get("properties", {})
    match error.validator:
        case "required":
            key = next(key for key in wanted if key not in said)
            meaning = known.get(key, {}).get("description", "it")
            return f"found no {key}; expected {meaning}; add a line `{key}: ...`"
        case "additionalProperties" if known:
            key = next(key for key in said if key not in known)
            near = get_close_matches(key, known, 1)
            fix = f"write {near[0]}" if near else "take it out"
            return f"found the key {shown(key)}; expected {', '.join(known)}; {fix}"
        case "enum":
            return f"found {shown(str(said))}; expected {', '.join(map(str, wanted))}; write one of them"
    return str(error.message.replace(repr(said), shown(repr(said)), 1))[:200]
