"""A job spec: text to values, with the place of each.

:func:`read` never raises for what a text says: what cannot be read has ``problems``, each with position and reason.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from doorlint.named_tuple import NamedTuple
from doorlint.quantities import QuantityError, system_of
from doorlint.spec.catalog import NO_CATALOG, Catalog, Part
from doorlint.spec.expansion import PartUse, expanded
from doorlint.spec.patch import Patch, merge_patch, taken_out
from doorlint.spec.pointer import pointer, steps
from doorlint.spec.problems import BUILTIN_RULES, Problem, shown
from doorlint.spec.typed_reader import accepted
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.spec.yaml_positions import LIMIT, Mapping, Marked, Node, Sequence, Span, node_at, parse, position, span

if TYPE_CHECKING:
    from doorlint.quantities import System

__all__ = [
    "BUILTIN_RULES",
    "LIMIT",
    "NO_CATALOG",
    "VOCABULARY",
    "Catalog",
    "Mapping",
    "Marked",
    "Node",
    "Part",
    "PartUse",
    "Patch",
    "Problem",
    "Sequence",
    "Span",
    "Spec",
    "declares",
    "merge_patch",
    "parse",
    "read",
]


class Spec(NamedTuple):
    """What was read of a job spec.

    ``tree`` is the text's tree with what ``each`` and ``part`` stand for, None when the text is not even YAML;
    ``written`` is the tree as written. ``values`` holds SI values by dotted name, below an axis one dict of key to
    value each; ``keys`` the keys of each axis in natural order. Both are empty when there are ``problems``: a spec that
    does not read in full does not count in part. ``system`` is the unit system of the opening's width; ``stage`` how
    far the job has come, None when that cannot be read. ``parts`` are the parts of ``catalog`` that the spec names.
    """

    tree: Node
    values: dict[str, Any]
    keys: dict[str, tuple[str, ...]]
    problems: tuple[Problem, ...]
    system: System
    stage: str | None
    written: Node = None
    parts: tuple[PartUse, ...] = ()
    catalog: Catalog = NO_CATALOG

    def position(self, pointer: str) -> tuple[int, int]:
        """Line and column, from 1 and in code points, of what a JSON pointer names.

        A value stands at its key, an item of a list where it starts; what is missing stands where the nearest thing
        above it does. What ``each`` gives stands there, and what a part gives where the part is named.
        Raises ``ValueError`` for a text that is no JSON pointer.
        """
        return position(self.tree, steps(pointer))

    def span(self, pointer: str) -> Span:
        """The same with the end of what is written there, as :func:`doorlint.spec.yaml_positions.span` finds it."""
        return span(self.tree, steps(pointer))

    def text(self, pointer: str) -> str | None:
        """The text as written of the value that a JSON pointer names; None where there is no such text.

        Raises ``ValueError`` for a text that is no JSON pointer.
        """
        try:
            node = node_at(self.tree, steps(pointer))
        except LookupError:
            return None
        return node if isinstance(node, str) else None

    def patched(self, patch: Patch) -> Spec:
        """The spec with a JSON Merge Patch (RFC 7396) of texts applied, and read again; this one is not changed.

        The patch is joined with what is written, before ``each`` and ``part`` are put in. One that takes out a value
        which ``each`` or a part still gives has a problem at that place. Positions go on pointing into this spec's
        text. A spec whose text is not YAML stays as it is.
        """
        if self.tree is None:
            return self
        spec = _read(merge_patch(self.written, patch), self.catalog)
        if spec.problems or spec.tree is spec.written:
            return spec
        still = tuple(_still_given(spec, path) for path in taken_out(patch) if _gives(spec.tree, path))
        return spec._replace(values={}, keys={}, problems=still) if still else spec


def read(data: bytes | str, catalog: Catalog = NO_CATALOG) -> Spec:
    """Read a job spec from its text, with the catalog of the parts that it may name.

    >>> spec = read("{doorlint: 1, stage: survey, job: {number: J-1}, room: {headroom: 24 in}}")
    >>> spec.values["room.headroom"], spec.position("/room/headroom"), spec.problems
    (0.6096, (1, 57), ())
    >>> spec.patched({"room": {"headroom": "18"}}).problems[0].message
    'found 18 without a unit; expected a length; write 18 in or 18 mm'
    """
    marked = parse(data)
    if marked.problem is not None:
        return Spec(None, {}, {}, (marked.problem,), "us", None)
    return _read(marked.tree, catalog)


def _read(tree: Node, catalog: Catalog) -> Spec:
    system = _system(tree)
    said, full = accepted(tree), tree
    parts: tuple[PartUse, ...] = ()
    if said is not None and said.short:
        whole = expanded(tree, catalog)
        if whole.problems:
            return Spec(tree, {}, {}, whole.problems, system, said.values["stage"], tree, (), catalog)
        full, parts, said = whole.tree, whole.parts, accepted(whole.tree)
        if said is None:
            raise AssertionError("the values of parts and of each do not fit the spec that they were checked for")
    if said is not None:
        return Spec(full, said.values, said.keys, (), system, said.values["stage"], tree, parts, catalog)
    from doorlint.spec.schema_errors import explained

    problems = explained(tree)
    if not problems:
        raise AssertionError("the walk doubts a spec that nothing is wrong with")
    stage = tree.get("stage") if isinstance(tree, Mapping) else None
    known = isinstance(stage, str) and stage in VOCABULARY.leaves["stage"].choices
    return Spec(tree, {}, {}, problems, system, stage if known and isinstance(stage, str) else None, tree, (), catalog)


def _gives(tree: Node, path: list[str]) -> bool:
    try:
        return node_at(tree, path) is not None
    except LookupError:
        return False


def _still_given(spec: Spec, path: list[str]) -> Problem:
    """The refusal of a patch that takes out a value which is given for it elsewhere."""
    line, column = position(spec.tree, path)
    found = f"found {shown(path[-1])} taken out of {pointer(path[:-1])}, but line {line} still gives it"
    fix = f"change line {line}, or give another value in its place"
    message = f"{found} by `each` or `part`; expected a change that leaves no value there; {fix}"
    return Problem("spec.each", pointer(path), line, column, message)


def _system(tree: Node) -> System:
    """The unit system of the opening's width, as first written; US where it is not known."""
    node = tree
    for key in ("opening", "width"):
        node = node.get(key) if isinstance(node, Mapping) else None
    for text in node.values() if isinstance(node, Mapping) else ():
        try:
            system = system_of(text) if isinstance(text, str) else None
        except QuantityError:
            continue
        if system is not None:
            return system
    return "us"


_head = re.compile(
    rb"(?:\A(?:\xef\xbb\xbf|\xff\xfe|\xfe\xff)?|[\r\n])[\"']?door[-_ ]?lint[\"']?"
    rb"(?:[ \t]*:|[ \t]+[0-9]+[ \t]*(?:[\r\n#]|\Z))",
    re.IGNORECASE,
).search
_json = re.compile(rb"[\r\n{,][ \t]*\"doorlint\"[ \t]*:[ \t]*\"?1\b").search


def declares(data: bytes) -> bool:
    """Whether a file says that it is a job spec: by a line that starts with ``doorlint:``, or by that key in JSON,
    which is YAML too.

    A slip in that word, or an encoding that is not read, is no reason to pass a spec over: what is meant as one is
    read, and refused with what to fix.

    >>> declares(b"# north dock\\ndoorlint: 1\\n"), declares(b"name: doorlint: 1")
    (True, False)
    >>> declares(b"Doorlint: 1"), declares("doorlint: 1".encode("utf-16"))
    (True, True)
    >>> declares(b'{"job": {}, "doorlint": 1}')
    True

    A report names the version that made it and is no spec:

    >>> declares(b"doorlint 0.1.0, rules 0123456789ab")
    False
    """
    text = data.replace(b"\0", b"")
    return _head(text) is not None or _json(text) is not None
