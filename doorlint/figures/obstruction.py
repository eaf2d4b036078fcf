"""What stands or hangs in the room, and how much room it leaves to tower, tracks and the far cable.

Each of those takes a block of the room: along the wall x from the left jamb edge, into the room y from
the inside wall face, up z from the finished floor. Two blocks are clear of each other when they are
apart in one of the three directions; the greatest of the three gaps is the free distance, and it is
negative by the least move that would part them when they meet.
"""

from __future__ import annotations

import math
from typing import TypeAlias

from doorlint.figures.kinds import Length, Position, Slope, Text
from doorlint.mechanics import clearance_in_curve, rolling, sweep  # noqa: F401 - the worked examples build a path with rolling

_Block: TypeAlias = tuple[float, float, float, float, float, float]
"""From and to along the wall, into the room and up (m)."""


def _apart(one: _Block, other: _Block) -> float:
    """Greatest gap of two blocks over the three directions; negative where they meet."""
    left, right, near, far, low, high = one
    its_left, its_right, its_near, its_far, its_low, its_high = other
    return max(its_left - right, left - its_right, its_near - far, near - its_far, its_low - high, low - its_high)


def _thing(
    left: float, right: float, from_wall: float, depth: float, underside: float, topside: float | None
) -> _Block:
    return left, right, from_wall, from_wall + depth, underside, math.inf if topside is None else topside


def low(obstruction_underside: Length, opening_floor_rise: Length) -> Position:
    """Its lowest point above the finished floor

    Every height is taken from the floor that is there; what is still laid on it comes off each alike.

    Formula: underside - floor still to come
    Unit: m
    Source: derived; difference of heights

    >>> round(low(4.0, 0.1), 6)
    3.9
    """
    return obstruction_underside - opening_floor_rise


def high(obstruction_topside: Length | None, opening_floor_rise: Length) -> Position | None:
    """Its highest point above the finished floor

    Formula: topside - floor still to come; none for what goes up to the roof
    Unit: m
    Source: derived; difference of heights

    >>> round(high(4.5, 0.1), 6), high(None, 0.1)
    (4.4, None)
    """
    return None if obstruction_topside is None else obstruction_topside - opening_floor_rise


def starts(obstruction_left: Position, opening_jamb_growth: Length) -> Position:
    """Its left end along the wall, from the left edge of the finished opening

    Positions are taken from the jamb edge that is there; the finished one stands further in.

    Formula: left end - jamb still to come
    Unit: m
    Source: derived; difference of positions

    >>> round(starts(3.0, 0.02), 6)
    2.98
    """
    return obstruction_left - opening_jamb_growth


def ends(obstruction_right: Position, opening_jamb_growth: Length) -> Position:
    """Its right end along the wall, from the left edge of the finished opening

    Formula: right end - jamb still to come
    Unit: m
    Source: derived; difference of positions

    >>> round(ends(4.0, 0.02), 6)
    3.98
    """
    return obstruction_right - opening_jamb_growth


def tower_clear(
    obstruction_starts: Position,
    obstruction_ends: Position,
    obstruction_from_wall: Length,
    obstruction_depth: Length,
    obstruction_low: Position,
    obstruction_high: Position | None,
    tower_side: Text,
    tower_jamb_gap: Length,
    room_tower_bay: Length,
    tower_depth: Length,
    tower_height: Length,
    opening_finished_width: Length,
) -> Position:
    """Free distance to the tower

    Formula: greatest gap along the wall, into the room or upward; negative where they meet
    Unit: m
    Source: derived; two blocks

    >>> pipe = {"obstruction_from_wall": 0.1, "obstruction_depth": 0.1, "obstruction_low": 0.0}
    >>> tower = ("right", 0.15, 0.5, 0.3, 4.4, 3.0)  # stands from 3.15 to 3.5 along the wall
    >>> round(tower_clear(3.3, 3.4, *pipe.values(), None, *tower), 6)
    -0.2
    >>> round(tower_clear(3.6, 3.7, *pipe.values(), None, *tower), 6)
    0.1
    """
    thing = _thing(
        obstruction_starts,
        obstruction_ends,
        obstruction_from_wall,
        obstruction_depth,
        obstruction_low,
        obstruction_high,
    )
    near, far = tower_jamb_gap, room_tower_bay
    if tower_side == "left":
        left, right = -far, -near
    else:
        left, right = opening_finished_width + near, opening_finished_width + far
    return _apart(thing, (left, right, 0.0, tower_depth, 0.0, tower_height))


def track_clear_left(
    obstruction_starts: Position,
    obstruction_ends: Position,
    obstruction_from_wall: Length,
    obstruction_depth: Length,
    obstruction_low: Position,
    obstruction_high: Position | None,
    track_side_room: Length,
    track_tangent_height: Length,
    track_radius: Length,
    track_rise: Slope,
    track_size: Length,
    track_wall_offset: Length,
    track_back_end: Length,
) -> Position:
    """Free distance to the left track

    Formula: least of the distances to the vertical track with its curve and to the horizontal track
    Unit: m
    Source: derived; blocks around the vertical and the horizontal track

    >>> track = (0.12, 3.5, 0.4, 0.0, 0.08, 0.08, 3.6)  # horizontal track from 3.86 to 3.94 up
    >>> round(track_clear_left(-1.0, 1.0, 2.0, 0.3, 4.0, None, *track), 6)
    0.06
    >>> round(track_clear_left(-1.0, 1.0, 2.0, 0.3, 3.92, None, *track), 6)
    -0.02
    """
    thing = _thing(
        obstruction_starts,
        obstruction_ends,
        obstruction_from_wall,
        obstruction_depth,
        obstruction_low,
        obstruction_high,
    )
    return _from_track(
        thing, -track_side_room, 0.0, track_tangent_height, track_radius, track_rise, track_size, track_wall_offset,
        track_back_end,
    )  # fmt: skip


def track_clear_right(
    obstruction_starts: Position,
    obstruction_ends: Position,
    obstruction_from_wall: Length,
    obstruction_depth: Length,
    obstruction_low: Position,
    obstruction_high: Position | None,
    opening_finished_width: Length,
    track_side_room: Length,
    track_tangent_height: Length,
    track_radius: Length,
    track_rise: Slope,
    track_size: Length,
    track_wall_offset: Length,
    track_back_end: Length,
) -> Position:
    """Free distance to the right track

    Formula: least of the distances to the vertical track with its curve and to the horizontal track
    Unit: m
    Source: derived; blocks around the vertical and the horizontal track

    >>> track = (3.0, 0.12, 3.5, 0.4, 0.0, 0.08, 0.08, 3.6)  # stands from 3.0 to 3.12 along the wall
    >>> round(track_clear_right(3.2, 3.5, 0.0, 0.3, 0.0, None, *track), 6)
    0.08
    """
    thing = _thing(
        obstruction_starts,
        obstruction_ends,
        obstruction_from_wall,
        obstruction_depth,
        obstruction_low,
        obstruction_high,
    )
    return _from_track(
        thing, opening_finished_width, opening_finished_width + track_side_room, track_tangent_height, track_radius,
        track_rise, track_size, track_wall_offset, track_back_end,
    )  # fmt: skip


def _from_track(
    thing: _Block,
    left: float,
    right: float,
    tangent: float,
    radius: float,
    rise: float,
    size: float,
    wall_offset: float,
    back_end: float,
) -> float:
    """The curve is taken as part of the vertical block, its outer corner included."""
    slant = math.atan(rise)
    end_y = wall_offset + radius * (1 - math.sin(slant))
    end_z = tangent + radius * math.cos(slant)
    _, _, near, far, _, _ = thing
    start, stop = min(max(near, end_y), back_end), min(max(far, end_y), back_end)
    low, high = end_z + (start - end_y) * rise, end_z + (stop - end_y) * rise
    vertical = _apart(thing, (left, right, 0.0, end_y, 0.0, end_z + size / 2))
    return min(vertical, _apart(thing, (left, right, end_y, back_end, low - size / 2, high + size / 2)))


def cable_clear(
    obstruction_starts: Position,
    obstruction_ends: Position,
    obstruction_from_wall: Length,
    obstruction_depth: Length,
    obstruction_low: Position,
    obstruction_high: Position | None,
    opening_finished_width: Length,
    track_side_room: Length,
    track_wall_offset: Length,
    tower_head_pulley_height: Length,
    practice_crossing_reach: Length,
) -> Position:
    """Free distance to the far cable where it crosses above the opening

    The cable runs level between the head pulleys, somewhere between the wall and the reach of a pulley
    bracket in front of the track.

    Formula: greatest gap along the wall, into the room or upward; negative where they meet
    Unit: m
    Source: derived; two blocks

    >>> beam = (-1.0, 5.0, 0.0, 0.3, 4.3, None)
    >>> round(cable_clear(*beam, 3.0, 0.12, 0.08, 4.25, 0.1), 6)
    0.05
    """
    thing = _thing(
        obstruction_starts,
        obstruction_ends,
        obstruction_from_wall,
        obstruction_depth,
        obstruction_low,
        obstruction_high,
    )
    left, right = -track_side_room, opening_finished_width + track_side_room
    reach, height = track_wall_offset + practice_crossing_reach, tower_head_pulley_height
    return _apart(thing, (left, right, 0.0, reach, height, height))


def over_opening(
    obstruction_starts: Position,
    obstruction_ends: Position,
    obstruction_from_wall: Length,
    obstruction_low: Position,
    obstruction_high: Position | None,
    opening_finished_width: Length,
    opening_finished_height: Length,
    practice_door_reach: Length,
) -> Position | None:
    """How far it hangs above the header, where headroom is measured

    Headroom is measured over the opening and as far into the room as the open door reaches. What stands
    beside the opening, behind that or wholly below the header is none of it.

    Formula: underside - header height, for what hangs over the door's place
    Unit: m
    Source: derived; difference of heights

    >>> round(over_opening(0.0, 2.0, 1.0, 4.2, None, 3.0, 3.6, 0.4), 6)
    0.6
    >>> over_opening(3.1, 4.0, 1.0, 4.2, None, 3.0, 3.6, 0.4) is None
    True
    """
    beside = obstruction_ends <= 0.0 or obstruction_starts >= opening_finished_width
    behind = obstruction_from_wall >= opening_finished_height + practice_door_reach
    below = obstruction_high is not None and obstruction_high <= opening_finished_height
    return None if beside or behind or below else obstruction_low - opening_finished_height


def over_header(
    obstruction_over_opening: Position,
    room_headroom: Length,
    room_roof: Length,
    opening_finished_height: Length,
    practice_reading_apart: Length,
) -> Position | None:
    """How far it hangs above the header, where the headroom was not misread

    Formula: that over the opening; does not apply below the header, or to a headroom that goes past the ceiling
    Unit: m
    Source: practice; what was misread is found by other rules

    >>> over_header(0.6, 0.9, 5.0, 3.6, 0.0762), over_header(0.6, 1.9, 5.0, 3.6, 0.0762)
    (0.6, None)
    >>> over_header(-3.0, 0.9, 5.0, 3.6, 0.0762)
    """
    past = room_headroom > room_roof - opening_finished_height + practice_reading_apart
    return None if past or obstruction_over_opening <= 0.0 else obstruction_over_opening


def shaft_clear(
    obstruction_starts: Position,
    obstruction_ends: Position,
    obstruction_from_wall: Length,
    obstruction_depth: Length,
    obstruction_low: Position,
    obstruction_high: Position | None,
    opening_finished_width: Length,
    torsion_shaft_length: Length,
    torsion_shaft_height: Length,
    torsion_shaft_from_wall: Length,
    shaft_reach: Length,
) -> Position:
    """Free distance to the torsion shaft with its drums and springs

    The shaft is taken centered on the opening, as thick as its largest drum or spring over its whole length.

    Formula: greatest gap along the wall, into the room or upward; negative where they meet
    Unit: m
    Source: derived; two blocks

    >>> shaft = (3.0, 3.2, 3.4, 0.1, 0.08)  # from -0.1 to 3.1 along the wall, from 3.32 to 3.48 up
    >>> round(shaft_clear(1.0, 1.2, 0.0, 0.3, 3.4, None, *shaft), 6)
    -0.08
    >>> round(shaft_clear(1.0, 1.2, 0.0, 0.3, 3.5, None, *shaft), 6)
    0.02
    """
    thing = _thing(
        obstruction_starts,
        obstruction_ends,
        obstruction_from_wall,
        obstruction_depth,
        obstruction_low,
        obstruction_high,
    )
    left = (opening_finished_width - torsion_shaft_length) / 2
    near, low = torsion_shaft_from_wall - shaft_reach, torsion_shaft_height - shaft_reach
    across = (left, left + torsion_shaft_length)
    return _apart(thing, (*across, near, near + 2 * shaft_reach, low, low + 2 * shaft_reach))
