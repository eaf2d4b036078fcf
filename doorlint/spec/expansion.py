"""Expands ``each:`` and ``part:``: from the written tree to one with every value in its place.

A value is the thing's own, else its part's, else that of ``each``, else that of the part that ``each`` names. Groups
are joined key by key, and an empty value hides nothing. What is put in keeps the mark of where it is written: of a
part's value, the line that names the part.
"""

from __future__ import annotations

from collections import abc
from typing import TYPE_CHECKING, Any, TypeAlias

from doorlint.named_tuple import NamedTuple
from doorlint.spec.pointer import escaped
from doorlint.spec.problems import Problem, nearest, shown
from doorlint.spec.vocabulary import EACH, VOCABULARY, Term
from doorlint.spec.yaml_positions import Mapping, Node, Sequence, Span, span

if TYPE_CHECKING:
    from yaml._yaml import Mark

    from doorlint.spec.catalog import Catalog

__all__ = ["Expanded", "PartUse", "expanded"]


class PartUse(NamedTuple):
    """A group that stands for a catalog part: its name in the vocabulary, the key of its thing, the part, and where
    that is named, as far as it stands in a text. ``under`` is another part that ``each`` names for the same group: it
    gives what the part does not."""

    group: str
    key: str | None
    part: str
    place: Span | None
    under: str | None = None

    @property
    def pointer(self) -> str:
        """The group's JSON pointer."""
        return VOCABULARY.pointer_of(self.group, self.key)


class Expanded(NamedTuple):
    """A tree with ``each`` and ``part`` expanded, the parts it uses, and what is wrong with their names."""

    tree: Node
    parts: tuple[PartUse, ...]
    problems: tuple[Problem, ...]


def expanded(tree: Node, catalog: Catalog) -> Expanded:
    """The tree of a job spec with ``each`` and ``part`` expanded; the given tree is not changed.

    >>> from doorlint.spec.yaml_positions import parse
    >>> tree = parse("cables: {each: {diameter: 1/4 in, clips: 3}, near: {side: left}, far: {clips: 4}}").tree
    >>> expanded(tree, {}).tree["cables"]
    {'near': {'side': 'left', 'diameter': '1/4 in', 'clips': '3'}, 'far': {'clips': '4', 'diameter': '1/4 in'}}
    """
    expansion = _Expansion(catalog)
    uses: _Uses = {}
    full = expansion.group(VOCABULARY.root, tree, "", uses)
    parts = [*(PartUse(group, None, *part) for group, part in uses.items()), *expansion.parts]
    return Expanded(full, tuple(parts), tuple(expansion.problems))


_Uses: TypeAlias = dict[str, tuple[str, Span | None]]
"""The part that each group of one thing names, and where, by the name of the group."""


class _Expansion:
    """One tree being expanded: the parts that its things use and its problems come up on the way."""

    def __init__(self, catalog: Catalog) -> None:
        self.catalog = catalog
        self.parts: list[PartUse] = []
        self.problems: list[Problem] = []

    def group(self, term: Term, node: Node, pointer: str, uses: _Uses) -> Node:
        """A group with the values of its parts; those that it names go to ``uses``."""
        if not isinstance(node, Mapping):
            return node
        full = _copy(node)
        for key, value in node.items():
            inner = term.parts.get(key)
            if inner is not None and isinstance(value, Mapping):
                inside = f"{pointer}/{escaped(key)}"
                full[key] = (
                    self.things(inner, value, inside) if inner.kind == "map" else self.group(inner, value, inside, uses)
                )
        key = term.part_key
        if term.catalog is None or key not in node:
            return full
        name, mark, end = full.pop(key), full.marks.pop(key, None), full.ends.pop(key, None)
        if not isinstance(name, str):
            return full  # a line not filled in yet
        part = self.catalog.get(name)
        if part is None or part.kind != term.catalog:
            self.problems.append(self._unknown(term.catalog, name, f"{pointer}/{key}", mark))
            return full
        uses[term.name] = name, span(node, [key]) if mark else None
        return _joined(full, _marked(part.values, mark, end))

    def things(self, term: Term, node: Mapping, pointer: str) -> Node:
        """A map of named things, each with what ``each`` gives it."""
        thing = term.parts["{}"]
        full = _copy(node)
        common: Node = None
        shared: _Uses = {}
        if term.each and EACH in node:
            common = self.group(thing, full.pop(EACH), f"{pointer}/{EACH}", shared)
            full.marks.pop(EACH, None)
            full.ends.pop(EACH, None)
        for key, value in full.items():
            own: _Uses = {}
            mine = self.group(thing, value, f"{pointer}/{escaped(key)}", own)
            full[key] = _joined(mine, common) if isinstance(mine, Mapping) and isinstance(common, Mapping) else mine
            for group, (part, place) in {**shared, **own}.items():
                below = shared[group][0] if group in shared and group in own else None
                self.parts.append(PartUse(group, key, part, place, below if below != part else None))
        return full

    def _unknown(self, kind: str, name: str, pointer: str, mark: Mark | None) -> Problem:
        known = [part.name for part in self.catalog.values() if part.kind == kind]
        found = self.catalog.get(name)
        what = f"{shown(name)}, which is a part for {found.kind}" if found else f"the part {shown(name)}"
        fix = nearest(name, known, "write its values out, or add it to a catalog: parts/*.yaml of a house-rule folder")
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        message = f"found {what}; expected a {kind} of a catalog in use; {fix}"
        return Problem("spec.part", pointer, line, column, message)


def _copy(node: Mapping) -> Mapping:
    copied = Mapping()
    copied.update(node)
    copied.marks, copied.ends, copied.start = dict(node.marks), dict(node.ends), node.start
    return copied


def _joined(over: Mapping, under: Mapping) -> Mapping:
    """Two groups as one, key by key; what the upper one leaves empty it does not give."""
    joined = _copy(over)
    for key, value in under.items():
        held = over.get(key)
        if isinstance(held, Mapping) and isinstance(value, Mapping):
            joined[key] = _joined(held, value)
        elif held is None and (value is not None or key not in over):
            joined[key] = value
            joined.marks.pop(key, None)
            if key in under.marks:
                joined.marks[key], joined.ends[key] = under.marks[key], under.ends[key]
    return joined


def _marked(values: abc.Mapping[str, Any], mark: Mark | None, end: Mark | None) -> Mapping:
    """A part's values as a group; the place of every key is where the part is named."""
    group = Mapping()
    group.start = mark
    for key, value in values.items():
        if isinstance(value, abc.Mapping):
            group[key] = _marked(value, mark, end)
        elif isinstance(value, str):
            group[key] = value
        else:
            items = group[key] = Sequence()
            items.extend(value)
        if mark is not None and end is not None:
            group.marks[key], group.ends[key] = mark, end
    return group
