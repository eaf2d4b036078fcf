"""What moves the door: who works it is open; a hoist's side, pull and room follow."""

from __future__ import annotations

from doorlint.proposals.draft import Draft

__all__ = ["operation"]

HOIST_PULL = ("150 lbf", "670 N")
"""pull of a common chain hoist at the door (US, SI)"""


def operation(draft: Draft) -> Draft:
    """Who works the door, on which side, and whether lock and pass door are fitted."""
    heavy = draft.at("door.load") > draft.at("practice.hand_door")
    usual = "chain-hoist" if heavy else "hand"
    draft = draft.leave_open("operation.by", "hand, chain-hoist or motor?", usual)
    draft = draft.leave_open("operation.lock.fitted", "true or false?", "false")
    draft = draft.leave_open("operation.pass_door.fitted", "true or false?", "false")
    by = draft.at("operation.by")
    if by == "hand":
        return draft.choose({"operation.side": "centre"}, "a door worked by hand has no drive beside it")
    side = {"left": "right", "right": "left"}.get(draft.job.values.get("tower.side", ""), "right")
    draft = draft.choose({"operation.side": side}, "the side where no tower stands")
    pull = HOIST_PULL[draft.given.system == "si"]
    return draft.choose(
        {"operation.pull": pull, "operation.room": draft.made.drive_room}, f"common {by}; put in those of yours"
    )
