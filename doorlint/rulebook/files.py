"""Rule folders on disk: read safely and checked against their schemas."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from itertools import chain
from typing import Any

from doorlint import quantities
from doorlint.errors import BrokenRules
from doorlint.fast_schema import compile_schema
from doorlint.file_input import PathName, head
from doorlint.hashing import hash_of
from doorlint.named_tuple import NamedTuple
from doorlint.resources import folder
from doorlint.revisions import FolderAt, bytes_at, files_at
from doorlint.rulebook.expression import is_column_key
from doorlint.rulebook.harm import HARMS, fault
from doorlint.rulebook.kinds import KINDS
from doorlint.rulebook.part_files import parts_of
from doorlint.rulebook.practice import DECLARED, Range, range_of
from doorlint.rulebook.rule import ADD_PRACTICE
from doorlint.schema_refusal import refusal
from doorlint.spec.problems import nearest, shown
from doorlint.spec.vocabulary import VOCABULARY, Term
from doorlint.spec.yaml_positions import LIMIT, parse, position
from doorlint.version import __version__

MOST_FILES = 500
INSIDE = ("parts", "tables")
"""Folders of a rule folder: catalogs and tables."""
MOST_BYTES = 8 * 2**20
"""In all the files of a rule folder."""


class Pack(NamedTuple):
    """One rule folder as plain data."""

    digest: str
    rules: list[dict[str, Any]]
    practice: dict[str, dict[str, Any]]
    tables: list[dict[str, Any]]
    adjustments: list[dict[str, Any]]
    """the entries of ``adjustments.yaml``, as written"""
    place: str
    """the folder as it was named"""
    parts: list[dict[str, Any]]
    """the parts of its catalogs"""
    slips: list[dict[str, Any]]
    """the entries of ``slips.yaml``, as written"""


class Contents(dict[str, bytes]):
    """The files of a rule folder by their name in it, unread; ``place`` is the folder as it was named."""

    def __init__(self, place: PathName, files: Iterable[tuple[str, bytes]] = ()) -> None:
        super().__init__(files)
        self.place = os.fspath(place)


class _File(NamedTuple):
    """One file of rules as it was read; errors name its folder, its name and the place in it."""

    folder: str
    name: str
    tree: Any

    def broken(self, path: Iterable[str | int], message: str) -> BrokenRules:
        """The refusal of what is at a path of keys and item numbers."""
        line, column = position(self.tree, path)
        return BrokenRules(f"{self.folder}/{self.name}:{line}:{column}: {message}")


def load(place: PathName, house: bool = False) -> Pack:
    """The pack of one rule folder, read and checked against the schemas.

    Raises :class:`BrokenRules` naming folder, file, line and column of what is wrong with it.
    """
    return pack_of(contents(place), house)


def contents(place: PathName | FolderAt) -> Contents:
    """The files of a rule folder by name, unread; raises :class:`BrokenRules` where there are none."""
    name = place.name if isinstance(place, FolderAt) else os.fspath(place)
    names = _names_at(place) if isinstance(place, FolderAt) else _names(place)
    names = [name for name in names if not os.path.basename(name).startswith(".")]
    for file in sorted(names):
        if not file.endswith(".yaml") and file.lower().endswith((".yaml", ".yml")):
            fix = f"name it {os.path.splitext(file)[0]}.yaml, or take it out of the folder"
            raise BrokenRules(f"{name}/{file}: found a rule file that would be passed over; {fix}")
    names = sorted(file for file in names if file.endswith(".yaml"))
    if not 1 <= len(names) <= MOST_FILES:
        expected = f"expected 1 to {MOST_FILES} named *.yaml, tables/*.yaml or parts/*.yaml"
        raise BrokenRules(f"{name}: found {len(names)} rule files; {expected}; name the folder that holds the rules")
    files = Contents(name)
    for file in names:
        files[file] = _bytes(place, file)
        if sum(map(len, files.values())) > MOST_BYTES:
            most = MOST_BYTES // 2**20
            raise BrokenRules(f"{name}: found more than {most} MiB of rules; expected {most} MiB; split the folder")
    return files


def _names(place: PathName) -> list[str]:
    try:
        return [*os.listdir(place), *(f"{sub}/{name}" for sub in INSIDE for name in _inside(os.path.join(place, sub)))]
    except OSError as error:
        fix = "expected a folder of rules; check the path"
        raise BrokenRules(f"{place}: cannot be read: {error.strerror}; {fix}") from None


def _names_at(place: FolderAt) -> list[str]:
    found = [name for name in files_at(place) if name.rpartition("/")[0] in ("", *INSIDE)]
    if not found:
        fix = "commit the folder there, or take it out of the settings"
        raise BrokenRules(f"{place.name}: git holds no such folder at that revision; {fix}")
    return found


def _bytes(place: PathName | FolderAt, name: str) -> bytes:
    try:
        if isinstance(place, FolderAt):
            return bytes_at(place, name) or b""
        return head(f"{os.fspath(place)}/{name}", LIMIT + 1)
    except OSError as error:
        fix = "fix it, or take it out of the folder"
        raise BrokenRules(f"{place}/{name}: cannot be read: {error.strerror}; {fix}") from None


def _inside(folder: str) -> list[str]:
    return os.listdir(folder) if os.path.isdir(folder) else []


def digest_of(files: Mapping[str, bytes]) -> str:
    """Sixteen hex digits that change when a rule folder changes, or the program that reads it."""
    named = ((b"\0%b\0%d\0" % (os.fsencode(name), len(data)), data) for name, data in files.items())
    return hash_of(__version__, *chain.from_iterable(named))[:16]


def pack_of(files: Contents, house: bool = False) -> Pack:
    """The pack of the files of a rule folder; raises :class:`BrokenRules`."""
    pack = Pack(digest_of(files), [], {}, [], [], files.place, [], [])
    for name, data in files.items():
        if name == "tables/practice.yaml":
            pack.practice.update(_practice(_read(files.place, name, data, "practice"), house))
        elif name.startswith("tables/"):
            pack.tables.append(_table(_read(files.place, name, data, "table")))
        elif name.startswith("parts/"):
            pack.parts.extend(_parts(_read(files.place, name, data, "parts"), pack))
        elif name == "adjustments.yaml":
            pack.adjustments.extend(_read(files.place, name, data, "adjustments").tree["stock"])
        elif name == "slips.yaml":
            pack.slips.extend(_read(files.place, name, data, "slips").tree["slips"])
        elif name == "stock.yaml":
            raise BrokenRules(f"{files.place}/stock.yaml: this file is now called adjustments.yaml; rename it")
        else:
            pack.rules.extend(_rules(_read(files.place, name, data, "rules"), house))
    if not house and not pack.rules:
        raise BrokenRules(f"{files.place}: found no rules; expected the rule library; install doorlint again")
    return pack


def _rules(file: _File, house: bool) -> Iterator[dict[str, Any]]:
    subject = file.name.removesuffix(".yaml")
    for number, statement in enumerate(file.tree):
        if statement["id"].endswith("\n"):  # which the pattern of the schema lets through
            raise file.broken((number, "id"), "found an id with a line end behind it; write it on one line")
        if not statement["id"].startswith(f"{subject}."):
            fix = f"write {subject}.{statement['id'].partition('.')[2]}, or move the rule to the file of its subject"
            raise file.broken(
                (number, "id"), f"found {shown(statement['id'])}; in this file every id starts with {subject}.; {fix}"
            )
        wrong = fault(statement, house)
        if wrong is not None:
            raise file.broken((number, wrong[0]), f"rule {statement['id']}: {wrong[1]}")
        yield statement


def _parts(file: _File, pack: Pack) -> Iterator[dict[str, Any]]:
    known = {part["name"] for part in pack.parts}
    for part in parts_of(file.tree, file.broken):
        if part["name"] in known:
            message = f"part {shown(part['name'])} is there twice; give the second a name of its own"
            raise file.broken(("parts", part["name"]), message)
        yield part


def _practice(file: _File, house: bool) -> Iterator[tuple[str, dict[str, Any]]]:
    for key, entry in file.tree["practice"].items():
        term = VOCABULARY.leaves.get(f"practice.{key}")
        if term is None or term.numeric_dimension is None:
            here = "`doorlint blank --schema` lists them under practice" if house else f"{ADD_PRACTICE} {shown(key)}"
            fix = nearest(key, _shop_figures(), here)
            raise file.broken(("practice", key), f"{shown(key)} is no shop figure that the schema lists; {fix}")
        if entry["dimension"] != term.numeric_dimension:
            found, fix = shown(entry["dimension"]), f"write `dimension: {term.numeric_dimension}`"
            raise file.broken(
                ("practice", key, "dimension"), f"found {found}; expected {term.numeric_dimension}; {fix}"
            )
        try:
            value = quantities.read(entry["value"], term.numeric_dimension, positive=term.positive)
        except ValueError as error:
            raise file.broken(("practice", key, "value"), str(error)) from None
        least, most = (term.schema.get(bound) for bound in ("minimum", "maximum"))
        if least is not None and most is not None and not least <= value <= most:
            found, expected = shown(entry["value"]), f"a number from {least} to {most}"
            raise file.broken(("practice", key, "value"), f"found {found}; expected {expected}; check the number")
        if house:
            for part in DECLARED.keys() & entry.keys():
                fix = "the library alone declares how far a figure may be moved; take it out"
                raise file.broken(("practice", key, part), f"found {part} in a house-rule folder; {fix}")
            line, column = position(file.tree, ("practice", key))
            yield key, {**entry, "value": value, "file": f"{file.folder}/{file.name}", "line": line, "column": column}
        else:
            yield key, {**entry, "value": value, **_ranges(file, key, entry, value, term)}


def _ranges(file: _File, key: str, entry: Mapping[str, Any], value: float, term: Term) -> dict[str, Range]:
    """How far a figure of the library may be moved, as it declares it."""
    for part, meaning in DECLARED.items():
        if part not in entry:
            raise file.broken(("practice", key), f"found no {part}; expected {meaning}; add `{part}:`")
    ranges = {}
    for part in ("spec", "shop"):
        try:
            ranges[part] = range_of(entry["safe"], entry[part], entry["dimension"], term.positive)
        except ValueError as error:
            raise file.broken(("practice", key, part), str(error)) from None
        if not ranges[part].holds(value):
            raise file.broken(("practice", key, part), f"the figure itself, {entry['value']}, lies beyond this bound")
        if entry["standing"] == "published" and entry["safe"] != "none" and value not in ranges[part]:
            raise file.broken(("practice", key, part), f"a published figure is not loosened; write {entry['value']}")
    spec, shop = ranges.values()
    if not all(end is None or shop.holds(end) for end in spec):
        raise file.broken(("practice", key, "shop"), "a spec may move the figure further than the shop")
    return ranges


def _shop_figures() -> list[str]:
    return [name.removeprefix("practice.") for name in VOCABULARY.leaves if name.startswith("practice.")]


def _table(file: _File) -> dict[str, Any]:
    entry = file.tree
    if file.name != f"tables/{entry['table']}.yaml":
        raise file.broken(("table",), f"found table {entry['table']}; name the file after it: {entry['table']}.yaml")
    columns = list(entry["columns"].items())
    for column, dimension in columns:
        if dimension != "text" and dimension not in quantities.DIMENSIONS:
            fix = nearest(dimension, quantities.DIMENSIONS, f"write text, {', '.join(quantities.DIMENSIONS)}")
            raise file.broken(("columns", column), f"there is no dimension {shown(dimension)}; {fix}")
        if dimension == "text" and entry["match"].get(column, "exact") != "exact":
            found = entry["match"][column]
            raise file.broken(("match", column), f"found {found}; {shown(column)} is text; write exact")
    rows = []
    for number, row in enumerate(entry["rows"]):
        if len(row) != len(columns):
            names = ", ".join(map(shown, entry["columns"]))
            raise file.broken(("rows", number), f"this row has {len(row)} values; expected {len(columns)}: {names}")
        cells = []
        for place, (cell, (_, dimension)) in enumerate(zip(row, columns, strict=True)):
            try:
                cells.append(cell if dimension == "text" else quantities.read(cell, dimension))
            except ValueError as error:
                raise file.broken(("rows", number, place), str(error)) from None
        rows.append(cells)
    for key in entry["match"]:
        if key not in entry["columns"]:
            names = ", ".join(map(shown, entry["columns"]))
            raise file.broken(("match", key), f"there is no column {shown(key)}; expected one of {names}")
        if not is_column_key(key):
            fix = "write it with letters, digits and _ only"
            raise file.broken(("match", key), f"the column {shown(key)} cannot be looked up by; {fix}")
    return {**entry, "rows": rows}


def _read(folder: str, name: str, data: bytes, schema: str) -> _File:
    marked = parse(data)
    if marked.problem is not None:
        line, column, message = marked.problem.line, marked.problem.column, marked.problem.message
        raise BrokenRules(f"{folder}/{name}:{line}:{column}: {message}")
    file = _File(folder, name, marked.tree)
    if not _fits(schema)(marked.tree):
        found = refusal(marked.tree, _schema(schema))
        if found is not None:
            path, message = found
            raise file.broken(path, f"/{'/'.join(map(str, path))}: {message}")
    return file


@cache
def _schema(name: str) -> Any:
    """A schema of ``schemas/``, kinds of check and words of harm put into that of the rules."""
    schema = json.loads((folder("schemas") / f"{name}.schema.json").read_text("utf-8"))
    if name == "rules":
        schema["items"]["properties"]["check"] |= {"oneOf": [kind.schema() for kind in KINDS.values()]}
        schema["items"]["properties"]["harm"] |= {"enum": list(HARMS)}
    return schema


@cache
def _fits(schema: str) -> Callable[[Any], bool]:
    return compile_schema(_schema(schema))
