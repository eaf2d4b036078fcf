"""The nearest that the moving door comes to a fixed point, such as the center of a shaft.

Every section is the rectangle of ``doorlint.mechanics.sweep``. While it hangs in the vertical track or lies on the
straight one it only slides, and the distance to something that slides is convex in the way; around the curve the
distance is looked for in steps and then closed in on.

Source: derived; rigid sections on the roller path.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final, TypeAlias

from doorlint.mechanics.outline import outlines
from doorlint.mechanics.rolling import ahead, spot
from doorlint.mechanics.sweep import Sweep
from doorlint.mechanics.travel import travel_at
from doorlint.named_tuple import NamedTuple

STEPS: Final = 12
"""steps in which a section is followed around the curve"""
CLOSE: Final = 1e-4
"""m; the search stops at this width"""
STEEP: Final = 1.5
"""how much faster than its lower roller a section may come nearer"""
TRIALS: Final = 8
"""at most, around one low point"""


Shape: TypeAlias = tuple[float, float, float, float]
"""distance of the rollers, where the rectangle begins and ends along it, and how far out its inner face is (m)"""


Point: TypeAlias = tuple[float, float]
"""distance, and the path coordinate s of the lower roller there (m)"""


class Nearest(NamedTuple):
    """``distance`` (m; 0 where the door covers the point), ``section`` from 1 and the path coordinate ``s`` (m) of its
    lower roller there."""

    distance: float
    section: int
    s: float


def nearest(sweep: Sweep, y: float, z: float) -> Nearest:
    """The least distance from the point ``y`` into the room from the roller line, ``z`` above the floor (m).

    >>> from doorlint.mechanics.rolling import Door, Path
    >>> sweep = Sweep(Path(math.inf), Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.1), (0.0, 0.0), 0.04, 0.05, 1.0, 1.0)
    >>> found = nearest(sweep, 0.3, 1.2)
    >>> round(found.distance, 6), found.section
    (0.3, 1)
    """
    best = Nearest(math.inf, 0, 0.0)
    ways: dict[Shape, list[tuple[float, float, int]]] = {}
    last = len(sweep.door.spacings)
    for section, (spacing, inner) in enumerate(zip(sweep.door.spacings, sweep.stand_offs, strict=True), start=1):
        start, end = sweep.closed_s[section - 1], sweep.open_s[section - 1]
        if section == sweep.wandering:
            best = min(best, _nearest_wandering(sweep, y, z, start, end))
            continue
        low = -sweep.door.bottom_roller if section == 1 else 0.0
        high = spacing + (sweep.door.top_roller if section == last else 0.0)
        ways.setdefault((spacing, low, high, inner), []).append((start, end, section))
    for shape, runs in ways.items():
        gap = _gap(sweep, shape, y, z)
        done = -math.inf
        for start, end, section in sorted(runs):  # a section of the same shape may have gone a part of the way
            if end > done:
                distance, s = _least(gap, _marks(sweep, shape[0], max(start, done), end), best.distance)
                if distance < best.distance:
                    best = Nearest(distance, section, s)
                done = end
    return best


def _nearest_wandering(sweep: Sweep, y: float, z: float, start: float, end: float) -> Nearest:
    """Likewise of a top section with a way of its own: from its drawn outline, in finer steps."""

    def gap(s: float) -> float:
        travel = travel_at(sweep.path, sweep.door, sweep.wandering - 1, s)
        (foot_y, foot_z), (out_y, out_z), _, (head_y, head_z) = outlines(
            sweep.path, sweep.door, sweep.stand_offs, sweep.thickness, travel
        )[-1]
        length = math.hypot(head_y - foot_y, head_z - foot_z)
        up_y, up_z = (head_y - foot_y) / length, (head_z - foot_z) / length
        to_y, to_z = y - foot_y, z - foot_z
        along, out = to_y * up_y + to_z * up_z, to_z * up_y - to_y * up_z
        thick = math.hypot(out_y - foot_y, out_z - foot_z)
        return math.hypot(max(-along, along - length, 0.0), max(-out, out - thick, 0.0))

    fine = 4 * STEPS
    marks = [start + (end - start) * step / fine for step in range(fine + 1)]
    distance, s = _least(gap, marks, math.inf)
    return Nearest(distance, sweep.wandering, s)


def _gap(sweep: Sweep, shape: Shape, y: float, z: float) -> Callable[[float], float]:
    """Distance of the point from a section of this shape, by the path coordinate of its lower roller."""
    path, thickness = sweep.path, sweep.thickness
    spacing, low, high, inner = shape
    outer = inner + thickness

    def gap(s: float) -> float:
        here = spot(path, s)
        there = ahead(path, here, spacing)
        up_y, up_z = (there[1] - here[1]) / spacing, (there[2] - here[2]) / spacing
        to_y, to_z = y - here[1], z - here[2]
        along, out = to_y * up_y + to_z * up_z, to_z * up_y - to_y * up_z
        past = low - along if along < low else along - high if along > high else 0.0
        aside = inner - out if out < inner else out - outer if out > outer else 0.0
        return math.hypot(past, aside)

    return gap


def _marks(sweep: Sweep, spacing: float, start: float, end: float) -> list[float]:
    """The way of a section in pieces: sliding up, around the curve in steps, sliding back."""
    turns, flat = sweep.path.tangent - spacing, sweep.path.arc_end
    steps = [turns + (flat - turns) * step / STEPS for step in range(STEPS + 1)] if turns < math.inf else []
    return [start, *(step for step in steps if start < step < end), end]


def _least(gap: Callable[[float], float], marks: list[float], beat: float) -> tuple[float, float]:
    """Least value and its place; closed in on around the low points of the values at the marks that may ``beat``."""
    values = [gap(mark) for mark in marks]
    best = min(zip(values, marks, strict=True))
    end = len(marks) - 1
    for index, value in enumerate(values):
        before, after = max(index - 1, 0), min(index + 1, end)
        low = value <= values[before] and value <= values[after]
        if low and value - STEEP * (marks[after] - marks[before]) < min(beat, best[0]):
            points = [(values[at], marks[at]) for at in (before, index, after)]
            best = min(best, _closed_in(gap, *points))
    return best


def _closed_in(gap: Callable[[float], float], before: Point, lowest: Point, after: Point) -> Point:
    """Least value and its place between two points, from a point between them that is lower than both.

    Each trial is at the bottom of the parabola through the three, or in the middle of the wider side where that is
    where the lowest point lies already.
    """
    for _ in range(TRIALS):
        (high_left, left), (low, place), (high_right, right) = before, lowest, after
        to_left, to_right = place - left, right - place
        if low == 0.0 or max(to_left, to_right) < CLOSE:
            break
        fall, rise = (high_left - low) / max(to_left, CLOSE), (high_right - low) / max(to_right, CLOSE)
        there = place + (to_right * fall - to_left * rise) / (2.0 * (fall + rise)) if fall + rise > 0.0 else place
        if abs(there - place) < CLOSE / 2.0 or not left < there < right:
            there = place + to_right / 2.0 if to_right > to_left else place - to_left / 2.0
        tried = (gap(there), there)
        if tried[0] < low:
            before, lowest, after = (lowest, tried, after) if there > place else (before, tried, lowest)
        elif there > place:
            after = tried
        else:
            before = tried
    return lowest
