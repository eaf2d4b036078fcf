"""A proposed change held against what was approved: what was changed, what moves, what there is to decide."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from doorlint.figures.graph import Job
from doorlint.figures.notes import note_of
from doorlint.findings import Finding, NotChecked, SpecReview
from doorlint.review import Checked, Policy, check_spec, judge
from doorlint.rulebook.checks import SLACK
from doorlint.rulebook.library import RULE, Library
from doorlint.spec import Spec
from doorlint.spec.vocabulary import VOCABULARY

Decision = Literal["nothing new", "sign-off", "hold"]
Kind = Literal["new", "worse", "better", "cleared", "no longer checked"]
KINDS: tuple[Kind, ...] = ("new", "worse", "no longer checked", "better", "cleared")


class Edit(NamedTuple):
    """One spec value that was changed; a side is ``None`` where it is not given."""

    pointer: str
    label: str
    before: str | None
    after: str | None


class Move(NamedTuple):
    """One figure that moves with the change, in SI; a side is ``None`` where it cannot be worked out."""

    name: str
    key: str | None
    label: str
    dimension: str
    before: float | None
    after: float | None


class Shift(NamedTuple):
    """One rule at one thing that now says something else."""

    kind: Kind
    rule: str
    pointer: str
    before: Finding | None
    after: Finding | None
    gap: NotChecked | None
    """why it can no longer be checked"""


@dataclass(frozen=True, slots=True)
class Change:
    """All that a change comes to."""

    edits: tuple[Edit, ...]
    moves: tuple[Move, ...]
    shifts: tuple[Shift, ...]
    decision: Decision
    approved: SpecReview
    proposed: SpecReview


def compare(
    approved: Checked,
    proposed: Spec,
    digest: str,
    library: Library,
    policy: Policy,
    names: tuple[str, str],
    stage: str | None,
) -> Change:
    """Hold a proposed spec against an approved one; both must be readable."""
    after = check_spec(proposed, digest, library, stage, approved.job)
    before_review = judge(approved.record, library, policy, names[0], approved.spec, approved.job)
    after_review = judge(after.record, library, policy, names[1], after.spec, after.job)
    assert approved.job is not None
    assert after.job is not None
    shifts = tuple(sorted(_shifts(before_review, after_review), key=lambda s: (KINDS.index(s.kind), s.rule, s.pointer)))
    return Change(
        tuple(edits(approved.spec, proposed)),
        tuple(moves(approved.job, after.job)),
        shifts,
        decide(shifts),
        before_review,
        after_review,
    )


def decide(shifts: tuple[Shift, ...]) -> Decision:
    """What the change asks for: a hold where something new or worse may never be signed off or an error can no
    longer be checked; a sign-off for any other new or worse error or warning."""
    decision: Decision = "nothing new"
    for shift in shifts:
        if shift.kind == "no longer checked" and shift.gap is not None and shift.gap.severity == "error":
            return "hold"
        finding = shift.after
        if shift.kind in ("new", "worse") and finding is not None and finding.severity != "advisory":
            if finding.severity == "error" and finding.sign_off == "never":
                return "hold"
            decision = "sign-off"
    return decision


def edits(before: Spec, after: Spec) -> Iterator[Edit]:
    """Every value that differs, in the vocabulary's order; the same size in other units is no change."""
    for term in VOCABULARY.leaves.values():
        old, new = before.values.get(term.name), after.values.get(term.name)
        if term.axis is None:
            if not _same(old, new):
                yield _edit(term.name, None, before, after)
            continue
        for key in dict.fromkeys([*(old or {}), *(new or {})]):
            if not _same((old or {}).get(key), (new or {}).get(key)):
                yield _edit(term.name, key, before, after)


def _edit(name: str, key: str | None, before: Spec, after: Spec) -> Edit:
    pointer = VOCABULARY.pointer_of(name, key)
    label = VOCABULARY.leaves[name].description.partition(";")[0]
    return Edit(pointer, label, _written(before, pointer), _written(after, pointer))


def _written(spec: Spec, pointer: str) -> str | None:
    node: Any = spec.tree
    for step in pointer.split("/")[1:]:
        node = node.get(step) if isinstance(node, dict) else None
    return ", ".join(map(str, node)) if isinstance(node, list) else node


def moves(before: Job, after: Job) -> Iterator[Move]:
    """Every figure with a dimension that is another one after the change."""
    for node in after.graph.nodes.values():
        if node.function is None or node.dimension is None or node.name.startswith(RULE):
            continue
        old, new = before.cell(node.name), after.cell(node.name)
        if old is new:
            continue
        label = note_of(node.function).label
        columns = [cells if isinstance(cells, dict) else {} for cells in (old, new)]
        keys: list[str | None] = list(dict.fromkeys(key for column in columns for key in column)) or [None]
        for key in keys:
            was, now = (_number(cells.get(key) if isinstance(cells, dict) and key else cells) for cells in (old, new))
            if not _same(was, now):
                yield Move(node.name, key, label, node.dimension, was, now)


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def _same(old: Any, new: Any) -> bool:
    if isinstance(old, float) and isinstance(new, float):
        return abs(old - new) <= SLACK * max(abs(old), abs(new))
    return bool(old == new)


def _shifts(before: SpecReview, after: SpecReview) -> Iterator[Shift]:
    """A join over (rule, pointer) of what is open on each side; what is signed off is not open."""
    old = {(finding.rule, finding.pointer): finding for finding in before.findings}
    new = {(finding.rule, finding.pointer): finding for finding in after.findings}
    signed = {(approved.finding.rule, approved.finding.pointer) for approved in after.approved}
    was_gap = {(gap.rule, gap.pointer) for gap in before.not_checked}
    gaps = {(gap.rule, gap.pointer): gap for gap in after.not_checked}
    for place, finding in new.items():
        earlier = old.get(place)
        if earlier is None:
            yield Shift("new", *place, None, finding, None)
        elif finding.margin is not None and earlier.margin is not None and not _same(finding.margin, earlier.margin):
            yield Shift("better" if finding.margin > earlier.margin else "worse", *place, earlier, finding, None)
    for place, finding in old.items():
        if place not in new and place not in gaps and place not in signed:
            yield Shift("cleared", *place, finding, None, None)
    for place, gap in gaps.items():
        if place not in was_gap:
            yield Shift("no longer checked", *place, old.get(place), None, gap)
