"""The torsion shaft: drums, springs, what they pull, and what their shaft carries."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from life.sizes import INCH, LBF, PSI

STEEL_WEIGHT = 0.2836 * LBF / INCH**3
MODULUS = {"oil-tempered": 28.5e6 * PSI, "hard-drawn": 28.5e6 * PSI, "music": 28.0e6 * PSI}
TENSILE = {"oil-tempered": (146.0, 0.193), "hard-drawn": (137.0, 0.201), "music": (196.0, 0.146)}
"""Tensile strength of spring wire: A / d^m in ksi and inches, from memory of the older set of figures."""


class OffDrum(Exception):
    """The cable runs past the last groove."""


@dataclass(frozen=True)
class Drum:
    """The lever arm of the cable at each turn from closed, straight between the turns given, and flat after them."""

    turns: tuple[float, ...]
    radii: tuple[float, ...]
    ends: bool
    """Whether the drum ends at its last turn."""

    def radius(self, turn: float) -> float:
        if turn <= self.turns[0]:
            return self.radii[0]
        for i in range(len(self.turns) - 1):
            if turn <= self.turns[i + 1]:
                share = (turn - self.turns[i]) / (self.turns[i + 1] - self.turns[i])
                return self.radii[i] + share * (self.radii[i + 1] - self.radii[i])
        if self.ends and turn > self.turns[-1] + 1e-9:
            raise OffDrum
        return self.radii[-1]

    def taken_up(self, turn: float) -> float:
        """Cable wound from closed; trapezoids are exact between the turns given."""
        stops = [t for t in self.turns if 0 < t < turn]
        total, before = 0.0, 0.0
        for stop in [*stops, turn]:
            total += math.pi * (self.radius(before) + self.radius(stop)) * (stop - before)
            before = stop
        return total

    def turn_at(self, x: float) -> float:
        """Turns from closed when the door has travelled x."""
        if min(self.radii) == max(self.radii) and not self.ends:
            return x / (2 * math.pi * self.radii[0])
        low, high = 0.0, x / (2 * math.pi * min(self.radii)) + 1e-9
        if self.ends and high > self.turns[-1]:
            high = self.turns[-1]
            if self.taken_up(high) < x - 1e-9:
                raise OffDrum
        for _ in range(44):
            half = (low + high) / 2
            low, high = (half, high) if self.taken_up(half) < x else (low, half)
        return high


@dataclass(frozen=True)
class Spring:
    """One spring: torque per turn, turns closed, wire, inside diameter, coils; stations along the shaft."""

    name: str
    rate: float
    turns: float
    wire: float
    inside: float
    coils: float
    dead: float
    material: str
    anchor: float
    leftward: bool
    wound_right: bool | None
    within: str | None
    relaxed: float | None
    cone: float | None

    @cached_property
    def mean(self) -> float:
        return self.inside + self.wire

    @cached_property
    def outside(self) -> float:
        return self.inside + 2 * self.wire

    @cached_property
    def wound_length(self) -> float:
        return self.wire * (self.coils + self.dead + max(0.0, self.turns))

    @cached_property
    def weight(self) -> float:
        return STEEL_WEIGHT * math.pi * self.mean * (self.coils + self.dead) * math.pi * self.wire**2 / 4

    @cached_property
    def cone_at(self) -> float:
        if self.cone is not None:
            return self.cone
        return self.anchor + (-self.wound_length if self.leftward else self.wound_length)

    @cached_property
    def bore_wound(self) -> float:
        return self.mean * self.coils / (self.coils + max(0.0, self.turns)) - self.wire

    def torque(self, phi: float) -> float:
        return self.rate * max(0.0, self.turns - phi)

    @cached_property
    def most_torque(self) -> float:
        """What no round wire carries: its tensile strength times its plastic modulus."""
        a, m = TENSILE[self.material]
        return a * 1e3 * PSI / (self.wire / INCH) ** m * self.wire**3 / 6


def rate_of(wire: float, inside: float, coils: float, material: str, divisor: float) -> float:
    """Torque per turn of a spring.

    >>> round(rate_of(0.3437 * INCH, 2.625 * INCH, 140, "oil-tempered", 10.8) / LBF / INCH, 1)
    88.6
    """
    return MODULUS[material] * wire**4 / (divisor * (inside + wire) * coils)
