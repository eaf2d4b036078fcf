"""The parts list as JSON, lengths in SI."""

from __future__ import annotations

from doorlint.parts_list import PartsList
from doorlint.reports.data import dump


def render(listed: PartsList, version: str, on: str) -> str:
    """The whole list, keys always present."""
    return dump(
        {
            "tool": {"name": "doorlint", "version": version},
            "reviewed_on": on,
            "file": listed.review.file,
            "stage": listed.review.stage,
            "digest": listed.review.spec_digest,
            "rules": listed.review.rules_digest,
            "settings": listed.review.settings,
            "relaxed": [one._asdict() for one in listed.review.relaxed],
            "verdict": listed.review.verdict,
            "parts": [
                {
                    "part": piece.part,
                    "count": piece.count,
                    "size": piece.size,
                    "length": piece.length,
                    "length_text": piece.length_text,
                    "for": list(piece.pointers),
                    "catalog": piece.catalog,
                    "document": piece.document,
                }
                for piece in listed.pieces
            ],
            "undecided": list(listed.undecided),
        }
    )
