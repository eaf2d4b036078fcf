"""What a torsion shaft adds to the setting-out data: springs, shaft, cables and faults, SI."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from doorlint.facts import Facts

__all__ = ["GROUPS", "LISTS"]

SPRING = (
    "cone_side", "hand_wanted", "torque_rate", "turns_closed", "torque", "plastic_torque", "stress", "stress_share",
    "textbook_life", "relaxed_length", "wound_length", "bore", "outside", "outside_wound", "weight", "anchor_station",
    "cone_station", "gap", "gap_wound", "broken_short", "broken_held_by",
)  # fmt: skip


def springs(facts: Facts) -> list[dict[str, Any]]:
    """Each spring with its turns, sizes and stations."""
    return [
        {
            "spring": key,
            "inside": facts.known("spring.inside", key),
            "wind": facts.known("spring.wind", key),
            **{name: facts.known(f"spring.{name}", key) for name in SPRING},
        }
        for key in facts.keys("spring")
    ]


def cables(facts: Facts) -> list[dict[str, Any]]:
    """Each lift cable."""
    names = {
        "side": "side",
        "cut_length": "drum_length",
        "tension": "tension",
        "factor": "factor",
        "tension_alone": "tension_alone",
        "factor_alone": "factor_alone",
    }
    return [
        {"cable": key, **{name: facts.known(f"cable.{figure}", key) for name, figure in names.items()}}
        for key in facts.keys("cable")
    ]


def faults(facts: Facts) -> list[dict[str, Any]]:
    """Each part whose break is looked at: the force the door falls with, from what height, and what gives next."""
    height = facts.known("door.open_travel")
    found = []
    for key in facts.keys("spring"):
        held = facts.known("spring.broken_held_by", key)
        short, friction = facts.known("spring.broken_short", key), facts.known("torsion.friction")
        left = None if short is None or friction is None else max(short - friction, 0.0)
        found.append(
            {
                "part": "spring",
                "thing": f"/torsion/springs/{key}",
                "falls": left,
                "height": 0.0 if held in ("device", "friction", "drive") else height,
                "held_by": held,
                "overloads": [],
            }
        )
    for key in facts.keys("cable"):
        device = facts.known("torsion.devices.cable_break")
        factors = {
            f"/cables/{other}": facts.known("cable.factor_alone", other)
            for other in facts.keys("cable")
            if other != key
        }
        overloads = [thing for thing, factor in factors.items() if factor is not None and factor < 1.0]
        shaft = facts.known("shaft.yield_factor_alone")
        if shaft is not None and shaft < 1.0:
            overloads.append("/torsion/shaft")
        pull = facts.known("torsion.pull_largest")
        found.append(
            {
                "part": "cable",
                "thing": f"/cables/{key}",
                "falls": (pull if overloads else 0.0) if pull is not None else None,
                "height": 0.0 if device or not overloads else height,
                "held_by": "device" if device else "nothing" if overloads else "the other cable",
                "overloads": overloads,
            }
        )
    return found


def shaft(facts: Facts) -> dict[str, Any]:
    """The shaft: what its bearings carry, where it is stressed most, and how far it twists."""
    worst = facts.known("shaft.worst")
    return {
        "bearings": [
            {
                "bearing": key,
                "station": facts.known("bearing.station", key),
                **{name: facts.known(f"bearing.{name}", key) for name in ("down", "front", "load", "uplift")},
            }
            for key in facts.keys("bearing")
        ],
        "stress": {
            **(dict(worst._asdict()) if worst is not None else {}),
            "yield_factor": facts.known("shaft.yield_factor"),
            "yield_factor_one_cable": facts.known("shaft.yield_factor_alone"),
            "hub_torque": facts.known("shaft.hub_torque"),
            "key_force": facts.known("shaft.key_force"),
            "set_screw_factor": facts.known("shaft.screw_factor"),
        },
        "twist": {"angle": facts.known("shaft.twist"), "corner_lag": facts.known("shaft.corner_lag")},
        "clearance": {
            "door": facts.known("shaft.door_distance"),
            "wall": facts.known("torsion.shaft.from_wall"),
            "reach": facts.known("shaft.reach"),
        },
    }


def readings(facts: Facts) -> list[dict[str, Any]]:
    """What a scale should read at each mark of the travel: force at the bottom edge, moving up and moving down."""
    return [
        {"travel": travel, "residual": left, "up": friction - left, "down": -friction - left}
        for friction in facts.all_known("torsion.friction")
        for travel, left in facts.known("torsion.expected") or ()
    ]


LISTS: dict[str, Callable[[Facts], list[dict[str, Any]]]] = {
    "springs": springs,
    "cables": cables,
    "faults": faults,
    "expected_readings": readings,
}
GROUPS: dict[str, Callable[[Facts], dict[str, Any]]] = {"shaft": shaft}
