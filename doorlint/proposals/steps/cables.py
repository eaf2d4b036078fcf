"""Lift cables and pulleys of a tower: the thinnest rope that holds, and pulleys that bend it gently."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import CannotDesign, Draft
from doorlint.proposals.made import text_of
from doorlint.rulebook.rule import Source

__all__ = ["lengths", "ropes", "turn_back"]

ROPES = ("1/8", "5/32", "3/16", "7/32", "1/4", "5/16", "3/8")
PART = "rope-7x19-galvanized-"
RESERVE = 1.1
SOURCE = Source("derived", note="statics of cables and pulleys, with a reserve")
PLACES = {
    "head-near": ("head", True), "head-far": ("head", False), "crossing": ("crossing", True),
    "box-near": ("box", True), "box-far": ("box", True),
}  # fmt: skip
"""by the name of a pulley: where the cable turns, and whether that is on the tower's side"""


def ropes(draft: Draft) -> Draft:
    """Two cables alike and five pulleys, in the thinnest rope that has a factor of 5 with its losses."""
    near = draft.at("tower.side")
    far = {"left": "right", "right": "left"}[near]
    if not draft.gives("cable.side"):
        for side in (near, far):
            why = "a cable at each bottom corner; the far one crosses above the door"
            draft = draft.propose("cable.side", side, "derived", why, SOURCE, side)
    for key in draft.keys("cable"):
        draft = draft.choose({"cable.end": "clips"}, "the eye can be made on site", key)
    for size in ROPES:
        tried = _in_rope(draft, size, near, far)
        factors = [tried.at("cable.kept_factor", key) for key in tried.keys("cable")]
        if min(factors) >= 5 * RESERVE or size == ROPES[-1]:
            break
    if min(factors) < 5:
        raise CannotDesign("no rope of the catalog holds the door with a factor of 5", "/cables")
    return _capacities(tried)


def _in_rope(draft: Draft, size: str, near: str, far: str) -> Draft:
    part = draft.library.catalog[PART + size].values
    for key in draft.keys("cable"):
        for name in ("diameter", "construction", "finish", "strength"):
            why = "the thinnest rope that has a factor of 5 with its losses"
            draft = draft.propose(f"cable.{name}", str(part[name]), "choice", why, SOURCE, key)
    if draft.gives("pulley.at"):
        return draft
    bend = draft.at("practice.pulley_bend") * quantities.read(str(part["diameter"]), "length")
    text = text_of(bend, "length", draft.given.system, ("1/2 in", "10 mm"), "up")
    working, _ = draft.told("practice.pulley_bend")
    for key, (at, beside) in PLACES.items():
        why = "the two cables turn at the head, at the end of the crossing and on box 1"
        draft = draft.propose("pulley.at", at, "derived", why, SOURCE, key)
        draft = draft.propose("pulley.side", near if beside else far, "derived", why, SOURCE, key)
        draft = draft.propose("pulley.diameter", text, "choice", f"{working} times the rope", SOURCE, key)
    return draft


def _capacities(draft: Draft) -> Draft:
    for key, load in draft.at("pulley.load").items():
        least = RESERVE * draft.at("door.heavy_share") * load
        draft = draft.derive(
            "pulley.capacity", "pulley.load", least, ("100 lb", "50 kg"), "up", key, because="and a reserve"
        )
    return draft


def turn_back(draft: Draft, key: str) -> Draft:
    """Rope turned back at an eye with clips: what they need, and no less than cables are cut for."""
    if draft.at("cable.end", key) != "clips":
        return draft
    amount = max(draft.at("cable.turn_back_wanted", key), draft.at("practice.cable_turn_back"))
    why = "and no less than cables are cut for"
    return draft.derive("cable.turn_back", "cable.turn_back_wanted", amount, ("1/8 in", "1 mm"), "up", key, because=why)


def lengths(draft: Draft) -> Draft:
    """Lengths to cut the cables to."""
    for key in draft.keys("cable"):
        draft = turn_back(draft, key)
    for key, length in draft.at("cable.cut_length").items():
        draft = draft.derive("cable.length", "cable.cut_length", length, ("1/2 in", "10 mm"), "nearest", key)
    return draft
