"""Where the corners of every section stand.

A section is a rectangle: its inner face stands ``stand_off`` outside the line through its two rollers, its outer face
one thickness further out. It runs from its lower to its upper joint, and at the ends of the door beyond the last roller
to the door's edge. A top section whose bracket holds its roller inward leans outward of that line.

Source: derived; rigid sections on the roller path.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeAlias

from doorlint.mechanics.rolling import Door, Path, Trace, trace

Point: TypeAlias = tuple[float, float]
"""y into the room from the roller line, z up from the finished floor (m)."""

BOTTOM = "bottom outdoor corner"
TOP = "top outdoor corner"
FACE = "outdoor face"
EDGE = "top edge"

Outline: TypeAlias = tuple[Point, Point, Point, Point]
"""The corners of a section in order round it: bottom indoor, bottom outdoor, top outdoor, top indoor."""

Corner: TypeAlias = tuple[int, float, float, float, str]
"""An outdoor corner as the section carries it: section, distance of its rollers, how far the corner lies along
it from the lower roller and out from the roller line (m), its name."""


def outlines(
    path: Path, door: Door, stand_offs: Sequence[float], thickness: float, travel: float
) -> tuple[Outline, ...]:
    """Corners of all sections at ``travel`` (m) from closed, bottom section first.

    >>> door = Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> outlines(Path(2.0, 0.3), door, (0.0, 0.0), 0.04, 0.25)[1]
    ((0.0, 0.75), (-0.04, 0.75), (-0.04, 1.25), (0.0, 1.25))
    """
    return drawn(door, edges_of(door), stand_offs, thickness, trace(path, door, travel))


def edges_of(door: Door) -> list[tuple[float, float]]:
    """How far the lower and the upper edge of each section lie along it from its lower roller (m)."""
    edges = [(0.0, spacing) for spacing in door.spacings]
    edges[0] = (-door.bottom_roller, edges[0][1])
    edges[-1] = (edges[-1][0], edges[-1][1] + door.top_roller)
    return edges


def drawn(
    door: Door, edges: Sequence[tuple[float, float]], stand_offs: Sequence[float], thickness: float, stand: Trace
) -> tuple[Outline, ...]:
    corners = []
    below_y, below_z = stand.y[0], stand.z[0]
    sections = zip(door.spacings, edges, stand_offs, stand.y[1:], stand.z[1:], strict=True)
    top = len(door.spacings)
    for section, (spacing, (low, high), inner, above_y, above_z) in enumerate(sections, start=1):
        up_y, up_z = (above_y - below_y) / spacing, (above_z - below_z) / spacing
        if section == top and door.tilt:
            up_y, up_z = _turned(up_y, up_z, door.tilt)
        outer = inner + thickness
        low_y, low_z = below_y + low * up_y, below_z + low * up_z
        high_y, high_z = below_y + high * up_y, below_z + high * up_z
        corners.append(
            (
                (low_y - inner * up_z, low_z + inner * up_y),
                (low_y - outer * up_z, low_z + outer * up_y),
                (high_y - outer * up_z, high_z + outer * up_y),
                (high_y - inner * up_z, high_z + inner * up_y),
            )
        )
        below_y, below_z = above_y, above_z
    return tuple(corners)


def _turned(along: float, out: float, angle: float) -> tuple[float, float]:
    """A direction turned outward by an angle."""
    return along * math.cos(angle) - out * math.sin(angle), along * math.sin(angle) + out * math.cos(angle)


def outdoor_corners(
    door: Door, edges: Sequence[tuple[float, float]], stand_offs: Sequence[float], thickness: float
) -> tuple[Corner, ...]:
    """The outdoor corners of every section, from the bottom up."""
    corners: list[Corner] = []
    sections = zip(door.spacings, edges, stand_offs, strict=True)
    for section, (spacing, (low, high), inner) in enumerate(sections, start=1):
        outer = inner + thickness
        corners += (section, spacing, low, outer, BOTTOM), (section, spacing, high, outer, TOP)
    return tuple(corners)
