"""A change as JSON, of the shape of ``schemas/change.schema.json``."""

from __future__ import annotations

import json
from typing import Any

from doorlint import quantities
from doorlint.findings import SpecReview
from doorlint.reports.as_json import approved_data, finding_data, gap_data
from doorlint.reports.change_words import move_sides, redo
from doorlint.whatif.change import Change, Move


def render(change: Change, version: str, on: str) -> str:
    """The whole change report, keys always present."""
    return json.dumps(document(change, version, on), indent=2, ensure_ascii=False) + "\n"


def document(change: Change, version: str, on: str) -> dict[str, Any]:
    """The change as plain data."""
    system = change.proposed.system
    again = redo(change)
    return {
        "tool": {"name": "doorlint", "version": version},
        "reviewed_on": on,
        "rules": change.proposed.rules_digest,
        "decision": change.decision,
        "approved": _side(change.approved),
        "proposed": _side(change.proposed),
        "edits": [edit._asdict() for edit in change.edits],
        "findings": [
            {
                "change": shift.kind,
                "rule": shift.rule,
                "pointer": shift.pointer,
                "before": None if shift.before is None else finding_data(shift.before),
                "after": None if shift.after is None else finding_data(shift.after),
                "not_checked": None if shift.gap is None else gap_data(shift.gap),
            }
            for shift in change.shifts
        ],
        "figures": [_move(move, system, move in again) for move in [*again, *(m for m in change.moves if m not in again)]],
        "signed_off": [approved_data(approved) for approved in change.proposed.approved],
    }


def _side(review: SpecReview) -> dict[str, Any]:
    return {"file": review.file, "stage": review.stage, "digest": review.spec_digest, "verdict": review.verdict}


def _move(move: Move, system: quantities.System, again: bool) -> dict[str, Any]:
    before, after = move_sides(move, system)
    unit = quantities.DIMENSIONS[move.dimension].si_unit
    return {
        "figure": move.name,
        "thing": move.key,
        "label": move.label,
        "before": {"value": move.before, "unit": unit, "text": before},
        "after": {"value": move.after, "unit": unit, "text": after},
        "set_out_anew": again,
    }
