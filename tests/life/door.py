"""The door on its guides: where every roller is, what the door pulls, what presses on rollers and hinges.

y points into the building from the roller line of the vertical track, z up from the finished floor. A guide is a
straight front, an arc and a straight line; s is the way along it from the start of the arc.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cached_property

Point = tuple[float, float]


class Stuck(Exception):
    """A roller finds no place on its guide, or the door never opens."""


@dataclass(frozen=True)
class Guide:
    """A front at ``front`` from plumb, an arc from ``start`` with ``radius``, a line at ``back`` from plumb."""

    start: Point
    radius: float
    front: float
    back: float

    @cached_property
    def center(self) -> Point:
        return (self.start[0] + self.radius * math.cos(self.front), self.start[1] - self.radius * math.sin(self.front))

    @cached_property
    def arc(self) -> float:
        return self.radius * (self.back - self.front)

    @cached_property
    def end(self) -> Point:
        return self._on_arc(self.back)

    def _on_arc(self, lean: float) -> Point:
        return (self.center[0] - self.radius * math.cos(lean), self.center[1] + self.radius * math.sin(lean))

    def lean(self, s: float) -> float:
        """Angle from plumb at s."""
        if s <= 0:
            return self.front
        return self.back if s >= self.arc else self.front + s / self.radius

    def at(self, s: float) -> Point:
        lean = self.lean(s)
        if s <= 0:
            return (self.start[0] + s * math.sin(lean), self.start[1] + s * math.cos(lean))
        if s < self.arc:
            return self._on_arc(lean)
        past = s - self.arc
        return (self.end[0] + past * math.sin(lean), self.end[1] + past * math.cos(lean))

    def last_at(self, point: Point, away: float) -> float:
        """The last s whose place is ``away`` from a point."""
        found = _along(self.end, self.back, point, away)
        if found is not None and found >= 0:
            return self.arc + found
        if self.radius > 0:
            qy, qz = self.center[0] - point[0], self.center[1] - point[1]
            far = math.hypot(qy, qz)
            level = (away**2 - far**2 - self.radius**2) / (2 * self.radius * far) if far else 2.0
            if abs(level) <= 1:
                turned, once = math.atan2(qy, qz), math.asin(level)
                leans = [turned + once + 2 * math.pi * k for k in (-1, 0, 1)]
                leans += [turned + math.pi - once + 2 * math.pi * k for k in (-1, 0, 1)]
                inside = [lean for lean in leans if self.front - 1e-12 <= lean <= self.back + 1e-12]
                if inside:
                    return self.radius * (max(inside) - self.front)
        found = _along(self.start, self.front, point, away)
        if found is None:
            raise Stuck("no place on the guide")
        if found > 0:
            found = _along(self.start, self.front, point, away, last=False)
            if found is None or found > 0:
                raise Stuck("no place on the guide")
        return found


def _along(origin: Point, lean: float, point: Point, away: float, last: bool = True) -> float | None:
    """How far along a line from its origin the last (or first) place is that lies ``away`` from a point."""
    dy, dz = math.sin(lean), math.cos(lean)
    py, pz = point[0] - origin[0], point[1] - origin[1]
    foot = py * dy + pz * dz
    left = away**2 - (py * py + pz * pz - foot * foot)
    if left < 0:
        return None
    return foot + math.sqrt(left) if last else foot - math.sqrt(left)


@dataclass(frozen=True)
class Forces:
    """One travel: the pull of the door along the track, normals at its rollers, forces in its joints; both sides."""

    pull: float
    normals: tuple[float, ...]
    joints: tuple[float, ...]
    bind: float


@dataclass(frozen=True)
class Door:
    """Sections from the floor up, their weights in N, and the guides of the lower rollers and of the top one."""

    heights: tuple[float, ...]
    weights: tuple[float, ...]
    bottom: float
    top: float
    inward: float
    offsets: tuple[tuple[float, float], ...]
    """Outer face of each section from its roller line, at its lower and upper end."""
    guide: Guide
    upper: Guide
    opening: float

    @cached_property
    def weight(self) -> float:
        return sum(self.weights)

    @cached_property
    def chords(self) -> tuple[float, ...]:
        chords = list(self.heights)
        chords[0] -= self.bottom
        chords[-1] = math.hypot(chords[-1] - self.top, self.inward)
        return tuple(chords)

    @cached_property
    def tilt(self) -> float:
        """How far the line of the top section is turned outward from its chord."""
        straight = self.heights[-1] - self.top - (self.bottom if len(self.heights) == 1 else 0.0)
        return math.atan2(self.inward, straight)

    def ways(self, x: float) -> list[float]:
        """The place of every roller along its guide, bottom roller first."""
        ways = [self.bottom - self.guide.start[1] + x]
        point = self.guide.at(ways[0])
        for number, chord in enumerate(self.chords):
            guide = self.upper if number == len(self.chords) - 1 else self.guide
            ways.append(guide.last_at(point, chord))
            point = guide.at(ways[-1])
        return ways

    def guides(self) -> list[Guide]:
        return [self.guide] * len(self.chords) + [self.upper]

    def points(self, x: float) -> list[Point]:
        return [guide.at(way) for guide, way in zip(self.guides(), self.ways(x), strict=True)]

    def lines(self, points: list[Point]) -> list[Point]:
        """The direction of every section's line, from its lower end to its upper one."""
        found = []
        for number, ((y0, z0), (y1, z1)) in enumerate(itertools.pairwise(points)):
            long = math.hypot(y1 - y0, z1 - z0)
            uy, uz = (y1 - y0) / long, (z1 - z0) / long
            if number == len(points) - 2 and self.tilt:
                c, s = math.cos(self.tilt), math.sin(self.tilt)
                uy, uz = uy * c - uz * s, uy * s + uz * c
            found.append((uy, uz))
        return found

    def middle(self, number: int) -> float:
        """Where a section's weight acts, along its line from its lower roller."""
        return self.heights[number] / 2 - (self.bottom if number == 0 else 0.0)

    def energy(self, x: float) -> float:
        points = self.points(x)
        lines = self.lines(points)
        return sum(weight * (points[i][1] + lines[i][1] * self.middle(i)) for i, weight in enumerate(self.weights))

    def forces(self, x: float) -> Forces:
        """Equilibrium of every section, from the top one down."""
        ways = self.ways(x)
        guides = self.guides()
        points = [guide.at(way) for guide, way in zip(guides, ways, strict=True)]
        lines = self.lines(points)
        above = (0.0, 0.0)
        normals, joints, bind = [], [], math.pi
        for i in range(len(self.weights) - 1, -1, -1):
            lean = guides[i + 1].lean(ways[i + 1])
            ny, nz = math.cos(lean), -math.sin(lean)
            cy, cz = points[i + 1][0] - points[i][0], points[i + 1][1] - points[i][1]
            turning = cy * nz - cz * ny
            arm = lines[i][0] * self.middle(i)
            load = cy * above[1] - cz * above[0] - arm * self.weights[i]
            bind = min(bind, math.asin(min(1.0, abs(turning) / math.hypot(cy, cz))))
            if abs(turning) < 1e-9:
                raise Stuck("the door is locked on its guide")
            normal = -load / turning
            normals.append(normal)
            below = (-above[0] - normal * ny, -above[1] - normal * nz + self.weights[i])
            above = (-below[0], -below[1])
            if i:
                joints.append(math.hypot(*below))
        lean = self.guide.lean(ways[0])
        pull = -(above[0] * math.sin(lean) + above[1] * math.cos(lean))
        normals.append(above[1] * math.sin(lean) - above[0] * math.cos(lean))
        return Forces(pull, tuple(reversed(normals)), tuple(reversed(joints)), bind)

    def edge(self, x: float) -> float:
        """Height of the bottom edge."""
        points = self.points(x)
        return points[0][1] - self.bottom * self.lines(points)[0][1]

    @cached_property
    def open_at(self) -> float:
        """The first travel with the bottom edge at the opening height."""
        if self.opening <= 0.0:
            raise Stuck("no opening is left above the floor")
        step, low = self.opening / 50, 0.0
        while self.edge(low + step) < self.opening:
            low += step
            if low > 2 * self.opening + 3:
                raise Stuck("never open")
        high = low + step
        for _ in range(40):
            half = (low + high) / 2
            low, high = (half, high) if self.edge(half) < self.opening else (low, half)
        return high

    def mark(self, number: int) -> float | None:
        """The travel at which roller ``number`` leaves its curve; ``None`` where the open door falls short of it."""
        guide = self.guides()[number]

        def past(x: float) -> float:
            return self.ways(x)[number] - guide.arc

        if past(0.0) >= 0:
            return 0.0
        low, high = 0.0, self.open_at
        if past(high) < 0:
            return None
        for _ in range(40):
            half = (low + high) / 2
            low, high = (half, high) if past(half) < 0 else (low, half)
        return high

    def outlines(self, x: float) -> list[tuple[Point, Point, Point, Point]]:
        """Each section from its roller line to its outer face: lower inner, upper inner, upper outer, lower outer."""
        points = self.points(x)
        found = []
        for i, (uy, uz) in enumerate(self.lines(points)):
            start = -self.bottom if i == 0 else 0.0
            stop = start + self.heights[i]
            y, z = points[i]
            low, high = self.offsets[i]
            inner = ((y + start * uy, z + start * uz), (y + stop * uy, z + stop * uz))
            outer = (
                (inner[1][0] - high * uz, inner[1][1] + high * uy),
                (inner[0][0] - low * uz, inner[0][1] + low * uy),
            )
            found.append((*inner, *outer))
        return found
