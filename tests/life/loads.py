"""What every part carries: working, stalled, with the wind on the door, with one cable gone."""

from __future__ import annotations

import itertools
import math
from typing import Any

from life import beam
from life.job import Job
from life.looks import Look, carried
from life.sizes import INCH, PSI, given, need, of, true
from life.stack import Stack

FACTOR = 5.0
"""Breaking strength over load of cables and chains, as published."""


def cables(job: Job) -> list[Look]:
    tension = max(job.pulls) / 2
    looks = []
    ropes = given(job.tree, "cables") or {}
    for name, rope in ropes.items():
        strength = of(rope, "strength")
        looks += carried("cable overloaded", name, FACTOR * tension, strength)
        if strength is None:
            continue
        peak = 3 * tension
        slack, wire = of(rope, "slack"), of(rope, "diameter")
        long = of(rope, "length")
        if slack and wire and long:
            stretch = 2 * tension * long / (15e6 * PSI * 0.472 * wire**2)
            peak = max(peak, 2 * tension * (1 + math.sqrt(1 + 2 * slack / stretch)))
        weak = 0.5 if true(rope, "knotted") else 1 - (of(rope, "broken_wires") or 0.0)
        looks += carried("cable parts when the other does", name, peak, strength * weak)
    return looks


def reach(job: Job) -> list[Look]:
    """A cable shorter than its straight way cannot be hooked up at all."""
    tree, looks = job.tree, []
    for name, rope in (given(tree, "cables") or {}).items():
        long = of(rope, "length")
        if long is None:
            continue
        low = of(rope, "fitting_height", job.door.bottom) or 0.0
        if job.tower:
            head, eyes = of(tree, "tower.head_pulley_height"), of(tree, "tower.eye_bolt_height")
            if head is None or eyes is None:
                continue
            top = (
                (of(tree, "tower.base_stop") or 0.0)
                + job.nested
                + job.hook_up
                + (of(tree, "tower.box_pulley_rise") or 0)
            )
            least = head - low + abs(head - top) + eyes - top - (of(tree, "tower.eye_bolt_takeup") or 0.0) / 2
            if given(rope, "side") != given(tree, "tower.side"):
                least += need(tree, "tower.crossing")
        elif given(tree, "torsion.mount") == "rear":
            least = (of(tree, "torsion.front_pulley.run") or 0) + (of(tree, "torsion.front_pulley.height") or 0) - low
        else:
            least = need(tree, "torsion.shaft.height") - low
        looks.append(
            Look(
                "cable too short",
                name,
                (long - least) / INCH,
                f"{name} is {long / INCH:.0f} in, its way {least / INCH:.0f} in",
            )
        )
    return looks


def drive(job: Job) -> float:
    return of(job.tree, "operation.pull") or 0.0


def tower(job: Job) -> list[Look]:
    tree = job.tree
    tension = max(job.pulls) / 2
    near = given(tree, "tower.side")
    looks = cables(job)
    for name, pulley in (given(tree, "pulleys") or {}).items():
        at, side = given(pulley, "at"), given(pulley, "side")
        share = {"box": 4.0, "crossing": 2 * math.sqrt(2)}.get(at, 4.0 if side == near else 2 * math.sqrt(2))
        looks += carried("pulley overloaded", name, share * tension, of(pulley, "capacity"))
    hangs = [job.stack.hang(job.hook_up - x / 2) for x in job.travels]
    total = sum(job.stack.weights)
    below = [max((hang.tensions[i] for hang in hangs), default=0.0) for i in range(len(job.boxes) - 1)]
    plate = need(tree, "tower.plate")
    for number, (name, box) in enumerate(job.boxes):
        plates = given(box, "plates")
        ballast = float(plates) * plate if plates is not None else job.stack.weights[number] - need(box, "tare")
        looks += carried("box overfilled", name, ballast, of(box, "capacity"))
        if number < len(below):
            looks += carried("chain overloaded", name, FACTOR * below[number], of(box, "chain.strength"))
            looks += carried("chain overloaded", name, FACTOR * below[number], of(box, "chain.fittings_strength"))
    worst = max(below, default=0.0)
    fitted = {
        "eye-bolt": 2 * tension, "bottom-bracket": 2 * tension, "box-top": 4 * tension, "box-bottom": worst,
        "spring-stop": worst, "base-stop": total - min(hang.pull for hang in hangs),
    }  # fmt: skip
    for name, load in fitted.items():
        looks += carried("fitting overloaded", name, load, of(tree, f"fittings.{name}.capacity"))
    looks += carried("tower head overloaded", "tower", 6 * tension, of(tree, "tower.head_capacity"))
    own = of(tree, "tower.weight") or 0.0
    standing = max(own + total - hang.pull + 6 * pull / 2 for hang, pull in zip(hangs, job.pulls, strict=True))
    looks += carried("slab overloaded", "tower", standing, of(tree, "tower.slab_capacity"))
    loads = {("head-plate", True): math.hypot(4, 2), ("head-plate", False): math.hypot(2, 2)}
    for name, mount in (given(tree, "mounts") or {}).items():
        share = loads.get((given(mount, "part"), given(mount, "side") == near))
        if share is not None:
            looks += mounted(name, mount, share * tension)
    return looks


def mounted(name: str, mount: Any, load: float) -> list[Look]:
    """A shearing load on a mounting, shared evenly: the least that its worst fastener carries."""
    looks = carried("mount overloaded", name, load, of(mount, "capacity"))
    single, count = of(mount, "fixing.shear_capacity"), given(mount, "fixing.count")
    if single is not None and count is not None:
        looks += carried("mount overloaded", name, load, single * float(count))
    return looks


def both(job: Job) -> list[Look]:
    """Parts that every door has: rollers, hinges, bumpers, lock, wind, hangers, operator."""
    tree = job.tree
    stops = given(tree, "fittings") or {}
    press = max(max(abs(normal) for normal in forces.normals) for forces in job.forces) / 2
    pulled = max((max(forces.joints, default=0.0) for forces in job.forces), default=0.0) / 2
    looks = carried("fitting overloaded", "roller", press, of(stops, "roller.capacity"))
    looks += carried("fitting overloaded", "hinge", pulled, of(stops, "hinge.capacity"))
    stalled = (job.net[-1] + drive(job)) / 2
    looks += carried("fitting overloaded", "bumper", stalled, of(stops, "bumper.capacity"))
    looks += wind(job)
    looks += hangers(job)
    return looks


def wind(job: Job) -> list[Look]:
    tree = job.tree
    blows, wide = of(tree, "wind.required_pressure"), of(tree, "door.width")
    if blows is None:
        return []
    looks = carried("wind breaks the door", "door", blows, of(tree, "door.rated_pressure"))
    if wide is None:
        return looks
    heights = job.door.heights
    shares = [heights[0] / 2] + [(low + high) / 2 for low, high in itertools.pairwise(heights)] + [heights[-1] / 2]
    roller = blows * wide / 2 * max(shares[1:-1], default=heights[0] / 2)
    looks += carried("wind on a roller", "roller", roller, of(tree, "fittings.roller.capacity"))
    return looks


def hangers(job: Job) -> list[Look]:
    """The open door on each track: a beam from the end of the curve over its hangers."""
    tree = job.tree
    found = given(tree, "hangers") or {}
    if not found or job.lift in ("vertical", "low-headroom"):
        return []
    door = job.door
    forces, ways = door.forces(door.open_at), door.ways(door.open_at)
    loads = [
        (way - door.guide.arc, -normal / 2)
        for way, normal in zip(ways, forces.normals, strict=True)
        if way > door.guide.arc
    ]
    own, length = of(tree, "track.weight") or 0.0, need(tree, "track.horizontal_length")
    looks = []
    for side in ("left", "right"):
        here = sorted((need(h, "station"), name) for name, h in found.items() if given(h, "side") == side)
        pins = [0.0, *(station for station, _ in here)]
        if not here or any(b <= a for a, b in itertools.pairwise(pins)) or pins[-1] > length:
            continue
        held = beam.reactions(pins, loads, own * math.cos(job.rise), 0.0, length)
        for (_, name), reaction in zip(here, held[1:], strict=True):
            down = reaction * math.cos(job.rise)
            looks += carried("hanger overloaded", name, down, of(found[name], "ceiling_capacity"))
            single, count = of(found[name], "fixing.capacity"), given(found[name], "fixing.count")
            if single is not None and count is not None and not true(found[name], "fixing.across"):
                looks += carried("hanger overloaded", name, down, single * float(count))
    return looks


def lifting(job: Job) -> list[Look]:
    """The tackle that raises sections, and the clamps that hold the door while it is trimmed."""
    tree = job.tree
    looks = []
    heaviest = of(tree, "lifting.tackle.load", max(job.door.weights)) or 0.0
    looks += carried("tackle overloaded", "tackle", heaviest, of(tree, "lifting.tackle.capacity"))
    if job.tower and given(tree, "lifting.boxes") == "empty":
        bare = Stack(tuple(need(box, "tare") for _, box in job.boxes), job.stack.chains)
        first = job.marks[0][0]
        pulls = [
            forces.pull - bare.hang(job.hook_up - x / 2).pull / 2
            for x, forces in zip(job.travels, job.forces, strict=True)
            if x <= first or not first
        ]
        looks += carried("tackle overloaded", "tackle", max(pulls) + job.friction, of(tree, "lifting.tackle.capacity"))
    own = of(tree, "lifting.tackle.weight") or 0.0
    parts = given(tree, "lifting.tackle.parts")
    point = heaviest + own + (heaviest / float(parts) if parts else 0.0)
    looks += carried("tackle overloaded", "point", point, of(tree, "lifting.tackle.point_capacity"))
    if job.tower:
        looks += carried("clamps slip", "clamps", max(map(abs, job.net)), of(tree, "lifting.clamp_capacity"))
    return looks
