"""A change as Markdown for a pull-request comment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from doorlint.reports.cautions import cautions
from doorlint.reports.change_words import DECISIONS, KINDS, edit_text, move_sides, redo, shift_text
from doorlint.reports.markdown import escaped
from doorlint.reports.words import counterbalance
from doorlint.whatif.change import Change, Move


def render(change: Change, version: str, on: str) -> str:
    """The whole change report."""
    return "\n".join(_lines(change, version, on)) + "\n"


def _lines(change: Change, version: str, on: str) -> Iterator[str]:
    proposed = change.proposed
    yield f"## {escaped(change.decision.capitalize())}: {escaped(proposed.file)}"
    yield ""
    yield f"{escaped(DECISIONS[change.decision])}."
    yield ""
    yield "### What was changed"
    yield ""
    for edit in change.edits:
        yield f"- {escaped(edit_text(edit))}"
    if not change.edits:
        yield "- nothing"
    for kind, head in KINDS.items():
        shifts = [shift for shift in change.shifts if shift.kind == kind]
        if shifts:
            yield from ("", f"### {head}", "")
        for shift in shifts:
            yield f"- `{shift.rule}` at {escaped(shift.pointer)}: {escaped(shift_text(shift))}"
            if shift.after is not None and shift.after.safety and kind in ("new", "worse"):
                yield f"  - Safety: {escaped(shift.after.safety)}"
    again = redo(change)
    yield from _table("Set out anew first", again, proposed.system == "si")
    rest = [move for move in change.moves if move not in again]
    if rest:
        yield from ("", f"<details><summary>{len(rest)} more figures move</summary>")
        yield from _table("Also moves", rest, proposed.system == "si")
        yield from ("", "</details>")
    yield from ("", "### Cautions", "")
    for caution in cautions(counterbalance(proposed)):
        yield f"- {escaped(caution)}"
    yield ""
    yield escaped(
        f"doorlint {version}, rules {proposed.rules_digest}, approved spec {change.approved.spec_digest}, "
        f"proposed spec {proposed.spec_digest}, decided for {on}"
    )


def _table(head: str, moves: Sequence[Move], si: bool) -> Iterator[str]:
    if not moves:
        return
    yield from ("", f"### {head}", "", "| Figure | Before | Now |", "| --- | --- | --- |")
    for move in moves:
        before, after = move_sides(move, "si" if si else "us")
        thing = f" {move.key}" if move.key else ""
        yield f"| {escaped(move.label + thing)} | {escaped(before)} | {escaped(after)} |"
