"""The words that the forms of a change share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from doorlint import quantities
from doorlint.changes.comparison import Change, Decision, asks
from doorlint.changes.edits import Edit
from doorlint.changes.moves import Level, Move
from doorlint.changes.shifts import Kind, Shift
from doorlint.figures.graph import Unknown
from doorlint.findings import REASONS, Finding, Relaxed
from doorlint.parts_list import Piece
from doorlint.reports.words import count, counts, gap_text, is_gap, relaxed_of, sentence
from doorlint.rulebook.rule import STAGES
from doorlint.sheet import SET_OUT
from doorlint.spec.vocabulary import VOCABULARY
from doorlint.work_list import Item, WorkList

DECISIONS: dict[Decision, str] = {
    "nothing new": "NOTHING TO DECIDE",
    "sign-off": "NEEDS SIGN-OFF BY A SUPERVISOR",
    "hold": "HOLD",
}
HEADS: dict[Kind, str] = {
    "new": "New",
    "worse": "Worse than before",
    "other": "Not met, in another way than before",
    "open again": "Signed off before, and no longer",
    "not checked": "Cannot be checked after this change",
    "limit moved": "No worse only because a shop figure was moved",
    "signed off": "Signed off",
    "better": "Better, but still there",
    "cleared": "Cleared",
    "gone": "No longer asked: the thing is gone, or the rule does not apply any more",
    "checked again": "Could not be checked before, and is met",
    "as before": "Open as before",
}
"""The head over the shifts of each kind, in the order a report tells them."""
COUNTED: dict[Kind, str] = {
    "new": "new", "worse": "worse", "other": "not met in another way", "open again": "no longer signed off",
    "not checked": "that cannot be checked now", "limit moved": "met by a moved limit",
    "signed off": "signed off", "better": "better", "cleared": "cleared",
    "gone": "no longer asked", "checked again": "met that could not be checked", "as before": "as before",
}  # fmt: skip
FULL: frozenset[Kind] = frozenset({"new", "worse", "other", "open again"})
"""Kinds whose findings are shown with what to do first."""


class Row(NamedTuple):
    """One figure that moves, in words."""

    thing: str
    before: str
    after: str


class Rows(NamedTuple):
    """One figure with every thing at which it moves."""

    label: str
    rows: tuple[Row, ...]


def reason_text(change: Change) -> str:
    """Why the decision is what it is, in one sentence with its number, and what it means for the work."""
    if change.decision == "nothing new":
        return "No rule holds this change, and it needs no sign-off."
    told = sorted((shift for shift in change.shifts if asks(shift) == change.decision), key=_is_lacking)
    first = sentence(shift_text(told[0]) if told else change.matters[0].message)
    gaps = sum(shift.after.gap is not None for shift in told)
    found = len(told) - gaps
    who = "nobody may sign off" if change.decision == "hold" else "a supervisor decides on"
    parts = [f"{count(found, 'finding')} that {who}"] * bool(found)
    parts += [f"{count(gaps, 'check')} that cannot be made"] * bool(gaps)
    others = len(change.matters) if change.decision == "sign-off" else 0
    parts += [f"{count(others, 'other matter')} to decide"] * bool(others)
    then = "Do not go on with the work." if change.decision == "hold" else "Work waits for the sign-off."
    every = f" In all {' and '.join(parts)}." if found + gaps + others > 1 else ""
    return f"{first}{every} {then}"


def _is_lacking(shift: Shift) -> bool:
    """Whether it says only that something is not given: what is wrong comes first."""
    return shift.after.finding is None or is_gap(shift.after.finding)


def item_text(item: Item, system: quantities.System) -> str:
    """One thing to do, with the value it gets and the one it had."""
    before, after = _sides(item, system)
    done = item.words.replace("{thing}", ", ".join(item.things)).replace("{after}", after)
    return f"{done} (not there before)" if before == NOT_THERE else f"{done} ({before} before)"


NOT_THERE = "does not apply"


def _sides(item: Item, system: quantities.System) -> tuple[str, str]:
    if item.dimension is None:
        return str(item.before or NOT_THERE), str(item.after or "take it out")
    before, after = item.before, item.after
    if isinstance(before, float) and isinstance(after, float):
        return quantities.write_pair(before, after, item.dimension, system)
    return tuple(  # type: ignore[return-value]
        level if isinstance(level, str) else level_text(level, item.dimension, system) for level in (before, after)
    )


def measure_text(pointer: str) -> str:
    """What has to be measured again.

    >>> measure_text("/opening/diagonal"), measure_text("/room/headroom")
    ('measure the diagonals of the opening again', 'measure the headroom again')
    """
    return f"measure {MEASURED.get(pointer, pointer)} again"


MEASURED = {
    "/opening/diagonal": "the diagonals of the opening",
    "/room/headroom": "the headroom",
    "/room/side_left": "the side room on the left",
    "/room/side_right": "the side room on the right",
}


def part_lines(work: WorkList) -> list[str]:
    """The parts to order, to cut again and left over, a line each."""
    return [
        *(f"order {_piece(piece)}" for piece in work.order),
        *(f"re-cut {_piece(one.piece)} ({one.was.length_text} before)" for one in work.recut),
        *(f"no longer used: {_piece(piece)}" for piece in work.left_over),
    ]


def _piece(piece: Piece) -> str:
    number = "a number not decided" if piece.count is None else str(piece.count)
    return f"{number} x " + ", ".join(filter(None, (piece.part, piece.size, piece.length_text)))


def count_text(change: Change) -> str:
    """How much there is of each kind.

    What moves is counted by figure, whatever the number of things at which it does.
    """
    parts = [f"{len(of_kind(change, kind))} {COUNTED[kind]}" for kind in HEADS if of_kind(change, kind)]
    figures = len({move.name for move in [*sheet_moves(change), *other_moves(change)]})
    return ", ".join([*parts, f"{figures or 'no'} {'figure moves' if figures == 1 else 'figures move'}"])


def notes(change: Change) -> Iterator[str]:
    """What the reader has to know of the two sides beside the decision."""
    approved, proposed = change.approved, change.proposed
    assert proposed.spec is not None
    for pointer in change.followed:
        value = proposed.spec.text(pointer)
        taken = f"is taken as {value}" if value else "is taken as not given"
        yield f"{MEASURED[pointer].capitalize()} was not measured again: it follows the header and {taken}."
    if approved.verdict == "hold":
        yield f"The approved job is on hold as it stands: {counts(approved)}. That is not what this decides."
    assert approved.stage is not None
    assert proposed.stage is not None
    assert proposed.spec is not None
    said = proposed.spec.values["stage"]
    if STAGES.index(proposed.stage) > STAGES.index(approved.stage):
        yield (
            f"The approved job is at {approved.stage}, the proposed one at {proposed.stage}: "
            f"what {proposed.stage} asks first counts as new."
        )
    elif said != proposed.stage:
        yield f"The proposed spec says {said}; it is checked for {proposed.stage}, as the approved one is."


def edit_lines(change: Change) -> list[str]:
    """What was changed, a line for each value; values of one group that change alike share a line."""
    lines = []
    for _, group in groupby(change.edits, _alike):
        edits = list(group)
        keys = [edit.pointer.rpartition("/")[2] for edit in edits[1:]]
        label = ", ".join([edits[0].label, *(key.replace("_", " ") for key in keys)])
        pointers = ", ".join([edits[0].pointer, *keys])
        lines.append(f"{label}: {_edit_sides(edits[0], change.proposed.system)} ({pointers})")
    return lines


def _alike(edit: Edit) -> tuple[str, str | None, str | None]:
    return edit.pointer.rpartition("/")[0], edit.before, edit.after


def _edit_sides(edit: Edit, system: quantities.System) -> str:
    if edit.before is None:
        return f"now given, {edit.after}"
    if edit.after is None:
        return f"no longer given; {edit.before} before"
    return f"{_in_units(edit.before, edit, system)} before, now {_in_units(edit.after, edit, system)}"


def _in_units(text: str, edit: Edit, system: quantities.System) -> str:
    """A value as written, with the report's units beside it where it was written in others."""
    if edit.dimension is None:
        return text
    try:
        written = quantities.system_of(text)
    except quantities.QuantityError:  # a list of lengths
        return text
    if written in (None, system):
        return text
    return f"{text} ({quantities.write(quantities.read(text, edit.dimension, signed=True), edit.dimension, system)})"


def level_text(level: Level, dimension: str, system: quantities.System) -> str:
    """One side of a figure that moves."""
    if level is None:
        return "does not apply"
    if isinstance(level, Unknown):
        said = ", ".join(level.missing) or level.note
        return f"not known ({REASONS[level.reason]}{': ' if said else ''}{said})"
    return quantities.write(level, dimension, system)


def move_sides(move: Move, system: quantities.System) -> tuple[str, str]:
    """Both sides of a figure that moves, with digits enough to tell them apart."""
    if isinstance(move.before, float) and isinstance(move.after, float):
        return quantities.write_pair(move.before, move.after, move.dimension, system)
    return level_text(move.before, move.dimension, system), level_text(move.after, move.dimension, system)


def sheet_moves(change: Change) -> list[Move]:
    """The figures of the setting-out sheet that move, in the order of the work."""
    order = {name: place for place, name in enumerate(SET_OUT)}
    return sorted((move for move in change.moves if move.name in order), key=lambda move: order[move.name])


def moved_once(change: Change, work: WorkList) -> list[Move]:
    """The figures that move and that the work list does not give already, those of the sheet first."""
    told = work.names | VOCABULARY.leaves.keys()  # what the spec itself gives is among what was changed
    return [move for move in (*sheet_moves(change), *other_moves(change)) if move.name not in told]


def other_moves(change: Change) -> list[Move]:
    """The other figures that move; what the spec itself gives is listed under the changes."""
    return [move for move in change.moves if move.name not in SET_OUT and move.name not in VOCABULARY.leaves]


def tabled(moves: Sequence[Move], system: quantities.System) -> list[Rows]:
    """Figures that move, each once, with its things; those that move alike share a row."""
    tables = []
    for (_, label), group in groupby(moves, lambda move: (move.name, move.label)):
        things: dict[tuple[str, str], list[str]] = {}
        for move in group:
            things.setdefault(move_sides(move, system), []).append(move.key or "")
        tables.append(Rows(label, tuple(Row(", ".join(keys), *sides) for sides, keys in things.items())))
    return tables


def shift_text(shift: Shift) -> str:
    """The message of a rule now, and the one before."""
    before, after = shift.before.finding, shift.after.finding
    if shift.after.gap is not None:
        return f"{shift.after.gap.title}: {gap_text(shift.after.gap)}"
    if shift.kind == "checked again" and shift.before.gap is not None:
        return f"{shift.before.gap.title}: could not be checked, {gap_text(shift.before.gap)}; now met"
    if after is None:
        said = before.message if before is not None else shift.before.gap.title if shift.before.gap is not None else ""
        moved = "; met now only because a shop figure was moved" if shift.kind == "limit moved" else ""
        return f"{said} (before){moved}"
    if shift.kind in ("worse", "better", "other") and before is not None:
        return f"{after.message} (before: {_was(before)})"
    if shift.kind == "new" and shift.before.state == "not asked" and not after.rule.startswith("approval."):
        return f"{after.message} (not asked of the approved job)"
    return after.message


def _was(finding: Finding) -> str:
    if finding.measured is None or finding.limit is None:
        return finding.message
    return f"{finding.measured.text} against {finding.limit.text}"


def change_relaxed(change: Change) -> list[Relaxed]:
    """What differs from the library on either side, each once."""
    return relaxed_of((change.approved, change.proposed))


def of_kind(change: Change, kind: Kind) -> list[Shift]:
    """The shifts of one kind."""
    return [shift for shift in change.shifts if shift.kind == kind]


def side_texts(change: Change) -> tuple[str, str]:
    """Both sides: file, stage and digest."""
    approved, proposed = change.approved, change.proposed
    what = f"changed values {proposed.spec_digest} over it" if change.patch else f"spec {proposed.spec_digest}"
    return (
        f"{approved.file}, {approved.stage}, spec {approved.spec_digest}",
        f"{proposed.file}, {proposed.stage}, {what}",
    )


def place_text(shift: Shift) -> str:
    """The place of a shift: the pointer, and the thing where that does not name it."""
    place = shift.pointer or "the file"
    return f"{place}, {shift.thing}" if shift.thing and shift.thing not in place.split("/") else place
