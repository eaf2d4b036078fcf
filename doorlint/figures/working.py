"""How a figure was come by: every number it rests on, down to what was measured."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from doorlint.figures.graph import Job, Unknown
from doorlint.figures.notes import note_of

Write = Callable[[Any, str | None], str]
"""Words for a value of a dimension."""


class Step(NamedTuple):
    """One number on the way, with those it was worked out from."""

    name: str
    key: str | None
    """which named thing it is of"""
    value: Any
    dimension: str | None
    label: str
    """what the figure says of itself; empty for what the spec, the shop or a table gives"""
    formula: str
    source: tuple[str, ...]
    """standing, document, edition, clause, note; empty for what the spec, the shop or a table gives"""
    parts: tuple[Step, ...]
    told: bool
    """its parts were shown further up"""


def working(job: Job, name: str, key: str | None = None) -> Step:
    """The figure, and what it was worked out from, and so on down.

    What was left out, or had no value, is not among the parts; each number shows its own parts once.
    Raises :class:`KeyError` for a name that is in no vocabulary.
    """
    return _step(job, name, key, set())


def _step(job: Job, name: str, key: str | None, told: set[tuple[str, str | None]]) -> Step:
    node = job.graph.nodes[name]
    if node.function is None:
        return Step(name, key, job.at(name, key), node.dimension, "", "", (), (), False)
    note = note_of(node.function)
    parts: list[Step] = []
    before = (name, key) in told
    if not before:
        told.add((name, key))
        for parameter in node.parameters:
            same = key is not None and job.graph.axis_of(parameter.name) == node.axis
            below = key if same and not parameter.column and not _whole(job, name) else None
            value = job.at(parameter.name, below)
            if value is not None and value.__class__ is not Unknown:
                parts.append(_step(job, parameter.name, below, told))
    return Step(name, key, job.at(name, key), node.dimension, note.label, note.formula, note.source, tuple(parts), before)


def _whole(job: Job, name: str) -> bool:
    """Whether the figure makes its whole column at once."""
    function = job.graph.nodes[name].function
    return function is not None and function.__annotations__["return"].startswith("Each[")


def lines(step: Step, write: Write, label_of: Callable[[str], str], depth: int = 0) -> Iterator[str]:
    """The steps as text: ``label = formula = value``, what each rests on set in below it.

    ``write`` puts a value into words, ``label_of`` names what the spec, the shop or a table gives.
    """
    indent = "  " * depth
    said = write(step.value, step.dimension)
    named = step.label or label_of(step.name)
    if step.key is not None:
        named = f"{named}, {step.key}"
    middle = f" = {step.formula}" if step.formula else ""
    end = f" = {said}" if said else ""
    yield f"{indent}{named}{middle}{end}" + (" (as above)" if step.told and step.formula else "")
    for part in step.parts:
        yield from lines(part, write, label_of, depth + 1)
