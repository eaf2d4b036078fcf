"""How long each lift cable is cut."""

from __future__ import annotations

import math

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Each, Length, Text, Turns
from doorlint.mechanics import rolling

SUBJECT = "cable"


def wrap(
    cable_side: Text,
    cable_diameter: Length,
    tower_side: Text,
    pulley_at: Each[Text],
    pulley_side: Each[Text | None],
    pulley_diameter: Each[Length],
) -> Length:
    """Cable that lies on pulleys

    The near cable turns half round at the head; the far one a quarter at its own head plate and a quarter
    where the crossing ends. Each turns half round on its moving pulley. Where several pulleys of a sort
    are given the largest counts.

    Formula: half of pi x (head pulley + box pulley), each to the centre of the cable
    Unit: m
    Source: derived; arc of a circle

    >>> round(wrap("right", 0.006, "right", {"h": "head", "b": "box"}, {"h": "right", "b": None},
    ...     {"h": 0.124, "b": 0.094}), 6)
    0.361283
    """

    def largest(places: tuple[str, ...], side: str | None) -> float:
        sizes = [
            size
            for key, size in pulley_diameter.items()
            if pulley_at[key] in places and side in (None, pulley_side[key])
        ]
        if not sizes:
            raise MissingInput("pulley.diameter")
        return max(sizes) + cable_diameter

    if cable_side == tower_side:
        turned = 2 * largest(("head",), tower_side)
    else:
        turned = largest(("head",), cable_side) + largest(("crossing", "head"), tower_side)
    return math.pi / 4 * (turned + 2 * largest(("box",), None))


def cut_length(
    cable_side: Text,
    cable_wrap: Length,
    cable_turn_back: Length | None,
    tower_side: Text,
    tower_crossing: Length | None,
    tower_head_pulley_height: Length,
    tower_box_pulley_top: Length,
    tower_eye_bolt_height: Length,
    door_frame: rolling.Door,
    practice_cable_turn_back: Length,
) -> Length:
    """Length to cut

    Closed door, boxes at the hook-up mark, eye bolts at mid take-up; only the far cable has a crossing.

    Formula: bottom roller to head pulley + crossing + head pulley to box pulley to eye bolt + pulleys + both ends
    Unit: m
    Source: derived; run of the cable

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0)
    >>> round(cut_length("left", 0.4, None, "left", None, 4.1, 3.8, 4.2, door, 0.15), 6)
    5.4
    >>> round(cut_length("right", 0.4, 0.2, "left", 3.8, 4.1, 3.8, 4.2, door, 0.15), 6)
    9.25
    """
    run = tower_head_pulley_height - door_frame.bottom_roller
    if cable_side != tower_side:
        if tower_crossing is None:
            raise MissingInput("tower.crossing")
        run += tower_crossing
    run += tower_head_pulley_height - tower_box_pulley_top + tower_eye_bolt_height - tower_box_pulley_top
    eye = practice_cable_turn_back if cable_turn_back is None else cable_turn_back
    return run + cable_wrap + practice_cable_turn_back + eye


def drum_length(
    cable_fitting_height: Length | None,
    cable_lean: Length | None,
    cable_turn_back: Length | None,
    torsion_mount: Text,
    torsion_shaft_height: Length,
    torsion_front_pulley_height: Length | None,
    torsion_front_pulley_diameter: Length | None,
    torsion_front_pulley_run: Length | None,
    torsion_drum_wraps_closed: Turns,
    drum_largest_radius: Length,
    door_frame: rolling.Door,
    practice_cable_lean: Length,
    practice_cable_turn_back: Length,
) -> Length:
    """Length to cut for a drum, door closed

    Formula: in front hypot(shaft - bottom fitting, lean); behind level run + pulley axis - bottom fitting + pi/2 x
    pulley radius; + 2 pi x radius x safety wraps + both ends
    Unit: m
    Source: derived; run of the cable

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0)
    >>> round(drum_length(None, None, None, "front", 3.4, None, None, None, 1.5, 0.07, door, 0.0, 0.15), 4)
    4.2597
    >>> round(drum_length(0.1, None, None, "rear", 3.4, 3.4, 0.1, 3.0, 1.5, 0.07, door, 0.0, 0.15), 4)
    7.3383
    """
    fitting = door_frame.bottom_roller if cable_fitting_height is None else cable_fitting_height
    if torsion_mount == "front":
        run = math.hypot(torsion_shaft_height - fitting, practice_cable_lean if cable_lean is None else cable_lean)
    else:
        pulley = {
            "torsion.front_pulley.height": torsion_front_pulley_height,
            "torsion.front_pulley.diameter": torsion_front_pulley_diameter,
            "torsion.front_pulley.run": torsion_front_pulley_run,
        }
        missing = [name for name, value in pulley.items() if value is None]
        if missing:
            raise MissingInput(missing[0])
        height, diameter, level = (value or 0.0 for value in pulley.values())
        run = level + height - fitting + math.pi / 4 * diameter
    eye = practice_cable_turn_back if cable_turn_back is None else cable_turn_back
    wraps = 2.0 * math.pi * drum_largest_radius * torsion_drum_wraps_closed
    return run + wraps + practice_cable_turn_back + eye
