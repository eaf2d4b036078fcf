"""Helical torsion springs on a shaft: rate, stress, limits, wound sizes and the hand of the coil.

Wire ``d``, mean diameter ``D`` = inside diameter + d, active coils ``N`` and the turns wound on with the door closed.
Lengths in m, stresses in Pa, torques in N m, rates in N m per turn.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Final

from doorlint.named_tuple import NamedTuple

STEEL: Final = 0.2836 * 0.45359237 * 9.80665 / 0.0254**3
"""N/m3; 0.2836 lb per cubic inch"""


class Wound(NamedTuple):
    """One spring on the shaft: ``rate`` (N m per turn) and the ``turns`` wound on it with the door closed."""

    rate: float
    turns: float


def rate_per_turn(modulus: float, wire: float, mean_diameter: float, coils: float, divisor: float) -> float:
    """Torque of a helical torsion spring for one turn (N m per turn): E d^4 / (divisor D N).

    The divisor is 64/(2 pi) = 10.186 by bending theory and 10.8 with the friction between the coils.

    Source: second-hand; Shigley's Mechanical Engineering Design; edition of the copy unclear; torsion springs

    >>> round(rate_per_turn(200e9, 0.006, 0.054, 100.0, 10.8), 4)
    4.4444
    """
    return modulus * wire**4 / (divisor * mean_diameter * coils)


def inner_fiber_factor(index: float) -> float:
    """How much higher the bending stress is at the inside of the coil: (4C^2 - C - 1) / (4C (C - 1)).

    Source: published; Norton, Machine Design; Example 14-6, step 3 (C 9 gives 1.09)

    >>> round(inner_fiber_factor(9.0), 2)
    1.09
    """
    return (4.0 * index * index - index - 1.0) / (4.0 * index * (index - 1.0))


def bending_stress(torque: float, wire: float, index: float) -> float:
    """Stress (Pa) at the inside of the coil under ``torque`` (N m): Ki 32 M / (pi d^3).

    Source: published; Norton, Machine Design; Example 14-6, step 3

    >>> round(bending_stress(10.0, 0.006, 9.0) / 1e6, 1)
    514.1
    """
    return inner_fiber_factor(index) * 32.0 * torque / (math.pi * wire**3)


def plastic_torque(strength: float, wire: float) -> float:
    """The most that a round wire can carry (N m): Sut d^3/6, the full plastic moment.

    No spring carries more, however it was made; 1.70 times the moment at which the outer fiber reaches Sut.

    Source: derived; two half circles, each at the stress Sut

    >>> round(plastic_torque(1.2e9, 0.006), 3)
    43.2
    """
    return strength * wire**3 / 6.0


def torque(springs: Iterable[Wound], turns: float) -> float:
    """Torque on the shaft (N m) after it turned ``turns`` from closed: sum of k max(turns wound - phi, 0).

    >>> torque((Wound(10.0, 8.0), Wound(5.0, 2.0)), 3.0)
    50.0
    """
    return sum(spring.rate * max(spring.turns - turns, 0.0) for spring in springs)


def wound_mean_diameter(mean_diameter: float, coils: float, turns: float) -> float:
    """Mean diameter (m) with ``turns`` put on: D N / (N + turns). The wire keeps its length.

    Source: second-hand; Shigley's Mechanical Engineering Design; edition of the copy unclear; torsion springs

    >>> round(wound_mean_diameter(0.054, 100.0, 8.0), 4)
    0.05
    """
    return mean_diameter * coils / (coils + turns)


def body_length(wire: float, coils: float, dead_coils: float, turns: float = 0.0) -> float:
    """Length (m) of the coils side by side: d (N + dead + turns). Every turn put on is one more coil.

    >>> round(body_length(0.008, 100.0, 5.0), 3), round(body_length(0.008, 100.0, 5.0, 7.5), 3)
    (0.84, 0.9)
    """
    return wire * (coils + dead_coils + turns)


def weight(wire: float, mean_diameter: float, coils: float, dead_coils: float) -> float:
    """Weight (N) of a steel spring: wire length pi D (N + dead) times its section.

    >>> round(weight(0.006, 0.054, 100.0, 5.0), 2)
    38.77
    """
    return STEEL * math.pi / 4.0 * wire**2 * math.pi * mean_diameter * (coils + dead_coils)


def gap(outer_inside: float, inner_outside: float) -> float:
    """Radial gap (m) between the inside of an outer coil and the outside of the spring within it.

    >>> round(gap(0.095, 0.085), 6)
    0.005
    """
    return (outer_inside - inner_outside) / 2.0


def coils_for_rate(modulus: float, wire: float, mean_diameter: float, rate: float, divisor: float) -> float:
    """Active coils that give ``rate`` (N m per turn): the inverse of :func:`rate_per_turn`.

    >>> round(coils_for_rate(200e9, 0.006, 0.054, 4.0, 10.8), 2)
    111.11
    """
    return modulus * wire**4 / (divisor * mean_diameter * rate)
