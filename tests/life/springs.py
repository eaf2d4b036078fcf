"""What springs, drums and shaft of a torsion door carry, and whether they fit on it."""

from __future__ import annotations

import math
from itertools import pairwise

from life import beam
from life.job import Job
from life.loads import cables
from life.looks import Look, carried
from life.sizes import INCH, LBF, given, need, of, true

STEEL = 0.2836 * LBF / INCH**3


def torsion(job: Job) -> list[Look]:
    return [*cables(job), *wire(job), *hands(job), *lengths(job), *drums(job), *shaft(job)]


def wire(job: Job) -> list[Look]:
    """A spring wound past what its wire carries, or onto its shaft."""
    looks = []
    diameter = of(job.tree, "torsion.shaft.diameter") or 0.0
    for spring in job.springs:
        looks += carried("spring gives", spring.name, spring.torque(0.0), spring.most_torque)
        inner = [other for other in job.springs if other.within == spring.name]
        looks.append(
            Look("coil binds", spring.name, (spring.bore_wound - diameter) / INCH, f"{spring.name} wound on its shaft")
        )
        for other in inner:
            gap = (spring.bore_wound - other.outside) / INCH
            looks.append(Look("coil binds", other.name, gap, f"{other.name} inside {spring.name}"))
        looks.append(Look("spring not wound", spring.name, 1.0 if spring.turns > 0 else -1.0, "turns on the spring"))
    return looks


def hands(job: Job) -> list[Look]:
    """A spring of the wrong hand unwinds as the door comes down."""
    looks = []
    off_bottom = given(job.tree, "torsion.mount") == "rear" and given(job.tree, "torsion.drum.cable_leaves") == "bottom"
    for spring in job.springs:
        if spring.wound_right is not None:
            right = spring.wound_right == (spring.leftward != off_bottom)
            looks.append(Look("spring of the wrong hand", spring.name, 1.0 if right else -1.0, "hand of the coil"))
    return looks


def lengths(job: Job) -> list[Look]:
    """Springs that have no room on the shaft."""
    total = of(job.tree, "torsion.shaft.length")
    if total is None:
        return []
    spans = []
    looks = []
    for spring in job.springs:
        if spring.within:
            continue
        far = spring.anchor + (-spring.wound_length if spring.leftward else spring.wound_length)
        low, high = sorted((spring.anchor, far))
        spans.append((low, high, spring.name))
        looks.append(
            Look("spring has no room", spring.name, min(low, total - high) / INCH, f"{spring.name} on the shaft")
        )
    for (_, end, one), (start, _, other) in pairwise(sorted(spans)):
        looks.append(Look("spring has no room", one, (start - end) / INCH, f"{one} and {other}"))
    return looks


def drums(job: Job) -> list[Look]:
    looks = carried("drum overloaded", "drum", job.door.weight, of(job.tree, "torsion.drum.rating"))
    grooves, wraps = of(job.tree, "torsion.drum.capacity"), of(job.tree, "torsion.drum.wraps_closed")
    if grooves is not None:
        left = grooves - job.phi_open - (wraps or 0.0)
        looks.append(Look("cable climbs off the drum", "drum", left, f"{left:.2f} grooves left"))
    return looks


def shaft(job: Job) -> list[Look]:
    """Bending, torque, bearings, hubs and couplers with the door closed and the springs wound."""
    tree = job.tree
    long, wide = need(tree, "torsion.shaft.length"), need(tree, "torsion.shaft.diameter")
    bore = of(tree, "torsion.shaft.bore", 0.0) or 0.0
    places = {"left": of(tree, "torsion.drum.left"), "right": of(tree, "torsion.drum.right")}
    if None in places.values():
        return []
    pins = sorted((need(b, "station"), name) for name, b in (given(tree, "torsion.bearings") or {}).items())
    pull = job.pull(0.0)
    own = of(tree, "torsion.drum.weight") or 0.0
    level = given(tree, "torsion.mount") == "rear"
    down = [(float(at or 0.0), own + (0.0 if level else pull / 2)) for at in places.values()]
    along = [(float(at or 0.0), pull / 2 if level else 0.0) for at in places.values()]
    down += [(spring.cone_at, spring.weight / 2) for spring in job.springs]
    spread = STEEL * math.pi * (wide**2 - bore**2) / 4
    looks = []
    torque = sum(spring.torque(0.0) for spring in job.springs)
    steps = [(float(places["left"] or 0), -torque / 2), (float(places["right"] or 0), -torque / 2)]
    steps += [(spring.cone_at, spring.torque(0.0)) for spring in job.springs]

    def twisted(at: float) -> float:
        left = sum(turn for place, turn in steps if place < at)
        return max(abs(left), abs(sum(turn for place, turn in steps if place <= at)))

    if len(pins) >= 2 and pins[0][0] < pins[1][0] and all(a[0] < b[0] for a, b in pairwise(pins)):
        stations = [station for station, _ in pins]
        held = [beam.reactions(stations, loads, load, 0.0, long) for loads, load in ((down, spread), (along, 0.0))]
        for number, (_, name) in enumerate(pins):
            load = math.hypot(held[0][number], held[1][number])
            looks += carried("bearing overloaded", name, load, of(tree, f"torsion.bearings.{name}.capacity"))
        strong = of(tree, "torsion.shaft.yield")
        if strong is not None:
            worst = 0.0
            for at in [*stations, *(place for place, _ in down)]:
                bends = math.hypot(
                    beam.moment(at, stations, held[0], down, spread, 0.0),
                    beam.moment(at, stations, held[1], along, 0.0, 0.0),
                )
                solid = math.pi * (wide**4 - bore**4)
                sigma, tau = 32 * bends * wide / solid, 16 * twisted(at) * wide / solid
                worst = max(worst, math.sqrt(sigma**2 + 3 * tau**2))
            strong *= 0.75 if true(tree, "torsion.shaft.keyed") else 1.0
            looks += carried("shaft yields", "shaft", worst, strong)
    cones: dict[float, float] = {}
    for spring in job.springs:
        cones[spring.cone_at] = cones.get(spring.cone_at, 0.0) + spring.torque(0.0)
    hub = max([torque / 2, *cones.values()])
    looks += carried("key shears", "hubs", 2 * hub / wide, of(tree, "torsion.hubs.key_capacity"))
    for name, coupler in (given(tree, "torsion.couplers") or {}).items():
        looks += carried("coupler slips", name, twisted(need(coupler, "station")), of(coupler, "torque"))
    return looks
