"""Solids, lines, labels and dimensions in space, and how they look from a side.

Coordinates in meters: x along the wall from the left jamb edge, seen from inside; y into the room from the inside wall
face; z up from the finished floor. A coordinate that is ``None`` is not known: the thing is not seen in a view that
needs it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal, NamedTuple, TypeAlias

__all__ = [
    "PLAN", "SIDE", "WALL", "Arrow", "Dimension", "Label", "Line", "Scene", "Solid", "Spot", "View",
    "circle", "rectangle",
]  # fmt: skip

Span: TypeAlias = tuple[float, float]
Flat: TypeAlias = tuple[float, float]
"""A point in a view: across and up (m)."""
Point: TypeAlias = tuple[float | None, float | None, float | None]
"""A point in space: x, y, z (m)."""


class View(NamedTuple):
    """A direction of sight: the coordinates that run across and up the paper, and the sense of the second."""

    name: str
    across: int
    up: int
    sense: float = 1.0

    def see(self, point: Point) -> Flat | None:
        """Where a point is in this view; ``None`` where a coordinate that it needs is not known.

        >>> SIDE.see((None, 0.3, 2.0)), WALL.see((None, 0.3, 2.0))
        ((0.3, 2.0), None)
        """
        across, up = point[self.across], point[self.up]
        return None if across is None or up is None else (across, self.sense * up)


WALL = View("wall", 0, 2)
"""From inside, toward the wall."""
SIDE = View("side", 1, 2)
"""Along the wall, outdoors on the left."""
PLAN = View("plan", 0, 1, -1.0)
"""From above, the wall at the top of the paper."""


class Outline(NamedTuple):
    """What is seen of a shape in a view."""

    points: tuple[Flat, ...]
    closed: bool
    round: bool = False
    """whether it is a circle, however the picture is scaled"""


class Solid(NamedTuple):
    """A body between two limits in each direction, or a profile in one plane that runs along the third direction."""

    name: str
    """the same for the same part in every scene"""
    kind: str
    """what it is; the style sheet says how each kind is drawn"""
    x: Span | None
    y: Span | None
    z: Span | None
    pointer: str = ""
    """the part of the spec it shows"""
    words: str = ""
    """what a change says of it"""
    hatched: bool = False
    along: int | None = None
    """the direction that its profile runs along; none for a box"""
    profile: tuple[Flat, ...] = ()
    thing: str = ""
    """which of several it is: those with the same words at the same place are named together"""
    on: tuple[str, ...] = ()
    """the only pictures that show it; empty for all that see it"""
    round: bool = False
    """whether its profile is a circle"""

    def seen(self, view: View) -> Outline | None:
        """Its outline in a view.

        >>> Solid("beam", "obstruction", (0.0, 1.0), None, (3.0, 3.5)).seen(WALL).points
        ((0.0, 3.0), (1.0, 3.0), (1.0, 3.5), (0.0, 3.5))
        >>> Solid("beam", "obstruction", (0.0, 1.0), None, (3.0, 3.5)).seen(SIDE) is None
        True
        """
        if self.along is not None and self.along not in (view.across, view.up):
            order = (view.across, view.up)
            pairs = self.profile if order[0] < order[1] else tuple((up, across) for across, up in self.profile)
            return Outline(tuple((across, view.sense * up) for across, up in pairs), True, self.round)
        spans = (self.x, self.y, self.z)
        across, up = spans[view.across], spans[view.up]
        if across is None or up is None:
            return None
        (left, right), (low, high) = across, (view.sense * up[0], view.sense * up[1])
        return Outline(((left, low), (right, low), (right, high), (left, high)), True)


class Line(NamedTuple):
    """A line through points in space."""

    name: str
    kind: str
    points: tuple[Point, ...]
    pointer: str = ""
    words: str = ""
    thing: str = ""
    on: tuple[str, ...] = ()

    def seen(self, view: View) -> Outline | None:
        """Its points in a view; ``None`` where one of them is not known there."""
        points = [view.see(point) for point in self.points]
        known = tuple(point for point in points if point is not None)
        return Outline(known, False) if len(known) == len(points) else None


class Spot(NamedTuple):
    """The place of a part of the spec that has no shape of its own."""

    pointer: str
    at: Point


class Label(NamedTuple):
    """Words beside a point, on the pictures named."""

    lines: tuple[str, ...]
    at: Point
    on: tuple[str, ...]
    centered: bool = False
    """whether the words may lie on the point itself, such as a name within its outline"""


class Arrow(NamedTuple):
    """A force on a thing: where it acts, which way it points in its picture, and its words."""

    words: str
    at: Point
    toward: Flat
    on: tuple[str, ...]


class Dimension(NamedTuple):
    """A measure between two points with its name, in a lane outside one edge of a picture."""

    words: str
    start: Point
    end: Point
    edge: Literal["left", "right", "below", "above"]
    lane: int
    on: tuple[str, ...]


@dataclass(slots=True)
class Scene:
    """Everything that drawings show of one job."""

    shapes: list[Solid | Line] = field(default_factory=list)
    spots: list[Spot] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    dimensions: list[Dimension] = field(default_factory=list)
    arrows: list[Arrow] = field(default_factory=list)
    says: list[tuple[str, tuple[str, ...]]] = field(default_factory=list)
    """what a drawing shows, a sentence each with the pictures it is for, for those who cannot see it"""

    def spot(self, pointer: str, x: float | None, y: float | None, z: float | None) -> None:
        """Note where a part of the spec is."""
        self.spots.append(Spot(pointer, (x, y, z)))

    def say(self, sentence: str, *on: str) -> None:
        """Add a sentence to the descriptions of some pictures."""
        self.says.append((sentence, on))


def circle(across: float, up: float, radius: float) -> tuple[Flat, ...]:
    """A circle as a profile.

    >>> len(circle(0.0, 0.0, 1.0)), circle(2.0, 1.0, 0.5)[0]
    (24, (2.5, 1.0))
    """
    turns = (step * math.pi / 12 for step in range(24))
    return tuple((across + radius * math.cos(turn), up + radius * math.sin(turn)) for turn in turns)


def rectangle(points: Iterable[Flat]) -> tuple[float, float, float, float]:
    """The limits of some points: left, low, right, high.

    >>> rectangle([(1.0, 5.0), (3.0, 2.0)])
    (1.0, 2.0, 3.0, 5.0)
    """
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)
