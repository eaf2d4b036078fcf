"""The steps of the work on a torsion shaft, in order, with the figures of each step."""

from __future__ import annotations

from doorlint.counterbalance.kind import Task

__all__ = ["TASKS"]

TASKS: tuple[Task, ...] = (
    Task(
        "Set shaft, drums and cables",
        "Door closed. Safety turns stay on each drum; both cables alike tight.",
        {
            "torsion.shaft.height": "shaft height",
            "torsion.shaft.from_wall": "shaft from wall",
            "torsion.drum.wraps_closed": "safety turns",
            "torsion.travel_turns": "turns to open",
        },
        lock_off=True,
    ),
    Task(
        "Wind the springs",
        "Only a trained person, with bars that fit, standing clear of their swing; the shaft is held before a cone is "
        "let go.",
        {
            "torsion.turns_closed": "turns to wind",
            "torsion.turns_open": "left when open",
            "torsion.rate": "torque a turn",
        },
        lock_off=True,
        picture="shaft-step",
    ),
    Task(
        "Read the balance",
        "At every mark, moving up and moving down, a push down as minus. Halfway between the two is the imbalance, "
        "minus where the springs pull more; half their difference is the friction.",
        {
            "section.mark_travel": "travel",
            "section.mark_height": "bottom roller at",
            "section.mark_pull": "door pulls",
            "section.mark_spring_residual": "springs pull more",
            "door.pull_closed": "closed, door pulls",
            "door.pull_open": "open, door pulls",
            "door.residual_closed": "closed, springs pull more",
            "door.residual_open": "open, springs pull more",
        },
    ),
    Task(
        "Set the bumpers",
        "After the last adjustment. Heights with the door open.",
        {"door.open_travel": "travel to open", "door.bracket_open": "bottom roller at"},
    ),
)
"""From the closed, locked door to the bumpers. Heights are from the finished floor."""
