"""What every part between sections and building carries on a tower job, and what falls when one of them is gone; SI."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate, pairwise
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
from doorlint.mechanics.load_path import CAUGHT, FAR_GONE, NEAR_GONE, PEAK, REST, SUDDEN, Case, cases

__all__ = ["faults", "load_path"]

FIVE = "strength / 5, UFGS 08370, 3.1.3"
KEPT = "strength with the losses at its end and bends"
SHUT = 12 * 0.0254
"""m; below this travel a door that comes down reaches the floor no harder than it closes"""


def load_path(facts: Facts) -> list[dict[str, Any]]:
    """A row for each part, thing and case, the worst case of a part marked. What may be heavier than it is said to be
    counts in the share used."""
    return rows(_parts(facts), facts.known("door.heavy_share") or 1.0)


def faults(facts: Facts) -> list[dict[str, Any]]:
    """Each part taken away in turn: what falls, how far, how much the door is short, and what else is overloaded."""
    return [*_lost_cables(facts), *_lost_chains(facts), *_lost_supports(facts), *drive_fault(facts)]


def _parts(facts: Facts) -> Iterator[Part]:
    tension = facts.known("tower.cable_tension")
    yield from _cables(facts, tension)
    for key in facts.keys("pulley"):
        at = facts.known("pulley.at", key)
        found = facts.known("pulley.cases", key) or ()
        yield Part(f"{at} pulley", f"/pulleys/{key}", found, facts.known("pulley.capacity", key))
    yield from _boxes(facts)
    yield from _chains(facts)
    yield from _tower(facts, tension)
    yield from every_door(facts)
    if facts.given("lifting"):
        held = facts.known("lifting.restraint")
        trimmed = (Case("boxes being trimmed", held),)
        yield Part("clamps", "/lifting/clamp_capacity", trimmed, facts.known("lifting.clamp_capacity"))


def _cables(facts: Facts, tension: float | None) -> Iterator[Part]:
    side = facts.known("tower.side")
    for key in facts.keys("cable"):
        name = "near cable" if facts.known("cable.side", key) == side else "far cable"
        strength, kept = facts.known("cable.catalogue_strength", key), facts.known("cable.strength_kept", key)
        rest, *gone = _or_unknown(name, tension)
        yield Part("cable", f"/cables/{key}", (rest,), None if strength is None else strength / FACTOR, FIVE)
        peak = None if tension is None else 2.0 * SUDDEN * tension
        alone = None if strength is None or kept is None else strength * kept
        dropped = facts.known("cable.caught", key)
        slack = () if dropped is None else (Case(CAUGHT, dropped),)
        yield Part("cable end", f"/cables/{key}", (*gone, Case(PEAK, peak), *slack), alone, KEPT)


def _boxes(facts: Facts) -> Iterator[Part]:
    for key in facts.keys("box"):
        ballast, capacity = facts.known("box.ballast", key), facts.known("box.capacity", key)
        yield loaded("box", f"/tower/boxes/{key}", ballast, capacity)


def _chains(facts: Facts) -> Iterator[Part]:
    pull, boxes = facts.known("stack.pull_closed"), facts.column("box.loaded")
    for key, above in zip(facts.keys("box")[:-1], accumulate(boxes.values()), strict=False):
        load = None if pull is None else max(pull - above, 0.0)
        for part, name in (("chain", "box.chain.strength"), ("chain fitting", "box.chain.fittings_strength")):
            strength = facts.known(name, key)
            capacity = None if strength is None else strength / FACTOR
            yield Part(part, f"/tower/boxes/{key}/chain", (Case(REST, load),), capacity, FIVE)


def _tower(facts: Facts, tension: float | None) -> Iterator[Part]:
    head = facts.known("tower.head_capacity")
    yield Part("tower head V", "/tower/head_capacity", _or_unknown("tower head V", tension), head)
    mounts = {
        "tower head H": ("tower-head", True),
        "far head plate V": ("head-plate", False),
        "far head plate H": ("head-plate", False),
    }
    for name, (kind, beside) in mounts.items():
        key = _mount(facts, kind, beside)
        thing = "/mounts" if key is None else f"/mounts/{key}"
        capacity = None if key is None else facts.known("mount.capacity", key)
        yield Part(name, thing, _or_unknown(name, tension), capacity, SPEC, "the engineer of the building")
    weight = facts.known("tower.weight")
    slab = [
        Case(case.case, None if case.force is None or weight is None else case.force + weight)
        for case in _or_unknown("tower head V", tension)
    ]
    answers = "the engineer of the slab"
    yield Part(
        "slab under the tower", "/tower/slab_capacity", tuple(slab), facts.known("tower.slab_capacity"), SPEC, answers
    )


def _or_unknown(part: str, tension: float | None) -> tuple[Case, ...]:
    found = cases(part, tension or 0.0)
    return found if tension is not None else tuple(case._replace(force=None) for case in found)


def _mount(facts: Facts, kind: str, beside: bool) -> str | None:
    side = facts.known("tower.side")
    for key in facts.keys("mount"):
        if facts.known("mount.part", key) == kind and (facts.known("mount.side", key) == side) is beside:
            return key
    return None


def _lost_cables(facts: Facts) -> Iterator[dict[str, Any]]:
    """A lost cable drops nothing where the other one holds its peak; what else is left with it swings as high."""
    side, travel = facts.known("tower.side"), facts.known("door.open_travel")
    for key in facts.keys("cable"):
        lost = NEAR_GONE if facts.known("cable.side", key) == side else FAR_GONE
        others = [facts.known("cable.alone_factor", other) for other in facts.keys("cable") if other != key]
        holds = bool(others) and all(factor is not None and factor >= 1.0 for factor in others)
        falls, height, held_by = ("", 0.0, "the other cable") if holds else ("door and boxes", travel, "nothing")
        over = overloaded(_parts(facts), lost, SUDDEN)
        yield fault("cable", f"/cables/{key}", falls, height, over, held_by=held_by, single=not holds)


def _lost_chains(facts: Facts) -> Iterator[dict[str, Any]]:
    """Without a chain the boxes below fall to where they nest, and the door is short of them."""
    keys, rises, boxes = facts.keys("box"), facts.column("box.rise_closed"), facts.column("box.loaded")
    above = 0.0
    for number, (key, below) in enumerate(pairwise(keys), start=1):
        above += boxes.get(key, 0.0)
        falls = f"boxes {below} to {keys[-1]}" if number < len(keys) - 1 else f"box {below}"
        thing, short = f"/tower/boxes/{key}/chain", _short(facts, above / 2)
        yield fault("chain", thing, falls, rises.get(below), [], short, held_by=_holding(facts, short), single=True)


def _lost_supports(facts: Facts) -> Iterator[dict[str, Any]]:
    """What carries both cables at once: nothing else holds the door."""
    height, short = facts.known("tower.hook_up"), _short(facts, 0.0)
    for part in ("box 1 with its pulleys", "tower head", "tower foot and anchors"):
        thing = "/tower/boxes/b1" if part.startswith("box") else "/tower"
        held_by = _holding(facts, short)
        yield fault(part, thing, "all boxes and the door", height, [], short, held_by=held_by, single=True)


def _holding(facts: Facts, short: float | None) -> str:
    """What holds the door that is short of so much of its counterweight: friction, the drive, or nothing."""
    friction, drive = facts.known("operation.friction"), facts.known("operation.holds")
    if short is None or friction is None:
        return "not known"
    if short <= friction:
        return "friction"
    return "the drive" if drive is not None and short - friction <= drive else "nothing"


def _short(facts: Facts, left: float) -> float | None:
    """Most that the door is short of what still pulls at it (N), from a foot of travel up."""
    curve = facts.known("door.curve")
    if not isinstance(curve, list):
        return None
    missing = [door - min(other, left) for travel, door, other, _ in curve if travel >= SHUT and other is not None]
    return float(max([0.0, *missing]))
