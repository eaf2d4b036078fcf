"""A change as text for a terminal of 80 columns: the decision, then what is behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from doorlint.reports.cautions import cautions
from doorlint.reports.change_words import DECISIONS, KINDS, edit_text, move_sides, redo, shift_text
from doorlint.reports.text import wrap
from doorlint.reports.words import counterbalance, plain
from doorlint.whatif.change import Change, Move


def render(change: Change, version: str, on: str) -> str:
    """The whole change report."""
    return "\n".join(_lines(change, version, on)) + "\n"


def _lines(change: Change, version: str, on: str) -> Iterator[str]:
    approved, proposed = change.approved, change.proposed
    yield from wrap(f"approved  {plain(approved.file)}  spec {approved.spec_digest}", "", "  ")
    yield from wrap(f"proposed  {plain(proposed.file)}  spec {proposed.spec_digest}", "", "  ")
    yield from wrap(f"{DECISIONS[change.decision]}.", "", "")
    if approved.verdict == "hold":
        yield from wrap("The approved job was on hold already; that is not what this decides.", "", "")
    yield ""
    yield "WHAT WAS CHANGED"
    for edit in change.edits or ():
        yield from wrap(plain(edit_text(edit)), "  - ")
    if not change.edits:
        yield "  nothing"
    for kind, head in KINDS.items():
        shifts = [shift for shift in change.shifts if shift.kind == kind]
        if shifts:
            yield ""
            yield head.upper()
        for shift in shifts:
            finding = shift.after or shift.before
            severity = finding.severity if finding else shift.gap.severity if shift.gap else ""
            yield from wrap(f"{severity}  {shift.rule}  at {plain(shift.pointer)}", "  ", "      ")
            yield from wrap(plain(shift_text(shift)), "      ", "      ")
            if shift.after is not None and kind in ("new", "worse"):
                yield from wrap(f"safety: {plain(shift.after.safety)}", "      ", "        ") if shift.after.safety else []
    again = redo(change)
    if again:
        yield ""
        yield "SET OUT ANEW FIRST"
        yield from _moves(again, proposed.system)
    rest = [move for move in change.moves if move not in again]
    if rest:
        yield ""
        yield "ALSO MOVES"
        yield from _moves(rest, proposed.system)
    yield ""
    yield "CAUTIONS"
    for caution in cautions(counterbalance(proposed)):
        yield from wrap(caution, "  - ")
    yield ""
    yield from wrap(f"doorlint {version}, rules {proposed.rules_digest}, decided for {on}", "", "")
    yield f"DECISION  {change.decision}"


def _moves(moves: Sequence[Move], system: str) -> Iterator[str]:
    for move in moves:
        before, after = move_sides(move, "si" if system == "si" else "us")
        thing = f" {move.key}" if move.key else ""
        yield from wrap(f"{move.label}{thing}: {before} before, now {after}", "  - ")
