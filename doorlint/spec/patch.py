"""JSON Merge Patch on a marked tree."""

from __future__ import annotations

from typing import TypeAlias

from doorlint.spec.marked import Mapping, Node, Sequence

__all__ = ["Patch", "merge_patch"]

Patch: TypeAlias = "dict[str, Patch] | list[Patch] | str | None"
"""A partial spec: keys and texts as in a spec, None where something is to go."""


def merge_patch(tree: Node, patch: Patch) -> Node:
    """The tree with a patch applied (RFC 7396, section 2); neither is changed.

    What the patch leaves alone keeps its marks; what it brings has none, since it stands nowhere in the tree's text.

    >>> merge_patch(merge_patch(None, {"a": {"b": "1", "c": "2"}}), {"a": {"b": None, "d": "3"}})
    {'a': {'c': '2', 'd': '3'}}
    """
    if not isinstance(patch, dict):
        return _unmarked(patch)
    merged = Mapping()
    if isinstance(tree, Mapping):
        merged.update(tree)
        merged.marks, merged.start = tree.marks, tree.start
    for key, change in patch.items():
        if change is None:
            merged.pop(key, None)
        else:
            merged[key] = merge_patch(merged.get(key), change)
    return merged


def _unmarked(patch: list[Patch] | str | None) -> Node:
    if not isinstance(patch, list):
        return patch
    items = Sequence()
    items.extend(merge_patch(None, item) if isinstance(item, dict) else _unmarked(item) for item in patch)
    return items
