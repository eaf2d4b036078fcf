"""What would clear a spec's findings as JSON, of the shape of ``schemas/remedy.schema.json``."""

from __future__ import annotations

from typing import Any

from doorlint import quantities
from doorlint.changes.moves import Level, Move, moves
from doorlint.quantities import System
from doorlint.remedies.proposals import Answer, Proposal, Remedies
from doorlint.remedies.ranges import Range, Stop
from doorlint.reports.as_json import finding_data, gap_data
from doorlint.reports.change_words import level_text
from doorlint.reports.data import dump, number
from doorlint.rulebook.rule import FindingKey
from doorlint.sheet import SET_OUT

FINE = 64
"""the finest fraction of an inch in a range"""


def render(found: Remedies, version: str, on: str) -> str:
    """The whole report, keys always present."""
    return dump(document(found, version, on))


def document(found: Remedies, version: str, on: str) -> dict[str, Any]:
    """The report as plain data."""
    review = found.review
    return {
        "tool": {"name": "doorlint", "version": version},
        "reviewed_on": on,
        "rules": review.rules_digest,
        "settings": review.settings,
        "relaxed": [one._asdict() for one in review.relaxed],
        "file": review.file,
        "stage": review.stage,
        "digest": review.spec_digest,
        "verdict": review.verdict,
        "findings": [_answer(found, answer) for answer in found.answers],
        "not_checked": [gap_data(gap) for gap in found.lacking],
        "ranges": [_range(moved, review.system) for moved in found.ranges],
        "search": {"candidates": found.candidates, "complete": found.complete},
    }


def _answer(found: Remedies, answer: Answer) -> dict[str, Any]:
    return {
        "finding": finding_data(answer.finding),
        "in_stock": answer.in_stock,
        "measure": answer.measure or None,
        "remedies": [_proposal(found, proposal) for proposal in answer.proposals],
    }


def _proposal(found: Remedies, proposal: Proposal) -> dict[str, Any]:
    return {
        "number": found.number(proposal),
        "kind": proposal.kind,
        "changes": list(proposal.changes),
        "patch": proposal.patch,
        "edits": [
            {"pointer": edit.pointer, "label": edit.label, "before": edit.before, "after": edit.after}
            for edit in proposal.edits
        ],
        "set_out_anew": [_move(move, found.review.system) for move in moves(found.job, proposal.job, SET_OUT)],
        "clears": [_place(place) for place in proposal.clears],
        "confirm": list(proposal.confirm),
    }


def _place(place: FindingKey) -> dict[str, Any]:
    rule, pointer, thing = place
    return {"rule": rule, "pointer": pointer, "thing": thing}


def _move(move: Move, system: System) -> dict[str, Any]:
    return {
        "figure": move.name,
        "thing": move.key,
        "label": move.label,
        "before": _level(move.before, move.dimension, system),
        "after": _level(move.after, move.dimension, system),
    }


def _level(level: Level, dimension: str, system: System) -> dict[str, Any]:
    return {"value": number(level), "unit": _unit(dimension), "text": level_text(level, dimension, system)}


def _unit(dimension: str) -> str:
    return quantities.DIMENSIONS[dimension].si_unit


def _range(moved: Range, system: System) -> dict[str, Any]:
    return {
        "pointer": moved.pointer,
        "label": moved.label,
        "value": _measure(moved.value, moved.dimension, system),
        "down": _stop(moved.down, moved.dimension, system),
        "up": _stop(moved.up, moved.dimension, system),
        "tried": _measure(moved.bound, moved.dimension, system),
    }


def _stop(stop: Stop | None, dimension: str, system: System) -> dict[str, Any] | None:
    return None if stop is None else {"moved": _measure(stop.moved, dimension, system), "rule": stop.rule}


def _measure(value: float, dimension: str, system: System) -> dict[str, Any]:
    text = quantities.write(value, dimension, system, denominator=FINE)
    return {"value": value, "unit": _unit(dimension), "text": text}
