"""How near what stands or hangs in the room comes to the door, moving and closed."""

from __future__ import annotations

from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Each, Length, Position
from doorlint.mechanics import clearance_in_curve, rolling, sweep  # noqa: F401 - the worked examples build a path with rolling

SUBJECT = "obstruction"


@error_gain(40.0)  # the door's envelope is steep where it turns
def door_clearance(
    obstruction_starts: Position,
    obstruction_ends: Position,
    obstruction_from_wall: Length,
    obstruction_depth: Length,
    obstruction_low: Position,
    obstruction_high: Position | None,
    opening_finished_width: Length,
    opening_lap: Position,
    sweep_shape: sweep.Sweep,
    sweep_strut_depths: Each[Length],
    track_wall_offset: Length,
) -> Position | None:
    """Free distance to the moving door

    Upward from the highest that the door comes between the near and the far side of the thing, or, for
    what ends below, down from the lowest that sections and struts come there. Does not apply to what
    hangs or stands beside the door, or where the door never comes.

    Formula: underside - highest of the door there; lowest of the door there - topside
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5,) * 4, (0.0,) * 4, 0.1, 0.03)
    >>> turn = sweep.Sweep(rolling.Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.0, 2.0, 1.95)
    >>> bare = {"s1": 0.0, "s2": 0.0, "s3": 0.0, "s4": 0.0}
    >>> round(door_clearance(-1.0, 5.0, 1.0, 0.2, 2.4, None, 3.0, 0.02, turn, bare, 0.075), 3)
    0.21
    >>> round(door_clearance(-1.0, 5.0, 1.0, 0.2, 0.0, 1.0, 3.0, 0.02, turn, bare, 0.075), 3)
    1.15
    >>> door_clearance(3.1, 5.0, 1.0, 0.2, 2.4, None, 3.0, 0.02, turn, bare, 0.075) is None
    True
    """
    if obstruction_ends <= -opening_lap or obstruction_starts >= opening_finished_width + opening_lap:
        return None
    near = obstruction_from_wall - track_wall_offset
    highest = sweep.free_height(sweep_shape, near, near + obstruction_depth)
    if highest is None:
        return None
    above = obstruction_low - sweep_shape.opening_height - highest.height
    if obstruction_high is None:
        return above
    depth = max(sweep_strut_depths.values())
    lowest = 0.0
    if near > depth:
        lowest = clearance_in_curve.lowest_chord(sweep_shape.path, max(sweep_shape.door.spacings), near - depth) - depth
    return max(above, lowest - obstruction_high)


def behind_door(
    obstruction_starts: Position,
    obstruction_ends: Position,
    obstruction_from_wall: Length,
    obstruction_low: Position,
    opening_finished_width: Length,
    opening_finished_height: Length,
    track_wall_offset: Length,
) -> Position | None:
    """Free distance between the rollers' line and what stands or hangs behind the closed door

    Does not apply to what is beside the opening or above its header.

    Formula: its distance from the wall - distance of the roller line
    Unit: m
    Source: derived; difference of distances

    >>> round(behind_door(0.5, 2.5, 0.1, 1.5, 3.0, 3.0, 0.07), 6)
    0.03
    >>> behind_door(3.0, 3.5, 0.1, 1.5, 3.0, 3.0, 0.07) is None
    True
    """
    beside = obstruction_ends <= 0.0 or obstruction_starts >= opening_finished_width
    if beside or obstruction_low >= opening_finished_height:
        return None
    return obstruction_from_wall - track_wall_offset
