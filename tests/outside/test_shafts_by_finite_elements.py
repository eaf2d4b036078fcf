"""Thirty random shafts, worked out again with beam elements and by a dense look along the shaft."""

from __future__ import annotations

import math
import random
from itertools import pairwise
from typing import NamedTuple

import needs
import pytest

from doorlint.mechanics.shaft import Load, Shaft, Step, bearing_loads, twist, worst

numpy = needs.module("numpy")

INCH = 0.0254
POUND = 4.4482216152605
G = 11.5e6 * POUND / INCH**2
E = 30.0e6 * POUND / INCH**2


class Case(NamedTuple):
    shaft: Shaft
    loads: list[Load]
    steps: list[Step]
    left: float
    right: float


def case(number: int) -> Case:
    """Solid and tube shafts, one to three inner bearings, two to four springs anchored anywhere, front and rear."""
    draw = random.Random(number)
    length = draw.uniform(90.0, 240.0) * INCH
    inner = sorted(draw.uniform(0.2, 0.8) * length for _ in range(draw.randint(1, 3)))
    diameter = draw.choice((1.0, 1.25, 1.5)) * INCH
    shaft = Shaft((0.0, *inner, length), diameter, draw.choice((0.0, 0.7, 0.8)) * diameter)
    left, right = draw.uniform(3.0, 9.0) * INCH, length - draw.uniform(3.0, 9.0) * INCH
    cones = [(draw.uniform(left, right), draw.uniform(10.0, 60.0)) for _ in range(draw.randint(2, 4))]
    torque = sum(given for _, given in cones)
    cable = torque / (draw.uniform(2.5, 6.0) * INCH) / 2.0
    rear = number % 3 == 0
    drum = draw.uniform(20.0, 60.0)
    loads = [Load(at, drum + (0.0 if rear else cable), cable if rear else 0.0) for at in (left, right)]
    loads += [Load(at, draw.uniform(30.0, 120.0)) for at, _ in cones]
    steps = [Step(left, -torque / 2), Step(right, -torque / 2), *(Step(at, given) for at, given in cones)]
    return Case(shaft, loads, steps, left, right)


class Solved(NamedTuple):
    """By beam elements: ``bearings`` (N), and moment, torque and station of the ends of every element."""

    bearings: list[tuple[float, float]]
    worst: float
    least_factor_at: float
    twist: float


def by_elements(found: Case) -> Solved:
    """Stiffness method, both planes; the shaft's weight as fixed-end forces; the moments at 200 places an element."""
    shaft = found.shaft
    inertia = shaft.polar / 2.0
    nodes = sorted({*shaft.bearings, *(load.station for load in found.loads), *(step.station for step in found.steps)})
    at = {station: index for index, station in enumerate(nodes)}
    size = 2 * len(nodes)
    stiffness = numpy.zeros((size, size))
    forces = numpy.zeros((size, 2))
    for index, (here, there) in enumerate(pairwise(nodes)):
        run = there - here
        bending = E * inertia / run**3
        element = bending * numpy.array(
            [
                [12, 6 * run, -12, 6 * run],
                [6 * run, 4 * run**2, -6 * run, 2 * run**2],
                [-12, -6 * run, 12, -6 * run],
                [6 * run, 2 * run**2, -6 * run, 4 * run**2],
            ]
        )
        where = slice(2 * index, 2 * index + 4)
        stiffness[where, where] += element
        even = shaft.weight * run
        forces[where, 0] += [even / 2, even * run / 12, even / 2, -even * run / 12]
    for load in found.loads:
        forces[2 * at[load.station], 0] += load.down
        forces[2 * at[load.station], 1] += load.front
    held = [2 * at[station] for station in shaft.bearings]
    free = [row for row in range(size) if row not in held]
    moved = numpy.zeros((size, 2))
    moved[free] = numpy.linalg.solve(stiffness[numpy.ix_(free, free)], forces[free])
    pushed = forces - stiffness @ moved
    bearings = [(float(pushed[row, 0]), float(pushed[row, 1])) for row in held]
    largest = place = 0.0
    for here, there in pairwise(nodes):
        torque = sum(step.torque for step in found.steps if step.station <= here)
        for share in numpy.linspace(0.0, 1.0, 201):
            station = here + share * (there - here)
            down = front = 0.0
            for support, (lifted, level) in zip(shaft.bearings, bearings, strict=True):
                if support < station:
                    down += lifted * (station - support)
                    front += level * (station - support)
            for load in found.loads:
                if load.station < station:
                    down -= load.down * (station - load.station)
                    front -= load.front * (station - load.station)
            down -= shaft.weight * station**2 / 2
            moment = math.hypot(down, front)
            sigma = moment * shaft.diameter / 2 / inertia
            tau = torque * shaft.diameter / 2 / shaft.polar
            stress = math.sqrt(sigma**2 + 3 * tau**2)
            if stress > largest:
                largest, place = stress, station
    turned = 0.0
    steps = 200_000
    width = (found.right - found.left) / steps
    stations = found.left + (numpy.arange(steps) + 0.5) * width
    torques = sum(step.torque * (stations > step.station) for step in found.steps)
    turned = float(numpy.sum(torques)) * width / (G * shaft.polar)
    return Solved(bearings, largest, place, turned)


@pytest.mark.parametrize("number", range(30))
def test_a_shaft_worked_out_again(number: int) -> None:
    found = case(number)
    again = by_elements(found)
    for mine, other in zip(bearing_loads(found.shaft, found.loads), again.bearings, strict=True):
        assert mine == pytest.approx(other, abs=0.02)
    stress = worst(found.shaft, found.loads, [found.steps])
    assert stress.equivalent == pytest.approx(again.worst, rel=2e-5)
    assert stress.equivalent >= again.worst * (1 - 1e-9)
    turned = twist(found.shaft, found.steps, found.left, found.right, G)
    assert turned == pytest.approx(again.twist, abs=2e-6)


@pytest.mark.parametrize("number", range(30))
def test_the_bearings_carry_everything_and_the_torque_adds_up(number: int) -> None:
    found = case(number)
    held = bearing_loads(found.shaft, found.loads)
    weight = found.shaft.weight * found.shaft.bearings[-1]
    assert sum(down for down, _ in held) == pytest.approx(sum(load.down for load in found.loads) + weight)
    assert sum(front for _, front in held) == pytest.approx(sum(load.front for load in found.loads), abs=1e-9)
    moment = sum(station * down for station, (down, _) in zip(found.shaft.bearings, held, strict=True))
    arms = sum(load.station * load.down for load in found.loads) + weight * found.shaft.bearings[-1] / 2
    assert moment == pytest.approx(arms)
    assert sum(step.torque for step in found.steps) == pytest.approx(0.0, abs=1e-9)


def test_one_load_at_midspan_by_hand() -> None:
    """P L/4 of the load and w L^2/8 of the shaft itself; 16 T/(pi D^3) and 32 M/(pi D^3)."""
    shaft = Shaft((0.0, 2.0), 0.0254, 0.0)
    found = worst(shaft, [Load(1.0, 400.0)], [[Step(0.0, -80.0), Step(1.0, 160.0), Step(2.0, -80.0)]])
    moment = 400.0 * 2.0 / 4 + shaft.weight * 2.0**2 / 8
    assert found.moment == pytest.approx(moment)
    sigma, tau = 32 * moment / (math.pi * 0.0254**3), 16 * 80.0 / (math.pi * 0.0254**3)
    assert found.equivalent == pytest.approx(math.sqrt(sigma**2 + 3 * tau**2))


def test_a_bore_as_wide_as_the_shaft_is_refused() -> None:
    with pytest.raises(ValueError, match="must be smaller"):
        Shaft((0.0, 2.0), 0.0254, 0.0254)
