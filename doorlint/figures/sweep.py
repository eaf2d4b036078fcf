"""What the moving door sweeps, and the room that it and its hardware need."""

from __future__ import annotations

import math
from math import inf

from doorlint.errors import MissingInput
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Count, Each, Length, Position, Text
from doorlint.mechanics import clearance, rolling, sweep


def faces(
    section_stand_off: Each[Length | None],
    section_joint_stand_off: Each[Length | None] | None,
    section_hinge: Each[Count | None] | None,
    door_stand_off: Length | None,
    practice_stand_off: Length,
    door_hinges_first: Length | None,
    door_hinges_step: Length | None,
    door_top_stand_off: Length | None,
) -> tuple[tuple[Length, Length], ...]:
    """Roller line to the inner face of each section: at the end where it is nearer, and where it is farther

    A section's own stand-off holds for the whole of it. Else it stands as far off as its hinges hold it, and where a
    hinge does not say, like the end below. The top bracket draws the top section nearer or not at all.

    Formula: stand-off of a number 1 hinge + (hinge number - 1) x step of a number
    Unit: m
    Source: derived; numbered hinges stand off by equal steps

    >>> faces({"s1": None, "s2": None, "s3": 0.05}, None, {"s1": 1, "s2": 3, "s3": None}, 0.01, 0.0, 0.02, 0.006, None)
    ((0.01, 0.02), (0.02, 0.032), (0.05, 0.05))
    """
    measured, numbers = section_joint_stand_off or {}, section_hinge or {}
    below = practice_stand_off if door_stand_off is None else door_stand_off
    found = []
    for key, own in section_stand_off.items():
        if own is not None:
            found.append((own, own))
            below = own
            continue
        above, joint, number = below, measured.get(key), numbers.get(key)
        if joint is not None:
            above = joint
        elif len(found) == len(section_stand_off) - 1:
            above = below if door_top_stand_off is None else door_top_stand_off
        elif number is not None and door_hinges_first is not None and door_hinges_step is not None:
            above = door_hinges_first + (number - 1) * door_hinges_step
        found.append((min(below, above), max(below, above)))
        below = above
    return tuple(found)


@error_gain(by_curve={"free": inf})
def shape(
    track_path: rolling.Path,
    door_frame: rolling.Door,
    sweep_faces: tuple[tuple[Length, Length], ...],
    door_thickness: Length,
    opening_finished_height: Length,
    door_open_travel: Length,
) -> sweep.Sweep:
    """The door with its thickness on its way from closed to open

    Distances into the room count from the roller line of the vertical track. A section that stands farther off at one
    end than at the other counts as far off as at that end.

    Formula: rectangles from the inner face of each section to its outer face
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.1)
    >>> shape(rolling.Path(0.85, 0.3), door, ((0.01, 0.01), (0.01, 0.02)), 0.04, 1.0, 0.9).stand_offs
    (0.01, 0.02)
    """
    stand_offs = tuple(farther for _, farther in sweep_faces)
    return sweep.Sweep(
        track_path, door_frame, stand_offs, door_thickness, 0.0, opening_finished_height, door_open_travel
    )


def highest(sweep_shape: sweep.Sweep) -> sweep.Highest:
    """Highest that any corner of the door comes

    Formula: highest corner over the whole travel
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5,) * 4, (0.0,) * 4, 0.1, 0.03)
    >>> highest(sweep.Sweep(rolling.Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.0, 2.0, 1.95)).section
    4
    """
    return sweep.headroom(sweep_shape)


@error_gain(by_curve={"moves": 0.0, "stays": 3.0})
def height(sweep_highest: sweep.Highest) -> Position:
    """Highest that the door sweeps above the header

    Formula: highest corner over the whole travel - header height
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> height(sweep.Highest(0.4, 1.9, 0.5, 4, "top outdoor corner"))
    0.4
    """
    return sweep_highest.height


def height_section(sweep_highest: sweep.Highest, section_height: Each[Length]) -> Text:
    """Section that sweeps highest

    Formula: the one whose corner comes highest
    Unit: -
    Source: derived; rigid sections on the roller path

    >>> height_section(sweep.Highest(0.4, 1.9, 0.5, 2, "top outdoor corner"), {"s1": 0.5, "s2": 0.5})
    's2'
    """
    return list(section_height)[sweep_highest.section - 1]


def height_part(sweep_highest: sweep.Highest) -> Text:
    """Corner that sweeps highest

    Formula: the corner that comes highest
    Unit: -
    Source: derived; rigid sections on the roller path

    >>> height_part(sweep.Highest(0.4, 1.9, 0.5, 2, "top outdoor corner"))
    'top outdoor corner'
    """
    return sweep_highest.part


def height_travel(sweep_highest: sweep.Highest) -> Length:
    """Travel at which the door sweeps highest

    Formula: travel of the bottom roller from closed
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> height_travel(sweep.Highest(0.4, 1.9, 0.5, 2, "top outdoor corner"))
    1.9
    """
    return sweep_highest.travel


def height_distance(sweep_highest: sweep.Highest, track_wall_offset: Length) -> Position:
    """Distance from the inside wall face at which the door sweeps highest

    Formula: distance from the roller line + wall offset
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> round(height_distance(sweep.Highest(0.4, 1.9, 0.5, 2, "top outdoor corner"), 0.075), 6)
    0.575
    """
    return sweep_highest.distance + track_wall_offset


def hardware_height(
    track_path: rolling.Path,
    opening_finished_height: Length,
    practice_hardware_height: Length,
    track_size: Length | None,
    track_horizontal_length: Length | None,
    tower_head_pulley_height: Length | None,
    torsion_shaft_height: Length | None,
    shaft_reach: Length | None,
    pulley_at: Each[Text | None] | None,
    pulley_diameter: Each[Length | None] | None,
) -> Length:
    """Height of the hardware above the header

    Formula: highest of the shop's usual height, the back end of the track, head pulleys, shaft with drums and springs
    Unit: m
    Source: practice; brackets and head plates stand a hand above the header

    >>> round(hardware_height(rolling.Path(3.5, 0.3), 3.65, 0.2, 0.05, 3.0, None, None, None, None, None), 6)
    0.2
    >>> level = rolling.Path(3.5, 0.3)
    >>> round(hardware_height(level, 3.65, 0.2, 0.05, 3.0, 4.0, None, None, {"a": "head"}, {"a": 0.1}), 6)
    0.4
    """
    tops = [opening_finished_height + practice_hardware_height]
    if track_path.tangent < math.inf and track_size is not None and track_horizontal_length is not None:
        end = track_path.end_z + track_horizontal_length * track_path.sin
        tops.append(end + track_size / 2 * track_path.cos)
    if tower_head_pulley_height is not None:
        at = pulley_at or {}
        overhead = [size for key, size in (pulley_diameter or {}).items() if at.get(key) != "box"]
        sizes = [size for size in overhead if size is not None]
        if not sizes or len(sizes) < len(overhead):
            raise MissingInput("pulley.diameter")
        tops.append(tower_head_pulley_height + max(sizes) / 2)
    if torsion_shaft_height is not None:
        if shaft_reach is None:
            raise MissingInput("torsion.drum.diameter")
        tops.append(torsion_shaft_height + shaft_reach)
    return max(tops) - opening_finished_height


def headroom_needed(
    track_lift: Text | None,
    sweep_height: Position,
    sweep_hardware_height: Length,
    practice_running_clearance: Length,
) -> Length | None:
    """Headroom that the door needs

    Does not apply where the track follows the roof: the headroom that counts is that at the wall.

    Formula: higher of sweep and hardware + running clearance
    Unit: m
    Source: derived; what moves and what stands above the header

    >>> round(headroom_needed("standard", 0.4, 0.3, 0.0125), 6), headroom_needed("follow-the-roof", 0.4, 0.3, 0.0125)
    (0.4125, None)
    """
    if track_lift == "follow-the-roof":
        return None
    return max(sweep_height, sweep_hardware_height) + practice_running_clearance


def swing(sweep_shape: sweep.Sweep, track_bottom_stand_off: Length) -> sweep.Kick:
    """The bottom outdoor corner at its farthest out

    Formula: farthest that the corner, as far off as the bottom bracket holds it, comes past the closed face
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5,) * 4, (0.0,) * 4, 0.08, 0.03)
    >>> turn = sweep.Sweep(rolling.Path(1.85, 0.3), door, (0.02,) * 4, 0.04, 0.0, 2.0, 1.95)
    >>> round(swing(turn, 0.02).outward, 6)
    0.039134
    """
    return sweep.outward_kick(sweep_shape, sweep_shape.stand_offs[0] - track_bottom_stand_off)


def crossing_distance(sweep_shape: sweep.Sweep, tower_head_pulley_height: Length) -> Length:
    """Nearest that the moving door comes to the far cable where it crosses above the opening

    The cable runs level between the head pulleys, in the plane of the rollers.

    Formula: least distance from the cable to any section over the travel
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> turn = sweep.Sweep(rolling.Path(inf), rolling.Door((0.5,), (0.0,), 0.1, 0.1), (0.0,), 0.04, 0.0, 1.0, 1.0)
    >>> round(crossing_distance(turn, 1.8), 6)
    0.3
    """
    return clearance.nearest(sweep_shape, 0.0, tower_head_pulley_height).distance


@error_gain(by_curve={"moves": 0.0, "stays": 0.0})
def kick(sweep_swing: sweep.Kick) -> Length:
    """How far the bottom corner kicks out past the closed face

    Formula: farthest that the bottom outdoor corner comes past its closed place
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> kick(sweep.Kick(0.02, 1.7, 0.18))
    0.02
    """
    return sweep_swing.outward


def kick_below(sweep_swing: sweep.Kick) -> Position:
    """How far below the header the bottom corner kicks out

    Formula: header height - height of the corner then
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> kick_below(sweep.Kick(0.02, 1.7, 0.18))
    0.18
    """
    return sweep_swing.below


@error_gain(0.1)  # the jamb clearance changes by fractions of an inch over the whole height
def kick_room(
    sweep_shape: sweep.Sweep,
    sweep_kick_below: Position,
    track_bottom_stand_off: Length,
    track_jamb_clearance_bottom: Length,
    track_jamb_clearance_top: Length,
) -> Position:
    """Room between outer face and jamb where the bottom corner kicks out

    The track leans away from the wall toward its top, so there is more room up there than at the floor.

    Formula: jamb clearance at that height - stand-off - thickness
    Unit: m
    Source: derived; straight line between the clearances at the floor and at the top of the vertical track

    >>> door = rolling.Door((0.5,) * 4, (0.0,) * 4, 0.08, 0.03)
    >>> turn = sweep.Sweep(rolling.Path(2.0, 0.3), door, (0.02,) * 4, 0.04, 0.0, 2.0, 1.95)
    >>> round(kick_room(turn, 1.0, 0.02, 0.07, 0.09), 6)
    0.02
    """
    share = min((sweep_shape.opening_height - sweep_kick_below) / sweep_shape.path.tangent, 1.0)
    clearance = track_jamb_clearance_bottom + share * (track_jamb_clearance_top - track_jamb_clearance_bottom)
    return clearance - track_bottom_stand_off - sweep_shape.thickness


def strut_depths(section_strut_kind: Each[Text | None], section_strut_height: Each[Length | None]) -> Each[Length]:
    """How far the strut of each section stands off its inner face

    Formula: height of the strut; nothing without one
    Unit: m
    Source: derived; the sections as the spec gives them

    >>> strut_depths({"s1": "none", "s2": "hat"}, {"s1": None, "s2": 0.07})
    {'s1': 0.0, 's2': 0.07}
    """
    depths = {}
    for key, kind in section_strut_kind.items():
        depth = section_strut_height[key]
        if depth is None and kind not in (None, "none"):
            raise MissingInput("section.strut.height")
        depths[key] = depth or 0.0
    return depths


def inside(
    sweep_shape: sweep.Sweep, sweep_strut_depths: Each[Length], sweep_faces: tuple[tuple[Length, Length], ...]
) -> sweep.Inside | None:
    """The nearest that door and struts come to the centre of the curve

    Formula: nearest over the whole travel, each section as near as its nearer end
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5,) * 4, (0.0,) * 4, 0.1, 0.03)
    >>> turn = sweep.Sweep(rolling.Path(1.85, 0.3), door, (0.02,) * 4, 0.04, 0.0, 2.0, 1.95)
    >>> inside(turn, {"s1": 0.0, "s2": 0.06, "s3": 0.0, "s4": 0.0}, ((0.02, 0.02),) * 4).section
    2
    """
    depths = zip(sweep_strut_depths.values(), sweep_faces, strict=True)
    return sweep.inside_curve(sweep_shape, tuple(depth + farther - nearer for depth, (nearer, farther) in depths))


def curve_room(sweep_inside: sweep.Inside) -> Position:
    """Room that the turning door leaves about the centre of the curve

    Formula: least distance of section or strut from the centre of the curve
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> curve_room(sweep.Inside(0.13, 1.2, 2))
    0.13
    """
    return sweep_inside.radius


def curve_section(sweep_inside: sweep.Inside, section_height: Each[Length]) -> Text:
    """Section that comes nearest to the centre of the curve

    Formula: the nearest one
    Unit: -
    Source: derived; rigid sections on the roller path

    >>> curve_section(sweep.Inside(0.13, 1.2, 2), {"s1": 0.5, "s2": 0.5})
    's2'
    """
    return list(section_height)[sweep_inside.section - 1]


@error_gain(by_curve={"moves": 0.0})
def reach(
    sweep_shape: sweep.Sweep,
    track_wall_offset: Length,
    track_path: rolling.Path,
    track_horizontal_length: Length | None,
) -> Length:
    """How far the open door and its track reach into the room

    Formula: inside wall face to the back of the open door, or to the end of the track if that is farther
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5,) * 4, (0.0,) * 4, 0.1, 0.03)
    >>> turn = sweep.Sweep(rolling.Path(1.85, 0.3), door, (0.0,) * 4, 0.04, 0.0, 2.0, 1.95)
    >>> round(reach(turn, 0.05, turn.path, 1.5), 3), round(reach(turn, 0.05, turn.path, 2.0), 3)
    (1.997, 2.35)
    """
    door = track_wall_offset + sweep.depth(sweep_shape)
    if track_path.tangent == math.inf:
        return door
    if track_horizontal_length is None:
        raise MissingInput("track.horizontal_length")
    return max(door, track_wall_offset + track_path.end_y + track_horizontal_length * track_path.cos)
