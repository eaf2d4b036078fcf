"""A proposed change as a page: the decision, what was changed, what there is to decide, what to set out anew."""

from __future__ import annotations

from doorlint.reports import pages
from doorlint.reports.cautions import cautions
from doorlint.reports.change_words import DECISIONS, KINDS, edit_text, move_sides, redo, shift_text
from doorlint.reports.words import counterbalance, titled
from doorlint.whatif.change import Change, Move


def render(change: Change, version: str, on: str) -> str:
    """The whole change report."""
    again = redo(change)
    proposed = change.proposed
    return pages.fill(
        "change.html.j2",
        change=change,
        title=titled(proposed),
        decision=DECISIONS[change.decision].partition(": ")[2],
        cells=[("Approved", change.approved.file), ("Proposed", proposed.file), ("Decided for", on)],
        edits=[edit_text(edit) for edit in change.edits],
        kinds=[
            (head, [(shift, shift_text(shift)) for shift in change.shifts if shift.kind == kind])
            for kind, head in KINDS.items()
        ],
        again=[_row(change, move) for move in again],
        rest=[_row(change, move) for move in change.moves if move not in again],
        cautions=cautions(counterbalance(proposed)),
        version=version,
        on=on,
    )


def _row(change: Change, move: Move) -> tuple[str, str, str]:
    before, after = move_sides(move, change.proposed.system)
    return (f"{move.label}, {move.key}" if move.key else move.label, before, after)
