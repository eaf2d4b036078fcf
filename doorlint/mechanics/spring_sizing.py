"""Which springs give a wanted torque rate: wire, inside diameter, coils and turns, single or as duplex pairs.

The door and its drum decide the torque rate and the turns (``spring_balance.best_setting``); what is left to choose is
the wire and the diameter of each coil. Coils follow from the rate, stress from the turns. A life by the textbook is
the number of cycles at which the allowed share of the wire's strength meets the stress.

Source: derived; the formulas of ``doorlint.mechanics.torsion_spring`` solved for coils and wire.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from doorlint.mechanics import torsion_spring
from doorlint.mechanics.drum import Drum
from doorlint.mechanics.spring_balance import Curve, best_setting, best_turns, residuals
from doorlint.mechanics.spring_balance import largest as largest_residual
from doorlint.mechanics.torsion_spring import Wound

INCH = 0.0254


class Wire(NamedTuple):
    """A kind of wire: ``modulus`` (Pa), strength ``sut`` A (Pa) and ``exponent`` m in A/d^m with d in inches, and the
    ``shares`` of the strength that bending may reach by log10 of the cycles, falling."""

    modulus: float
    sut: float
    exponent: float
    shares: tuple[tuple[float, float], ...]


class Coil(NamedTuple):
    """A size that can be had: ``wire`` and ``inside_diameter`` (m)."""

    wire: float
    inside_diameter: float


class Sized(NamedTuple):
    """One way to do it: ``springs`` alike on the shaft, each ``coil`` with ``coils`` active, wound ``turns``.

    ``inner`` is the coil within each of them in a duplex pair, with its own ``inner_coils``. ``rate`` of all together
    (N m per turn), ``length`` of the longest body wound (m), ``stress`` the greatest share of the wire's strength,
    ``cycles`` the textbook life (0 where the stress is over its first share), ``largest`` residual (N)."""

    springs: int
    coil: Coil
    coils: float
    inner: Coil | None
    inner_coils: float
    turns: float
    rate: float
    length: float
    stress: float
    cycles: float
    largest: float


def strength(wire: Wire, diameter: float) -> float:
    """Tensile strength (Pa): A/d^m, d in inches.

    >>> kind = Wire(196.5e9, 1006.6e6, 0.193, ())
    >>> round(strength(kind, 0.010) / 1e6)
    1205
    """
    return wire.sut / math.pow(diameter / INCH, wire.exponent)


def life(wire: Wire, share: float) -> float:
    """Cycles at which the allowed share of the strength is ``share``: straight on the logarithm of the cycles.

    0 over the first share, infinite under the last.

    >>> kind = Wire(196.5e9, 1.0e9, 0.193, ((3.0, 0.85), (5.0, 0.51), (6.0, 0.47)))
    >>> round(life(kind, 0.51)), life(kind, 0.9), life(kind, 0.4)
    (100000, 0.0, inf)
    """
    if not wire.shares or share > wire.shares[0][1]:
        return 0.0
    for (log_low, high), (log_high, low) in pairwise(wire.shares):
        if share >= low:
            return float(10.0 ** (log_low + (log_high - log_low) * (high - share) / (high - low)))
    return math.inf


def allowed_share(wire: Wire, cycles: float) -> float:
    """Share of the strength that bending may reach for ``cycles``: the inverse of :func:`life`.

    >>> kind = Wire(196.5e9, 1.0e9, 0.193, ((3.0, 0.85), (5.0, 0.51), (6.0, 0.47)))
    >>> round(allowed_share(kind, 1e4), 3), allowed_share(kind, 10)
    (0.68, 0.85)
    """
    log = math.log10(cycles)
    points = wire.shares
    if log <= points[0][0]:
        return points[0][1]
    for (log_low, high), (log_high, low) in pairwise(points):
        if log <= log_high:
            return high + (low - high) * (log - log_low) / (log_high - log_low)
    return points[-1][1]


def stress_share(wire: Wire, coil: Coil, torque: float) -> float:
    """Bending stress at the inside of the coil over the wire's strength, under ``torque`` (N m).

    >>> kind = Wire(196.5e9, 1006.6e6, 0.193, ())
    >>> round(stress_share(kind, Coil(0.006, 0.05), 20.0), 3)
    0.771
    """
    index = (coil.inside_diameter + coil.wire) / coil.wire
    return torsion_spring.bending_stress(torque, coil.wire, index) / strength(wire, coil.wire)


def least_wire(wire: Wire, inside_diameter: float, torque: float, share: float) -> float:
    """Thinnest wire (m) that carries ``torque`` (N m) at ``share`` of its strength, on that inside diameter.

    >>> kind = Wire(196.5e9, 1006.6e6, 0.193, ())
    >>> thin = least_wire(kind, 0.05, 20.0, 0.771)
    >>> round(thin, 4)
    0.006
    """
    low, high = inside_diameter / 100.0, inside_diameter
    for _ in range(60):
        middle = (low + high) / 2.0
        if stress_share(wire, Coil(middle, inside_diameter), torque) > share:
            low = middle
        else:
            high = middle
    return high


def convert(wire: Wire, coil: Coil, coils: float, torque: float, other: Coil) -> tuple[float, float]:
    """The same rate in another coil: its active coils, and its stress share at the same ``torque`` (N m).

    N' = N (d'/d)^4 D/D'.

    >>> kind = Wire(196.5e9, 1006.6e6, 0.193, ())
    >>> coils, share = convert(kind, Coil(0.006, 0.05), 100.0, 20.0, Coil(0.0065, 0.05))
    >>> round(coils, 1), round(share, 3)
    (136.5, 0.62)
    """
    ratio = (other.wire / coil.wire) ** 4
    diameters = (coil.inside_diameter + coil.wire) / (other.inside_diameter + other.wire)
    return coils * ratio * diameters, stress_share(wire, other, torque)


def size(
    wire: Wire,
    coils: Iterable[Coil],
    counts: Sequence[int],
    drum: Drum,
    curve: Curve,
    *,
    least_open: float,
    cycles: float,
    divisor: float,
    dead_coils: float,
    coil_step: float = 1.0,
    turn_step: float = 0.25,
    duplex_gap: float | None = None,
) -> list[Sized]:
    """Every way to balance the curve with springs of these sizes that last ``cycles`` by the textbook.

    One spring of each size for every count, and with ``duplex_gap`` (m, least radial gap relaxed) every pair of sizes
    that fit into each other, the inner one carrying its part in the ratio of what the two wires bear. Coils go to
    ``coil_step``, turns to ``turn_step``; the residual is that of the rounded springs. Lightest first.

    >>> kind = Wire(196.5e9, 1006.6e6, 0.193, ((3.0, 0.85), (5.0, 0.51), (6.0, 0.47)))
    >>> from doorlint.mechanics.drum import standard
    >>> door = [(0.0, 2000.0), (1.5, 1000.0), (3.0, 100.0)]
    >>> found = size(kind, [Coil(0.010, 0.095)], [2], standard(0.07), door, least_open=0.5, cycles=1e4, divisor=10.8,
    ...     dead_coils=5.0)
    >>> [(one.springs, one.coils, one.turns, round(one.largest)) for one in found]
    [(2, 185.0, 7.5, 94)]
    """
    wanted = best_setting(drum, curve, least_open)
    share = allowed_share(wire, cycles)
    single = list(coils)
    groups: list[tuple[Coil, Coil | None]] = [(coil, None) for coil in single]
    if duplex_gap is not None:
        groups += [
            (outer, inner)
            for outer in single
            for inner in single
            if torsion_spring.gap(outer.inside_diameter, inner.inside_diameter + 2.0 * inner.wire) >= duplex_gap
        ]
    found: list[tuple[float, Sized]] = []
    for count in counts:
        for outer, inner in groups:
            one = _one(wire, outer, inner, count, wanted.rate, coil_step, divisor)
            if one is None:
                continue
            rates, windings = one
            springs = [Wound(rate, wanted.turns) for rate in rates] * count
            turned = drum.turned(curve[-1][0])
            best = best_turns(springs, drum, curve, least_open).turns
            turns = max(round(best / turn_step), math.ceil((turned + least_open) / turn_step - 1e-9)) * turn_step
            stresses = [
                stress_share(wire, coil, rate * turns)
                for coil, rate in zip((outer, inner), rates, strict=False)
                if coil is not None
            ]
            if max(stresses) > share:
                continue
            sized = [Wound(rate, turns) for rate in rates] * count
            bodies = [
                torsion_spring.body_length(coil.wire, active, dead_coils, turns)
                for coil, active in zip((outer, inner), windings, strict=False)
                if coil is not None
            ]
            weight = count * sum(
                torsion_spring.weight(coil.wire, coil.inside_diameter + coil.wire, active, dead_coils)
                for coil, active in zip((outer, inner), windings, strict=False)
                if coil is not None
            )
            left = largest_residual(residuals(sized, drum, curve))
            found.append(
                (
                    weight,
                    Sized(
                        count, outer, windings[0], inner, windings[1] if inner else 0.0, turns, sum(rates) * count,
                        max(bodies), max(stresses), life(wire, max(stresses)), left,
                    ),
                )
            )  # fmt: skip
    return [sized for _, sized in sorted(found, key=lambda pair: pair[0])]


def _one(
    wire: Wire, outer: Coil, inner: Coil | None, count: int, rate: float, step: float, divisor: float
) -> tuple[list[float], list[float]] | None:
    """Rates and active coils of the outer coil and the one within it, the coils rounded to a step."""
    coils = [outer] if inner is None else [outer, inner]
    bears = [strength(wire, coil.wire) * coil.wire**3 for coil in coils]
    rates, windings = [], []
    for coil, bear in zip(coils, bears, strict=True):
        mean = coil.inside_diameter + coil.wire
        share = rate / count * bear / sum(bears)
        active = torsion_spring.coils_for_rate(wire.modulus, coil.wire, mean, share, divisor)
        active = round(active / step) * step
        if active < step:
            return None
        windings.append(active)
        rates.append(torsion_spring.rate_per_turn(wire.modulus, coil.wire, mean, active, divisor))
    return rates, windings
