"""Which springs give a wanted torque rate: wire, inside diameter, coils and turns, single or as duplex pairs.

The door and its drum decide the torque rate and the turns (``spring_balance.best_setting``); what is left to choose is
the wire and the diameter of each coil. Coils follow from the rate, stress from the turns. A life by the textbook is
the number of cycles at which the allowed share of the wire's strength meets the stress.

Source: derived; the formulas of ``doorlint.mechanics.torsion_spring`` solved for coils and wire.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise, product

from doorlint.mechanics import torsion_spring
from doorlint.mechanics.drum import Drum
from doorlint.mechanics.spring_balance import Curve, best_setting, best_turns, residuals
from doorlint.mechanics.spring_balance import largest as largest_residual
from doorlint.mechanics.torsion_spring import Wound
from doorlint.named_tuple import NamedTuple

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


class _Candidate(NamedTuple):
    """One way before its turns are settled: springs, coils, active coils and rates of one set, its weight (N)."""

    springs: int
    set: tuple[Coil, ...]
    coils: tuple[float, ...]
    rates: tuple[float, ...]
    weight: float


def _sets(coils: Sequence[Coil], duplex_gap: float | None) -> Iterator[tuple[Coil, ...]]:
    """Each coil for itself, then each pair that leaves ``duplex_gap`` (m) between outer and inner coil."""
    for coil in coils:
        yield (coil,)
    if duplex_gap is None:
        return
    for outer, inner in product(coils, repeat=2):
        if torsion_spring.gap(outer.inside_diameter, inner.inside_diameter + 2.0 * inner.wire) >= duplex_gap:
            yield outer, inner


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
    longest: float = math.inf,
    keep: int = 3,
    coil_step: float = 1.0,
    turn_step: float = 0.25,
    duplex_gap: float | None = None,
) -> list[Sized]:
    """Ways to balance the curve with springs of these sizes that last ``cycles`` by the textbook, lightest first.

    One spring of each size for every count, and with ``duplex_gap`` (m, least radial gap relaxed) every pair of sizes
    that fit into each other, the inner one carrying its part in the ratio of what the two wires bear. Bodies wound are
    at most ``longest`` (m). Coils go to ``coil_step``, turns to ``turn_step``; the residual is that of the rounded
    springs. Of each count, single and duplex, the lightest ``keep`` are given.

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
    most = math.ceil(wanted.turns / turn_step + 1e-9) * turn_step  # rounding takes the turns no further
    candidates = []
    for count, coil_set in product(counts, _sets(list(coils), duplex_gap)):
        wound = _wound(wire, coil_set, count, wanted.rate, coil_step, divisor)
        if wound is None:
            continue
        candidate = _Candidate(count, coil_set, *wound, count * _weight(coil_set, wound[0], dead_coils))
        if not _too_much(wire, candidate, most, dead_coils, longest, share):
            candidates.append(candidate)
    found: list[Sized] = []
    kept: dict[tuple[int, int], int] = {}
    for candidate in sorted(candidates, key=lambda one: one.weight):
        group = (candidate.springs, len(candidate.set))
        if kept.get(group, 0) == keep:
            continue
        sized = _settled(wire, candidate, drum, curve, least_open, dead_coils, turn_step)
        if sized.length <= longest and sized.stress <= share:
            kept[group] = kept.get(group, 0) + 1
            found.append(sized)
    return found


def _weight(coil_set: Sequence[Coil], coils: Sequence[float], dead_coils: float) -> float:
    return sum(
        torsion_spring.weight(coil.wire, coil.inside_diameter + coil.wire, number, dead_coils)
        for coil, number in zip(coil_set, coils, strict=True)
    )


def _too_much(wire: Wire, candidate: _Candidate, turns: float, dead_coils: float, longest: float, share: float) -> bool:
    """Whether a spring of a set wound so many turns is too long, or stressed more than its share."""
    return any(
        torsion_spring.body_length(coil.wire, number, dead_coils, turns) > longest
        or stress_share(wire, coil, rate * turns) > share
        for coil, number, rate in zip(candidate.set, candidate.coils, candidate.rates, strict=True)
    )


MOST_STRESS = 1.1
"""share of its strength that a wire may bear: springs of working doors run over the textbook's estimate of yield, and
their makers say how long they last"""
LIGHTEST = 12
"""sizes that are looked at, the lightest first"""
TUNED = 6
"""coils more or less that are tried, so that whole quarter turns balance the door"""

AS_GOOD = 1.02
"""share of the least residual up to which one spring balances as well as another: then it is the life that counts"""


def balanced(
    wire: Wire,
    coils: Iterable[Coil],
    count: int,
    drum: Drum,
    curve: Curve,
    *,
    least_open: float,
    divisor: float,
    dead_coils: float,
    longest: float,
    duplex_gap: float | None = None,
) -> Sized | None:
    """So many springs alike that leave the least residual, of the lightest sizes that find room; None where none do.

    Of those that leave as little, the least stressed. Their stress is no more than ``MOST_STRESS`` of the wire's
    strength: how long they last, their maker says. With ``duplex_gap`` (m) each has another one inside it.

    >>> kind = Wire(196.5e9, 1006.6e6, 0.193, ((3.0, 0.85), (5.0, 0.51), (6.0, 0.47)))
    >>> from doorlint.mechanics.drum import standard
    >>> door = [(0.0, 2000.0), (1.5, 1000.0), (3.0, 100.0)]
    >>> best = balanced(kind, [Coil(0.010, 0.095)], 2, standard(0.07), door, least_open=0.5, divisor=10.8,
    ...     dead_coils=5.0, longest=3.0)
    >>> best.coils, best.turns, round(best.largest)
    (191.0, 7.5, 76)
    """
    loaded = wire._replace(shares=((0.0, MOST_STRESS),))
    found = size(
        loaded, coils, (count,), drum, curve, least_open=least_open, cycles=1.0, divisor=divisor,
        dead_coils=dead_coils, longest=longest, keep=LIGHTEST, duplex_gap=duplex_gap,
    )  # fmt: skip

    def wound(one: Sized, active: float) -> Sized:
        """The same with another number of coils, of the outer spring where there are two."""
        inner = [] if one.inner is None else [(one.inner, one.inner_coils)]
        springs = [(one.coil, active), *inner]
        rates = [
            torsion_spring.rate_per_turn(wire.modulus, coil.wire, coil.inside_diameter + coil.wire, number, divisor)
            for coil, number in springs
        ]
        stress = max(stress_share(wire, coil, rate * one.turns) for (coil, _), rate in zip(springs, rates, strict=True))
        return one._replace(
            coils=active,
            rate=sum(rates) * count,
            length=max(
                torsion_spring.body_length(coil.wire, number, dead_coils, one.turns) for coil, number in springs
            ),
            stress=stress,
            cycles=life(wire, stress),
            largest=largest_residual(residuals([Wound(sum(rates), one.turns)] * count, drum, curve)),
        )

    found = [one for one in found if (one.inner is not None) == (duplex_gap is not None)]
    tried = [(one, one.coils + more) for one in found for more in range(-TUNED, TUNED + 1)]
    tuned = [wound(one, active) for one, active in tried if active >= 1.0]
    tuned = [one for one in tuned if one.length <= longest and one.stress <= MOST_STRESS]
    least = min((one.largest for one in tuned), default=0.0)
    return min((one for one in tuned if one.largest <= least * AS_GOOD), key=lambda one: one.stress, default=None)


def _settled(
    wire: Wire,
    candidate: _Candidate,
    drum: Drum,
    curve: Curve,
    least_open: float,
    dead_coils: float,
    turn_step: float,
) -> Sized:
    """A candidate with its turns, and what it leaves."""
    springs = [Wound(rate, 0.0) for rate in candidate.rates] * candidate.springs
    best = best_turns([Wound(sum(candidate.rates) * candidate.springs, 0.0)], drum, curve, least_open).turns
    least = math.ceil((drum.turned(curve[-1][0]) + least_open) / turn_step - 1e-9)
    turns = max(round(best / turn_step), least) * turn_step
    stress = max(
        stress_share(wire, coil, rate * turns) for coil, rate in zip(candidate.set, candidate.rates, strict=True)
    )
    length = max(
        torsion_spring.body_length(coil.wire, active, dead_coils, turns)
        for coil, active in zip(candidate.set, candidate.coils, strict=True)
    )
    left = largest_residual(residuals([Wound(spring.rate, turns) for spring in springs], drum, curve))
    duplex = len(candidate.set) == 2
    return Sized(
        candidate.springs, candidate.set[0], candidate.coils[0], candidate.set[1] if duplex else None,
        candidate.coils[1] if duplex else 0.0, turns, sum(candidate.rates) * candidate.springs, length, stress,
        life(wire, stress), left,
    )  # fmt: skip


@lru_cache(maxsize=512)
def _bears(wire: Wire, diameter: float) -> float:
    """What a wire bears in bending, but for a factor: its strength times the cube of its diameter."""
    return strength(wire, diameter) * diameter**3


def _wound(
    wire: Wire, coils: Sequence[Coil], count: int, rate: float, step: float, divisor: float
) -> tuple[tuple[float, ...], tuple[float, ...]] | None:
    """Active coils and rates of one set of coils, the coils rounded to a step; None where a coil would have none."""
    bears = [_bears(wire, coil.wire) for coil in coils]
    windings, rates = [], []
    for coil, bear in zip(coils, bears, strict=True):
        mean = coil.inside_diameter + coil.wire
        share = rate / count * bear / sum(bears)
        active = round(torsion_spring.coils_for_rate(wire.modulus, coil.wire, mean, share, divisor) / step) * step
        if active < step:
            return None
        windings.append(active)
        rates.append(torsion_spring.rate_per_turn(wire.modulus, coil.wire, mean, active, divisor))
    return tuple(windings), tuple(rates)
