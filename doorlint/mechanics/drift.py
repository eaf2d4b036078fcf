"""Stretches of the travel where friction does not hold the door.

The residual is the pull of the counterbalance on the door less the pull of the door itself; positive, the door moves
up. With friction f the door stays where |residual| <= f.

Source: derived; equilibrium with friction.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from doorlint.named_tuple import NamedTuple


class Drift(NamedTuple):
    """A stretch of travel (m) where friction does not hold the door: which ``way`` it moves (``up``, ``down``) and the
    largest ``residual`` there (N, without its sign)."""

    start: float
    end: float
    way: str
    residual: float


def drifts(left: Sequence[tuple[float, float]], friction: float) -> list[Drift]:
    """The stretches where |residual| exceeds ``friction`` (N), from closed to open.

    ``left`` is (travel, residual), straight between its points.

    >>> drifts([(0.0, -30.0), (1.0, 10.0), (2.0, 50.0)], 20.0)
    [Drift(start=0.0, end=0.25, way='down', residual=30.0), Drift(start=1.25, end=2.0, way='up', residual=50.0)]
    """
    found: list[Drift] = []
    for way, sign in (("down", -1.0), ("up", 1.0)):
        start: float | None = None
        largest = 0.0
        for (here, before), (there, after) in pairwise(left):
            low, high = sign * before - friction, sign * after - friction
            if low > 0.0 and start is None:
                start = here
            if low <= 0.0 < high:
                start = here + (there - here) * low / (low - high)
            largest = max(largest, *(value + friction for value in (low, high) if value > 0.0), 0.0)
            if start is not None and high <= 0.0:
                end = here + (there - here) * low / (low - high)
                found.append(Drift(start, end, way, largest))
                start, largest = None, 0.0
        if start is not None:
            found.append(Drift(start, left[-1][0], way, largest))
    return sorted(found)


def friction_at(points: Sequence[tuple[float, float]], travel: float) -> float:
    """Friction at a travel: straight between the points, the same before the first and after the last.

    >>> [friction_at(((1.0, 40.0), (2.0, 20.0)), travel) for travel in (0.5, 1.5, 3.0)]
    [40.0, 30.0, 20.0]
    """
    if len(points) == 1 or travel <= points[0][0]:
        return points[0][1]
    for (low, before), (high, after) in pairwise(points):
        if travel <= high:
            return before + (after - before) * (travel - low) / (high - low)
    return points[-1][1]
