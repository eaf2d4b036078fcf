"""What every part of a torsion shaft carries, and what the door does when one of them breaks; SI."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from doorlint.facts import Facts
from doorlint.named_tuple import NamedTuple

__all__ = ["faults", "load_path"]

CLOSED = "closed, both cables"
ALONE = "closed, one cable broken"
ROPE = 5.0
"""breaking strength over load; WAC 296-24-29401(1): at most 1/5"""
MAKER, ENGINEER = "maker", "structural engineer"


class Part(NamedTuple):
    """A part with its load in each case, what it carries, in which unit, and who answers where nobody gave that."""

    part: str
    thing: str
    cases: tuple[tuple[str, float | None], ...]
    capacity: float | None
    source: str
    answers: str | None = MAKER
    unit: str = "N"


def load_path(facts: Facts) -> list[dict[str, Any]]:
    """A row for each part, thing and case; the worst case of a part is marked."""
    rows = []
    for part in _parts(facts):
        known = [force for _, force in part.cases if force is not None]
        for case, force in part.cases:
            rows.append(
                {
                    "part": part.part,
                    "thing": part.thing,
                    "case": case,
                    "governs": force is not None and force == max(known),
                    "force": force,
                    "unit": part.unit,
                    "capacity": part.capacity,
                    "use": None if force is None or not part.capacity else force / part.capacity,
                    "answers": part.answers if part.capacity is None else None,
                    "source": part.source if part.capacity is not None else "",
                }
            )
    return rows


def _parts(facts: Facts) -> Iterator[Part]:
    pull, alone = facts.known("torsion.pull_largest"), facts.known("torsion.pull_largest")
    half = None if pull is None else pull / 2.0
    for key in facts.keys("cable"):
        cases = (
            (CLOSED, facts.known("cable.tension", key)),
            (ALONE, facts.known("cable.tension_alone", key)),
        )
        strength = facts.known("cable.catalogue_strength", key)
        allowed = None if strength is None else strength / ROPE
        yield Part("cable", f"/cables/{key}", cases, allowed, "breaking strength / 5, WAC 296-24-29401(1)")
        yield Part("bottom bracket", f"/cables/{key}", cases, None, "")
    rating = facts.known("torsion.drum.rating")
    each = None if rating is None else rating / 2.0
    yield Part("drum", "/torsion/drum", ((CLOSED, half), (ALONE, alone)), each, "half of the rating of the pair")
    for key in facts.keys("spring"):
        carried = ((CLOSED, facts.known("spring.torque", key)),)
        most = facts.known("spring.plastic_torque", key)
        yield Part("spring", f"/torsion/springs/{key}", carried, most, "full plastic moment of its wire", unit="N m")
    worst, worst_alone = facts.known("shaft.worst"), facts.known("shaft.worst_alone")
    stressed = (
        (CLOSED, None if worst is None else worst.equivalent),
        (ALONE, None if worst_alone is None else worst_alone.equivalent),
    )
    yield_strength, keyed = facts.known("torsion.shaft.yield"), facts.known("torsion.shaft.keyed")
    if yield_strength is not None and keyed:
        yield_strength *= 0.75
    yield Part(
        "shaft", "/torsion/shaft", stressed, yield_strength, "yield strength, 0.75 of it with a keyway", unit="Pa"
    )
    for key in facts.keys("bearing"):
        load = ((CLOSED, facts.known("bearing.load", key)),)
        capacity = facts.known("bearing.capacity", key)
        yield Part("bearing", f"/torsion/bearings/{key}", load, capacity, "capacity in the spec")
    for key in facts.keys("coupler"):
        torque = ((CLOSED, facts.known("coupler.carried", key)),)
        capacity = facts.known("coupler.torque", key)
        yield Part("coupler", f"/torsion/couplers/{key}", torque, capacity, "torque in the spec", unit="N m")
    key_force = ((CLOSED, facts.known("shaft.key_force")),)
    yield Part("key", "/torsion/hubs", key_force, facts.known("torsion.hubs.key_capacity"), "capacity in the spec")
    pads = {key: part for key, part in facts.column("mount.part").items() if part == "spring-pad"}
    for key in pads:
        torque = ((CLOSED, facts.known("torsion.torque_closed")),)
        yield Part("spring pad", f"/mounts/{key}", torque, None, "", ENGINEER, "N m")


def faults(facts: Facts) -> list[dict[str, Any]]:
    """Each part whose break is looked at: what falls, with what force and from what height, and what gives next."""
    return [*_springs(facts), *_cables(facts)]


def _springs(facts: Facts) -> Iterator[dict[str, Any]]:
    """A spring is gone: the others hold what they can; friction, the drive or a device must hold the rest."""
    height = facts.known("door.open_travel")
    friction = facts.known("torsion.friction")
    for key in facts.keys("spring"):
        held = facts.known("spring.broken_held_by", key)
        short = facts.known("spring.broken_short", key)
        falls = held not in ("device", "friction", "drive")
        yield {
            "part": "spring",
            "thing": f"/torsion/springs/{key}",
            "falls": "door" if falls else "",
            "height": height if falls else 0.0,
            "short": None if short is None or friction is None else max(short - friction, 0.0),
            "held_by": held or "not known",
            "needed": _needed(facts, "spring"),
            "overloads": [],
        }


def _cables(facts: Facts) -> Iterator[dict[str, Any]]:
    """A cable is gone: the other carries all, the door hangs askew in its track."""
    height, pull = facts.known("door.open_travel"), facts.known("torsion.pull_largest")
    device = facts.known("torsion.devices.cable_break")
    shaft = facts.known("shaft.yield_factor_alone")
    for key in facts.keys("cable"):
        factors = {
            f"/cables/{other}": facts.known("cable.factor_alone", other)
            for other in facts.keys("cable")
            if other != key
        }
        overloads = [thing for thing, factor in factors.items() if factor is not None and factor < 1.0]
        if shaft is not None and shaft < 1.0:
            overloads.append("/torsion/shaft")
        falls = bool(overloads) and not device
        yield {
            "part": "cable",
            "thing": f"/cables/{key}",
            "falls": "door" if falls else "",
            "height": height if falls else 0.0,
            "short": pull if falls else 0.0,
            "held_by": "device" if device else "nothing" if overloads else "the other cable",
            "needed": _needed(facts, "cable"),
            "overloads": overloads,
        }


def _needed(facts: Facts, part: str) -> str:
    """What the standard of the job asks to hold the door when this part breaks."""
    if facts.known("job.standard") == "EN":
        return f"a device, or the drive alone, when a {part} breaks; a drop of 300 mm at most (EN 12604:2017, 4.3.4)"
    return f"no device is asked for when a {part} breaks: keep people from under the moving door"
