"""What the moving door sweeps: the free height, depth and play that it needs.

A section is a rectangle: its inner face stands ``stand_off`` outside the line through its two rollers, its outer face
one thickness further out; it runs from its lower to its upper joint, and at the ends of the door beyond the last
roller to the door's edge. Frame and rollers are those of ``doorlint.mechanics.rolling``; distances into the room are
counted from the inside wall face, ``wall`` outside the roller line of the vertical track. Section 1 is the bottom one.

How the highest point is found without trying every position. While a section turns it rotates about
the point where the path normals at its two rollers meet. That point lies on the room side, so

* the top edge moves outward everywhere: over a fixed distance it rises until its outdoor corner arrives;
* of the outdoor face the part ahead of the foot of that point sinks, the part behind it rises, and the
  foot runs from the lower roller to the upper one: over a fixed distance the face first sinks, then rises.

So at every distance from the wall the door is highest when an outdoor corner passes there, or when it
stands closed or open. A corner between the rollers only ever climbs; the corner beyond the top roller
has a crest, and so has every corner where the track falls toward the back.

A top section on a guide of its own, or tilted from the line through its rollers, obeys none of this: it is followed in
steps, and closed in on where it comes highest.

Source: derived; rigid sections on the roller path.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import chain
from typing import Final

from doorlint.mechanics.corner_motion import Reach, crests, motion, root
from doorlint.mechanics.outline import (
    BOTTOM,
    EDGE,
    FACE,
    TOP,
    Corner,
    Outline,
    drawn,
    edges_of,
    outdoor_corners,
    outlines,
)
from doorlint.mechanics.rolling import Door, Path, ahead, path_height, spot, trace
from doorlint.mechanics.travel import travel_at
from doorlint.named_tuple import NamedTuple

MICRON = 1e-6  # m; differences below it are of no account


class Highest(NamedTuple):
    """The highest that the door reaches: ``height`` above the opening height (m), at which ``travel``
    from closed and ``distance`` from the inside wall face (m), by which ``section`` and ``part`` of it."""

    height: float
    travel: float
    distance: float
    section: int
    part: str


class Kick(NamedTuple):
    """The bottom outdoor corner farthest out past the closed face, and how far it is below the header then (m)."""

    outward: float
    travel: float
    below: float


class Inside(NamedTuple):
    """The nearest that the door comes to the center of its curve."""

    radius: float
    """what it leaves free about the center (m), negative where it reaches past it"""
    travel: float
    section: int


FOLLOWED: Final = 64
"""Steps in which a top section with a guide of its own is followed from closed to open."""
CLOSED_IN: Final = 40
"""Steps of the search around the highest of them: each leaves 0.62 of the range."""
GOLDEN: Final = (math.sqrt(5.0) - 1.0) / 2.0


class Sweep:
    """A door on its path with the thickness it sweeps, from closed to ``open_at``.

    ``stand_offs`` of the sections (m, roller line to inner face, outward positive), ``thickness`` (m),
    ``wall`` roller line to the inside wall face (m), ``opening_height`` (m), ``open_at`` the travel of
    the open door (m). The other attributes follow: ``closed_s`` and ``open_s`` path coordinates of the
    rollers, ``closed`` and ``opened`` outlines, the outdoor ``corners``, and the ``crests`` where one of them
    stops climbing and sinks.

    Raises ValueError when stand-offs and sections differ in number.

    >>> door = Door((0.5,) * 4, (300.0,) * 4, 0.1, 0.1)
    >>> sweep = Sweep(Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.05, 2.0, 1.95)
    >>> sweep.closed[0]
    ((0.0, 0.0), (-0.04, 0.0), (-0.04, 0.5), (0.0, 0.5))
    """

    __slots__ = (
        "closed", "closed_s", "corners", "crests", "door", "open_at", "open_s", "opened", "opening_height", "path",
        "stand_offs", "thickness", "wall", "wandering",
    )  # fmt: skip

    def __init__(
        self,
        path: Path,
        door: Door,
        stand_offs: tuple[float, ...],
        thickness: float,
        wall: float,
        opening_height: float,
        open_at: float,
    ) -> None:
        if len(stand_offs) != len(door.heights):
            raise ValueError(f"{len(stand_offs)} stand-offs for {len(door.heights)} sections")
        closed, opened = trace(path, door, 0.0), trace(path, door, open_at)
        self.path: Final = path
        self.door: Final = door
        self.stand_offs: Final = stand_offs
        self.thickness: Final = thickness
        self.wall: Final = wall
        self.opening_height: Final = opening_height
        self.open_at: Final = open_at
        self.closed_s: Final = closed.s
        self.open_s: Final = opened.s
        edges = edges_of(door)
        self.closed: Final = drawn(door, edges, stand_offs, thickness, closed)
        self.opened: Final = drawn(door, edges, stand_offs, thickness, opened)
        self.corners: Final = outdoor_corners(door, edges, stand_offs, thickness)
        self.wandering: Final = len(door.heights) if path.upper is not None or door.tilt else 0
        """number of the section that must be followed in steps; 0 where there is none"""
        crested = [
            crests(path, corner, self.closed_s[corner[0] - 1], self.open_s[corner[0] - 1])
            for corner in self.corners
            if corner[0] != self.wandering and (path.slope < 0.0 or corner[2] > corner[1])
        ]
        self.crests: Final = tuple(chain.from_iterable(crested))

    def __repr__(self) -> str:
        return f"Sweep({self.path!r}, {self.door!r}, {self.stand_offs!r}, thickness={self.thickness!r})"


def headroom(sweep: Sweep) -> Highest:
    """The highest that any corner of the door reaches on its way.

    On a level track that is the top section's outdoor corner while it tips over: at most the roller line
    of the track plus the diagonal from the top roller to that corner, and that much when the top roller
    has left the curve by then.

    >>> door = Door((0.5,) * 4, (300.0,) * 4, 0.1, 0.03)
    >>> best = headroom(Sweep(Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.05, 2.0, 1.95))
    >>> round(best.height, 6), best.section, best.part
    (0.2, 4, 'top outdoor corner')
    """
    reaches = list(sweep.crests)
    for pose, rollers in ((sweep.closed, sweep.closed_s), (sweep.opened, sweep.open_s)):
        for section, ((_, (low_y, low_z), (y, z), _), s) in enumerate(zip(pose, rollers, strict=False), start=1):
            reaches.append((z, y, section, TOP, s) if z >= low_z else (low_z, low_y, section, BOTTOM, s))
    reaches += _followed(sweep, -math.inf, math.inf)
    return _highest(sweep, max(reaches))


def free_height(sweep: Sweep, near: float, far: float) -> Highest | None:
    """The highest that the door reaches anywhere between two distances from the inside wall face (m).

    What hangs over the door from ``near`` to ``far`` must stay above it. None when no part of the door
    ever comes there.

    >>> door = Door((0.5,) * 4, (300.0,) * 4, 0.1, 0.03)
    >>> sweep = Sweep(Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.05, 2.0, 1.95)
    >>> best = free_height(sweep, 0.1, 0.2)
    >>> round(best.height, 6), round(best.distance, 6), best.part
    (0.165902, 0.2, 'top outdoor corner')
    >>> free_height(sweep, 3.0, 3.2) is None
    True
    """
    first, last = near - sweep.wall, far - sweep.wall
    reaches = _standing(sweep.opened, sweep.open_s, first, last)
    reaches += _standing(sweep.closed, sweep.closed_s, first, last)
    reaches += _followed(sweep, first, last)
    reaches += _passing(sweep, first, last, max(reaches)[0] if reaches else -math.inf)
    return _highest(sweep, max(reaches)) if reaches else None


def envelope(sweep: Sweep, distances: Iterable[float]) -> tuple[float | None, ...]:
    """Height above the opening height (m) that the door reaches at each distance from the wall (m).

    None where it never comes. For drawings; ``free_height`` at a single distance.

    >>> door = Door((0.5,) * 4, (300.0,) * 4, 0.1, 0.03)
    >>> sweep = Sweep(Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.05, 2.0, 1.95)
    >>> [None if height is None else round(height, 3) for height in envelope(sweep, (0.0, 0.4, 4.0))]
    [0.034, 0.2, None]
    """
    found = (free_height(sweep, distance, distance) for distance in distances)
    return tuple(None if highest is None else highest.height for highest in found)


def outward_kick(sweep: Sweep, nearer: float = 0.0) -> Kick:
    """How far the bottom outdoor corner swings out past the closed face, toward the jamb.

    ``nearer`` is how much nearer to the roller line the bottom edge stands than the section counts (m).

    It does so while the first section leans into the curve about its bottom roller, and returns; with
    the roller still in the vertical track it swings out by the diagonal from roller to corner.

    >>> door = Door((0.5,) * 4, (300.0,) * 4, 0.08, 0.03)
    >>> kick = outward_kick(Sweep(Path(1.85, 0.3), door, (0.02,) * 4, 0.04, 0.1, 2.0, 1.95))
    >>> round(kick.outward, 6), round(kick.below, 6)
    (0.039134, 0.150195)
    """
    section, spacing, along, out, part = sweep.corners[0]
    corner = (section, spacing, along, out - nearer, part)
    s = _farthest_out(sweep, corner)
    y, z, _, _ = motion(sweep.path, corner, s)
    return Kick(max(-y - corner[3], 0.0), s - sweep.door.bottom_roller, sweep.opening_height - z)


def depth(sweep: Sweep) -> float:
    """How far the open door reaches into the room: inside wall face to its back end (m).

    >>> door = Door((0.5,) * 4, (300.0,) * 4, 0.1, 0.03)
    >>> round(depth(Sweep(Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.05, 2.0, 1.95)), 3)
    1.997
    """
    return max(y for outline in sweep.opened for y, _ in outline) + sweep.wall


def inside_curve(sweep: Sweep, struts: Sequence[float]) -> Inside | None:
    """How much room the turning door leaves about the centre of its curve.

    ``struts`` says how far a strut stands off the inner face of each section toward the room (m; 0
    without one), taken to be where the section comes nearest: half way between its rollers. None for a
    track that never turns.

    A section comes nearest when it stands evenly across the curve: with both rollers on the arc at
    sqrt(R^2 - (d/2)^2), with both beyond it at R / cos(arc/2) - d/2 tan(arc/2).

    >>> door = Door((0.5,) * 4, (300.0,) * 4, 0.0, 0.0)
    >>> sweep = Sweep(Path(1.85, 0.3), door, (0.02,) * 4, 0.04, 0.1, 2.0, 1.95)
    >>> inside = inside_curve(sweep, (0.0, 0.06, 0.0, 0.0))
    >>> round(inside.radius, 6), inside.section
    (0.134264, 2)
    """
    path = sweep.path
    if path.tangent == math.inf:
        return None
    tangent, radius, half = path.tangent, path.radius, path.arc / 2
    chord, cut, across = 2 * radius * math.sin(half), radius * math.tan(half), 2 * math.cos(half)
    nearest = []
    sections = zip(sweep.door.spacings, sweep.closed_s, sweep.open_s, sweep.stand_offs, struts, strict=False)
    for section, (spacing, low, high, stand_off, strut) in enumerate(sections, start=1):
        if spacing <= chord:
            even = tangent + radius * (half - math.asin(spacing / (2 * radius)))
        else:
            even = tangent - (spacing / across - cut)
        s = min(max(even, low), high)
        _, y, z, _, _ = below = spot(path, s)
        _, above_y, above_z, _, _ = ahead(path, below, spacing)
        room = ((radius - y) * (above_z - z) - (tangent - z) * (above_y - y)) / spacing
        nearest.append((room + stand_off - strut, section, s))
    room, section, s = min(nearest)
    return Inside(room, travel_at(path, sweep.door, section - 1, s), section)


def _highest(sweep: Sweep, reach: Reach) -> Highest:
    z, y, section, part, s = reach
    travel = travel_at(sweep.path, sweep.door, section - 1, s)
    return Highest(z - sweep.opening_height, travel, y + sweep.wall, section, part)


def _standing(pose: Sequence[Outline], rollers: Sequence[float], first: float, last: float) -> list[Reach]:
    """What the upper outline of the standing door reaches between ``first`` and ``last``."""
    reaches = []
    for section, (outline, s) in enumerate(zip(pose, rollers, strict=False), start=1):
        _, low, top, back = outline
        for start, end, part in ((low, top, FACE), (top, back, EDGE)):
            left, right = (start, end) if start[0] <= end[0] else (end, start)
            if right[0] < first or left[0] > last:
                continue
            rise = (right[1] - left[1]) / (right[0] - left[0]) if right[0] > left[0] else 0.0
            if left[0] < first:
                left = (first, left[1] + rise * (first - left[0]))
            if right[0] > last:
                right = (last, right[1] + rise * (last - right[0]))
            for y, z in (left, right):
                name = BOTTOM if (y, z) == low else TOP if (y, z) == top else part
                reaches.append((z, y, section, name, s))
    return reaches


def _passing(sweep: Sweep, first: float, last: float, found: float) -> list[Reach]:
    """What the outdoor corners reach between ``first`` and ``last`` on their way, where above ``found``.

    A corner climbs as it goes back, so it is highest where it leaves the interval at ``last``; one with
    a crest may also be so there, or where it enters. Between the rollers no corner passes the line that
    runs ``out`` outside the roller path, nor its own height with the door open: most need no solving.
    """
    path = sweep.path
    reaches = [crest for crest in sweep.crests if first <= crest[1] <= last]
    solved: dict[tuple[float, float, float, float], tuple[float, float]] = {}
    for corner in reversed(sweep.corners):
        if corner[0] == sweep.wandering:
            continue
        section, spacing, along, out, part = corner
        point = 1 if part == BOTTOM else 2
        start, end = sweep.closed[section - 1][point], sweep.opened[section - 1][point]
        between = 0.0 <= along <= spacing
        has_crest = along > spacing or path.slope < 0.0
        for y in (last, first) if has_crest else (last,):
            low, high = sweep.closed_s[section - 1], sweep.open_s[section - 1]
            if end[0] <= y or (start[0] > y and along >= 0.0):
                continue  # it never leaves there, and the closed and the open door are looked at by themselves
            if not has_crest and end[1] <= found + MICRON:
                continue
            if between and (path_height(path, y, out) or 0.0) <= found + MICRON:
                continue
            if start[0] > y:  # the bottom corner, which first swings out
                low = _farthest_out(sweep, sweep.corners[0])
                if motion(path, corner, low)[0] > y:
                    continue
            key = (spacing, along, out, y)
            if key not in solved:
                solved[key] = _leaving(path, corner, low, high, y)
            z, s = solved[key]
            found = max(found, z)
            reaches.append((z, y, section, part, s))
    return reaches


def _followed(sweep: Sweep, first: float, last: float) -> list[Reach]:
    """The highest that a section with its own way reaches between ``first`` and ``last``, closed in on from steps."""
    if not sweep.wandering:
        return []
    place = sweep.wandering - 1
    low, high = sweep.closed_s[place], sweep.open_s[place]

    def reach(s: float) -> Reach:
        travel = travel_at(sweep.path, sweep.door, place, s)
        pose = outlines(sweep.path, sweep.door, sweep.stand_offs, sweep.thickness, travel)[place:]
        return max(
            ((z, y, sweep.wandering, part, s) for z, y, _, part, _ in _standing(pose, (s,), first, last)),
            default=(-math.inf, 0.0, sweep.wandering, TOP, s),
        )

    step = (high - low) / FOLLOWED
    seen = [reach(low + step * number) for number in range(FOLLOWED + 1)]
    best = max(seen)
    if best[0] == -math.inf:
        return []
    left, right = max(best[4] - step, low), min(best[4] + step, high)
    for _ in range(CLOSED_IN):
        inner, outer = reach(right - GOLDEN * (right - left)), reach(left + GOLDEN * (right - left))
        left, right = (left, outer[4]) if inner[0] > outer[0] else (inner[4], right)
        best = max(best, inner, outer)
    return [best]


def _leaving(path: Path, corner: Corner, low: float, high: float, y: float) -> tuple[float, float]:
    """Height of the corner as it goes back past ``y``, and its lower roller's coordinate; Newton in a bracket."""
    s, z = high, 0.0
    for _ in range(64):
        at, z, run, climb = motion(path, corner, s)
        if at <= y:
            low = s
        else:
            high = s
        step = s - (at - y) / run if run > 0.0 else math.inf
        if not low <= step <= high:
            step = (low + high) / 2
        move, s = step - s, step
        if abs(move) * (1.0 + climb) < MICRON:
            return z + move * climb, s
    return z, s


def _farthest_out(sweep: Sweep, corner: Corner) -> float:
    """Coordinate of the bottom roller that puts the bottom outdoor corner farthest out."""
    path = sweep.path
    low, high = sweep.closed_s[0], sweep.open_s[0]
    _, spacing, along, out, _ = corner
    bottom = -along
    if path.tangent == math.inf or bottom <= 0.0:
        return low
    lean = math.atan2(out, bottom)  # of the section when roller and corner are level with the floor
    run = spacing * math.cos(lean)
    height = path_height(path, run)
    assert height is not None  # the upper roller is on the room side of the roller line
    s = height - spacing * math.sin(lean)
    if s > path.tangent:  # the bottom roller is in the curve by then
        s = high
        turned_out, turned_in = (motion(path, corner, at)[2] for at in (path.tangent, high))
        if turned_out < 0.0 < turned_in:
            s = root(lambda at: motion(path, corner, at)[2], path.tangent, turned_out, high, turned_in)
    return min(max(s, low), high)
