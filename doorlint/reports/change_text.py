"""A change as text for a terminal of 80 columns: the decision, then what is behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from doorlint.changes.comparison import Change
from doorlint.changes.moves import Move
from doorlint.changes.shifts import Kind, Shift
from doorlint.findings import Approved, Finding
from doorlint.quantities import System
from doorlint.reports import change_words
from doorlint.reports.cautions import cautions
from doorlint.reports.text import relaxed_section, wrap
from doorlint.reports.words import SIGN_OFF, counterbalance, made_from, plain, sentence, signed_text, source_text
from doorlint.work_list import WorkList, work_list

INDENT = " " * 10


def render(change: Change, version: str, on: str) -> str:
    """The whole change report."""
    return "\n".join(_lines(change, version, on)) + "\n"


def _lines(change: Change, version: str, on: str) -> Iterator[str]:
    proposed = change.proposed
    yield from body(change)
    yield ""
    yield from "".join(relaxed_section(change_words.change_relaxed(change))).splitlines()
    yield "CAUTIONS"
    for caution in cautions(counterbalance(proposed)):
        yield from wrap(caution, "  - ")
    yield ""
    yield f"doorlint {version}, {made_from(proposed)}, decided for {on}"
    yield f"DECISION  {change.decision}"


def body(change: Change) -> Iterator[str]:
    """The report of one spec, without the lines that come once for all specs."""
    for side, said in zip(("approved", "proposed"), change_words.side_texts(change), strict=True):
        yield from wrap(f"{side}  {plain(said)}", "", INDENT)
    yield ""
    work = work_list(change)
    yield from wrap(f"{change_words.DECISIONS[change.decision]}. {change_words.reason_text(change)}", "", "")
    for note in change_words.notes(change):
        yield from wrap(note, "", "")
    yield from _work(work, change.proposed.system)
    yield ""
    yield from wrap(f"{change_words.count_text(change)}.", "", "")
    if change.matters:
        yield ""
        yield "TO DECIDE"
        for matter in change.matters:
            yield from wrap(plain(f"{matter.message} ({matter.pointer})"), "  - ")
    yield ""
    yield "WHAT WAS CHANGED"
    for line in change_words.edit_lines(change) or ["nothing"]:
        yield from wrap(plain(line), "  - ")
    for kind, head in change_words.HEADS.items():
        yield from _shifts(change_words.of_kind(change, kind), kind, head)
    yield from _moves("FIGURES THAT MOVE", change_words.moved_once(change, work), change)


def _work(work: WorkList, system: System) -> Iterator[str]:
    """What to do on site in the order of the work, and the parts it takes."""
    if work.measure or work.steps:
        yield ""
        yield "WORK LIST"
    number, lock = 0, ""
    for pointer in work.measure:
        number += 1
        yield from wrap(sentence(f"{change_words.measure_text(pointer)} ({pointer})"), f"  {number}. ")
    for step in work.steps:
        number += 1
        yield from wrap(plain(step.title), f"  {number}. ")
        if step.lock_off != lock:
            yield from wrap(plain(f"lock-off: {step.lock_off}"), "     ", "       ")
            lock, first = step.lock_off, number
        else:
            yield f"     lock-off: as for {first}"
        for item in step.items:
            yield from wrap(plain(change_words.item_text(item, system)), "     - ")
    parts = change_words.part_lines(work)
    if parts:
        yield ""
        yield "PARTS TO ORDER" if work.order else "PARTS"
        for line in parts:
            yield from wrap(plain(line), "  - ")


def _shifts(shifts: Sequence[Shift], kind: Kind, head: str) -> Iterator[str]:
    if not shifts:
        return
    yield ""
    yield from wrap(head.upper(), "", "  ")
    for (severity, rule), group in groupby(shifts, lambda shift: (shift.severity, shift.rule)):
        places = list(group)
        yield f"  {severity}  {rule}"
        told = [
            shift.after.finding for shift in places if shift.after.finding is not None and kind in change_words.FULL
        ]
        tries = list(dict.fromkeys(finding.remedy or "" for finding in told))
        for shift in places:
            yield from wrap(f"at {plain(change_words.place_text(shift))}", "    ", "      ")
            if kind != "as before":
                yield from wrap(plain(change_words.shift_text(shift)), "    ", "    ")
            if isinstance(shift.after.result, Approved):
                yield from wrap(f"signed off {signed_text(shift.after.result)}", "    ", "      ")
            finding = shift.after.finding
            if finding is not None and kind in change_words.FULL and finding.marginal:
                yield "    marginal: within what the tape or an estimate can tell"
            if finding is not None and len(tries) > 1 and finding.remedy:
                yield from wrap(f"try: {plain(finding.remedy)}", "    ", "      ")
        if told:
            yield from _advice(told[0], tries)


def _advice(finding: Finding, tries: Sequence[str]) -> Iterator[str]:
    """What is said once for all places of a rule; what to try only where it is the same at each."""
    for label, text in (
        ("safety", finding.safety), ("try", tries[0] if len(tries) == 1 else ""),
        ("source", source_text(finding.source)),
        ("sign-off", SIGN_OFF[finding.sign_off] if finding.severity != "advisory" else ""),
    ):  # fmt: skip
        if text:
            yield from wrap(f"{label}: {plain(text)}", "    ", "      ")


def _moves(head: str, moves: Sequence[Move], change: Change) -> Iterator[str]:
    if not moves:
        return
    yield ""
    yield head
    for label, rows in change_words.tabled(moves, change.proposed.system):
        if len(rows) == 1:
            (row,) = rows
            thing = f", {row.thing}" if row.thing else ""
            yield from wrap(plain(f"{label}{thing}: {row.before} before, now {row.after}"), "  - ")
        else:
            yield from wrap(plain(f"{label}:"), "  - ")
            for row in rows:
                yield from wrap(plain(f"{row.thing}: {row.before} before, now {row.after}"), "      ", "        ")
