"""What moves the door: who works it is open; a hoist's side, pull and room follow from the room beside the door."""

from __future__ import annotations

from doorlint import quantities
from doorlint.proposals.draft import Draft
from doorlint.rulebook.rule import Source

__all__ = ["drive", "held", "pull", "worked_by"]

PULL = ("150 lbf", "670 N")
"""pull of a common chain hoist at the door (US, SI)"""
RESERVE = 1.1
ROOMS = (("12 in", "300 mm"), ("10 in", "250 mm"), ("8 in", "200 mm"))
"""room that common hoists take beside the jamb, the roomiest first"""
SIDES = ("left", "right")
SUPPLY = ("230 V", "400 V")
"""usual supply of a motor (US, SI)"""
ASKED = Source("practice", note="what an order asks of a motor")


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
    draft = draft.choose({"operation.room": room}, f"common {by}; put in that of yours")
    return _motor(draft) if by == "motor" else draft


def _motor(draft: Draft) -> Draft:
    """What the motor is ordered with: limit switches, a release, protection of people; it is built for the supply."""
    usual = SUPPLY[draft.given.system == "si"]
    draft = draft.leave_open("operation.supply.voltage", "ask the electrician for the voltage on site", usual)
    volts = quantities.write(draft.at("operation.supply.voltage"), "voltage", draft.given.system)
    wanted = {
        "supply.motor_voltage": (volts, "the voltage on site"),
        "limits.open": ("true", "a motor stops the opening door by a limit switch"),
        "limits.close": ("true", "a motor stops the closing door by a limit switch"),
        "hand_release": ("true", "without power somebody has to move the door"),
    }
    for part in ("lock", "pass_door"):
        if draft.at(f"operation.{part}.fitted"):
            wanted[f"{part}.interlocked"] = ("true", "a motor cannot run against it")
    for name, (text, why) in wanted.items():
        draft = draft.propose(f"operation.{name}", text, "derived", why, ASKED)
    if draft.gives("operation.duty.busiest"):
        busiest = draft.at("operation.duty.busiest")
        draft = draft.derive("operation.duty.rated", "operation.duty.busiest", busiest, ("1", "1"), "up")
    protection = {"operation.constant_pressure": "false", "operation.entrapment": "monitored"}
    draft = draft.choose(protection, "it closes with nobody at the control, so its protection is monitored")
    if draft.gives("operation.edge_force"):
        return draft
    height = "125 mm" if draft.given.system == "si" else "5 in"
    return draft.choose({"operation.sensor_height": height}, "a photo-eye sees whoever lies below the door")


def held(draft: Draft) -> Draft:
    """What an installer sees of the drive: what holds it, and how a motor is cut off."""
    by = draft.at("operation.by")
    if by == "hand":
        return draft
    draft = draft.leave_open("operation.held_by", "look at it: brake, self-locking, chain-keeper or nothing?", None)
    draft = draft.leave_open("operation.holding", "from its maker", None)
    for name in ("disconnect", "supply.ready") if by == "motor" else ():
        draft = draft.leave_open(f"operation.{name}", "look at it: true or false?", None)
    return draft


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
