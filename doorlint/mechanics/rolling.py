"""The door on its track: where every roller is, and how hard the door pulls down.

The frame: z up from the finished floor, y into the room from the roller line of the vertical track.
The **path** of the roller centres is a vertical line up to the tangent point, an arc, and a straight
line that rises at the slope of the horizontal track. Along it runs the coordinate s, which is z on the
vertical part. The **rollers** are numbered from the bottom: 0 near the bottom edge, k at the joint of
sections k and k+1, n near the top edge. Consecutive rollers keep their straight-line distance, so the
whole door follows from the place of its bottom roller: one degree of freedom, the **travel** x of the
bottom roller along the path from the closed door.

The weight of a section acts at mid-height on the line through its two rollers. That is the same as
splitting it to the two rollers by the lever rule, so the door is n+1 loads on the path:
U = sum(load z) and F = dU/dx = sum(load dz/dx). Friction is left out; both sides are taken together;
F is positive when the door pulls down.

A low-headroom door has a second guide, which only the **top roller** rides. Its bracket may hold that
roller inward of the top section: then the section leans outward of the line through its two rollers,
and its weight also moves as that line turns. The share that does so is the door's **sway**: it adds
sway (y of the top roller - y of the roller below it) to U.

Source: derived; statics of rigid sections that hang from their rollers.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from operator import mul
from typing import Final

from doorlint.errors import ImpossibleInput
from doorlint.mechanics.upper_guide import Spot, UpperGuide
from doorlint.named_tuple import NamedTuple

CLOSEST: Final = 1e-6
"""Rollers of a section that are closer than this (m) fall together: the direction between them would be chance."""


class RollerAdrift(ImpossibleInput):
    """A section cannot reach from one guide to the other: its top roller would leave its guide."""


class DoorLocked(ImpossibleInput):
    """A section stands square to the guide of its upper roller: nothing can push it on."""


class Path:
    """The line the roller centers follow.

    ``tangent`` height above the floor where the curve begins (m; ``math.inf`` for vertical lift, whose
    track never turns), ``radius`` of the curve (m, to the roller centres), ``slope`` rise per run of
    the straight track behind it, positive toward the back. The other attributes follow from these:
    ``arc`` the angle of the curve (rad), ``arc_end`` the coordinate of its end (m), ``end_y`` and
    ``end_z`` that point, ``cos`` and ``sin`` the direction of the straight track. ``upper`` is the guide of the top
    roller alone, where it has one.

    Raises ValueError for a curve without radius.

    >>> path = Path(tangent=2.0, radius=0.3)
    >>> round(path.arc_end, 6), round(path.end_y, 6), round(path.end_z, 6)
    (2.471239, 0.3, 2.3)
    """

    __slots__ = ("arc", "arc_end", "cos", "end_y", "end_z", "radius", "sin", "slope", "tangent", "upper")

    def __init__(
        self, tangent: float, radius: float = 0.0, slope: float = 0.0, upper: UpperGuide | None = None
    ) -> None:
        turn = radius
        if tangent == math.inf:
            arc, cos, sin, turn = 0.0, 0.0, 1.0, 0.0
        else:
            if radius <= 0.0:
                raise ValueError(f"radius of the curve is {radius} m; it must be more than 0")
            cos = 1.0 / math.hypot(1.0, slope)
            sin = cos * slope
            arc = math.pi / 2 - math.atan(slope)
        self.tangent: Final = tangent
        self.radius: Final = radius
        self.slope: Final = slope
        self.arc: Final = arc
        self.arc_end: Final = tangent + turn * arc
        self.end_y: Final = turn * (1.0 - sin)
        self.end_z: Final = tangent + turn * cos
        self.cos: Final = cos
        self.sin: Final = sin
        self.upper: Final = upper

    def __repr__(self) -> str:
        return f"Path(tangent={self.tangent!r}, radius={self.radius!r}, slope={self.slope!r})"


class Door:
    """The sections from the bottom, and where the end rollers sit.

    ``heights`` (m) and ``weights`` (N) of the sections; ``bottom_roller`` above the door's bottom edge,
    ``top_roller`` below its top edge (m; 0 allowed, negative above it), and ``top_inward`` how far the top roller
    stands inward of the section line (m). The other attributes follow: ``spacings`` (n) of consecutive rollers (m),
    ``loads`` (n+1) the part of the weights that each roller carries by the lever rule (N, both sides together),
    ``tilt`` how far the top section leans outward of the line through its rollers (rad), and ``sway`` the part of its
    weight that moves with the turning of that line (N).

    Raises ValueError when there is no section, heights and weights differ in number, or the rollers of
    a section fall together.

    >>> door = Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0)
    >>> [round(spacing, 6) for spacing in door.spacings], [round(load, 6) for load in door.loads]
    ([0.4, 0.5], [187.5, 262.5, 150.0])
    """

    __slots__ = (
        "bottom_roller", "heights", "loads", "spacings", "sway", "tilt", "top_inward", "top_roller", "weights",
    )  # fmt: skip

    def __init__(
        self,
        heights: tuple[float, ...],
        weights: tuple[float, ...],
        bottom_roller: float,
        top_roller: float,
        top_inward: float = 0.0,
    ) -> None:
        if not heights or len(heights) != len(weights):
            raise ValueError(f"{len(heights)} heights and {len(weights)} weights; each section needs both")
        spacings = list(heights)
        spacings[0] -= bottom_roller
        spacings[-1] -= top_roller
        middles = [height / 2 for height in heights]  # mid-height above the section's lower roller
        middles[0] -= bottom_roller
        straight = spacings[-1]
        if straight < CLOSEST:
            raise ValueError(f"the rollers of section {len(heights)} fall together; the section must be higher")
        tilt = math.atan2(top_inward, straight)
        spacings[-1] = math.hypot(straight, top_inward) if top_inward else straight
        aside = middles[-1] / spacings[-1] * math.sin(tilt)
        middles[-1] *= math.cos(tilt)
        loads = [0.0] * (len(heights) + 1)
        for k, (spacing, middle, weight) in enumerate(zip(spacings, middles, weights, strict=True)):
            if spacing < CLOSEST:
                raise ValueError(f"the rollers of section {k + 1} fall together; the section must be higher")
            upper = weight * middle / spacing
            loads[k] += weight - upper
            loads[k + 1] += upper
        self.heights: Final = heights
        self.weights: Final = weights
        self.bottom_roller: Final = bottom_roller
        self.top_roller: Final = top_roller
        self.top_inward: Final = top_inward
        self.tilt: Final = tilt
        self.sway: Final = weights[-1] * aside
        self.spacings: Final = tuple(spacings)
        self.loads: Final = tuple(loads)

    def __repr__(self) -> str:
        return f"Door({self.heights!r}, {self.weights!r}, {self.bottom_roller!r}, {self.top_roller!r})"


class Trace(NamedTuple):
    """All rollers, bottom one first: coordinate ``s`` along the guide, point ``y``, ``z`` (m) and ``climb`` = dz/dx;
    ``turn`` is how fast the top roller moves into the room from the one below it (dy/dx)."""

    s: tuple[float, ...]
    y: tuple[float, ...]
    z: tuple[float, ...]
    climb: tuple[float, ...]
    turn: float = 0.0


def spot(path: Path, s: float) -> Spot:
    """Point and unit tangent of the path at coordinate ``s`` (m).

    >>> spot(Path(2.0, 0.3), 1.5)
    (1.5, 0.0, 1.5, 0.0, 1.0)
    """
    tangent = path.tangent
    if s <= tangent:
        return (s, 0.0, s, 0.0, 1.0)
    if s < path.arc_end:
        radius = path.radius
        turned = (s - tangent) / radius
        sin, cos = math.sin(turned), math.cos(turned)
        return (s, radius * (1.0 - cos), tangent + radius * sin, sin, cos)
    run = s - path.arc_end
    return (s, path.end_y + run * path.cos, path.end_z + run * path.sin, path.cos, path.sin)


def ahead(path: Path, here: Spot, distance: float) -> Spot:
    """The place on the path further on that lies a straight-line ``distance`` (m) from ``here``.

    Closed form for every pair of parts the two ends can lie on.

    >>> path = Path(2.0, 0.3)
    >>> s, y, z, _, _ = ahead(path, spot(path, 1.9), 0.5)  # from the vertical over the whole curve
    >>> round(y, 6), round(z, 6), round(math.hypot(y, z - 1.9), 6)
    (0.3, 2.3, 0.5)
    """
    s, y, z, _, _ = here
    tangent = path.tangent
    if s + distance <= tangent:
        s += distance
        return (s, 0.0, s, 0.0, 1.0)
    arc_end = path.arc_end
    if s >= arc_end:
        cos, sin = path.cos, path.sin
        return (s + distance, y + distance * cos, z + distance * sin, cos, sin)
    to_end_y, to_end_z = path.end_y - y, path.end_z - z
    short = distance * distance - to_end_y * to_end_y - to_end_z * to_end_z
    if short >= 0.0:  # the end of the arc is nearer: on the straight line, |end + run (cos, sin)| = distance
        cos, sin = path.cos, path.sin
        along = to_end_y * cos + to_end_z * sin
        run = short / (along + math.sqrt(along * along + short)) if short else 0.0
        return (arc_end + run, path.end_y + run * cos, path.end_z + run * sin, cos, sin)
    radius = path.radius
    if s < tangent:  # from the vertical to the arc, by the tangent of half the angle turned
        below = tangent - s
        excess = distance * distance - below * below
        half = excess / (2.0 * radius * below + math.sqrt(4.0 * (radius * distance) ** 2 - excess * excess))
        turned = 2.0 * math.atan(half)
    else:
        turned = (s - tangent) / radius + 2.0 * math.asin(distance / (2.0 * radius))
    sin, cos = math.sin(turned), math.cos(turned)
    return (tangent + radius * turned, radius * (1.0 - cos), tangent + radius * sin, sin, cos)


def behind(path: Path, here: Spot, distance: float) -> Spot:
    """The place on the path further back that lies a straight-line ``distance`` (m) from ``here``.

    >>> path = Path(2.0, 0.3)
    >>> round(behind(path, spot(path, path.arc_end), 0.5)[0], 6)
    1.9
    """
    s, y, z, _, _ = here
    tangent, arc_end = path.tangent, path.arc_end
    if s <= tangent or s - arc_end >= distance:
        return spot(path, s - distance)
    radius = path.radius
    above = z - tangent
    if y * y + above * above <= distance * distance:  # the tangent point is nearer: on the vertical
        s = z - math.sqrt(distance * distance - y * y)
        return (s, 0.0, s, 0.0, 1.0)
    if s <= arc_end:
        turned = (s - tangent) / radius - 2.0 * math.asin(distance / (2.0 * radius))
    else:  # from the straight line to the arc: the mirror image of the vertical to the arc
        run = s - arc_end
        excess = distance * distance - run * run
        half = excess / (2.0 * radius * run + math.sqrt(4.0 * (radius * distance) ** 2 - excess * excess))
        turned = path.arc - 2.0 * math.atan(half)
    return spot(path, tangent + radius * turned)


def gain(here: Spot, there: Spot) -> float:
    """How far the upper roller of a rigid section runs for each metre its lower roller runs.

    The section keeps its length, so both rollers have the same speed along the line that joins them.

    >>> path = Path(2.0, 0.3)
    >>> low = spot(path, 1.0)
    >>> gain(low, ahead(path, low, 0.5))
    1.0
    """
    _, low_y, low_z, low_ty, low_tz = here
    _, high_y, high_z, high_ty, high_tz = there
    chord_y, chord_z = high_y - low_y, high_z - low_z
    across = chord_y * high_ty + chord_z * high_tz
    if across == 0.0:
        raise DoorLocked("a section stands square to its guide")
    return (chord_y * low_ty + chord_z * low_tz) / across


def spots(path: Path, door: Door, travel: float) -> list[Spot]:
    """Where every roller stands at ``travel`` (m) from closed, bottom one first, with its guide's direction there.

    >>> [s for s, *_ in spots(Path(2.0, 0.3), Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0), 0.25)]
    [0.375, 0.75, 1.25]
    """
    here = spot(path, door.bottom_roller + travel)
    found = [here]
    own = len(door.spacings) if path.upper is not None else 0  # the number of the section whose top roller has its own
    for number, spacing in enumerate(door.spacings, start=1):
        here = next_roller(path.upper, here, spacing) if number == own and path.upper else ahead(path, here, spacing)
        found.append(here)
    return found


def trace(path: Path, door: Door, travel: float) -> Trace:
    """Every roller at ``travel`` (m) from closed: place and rate of climb.

    >>> trace(Path(2.0, 0.3), Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0), 0.25)
    Trace(s=(0.375, 0.75, 1.25), y=(0.0, 0.0, 0.0), z=(0.375, 0.75, 1.25), climb=(1.0, 1.0, 1.0), turn=0.0)
    """
    places = spots(path, door, travel)
    tangent, arc_end = path.tangent, path.arc_end
    climb, rate, turn = [places[0][4]], 1.0, 0.0
    top = len(door.spacings)
    for number, (here, there) in enumerate(pairwise(places), start=1):
        own = number == top and path.upper is not None
        before = rate
        if own or (there[0] > tangent and here[0] < arc_end):  # on one straight line rollers keep pace
            rate *= gain(here, there)
        if number == top:
            turn = rate * there[3] - before * here[3]
        climb.append(rate * there[4])
    s, y, z, _, _ = zip(*places, strict=True)
    return Trace(s, y, z, tuple(climb), turn)


def next_roller(guide: UpperGuide, here: Spot, spacing: float) -> Spot:
    """The place of the top roller on its own guide, ``spacing`` (m) from the roller below it.

    Raises :class:`RollerAdrift` where the guide is out of reach.

    >>> guide = UpperGuide(0.0, 2.1, 0.3, 0.0, 0.0)
    >>> round(next_roller(guide, (1.0, 0.0, 1.0, 0.0, 1.0), 0.5)[2], 6)
    1.5
    """
    there = guide.last(here[1], here[2], spacing)
    if there is None:
        raise RollerAdrift("the top section does not reach its upper guide")
    return there


def pull(path: Path, door: Door, travel: float) -> float:
    """F = dU/dx: the force along the track at the bottom roller that holds the door (N, down positive).

    >>> door = Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> pull(Path(2.0, 0.3), door, 0.0)
    600.0

    With joint 1|2 at the end of a level curve the top section lies flat, and the bottom section, whose
    roller is still in the vertical track, hangs with the part its bottom roller carries: 2/3 of it.

    >>> path = Path(2.0, 0.2)
    >>> round(pull(path, door, 1.757786), 3)
    200.0
    """
    if path.upper is not None or door.sway:
        moving = trace(path, door, travel)
        return held(door, moving.climb, moving.turn)
    # As `held` of `trace`, but only the rollers about the curve are worked out: a review asks some forty times.
    tangent, arc_end, loads, spacings = path.tangent, path.arc_end, door.loads, door.spacings
    s, last = door.bottom_roller + travel, len(spacings)
    force, number = 0.0, 0
    while s <= tangent:  # hanging straight
        force += loads[number]
        if number == last:
            return force
        if s + spacings[number] > tangent:
            break
        s += spacings[number]
        number += 1
    here, rate = spot(path, s), 1.0
    if s > tangent:
        force += loads[number] * here[4]
    for above in range(number + 1, last + 1):
        if here[0] >= arc_end:  # all the others run on the straight track at one speed
            return force + rate * path.sin * sum(loads[above:])
        there = ahead(path, here, spacings[above - 1])
        rate *= gain(here, there)
        force += loads[above] * rate * there[4]
        here = there
    return force


def held(door: Door, climb: Sequence[float], turn: float) -> float:
    """F from how fast the rollers climb and the top section's line turns (N).

    >>> held(Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0), (1.0, 1.0, 1.0), 0.0)
    600.0
    """
    force: float = sum(map(mul, door.loads, climb)) + door.sway * turn
    return force


def path_height(path: Path, y: float, outward: float = 0.0) -> float | None:
    """Greatest height (m) of the line ``outward`` (m) outside the roller path, ``y`` (m) into the room.

    Outward is away from the inside of the curve: toward the wall, then upward. It is what the top of
    a track reaches. None where that line does not pass, and for a track that never turns.

    >>> path = Path(2.0, 0.3)
    >>> path_height(path, 1.0, 0.05), path_height(path, 0.0), path_height(path, -0.1, 0.05)
    (2.35, 2.0, None)
    """
    if path.tangent == math.inf or y < -outward:
        return None
    radius = path.radius + outward
    turn = path.radius - y  # how far short of the curve's centre
    if turn > radius * path.sin:
        return path.tangent + math.sqrt(max(radius * radius - turn * turn, 0.0))
    return path.tangent + (radius - turn * path.sin) / path.cos
