"""The shaft that carries springs and drums: its bearings, torsion and bending, twist, hubs, and the room around it."""

from __future__ import annotations

import math
from itertools import pairwise

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.kinds import Angle, Count, Each, Flag, Length, Pull, Ratio, Stress, Table, Text, Torque, Weight
from doorlint.mechanics import clearance, shaft, sweep

POUND_INCH2 = 4.4482216152605 / 0.0254**2
SHEAR_MODULUS = 11.5e6 * POUND_INCH2
"""Pa; carbon steel, Shigley, Appendix A, physical constants of materials"""
KEYWAY = 0.75
"""share of its strength that a shaft keeps with a keyway; ASME shaft code, second-hand"""
CODE_SHEAR = 0.30
"""share of the yield strength that the code allows in shear"""
CODE_BENDING = 1.5
"""factor of the code on bending, gradually applied; from memory"""


def beam(
    bearing_station: Each[Length],
    torsion_shaft_length: Length,
    torsion_shaft_diameter: Length,
    torsion_shaft_kind: Text,
    torsion_shaft_bore: Length | None,
) -> shaft.Shaft:
    """The shaft on its bearings

    Formula: continuous beam on rigid pins, from the left end bearing to the right one
    Unit: m
    Source: derived; bearings by station

    >>> beam({"left": 0.0, "right": 2.0}, 2.0, 0.0254, "solid", None).bearings
    (0.0, 2.0)
    """
    bore = 0.0
    if torsion_shaft_kind == "tube":
        if torsion_shaft_bore is None:
            raise MissingInput("torsion.shaft.bore")
        bore = torsion_shaft_bore
        if bore >= torsion_shaft_diameter:
            raise NotModelled("a tube whose bore is not smaller than it is wide")
    stations = sorted(bearing_station.values())
    if len(stations) < 2 or len(set(stations)) != len(stations):
        raise NotModelled("a shaft on fewer than two bearings, or two at one station; give each a station of its own")
    if abs(stations[0]) > 1e-6 or abs(stations[-1] - torsion_shaft_length) > 1e-6:
        raise NotModelled("a shaft without a bearing at each end; give one at station 0 and one at its length")
    return shaft.Shaft((0.0, *stations[1:]), torsion_shaft_diameter, bore)


def loads(
    torsion_mount: Text,
    torsion_drum_left: Length,
    torsion_drum_right: Length,
    torsion_drum_weight: Weight,
    torsion_pull_closed: Pull,
    spring_cone_station: Each[Length],
    spring_weight: Each[Weight],
    shaft_beam: shaft.Shaft,
) -> tuple[shaft.Load, ...]:
    """What loads the shaft with the door closed

    Formula: on each drum half the pull (down in front, level behind) + its weight; on each cone half its spring
    Unit: N
    Source: derived; the anchor carries the other half of a spring

    >>> line = shaft.Shaft((0.0, 2.0), 0.0254, 0.0)
    >>> loads("front", 0.1, 1.9, 15.0, 2000.0, {"a": 1.0}, {"a": 80.0}, line)[0]
    Load(station=0.1, down=1015.0, front=0.0)
    """
    _on_shaft(shaft_beam, (torsion_drum_left, torsion_drum_right, *spring_cone_station.values()))
    half = torsion_pull_closed / 2.0
    down, front = (half, 0.0) if torsion_mount == "front" else (0.0, half)
    drums = [
        shaft.Load(station, torsion_drum_weight + down, front) for station in (torsion_drum_left, torsion_drum_right)
    ]
    return (*drums, *(shaft.Load(at, spring_weight[key] / 2.0) for key, at in spring_cone_station.items()))


def _on_shaft(line: shaft.Shaft, stations: tuple[float, ...]) -> None:
    if min(stations) < 0.0 or max(stations) > line.bearings[-1]:
        raise NotModelled("a drum or a cone outside the end bearings; move it between them, or a bearing beyond it")


def held(shaft_beam: shaft.Shaft, shaft_loads: tuple[shaft.Load, ...]) -> tuple[shaft.Force, ...]:
    """What the bearings carry from left to right, down and toward the front

    Formula: continuous beam on rigid pins
    Unit: N
    Source: derived; three-moment equation

    >>> line = shaft.Shaft((0.0, 2.0), 0.0254, 0.0)
    >>> round(held(line, (shaft.Load(1.0, 100.0),))[0][0] - line.weight, 6)
    50.0
    """
    return shaft.bearing_loads(shaft_beam, shaft_loads)


def steps(
    torsion_drum_left: Length,
    torsion_drum_right: Length,
    torsion_torque_closed: Torque,
    spring_cone_station: Each[Length],
    spring_torque: Each[Torque],
) -> tuple[shaft.Step, ...]:
    """Where torque comes on the shaft and leaves it, door closed

    Formula: each cone its rate x turns, each drum half of all
    Unit: N m
    Source: derived; equilibrium of the shaft

    >>> steps(0.1, 1.9, 100.0, {"a": 1.0}, {"a": 100.0})[0]
    Step(station=0.1, torque=-50.0)
    """
    taken = [shaft.Step(station, -torsion_torque_closed / 2.0) for station in (torsion_drum_left, torsion_drum_right)]
    return (*taken, *(shaft.Step(station, spring_torque[key]) for key, station in spring_cone_station.items()))


def worst(
    shaft_beam: shaft.Shaft,
    shaft_loads: tuple[shaft.Load, ...],
    shaft_steps: tuple[shaft.Step, ...],
    shaft_held: tuple[shaft.Force, ...],
) -> shaft.Worst:
    """Where bending and torsion together stress the shaft most

    Formula: largest sqrt(sigma^2 + 3 tau^2), both at one place
    Unit: Pa
    Source: derived; 32 M D/(pi (D^4 - di^4)) and 16 T D/(pi (D^4 - di^4))

    >>> line = shaft.Shaft((0.0, 2.0), 0.0254, 0.0)
    >>> load = (shaft.Load(1.0, 400.0),)
    >>> worst(line, load, (), held(line, load)).station
    1.0
    """
    return shaft.worst(shaft_beam, shaft_loads, (shaft_steps,), shaft_held)


def worst_alone(
    shaft_beam: shaft.Shaft,
    shaft_loads: tuple[shaft.Load, ...],
    shaft_held: tuple[shaft.Force, ...],
    torsion_drum_left: Length,
    torsion_drum_right: Length,
    torsion_torque_closed: Torque,
    spring_cone_station: Each[Length],
    spring_torque: Each[Torque],
) -> shaft.Worst:
    """The same with one cable broken: all the torque on either drum

    Formula: the worse of both drums, with the bending of two cables
    Unit: Pa
    Source: derived; equilibrium of the shaft

    >>> line = shaft.Shaft((0.0, 2.0), 0.0254, 0.0)
    >>> round(worst_alone(line, (), held(line, ()), 0.1, 1.9, 100.0, {"a": 1.0}, {"a": 100.0}).torque)
    -100
    """
    cones = [shaft.Step(station, spring_torque[key]) for key, station in spring_cone_station.items()]
    drums = (torsion_drum_left, torsion_drum_right)
    either = [(shaft.Step(station, -torsion_torque_closed), *cones) for station in drums]
    return shaft.worst(shaft_beam, shaft_loads, either, shaft_held)


def equivalent_stress(shaft_worst: shaft.Worst) -> Stress:
    """Stress in the shaft where it is worst, bending and torsion together

    Formula: sqrt(sigma^2 + 3 tau^2)
    Unit: Pa
    Source: derived; distortion energy

    >>> equivalent_stress(shaft.Worst(1.0, 0.0, 100.0, 0.0, 5e7, 5e7))
    50000000.0
    """
    return shaft_worst.equivalent


def yield_factor(shaft_worst: shaft.Worst, torsion_shaft_yield: Stress, torsion_shaft_keyed: Flag) -> Ratio:
    """Yield strength of the shaft over its stress, both cables holding

    Formula: Sy (x 0.75 with a keyway) / sqrt(sigma^2 + 3 tau^2)
    Unit: 1
    Source: derived; the share with a keyway is that of the ASME shaft code, second-hand

    >>> yield_factor(shaft.Worst(1.0, 0.0, 100.0, 0.0, 5e7, 5e7), 3e8, True)
    4.5
    """
    return _factor(shaft_worst, torsion_shaft_yield, torsion_shaft_keyed)


def yield_factor_alone(shaft_worst_alone: shaft.Worst, torsion_shaft_yield: Stress, torsion_shaft_keyed: Flag) -> Ratio:
    """Yield strength of the shaft over its stress with one cable broken

    Formula: Sy (x 0.75 with a keyway) / sqrt(sigma^2 + 3 tau^2), all the torque on either drum
    Unit: 1
    Source: derived; the share with a keyway is that of the ASME shaft code, second-hand

    >>> yield_factor_alone(shaft.Worst(1.0, 0.0, 100.0, 0.0, 5e7, 5e7), 3e8, False)
    6.0
    """
    return _factor(shaft_worst_alone, torsion_shaft_yield, torsion_shaft_keyed)


def _factor(found: shaft.Worst, strength: float, keyed: bool) -> float:
    return strength * (KEYWAY if keyed else 1.0) / found.equivalent


def code_share(shaft_worst: shaft.Worst, torsion_shaft_yield: Stress, torsion_shaft_keyed: Flag) -> Ratio:
    """Shear in the shaft over what a published shaft code allows

    Formula: sqrt((1.5 sigma / 2)^2 + tau^2) / (0.30 Sy, x 0.75 with a keyway)
    Unit: 1
    Source: second-hand; ASME shaft code; withdrawn lineage; allowable shear (factor on bending from memory)

    >>> round(code_share(shaft.Worst(1.0, 0.0, 100.0, 0.0, 5e7, 5e7), 3e8, False), 3)
    0.417
    """
    shear = math.hypot(CODE_BENDING * shaft_worst.bending / 2.0, shaft_worst.shear)
    return shear / (CODE_SHEAR * torsion_shaft_yield * (KEYWAY if torsion_shaft_keyed else 1.0))


def twist(
    shaft_beam: shaft.Shaft,
    shaft_steps: tuple[shaft.Step, ...],
    torsion_drum_left: Length,
    torsion_drum_right: Length,
) -> Angle:
    """Twist of the shaft from drum to drum, without its sign

    Formula: sum of T L/(G J), G 11.5e6 psi
    Unit: rad
    Source: published; Shigley; 9th edition; Appendix A, physical constants of materials

    >>> line = shaft.Shaft((0.0, 2.0), 0.0254, 0.0)
    >>> round(twist(line, steps(0.1, 1.9, 100.0, {"a": 0.1}, {"a": 100.0}), 0.1, 1.9), 4)
    0.0278
    """
    return abs(shaft.twist(shaft_beam, shaft_steps, torsion_drum_left, torsion_drum_right, SHEAR_MODULUS))


def corner_lag(shaft_twist: Angle, drum_largest_radius: Length) -> Length:
    """How far one corner of the door lags behind the other by the twist of the shaft

    Formula: twist x radius of the drum, door closed
    Unit: m
    Source: derived; arc length

    >>> round(corner_lag(0.02, 0.07), 4)
    0.0014
    """
    return shaft_twist * drum_largest_radius


def hub_torque(torsion_torque_closed: Torque, spring_torque: Each[Torque], spring_inside: Each[Text | None]) -> Torque:
    """Torque that the most loaded hub passes on

    Formula: larger of half of all on one drum and all springs on one cone
    Unit: N m
    Source: derived; equilibrium of a hub; a duplex set shares its cone

    >>> hub_torque(100.0, {"a": 40.0, "b": 25.0, "c": 35.0}, {"a": None, "b": "a", "c": None})
    65.0
    """
    cones: dict[str, float] = {}
    for key, given in spring_torque.items():
        cone = spring_inside[key] or key
        cones[cone] = cones.get(cone, 0.0) + given
    return max(torsion_torque_closed / 2.0, *cones.values())


def key_force(shaft_hub_torque: Torque, torsion_shaft_diameter: Length) -> Weight:
    """Force on the key of the most loaded hub

    Formula: 2 x torque / diameter of the shaft
    Unit: N
    Source: derived; lever arm of the key

    >>> key_force(63.5, 0.0254)
    5000.0
    """
    return 2.0 * shaft_hub_torque / torsion_shaft_diameter


def key_force_alone(
    torsion_torque_closed: Torque, torsion_shaft_diameter: Length, torsion_shaft_keyed: Flag | None
) -> Weight | None:
    """Force on the key of a drum with the other cable gone

    All the torque is on that drum; no cone passes on more.

    Formula: 2 x torque of all springs / diameter of the shaft
    Unit: N
    Source: derived; equilibrium of the shaft

    >>> key_force_alone(127.0, 0.0254, True), key_force_alone(127.0, 0.0254, False)
    (10000.0, None)
    """
    return None if torsion_shaft_keyed is False else 2.0 * torsion_torque_closed / torsion_shaft_diameter


def screws_alone(
    torsion_hubs_set_screws: Count, torsion_shaft_keyed: Flag | None, torsion_hubs_key_capacity: Weight | None
) -> Count | None:
    """Set screws of a hub that no key helps

    A key needs a keyway: what is stated for a key does not count on a shaft that has none.

    Formula: set screws; does not apply where a key holds the hub
    Unit: 1
    Source: derived; a key needs a keyway

    >>> screws_alone(2, True, 9000.0), screws_alone(2, False, 9000.0), screws_alone(2, None, None)
    (None, 2, 2)
    """
    keyed = torsion_shaft_keyed is not False and torsion_hubs_key_capacity is not None
    return None if keyed else torsion_hubs_set_screws


def screw_factor(
    shaft_screws_alone: Count,
    torsion_hubs_screw_diameter: Length,
    torsion_shaft_diameter: Length,
    shaft_hub_torque: Torque,
    table_set_screws: Table,
) -> Ratio | None:
    """Torque that the set screws of a hub hold over the torque it passes on

    Does not apply to a hub without set screws.

    Formula: set screws x holding force x diameter of the shaft / 2 / torque of the hub
    Unit: 1
    Source: memory; holding force of set screws by Shigley, 9th edition, Table 7-4, not read
    """
    if shaft_screws_alone == 0:
        return None
    holding = table_set_screws.look("holding", diameter=torsion_hubs_screw_diameter)
    return shaft_screws_alone * holding * torsion_shaft_diameter / 2.0 / shaft_hub_torque


def reach(torsion_drum_diameter: Length, spring_outside: Each[Length]) -> Length:
    """How far drums and relaxed springs reach from the center of the shaft

    Formula: larger of half the drum's flange and half the outside of the largest spring
    Unit: m
    Source: derived; sizes of the parts

    >>> reach(0.15, {"a": 0.12})
    0.075
    """
    return max(torsion_drum_diameter, *spring_outside.values()) / 2.0


def door_distance(
    sweep_shape: sweep.Sweep,
    torsion_shaft_height: Length,
    torsion_shaft_from_wall: Length,
    track_wall_offset: Length,
) -> Length:
    """Nearest that the moving door comes to the center of the shaft

    Formula: least distance from the shaft to any section over the travel
    Unit: m
    Source: derived; rigid sections on the roller path
    """
    return clearance.nearest(sweep_shape, torsion_shaft_from_wall - track_wall_offset, torsion_shaft_height).distance


def longest_span(shaft_beam: shaft.Shaft) -> Length:
    """Longest distance between two bearings

    Formula: largest difference of neighboring stations
    Unit: m
    Source: derived; from the spec

    >>> longest_span(shaft.Shaft((0.0, 1.2, 2.0), 0.0254, 0.0))
    1.2
    """
    return max(after - before for before, after in pairwise(shaft_beam.bearings))
