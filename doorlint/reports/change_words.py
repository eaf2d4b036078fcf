"""The wording that the forms of a change share."""

from __future__ import annotations

from doorlint import quantities
from doorlint.whatif.change import Change, Decision, Edit, Kind, Move, Shift

DECISIONS: dict[Decision, str] = {
    "nothing new": "Nothing new to decide: the change brings no finding that the approved job did not have",
    "sign-off": "Needs sign-off: a supervisor decides on what is new or worse before work goes on",
    "hold": "Hold: the change brings what nobody may sign off; work does not go on like this",
}
KINDS: dict[Kind, str] = {
    "new": "New findings",
    "worse": "Worse than before",
    "no longer checked": "Can no longer be checked",
    "better": "Better, but still there",
    "cleared": "Cleared",
}


def edit_text(edit: Edit) -> str:
    """One changed value in the trade's words."""
    if edit.before is None:
        return f"{edit.label}: now given, {edit.after} ({edit.pointer})"
    if edit.after is None:
        return f"{edit.label}: {edit.before} before, no longer given ({edit.pointer})"
    return f"{edit.label}: {edit.before} before, now {edit.after} ({edit.pointer})"


def move_sides(move: Move, system: quantities.System) -> tuple[str, str]:
    """Both sides of a figure that moves, with digits enough to tell them apart."""
    if move.before is not None and move.after is not None:
        return quantities.write_pair(move.before, move.after, move.dimension, system)
    sides = (move.before, move.after)
    before, after = ("not known" if side is None else quantities.write(side, move.dimension, system) for side in sides)
    return before, after


def shift_text(shift: Shift) -> str:
    """One rule that now says something else."""
    if shift.gap is not None:
        wanted = ", ".join(shift.gap.missing) or shift.gap.note
        return f"{shift.gap.title}: {shift.gap.reason}, {wanted}"
    if shift.after is not None and shift.before is not None:
        return f"{shift.after.message} (before: {shift.before.message})"
    finding = shift.after or shift.before
    return "" if finding is None else finding.message


def redo(change: Change) -> list[Move]:
    """The figures an installer sets out by, which must be set out anew, in the order of the work."""
    from doorlint.setout import SET_OUT

    order = {name: place for place, name in enumerate(SET_OUT)}
    return sorted((move for move in change.moves if move.name in order), key=lambda move: order[move.name])
