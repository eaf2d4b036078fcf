"""A part on its fasteners: loads that come together, the worst fastener, and how far it is used. SI throughout.

Loads of different duration act together up to each factor that is present: wood carries more for a short time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot
from typing import NamedTuple

from doorlint.mechanics.connections import steel
from doorlint.mechanics.connections.fastener import (
    ELECTRODE,
    LIGHT_SHEET,
    Backing,
    Claim,
    Fastener,
    NotGiven,
    use,
)
from doorlint.mechanics.connections.group import (
    NO_EDGE,
    Force,
    Heel,
    NoHeel,
    Share,
    SingleFastenerTwisted,
    bracket_pull,
    centered,
    resultant,
    shares,
)

LASTING, USUAL, HOISTING, SHORT = 0.9, 1.0, 1.25, 1.6
"""Factors on the strength of wood by how long a load lasts: springs, cables, door and track; the pull of a drive;
hoisting; wind, bumper and kick.

Source: published; NDS; 2018; Table 2.3.2
"""

LARGEST = 100.0
"""The most that is shown of the use of a fastener: one that holds nothing is used without end."""


class Load(NamedTuple):
    """A force on a part (N) with the place it acts at (m), a couple (N m), and the factor for its duration."""

    force: Force
    duration: float


class Worst(NamedTuple):
    """The worst fastener of a part: the factor of its load set, what it carries (N) and the share of its strength."""

    duration: float
    share: Share
    use: float


def sets(loads: Sequence[Load]) -> Iterable[tuple[float, tuple[Force, ...]]]:
    """Each factor that is present, with the loads of that duration or longer.

    >>> gravity, wind = Load(Force((0.0, -1.0, 0.0)), 0.9), Load(Force((0.0, 0.0, 1.0)), 1.6)
    >>> [(factor, len(forces)) for factor, forces in sets((wind, gravity))]
    [(0.9, 1), (1.6, 2)]
    """
    for duration in sorted({load.duration for load in loads}):
        yield duration, tuple(load.force for load in loads if load.duration <= duration)


def neighbors_of(points: Sequence[tuple[float, float]], index: int) -> tuple[float, ...]:
    """Distances from one fastener to the others (m).

    >>> neighbors_of([(0.0, 0.0), (3.0, 4.0)], 0)
    (5.0,)
    """
    u, v = points[index]
    return tuple(hypot(u - other, v - up) for at, (other, up) in enumerate(points) if at != index)


def worst(
    fastener: Fastener,
    backing: Backing,
    claim: Claim,
    points: Sequence[tuple[float, float]],
    loads: Sequence[Load],
    heel: float | None,
) -> Worst:
    """The worst fastener over all sets of loads.

    ``points`` in m, from any corner; ``heel`` is the distance of a single row from the edge that its part presses on.
    A single fastener under a moment about its own axis is used without end. Raises :class:`NotGiven`.

    >>> bolt, wall, claim = Fastener("anchor"), Backing("concrete"), Claim(1000.0, 1000.0, True)
    >>> worst(bolt, wall, claim, [(0.0, 0.0), (0.0, 0.2)], [Load(Force((0.0, -100.0, 0.0)), 0.9)], None).use
    0.05
    """
    middle = centered(points)
    found = [_of_set(fastener, backing, claim, middle, forces, heel, duration) for duration, forces in sets(loads)]
    return max(found, key=lambda one: one.use)


def carried(
    points: Sequence[tuple[float, float]], loads: Sequence[Load], heel: float | None, duration: float
) -> tuple[Share, ...]:
    """What each fastener carries under the loads of that duration or longer; ``points`` and ``heel`` as for the worst.

    >>> both = carried([(0.0, 0.0), (0.0, 0.2)], [Load(Force((0.0, -100.0, 0.0)), 0.9)], None, 0.9)
    >>> [one.shear for one in both]
    [50.0, 50.0]
    """
    forces = tuple(load.force for load in loads if load.duration <= duration)
    return shares(centered(points), forces, _heel(heel))


def _heel(edge: float | None) -> Heel:
    return NO_EDGE if edge is None else Heel(edge, edge)


def _of_set(
    fastener: Fastener,
    backing: Backing,
    claim: Claim,
    points: Sequence[tuple[float, float]],
    forces: tuple[Force, ...],
    heel: float | None,
    duration: float,
) -> Worst:
    if fastener.kind == "weld" and not claim.documented:
        return _of_weld(fastener, backing, points, forces, duration)
    try:
        found = shares(points, forces, _heel(heel))
    except NoHeel:
        raise NotGiven("pattern.heel") from None
    except SingleFastenerTwisted:
        return Worst(duration, Share(0.0, 0.0, 0.0), float("inf"))
    return max(
        (
            Worst(duration, share, use(fastener, backing, claim, share, duration, neighbors_of(points, at)))
            for at, share in enumerate(found)
        ),
        key=lambda one: (round(one.use, 9), one.share.pull),  # of several used alike, the one that is pulled hardest
    )


def _of_weld(
    fastener: Fastener,
    backing: Backing,
    points: Sequence[tuple[float, float]],
    forces: tuple[Force, ...],
    duration: float,
) -> Worst:
    """Upright welds, each of one length, from the points of the pattern upward; per weld."""
    for key in ("length", "leg"):
        if getattr(fastener, key) is None:
            raise NotGiven(key)
    if backing.thickness is None:
        raise NotGiven("thickness")
    length, leg = fastener.length or 0.0, fastener.leg or 0.0
    welds = [steel.Weld((u, v - length / 2.0), (u, v + length / 2.0)) for u, v in points]
    force, moment = resultant(forces)
    line = steel.weld_line(welds, force, moment)
    plies = [steel.Sheet(backing.thickness, backing.tensile_strength or LIGHT_SHEET)]
    if fastener.plate is not None:
        plies.append(steel.Sheet(fastener.plate, fastener.plate_strength or LIGHT_SHEET))
    number = len(points)
    share = Share(force[0] / number, force[1] / number, max(force[2] / number, 0.0))
    return Worst(duration, share, line / steel.weld_strength(leg, ELECTRODE, plies))


def bracket(
    fastener: Fastener, backing: Backing, claim: Claim, number: int, wind: float, down: float, reach: float, heel: float
) -> Worst:
    """The worst fastener of brackets that stand in one column beside the roller line.

    ``wind`` presses at the roller line (N), ``reach`` (m) from the column, which stands ``heel`` (m) from the edge that
    presses; ``down`` is what the brackets carry (N).

    >>> found = bracket(Fastener("anchor"), Backing("concrete"), Claim(1000.0, 1000.0, True), 2, 500.0, 0.0, 0.1, 0.1)
    >>> found.share.pull, found.use
    (500.0, 0.5)
    """
    loads = [(LASTING, 0.0)] + ([(SHORT, wind)] if wind > 0.0 else [])
    found = []
    for duration, force in loads:
        pull = bracket_pull(force, reach, heel, number) if force > 0.0 else 0.0
        share = Share(0.0, -down / number, pull)
        found.append(Worst(duration, share, use(fastener, backing, claim, share, duration)))
    return max(found, key=lambda one: one.use)
