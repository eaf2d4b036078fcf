"""Proposals as JSON, of the shape of ``schemas/propose.schema.json``; measures in SI."""

from __future__ import annotations

from typing import Any

from doorlint import quantities
from doorlint.proposals.search import Binding, Proposals, Room, Variant
from doorlint.reports.data import dump


def render(found: Proposals, version: str, on: str) -> str:
    """The whole report, keys always present."""
    return dump(
        {
            "tool": {"name": "doorlint", "version": version},
            "reviewed_on": on,
            "rules": found.given.rules_digest,
            "settings": found.given.settings,
            "relaxed": [one._asdict() for one in found.given.relaxed],
            "file": found.file,
            "stage": found.stage,
            "variants": [_variant(variant, found) for variant in found.variants],
            "binding": [_binding(one) for one in found.binding],
        }
    )


def _variant(variant: Variant, found: Proposals) -> dict[str, Any]:
    review = variant.review
    return {
        "name": variant.name,
        "verdict": review.verdict,
        "findings": len(review.findings) + len(review.not_checked),
        "values": {
            value.pointer: {
                "value": list(value.value) if isinstance(value.value, tuple) else value.value,
                "text": value.text,
                "grade": value.grade,
                "working": value.working,
                "source": value.source._asdict(),
            }
            for value in variant.values
        },
        "open": [{"pointer": one.pointer, "why": one.why, "usual": one.usual} for one in variant.open],
        "room": [_room(room, found) for room in variant.rooms],
        "spec": variant.text,
    }


def _room(room: Room, found: Proposals) -> dict[str, Any]:
    left = room.there_is - room.takes
    text = quantities.write(left, "position", found.system)
    return {"what": room.what, "takes": room.takes, "there_is": room.there_is, "left": left, "text": text}


def _binding(one: Binding) -> dict[str, Any]:
    return {
        "variant": one.variant,
        "rule": one.rule or None,
        "pointer": one.pointer or None,
        "message": one.message,
        "short_by": one.short_by or None,
        "others": one.others,
    }
