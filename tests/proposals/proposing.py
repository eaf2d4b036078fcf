"""What the tests of proposals name alike."""

from __future__ import annotations

from typing import Any

from doorlint.findings import SpecReview
from doorlint.proposals.draft import nested
from doorlint.proposals.search import Variant
from doorlint.spec import Mapping
from doorlint.spec.edit import edited


def filled(variant: Variant, **other: str) -> str:
    """The proposal with its open values typed: the usual ones, or others by pointer; a maker's life of the springs."""
    typed = {one.pointer: other.get(one.pointer, one.usual) for one in variant.open}
    typed |= {at: "15000" for at in typed if at.endswith("/rated_cycles")}
    return edited(variant.text, nested({at: text for at, text in typed.items() if text is not None}))


def amiss(review: SpecReview) -> list[str]:
    """What a review finds or could not check, beside advisories."""
    found: list[Any] = [*review.findings, *review.not_checked]
    return [f"{item.rule} {item.pointer}" for item in found if item.severity != "advisory"]


def leaves(node: object, above: str = "") -> list[str]:
    """The places of everything that is written in a spec."""
    if isinstance(node, Mapping):
        return [at for key, inner in node.items() for at in leaves(inner, f"{above}/{key}")]
    return [] if node is None else [above]
