"""A change as JSON, of the shape of ``schemas/change.schema.json``."""

from __future__ import annotations

from typing import Any

from doorlint import quantities
from doorlint.changes.comparison import Change
from doorlint.changes.moves import Level, Move
from doorlint.changes.shifts import Shift, Side
from doorlint.figures.graph import Unknown
from doorlint.findings import SpecReview
from doorlint.parts_list import Piece
from doorlint.reports.as_json import approved_data, finding_data, gap_data
from doorlint.reports.change_words import (
    change_relaxed,
    item_text,
    measure_text,
    move_sides,
    other_moves,
    sheet_moves,
)
from doorlint.reports.data import dump, number
from doorlint.work_list import WorkList, work_list


def render(change: Change, version: str, on: str) -> str:
    """The whole change report, keys always present."""
    return dump(document(change, version, on))


def document(change: Change, version: str, on: str) -> dict[str, Any]:
    """The change as plain data."""
    system, work = change.proposed.system, work_list(change)
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
        "work_list": _work(work, system),
        "parts_to_order": [_part(piece) for piece in work.order],
        "parts_to_recut": [{**_part(one.piece), "before": one.was.length} for one in work.recut],
        "parts_left_over": [_part(piece) for piece in work.left_over],
        "figures": [
            *(_move(move, system, set_out=True) for move in sheet_moves(change)),
            *(_move(move, system, set_out=False) for move in other_moves(change)),
        ],
        "signed_off": [approved_data(approved) for approved in change.proposed.approved],
    }


def _work(work: WorkList, system: quantities.System) -> list[dict[str, Any]]:
    """The steps in order; first what has to be measured again."""
    steps = [{"title": "Measure again", "lock_off": "", "do": [measure_text(one) for one in work.measure]}]
    steps += [
        {"title": step.title, "lock_off": step.lock_off, "do": [item_text(item, system) for item in step.items]}
        for step in work.steps
    ]
    return [step for step in steps if step["do"]]


def _part(piece: Piece) -> dict[str, Any]:
    return {"part": piece.part, "count": piece.count, "size": piece.size, "length": piece.length,
            "for": list(piece.pointers), "catalog": piece.catalog}  # fmt: skip


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
    return {"value": number(level), "unit": unit, "text": text, "missing": missing}
