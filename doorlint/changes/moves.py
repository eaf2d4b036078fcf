"""What moves: every figure and measure that a change alters."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple, TypeAlias

from doorlint import quantities
from doorlint.figures.graph import Job, Unknown
from doorlint.figures.notes import note_of
from doorlint.natural_order import natural
from doorlint.rulebook.library import RULE
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["Level", "Move", "moves"]

MOVED = 1e-4
"""A figure moves when it changes by more than this share of itself: about 1/64 in on a door's height."""
MARK = 2e-4
"""A length moves when it changes by more than this (m): half the finest mark of a tape."""

Level: TypeAlias = float | Unknown | None
"""A figure in SI; or why it is not known; or ``None`` where it does not apply."""


class Move(NamedTuple):
    """One figure, or measure that the spec gives, that moves with the change."""

    name: str
    key: str | None
    label: str
    dimension: str
    before: Level
    after: Level


def moves(before: Job, after: Job, names: Iterable[str] | None = None) -> Iterator[Move]:
    """Every figure and every measure of the spec, with a dimension, that differs after the change.

    Figures of a part that neither job has, a tower beside a torsion shaft, are left out. ``names``: these alone.
    """
    absent = VOCABULARY.root.parts.keys() - {**before.values, **after.values}.keys()
    nodes = after.graph.nodes
    for node in nodes.values() if names is None else [nodes[name] for name in names]:
        if node.dimension is None or node.name.startswith(RULE) or node.name.partition(".")[0] in absent:
            continue
        old, new = before.cell(node.name), after.cell(node.name)
        if old is new:
            continue
        by_key = node.axis is not None or isinstance(old, dict) or isinstance(new, dict)
        keys = sorted({key for cells in (old, new) if isinstance(cells, dict) for key in cells}, key=natural)
        for key in keys if by_key else (None,):
            was, now = (_level(cells, key) for cells in (old, new))
            if (isinstance(was, float) or isinstance(now, float)) and not _still(was, now, node.dimension):
                label = VOCABULARY.label(node.name) if node.function is None else note_of(node.function).label
                yield Move(node.name, key, label, node.dimension, was, now)


def _level(cells: Any, key: str | None) -> Level:
    value = cells.get(key) if isinstance(cells, dict) else cells
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    return value if isinstance(value, Unknown) else None


def _still(old: Level, new: Level, dimension: str) -> bool:
    """Whether a figure stays the same, within rounding and within what a report can show."""
    if not isinstance(old, float) or not isinstance(new, float):
        return False
    if abs(old - new) <= MOVED * max(abs(old), abs(new)):
        return True
    if dimension in ("length", "position") and abs(old - new) <= MARK:
        return True
    nothing = quantities.write(0.0, dimension, "si")
    return all(quantities.write(level, dimension, "si") == nothing for level in (old, new))
