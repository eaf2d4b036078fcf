"""Rule folders on disk: read safely, held against their schemas, packed as JSON for the next run."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from doorlint import quantities
from doorlint.errors import BrokenRules
from doorlint.resources import folder

MOST_FILES = 500
PLAIN = ("ratio", "count", "text")


class Pack(NamedTuple):
    """One rule folder as plain data: what is kept between runs."""

    digest: str
    rules: list[dict[str, Any]]
    practice: dict[str, dict[str, Any]]
    tables: list[dict[str, Any]]


def load(place: Path, cache: Path | None, house: bool = False) -> Pack:
    """The pack of one rule folder, from the cache when nothing in the folder changed since.

    Raises :class:`BrokenRules` naming file, line and column of what is wrong with it.
    """
    files = _files(place)
    digest = _digest(files)
    kept = None if cache is None else cache / f"rules-{digest}.json"
    if kept is not None:
        pack = _kept(kept)
        if pack is not None:
            return pack
    pack = _read(files, digest, house)
    if kept is not None:
        from doorlint.writing import write_quietly

        write_quietly(kept, json.dumps(pack._asdict(), ensure_ascii=False, separators=(",", ":")).encode())
    return pack


def _files(place: Path) -> dict[str, bytes]:
    if not place.is_dir():
        raise BrokenRules(f"{place}: no such folder of rules")
    paths = sorted([*place.glob("*.yaml"), *place.glob("tables/*.yaml")])
    if not paths or len(paths) > MOST_FILES:
        raise BrokenRules(f"{place}: {len(paths)} rule files; expected 1 to {MOST_FILES} named *.yaml or tables/*.yaml")
    files = {}
    for path in paths:
        try:
            files[str(path.relative_to(place).as_posix())] = path.read_bytes()
        except OSError as error:
            raise BrokenRules(f"{path}: cannot be read: {error.strerror}") from None
    return files


def _digest(files: Mapping[str, bytes]) -> str:
    from doorlint import __version__

    total = hashlib.sha256(__version__.encode())
    for name, data in files.items():
        total.update(f"\0{name}\0{len(data)}\0".encode())
        total.update(data)
    return total.hexdigest()[:16]


def _kept(path: Path) -> Pack | None:
    try:
        found = json.loads(path.read_bytes())
        return Pack(**found) if found["digest"] in path.name else None
    except (OSError, ValueError, TypeError, KeyError):
        return None


def _read(files: Mapping[str, bytes], digest: str, house: bool) -> Pack:
    pack = Pack(digest, [], {}, [])
    for name, data in files.items():
        if name == "tables/practice.yaml":
            pack.practice.update(
                {key: _practice(name, key, said) for key, said in _tree(name, data, "practice")["practice"].items()}
            )
        elif name.startswith("tables/"):
            pack.tables.append(_table(name, _tree(name, data, "table")))
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
    rows = []
    for number, row in enumerate(said["rows"], 1):
        if len(row) != len(columns):
            raise BrokenRules(f"{name}: row {number} has {len(row)} values; expected {len(columns)}")
        try:
            rows.append([_value(cell, dimension) for cell, (_, dimension) in zip(row, columns, strict=True)])
        except (ValueError, KeyError) as error:
            raise BrokenRules(f"{name}: row {number}: {error}") from None
    for key in said["match"]:
        if key not in said["columns"]:
            raise BrokenRules(f"{name}: match: there is no column {key}")
    return {**said, "rows": rows}


def _value(text: str, dimension: str) -> float | str:
    if dimension == "text":
        return text
    return float(text) if dimension in PLAIN else quantities.read(text, dimension)


def _tree(name: str, data: bytes, schema: str) -> Any:
    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import best_match

    from doorlint.spec.marked import parse

    marked = parse(data)
    if marked.problem is not None:
        raise BrokenRules(f"{name}:{marked.problem.line}:{marked.problem.column}: {marked.problem.message}")
    rules = json.loads((folder("schemas") / f"{schema}.schema.json").read_text("utf-8"))
    error = best_match(Draft202012Validator(rules).iter_errors(marked.tree))
    if error is not None:
        line, column = marked.position(error.absolute_path)
        where = "/".join(str(part) for part in error.absolute_path)
        raise BrokenRules(f"{name}:{line}:{column}: /{where}: {error.message[:200]}")
    return marked.tree
