"""What a torsion shaft adds to the setting-out data: springs, shaft, cables and faults, SI."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from doorlint.counterbalance.torsion.load_path import faults, load_path
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


def turns_by_readings(facts: Facts, travels: Sequence[float]) -> dict[str, Any]:
    """What :func:`doorlint.figures.torsion_found.turns_to_add` goes by, but for the readings: what a turn is worth at
    each travel (N), and the turns that the springs lack of their best."""
    names = ("torsion.rate", "drum.shape", "setting.turns", "torsion.least_turns")
    rate, shape, best, least = map(facts.known, names)
    if rate is None or shape is None or best is None or least is None:
        return {}
    gains = [rate / shape.radius(shape.turned(travel)) for travel in travels]
    return {"gains": gains, "more": best - least}


def cables(facts: Facts) -> list[dict[str, Any]]:
    """Each lift cable."""
    names = {
        "side": "cable.side",
        "cut_length": "cable.drum_length",
        "tension": "cable.tension",
        "factor": "cable.factor",
        "tension_alone": "cable.tension_alone",
        "factor_alone": "cable.factor_alone",
    }
    return [
        {"cable": key, **{name: facts.known(figure, key) for name, figure in names.items()}}
        for key in facts.keys("cable")
    ]


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


def sizes(facts: Facts) -> list[dict[str, Any]]:
    """Springs from the shop's sizes that would balance the door and last by the textbook, lightest first."""
    return [
        {
            "springs": one.springs,
            "size": _size(one.coil.wire),
            "inner_size": _size(one.inner.wire) if one.inner else "-",
            "wire": one.coil.wire,
            "inside_diameter": one.coil.inside_diameter,
            "coils": one.coils,
            "inner_wire": one.inner.wire if one.inner else None,
            "inner_inside_diameter": one.inner.inside_diameter if one.inner else None,
            "inner_coils": one.inner_coils if one.inner else None,
            "turns": one.turns,
            "rate": one.rate,
            "length": one.length,
            "stress_share": one.stress,
            "cycles": min(one.cycles, 1e9),
            "residual": one.largest,
        }
        for one in facts.known("sizing.sized") or ()
    ]


def conversions(facts: Facts) -> list[dict[str, Any]]:
    """Each spring in the next thinner and thicker wire, with the same rate."""
    names = ("spring", "wire", "coils", "length", "stress_share", "cycles")
    found = [dict(zip(names, one, strict=True)) for one in facts.known("sizing.converted") or ()]
    return [{**one, "size": _size(one["wire"])} for one in found]


def _size(wire: float) -> str:
    """A wire as it is sold: in ten-thousandths of an inch and hundredths of a millimeter.

    >>> _size(0.00635)
    '0.2500 in, 6.35 mm'
    """
    return f"{wire / 0.0254:.4f} in, {wire * 1000:.2f} mm"


LISTS: dict[str, Callable[[Facts], list[dict[str, Any]]]] = {
    "springs": springs,
    "cables": cables,
    "faults": faults,
    "load_path": load_path,
    "expected_readings": readings,
    "sizes": sizes,
    "conversions": conversions,
}
GROUPS: dict[str, Callable[[Facts], dict[str, Any]]] = {"shaft": shaft}
