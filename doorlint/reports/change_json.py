"""A change as JSON, of the shape of ``schemas/change.schema.json``."""

from __future__ import annotations

from typing import Any

from doorlint import quantities
from doorlint.changes.comparison import Change, Level, Move, Shift, Side
from doorlint.figures.graph import Unknown
from doorlint.findings import SpecReview
from doorlint.reports.as_json import approved_data, finding_data, gap_data
from doorlint.reports.change_words import again, change_relaxed, move_sides, rest, system_of
from doorlint.reports.data import dump


def render(change: Change, version: str, on: str) -> str:
    """The whole change report, keys always present."""
    return dump(document(change, version, on))


def document(change: Change, version: str, on: str) -> dict[str, Any]:
    """The change as plain data."""
    system = system_of(change)
    return {
        "tool": {"name": "doorlint", "version": version},
        "reviewed_on": on,
        "rules": change.proposed.rules_digest,
        "decision": change.decision,
        "approved": _review(change.approved),
        "proposed": {**_review(change.proposed), "patch": change.patch},
        "settings": change.proposed.settings,
        "relaxed": [one._asdict() for one in change_relaxed(change)],
        "to_decide": [matter._asdict() for matter in change.matters],
        "edits": [
            {"pointer": edit.pointer, "label": edit.label, "before": edit.before, "after": edit.after}
            for edit in change.edits
        ],
        "findings": [_shift(shift) for shift in change.shifts],
        "figures": [
            *(_move(move, system, set_out=True) for move in again(change)),
            *(_move(move, system, set_out=False) for move in rest(change)),
        ],
        "signed_off": [approved_data(approved) for approved in change.proposed.approved],
    }


def _review(review: SpecReview) -> dict[str, Any]:
    return {"file": review.file, "stage": review.stage, "digest": review.spec_digest, "verdict": review.verdict}


def _shift(shift: Shift) -> dict[str, Any]:
    return {
        "change": shift.kind,
        "rule": shift.rule,
        "severity": shift.severity,
        "pointer": shift.pointer,
        "thing": shift.thing,
        "before": _side(shift.before),
        "after": _side(shift.after),
    }


def _side(side: Side) -> dict[str, Any]:
    return {
        "state": side.state,
        "finding": None if side.finding is None else finding_data(side.finding),
        "not_checked": None if side.gap is None else gap_data(side.gap),
    }


def _move(move: Move, system: quantities.System, *, set_out: bool) -> dict[str, Any]:
    unit = quantities.DIMENSIONS[move.dimension].si_unit
    texts = move_sides(move, system)
    before, after = (_level(level, unit, text) for level, text in zip((move.before, move.after), texts, strict=True))
    return {
        "figure": move.name,
        "thing": move.key,
        "label": move.label,
        "before": before,
        "after": after,
        "set_out_anew": set_out,
    }


def _level(level: Level, unit: str, text: str) -> dict[str, Any]:
    missing = list(level.missing) if isinstance(level, Unknown) else []
    return {"value": level if isinstance(level, float) else None, "unit": unit, "text": text, "missing": missing}
