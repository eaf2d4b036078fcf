"""The steps of the work on a torsion shaft, in order, with the figures of each step."""

from __future__ import annotations

from doorlint.counterbalance.kind import Task

__all__ = ["TASKS"]

WIND = (
    "Lock the door closed, disconnect the drive, clamp the shaft. Seat one fitting bar fully before the other leaves, "
    "stand aside, count quarter turns; a bar holds the cone before any set screw is loosened and until all are tight."
)
CABLE = (
    "Lock the door closed and unwind every spring fully before touching cable or bottom bracket. Rewind only when both "
    "cables lie in their grooves at equal tension."
)
MOVE = (
    "Lock the door closed and unwind every spring fully before loosening any screw or bolt. Check screws, keys and "
    "anchors before rewinding."
)
BROKEN = (
    "Keep people from under the door and the drive off until the door is blocked. Treat every other spring as wound."
)

TASKS: tuple[Task, ...] = (
    Task(
        "Set bearings, anchors and shaft",
        f"Stations count along the shaft from the left end bearing. {MOVE}",
        {
            "torsion.shaft.height": "shaft height",
            "torsion.shaft.from_wall": "shaft from wall",
            "shaft.yield_factor": "yield factor",
            "shaft.corner_lag": "far corner lags",
            "bearing.station": "station",
            "bearing.down": "load down",
            "bearing.front": "to the front",
            "bearing.uplift": "uplift",
        },
        redo={
            "torsion.shaft": "replace or set the shaft",
            "torsion.shaft.height": "re-mark the shaft: {after} above the floor",
            "torsion.shaft.from_wall": "re-mark the shaft: {after} from the wall",
            "bearing.station": "re-mark bearing {thing}: {after} along the shaft",
        },
        lock_off=True,
    ),
    Task(
        "Slide the springs on",
        "Relaxed, each with its cone on the given side of its anchor and wound to the given hand.",
        {
            "spring.hand_wanted": "hand",
            "spring.cone_side": "cone side",
            "spring.anchor_station": "anchor",
            "spring.cone_station": "cone, wound",
            "spring.relaxed_length": "relaxed",
            "spring.wound_length": "wound",
        },
        redo={
            "spring": "replace",
            "spring.anchor_station": "re-mark the anchor of {thing}: {after}",
            "spring.relaxed_length": "spring {thing}: {after} long, relaxed",
        },
        lock_off=True,
        picture="shaft-step",
    ),
    Task(
        "Set drums and cables",
        f"Door closed; safety wraps on each drum, both cables at equal tension. {CABLE}",
        {
            "torsion.drum.left": "left drum at",
            "torsion.drum.right": "right drum at",
            "torsion.drum.wraps_closed": "safety wraps",
            "torsion.travel_turns": "turns to open",
            "drum.turns_used": "grooves used",
            "torsion.drum.capacity": "grooves",
            "cable.drum_length": "cut length",
            "cable.tension": "tension, closed",
        },
        redo={
            "torsion.drum": "replace or set the drums",
            "torsion.drum.wraps_closed": "lay {after} safety wraps on each drum",
            "cable.drum_length": "{thing} cable: cut length {after}",
        },
        lock_off=True,
    ),
    Task(
        "Wind spring {thing}",
        f"A trained person only. {WIND}",
        {
            "spring.turns_closed": "turns",
            "spring.quarter_turns": "quarter turns",
            "spring.winding": "turn the cone",
            "spring.torque": "torque, wound",
            "spring.wound_length": "length, wound",
        },
        redo={"spring.turns_closed": "wind {thing} to {after}"},
        lock_off=True,
        each="spring",
    ),
    Task(
        "Read the balance",
        "Where the list below says, moving up and moving down, a push down as minus. The mean of the two is the "
        "imbalance, half their difference the friction.",
        {
            "section.mark_travel": "travel",
            "section.mark_height": "bottom roller at",
            "section.mark_pull": "door pulls",
            "section.mark_spring_residual": "springs pull more",
            "door.pull_closed": "closed, door pulls",
            "door.pull_open": "open, door pulls",
            "door.residual_closed": "closed, springs pull more",
            "door.residual_open": "open, springs pull more",
            "torsion.friction": "friction holds",
        },
        redo={
            "door.pull_closed": "read the balance: the closed door pulls {after}",
            "setting.turns": "read the balance with these springs, which balance the door best at {after}",
        },
    ),
    Task(
        "Correct the turns",
        f"All springs alike, then read again. {WIND}",
        {
            "torsion.turns_advice": "for the readings",
            "torsion.turns_to_add_pull": "worth, door closed",
            "torsion.quarter_turn_pull": "a quarter turn on all",
            "setting.turns": "these springs, best at",
            "setting.turns_left": "leaving at most",
            "spring.coils_wanted": "coils leaving least",
            "setting.quarters": "wound then",
            "drum.spiral_rate": "drums made for",
            "drum.spiral_turns": "at turns",
        },
        redo={"setting.turns": "wind every spring to {after}, which balances this door best"},
        lock_off=True,
    ),
    Task(
        "Set the bumpers",
        "After the last adjustment. Heights with the door open.",
        {"door.open_travel": "travel to open", "door.bracket_open": "bottom roller at"},
        redo={"door.bracket_open": "set the bumpers: bottom roller at {after} with the door open"},
    ),
    Task(
        "If a spring or a cable breaks",
        BROKEN,
        {"spring.broken_short": "door heavy by", "spring.broken_held_by": "held by"},
    ),
)
"""From the closed, locked door to the bumpers. Heights are from the finished floor."""
