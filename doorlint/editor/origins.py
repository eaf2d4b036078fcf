"""Where rules, shop figures and catalog parts are written."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from doorlint.resources import folder
from doorlint.rulebook.library import Library
from doorlint.rulebook.per_library import per_library

__all__ = ["Origin", "part_origin", "rule_origin"]

_RULE = re.compile(r"^\s*-\s*\{?\s*id:\s*[\"']?([\w.-]+)")
_KEY = re.compile(r"^\s+[\"']?([^\s:\"'#{}]+)[\"']?:(?:\s|$)")


class Origin(NamedTuple):
    """A file and a line of it, from 1."""

    path: str
    line: int


def rule_origin(library: Library, rule: str) -> Origin | None:
    """Where a rule is written; ``None`` for one that doorlint itself applies.

    >>> from doorlint.rulebook.library import load
    >>> os.path.basename(rule_origin(load(), "room.headroom-agrees").path)
    'room.yaml'
    """
    return _origins(library).get(("rule", rule))


def part_origin(library: Library, part: str) -> Origin | None:
    """Where a catalog part is written.

    >>> from doorlint.rulebook.library import load
    >>> os.path.basename(part_origin(load(), "rope-7x19-galvanized-1/4").path)
    'ropes.yaml'
    """
    return _origins(library).get(("part", part))


@per_library
def _origins(library: Library) -> Mapping[tuple[str, str], Origin]:
    found: dict[tuple[str, str], Origin] = {}
    for house, pack in library.packs:
        place = pack.place if house else str(folder("rules"))
        for name in _files(place):
            found |= _in_file(place, name)
    return found


def _files(place: str) -> Iterator[str]:
    for inside in ("", "parts", "tables"):
        try:
            names = sorted(os.listdir(os.path.join(place, inside)))
        except OSError:
            continue  # a folder that a shop need not have
        yield from (os.path.join(inside, name) for name in names if name.endswith((".yaml", ".yml")))


def _in_file(place: str, name: str) -> dict[tuple[str, str], Origin]:
    path = os.path.abspath(os.path.join(place, name))
    inside, file = os.path.split(name)
    found: dict[tuple[str, str], Origin] = {}
    with open(path, encoding="utf-8", errors="replace") as lines:
        for number, line in enumerate(lines, 1):
            if inside == "parts" and (key := _KEY.match(line)):
                found.setdefault(("part", key[1]), Origin(path, number))
            elif file == "practice.yaml" and (key := _KEY.match(line)):
                found.setdefault(("rule", f"practice.{key[1]}"), Origin(path, number))
            elif not inside and (rule := _RULE.match(line)):
                found[("rule", rule[1])] = Origin(path, number)
    return found
