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

    What was left out or had no value is not among the parts. Each figure shows its own parts once, and
    what was given is told once. Raises :class:`KeyError` for a name that is in no vocabulary.
    """
    return _step(job, name, key, set())


def _step(job: Job, name: str, key: str | None, told: set[tuple[str, str | None]]) -> Step:
    node = job.graph.nodes[name]
    before = (name, key) in told
    told.add((name, key))
    value = job.at(name, key)
    if node.function is None:
        return Step(name, key, value, node.dimension, "", "", (), (), before)
    note = note_of(node.function)
    parts: list[Step] = []
    if not before:
        one = key is not None and not node.function.__annotations__["return"].startswith("Each[")
        for parameter in node.parameters:
            same = one and not parameter.column and job.graph.axis_of(parameter.name) == node.axis
            below = key if same else None
            if _has_value(job.at(parameter.name, below)):
                part = _step(job, parameter.name, below, told)
                if part.label or not part.told:
                    parts.append(part)
    return Step(name, key, value, node.dimension, note.label, note.formula, note.source, tuple(parts), before)


def _has_value(value: Any) -> bool:
    if isinstance(value, dict):
        return any(map(_has_value, value.values()))
    return value is not None and value.__class__ is not Unknown


def lines(step: Step, write: Write, label_of: Callable[[str], str], depth: int = 0) -> Iterator[str]:
    """The steps as text: ``label = formula = value``, what each rests on set in below it.

    ``write`` puts a value into words, ``label_of`` names what the spec, the shop or a table gives.
    """
    said = [step.label or label_of(step.name)]
    if step.key is not None:
        said[0] += f", {step.key}"
    if step.formula and not step.told:
        said.append(step.formula)
    value = write(step.value, step.dimension)
    if value:
        said.append(value)
    yield "  " * depth + " = ".join(said) + (" (as above)" if step.told else "")
    for part in step.parts:
        yield from lines(part, write, label_of, depth + 1)
