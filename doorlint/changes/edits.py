"""What was changed: every value and thing that only one of two specs gives, or that they give differently."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from doorlint.figures.graph import Unknown
from doorlint.natural_order import natural
from doorlint.rulebook.margin import SLACK
from doorlint.spec import Spec
from doorlint.spec.vocabulary import VOCABULARY, Term

__all__ = ["Edit", "edits", "same"]

MOST_PARTS = 9
"""The most values of an added or removed thing that are listed one by one."""


class Edit(NamedTuple):
    """One spec value, or one thing with all its values, that was changed; a side is ``None`` where it is not given."""

    pointer: str
    label: str
    before: str | None
    """as written"""
    after: str | None
    dimension: str | None


def edits(before: Spec, after: Spec) -> Iterator[Edit]:
    """Every value that differs, in the vocabulary's order; the same size in other units is no change.

    A thing or group that one side does not have at all is one edit.
    """
    for term in VOCABULARY.root.parts.values():
        yield from _edits(term, None, before, after)


def _edits(term: Term, key: str | None, before: Spec, after: Spec) -> Iterator[Edit]:
    if term.kind == "map":
        (thing,) = term.parts.values()
        axis = thing.name
        for one in sorted({*before.keys.get(axis, ()), *after.keys.get(axis, ())}, key=natural):
            yield from _edits(thing, one, before, after)
        return
    sides = tuple(_value(term, key, spec) for spec in (before, after))
    if term.kind == "group" and None not in sides:
        for part in term.parts.values():
            yield from _edits(part, key, before, after)
    elif not same(*sides):
        was, now = _text(term, key, before), _text(term, key, after)
        pointer, label = VOCABULARY.pointer_of(term.name, key), VOCABULARY.label(term.name, key)
        yield Edit(pointer, label, was, now, term.dimension)


def _value(term: Term, key: str | None, spec: Spec) -> Any:
    """SI value; of a group whether it is given."""
    if key is not None and term.name == term.axis:
        return True if key in spec.keys.get(term.axis, ()) else None
    held = spec.values.get(term.name)
    return held if key is None or held is None else held.get(key)


def _text(term: Term, key: str | None, spec: Spec) -> str | None:
    """A value as written; of a group its values with their names."""
    if _value(term, key, spec) is None:
        return None
    if term.kind != "group":
        return _written(spec, VOCABULARY.pointer_of(term.name, key))
    parts = list(_parts(term, key, spec))
    more = [f"and {len(parts) - MOST_PARTS} more"] if len(parts) > MOST_PARTS else []
    return ", ".join(parts[:MOST_PARTS] + more)


def _parts(term: Term, key: str | None, spec: Spec) -> Iterator[str]:
    for part in _leaves(term):
        keys = spec.keys.get(part.axis, ()) if part.axis and key is None else (key,)
        for one in keys:
            text = _text(part, one, spec)
            if text is not None:
                own = part.axis if key is None and part.axis else term.name
                name = part.name.removeprefix(f"{own}.").replace(".", " ").replace("_", " ")
                yield f"{one} {name} {text}" if key is None and part.axis else f"{name} {text}"


def _leaves(term: Term) -> Iterator[Term]:
    for part in term.parts.values():
        if part.kind in ("group", "map"):
            yield from _leaves(part)
        else:
            yield part


def _written(spec: Spec, pointer: str) -> str:
    node: Any = spec.tree
    for step in pointer.split("/")[1:]:
        node = node[step]
    return ", ".join(map(str, node)) if isinstance(node, list) else str(node)


def same(old: Any, new: Any) -> bool:
    """Whether two values of a spec are one, as far as their numbers go."""
    if isinstance(old, float) and isinstance(new, float):
        return abs(old - new) <= SLACK * max(abs(old), abs(new))
    if isinstance(old, tuple) and isinstance(new, tuple) and not isinstance(old, Unknown):
        return len(old) == len(new) and all(map(same, old, new))
    return bool(old == new)
