"""A change as a page: the decision, what was changed, both outlines in one drawing, what there is to decide."""

from __future__ import annotations

from typing import NamedTuple

from doorlint.changes.comparison import Change
from doorlint.changes.shifts import Kind, Shift
from doorlint.facts import Facts
from doorlint.reports import change_words, pages
from doorlint.reports.cautions import cautions
from doorlint.reports.pictures import Drawn, overlaid
from doorlint.reports.words import counterbalance, relaxed_texts, titled
from doorlint.work_list import work_list


class Group(NamedTuple):
    """The shifts of one kind."""

    anchor: str
    head: str
    full: bool
    """shown with what to do first"""
    brief: bool
    """shown by rule and place only"""
    rules: list[list[tuple[Shift, str, str]]]
    """those of one rule together, each with its place and its message"""


def render(change: Change, version: str, on: str) -> str:
    """The whole change report."""
    groups = [
        _group(change, kind, head) for kind, head in change_words.HEADS.items() if change_words.of_kind(change, kind)
    ]
    work, drawn = work_list(change), _drawings(change)
    moved = change_words.moved_once(change, work)
    contents = [("work", "Work list")] * bool(work.measure or work.steps)
    contents += [("parts", "Parts")] * bool(change_words.part_lines(work)) + [("decide", "To decide")] * bool(
        change.matters
    )
    contents.append(("changed", "What was changed"))
    contents += [(group.anchor, group.head.partition(":")[0]) for group in groups]
    contents += [("drawings", "Drawings")] * bool(drawn)
    contents += [("relaxed", "Not as in the library")] * bool(change_words.change_relaxed(change))
    contents += [("rest", "Figures that move")] * bool(moved) + [("cautions", "Cautions"), ("provenance", "Made from")]
    return pages.fill(
        "change.html.j2",
        change=change,
        title=titled(change.proposed),
        head=change_words.DECISIONS[change.decision],
        decision=change_words.reason_text(change),
        counts=change_words.count_text(change),
        notes=list(change_words.notes(change)),
        cells=_cells(change, on),
        contents=contents,
        edits=change_words.edit_lines(change),
        groups=groups,
        drawings=drawn,
        measure=[change_words.measure_text(pointer) for pointer in work.measure],
        work=[
            (step, [change_words.item_text(item, change.proposed.system) for item in step.items]) for step in work.steps
        ],
        parts_needed=change_words.part_lines(work),
        moved=change_words.tabled(moved, change.proposed.system),
        relaxed=relaxed_texts(change_words.change_relaxed(change)),
        cautions=cautions(counterbalance(change.proposed)),
        version=version,
        on=on,
    )


def _group(change: Change, kind: Kind, head: str) -> Group:
    rules: dict[str, list[tuple[Shift, str, str]]] = {}
    for shift in change_words.of_kind(change, kind):
        rules.setdefault(shift.rule, []).append((shift, change_words.place_text(shift), change_words.shift_text(shift)))
    return Group(kind.replace(" ", "-"), head, kind in change_words.FULL, kind == "as before", list(rules.values()))


def _drawings(change: Change) -> list[Drawn]:
    approved, proposed = change.approved.job, change.proposed.job
    assert approved is not None
    assert proposed is not None
    system = change.proposed.system
    return overlaid(Facts(approved, system), Facts(proposed, system))


def _cells(change: Change, on: str) -> list[tuple[str, str]]:
    approved, proposed = change_words.side_texts(change)
    return [("Approved", approved), ("Proposed", proposed), ("Decided for", on)]
