"""The guide of the top roller of a low-headroom door: a straight front, an arc, and a line at the track's slope.

Angles count from the vertical. The front leans inward by ``lead``; a guide that turns less than a full curve is dipped.

Source: derived; plane geometry.
"""

from __future__ import annotations

import math
from typing import Final, TypeAlias

Spot: TypeAlias = tuple[float, float, float, float, float]
"""A place on a guide: coordinate s, point y, z and unit tangent ty, tz toward the back. A bare tuple
because a review of one door makes hundreds of them."""


class UpperGuide:
    """A guide whose arc starts at ``start_y``, ``start_z`` (m) with ``radius`` (m) and turns from ``lead`` (rad from
    the vertical) to the ``slope`` of the line behind it (rise per run).

    ``s`` counts from the start of the arc: negative on the front. ``arc_end`` (m) is the coordinate of the arc's end,
    ``end_y`` and ``end_z`` that point, ``cos`` and ``sin`` the direction of the line.

    Raises ValueError for a curve without radius, and for one that would turn back.

    >>> guide = UpperGuide(0.0, 2.1, 0.3, 0.0, 0.0)
    >>> round(guide.end_y, 6), round(guide.end_z, 6), round(guide.arc_end, 6)
    (0.3, 2.4, 0.471239)
    """

    __slots__ = ("arc_end", "center_y", "center_z", "cos", "end_y", "end_z", "lead", "level", "radius", "sin",
                 "start_y", "start_z")  # fmt: skip

    def __init__(self, start_y: float, start_z: float, radius: float, lead: float, slope: float) -> None:
        level = math.pi / 2 - math.atan(slope)
        if radius <= 0.0:
            raise ValueError(f"radius of the upper guide is {radius} m; it must be more than 0")
        if not 0.0 <= lead <= level + 1e-12:
            raise ValueError("the upper guide turns farther than its track or not at all")
        self.start_y: Final = start_y
        self.start_z: Final = start_z
        self.radius: Final = radius
        self.lead: Final = lead
        self.level: Final = level
        self.cos: Final = math.sin(level)
        self.sin: Final = math.cos(level)
        self.center_y: Final = start_y + radius * math.cos(lead)
        self.center_z: Final = start_z - radius * math.sin(lead)
        self.end_y: Final = self.center_y - radius * math.cos(level)
        self.end_z: Final = self.center_z + radius * math.sin(level)
        self.arc_end: Final = radius * (level - lead)

    def __repr__(self) -> str:
        return f"UpperGuide({self.start_y!r}, {self.start_z!r}, {self.radius!r}, {self.lead!r})"

    def spot(self, s: float) -> Spot:
        """Point and unit tangent at coordinate ``s`` (m).

        >>> UpperGuide(0.1, 2.1, 0.3, 0.0, 0.0).spot(-0.5)
        (-0.5, 0.1, 1.6, 0.0, 1.0)
        """
        if s < 0.0:
            out, up = math.sin(self.lead), math.cos(self.lead)
            return (s, self.start_y + s * out, self.start_z + s * up, out, up)
        if s < self.arc_end:
            angle = self.lead + s / self.radius
            out, up = math.sin(angle), math.cos(angle)
            return (s, self.center_y - self.radius * up, self.center_z + self.radius * out, out, up)
        run = s - self.arc_end
        return (s, self.end_y + run * self.cos, self.end_z + run * self.sin, self.cos, self.sin)

    def last(self, y: float, z: float, distance: float) -> Spot | None:
        """The last place along the guide that lies ``distance`` (m) from a point; None where it comes nowhere so near.

        >>> guide = UpperGuide(0.0, 2.0, 0.3, 0.0, 0.0)
        >>> s, y, z, _, _ = guide.last(0.0, 1.9, 0.5)
        >>> round(y, 6), round(z, 6)
        (0.3, 2.3)
        >>> guide.last(-5.0, 0.0, 0.5) is None
        True
        """
        run = _last_on_line(self.end_y - y, self.end_z - z, self.cos, self.sin, distance)
        if run is not None:
            return self.spot(self.arc_end + run)
        angle = self._last_on_arc(y, z, distance)
        if angle is not None:
            return self.spot((angle - self.lead) * self.radius)
        return self._last_on_front(y, z, distance)

    def _last_on_arc(self, y: float, z: float, distance: float) -> float | None:
        to_y, to_z = y - self.center_y, z - self.center_z
        reach = math.hypot(to_y, to_z)
        if reach == 0.0:
            return self.level if abs(distance - self.radius) < 1e-12 else None
        share = (self.radius**2 + reach**2 - distance**2) / (2 * self.radius * reach)
        if abs(share) > 1.0:
            return None
        toward, aside = math.atan2(to_z, -to_y), math.acos(share)
        found = [
            angle
            for turn in (-2 * math.pi, 0.0, 2 * math.pi)
            for angle in (toward + aside + turn, toward - aside + turn)
            if self.lead <= angle <= self.level
        ]
        return max(found, default=None)

    def _last_on_front(self, y: float, z: float, distance: float) -> Spot | None:
        out, up = math.sin(self.lead), math.cos(self.lead)
        to_y, to_z = self.start_y - y, self.start_z - z
        along = to_y * out + to_z * up
        spare = along * along - to_y * to_y - to_z * to_z + distance * distance
        if spare < 0.0:
            return None
        back = [run for run in (along - math.sqrt(spare), along + math.sqrt(spare)) if run >= 0.0]
        return self.spot(-min(back)) if back else None


def _last_on_line(to_y: float, to_z: float, cos: float, sin: float, distance: float) -> float | None:
    """How far along a line its last place ``distance`` from the origin lies; ``to`` is where the line starts."""
    along = to_y * cos + to_z * sin
    spare = along * along - to_y * to_y - to_z * to_z + distance * distance
    if spare < 0.0:
        return None
    run = math.sqrt(spare) - along
    return run if run >= 0.0 else None


def measured(
    end: tuple[float, float], slope: float, above: float, radius: float, turn: float | None, offset: float
) -> UpperGuide:
    """The upper guide as a fitter measures it.

    ``end`` is where the main guide's arc ends (y, z; m), ``above`` the distance square from the main line to the upper
    one (m), ``turn`` how far the upper guide turns (rad; None: as far as the track), ``offset`` how far into the room
    from the roller line its arc starts (m). The height at which that is follows.

    >>> guide = measured((0.3, 2.3), 0.0, 0.1, 0.25, None, 0.02)
    >>> round(guide.start_z, 6), round(guide.end_z, 6)
    (2.15, 2.4)
    """
    level = math.pi / 2 - math.atan(slope)
    lead = 0.0 if turn is None else level - turn
    cos, sin = math.sin(level), math.cos(level)
    end_y = offset + radius * (math.cos(lead) - math.cos(level))
    end_z = end[1] + (above + sin * (end_y - end[0])) / cos
    return UpperGuide(offset, end_z - radius * (math.sin(level) - math.sin(lead)), radius, lead, slope)


def turn_from(end: tuple[float, float], slope: float, above: float, radius: float, point: tuple[float, float]) -> float:
    """How far a guide turns (rad) behind a point (y, z; m) on its arc.

    The other measures are those of :func:`measured`. Raises ValueError for a point over its line, or so far under it
    that it lies on the front.

    >>> round(turn_from((0.3, 2.3), 0.0, 0.1, 0.25, (0.05, 2.3)), 6)
    0.927295
    """
    cos = 1.0 / math.hypot(1.0, slope)
    under = above + (end[1] - point[1]) * cos - (end[0] - point[0]) * cos * slope
    if not 0.0 <= under <= radius:
        raise ValueError("the point does not lie on the curve of the upper guide")
    return math.acos(1.0 - under / radius)


def offset_through(
    end: tuple[float, float], slope: float, above: float, radius: float, turn: float, point: tuple[float, float]
) -> float:
    """The ``offset`` (m) with which the arc of a guide passes through a point (y, z; m).

    The other measures are those of :func:`measured`. Raises ValueError as :func:`turn_from` does.

    >>> offset = offset_through((0.3, 2.3), 0.0, 0.1, 0.25, 1.0, (0.05, 2.3))
    >>> _, y, z, _, _ = measured((0.3, 2.3), 0.0, 0.1, 0.25, 1.0, offset).last(0.05, 1.8, 0.5)
    >>> round(y, 6), round(z, 6)
    (0.05, 2.3)
    """
    level = math.pi / 2 - math.atan(slope)
    lead, angle = level - turn, level - turn_from(end, slope, above, radius, point)
    return point[0] + radius * (math.cos(angle) - math.cos(lead))
