"""The roof that a door needs which follows it: how high at the door's wall, for the line that rises with the roof.

Source: derived; every corner of every section over the travel, and the guide with its size, brought back to the wall
along the slope of the roof.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

from doorlint.mechanics.outline import outlines
from doorlint.mechanics.rolling import Path
from doorlint.mechanics.sweep import Sweep

STEPS = 64
"""Steps of the travel that are looked at; the best of them is closed in on."""
CLOSED_IN = 20
GOLDEN = (sqrt(5.0) - 1.0) / 2.0


def needed(sweep: Sweep, length: float, size: float, slope: float) -> float:
    """Height of the roof at the inside wall face (m above the floor) that door and guide just touch.

    ``length`` of the straight track and ``size`` of its section (m); ``slope`` of the roof, rising positive.

    >>> from doorlint.mechanics.rolling import Door
    >>> door = Door((0.5,) * 4, (300.0,) * 4, 0.1, 0.1)
    >>> level = Sweep(Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.05, 2.0, 1.95)
    >>> round(needed(level, 2.0, 0.05, 0.0), 4)
    2.2494
    """

    def door_at(travel: float) -> float:
        corners = outlines(sweep.path, sweep.door, sweep.stand_offs, sweep.thickness, travel)
        return max(z - (y + sweep.wall) * slope for section in corners for y, z in section)

    return max(_highest(door_at, sweep.open_at), _guide(sweep.path, sweep.wall, length, size, slope))


def _guide(path: Path, wall: float, length: float, size: float, slope: float) -> float:
    """The upper edge of the straight track, at both its ends, square to it (m)."""
    edge = size / 2.0
    ends = ((path.end_y, path.end_z), (path.end_y + length * path.cos, path.end_z + length * path.sin))
    return max(z + edge * path.cos - (y - edge * path.sin + wall) * slope for y, z in ends)


def _highest(height: Callable[[float], float], end: float) -> float:
    step = end / STEPS
    heights = [height(place * step) for place in range(STEPS + 1)]
    top = max(heights)
    best = heights.index(top)
    low, high = max(best - 1, 0) * step, min(best + 1, STEPS) * step
    first, second = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_first, at_second = height(first), height(second)
    for _ in range(CLOSED_IN):
        if at_first < at_second:
            low, first, at_first = first, second, at_second
            second = low + GOLDEN * (high - low)
            at_second = height(second)
        else:
            high, second, at_second = second, first, at_first
            first = high - GOLDEN * (high - low)
            at_first = height(first)
    return max(top, at_first, at_second)
