"""Proposed values written into a person's text: lines are added, empty values filled, and nothing else moves.

What is added carries a remark: ``# proposed`` until somebody deletes the mark, ``# open`` where a person has to fill
in. The result is read back and compared with the patch that was meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final, NamedTuple

from doorlint.errors import WrongCall
from doorlint.natural_order import natural
from doorlint.proposals.draft import OpenValue, Value, nested
from doorlint.spec import Mapping as Tree
from doorlint.spec import merge_patch, parse
from doorlint.spec.edit import given_of, value_range, written_value
from doorlint.spec.pointer import pointer, steps
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["marked", "written"]

MARK: Final = "proposed"
_MARK: Final = re.compile(r"#\s*proposed(?::\s*(?P<paths>[\w, .-]+?))?\s*(?=#|$)")
"""A mark; in braces it lists what it is for, by dotted paths from the outermost brace."""
Group = dict[str, Any]
"""Entries and groups of them by key."""


class _Entry(NamedTuple):
    text: str | None
    remark: str


class _Edit(NamedTuple):
    start: int
    end: int
    text: str


def written(text: str, stage: str, values: Iterable[Value], open_values: Iterable[OpenValue]) -> str:
    """The text of a spec with a stage, proposed values, and empty lines for what is open.

    Raises :class:`WrongCall` where they cannot be written without changing more.

    >>> from doorlint.rulebook.rule import Source
    >>> width = Value("/door/width", 3.7, "12 ft", "derived", "", Source("practice"))
    >>> print(written("doorlint: 1\\nstage: survey\\n", "order", [width], []), end="")
    doorlint: 1
    stage: order
    door:
      width: 12 ft  # proposed
    """
    tree = parse(text).tree
    if not isinstance(tree, Tree):
        raise WrongCall("there is nothing to write the proposed values into")
    proposed = list(values)
    entries = {"/stage": _Entry(stage, "")}
    entries |= {value.pointer: _Entry(value.text, MARK) for value in proposed}
    entries |= {one.pointer: _Entry(None, _asked(one)) for one in open_values}
    body = text.removeprefix("\ufeff")
    result = body
    braced: list[str] | None = [] if _in_braces(body, tree) else None
    edits = sorted(_edits(body, tree, _grouped(entries), len(body), 0, braced), key=lambda edit: edit.start)
    line_end = "\r\n" if "\r\n" in body else "\n"
    for edit in reversed(edits):  # at one place, what is said first belongs first
        result = result[: edit.start] + edit.text.replace("\n", line_end) + result[edit.end :]
    meant = merge_patch(tree, nested({"/stage": stage, **{value.pointer: value.text for value in proposed}}))
    if _filled_in(given_of(parse(result).tree)) != _filled_in(given_of(meant)):
        raise WrongCall("the proposed values cannot be written without changing more; take them from --as json")
    return text[: len(text) - len(body)] + result


def marked(text: str) -> list[str]:
    """The pointers of values whose line still says that they are proposed.

    >>> marked("door:\\n  width: 12 ft  # proposed\\n  thickness: 2 in\\n")
    ['/door/width']
    >>> marked("door: {width: 12 ft, hinges: {first: 1 in, step: 1/4 in}}  # proposed: hinges.step\\n")
    ['/door/hinges/step']
    """
    body = text.removeprefix("\ufeff")
    tree = parse(body).tree
    return list(_marked(tree, body, [], None)) if isinstance(tree, Tree) else []


def _marked(tree: Tree, text: str, above: list[str], braced: list[str] | None) -> Iterator[str]:
    """``braced``: the path from the outermost brace, where the tree is in braces."""
    if braced is None and _in_braces(text, tree):
        braced = []
    for key, held in tree.items():
        path = None if braced is None else [*braced, key]
        if isinstance(held, Tree):
            yield from _marked(held, text, [*above, key], path)
        elif held is not None:
            at = tree.marks[key].index
            if _is_marked(text[text.rfind("\n", 0, at) + 1 : _line_end(text, at)], path):
                yield pointer([*above, key])


def _is_marked(line: str, path: list[str] | None) -> bool:
    """Whether a mark on a line is for a value."""
    said = [found["paths"] for found in _MARK.finditer(line)]
    return any(paths is None or path is None or ".".join(path) in paths.split(", ") for paths in said)


def _in_braces(text: str, tree: Tree) -> bool:
    return tree.start is not None and text[tree.start.index : tree.start.index + 1] == "{"


def _filled_in(node: object) -> object:
    """A tree without the groups that hold nothing."""
    if not isinstance(node, dict):
        return node
    inner = {key: _filled_in(value) for key, value in node.items()}
    return {key: value for key, value in inner.items() if value != {}}


def _asked(one: OpenValue) -> str:
    return f"open: {one.why}" if one.usual is None else f"open: {one.why}; usual {one.usual}"


def _grouped(entries: Mapping[str, _Entry]) -> Group:
    """Entries by group, in the order of the vocabulary."""
    tree: Group = {}
    for at in sorted(entries, key=_place):
        *above, last = steps(at)
        group = tree
        for step in above:
            group = group.setdefault(step, {})
        group[last] = entries[at]
    return tree


def _place(at: str) -> list[Any]:
    """Where a value stands in the order of the vocabulary."""
    place: list[Any] = []
    term = VOCABULARY.root
    for step in steps(at):
        if term.kind == "map":
            place.append(natural(step))
            term = term.parts["{}"]
        else:
            place.append(list(term.parts).index(step))
            term = term.parts[step]
    return place


def _edits(text: str, tree: Tree, group: Group, end: int, depth: int, braced: list[str] | None) -> Iterator[_Edit]:
    """``end``: where what is inside the tree ends, with what is blank behind it; ``depth``: columns of its keys;
    ``braced``: the path from the outermost brace, where the tree is in braces."""
    starts = sorted(mark.index for mark in tree.marks.values())
    new: Group = {}
    for key, entry in group.items():
        if key not in tree:
            new[key] = entry
            continue
        held = tree[key]
        behind = next((start for start in starts if start > tree.marks[key].index), end)
        if isinstance(entry, dict) and isinstance(held, Tree):
            inside = None if braced is None else [*braced, key]
            if inside is None and _in_braces(text, held):
                if not held:
                    yield from _opened(text, held, entry, tree.marks[key].column + 2)
                    continue
                inside = []
            yield from _edits(text, held, entry, behind, tree.marks[key].column + 2, inside)
        elif isinstance(entry, dict) and held is None:
            at = _line_end(text, tree.marks[key].index)
            yield _Edit(at, at, "".join("\n" + line for line in _lines(entry, tree.marks[key].column + 2)))
        elif isinstance(entry, _Entry) and entry.text is not None and (held is None or isinstance(held, str)):
            yield from _filled(text, tree, key, entry, braced)
    if new:
        yield from _added(text, tree, new, end, depth, braced)


def _opened(text: str, tree: Tree, group: Group, column: int) -> Iterator[_Edit]:
    """Lines in place of empty braces."""
    assert tree.start is not None
    start = tree.start.index
    end = text.index("}", start) + 1
    before = len(text[:start].rstrip(" \t"))
    yield _Edit(before, end, "")
    at = _line_end(text, end)
    yield _Edit(at, at, "".join("\n" + line for line in _lines(group, column)))


def _filled(text: str, tree: Tree, key: str, entry: _Entry, braced: list[str] | None) -> Iterator[_Edit]:
    assert entry.text is not None
    if tree[key] == entry.text:
        return
    start, end = value_range(text, tree, key)
    yield _Edit(start, end, f" {_text(entry.text)}" if start == end else _text(entry.text))
    line = _line_end(text, end)
    path = None if braced is None else [*braced, key]
    if entry.remark and not _is_marked(text[:line].rpartition("\n")[2], path):
        yield _Edit(line, line, f"  # {entry.remark}" + ("" if path is None else f": {'.'.join(path)}"))


def _added(text: str, tree: Tree, new: Group, end: int, depth: int, braced: list[str] | None) -> Iterator[_Edit]:
    if braced is not None:
        assert tree.start is not None
        start = tree.start.index + 1
        line = _line_end(text, start)
        filled = {key: entry for key, entry in new.items() if _is_told(entry)}
        if filled:
            pairs = ", ".join(f"{written_value(key)}: {_flow(entry)}" for key, entry in filled.items())
            yield _Edit(start, start, pairs + (", " if tree else ""))
            yield _Edit(line, line, f"  # {MARK}: {_listed(braced, filled, told=True)}")
        asked = _listed(braced, new, told=False)
        remark = f"  # open: {asked}"
        if asked and remark not in text[:line].rpartition("\n")[2]:
            yield _Edit(line, line, remark)
        return
    column = min((mark.column for mark in tree.marks.values()), default=depth)
    at = _last_line_end(text, end)
    yield _Edit(at, at, "".join("\n" + line for line in _lines(new, column)))


def _lines(group: Group, column: int) -> Iterator[str]:
    pad = " " * column
    for key, entry in group.items():
        if isinstance(entry, dict):
            yield f"{pad}{written_value(key)}:"
            yield from _lines(entry, column + 2)
        else:
            text = "" if entry.text is None else f" {_text(entry.text)}"
            yield f"{pad}{written_value(key)}:{text}  # {entry.remark}"


def _flow(entry: Any) -> str:
    if isinstance(entry, dict):
        inner = ", ".join(f"{written_value(key)}: {_flow(one)}" for key, one in entry.items() if _is_told(one))
        return "{" + inner + "}"
    return _text(entry.text)


def _listed(braced: list[str], group: Group, *, told: bool) -> str:
    """The values in a group that are told, or those that are not, by their paths from the outermost brace."""
    return ", ".join(".".join([*braced, *path]) for path in _paths(group, told))


def _paths(group: Group, told: bool) -> Iterator[list[str]]:
    for key, entry in group.items():
        if isinstance(entry, dict):
            yield from ([key, *path] for path in _paths(entry, told))
        elif _is_told(entry) == told:
            yield [key]


def _is_told(entry: Any) -> bool:
    return any(map(_is_told, entry.values())) if isinstance(entry, dict) else entry.text is not None


def _text(text: str) -> str:
    return text if text.startswith("[") else written_value(text)


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    end = len(text) if end < 0 else end
    return end - 1 if text[end - 1 : end] == "\r" else end


def _last_line_end(text: str, end: int) -> int:
    """The end of the last line before ``end`` that says something."""
    start = text.rfind("\n", 0, end) + 1 if end < len(text) else end
    lines = text[:start].splitlines(keepends=True)
    while lines and (not lines[-1].strip() or lines[-1].lstrip().startswith("#")):
        lines.pop()
    whole = "".join(lines)
    return len(whole.rstrip("\r\n"))
