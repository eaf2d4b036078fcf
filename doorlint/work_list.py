"""What a change asks for on site: measures to take again, work in its order, and parts to order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from doorlint.changes.comparison import Change
from doorlint.changes.moves import Level, Move
from doorlint.counterbalance import described
from doorlint.counterbalance.kind import Task
from doorlint.parts_list import Piece, list_parts
from doorlint.sheet.work import work_again
from doorlint.spec.vocabulary import VOCABULARY

__all__ = ["Item", "Recut", "Step", "WorkList", "work_list"]

LOCK = "Lock the door closed, with a clamp on the track above a roller on both sides."
MEASURED_WITH = {
    ("opening.diagonal",): ("opening.width", "opening.height"),
    ("room.headroom",): ("opening.height",),
    ("room.side_left", "room.side_right"): ("opening.width",),
}
"""Measures that are taken again when others were: they start or end at the same edge of the opening."""


class Item(NamedTuple):
    """One thing to do: its words with ``{after}`` for the new value, the figure or spec value, and both sides."""

    words: str
    name: str
    things: tuple[str, ...]
    before: Level | str
    after: Level | str
    dimension: str | None


class Step(NamedTuple):
    """What is done again of one step of the work, and how the door is made safe for it."""

    title: str
    lock_off: str
    items: tuple[Item, ...]


class Recut(NamedTuple):
    """Parts that are there and are cut shorter."""

    piece: Piece
    was: Piece


class WorkList(NamedTuple):
    """All that a change asks for on site."""

    measure: tuple[str, ...]
    """pointers of what was measured before the change, from an edge that it moved, and has to be measured again"""
    steps: tuple[Step, ...]
    order: tuple[Piece, ...]
    """parts that the approved job does not have, or not so many of"""
    recut: tuple[Recut, ...]
    left_over: tuple[Piece, ...]
    """parts of the approved job that the proposed one has no use for"""

    @property
    def names(self) -> frozenset[str]:
        """The figures that the steps name."""
        return frozenset(item.name for step in self.steps for item in step.items)


def work_list(change: Change) -> WorkList:
    """What a change asks for on site, in the order of the work."""
    return WorkList(tuple(_to_measure(change)), tuple(_steps(change)), *_parts(change))


def _to_measure(change: Change) -> Iterator[str]:
    """What starts or ends at an edge of the opening that was measured again, and was not itself."""
    spec = change.proposed.spec
    assert spec is not None
    edited = [edit.pointer for edit in change.edits if edit.pointer not in change.followed]
    measured = [*edited, *change.given]
    for names, edges in MEASURED_WITH.items():
        moved = any(_of(pointer, VOCABULARY.term(edge).pointer) for edge in edges for pointer in edited)
        pointers = [VOCABULARY.term(name).pointer for name in names]
        if moved and not any(_of(one, pointer) for one in measured for pointer in pointers):
            yield from (pointer for name, pointer in zip(names, pointers, strict=True) if _given(name, spec.values))


def _given(name: str, values: Iterable[str]) -> bool:
    return any(value == name or value.startswith(f"{name}.") for value in values)


def _steps(change: Change) -> Iterator[Step]:
    assert change.proposed.job is not None
    kinds = described(change.proposed.job.values)
    lock = " ".join([*(kind.lock for kind in kinds)]) or LOCK
    lift = change.proposed.job.values.get("track.lift")
    for task in (task for task in work_again(*kinds) if task.is_for(lift)):
        for thing in change.proposed.job.keys.get(task.each, ()) if task.each else (None,):
            items = tuple(_items(task, thing, change))
            if items:
                yield Step(task.title.replace("{thing}", thing or ""), lock, items)


def _items(task: Task, thing: str | None, change: Change) -> Iterator[Item]:
    told = [VOCABULARY.leaves[name].pointer for name in task.redo if name in VOCABULARY.leaves]
    for name, words in task.redo.items():
        moves = [move for move in change.moves if move.name == name and thing in (None, move.key)]
        yield from _moved(words, moves)
        if name in VOCABULARY.containers:
            within = VOCABULARY.containers[name].pointer
            for edit in change.edits:
                taken_out = edit.after is None and _is_value(edit.pointer)  # not known any more: nothing to do
                if _of(edit.pointer, within) and not taken_out and not any(_of(edit.pointer, leaf) for leaf in told):
                    yield Item(f"{words}: {edit.label}, {{after}}", edit.pointer, (), edit.before, edit.after, None)
        elif name in VOCABULARY.leaves and not moves:
            for edit in change.edits:
                if _of(edit.pointer, VOCABULARY.leaves[name].pointer):
                    yield Item(words, edit.pointer, (), edit.before, edit.after, None)


def _moved(words: str, moves: Iterable[Move]) -> Iterator[Item]:
    """One figure; the things at which it moves alike together."""
    alike: dict[tuple[Level, Level, str, str], list[str]] = {}
    for move in moves:
        if move.after is not None:
            alike.setdefault((move.before, move.after, move.name, move.dimension), []).append(move.key or "")
    for (before, after, name, dimension), things in alike.items():
        yield Item(words, name, tuple(filter(None, things)), before, after, dimension)


def _is_value(pointer: str) -> bool:
    """Whether a pointer is of one value, not of a thing or group."""
    depth = pointer.count("/")
    return any(leaf.pointer.count("/") == depth and _of(pointer, leaf.pointer) for leaf in VOCABULARY.leaves.values())


def _of(pointer: str, term: str) -> bool:
    """Whether a pointer is of a term, or of a value below it; ``{}`` in the term's pointer is any thing.

    >>> _of("/door/sections/s3/weight", "/door/sections/{}"), _of("/torsion/shaft", "/torsion/shaft/height")
    (True, False)
    """
    steps, wanted = pointer.split("/"), term.split("/")
    return len(steps) >= len(wanted) and all(want in ("{}", step) for want, step in zip(wanted, steps, strict=False))


def _parts(change: Change) -> tuple[tuple[Piece, ...], tuple[Recut, ...], tuple[Piece, ...]]:
    """The difference of the two parts lists; what is only cut shorter need not be ordered."""
    before, after = (
        {(piece.part, piece.size, piece.length_text, piece.catalog): piece for piece in list_parts(side).pieces}
        for side in (change.approved, change.proposed)
    )
    counted = Counter({key: piece.count or 0 for key, piece in before.items()})
    wanted = Counter({key: piece.count or 0 for key, piece in after.items()})
    more, fewer = wanted - counted, counted - wanted
    order, recut = [], []
    for key, number in more.items():
        piece = after[key]
        longer = next((one for one in fewer if _from(before[one], piece) and fewer[one] >= number), None)
        if longer is None:
            order.append(replace(piece, count=number))
        else:
            fewer[longer] -= number
            recut.append(Recut(replace(piece, count=number), before[longer]))
    left_over = [replace(before[key], count=number) for key, number in fewer.items() if number > 0]
    return tuple(order), tuple(recut), tuple(left_over)


def _from(longer: Piece, piece: Piece) -> bool:
    """Whether a part can be cut from one that is there."""
    same = (longer.part, longer.size, longer.catalog) == (piece.part, piece.size, piece.catalog)
    return same and longer.length is not None and piece.length is not None and longer.length > piece.length
