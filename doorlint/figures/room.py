"""The room around the opening: what each side, the back and the roof leave for track, tower and drive."""

from __future__ import annotations

from doorlint.figures.kinds import Each, Length, Position, Text


def roof(room_ceiling: Length, opening_floor_rise: Length) -> Length:
    """Ceiling or roof above the finished floor

    Formula: ceiling - floor still to come
    Unit: m
    Source: derived; difference of heights

    >>> round(roof(5.0, 0.1), 6)
    4.9
    """
    return room_ceiling - opening_floor_rise


def least_hung(obstruction_over_opening: Each[Position | None]) -> Length | None:
    """Header to the lowest thing above it

    What hangs below the header is in the way of the door itself and says nothing of the headroom.

    Formula: least of the heights above the header; none where nothing hangs there
    Unit: m
    Source: derived; least of the differences

    >>> least_hung({"pipe": 0.6, "lamp": 0.9, "post": -3.0, "tank": None}), least_hung({})
    (0.6, None)
    """
    return min((over for over in obstruction_over_opening.values() if over is not None and over > 0.0), default=None)


def odd_headroom(
    room_headroom: Length, room_least_hung: Length | None, practice_reading_apart: Length
) -> Length | None:
    """Headroom, where something hangs far below it

    Formula: as given; does not apply where nothing hangs there, or where the lowest thing agrees with it
    Unit: m
    Source: practice; of two readings that disagree, the one that a third denies is wrong

    >>> odd_headroom(1.7, 0.7, 0.0762), odd_headroom(0.7, 0.7, 0.0762), odd_headroom(1.7, None, 0.0762)
    (1.7, None, None)
    """
    denied = room_least_hung is not None and room_headroom > room_least_hung + practice_reading_apart
    return room_headroom if denied else None


def odd_roof(
    room_roof: Length, room_headroom: Length, room_least_hung: Length | None, practice_reading_apart: Length
) -> Length | None:
    """Ceiling or roof above the finished floor, where nothing hangs far below the headroom

    Formula: that of the room; does not apply where the lowest thing denies the headroom
    Unit: m
    Source: practice; a misread headroom says nothing of the ceiling

    >>> odd_roof(5.0, 0.7, 0.7, 0.0762), odd_roof(5.0, 1.7, 0.7, 0.0762), odd_roof(5.0, 1.7, None, 0.0762)
    (5.0, None, 5.0)
    """
    denied = room_least_hung is not None and room_headroom > room_least_hung + practice_reading_apart
    return None if denied else room_roof


def near_roof(
    room_odd_roof: Length, opening_finished_height: Length, room_headroom: Length, practice_reading_apart: Length
) -> Length | None:
    """Ceiling or roof above the finished floor, where it was not misread

    Formula: that of the room; does not apply where it is far below header and headroom
    Unit: m
    Source: practice; what was misread is found by another rule

    >>> near_roof(4.2, 3.5, 0.7, 0.0762), near_roof(3.5, 3.5, 0.7, 0.0762)
    (4.2, None)
    """
    return room_odd_roof if room_odd_roof >= opening_finished_height + room_headroom - practice_reading_apart else None


def tower_bay(tower_jamb_gap: Length, tower_width: Length) -> Length:
    """Jamb edge to the far side of the tower

    Formula: gap beside the jamb + width of the tower
    Unit: m
    Source: derived; sum

    >>> round(tower_bay(0.15, 0.36), 4)
    0.51
    """
    return tower_jamb_gap + tower_width


def beside_tower(tower_side: Text, room_side_left: Length, room_side_right: Length) -> Length:
    """Side room where the tower stands

    Formula: side room on the tower's side
    Unit: m
    Source: derived; from what the survey says

    >>> beside_tower("left", 0.8, 0.4)
    0.8
    """
    return room_side_left if tower_side == "left" else room_side_right


def beside_drive(operation_side: Text, room_side_left: Length, room_side_right: Length) -> Length | None:
    """Side room where the drive is

    Formula: side room on the drive's side; none for a drive in the middle
    Unit: m
    Source: derived; from what the survey says

    >>> beside_drive("right", 0.8, 0.4), beside_drive("centre", 0.8, 0.4)
    (0.4, None)
    """
    if operation_side == "centre":
        return None
    return room_side_left if operation_side == "left" else room_side_right


def tower_and_drive(
    tower_side: Text, operation_side: Text, room_tower_bay: Length, operation_room: Length
) -> Length | None:
    """Room that tower and drive take together on one side

    Formula: tower bay + room of the drive; none when they stand on different sides
    Unit: m
    Source: derived; sum

    >>> round(tower_and_drive("left", "left", 0.51, 0.3), 4)
    0.81
    >>> tower_and_drive("left", "right", 0.51, 0.3) is None
    True
    """
    return room_tower_bay + operation_room if tower_side == operation_side else None
