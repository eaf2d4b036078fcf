"""What every part of a torsion shaft carries, and what the door does when one of them breaks; SI."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from doorlint.counterbalance.load_path import (
    FACTOR,
    SPEC,
    Part,
    drive_fault,
    every_door,
    fault,
    loaded,
    overloaded,
    rows,
)
from doorlint.facts import Facts
from doorlint.mechanics.load_path import ALONE, CAUGHT, OPEN, PEAK, REST, SUDDEN, TRAVEL, Case

__all__ = ["faults", "load_path"]

KEYED = 0.75
"""share of the yield strength that a keyway leaves; ASME shaft code, second-hand"""
MAKER, ENGINEER = "the maker", "the engineer of the building"
PLASTIC = "full plastic moment of its wire"


def load_path(facts: Facts) -> list[dict[str, Any]]:
    """A row for each part, thing and case; the worst case of a part is marked."""
    return rows(_parts(facts), facts.known("door.heavy_share") or 1.0)


def faults(facts: Facts) -> list[dict[str, Any]]:
    """Each part whose break is looked at: what falls, with what force and from what height, and what gives next."""
    return [*_springs(facts), *_cables(facts), *_supports(facts), *drive_fault(facts)]


def _parts(facts: Facts) -> Iterator[Part]:
    closed, pull = facts.known("torsion.pull_closed"), facts.known("torsion.pull_largest")
    shared = tuple(Case(case, None if of is None else of / 2) for case, of in ((REST, closed), (TRAVEL, pull)))
    for key in facts.keys("cable"):
        strength, kept = facts.known("cable.catalogue_strength", key), facts.known("cable.strength_kept", key)
        allowed = None if strength is None else strength / FACTOR
        rule = "breaking strength / 5, WAC 296-24-29401(1)"
        yield Part("cable", f"/cables/{key}", shared, allowed, rule, heavy=False)
        cases = (Case(ALONE, pull), Case(PEAK, None if pull is None else SUDDEN * pull))
        dropped = facts.known("cable.caught", key)
        slack = () if dropped is None else (Case(CAUGHT, dropped),)
        left = None if strength is None or kept is None else strength * kept
        yield Part(
            "cable end", f"/cables/{key}", (*cases, *slack), left, "strength with the losses at its end", heavy=False
        )
    rating = facts.known("torsion.drum.rating")
    half = None if rating is None else rating / 2.0
    yield Part("drum", "/torsion/drum", shared, half, "half of the rating of the pair", MAKER, heavy=False)
    yield from _turning(facts)
    for key in facts.keys("bearing"):
        found, capacity = facts.known("bearing.cases", key), facts.known("bearing.capacity", key)
        every = tuple(found) if found else tuple(Case(case, None) for case in (REST, OPEN, TRAVEL, ALONE))
        yield Part("bearing", f"/torsion/bearings/{key}", every, capacity, SPEC, MAKER, heavy=False)
    for key, part in facts.column("mount.part").items():
        if part == "spring-pad":
            force, capacity = facts.known("mount.pad_pull", key), facts.known("mount.capacity", key)
            yield loaded("spring pad", f"/mounts/{key}", force, capacity, answers=ENGINEER, heavy=False)
    yield from every_door(facts)


def _turning(facts: Facts) -> Iterator[Part]:
    """What passes torque on: springs, shaft, couplers, hubs and keys."""
    for key in facts.keys("spring"):
        torque, most = facts.known("spring.torque", key), facts.known("spring.plastic_torque", key)
        thing = f"/torsion/springs/{key}"
        yield loaded("spring", thing, torque, most, source=PLASTIC, answers=MAKER, unit="N m", heavy=False)
    worst, alone = facts.known("shaft.worst"), facts.known("shaft.worst_alone")
    stressed = tuple(
        Case(case, None if found is None else found.equivalent) for case, found in ((REST, worst), (ALONE, alone))
    )
    strength = facts.known("torsion.shaft.yield")
    if strength is not None and facts.known("torsion.shaft.keyed"):
        strength *= KEYED
    source = f"yield strength, {KEYED} of it with a keyway"
    yield Part("shaft", "/torsion/shaft", stressed, strength, source, MAKER, "Pa", heavy=False)
    for key in facts.keys("coupler"):
        torque, most = facts.known("coupler.carried", key), facts.known("coupler.torque", key)
        yield loaded("coupler", f"/torsion/couplers/{key}", torque, most, answers=MAKER, unit="N m", heavy=False)
    hub, screws = facts.known("shaft.hub_torque"), facts.known("shaft.screw_factor")
    if facts.known("torsion.hubs.key_capacity") is not None and facts.known("torsion.shaft.keyed") is not False:
        cases = Case(REST, facts.known("shaft.key_force")), Case(ALONE, facts.known("shaft.key_force_alone"))
        yield Part("hub key", "/torsion/hubs", cases, facts.known("torsion.hubs.key_capacity"), heavy=False)
    elif facts.known("torsion.hubs.set_screws") != 0:
        held = None if hub is None or screws is None else hub * screws
        source = "holding force of set screws, from memory"
        turned = Case(REST, hub), Case(ALONE, facts.known("torsion.torque_closed"))
        yield Part("hub set screws", "/torsion/hubs", turned, held, source, MAKER, "N m", heavy=False)


def _springs(facts: Facts) -> Iterator[dict[str, Any]]:
    """A spring is gone: the others hold what they can; friction, the drive or a device must hold the rest."""
    height, friction = facts.known("door.open_travel"), facts.known("torsion.friction")
    for key in facts.keys("spring"):
        held, short = facts.known("spring.broken_held_by", key), facts.known("spring.broken_short", key)
        falls = held not in ("device", "friction", "drive")
        left = None if short is None or friction is None else max(short - friction, 0.0)
        made = fault(
            "spring", f"/torsion/springs/{key}", "door" if falls else "", height if falls else 0.0, [], left,
            held_by=held or "not known", single=falls,
        )  # fmt: skip
        yield {**made, "needed": _needed(facts, "spring")}


def _cables(facts: Facts) -> Iterator[dict[str, Any]]:
    """A cable is gone: the other carries all, the door hangs askew in its track."""
    height, pull = facts.known("door.open_travel"), facts.known("torsion.pull_largest")
    device = facts.known("torsion.devices.cable_break")
    beyond = overloaded(_parts(facts), ALONE)
    for key in facts.keys("cable"):
        left = {f"/cables/{other}": facts.known("cable.alone_factor", other) for other in facts.keys("cable")}
        weak = [thing for thing, factor in left.items() if (factor or 1.0) < 1.0]
        overloads = [thing for thing in dict.fromkeys([*weak, *beyond]) if thing != f"/cables/{key}"]
        falls = (bool(overloads) or len(left) == 1) and not device
        held_by = "device" if device else "nothing" if falls else "the other cable"
        made = fault(
            "cable", f"/cables/{key}", "door" if falls else "", height if falls else 0.0, overloads,
            pull if falls else 0.0, held_by=held_by, single=falls,
        )  # fmt: skip
        yield {**made, "needed": _needed(facts, "cable")}


def _supports(facts: Facts) -> Iterator[dict[str, Any]]:
    """Parts without a second one: if one breaks, the door loses all springs, or the share of them that it passes on."""
    height, pull = facts.known("door.open_travel"), facts.known("torsion.pull_largest")
    device = facts.known("torsion.devices.cable_break")
    pads = [key for key, part in facts.column("mount.part").items() if part == "spring-pad"]
    parts = [("shaft", "/torsion/shaft")]
    parts += [("coupler", f"/torsion/couplers/{key}") for key in facts.keys("coupler")]
    parts += [("bearing", f"/torsion/bearings/{key}") for key in facts.keys("bearing") if _at_an_end(facts, key)]
    parts += [("spring pad", f"/mounts/{key}") for key in pads]
    for part, thing in parts:
        caught = bool(device) and part != "spring pad"  # a device at the cables holds the door, not the springs
        falls = "" if caught else "springs and door" if part == "spring pad" else "door"
        made = fault(
            part, thing, falls, 0.0 if caught else height, [], 0.0 if caught else pull,
            held_by="device" if caught else "nothing", single=not caught,
        )  # fmt: skip
        yield {**made, "needed": _needed(facts, part)}


def _at_an_end(facts: Facts, bearing: str) -> bool:
    stations = facts.column("bearing.station")
    return bool(stations) and stations.get(bearing) in (min(stations.values()), max(stations.values()))


def _needed(facts: Facts, part: str) -> str:
    """What the standard of the job asks to hold the door when this part breaks."""
    if facts.known("job.standard") == "EN":
        return f"a device, or the drive alone, when a {part} breaks; a drop of 300 mm at most (EN 12604:2017, 4.3.4)"
    return f"no device is asked for when a {part} breaks: keep people from under the moving door"
