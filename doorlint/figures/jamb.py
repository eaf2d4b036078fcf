"""The closed door on its jamb: the gap at every roller, from how far hinges and track stand off."""

from __future__ import annotations

from math import cos, sin

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Count, Each, Flag, Length, Position, Text
from doorlint.mechanics import rolling
from doorlint.named_tuple import NamedTuple


class Gap(NamedTuple):
    """The gap between jamb and closed door at a ``height`` above the floor (m): its ``width``, negative where they
    overlap, and how far the door's outer ``face`` stands off the roller line there (m)."""

    where: str
    height: float
    width: float
    face: float


def joint_stand_offs(
    section_height: Each[Length],
    section_joint_stand_off: Each[Length | None] | None,
    section_hinge: Each[Count | None] | None,
    track_bottom_stand_off: Length,
    door_hinges_first: Length | None,
    door_hinges_step: Length | None,
    door_top_stand_off: Length | None,
    track_tapered: Flag | None,
) -> Each[Length | None]:
    """Roller line to the inner face at the top of each section

    The top bracket of the last section is set on site: without a measure of its own it says nothing. On a track that
    does not lean, hinges without numbers stand off like the bottom bracket.

    Formula: the section's own, else stand-off of a number 1 hinge + (hinge number - 1) x step of a number
    Unit: m
    Source: derived; numbered hinges stand off by equal steps

    >>> heights = {"s1": 0.5, "s2": 0.5, "s3": 0.5}
    >>> joint_stand_offs(heights, None, {"s1": 1, "s2": 3, "s3": None}, 0.01, 0.02, 0.006, None, True)
    {'s1': 0.02, 's2': 0.032, 's3': None}
    """
    numbers, measured = section_hinge or {}, section_joint_stand_off or {}
    top = list(section_height)[-1]
    found: dict[str, float | None] = {}
    for key in section_height:
        own, number = measured.get(key), numbers.get(key)
        if own is not None:
            found[key] = own
        elif key == top:
            found[key] = door_top_stand_off
        elif number is None and not track_tapered:
            found[key] = track_bottom_stand_off
        elif number is None:
            raise MissingInput("section.hinge")
        elif door_hinges_first is None or door_hinges_step is None:
            raise MissingInput("door.hinges.first" if door_hinges_first is None else "door.hinges.step")
        else:
            found[key] = door_hinges_first + (number - 1) * door_hinges_step
    return found


def gaps(
    track_path: rolling.Path,
    door_frame: rolling.Door,
    door_thickness: Length,
    track_bottom_stand_off: Length,
    jamb_joint_stand_offs: Each[Length | None],
    track_jamb_clearance_bottom: Length,
    track_jamb_clearance_top: Length,
    track_tangent_height: Length,
) -> tuple[Gap, ...]:
    """Gap between jamb and closed door at every roller

    The jamb clearance runs straight from the floor to the top of the vertical track and stays as it is above. A roller
    that stands in the curve with the door closed is farther into the room by what the curve has turned. A top section
    on a guide of its own, or whose bracket draws its roller inward, leans as guide and bracket hold it.

    Formula: jamb clearance at that height + roller into the room - stand-off - thickness
    Unit: m
    Source: derived; the outer face of each section from the roller line

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0)
    >>> found = gaps(rolling.Path(2.0, 0.3), door, 0.05, 0.01, {"s1": 0.02, "s2": None}, 0.062, 0.102, 2.0)
    >>> [(gap.where, round(gap.height, 3), round(gap.width, 4)) for gap in found]
    [('the floor', 0.1, 0.004), ('the top of section s1', 0.5, 0.002)]
    """
    at = rolling.trace(track_path, door_frame, 0.0)
    lean = (track_jamb_clearance_top - track_jamb_clearance_bottom) / track_tangent_height
    keys = list(jamb_joint_stand_offs)
    offs = [track_bottom_stand_off, *jamb_joint_stand_offs.values()]
    found = []
    leans = door_frame.tilt != 0.0 or track_path.upper is not None
    for roller, off in enumerate(offs):
        if off is None and roller == len(keys) and leans:
            off = offs[roller - 1]  # its face goes on as far off its own line as at the hinge below
        if off is None:
            continue
        y, z = at.y[roller], at.z[roller]
        if roller == len(keys) and leans:
            y, z = _on_section(door_frame, at)
        clearance = track_jamb_clearance_bottom + lean * min(z, track_tangent_height)
        where = "the floor" if roller == 0 else f"the top of section {keys[roller - 1]}"
        face = off + door_thickness
        found.append(Gap(where, z, clearance + y - face, face))
    return tuple(found)


def _on_section(door: rolling.Door, at: rolling.Trace) -> tuple[float, float]:
    """The place of the top section's own line abreast of its top roller (m)."""
    to_y, to_z = at.y[-1] - at.y[-2], at.z[-1] - at.z[-2]
    share = cos(door.tilt)
    up_y = to_y * cos(door.tilt) - to_z * sin(door.tilt)
    up_z = to_y * sin(door.tilt) + to_z * cos(door.tilt)
    return at.y[-2] + share * up_y, at.z[-2] + share * up_z


def least(jamb_gaps: tuple[Gap, ...]) -> Position:
    """Least gap between jamb and closed door

    Formula: least of the gaps at the rollers
    Unit: m
    Source: derived; the outer face of each section from the roller line

    >>> least((Gap("the floor", 0.1, 0.004, 0.06), Gap("the top of section s1", 0.5, -0.002, 0.066)))
    -0.002
    """
    return min(map(_width, jamb_gaps))


def tightest_face(jamb_gaps: tuple[Gap, ...]) -> Length:
    """Roller line to the outer face of the closed door where the gap is least

    Formula: stand-off + thickness there
    Unit: m
    Source: derived; from the gaps

    >>> tightest_face((Gap("the floor", 0.1, 0.004, 0.06), Gap("the top of section s1", 0.5, -0.002, 0.066)))
    0.066
    """
    return min(jamb_gaps, key=_width).face


def tightest_room(jamb_gaps: tuple[Gap, ...]) -> Length:
    """Roller line to the jamb where the gap is least

    Formula: jamb clearance at that height + roller into the room
    Unit: m
    Source: derived; from the gaps

    >>> tightest_room((Gap("the floor", 0.1, 0.004, 0.06), Gap("the top of section s1", 0.5, -0.002, 0.066)))
    0.064
    """
    tightest = min(jamb_gaps, key=_width)
    return tightest.face + tightest.width


def _width(gap: Gap) -> float:
    return gap.width


def most(jamb_gaps: tuple[Gap, ...]) -> Position:
    """Widest gap between jamb and closed door

    Formula: widest of the gaps at the rollers
    Unit: m
    Source: derived; the outer face of each section from the roller line

    >>> most((Gap("the floor", 0.1, 0.004, 0.06), Gap("the top of section s1", 0.5, -0.002, 0.066)))
    0.004
    """
    return max(map(_width, jamb_gaps))


def least_at(jamb_gaps: tuple[Gap, ...]) -> Text:
    """Where the gap between jamb and closed door is least

    Formula: place of the least of the gaps
    Unit: -
    Source: derived; from the gaps

    >>> least_at((Gap("the floor", 0.1, 0.004, 0.06), Gap("the top of section s1", 0.5, -0.002, 0.066)))
    'the top of section s1'
    """
    return min(jamb_gaps, key=_width).where


def most_at(jamb_gaps: tuple[Gap, ...]) -> Text:
    """Where the gap between jamb and closed door is widest

    Formula: place of the widest of the gaps
    Unit: -
    Source: derived; from the gaps

    >>> most_at((Gap("the floor", 0.1, 0.004, 0.06), Gap("the top of section s1", 0.5, -0.002, 0.066)))
    'the floor'
    """
    return max(jamb_gaps, key=_width).where
