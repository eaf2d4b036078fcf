"""Lines to fill in: the keys of values that are missing, put into a spec without a value."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from doorlint.editor.spec_terms import term_at
from doorlint.spec import Mapping as Tree
from doorlint.spec import parse
from doorlint.spec.edit import given_of
from doorlint.spec.pointer import steps

__all__ = ["with_empty_keys"]

Keys: TypeAlias = "dict[str, Keys]"
"""Keys in the groups that they stand in; a value has no keys."""
_Insert: TypeAlias = tuple[int, str]
"""An offset and what is put in there."""


def with_empty_keys(text: str, missing: Iterable[str]) -> str | None:
    """A spec with a line for every missing value; ``None`` where there is nothing to add, or no place for it.

    ``missing`` are JSON pointers. A key goes before the next one of its group, in the order of the vocabulary.

    >>> with_empty_keys("room:\\n  headroom: 24 in\\n  ceiling: 12 ft\\n", ["/room/back", "/room/side_left"])
    'room:\\n  headroom: 24 in\\n  side_left:\\n  back:\\n  ceiling: 12 ft\\n'
    """
    body = text.removeprefix("\ufeff")
    tree = parse(text).tree
    if not isinstance(tree, Tree):
        return None
    wanted: Keys = {}
    for pointer in dict.fromkeys(missing):
        inside = wanted
        for step in steps(pointer):
            inside = inside.setdefault(step, {})
    result = body
    for offset, line in sorted(_inserts(body, tree, wanted, ()), reverse=True):
        result = result[:offset] + line + result[offset:]
    made = parse(result).tree
    if result == body or _filled(given_of(made)) != _filled(given_of(tree)):
        return None
    return text[: len(text) - len(body)] + result


def _filled(node: object) -> object:
    """A tree without the groups that hold no value."""
    if not isinstance(node, dict):
        return node
    inner = {key: _filled(value) for key, value in node.items()}
    return {key: value for key, value in inner.items() if value != {}}


def _inserts(text: str, tree: Tree, wanted: Keys, path: tuple[str, ...]) -> Iterator[_Insert]:
    new: dict[int, list[str]] = {}
    order = _order(path, wanted)
    for key in order:
        held = tree.get(key)
        if isinstance(held, Tree) and held:
            yield from _inserts(text, held, wanted[key], (*path, key))
        elif key not in tree:
            place = _place(text, tree, key, path)
            if place is not None:
                new.setdefault(place, []).append(key)
    for offset, keys in new.items():
        yield offset, _lines(text, tree, {key: wanted[key] for key in keys}, path)


def _order(path: tuple[str, ...], wanted: Keys) -> list[str]:
    """Keys in the order of the vocabulary."""
    term = term_at(path)
    known = list(term.parts) if term is not None else []
    return sorted(wanted, key=lambda key: known.index(key) if key in known else len(known))


def _is_flow(text: str, tree: Tree) -> bool:
    return tree.start is not None and text[tree.start.index] == "{"


def _place(text: str, tree: Tree, key: str, path: tuple[str, ...]) -> int | None:
    """The offset at which a key is put in: behind the brace, or at the start of the line of the next key."""
    if tree.start is None or not tree:
        return None
    if _is_flow(text, tree):
        return tree.start.index + 1
    term = term_at(path)
    order = list(term.parts) if term is not None else []
    behind = order[order.index(key) + 1 :] if key in order else []
    following = next((known for known in behind if known in tree.marks), next(iter(tree.marks)))
    mark = tree.marks[following]
    start: int = mark.index - mark.column
    return _above_remarks(text, start, mark.column)


def _above_remarks(text: str, start: int, column: int) -> int:
    """The start of the remarks that stand right above a line, indented like it."""
    while start > 0:
        above = text.rfind("\n", 0, start - 1) + 1
        line = text[above:start]
        if not line.startswith(" " * column + "#"):
            break
        start = above
    return start


def _lines(text: str, tree: Tree, keys: Mapping[str, Keys], path: tuple[str, ...]) -> str:
    if _is_flow(text, tree):
        return "".join(f"{key}: {_braces(inner)}, " for key, inner in keys.items())
    column = next(iter(tree.marks.values())).column
    end = "\r\n" if "\r\n" in text else "\n"
    return "".join(f"{' ' * depth}{key}:{end}" for depth, key in _block(keys, column, path))


def _block(keys: Mapping[str, Keys], column: int, path: tuple[str, ...]) -> Iterator[tuple[int, str]]:
    for key in _order(path, dict(keys)):
        yield column, key
        yield from _block(keys[key], column + 2, (*path, key))


def _braces(keys: Mapping[str, Keys]) -> str:
    return f"{{{', '.join(f'{key}: {_braces(inner)}' for key, inner in keys.items())}}}" if keys else ""
