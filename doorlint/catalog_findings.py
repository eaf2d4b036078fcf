"""Findings about the catalog parts that a spec names: values that differ, and documents that have run out."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from typing import Any, Final

from doorlint import quantities
from doorlint.findings import Finding, Measure, builtin_finding
from doorlint.named_tuple import NamedTuple
from doorlint.quantities import System
from doorlint.rulebook.rule import Source
from doorlint.spec import Part, PartUse, Spec
from doorlint.spec.problems import BuiltinRule, Problem
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["BUILTIN_RULES", "PartNote", "catalog_findings", "documents", "part_notes"]

SAME: Final = 1e-9
"""Values that differ by no more than this share of themselves are one value in two notations."""

BUILTIN_RULES: dict[str, BuiltinRule] = {
    "catalog.over-capacity": BuiltinRule(
        "Nothing carries more than its catalog says",
        "The catalog's capacity rests on a document. More than that rests on nothing, and the part may let go.",
        "Take the value out, or name the part that carries so much.",
        "error",
    ),
    "catalog.other-part": BuiltinRule(
        "A part has its own capacity in the catalog",
        "The part has no such capacity in its catalog. The value is from the other part that `each` names, and "
        "this part may carry less.",
        "Write its capacity beside the part, or put it in the catalog with its document.",
        "error",
    ),
    "catalog.differs": BuiltinRule(
        "A catalog part has the values of its catalog",
        "The value written beside the part is used. It is wrong, or another part is meant.",
        "Remove the value, or name the part that has it.",
        "warning",
    ),
    "catalog.lower-capacity": BuiltinRule(
        "A catalog part has the capacity of its catalog",
        "The lower capacity written beside the part is used.",
        "Remove the value if the part has the capacity of the catalog.",
        "advisory",
    ),
    "catalog.document-lapsed": BuiltinRule(
        "The document of a part is still valid",
        "After its last day nobody answers for the capacity in the document.",
        "Get the new edition of the document and put its last day in the catalog, or use another part.",
        "warning",
    ),
}
"""By id."""


class PartNote(NamedTuple):
    """One catalog part that a spec names, at one place; nothing in it depends on day or units.

    ``name`` is the value that differs from the catalog's, with both of them in SI; without one, the note is about the
    document, whose last day is ``until``. ``other`` is the part that the value comes from, where that is not ``part``.
    """

    line: int
    column: int
    end: tuple[int, int]
    pointer: str
    thing: str | None
    part: str
    document: str
    until: str | None
    name: str | None = None
    value: Any = None
    catalog_value: Any = None
    other: str | None = None


def part_notes(spec: Spec) -> tuple[PartNote, ...]:
    """The possible findings about the parts that a spec names, once for each written place."""
    notes: dict[tuple[Any, ...], PartNote] = {}
    for note in _notes(spec):
        notes.setdefault((note.line, note.column, note.part, note.name), note)
    return tuple(notes.values())


def _notes(spec: Spec) -> Iterator[PartNote]:
    for use in spec.parts:
        part = spec.catalog[use.part]
        if part.until is not None:
            place = use.place or spec.span(use.pointer)
            yield PartNote(*place, use.pointer, use.key, part.name, part.document, part.until)
        for rest, theirs in part.read.items():
            name = f"{use.group}.{rest}"
            value = _held(spec, name, use.key)
            if name in VOCABULARY.leaves and not _same(value, theirs):
                pointer = VOCABULARY.pointer_of(name, use.key)
                place = spec.span(pointer)
                yield PartNote(*place, pointer, use.key, part.name, part.document, None, name, value, theirs)
        if use.under is not None:
            yield from _borrowed(spec, use, part, spec.catalog[use.under])


def _borrowed(spec: Spec, use: PartUse, part: Part, other: Part) -> Iterator[PartNote]:
    """The capacities that a thing has of another part than the one it is."""
    for rest, theirs in other.read.items():
        name = f"{use.group}.{rest}"
        term = VOCABULARY.leaves.get(name)
        value = _held(spec, name, use.key)
        if term is not None and term.capacity and rest not in part.read and _same(value, theirs):
            pointer = VOCABULARY.pointer_of(name, use.key)
            place = use.place or spec.span(pointer)
            yield PartNote(
                *place, pointer, use.key, part.name, other.document, None, name, value, theirs, other.name
            )  # fmt: skip


def documents(spec: Spec, names: Container[str], axis: str | None, key: str | None) -> tuple[str, ...]:
    """The documents that the capacities among these values rest on, each with its part; on ``axis``,
    only those of the thing with this key."""
    said: dict[str, None] = {}
    for use in spec.parts:
        part = spec.catalog[use.part]
        if axis is not None and VOCABULARY.containers[use.group].axis == axis and use.key != key:
            continue
        for rest, theirs in part.read.items():
            name = f"{use.group}.{rest}"
            term = VOCABULARY.leaves.get(name)
            if name in names and term is not None and term.capacity and _same(_held(spec, name, use.key), theirs):
                said[f"{part.name}: {part.document}"] = None
    return tuple(said)


def _held(spec: Spec, name: str, key: str | None) -> Any:
    held = spec.values.get(name)
    return held.get(key) if isinstance(held, dict) else held


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= SAME * max(abs(one), abs(other))
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(_same, one, other))
    return bool(one == other)


def catalog_findings(notes: Sequence[PartNote], on: str, system: System) -> list[Finding]:
    """The findings of a day, worded in a unit system."""
    return [_lapsed(note) if note.name is None else _differs(note, system) for note in notes if _counts(note, on)]


def _counts(note: PartNote, on: str) -> bool:
    return note.until is None or note.until < on


def _lapsed(note: PartNote) -> Finding:
    message = f"{note.part}: its document ran out on {note.until} ({note.document})"
    return _finding("catalog.document-lapsed", note, message, None, None, None)


def _differs(note: PartNote, system: System) -> Finding:
    assert note.name is not None
    term = VOCABULARY.leaves[note.name]
    label = VOCABULARY.label(note.name, note.thing).replace(": ", " ")
    if note.other is not None:
        ours = _words(note.value, term.dimension, system)
        message = f"{label} {ours} is that of {note.other}, which `each` names; {note.part} has none in its catalog"
        return _finding("catalog.other-part", note, message, None, None, None)
    if term.numeric_dimension is None:
        ours, theirs = (_words(value, term.dimension, system) for value in (note.value, note.catalog_value))
        message = f"{label} is {ours}; {note.part} has {theirs} ({note.document})"
        return _finding("catalog.differs", note, message, None, None, None)
    ours, theirs = quantities.write_pair(note.value, note.catalog_value, term.numeric_dimension, system)
    unit = quantities.DIMENSIONS[term.numeric_dimension].si_unit
    measured, limit = Measure(float(note.value), unit, ours), Measure(float(note.catalog_value), unit, theirs)
    if not term.capacity:
        message = f"{label} is {ours}; {note.part} has {theirs} ({note.document})"
        return _finding("catalog.differs", note, message, measured, limit, None)
    more = note.value > note.catalog_value
    rule = "catalog.over-capacity" if more else "catalog.lower-capacity"
    message = f"{label} {ours} is {'more' if more else 'less'} than {note.part} carries: {theirs} ({note.document})"
    return _finding(rule, note, message, measured, limit, note.catalog_value - note.value)


def _words(value: Any, dimension: str | None, system: System) -> str:
    if isinstance(value, tuple):
        return ", ".join(_words(item, dimension, system) for item in value)
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value) if dimension is None else quantities.write(value, dimension, system)


def _finding(
    rule: str, note: PartNote, message: str, measured: Measure | None, limit: Measure | None, margin: float | None
) -> Finding:
    builtin = BUILTIN_RULES[rule]
    found = builtin_finding(
        builtin,
        Problem(rule, note.pointer, note.line, note.column, message, note.end),
        Source("practice", note=f"the catalog's document: {note.document}"),
        safety="Load nothing that rests on this value until it is settled.",
        sign_off="never" if builtin.severity == "error" else "supervisor",
    )
    return found._replace(
        measured=measured,
        limit=limit,
        margin=margin,
        value=note.value,
        bound=note.catalog_value,
        thing=note.thing,
    )
