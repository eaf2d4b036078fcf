"""The horizontal track as a continuous beam on its hangers, and the door that rolls over it.

Rigid pinned supports, uneven spans, a free end behind the last support. Supports and loads are given by
their distance along the beam; loads push down and are positive, reactions push up and are positive, so
a support that would have to hold the beam down has a negative one. Bending is positive where the beam
sags. Because the supports are rigid, neither the stiffness nor the material of the beam enters.

Every answer comes from the **influence lines**: the reaction of each support to a unit load, which in
each span is a cubic in the distance from the span's first support and behind the last support a
straight line.

Source: derived; the three-moment equation of a prismatic beam (Clapeyron).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import sqrt
from typing import Final, TypeAlias

Cubic: TypeAlias = tuple[float, float, float, float]
Load: TypeAlias = tuple[float, float]
"""distance along the beam (m), load (N)"""


class Beam:
    """A beam over ``supports`` (m, rising, at least two) that reaches on to ``end`` (m).

    ``lines[i][m]`` is the influence line of support i in span m (the last one: behind the last
    support), as coefficients of 1, u, u^2, u^3 with u the distance from the span's first support.

    Raises ValueError for fewer than two supports, supports that do not rise and an end short of the
    last one.

    >>> [round(cubic[0], 3) for cubic in Beam((0.0, 1.0, 2.0), 2.0).lines[1]]
    [0.0, 1.0, 0.0]
    """

    __slots__ = ("end", "lines", "supports")

    def __init__(self, supports: tuple[float, ...], end: float) -> None:
        spans = [b - a for a, b in pairwise(supports)]
        if not spans or min(spans) <= 0.0 or end < supports[-1]:
            raise ValueError(f"supports at {supports} m and an end at {end} m; at least two, rising, the end last")
        self.supports: Final = supports
        self.end: Final = end
        self.lines: Final = _influence(spans)

    def __repr__(self) -> str:
        return f"Beam({self.supports!r}, {self.end!r})"


def _influence(spans: Sequence[float]) -> tuple[tuple[Cubic, ...], ...]:
    last = len(spans)
    # effect[k][i]: reaction of support i to a unit on the right-hand side of support k's three-moment equation
    effect = [[0.0] * (last + 1) for _ in range(last + 1)]
    for k, moments in enumerate(_unit_moments(spans), start=1):
        for m, span in enumerate(spans):
            shear = (moments[m + 1] - moments[m]) / span
            effect[k][m] += shear
            effect[k][m + 1] -= shear
    lines = []
    for i in range(last + 1):
        cubics = []
        for m, span in enumerate(spans):
            left, right = effect[m][i], effect[m + 1][i]
            here, there = float(i == m), float(i == m + 1)
            cubics.append(
                (here, (there - here) / span - span * (2.0 * left + right), 3.0 * left, (right - left) / span)
            )
        span = spans[-1]
        tip, before = float(i == last), float(i == last - 1)
        cubics.append((tip, (tip - before) / span + span * effect[last - 1][i], 0.0, 0.0))
        lines.append(tuple(cubics))
    return tuple(lines)


def _unit_moments(spans: Sequence[float]) -> list[list[float]]:
    """Moments at all supports for a unit on the right-hand side of each inner support's equation in turn:
    L[k-1] M[k-1] + 2 (L[k-1] + L[k]) M[k] + L[k] M[k+1] = 1."""
    inner = len(spans) - 1
    solutions = []
    for unit in range(inner):
        pivots: list[float] = []
        sides: list[float] = []
        for k in range(inner):
            pivot, side = 2.0 * (spans[k] + spans[k + 1]), float(k == unit)
            if k:
                share = spans[k] / pivots[-1]
                pivot -= share * spans[k]
                side -= share * sides[-1]
            pivots.append(pivot)
            sides.append(side)
        moments = [0.0] * (inner + 2)
        for k in range(inner, 0, -1):
            moments[k] = (sides[k - 1] - spans[k] * moments[k + 1]) / pivots[k - 1]
        solutions.append(moments)
    return solutions


def even(beam: Beam, weight: float) -> tuple[float, ...]:
    """Reactions (N) to a ``weight`` per length (N/m) over the whole beam.

    Three supports and two equal spans of 1 m share 2 N as 3/8, 10/8 and 3/8:

    >>> [round(reaction, 6) for reaction in even(Beam((0.0, 1.0, 2.0), 2.0), 1.0)]
    [0.375, 1.25, 0.375]
    """
    supports = beam.supports
    lengths = [b - a for a, b in zip(supports, [*supports[1:], beam.end], strict=True)]
    return tuple(
        weight
        * sum(
            u * (c0 + u * (c1 / 2.0 + u * (c2 / 3.0 + u * c3 / 4.0)))
            for u, (c0, c1, c2, c3) in zip(lengths, line, strict=True)
        )
        for line in beam.lines
    )


def reactions(beam: Beam, loads: Sequence[Load]) -> tuple[float, ...]:
    """Reactions (N) to point loads (N) anywhere from the first support on.

    A load behind the last support lifts the beam off the one before it:

    >>> [round(reaction, 6) for reaction in reactions(Beam((0.0, 2.0), 3.0), [(3.0, 10.0)])]
    [-5.0, 15.0]
    """
    supports = beam.supports
    sums = [0.0] * len(supports)
    for distance, load in loads:
        m = _span(supports, distance)
        u = distance - supports[m]
        for i, line in enumerate(beam.lines):
            c0, c1, c2, c3 = line[m]
            sums[i] += load * (c0 + u * (c1 + u * (c2 + u * c3)))
    return tuple(sums)


def rolling(beam: Beam, loads: Sequence[Load]) -> tuple[tuple[float, float, float], ...]:
    """Of each support the reaction (N) to a train of point loads, and its least and greatest while the train
    rolls forward, its loads keeping their distances, until the last has left over the first support.

    An influence line is the shape of a bent beam: value, slope and curvature run on over every support.
    So while the train rolls, the reaction is a cubic in its way, and a load that passes a support
    changes only the third derivative. The search goes from support to support and is exact.

    >>> beam = Beam((0.0, 1.0, 2.0), 2.0)
    >>> [round(reaction, 6) for reaction in rolling(beam, [(2.0, 10.0)])[2]]
    [10.0, -0.96225, 10.0]
    """
    supports = beam.supports
    spots = [(_span(supports, distance), distance, load) for distance, load in loads]
    passings = sorted([(distance - supports[k], k, load) for m, distance, load in spots for k in range(m, -1, -1)])
    placed = [(m, distance - supports[m], load) for m, distance, load in spots]
    return tuple([_rolled(line, placed, passings) for line in beam.lines])


def _rolled(
    line: Sequence[Cubic], placed: Sequence[tuple[int, float, float]], passings: Sequence[tuple[float, int, float]]
) -> tuple[float, float, float]:
    """One support's part of :func:`rolling`, by its influence line: ``placed`` has the span of each load, how far
    it stands in it and the load; ``passings`` in order on which way rolled which support is passed by which load."""
    value = slope = bend = third = 0.0  # the reaction as a cubic in the way rolled from here
    for m, u, load in placed:
        c0, c1, c2, c3 = line[m]
        value += load * (c0 + u * (c1 + u * (c2 + u * c3)))
        slope -= load * (c1 + u * (2.0 * c2 + u * 3.0 * c3))
        bend += load * (c2 + u * 3.0 * c3)
        third -= load * c3
    now = least = greatest = value
    here = 0.0
    for way, k, load in passings:
        step = way - here
        if step > 0.0:
            rise = 3.0 * third
            after, curved = slope + step * (2.0 * bend + step * rise), bend + step * rise
            if slope * after <= 0.0 or bend * curved < 0.0:  # else it rises or falls all the way
                for turn in _roots(rise, bend, slope):
                    if 0.0 < turn < step:
                        peak = value + turn * (slope + turn * (bend + turn * third))
                        least, greatest = min(least, peak), max(greatest, peak)
            value += step * (slope + step * (bend + step * third))
            slope, bend = after, curved
            if value < least:
                least = value
            elif value > greatest:
                greatest = value
            here = way
        if k:
            third += load * (line[k][3] - line[k - 1][3])
        else:
            c0, c1, c2, c3 = line[0]
            value, slope, bend, third = value - load * c0, slope + load * c1, bend - load * c2, third + load * c3
            least, greatest = min(least, value), max(greatest, value)
    return now, least, greatest


def greatest_bending(beam: Beam, loads: Sequence[Load], weight: float) -> float:
    """Greatest bending moment (Nm), whichever its sign, under point loads (N) and a weight per length (N/m).

    >>> round(greatest_bending(Beam((0.0, 2.0), 2.0), [(1.0, 10.0)], 0.0), 6)
    5.0
    >>> round(greatest_bending(Beam((0.0, 2.0, 4.0), 4.0), [], 8.0), 6)  # w L^2 / 8 over the middle support
    4.0
    """
    supports = beam.supports
    upward = zip(supports, map(sum, zip(reactions(beam, loads), even(beam, weight), strict=True)), strict=True)
    forces = sorted([*upward, *((distance, -load) for distance, load in loads)])
    moment = shear = greatest = 0.0
    here = supports[0]
    for place, force in [*forces, (max(beam.end, forces[-1][0]), 0.0)]:
        run = place - here
        loaded = weight if here < beam.end else 0.0
        if loaded and 0.0 < shear / loaded < run:  # sags most where the shear is nil
            greatest = max(greatest, abs(moment + shear * shear / (2.0 * loaded)))
        moment += run * (shear - loaded * run / 2.0)
        shear += force - loaded * run
        greatest = max(greatest, abs(moment))
        here = place
    return greatest


def _span(supports: Sequence[float], distance: float) -> int:
    m = len(supports) - 1
    while m and supports[m] > distance:
        m -= 1
    return m


def _roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Where a u^2 + 2 b u + c is nil."""
    inside = b * b - a * c
    if inside <= 0.0:
        return ()
    q = -(b + sqrt(inside)) if b > 0.0 else sqrt(inside) - b
    return (c / q, q / a) if a else (c / q,)
