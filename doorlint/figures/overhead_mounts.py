"""Which mountings, cables and pulleys of the door overhead are given, and on which sides."""

from __future__ import annotations

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Count, Each, Length, Text

SUBJECT = "overhead"


def head_plates(mount_part: Each[Text], mount_side: Each[Text | None]) -> Count:
    """How many sides have a head plate mounting

    Formula: sides of the mountings that hold a head plate
    Unit: 1
    Source: derived; counted

    >>> head_plates({"a": "head-plate", "b": "track"}, {"a": "left", "b": "right"})
    1
    """
    return _sides(mount_part, mount_side, "head-plate")


def track_mounts(mount_part: Each[Text], mount_side: Each[Text | None]) -> Count:
    """How many sides have a mounting for the vertical track

    Formula: sides of the mountings that hold a track
    Unit: 1
    Source: derived; counted

    >>> track_mounts({"a": "track", "b": "track"}, {"a": "left", "b": "right"})
    2
    """
    return _sides(mount_part, mount_side, "track")


def bracket_sides(mount_part: Each[Text], mount_side: Each[Text | None]) -> Count:
    """How many sides have a wall bracket above the header

    Formula: sides of the mountings that are wall brackets
    Unit: 1
    Source: derived; counted

    >>> bracket_sides({"a": "wall-bracket", "b": "track"}, {"a": "left", "b": "right"})
    1
    """
    return _sides(mount_part, mount_side, "wall-bracket")


def top_bracket(
    mount_part: Each[Text], mount_side: Each[Text | None], mount_height: Each[Length | None]
) -> Length | None:
    """Highest wall bracket of a vertical lift, on the side where it is lower

    Does not apply where no side has one.

    Formula: least over the sides of the greatest height
    Unit: m
    Source: derived; from the spec

    >>> top_bracket({"a": "wall-bracket", "b": "wall-bracket"}, {"a": "left", "b": "right"}, {"a": 4.0, "b": 5.0})
    4.0
    """
    highest: dict[str | None, float] = {}
    for key, part in mount_part.items():
        if part == "wall-bracket":
            height = mount_height[key]
            if height is None:
                raise MissingInput("mount.height")
            highest[mount_side[key]] = max(height, highest.get(mount_side[key], height))
    return min(highest.values(), default=None)


def tower_mounts(mount_part: Each[Text], mount_side: Each[Text | None], tower_side: Text) -> Count:
    """How many of head and foot of the tower have a mounting where it stands

    Formula: parts of the tower named by the mountings of its side
    Unit: 1
    Source: derived; counted

    >>> tower_mounts({"a": "tower-head", "b": "tower-foot"}, {"a": "left", "b": "right"}, "left")
    1
    """
    return len(_there(mount_part, mount_side, {"tower-head", "tower-foot"}, tower_side))


def tie_height(
    mount_part: Each[Text], mount_side: Each[Text | None], mount_height: Each[Length | None], tower_side: Text | None
) -> Length | None:
    """Height at which the tower is tied to the wall

    Formula: height of the mounting at the head of the tower
    Unit: m
    Source: derived; from the spec

    >>> tie_height({"a": "tower-head"}, {"a": "left"}, {"a": 4.0}, "left")
    4.0
    """
    ties = [
        mount_height[key] for key, part in mount_part.items() if part == "tower-head" and mount_side[key] == tower_side
    ]
    if not ties:
        return None
    if any(height is None or height <= 0.0 for height in ties):
        raise MissingInput("mount.height")
    return min(height for height in ties if height is not None)


def spring_pads(mount_part: Each[Text]) -> Count:
    """How many spring pads there are

    Formula: mountings that hold a spring pad
    Unit: 1
    Source: derived; counted

    >>> spring_pads({"a": "spring-pad", "b": "track"})
    1
    """
    return sum(part == "spring-pad" for part in mount_part.values())


def operator_mounts(mount_part: Each[Text], mount_side: Each[Text | None], operation_side: Text) -> Count:
    """Whether the drive has a mounting where it stands

    Formula: one where a mounting of its side holds the drive, else none
    Unit: 1
    Source: derived; counted

    >>> operator_mounts({"a": "operator", "b": "track"}, {"a": "left", "b": None}, "left")
    1
    >>> operator_mounts({"a": "operator", "b": "track"}, {"a": "left", "b": None}, "right")
    0
    """
    return len(_there(mount_part, mount_side, {"operator"}, operation_side))


def cable_sides(cable_side: Each[Text]) -> Count:
    """How many bottom corners of the door have a lift cable

    Formula: sides named by the cables
    Unit: 1
    Source: derived; counted

    >>> cable_sides({"near": "right", "far": "left"})
    2
    """
    return len(set(cable_side.values()))


def turning_places(pulley_at: Each[Text], pulley_side: Each[Text], tower_side: Text) -> Count:
    """At how many of the four places where the lift cables turn a pulley stands

    Formula: left head, right head, end of the crossing at the tower, box 1
    Unit: 1
    Source: derived; counted along the run of both cables

    >>> at = {"a": "head", "b": "head", "c": "crossing", "d": "box"}
    >>> turning_places(at, {"a": "left", "b": "right", "c": "right", "d": "right"}, "right")
    4
    >>> turning_places(at, {"a": "left", "b": "left", "c": "right", "d": "right"}, "right")
    3
    """
    places = {(at, pulley_side[key]) for key, at in pulley_at.items()}
    wanted = {("head", "left"), ("head", "right"), ("crossing", tower_side), ("box", tower_side)}
    return len(places & wanted)


def _there(parts: Each[Text], sides: Each[Text | None], wanted: set[str], side: str) -> set[str]:
    """Which of some parts have a mounting on a side."""
    theirs = [(part, sides[key]) for key, part in parts.items() if part in wanted]
    if any(its is None for _, its in theirs):
        raise MissingInput("mount.side")
    return {part for part, its in theirs if its == side}


def _sides(parts: Each[Text], sides: Each[Text | None], part: str) -> int:
    return len({sides[key] for key, held in parts.items() if held == part} - {None})
