"""JSON Merge Patch on a marked tree."""

from __future__ import annotations

from collections import abc
from typing import TYPE_CHECKING, TypeAlias

from doorlint.spec.yaml_positions import Mapping, Node, Sequence

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["Patch", "merge_patch", "taken_out"]

Patch: TypeAlias = "abc.Mapping[str, Patch] | abc.Sequence[Patch] | str | None"
"""A partial spec of dicts, lists and texts, marked or not; None where something is to go."""


def merge_patch(tree: Node, patch: Patch) -> Node:
    """The tree with a patch applied (RFC 7396, section 2); neither is changed.

    What the patch leaves alone keeps its marks; what it brings has none, since it stands nowhere in the tree's text.

    >>> merge_patch(merge_patch(None, {"a": {"b": "1", "c": "2"}}), {"a": {"b": None, "d": "3"}})
    {'a': {'c': '2', 'd': '3'}}
    """
    if patch is None or isinstance(patch, str):
        return patch
    if not isinstance(patch, abc.Mapping):
        items = Sequence()
        items.extend(merge_patch(None, item) for item in patch)
        return items
    merged = Mapping()
    if isinstance(tree, Mapping):
        merged.update(tree)
        merged.marks, merged.ends, merged.start = tree.marks, tree.ends, tree.start
    for key, change in patch.items():
        if change is None:
            merged.pop(key, None)
        else:
            merged[key] = merge_patch(merged.get(key), change)
    return merged


def taken_out(patch: Patch) -> Iterator[list[str]]:
    """The paths of what a patch takes out.

    >>> list(taken_out({"room": {"back": None, "headroom": "18 in"}, "tower": None}))
    [['room', 'back'], ['tower']]
    """
    if isinstance(patch, abc.Mapping):
        for key, change in patch.items():
            if change is None:
                yield [key]
            else:
                yield from ([key, *inner] for inner in taken_out(change))
