"""A spec written out in full, said with ``each`` and ``part`` instead: the same job in other words, by chance."""

from __future__ import annotations

import random
from collections.abc import Iterable
from typing import Any

from shortest import flat, nested

from doorlint.spec import Part
from doorlint.spec.typed_reader import group_values
from doorlint.spec.vocabulary import EACH, VOCABULARY, Term
from doorlint.spec.yaml_positions import Mapping, Sequence

Tree = dict[str, Any]


class Shortener:
    """Writes trees with ``each`` and ``part`` by chance; ``catalog`` fills with the parts that it made up."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        self.catalog: dict[str, Part] = {}

    def shortened(self, tree: Tree) -> Tree:
        """The same spec, with what can be said once said once here and there."""
        return self._group(VOCABULARY.root, tree)

    def _group(self, term: Term, node: Tree) -> Tree:
        made = {key: self._inside(term.parts.get(key), value) for key, value in node.items()}
        if term.catalog is not None and self.chance.random() < 0.6:
            made = self._with_part(term, made)
        return made

    def _inside(self, term: Term | None, value: Any) -> Any:
        if term is None or not isinstance(value, dict):
            return value
        return self._map(term, value) if term.kind == "map" else self._group(term, value)

    def _map(self, term: Term, node: Tree) -> Tree:
        thing = term.parts["{}"]
        if not term.each or self.chance.random() < 0.2:
            return {key: self._group(thing, value) for key, value in node.items()}
        things = {key: dict(flat(value)) for key, value in node.items()}
        shared = [path for path in next(iter(things.values()), {}) if all(path in values for values in things.values())]
        which = list(things.values())
        common = {path: self.chance.choice(which)[path] for path in shared if self.chance.random() < 0.7}
        own = {}
        for key, values in things.items():
            kept = {
                path: value
                for path, value in values.items()
                if path not in common or common[path] != value or self.chance.random() < 0.2
            }
            empty = [path for path in values if path not in kept and self.chance.random() < 0.2]
            own[key] = nested({**kept, **dict.fromkeys(empty)})
        said = [(key, self._group(thing, _given(value))) for key, value in own.items()]
        for key, value in said:
            _put_empty(value, own[key])
        every = self._group(thing, nested(common)) if common else {}
        made = [(EACH, every), *said] if every else said
        self.chance.shuffle(made)
        return dict(made)

    def _with_part(self, term: Term, node: Tree) -> Tree:
        """The group with some of its values in a part of a catalog, now and then with one that the group overrides."""
        maps = {key for key, part in term.parts.items() if part.kind == "map"}
        paths = [p for p, value in flat(node) if value is not None and p[0] not in maps and not _names_part(term, p)]
        gone = [path for path in paths if self.chance.random() < 0.6]
        if not gone:
            return node
        held = dict(flat(node))
        values = {path: held[path] for path in gone}
        name = f"made-{len(self.catalog)}"
        texts = nested(values)
        read = group_values(term, _marked(texts))
        assert read is not None
        self.catalog[name] = Part(name, term.catalog or "", "", texts, read, "a document", None, "")
        kept = {path: value for path, value in held.items() if path not in gone or self.chance.random() < 0.2}
        return {term.part_key: name, **nested(kept)}


def _names_part(term: Term, path: Iterable[str]) -> bool:
    for key in path:
        if term.catalog is not None and key == term.part_key:
            return True
        term = term.parts[key]
    return False


def _given(node: Tree) -> Tree:
    return nested({path: value for path, value in flat(node) if value is not None})


def _put_empty(node: Tree, empty: Tree) -> None:
    """Lines that stand empty, where the group they belong to is there."""
    for key, value in empty.items():
        if isinstance(value, dict):
            if isinstance(node.get(key), dict):
                _put_empty(node[key], value)
        elif value is None:
            node.setdefault(key, None)


def _marked(node: Any) -> Any:
    if isinstance(node, list):
        items = Sequence()
        items.extend(node)
        return items
    if not isinstance(node, dict):
        return node
    made = Mapping()
    made.update({key: _marked(value) for key, value in node.items()})
    return made
