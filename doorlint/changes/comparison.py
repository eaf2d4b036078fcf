"""A proposed change compared with what was approved: what was changed, what moves, what there is to decide."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from doorlint.changes.edits import Edit, edits
from doorlint.changes.matters import Matter, former_outcomes, matters
from doorlint.changes.moves import Move, moves
from doorlint.changes.shifts import Shift, pairs, report_order, shifts
from doorlint.evaluation import Evaluated, SignOff, evaluate_spec
from doorlint.findings import SpecReview
from doorlint.rulebook.library import Library
from doorlint.rulebook.margin import SLACK
from doorlint.rulebook.rule import STAGES, FindingKey, Outcome
from doorlint.spec import Spec
from doorlint.verdict import Policy, present

__all__ = ["DECISIONS", "Change", "Decision", "asks", "compare", "decide"]

Decision = Literal["nothing new", "sign-off", "hold"]
DECISIONS: tuple[Decision, ...] = ("nothing new", "sign-off", "hold")

TO_DECIDE = frozenset({"new", "worse", "other", "open again", "not checked", "limit moved"})
NO_WORSE = frozenset({"better", "cleared", "gone", "as before"})


@dataclass(frozen=True, slots=True)
class Change:
    """The whole result of a change."""

    edits: tuple[Edit, ...]
    moves: tuple[Move, ...]
    shifts: tuple[Shift, ...]
    decision: Decision
    approved: SpecReview
    proposed: SpecReview
    patch: bool
    """whether the proposed file holds only the changed values"""
    matters: tuple[Matter, ...] = ()
    """what there is to decide beside the findings"""
    followed: tuple[str, ...] = ()
    """pointers of values that nobody changed: they follow from what was"""
    given: tuple[str, ...] = ()
    """pointers of the values that a patch gives, also where they are as before: they were measured again"""


def compare(
    approved: Evaluated,
    proposed: Spec,
    digest: str,
    library: Library,
    policy: Policy,
    names: tuple[str, str],
    *,
    stage: str | None = None,
    patch: bool = False,
    beside: Mapping[str, SignOff] | None = None,
    followed: tuple[str, ...] = (),
    given: tuple[str, ...] = (),
) -> Change:
    """Compare a proposed spec with an approved one; both must be readable.

    Without ``stage`` each is checked for its own stage, but the proposed one for no earlier stage than the
    approved one was: a job does not get clear by going back a stage. Both are shown in the approved spec's units.
    ``beside`` are the sign-offs in the file beside the proposed spec; those of the approved one are in its record.
    ``followed`` are the pointers of values that follow from the change and are not part of it, ``given`` those of the
    values that a patch gives.
    """
    assert approved.job is not None
    assert approved.record.stage is not None
    stage = stage or max(approved.record.stage, proposed.values["stage"], key=STAGES.index)
    after = evaluate_spec(proposed, digest, library, stage, approved.job)
    assert after.job is not None
    if policy.units == "as-written":
        policy = policy._replace(units=approved.record.system)
    record = after.record._replace(approvals={**after.record.approvals, **(beside or {})})
    was = present(approved.record, library, policy, names[0], approved.spec, approved.job)
    now = present(record, library, policy, names[1], after.spec, after.job)
    former = former_outcomes(approved.job, after.job, approved.record, record, library)
    found = tuple(_with_moved_limits(shifts(pairs(was, now, library)), former))
    stages = approved.spec.values["stage"], proposed.values["stage"]
    others = tuple(matters(approved.record, record, stages, library, now.system))
    edited, moved = tuple(edits(approved.spec, proposed)), tuple(moves(approved.job, after.job))
    decision: Decision = max(decide(found), "sign-off" if others else "nothing new", key=DECISIONS.index)
    return Change(edited, moved, found, decision, was, now, patch, others, followed, given)


def _with_moved_limits(found: Iterable[Shift], former: Mapping[FindingKey, Outcome]) -> list[Shift]:
    """The shifts; what is no worse than before only because a shop figure was moved says so."""
    return sorted((_moved_limit(shift, former) for shift in found), key=report_order)


def _moved_limit(shift: Shift, former: Mapping[FindingKey, Outcome]) -> Shift:
    was, then = shift.before.finding, former.get((shift.rule, shift.pointer, shift.thing))
    if shift.kind not in NO_WORSE or was is None or then is None:
        return shift
    if shift.after.finding is None:
        return shift._replace(kind="limit moved")
    if was.margin is None or then.margin is None:
        return shift
    worse = then.margin < was.margin - SLACK * abs(was.margin)
    return shift._replace(kind="limit moved") if worse else shift


def decide(found: tuple[Shift, ...]) -> Decision:
    """What the change asks for.

    A hold where something is new, worse, not met in another way, open again or no worse only by a moved limit, and
    nobody may sign it off, or where an error can no longer be checked; a sign-off where the same is true of what a
    supervisor may sign off, or a warning can no longer be checked. Advisories ask for nothing.
    """
    return max(map(asks, found), key=DECISIONS.index, default="nothing new")


def asks(shift: Shift) -> Decision:
    """What one shift alone asks for."""
    if shift.kind not in TO_DECIDE or shift.severity == "advisory":
        return "nothing new"
    finding = shift.before.finding if shift.kind == "limit moved" else shift.after.finding
    never = shift.severity == "error" if finding is None else finding.sign_off == "never"
    return "hold" if never else "sign-off"
