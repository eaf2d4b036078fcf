"""The moving door: where everything that moves is at some travels, and where it drifts or comes near something."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from doorlint import counterbalance
from doorlint.facts import Facts
from doorlint.mechanics import rolling
from doorlint.mechanics.outline import outlines
from doorlint.named_tuple import NamedTuple
from doorlint.scene.site import Site

__all__ = ["STEPS", "Motion", "Position", "Stretch", "motion"]

STEPS = 40
"""Steps of travel from closed to open; half way is one of them."""
NEAR = 0.05
"""Distance (m) from which the door counts as near something."""

Polygon = tuple[tuple[float, float], ...]


class Position(NamedTuple):
    """Everything that moves, at one travel (m)."""

    travel: float
    sections: tuple[Polygon, ...]
    """outlines from the side: into the room from the inside wall face, and up"""
    moved: tuple[tuple[str, tuple[float, float, float, float]], ...]
    """what of the counterbalance stands elsewhere: its picture, and its left, low, right and high edge there (m)"""
    door: float
    """pull of the door (N)"""
    other: float | None
    """pull of the counterbalance (N)"""
    words: tuple[tuple[str, float, str], ...]
    """what else there is to read: its name, value and dimension"""


class Stretch(NamedTuple):
    """A stretch of the travel (m): what happens there, in a word, and with what force (N) or distance (m)."""

    start: float
    end: float
    kind: str
    """``up`` or ``down`` where the door moves by itself; else the thing that it comes near"""
    most: float


class Motion(NamedTuple):
    """The door from closed to open in even steps."""

    positions: tuple[Position, ...]
    drifts: tuple[Stretch, ...]
    near: tuple[Stretch, ...]


def motion(facts: Facts, site: Site) -> Motion | None:
    """The motion of a job; ``None`` where the door is not known well enough to move."""
    swept, path, door = site.swept, site.path, facts.known("door.shape")
    if swept is None or path is None or door is None or swept.open_at <= 0.0:
        return None
    kind = next(iter(counterbalance.described(facts.job.values)), None)
    pose = None if kind is None else kind.poses(facts, site)
    positions = []
    for step in range(STEPS + 1):
        travel = swept.open_at * step / STEPS
        shapes = outlines(swept.path, swept.door, swept.stand_offs, swept.thickness, travel)
        sections = tuple(tuple((y + site.offset, z) for y, z in outline) for outline in shapes)
        stands = None if pose is None else pose(travel)
        other, moved, words = (None, (), ()) if stands is None else (stands.pull, stands.moved, stands.words)
        positions.append(Position(travel, sections, moved, rolling.pull(path, door, travel), other, words))
    drifts = () if pose is None else tuple(Stretch(*drift) for drift in facts.known("balance.drifts") or ())
    return Motion(tuple(positions), drifts, tuple(_near(positions, dict(_things(facts, site)))))


def _things(facts: Facts, site: Site) -> Iterator[tuple[str, tuple[Polygon, float]]]:
    """What the door may come near: its outline from the side, and how far it reaches round that (m)."""
    for key in facts.keys("obstruction"):
        names = ("starts", "ends", "from_wall", "depth", "low")
        left, right, near, deep, low = (facts.known(f"obstruction.{name}", key) for name in names)
        if None in (left, right, near, deep, low, site.door):
            continue
        assert site.door is not None
        if right <= site.door[0] or left >= site.door[1]:
            continue
        high = facts.known("obstruction.high", key) or max(low, site.top)
        yield key, (((near, low), (near + deep, low), (near + deep, high), (near, high)), 0.0)
    center = facts.known("torsion.shaft.from_wall"), facts.known("torsion.shaft.height")
    reach = facts.known("shaft.reach")
    if None not in (*center, reach):
        yield "the shaft", ((center,), reach)


def _near(positions: Sequence[Position], things: dict[str, tuple[Polygon, float]]) -> Iterator[Stretch]:
    """The stretches on which the door is nearer to a thing than ``NEAR``, each with its least distance."""
    for name, (shape, reach) in things.items():
        gaps = [min(distance(section, shape) for section in at.sections) - reach for at in positions]
        start: int | None = None
        for number, gap in enumerate([*gaps, math.inf]):
            if gap < NEAR and start is None:
                start = number
            elif gap >= NEAR and start is not None:
                yield Stretch(positions[start].travel, positions[number - 1].travel, name, min(gaps[start:number]))
                start = None


def distance(one: Polygon, other: Polygon) -> float:
    """Least distance between two convex polygons or a point (m); 0 where they overlap.

    >>> square = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    >>> distance(square, ((3.0, 0.5),)), distance(square, ((0.5, 0.5),))
    (2.0, 0.0)
    """
    if _overlap(one, other):
        return 0.0
    return min(
        [_from_edge(point, *edge) for point in other for edge in pairwise((*one, one[0]))]
        + [_from_edge(point, *edge) for point in one for edge in pairwise((*other, other[0]))]
    )


def _from_edge(point: tuple[float, float], start: tuple[float, float], end: tuple[float, float]) -> float:
    (y, z), (y0, z0), (y1, z1) = point, start, end
    square = (y1 - y0) ** 2 + (z1 - z0) ** 2
    share = min(max(((y - y0) * (y1 - y0) + (z - z0) * (z1 - z0)) / square, 0.0), 1.0) if square else 0.0
    return math.hypot(y - y0 - share * (y1 - y0), z - z0 - share * (z1 - z0))


def _overlap(one: Polygon, other: Polygon) -> bool:
    """Whether no edge of either keeps them apart."""
    for (y0, z0), (y1, z1) in [*pairwise((*one, one[0])), *pairwise((*other, other[0]))]:
        across = [[(y - y0) * (z1 - z0) - (z - z0) * (y1 - y0) for y, z in shape] for shape in (one, other)]
        if (max(across[0]) <= min(across[1]) or max(across[1]) <= min(across[0])) and (y0, z0) != (y1, z1):
            return False
    return True
