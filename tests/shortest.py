"""A spec in as few values as `each` and the catalogs allow: what somebody has to type who knows both."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from typing import Any

from doorlint.quantities import read
from doorlint.spec import Catalog, Part
from doorlint.spec.vocabulary import EACH, VOCABULARY, Term

Tree = dict[str, Any]
Path = tuple[str, ...]


def typed(node: Any) -> int:
    """How many values stand in a tree; a list is one."""
    if isinstance(node, dict):
        return sum(map(typed, node.values()))
    return 0 if node is None else 1


def only(term: Term, node: Tree, names: set[str]) -> Tree:
    """The values of these names alone; no group stays empty."""
    made: Tree = {}
    for key, value in node.items():
        part = term.parts.get(key) or term.parts["{}"]
        if isinstance(value, dict):
            inside = only(part, value, names)
            if inside:
                made[key] = inside
        elif part.name in names:
            made[key] = value
    return made


def shortest(tree: Tree, catalog: Catalog) -> Tree:
    """The same spec with the largest fitting part in every group, and in `each` what most things share."""
    return _each(VOCABULARY.root, _parts(VOCABULARY.root, tree, catalog))


def _parts(term: Term, node: Tree, catalog: Catalog) -> Tree:
    made: Tree = {}
    for key, value in node.items():
        part = term.parts.get(key) or term.parts.get("{}")
        made[key] = _parts(part, value, catalog) if part is not None and isinstance(value, dict) else value
    fitting = [part for part in catalog.values() if part.kind == term.catalog and _fits(term, made, part)]
    if not fitting:
        return made
    best = max(fitting, key=lambda part: len(dict(flat(dict(part.values)))))
    gone = dict(flat(dict(best.values)))
    return {term.part_key: best.name, **nested({path: value for path, value in flat(made) if path not in gone})}


def _fits(term: Term, node: Tree, part: Part) -> bool:
    held = dict(flat(node))
    values = list(flat(dict(part.values)))
    return len(values) > 1 and all(path in held and _same(term, path, held[path], value) for path, value in values)


def _same(term: Term, path: Path, one: Any, other: Any) -> bool:
    for key in path:
        term = term.parts[key]
    if term.kind != "quantity" or term.dimension is None:
        return bool(one == other)
    return math.isclose(read(one, term.dimension), read(other, term.dimension))


def _each(term: Term, node: Tree) -> Tree:
    made: Tree = {}
    for key, value in node.items():
        part = term.parts.get(key) or term.parts.get("{}")
        if part is None or not isinstance(value, dict):
            made[key] = value
        elif part.kind == "map" and part.each and len(value) > 1:
            made[key] = _shared(value)
        else:
            made[key] = _each(part, value)
    return made


def _shared(things: Tree) -> Tree:
    values = {key: dict(flat(thing)) for key, thing in things.items()}
    common: dict[Path, Any] = {}
    for path in next(iter(values.values())):
        if all(path in held for held in values.values()):
            counted = Counter(str(held[path]) for held in values.values())
            text, count = counted.most_common(1)[0]
            if count > 1:
                common[path] = next(held[path] for held in values.values() if str(held[path]) == text)
    own = {
        key: nested({path: value for path, value in held.items() if path not in common or common[path] != value})
        for key, held in values.items()
    }
    return {EACH: nested(common), **own} if common else things


def flat(node: Tree, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Each value of a tree with its path."""
    for key, value in node.items():
        if isinstance(value, dict):
            yield from flat(value, (*path, key))
        else:
            yield (*path, key), value


def nested(values: dict[Path, Any]) -> Tree:
    """The tree of values by path."""
    made: Tree = {}
    for path, value in values.items():
        inside = made
        for key in path[:-1]:
            inside = inside.setdefault(key, {})
        inside[path[-1]] = value
    return made
