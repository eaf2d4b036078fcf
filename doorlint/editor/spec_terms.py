"""What the vocabulary says of a place in a spec: the term of a path of keys, and the pointer that findings use."""

from __future__ import annotations

import re
from collections.abc import Sequence

from doorlint.editor.document import Figures
from doorlint.spec import Mapping, Node
from doorlint.spec.pointer import pointer
from doorlint.spec.vocabulary import EACH, VOCABULARY, Term
from doorlint.spec.yaml_positions import node_at

__all__ = ["Place", "fixed_names", "keys_at", "part_group", "place_at", "term_at", "things_of"]

_WORDS = re.compile(r"\^\(((?:[\w-]+\|)*[\w-]+)\)\$")
"""A pattern that is a list of words."""


class Place:
    """A value or group of the spec: its term, the key of its thing (``each`` for what holds for all of an axis)."""

    def __init__(self, steps: tuple[str, ...], term: Term, key: str | None) -> None:
        self.steps, self.term, self.key = steps, term, key

    @property
    def pointer(self) -> str:
        """The JSON pointer."""
        return pointer(self.steps)

    def things(self, figures: Figures) -> tuple[str | None, ...]:
        """The keys of the things whose value it is: all that take it from ``each``, else its own."""
        if self.key != EACH:
            return (self.key,)
        return things_of(figures, self.term.axis or "")


def term_at(steps: Sequence[str]) -> Term | None:
    """The term of a path of keys; ``None`` where the vocabulary has none.

    >>> term_at(["door", "sections", "s1", "weight"]).name, term_at(["cables", "each"]).kind, term_at(["door", "x"])
    ('section.weight', 'group', None)
    """
    term = VOCABULARY.root
    for step in steps:
        inner = term.parts.get("{}" if term.kind == "map" else step)
        if inner is None:
            return None
        term = inner
    return term


def place_at(steps: tuple[str, ...]) -> Place | None:
    """The value or group at a path of keys."""
    term = term_at(steps)
    if term is None or not steps:
        return None
    key = None
    if term.axis is not None:
        key = steps[VOCABULARY.axes[term.axis].pointer.count("/")]
    return Place(steps, term, key)


def keys_at(tree: Node, steps: Sequence[str]) -> tuple[str, ...]:
    """The keys that are written in a group; none where there is no such group."""
    try:
        node = node_at(tree, steps)
    except LookupError:
        return ()
    return tuple(node) if isinstance(node, Mapping) else ()


def things_of(figures: Figures | None, axis: str) -> tuple[str, ...]:
    """The keys of the things of an axis.

    >>> things_of(None, "section")
    ()
    """
    return () if figures is None else figures.spec.keys.get(axis, ())


def fixed_names(axis: str) -> tuple[str, ...]:
    """The names that things of an axis must have, where these are a closed list.

    >>> fixed_names("fitting")[:2], fixed_names("section")
    (('roller', 'hinge'), ())
    """
    found = _WORDS.fullmatch(VOCABULARY.axes[axis].pattern)
    return tuple(word for word in found[1].split("|") if word != EACH) if found else ()


def part_group(steps: Sequence[str]) -> Term | None:
    """The group whose catalog part is named at a path of keys; ``None`` where none is.

    >>> part_group(["cables", "near", "part"]).name, part_group(["mounts", "head-left", "part"])
    ('cable', None)
    """
    group = term_at(steps[:-1])
    return group if group is not None and group.catalog is not None and steps[-1] == group.part_key else None
