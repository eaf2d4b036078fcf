"""What moves the door: who works it is open; a hoist's side, pull and room follow from the room beside the door."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import Draft

__all__ = ["drive", "pull", "worked_by"]

PULL = ("150 lbf", "670 N")
"""pull of a common chain hoist at the door (US, SI)"""
RESERVE = 1.1
ROOMS = (("12 in", "300 mm"), ("10 in", "250 mm"), ("8 in", "200 mm"))
"""room that common hoists take beside the jamb, the roomiest first"""
SIDES = ("left", "right")


def worked_by(draft: Draft, on_tower: bool) -> Draft:
    """Who works the door, and whether lock and pass door are fitted: for a person to say.

    Usual is a hoist, where there is room for one beside it, for a heavy door and for one that is hard to start: on a
    tower the closed door is held shut by about half its top section.
    """
    friction = draft.at("operation.friction")
    start = friction + (list(draft.at("section.load").values())[-1] / 2 if on_tower else friction)
    heavy = draft.at("door.load") > draft.at("practice.hand_door") or start > draft.at("practice.hand_pull")
    wider = max(draft.at(f"room.side_{side}") for side in SIDES)
    roomy = wider >= quantities.read(ROOMS[-1][draft.given.system == "si"], "length")
    usual = "chain-hoist" if heavy and roomy else "hand"
    draft = draft.leave_open("operation.by", "hand, chain-hoist or motor?", usual)
    draft = draft.leave_open("operation.lock.fitted", "true or false?", "false")
    return draft.leave_open("operation.pass_door.fitted", "true or false?", "false")


def drive(draft: Draft) -> Draft:
    """Where the drive is and the room it takes: beside the side without a tower, else where there is more room."""
    by = draft.at("operation.by")
    if by == "hand":
        return draft.choose({"operation.side": "centre"}, "a door worked by hand has no drive beside it")
    spare = {side: draft.at(f"room.side_{side}") for side in SIDES}
    if "tower.side" in draft.job.values:
        spare[draft.at("tower.side")] -= draft.at("room.tower_bay")
    side = max(SIDES, key=lambda one: spare[one])
    metric = draft.given.system == "si"
    fitting = (sizes[metric] for sizes in ROOMS if quantities.read(sizes[metric], "length") <= spare[side])
    draft = draft.choose({"operation.side": side}, "the side with more room beside track and tower")
    room = next(fitting, ROOMS[-1][metric])
    return draft.choose({"operation.room": room}, f"common {by}; put in that of yours")


def pull(draft: Draft) -> Draft:
    """What the drive pulls, and on springs holds: a common hoist, or more where the door asks for it."""
    if draft.at("operation.by") == "hand":
        return draft
    system = draft.given.system
    needed = RESERVE * max(draft.at("operation.travel_needed"), draft.at("operation.let_go"))
    amount = max(quantities.read(PULL[system == "si"], "weight"), needed)
    draft = draft.derive(
        "operation.pull", "operation.travel_needed", amount, ("10 lbf", "50 N"), "up",
        because="and a reserve, or what a common hoist pulls",
    )  # fmt: skip
    if "torsion" not in draft.job.values:
        return draft
    return draft.derive(
        "operation.holding", "operation.let_go", amount, ("10 lbf", "50 N"), "up", because="as much as it pulls"
    )
