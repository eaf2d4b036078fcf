"""A change as Markdown for a comment on a pull request; what does not fit one is left out and said to be left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from doorlint.changes.comparison import Change
from doorlint.changes.moves import Move
from doorlint.changes.shifts import Kind, Shift
from doorlint.findings import Approved
from doorlint.reports import change_words
from doorlint.reports.cautions import cautions
from doorlint.reports.markdown import code, escaped, fitted
from doorlint.reports.words import SIGN_OFF, count, counterbalance, relaxed_texts, signed_text, source_text
from doorlint.work_list import WorkList, work_list

MOST_ROWS = 50


def render(change: Change, version: str, on: str) -> str:
    """The whole change report."""
    return fitted(parts(change), _tail(change, version, on))


def parts(change: Change, title: str = "") -> Iterator[str]:
    """The report part by part; ``title`` stands before the decision."""
    yield f"## {title}{change_words.DECISIONS[change.decision]}"
    yield f"{change_words.reason_text(change)} {change_words.count_text(change)}."
    yield "\n".join(
        f"- {side} {escaped(said)}"
        for side, said in zip(("Approved", "Proposed"), change_words.side_texts(change), strict=True)
    )
    for note in change_words.notes(change):
        yield escaped(note)
    work = work_list(change)
    yield from _work(work, change)
    if change.matters:
        lines = [f"- {escaped(matter.message)} {code(matter.pointer)}" for matter in change.matters]
        yield "**To decide**\n\n" + "\n".join(_cut(lines, "matter"))
    lines = [f"- {escaped(line)}" for line in change_words.edit_lines(change)]
    yield "**What was changed**\n\n" + ("\n".join(_cut(lines, "change")) or "- nothing")
    for kind, title in change_words.HEADS.items():
        shifts = change_words.of_kind(change, kind)
        if shifts:
            lines = [_shift(shift, kind) for shift in shifts]
            yield f"**{title}**\n\n" + "\n".join(_cut(lines, "finding"))
    texts = relaxed_texts(change_words.change_relaxed(change))
    if texts:
        yield "**Not as in the library**\n\n" + "\n".join(f"- {escaped(text)}" for text in texts)
    moved = change_words.moved_once(change, work)
    more = "\n\n".join(_table(moved, change))
    if more:
        yield f"<details><summary>Figures that move: {len(moved)}</summary>\n\n{more}\n\n</details>"


def _work(work: WorkList, change: Change) -> Iterator[str]:
    """What to do on site in the order of the work, and the parts it takes."""
    steps = [escaped(change_words.measure_text(pointer)) for pointer in work.measure]
    for step in work.steps:
        items = "; ".join(change_words.item_text(item, change.proposed.system) for item in step.items)
        steps.append(f"{escaped(step.title)}: {escaped(items)}")
    if steps:
        lines = [f"{number}. {step}" for number, step in enumerate(steps, 1)]
        locks = "\n".join(f"- {escaped(lock)}" for lock in dict.fromkeys(step.lock_off for step in work.steps))
        lock_off = f"**Lock-off before each step**\n\n{locks}\n\n" if locks else ""
        yield f"{lock_off}**Work list**\n\n" + "\n".join(_cut(lines, "step"))
    parts = [f"- {escaped(line)}" for line in change_words.part_lines(work)]
    if parts:
        yield "**Parts to order**\n\n" + "\n".join(_cut(parts, "part"))


def _shift(shift: Shift, kind: Kind) -> str:
    said = f"- {shift.severity} {code(shift.rule)} at {code(change_words.place_text(shift))}"
    if kind == "as before":
        return said
    said += f": {escaped(change_words.shift_text(shift))}"
    finding = shift.after.finding
    if finding is not None and kind in change_words.FULL:
        told = {
            "Safety": finding.safety, "Try": finding.remedy, "Source": source_text(finding.source),
            "Sign-off": SIGN_OFF[finding.sign_off] if finding.severity != "advisory" else "",
        }  # fmt: skip
        said += " *The tape could flip this.*" * finding.marginal
        said += "".join(f" **{label}:** {escaped(text)}" for label, text in told.items() if text)
    if isinstance(shift.after.result, Approved):
        said += f" **Signed off** {escaped(signed_text(shift.after.result))}"
    return said


def _table(moves: Sequence[Move], change: Change) -> Iterator[str]:
    rows = [
        f"| {escaped(label)}{f', {escaped(row.thing)}' if row.thing else ''} "
        f"| {escaped(row.before)} | {escaped(row.after)} |"
        for label, things in change_words.tabled(moves, change.proposed.system)
        for row in things
    ]
    if rows:
        table = "\n".join(["| Figure | Before | Now |", "| --- | --- | --- |", *_cut(rows, "figure")])
        yield table


def _cut(lines: list[str], thing: str) -> list[str]:
    """At most ``MOST_ROWS`` lines, and how many more there are."""
    if len(lines) <= MOST_ROWS:
        return lines
    return [*lines[:MOST_ROWS], "", f"**And {count(len(lines) - MOST_ROWS, f'more {thing}')}, not listed here.**"]


def _tail(change: Change, version: str, on: str) -> Iterator[str]:
    said = cautions(counterbalance(change.proposed))
    yield "**Cautions**\n\n" + "\n".join(f"- {escaped(caution)}" for caution in said)
    settings = f"settings {code(change.proposed.settings)}, " if change.proposed.settings else ""
    yield (
        f"doorlint {version}, rules {code(change.proposed.rules_digest)}, {settings}"
        f"approved {code(change.approved.spec_digest)}, proposed {code(change.proposed.spec_digest)}, day {on}"
    )
