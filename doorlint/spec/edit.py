"""A patch written into the text of a spec: values and lines change, comments and layout stay.

A value's characters are replaced, a new key goes before the first one of its group. The result is read back and
compared with the patch; where it says anything else, nothing is written.
"""

from __future__ import annotations

import re
from collections import abc
from typing import NamedTuple

from doorlint.errors import WrongCall
from doorlint.spec.patch import Patch, merge_patch
from doorlint.spec.yaml_positions import Mapping, Node, parse

__all__ = ["edited", "given_of", "value_range", "written_value"]

_COLON = re.compile(r"\s*:")
_BLANKS = re.compile(r"[ \t]*")
_KEY = re.compile(r"\"(?:\\.|[^\"\\])*\"|'(?:''|[^'])*'")


class _Edit(NamedTuple):
    start: int
    end: int
    text: str


def edited(text: str, patch: Patch) -> str:
    """The text of a spec with a patch (RFC 7396) written into it.

    A value that is taken out is left empty, which is not given. Raises :class:`WrongCall` where the patch cannot be
    written without changing more than it says, as for a whole group that is taken out.

    >>> patch = {"room": {"headroom": "21 in", "back": "16 ft"}}
    >>> edited("room:  # measured\\n  headroom: 24 in  # to the beam\\n", patch)
    'room:  # measured\\n  back: 16 ft\\n  headroom: 21 in  # to the beam\\n'
    """
    tree = parse(text).tree
    if not isinstance(tree, Mapping) or not isinstance(patch, abc.Mapping):
        raise WrongCall("there is nothing to write the changed values into")
    body = text.removeprefix("\ufeff")
    result = body
    for edit in sorted(_edits(body, tree, patch, ""), key=lambda edit: edit.start, reverse=True):
        result = result[: edit.start] + edit.text + result[edit.end :]
    if given_of(parse(result).tree) != given_of(merge_patch(tree, patch)):
        raise WrongCall("the changed values cannot be written without changing more; write them by hand")
    return text[: len(text) - len(body)] + result


def _edits(text: str, tree: Mapping, patch: abc.Mapping[str, Patch], above: str) -> list[_Edit]:
    found: list[_Edit] = []
    new: dict[str, Patch] = {}
    for key, value in patch.items():
        held = tree.get(key)
        if key not in tree:
            if value is not None:
                new[key] = value
        elif isinstance(held, Mapping) and isinstance(value, abc.Mapping):
            found += _edits(text, held, value, f"{above}/{key}")
        elif held is None or isinstance(held, str):
            found.append(_replaced(text, tree, key, value))
        else:
            raise WrongCall(f"{above}/{key} is a whole group or list; change it by hand")
    if new:
        found.append(_added(text, tree, new, above))
    return found


def _replaced(text: str, tree: Mapping, key: str, value: Patch) -> _Edit:
    written = "" if value is None else written_value(value)
    start, end = value_range(text, tree, key)
    if tree[key] is None:
        return _Edit(start, start, f" {written}")
    return _Edit(start, end, written + "\n" * (text[end - 1] == "\n"))


def value_range(text: str, tree: Mapping, key: str) -> tuple[int, int]:
    """Where the value of a key starts and ends; of an empty one, the place just behind its colon."""
    at = tree.marks[key].index
    quoted = _KEY.match(text, at)
    colon = _COLON.match(text, quoted.end() if quoted else at + len(key))
    assert colon is not None
    blanks = _BLANKS.match(text, colon.end())
    assert blanks is not None
    return (colon.end(), colon.end()) if tree[key] is None else (blanks.end(), tree.ends[key].index)


def _added(text: str, tree: Mapping, new: abc.Mapping[str, Patch], above: str) -> _Edit:
    """New keys before the first one of their group."""
    pairs = [f"{written_value(key)}: {written_value(value)}" for key, value in new.items()]
    if tree.start is not None and text[tree.start.index] == "{":
        start = tree.start.index + 1
        return _Edit(start, start, ", ".join(pairs) + (", " if tree else ""))
    if not tree:
        raise WrongCall(f"{above or 'the spec'} has no values to write beside; write them by hand")
    first = next(iter(tree.marks.values()))
    return _Edit(first.index, first.index, "".join(f"{pair}\n{' ' * first.column}" for pair in pairs))


def written_value(value: Patch) -> str:
    """A value as one line of YAML; groups in braces."""
    if isinstance(value, abc.Mapping):
        return "{" + ", ".join(f"{written_value(key)}: {written_value(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, str):
        quoted = "'" + value.replace("'", "''") + "'"
        return value if value and parse(f"{{k: {value}}}").tree == {"k": value} and value.isprintable() else quoted
    return "" if value is None else "[" + ", ".join(map(written_value, value)) + "]"


def given_of(node: Node) -> object:
    """A tree without what is empty, which is not given."""
    if isinstance(node, Mapping):
        inner = {key: given_of(value) for key, value in node.items()}
        return {key: value for key, value in inner.items() if value is not None}
    return [given_of(item) for item in node] if isinstance(node, list) else node
