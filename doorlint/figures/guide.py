"""How the door runs in its guides: whether every roller stays on its own, and how near a section comes to locking."""

from __future__ import annotations

from math import inf

from doorlint.errors import MissingInput
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Angle, Each, Grade, Length, Position, Pull, Slope, Text, Weight
from doorlint.mechanics import bind, rolling, roof, sweep, wall_brackets


def held_travel(track_path: rolling.Path, door_frame: rolling.Door, door_open_travel: Length) -> Length:
    """Travel over which every roller stays on its guide

    Formula: travel from closed at which the top section no longer reaches the upper guide, else the whole travel
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> held_travel(rolling.Path(2.0, 0.3), rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0), 1.0)
    1.0
    """
    return bind.held_until(track_path, door_frame, door_open_travel)


def slope(track_rise: Grade) -> Text:
    """Which way the horizontal track slopes toward the back

    Formula: by the sign of its rise
    Unit: -
    Source: derived; sign of the rise

    >>> slope(-0.01), slope(0.0), slope(0.02)
    ('falling', 'level', 'rising')
    """
    return "falling" if track_rise < 0.0 else "rising" if track_rise > 0.0 else "level"


def kept(guide_held_travel: Length, door_open_travel: Length) -> Text:
    """Whether every roller stays on its guide from closed to open

    Formula: travel over which the rollers stay = travel of the open door
    Unit: -
    Source: derived; rigid sections on the roller path

    >>> kept(2.0, 2.0), kept(0.7, 2.0)
    ('all the way', 'part of the way')
    """
    return "all the way" if guide_held_travel >= door_open_travel else "part of the way"


def binding(track_path: rolling.Path, door_frame: rolling.Door, guide_held_travel: Length) -> bind.Bind | None:
    """The section that comes nearest to locking in its guides

    Does not apply to a vertical lift.

    Formula: least angle between a section and the square to the guide of its upper roller
    Unit: rad
    Source: derived; rigid sections on the roller path
    """
    return bind.least(track_path, door_frame, guide_held_travel)


def bind_angle(guide_binding: bind.Bind) -> Angle:
    """Least bind angle: between a section and the square to the guide of its upper roller

    Formula: least over all sections and the whole travel
    Unit: rad
    Source: derived; rigid sections on the roller path

    >>> bind_angle(bind.Bind(0.4, 3, 1.2))
    0.4
    """
    return guide_binding.angle


def bind_section(guide_binding: bind.Bind, section_height: Each[Length]) -> Text:
    """Section that comes nearest to locking

    Formula: the one of the least bind angle
    Unit: -
    Source: derived; rigid sections on the roller path

    >>> bind_section(bind.Bind(0.4, 2, 1.2), {"s1": 0.5, "s2": 0.5})
    's2'
    """
    return list(section_height)[guide_binding.section - 1]


def bind_travel(guide_binding: bind.Bind) -> Length:
    """Travel at which a section comes nearest to locking

    Formula: travel of the bottom roller from closed
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> bind_travel(bind.Bind(0.4, 3, 1.2))
    1.2
    """
    return guide_binding.travel


def presses(
    track_lift: Text,
    door_opened: rolling.Trace,
    section_load: Each[Weight],
    sweep_faces: tuple[tuple[Length, Length], ...],
    door_thickness: Length,
    door_cable_offset: Position,
) -> tuple[tuple[Length, Pull], ...] | None:
    """What the open door's rollers press on one guide of a vertical lift with, each with its height

    Does not apply to other lifts.

    Formula: weight x depth / (4 x roller spacing) in and out at each section; door x cable offset / (2 x spacing)
    Unit: N
    Source: derived; equilibrium of every section beside its roller line
    """
    if track_lift != "vertical":
        return None
    heights = door_opened.z
    depths = [outer + door_thickness for _, outer in sweep_faces]
    pushes = wall_brackets.presses(heights, tuple(section_load.values()), depths, door_cable_offset)
    return tuple(zip(heights, pushes, strict=True))


@error_gain(by_curve={"free": inf})
def roof_needed(
    track_lift: Text,
    sweep_shape: sweep.Sweep,
    track_horizontal_length: Length,
    track_size: Length,
    room_roof_slope: Slope,
) -> Length | None:
    """Height of the roof at the door's wall that door and guide just touch

    Does not apply where the track does not follow the roof.

    Formula: highest over travel, corners and guide of height - distance from the inside wall face x slope of the roof
    Unit: m
    Source: derived; rigid sections on the roller path, brought back to the wall along the roof
    """
    if track_lift != "follow-the-roof":
        return None
    return roof.needed(sweep_shape, track_horizontal_length, track_size, room_roof_slope)


def roof_there(track_lift: Text, opening_finished_height: Length, room_headroom: Length) -> Length | None:
    """Height of the roof at the door's wall, above the finished floor

    Does not apply where the track does not follow the roof.

    Formula: header height + headroom
    Unit: m
    Source: derived; sum

    >>> roof_there("follow-the-roof", 3.0, 0.5), roof_there("standard", 3.0, 0.5)
    (3.5, None)
    """
    return opening_finished_height + room_headroom if track_lift == "follow-the-roof" else None


def roof_headroom(
    track_lift: Text,
    guide_roof_needed: Length | None,
    opening_finished_height: Length,
    practice_running_clearance: Length,
) -> Length | None:
    """Headroom that the door needs at its wall, under a roof that its track follows

    Does not apply where the track does not follow the roof.

    Formula: height of the roof that door and guide just touch + running clearance - header height
    Unit: m
    Source: derived; brought back to the wall along the roof

    >>> round(roof_headroom("follow-the-roof", 3.4, 3.0, 0.0125), 6), roof_headroom("standard", 3.4, 3.0, 0.0125)
    (0.4125, None)
    """
    if track_lift != "follow-the-roof":
        return None
    if guide_roof_needed is None:
        raise MissingInput("room.roof_slope")
    return guide_roof_needed + practice_running_clearance - opening_finished_height


def tie_pull(track_lift: Text, door_pull_open: Pull) -> Weight | None:
    """What each track carries along itself where the open door is tied off to it

    Does not apply where the track does not follow a roof.

    Formula: pull of the open door down its slope / 2
    Unit: N
    Source: derived; equilibrium of the open door

    >>> tie_pull("follow-the-roof", 400.0), tie_pull("standard", 400.0)
    (200.0, None)
    """
    return max(door_pull_open, 0.0) / 2 if track_lift == "follow-the-roof" else None
