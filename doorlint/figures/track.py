"""The track: where its curve starts, how far it reaches, and the room it takes beside the jamb."""

from __future__ import annotations

import math

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Angle, Each, Grade, Length, Position, Table, Text
from doorlint.mechanics import rolling
from doorlint.mechanics import upper_guide as guides


def tangent_height(
    track_lift: Text,
    opening_finished_height: Length,
    track_vertical_length: Length | None,
    track_high_lift: Length | None,
    section_height: Each[Length] | None,
    practice_tangent_drop: Length,
) -> Length:
    """Height of the vertical track: finished floor to the start of the curve

    The spec's own length takes precedence over the usual one. A vertical lift has no curve: its track goes as
    high as the whole door stands above the header. The main guide of a low-headroom door must be measured.

    Formula: header height - usual drop (standard lift); + high lift; header height + door height (vertical lift)
    Unit: m
    Source: practice; the curve of a standard lift starts a hand below the header

    >>> round(tangent_height("standard", 3.6576, None, None, None, 0.1524), 4)
    3.5052
    >>> round(tangent_height("high", 3.6576, None, 0.6, None, 0.1524), 4)
    4.1052
    >>> tangent_height("vertical", 3.0, None, None, {"s1": 1.5, "s2": 1.5}, 0.15)
    6.0
    """
    if track_vertical_length is not None:
        return track_vertical_length
    if track_lift == "low-headroom":
        raise MissingInput("track.vertical_length")
    if track_lift == "vertical":
        if section_height is None:
            raise MissingInput("section.height")
        return opening_finished_height + sum(section_height.values())
    usual = opening_finished_height - practice_tangent_drop
    if track_lift != "high":
        return usual
    if track_high_lift is None:
        raise MissingInput("track.high_lift")
    return usual + track_high_lift


def main_path(
    track_lift: Text, track_tangent_height: Length, track_radius: Length | None, track_rise: Grade | None
) -> rolling.Path:
    """Line that all roller centers follow, but the top one of a low-headroom door

    Vertical to the start of the curve, round the curve, and up the slope of the horizontal track. A
    vertical lift never turns.

    Formula: vertical track, arc of the curve's radius, straight line at the rise of the horizontal track
    Unit: m
    Source: derived; the track as the spec gives it

    >>> main_path("standard", 3.5, 0.38, 0.02)
    Path(tangent=3.5, radius=0.38, slope=0.02)
    >>> main_path("vertical", 6.0, None, None).tangent
    inf
    """
    if track_lift == "vertical":
        return rolling.Path(math.inf)
    if track_radius is None:
        raise MissingInput("track.radius")
    if track_rise is None:
        raise MissingInput("track.rise")
    if track_tangent_height <= 0.0:
        raise NotModelled("the curve would start at the floor or under it")
    return rolling.Path(track_tangent_height, track_radius, track_rise)


def upper_guide(
    track_lift: Text,
    track_main_path: rolling.Path,
    track_upper_above: Length | None,
    track_upper_radius: Length | None,
    track_upper_offset: Position | None,
    track_upper_turn: Angle | None,
) -> guides.UpperGuide | None:
    """Guide of the top roller of a low-headroom door

    Does not apply to other lifts.

    Formula: line at its distance above the main line, arc of its own radius before it, straight front
    Unit: m
    Source: derived; the guide as the spec gives it

    >>> guide = upper_guide("low-headroom", rolling.Path(2.0, 0.3), 0.1, 0.25, 0.02, None)
    >>> round(guide.start_z, 6)
    2.15
    """
    if track_lift != "low-headroom":
        return None
    if track_upper_above is None:
        raise MissingInput("track.upper.above")
    if track_upper_radius is None:
        raise MissingInput("track.upper.radius")
    if track_upper_offset is None:
        raise MissingInput("track.upper.offset")
    main = track_main_path
    try:
        return guides.measured(
            (main.end_y, main.end_z), main.slope, track_upper_above, track_upper_radius, track_upper_turn,
            track_upper_offset,
        )  # fmt: skip
    except ValueError as refused:
        raise NotModelled(str(refused)) from None


def path(track_lift: Text, track_main_path: rolling.Path, track_upper_guide: guides.UpperGuide | None) -> rolling.Path:
    """Guides of the rollers

    Formula: the main line, and the upper guide of a low-headroom door
    Unit: m
    Source: derived; the track as the spec gives it

    >>> path("standard", rolling.Path(3.5, 0.38, 0.02), None)
    Path(tangent=3.5, radius=0.38, slope=0.02)
    """
    if track_lift != "low-headroom":
        return track_main_path
    if track_upper_guide is None:
        raise MissingInput("track.upper.above")
    main = track_main_path
    return rolling.Path(main.tangent, main.radius, main.slope, track_upper_guide)


def hung_path(track_path: rolling.Path) -> rolling.Path | None:
    """Guides of a door whose open sections lie on horizontal track

    Does not apply to a vertical lift.

    Formula: the guides of the rollers
    Unit: m
    Source: derived; the track as the spec gives it

    >>> hung_path(rolling.Path(3.5, 0.38, 0.02)).slope, hung_path(rolling.Path(math.inf))
    (0.02, None)
    """
    return track_path if math.isfinite(track_path.tangent) else None


def upper_start(track_upper_guide: guides.UpperGuide | None) -> Length | None:
    """Height at which the curve of the upper guide starts

    Formula: from its distance above the main line, its radius, turn and offset
    Unit: m
    Source: derived; plane geometry

    >>> upper_start(guides.UpperGuide(0.0, 2.15, 0.25, 0.0, 0.0))
    2.15
    """
    return None if track_upper_guide is None else track_upper_guide.start_z


def upper_arc(track_upper_guide: guides.UpperGuide | None) -> Angle | None:
    """How far the upper guide turns

    Formula: turn as given, else as far as its track
    Unit: rad
    Source: derived; the guide as the spec gives it

    >>> round(upper_arc(guides.UpperGuide(0.0, 2.15, 0.25, 0.0, 0.0)), 6), upper_arc(None)
    (1.570796, None)
    """
    return None if track_upper_guide is None else track_upper_guide.level - track_upper_guide.lead


def usual_height(opening_finished_height: Length, practice_tangent_drop: Length) -> Length:
    """Usual height of the vertical track of a standard lift

    Formula: header height - usual drop
    Unit: m
    Source: practice; the curve of a standard lift starts a hand below the header

    >>> round(usual_height(3.6576, 0.1524), 4)
    3.5052
    """
    return opening_finished_height - practice_tangent_drop


def angle_usual(track_tangent_height: Length, practice_tangent_drop: Length, practice_angle_drop: Length) -> Length:
    """Usual length of the wall angle

    On a standard lift that is the header height less the drop of the angle; it goes up with the curve.

    Formula: height of the vertical track + usual drop of the curve - usual drop of the angle
    Unit: m
    Source: practice; the wall angle ends short of the curve

    >>> round(angle_usual(3.5052, 0.1524, 0.2032), 4)
    3.4544
    """
    return track_tangent_height + practice_tangent_drop - practice_angle_drop


@error_gain(by_curve={"moves": 0.0})
def back_end(
    track_wall_offset: Length, track_radius: Length, track_rise: Grade, track_horizontal_length: Length
) -> Length:
    """Inside wall face to the back end of the horizontal track

    Formula: wall offset + radius x (1 - sin a) + horizontal length x cos a, tan a = rise
    Unit: m
    Source: derived; straight track behind the arc of the curve

    >>> round(back_end(0.075, 0.38, 0.0, 3.0), 4)
    3.455
    """
    slant = math.atan(track_rise)
    return track_wall_offset + track_radius * (1 - math.sin(slant)) + track_horizontal_length * math.cos(slant)


def side_room(opening_lap: Position, track_size: Length, table_track_side_room: Table) -> Length:
    """Room that the track takes beside the jamb

    Formula: lap of the door + track with bracket beside the door's edge
    Unit: m
    Source: practice; the track runs just outside the door's edge

    >>> from doorlint.figures.table import Table
    >>> track = Table("track-side-room", ("size", "room"), {"size": "between"}, ((0.05, 0.08), (0.075, 0.11)))
    >>> round(side_room(0.025, 0.05, track), 4)
    0.105
    """
    return opening_lap + table_track_side_room.look("room", size=track_size)


def bottom_stand_off(
    section_stand_off: Each[Length | None], door_stand_off: Length | None, practice_stand_off: Length
) -> Length:
    """Roller line to the inner face of the bottom section

    Formula: the bottom section's own, else the door's, else the usual one
    Unit: m
    Source: derived; from what the spec says

    >>> bottom_stand_off({"s1": None, "s2": 0.02}, 0.01, 0.0), bottom_stand_off({"s1": 0.02}, 0.01, 0.0)
    (0.01, 0.02)
    """
    own = next(iter(section_stand_off.values()))
    if own is not None:
        return own
    return practice_stand_off if door_stand_off is None else door_stand_off


def lean(track_jamb_clearance_bottom: Length, track_jamb_clearance_top: Length) -> Position:
    """How far the vertical track leans away from the wall

    Formula: jamb clearance at the top - jamb clearance at the floor
    Unit: m
    Source: derived; difference

    >>> round(lean(0.066, 0.076), 4)
    0.01
    """
    return track_jamb_clearance_top - track_jamb_clearance_bottom
