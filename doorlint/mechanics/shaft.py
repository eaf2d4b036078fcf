"""The shaft of a spring counterbalance: a continuous beam on its bearings that carries torque.

Stations ``s`` (m) count along the shaft from the left end bearing. Bearings are rigid pins. Forces are pairs (down,
toward the front) in N, so a cable that runs level to the front pulls in the second direction. The torque diagram steps
up at each winding cone and down at each drum.

Source: derived; three-moment equation of a prismatic beam, St. Venant torsion of a round bar.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final, TypeAlias

from doorlint.mechanics.beam import Beam, even, reactions
from doorlint.mechanics.torsion_spring import STEEL
from doorlint.named_tuple import NamedTuple

Force: TypeAlias = tuple[float, float]
"""down, toward the front (N)"""


class Load(NamedTuple):
    """A force (N: ``down``, ``front``) at a station (m)."""

    station: float
    down: float
    front: float = 0.0


class Step(NamedTuple):
    """Torque put on the shaft (N m; negative where a drum takes it) at a station (m)."""

    station: float
    torque: float


class Worst(NamedTuple):
    """The most stressed place: ``station`` (m), ``torque`` and ``moment`` there (N m), ``shear`` and ``bending``
    stress (Pa) and the ``equivalent`` stress sqrt(sigma^2 + 3 tau^2) (Pa)."""

    station: float
    torque: float
    moment: float
    shear: float
    bending: float
    equivalent: float


class Shaft:
    """A round shaft over ``bearings`` (m, rising from 0), outside ``diameter`` and ``bore`` (m; 0 when solid).

    ``weight`` (N/m) and the section moduli follow: ``polar`` J (m4), ``torsion_modulus`` J/(D/2) and
    ``bending_modulus`` I/(D/2) (m3).

    Raises ValueError for fewer than two bearings and for a bore that is not smaller than the shaft.

    >>> round(Shaft((0.0, 2.0), 0.0254, 0.0).weight, 3)
    39.008
    """

    __slots__ = ("beam", "bearings", "bending_modulus", "bore", "diameter", "polar", "torsion_modulus", "weight")

    def __init__(self, bearings: Sequence[float], diameter: float, bore: float) -> None:
        if not 0.0 <= bore < diameter:
            raise ValueError(f"a bore of {bore} m in a shaft of {diameter} m; it must be smaller")
        fourth = diameter**4 - bore**4
        self.beam: Final = Beam(tuple(bearings), bearings[-1])
        self.bearings: Final = tuple(bearings)
        self.diameter: Final = diameter
        self.bore: Final = bore
        self.weight: Final = STEEL * math.pi / 4.0 * (diameter**2 - bore**2)
        self.polar: Final = math.pi * fourth / 32.0
        self.torsion_modulus: Final = math.pi * fourth / (16.0 * diameter)
        self.bending_modulus: Final = math.pi * fourth / (32.0 * diameter)

    def __repr__(self) -> str:
        return f"Shaft({self.bearings!r}, {self.diameter!r}, {self.bore!r})"


def bearing_loads(shaft: Shaft, loads: Sequence[Load]) -> tuple[Force, ...]:
    """What each bearing carries (N): down (negative where it holds the shaft down) and toward the front.

    >>> shaft = Shaft((0.0, 1.0, 2.0), 0.0254, 0.0)
    >>> [round(down - shaft.weight * share, 6) for (down, _), share in
    ...     zip(bearing_loads(shaft, [Load(1.0, 100.0)]), (0.375, 1.25, 0.375))]
    [0.0, 100.0, 0.0]
    """
    own = even(shaft.beam, shaft.weight)
    down = reactions(shaft.beam, [(load.station, load.down) for load in loads])
    front = reactions(shaft.beam, [(load.station, load.front) for load in loads])
    return tuple([(a + b, c) for a, b, c in zip(own, down, front, strict=True)])


def shares(shaft: Shaft, station: float) -> tuple[float, ...]:
    """What each bearing carries of a force of 1 at ``station`` (m); negative where it is lifted.

    >>> [round(share, 3) for share in shares(Shaft((0.0, 1.0, 2.0), 0.0254, 0.0), 0.5)]
    [0.406, 0.688, -0.094]
    """
    return tuple(reactions(shaft.beam, [(station, 1.0)]))


def torque_after(steps: Sequence[Step], station: float) -> float:
    """Torque in the shaft (N m) just to the right of ``station`` (m).

    >>> torque_after([Step(0.2, -50.0), Step(0.5, 100.0), Step(1.8, -50.0)], 1.0)
    50.0
    """
    return sum(step.torque for step in steps if step.station <= station)


def worst(
    shaft: Shaft, loads: Sequence[Load], cases: Sequence[Sequence[Step]], held: Sequence[Force] | None = None
) -> Worst:
    """Where bending and torsion together stress the shaft most, both at the same place, in the worst of the cases.

    ``cases``: the steps of torque in each. ``held``: what the bearings carry, where it is known already.

    Between two stations the torque is constant, the moment toward the front is a straight line and the one downward
    a parabola; the greatest is at a station or where the rate of the moment's square turns.

    >>> shaft = Shaft((0.0, 2.0), 0.0254, 0.0)
    >>> found = worst(shaft, [Load(1.0, 400.0)], [[Step(0.1, -80.0), Step(1.0, 160.0), Step(1.9, -80.0)]])
    >>> round(found.station, 6), round(found.torque, 3), round(found.moment, 3)
    (1.0, -80.0, 219.504)
    """
    if held is None:
        held = bearing_loads(shaft, loads)
    upward = [Load(station, -down, -front) for station, (down, front) in zip(shaft.bearings, held, strict=True)]
    forces = sorted([*upward, *loads])
    stations = sorted({force.station for force in forces} | {step.station for steps in cases for step in steps})
    best = Worst(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    shear_down = shear_front = moment_down = moment_front = 0.0
    torques = [0.0] * len(cases)
    for here, there in pairwise(stations):
        for force in forces:
            if force.station == here:
                shear_down -= force.down
                shear_front -= force.front
        torques = [
            torque + sum([step.torque for step in steps if step.station == here])
            for torque, steps in zip(torques, cases, strict=True)
        ]
        torque = max(torques, key=abs)
        run = there - here
        for place in (0.0, *_turns(moment_down, shear_down, shaft.weight, moment_front, shear_front, run), run):
            down = moment_down + place * (shear_down - shaft.weight * place / 2.0)
            moment = math.hypot(down, moment_front + place * shear_front)
            stress = _stress(shaft, here + place, torque, moment)
            if stress.equivalent > best.equivalent:
                best = stress
        moment_down += run * (shear_down - shaft.weight * run / 2.0)
        moment_front += run * shear_front
        shear_down -= shaft.weight * run
    return best


def _stress(shaft: Shaft, station: float, torque: float, moment: float) -> Worst:
    shear = abs(torque) / shaft.torsion_modulus
    bending = moment / shaft.bending_modulus
    return Worst(station, torque, moment, shear, bending, math.sqrt(bending * bending + 3.0 * shear * shear))


def _turns(moment: float, shear: float, weight: float, level: float, level_shear: float, run: float) -> list[float]:
    """Places within ``run`` where the square of the moment may be largest."""

    def rate(place: float) -> float:
        down = moment + place * (shear - weight * place / 2.0)
        return down * (shear - weight * place) + (level + place * level_shear) * level_shear

    if level == 0.0 and level_shear == 0.0:
        turn = shear / weight
        return [turn] if 0.0 < turn < run else []
    found = []
    marks = [run * part / 8.0 for part in range(9)]
    for low, high in pairwise(marks):
        if rate(low) > 0.0 > rate(high):
            for _ in range(60):
                middle = (low + high) / 2.0
                low, high = (middle, high) if rate(middle) > 0.0 else (low, middle)
            found.append(low)
    return found


def twist(shaft: Shaft, steps: Sequence[Step], left: float, right: float, modulus: float) -> float:
    """Signed twist (rad) from station ``left`` to station ``right``: the sum of T L/(G J).

    >>> shaft = Shaft((0.0, 2.0), 0.0254, 0.0)
    >>> steps = [Step(0.1, -80.0), Step(1.0, 160.0), Step(1.9, -80.0)]
    >>> round(twist(shaft, steps, 0.1, 1.9, 79.3e9), 9)
    0.0
    """
    stations = sorted({left, right, *(step.station for step in steps if left < step.station < right)})
    return sum(
        torque_after(steps, here) * (there - here) / (modulus * shaft.polar) for here, there in pairwise(stations)
    )


def room_beside(station: float, side: str, obstacles: Sequence[tuple[float, float]]) -> float:
    """Free shaft (m) from ``station`` to the nearest obstacle on its ``left`` or ``right`` side.

    ``obstacles`` are the stretches that other parts take (m, from and to). Zero where one of them lies right beside
    the station, or where there is none on that side: the shaft ends there.

    >>> obstacles = [(0.0, 0.1), (1.5, 1.5), (2.0, 2.1)]
    >>> room_beside(1.5, "left", obstacles), room_beside(3.0, "right", obstacles)
    (1.4, 0.0)
    >>> room_beside(1.5, "left", [*obstacles, (0.7, 1.5)])
    0.0
    """
    near = 1e-3  # what the anchor itself sits on is not in the way
    if side == "left":
        beside = station - near
        return min((max(station - end, 0.0) for start, end in obstacles if start < beside), default=0.0)
    beside = station + near
    return min((max(start - station, 0.0) for start, end in obstacles if end > beside), default=0.0)
