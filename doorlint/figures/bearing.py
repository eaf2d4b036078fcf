"""Each bearing of the shaft: what it carries with the door closed, and in which case it carries most."""

from __future__ import annotations

import math

from doorlint.figures.kinds import Each, Length, Pull, Text, Turns, Weight
from doorlint.mechanics import drum, load_path, shaft, spring_balance
from doorlint.mechanics.torsion_spring import Wound


def forces(bearing_station: Each[Length], shaft_held: tuple[shaft.Force, ...]) -> Each[shaft.Force]:
    """What the shaft puts on the bearing, down and toward the front

    Formula: continuous beam on rigid pins
    Unit: N
    Source: derived; three-moment equation

    >>> forces({"r": 2.0, "l": 0.0}, ((50.0, 0.0), (60.0, 0.0)))["r"]
    (60.0, 0.0)
    """
    order = sorted(bearing_station, key=bearing_station.__getitem__)
    found = dict(zip(order, shaft_held, strict=True))
    return {key: found[key] for key in bearing_station}


def down(bearing_forces: Each[shaft.Force]) -> Each[Pull]:
    """Load of the shaft down on the bearing; negative where the bearing holds the shaft down

    Formula: continuous beam on rigid pins
    Unit: N
    Source: derived; three-moment equation

    >>> down({"l": (50.0, 20.0)})
    {'l': 50.0}
    """
    return {key: force[0] for key, force in bearing_forces.items()}


def front(bearing_forces: Each[shaft.Force]) -> Each[Pull]:
    """Load of the shaft toward the front on the bearing

    Formula: continuous beam on rigid pins
    Unit: N
    Source: derived; three-moment equation

    >>> front({"l": (50.0, 20.0)})
    {'l': 20.0}
    """
    return {key: force[1] for key, force in bearing_forces.items()}


def load(bearing_forces: Each[shaft.Force]) -> Each[Weight]:
    """Load on the bearing, whichever way

    Formula: down and toward the front, taken together at right angles
    Unit: N
    Source: derived; vector sum

    >>> load({"l": (30.0, 40.0)})
    {'l': 50.0}
    """
    return {key: math.hypot(*force) for key, force in bearing_forces.items()}


def uplift(bearing_forces: Each[shaft.Force]) -> Each[Weight]:
    """Force with which the shaft lifts the bearing

    Formula: upward load, 0 where it bears down
    Unit: N
    Source: derived; three-moment equation

    >>> uplift({"l": (-30.0, 0.0), "r": (50.0, 0.0)})
    {'l': 30.0, 'r': 0.0}
    """
    return {key: max(-force[0], 0.0) for key, force in bearing_forces.items()}


def cases(
    bearing_forces: Each[shaft.Force],
    bearing_station: Each[Length],
    shaft_beam: shaft.Shaft,
    torsion_mount: Text,
    torsion_drum_left: Length,
    torsion_drum_right: Length,
    torsion_wound_springs: tuple[Wound, ...],
    drum_shape: drum.Drum,
    torsion_travel_turns: Turns,
) -> Each[tuple[load_path.Case, ...]]:
    """Load on the bearing, case by case

    The weights of shaft, drums and springs stay; the pull of the cables changes with the travel. Where it lifts a
    bearing that the weights press down, the open door loads it most. Anywhere in travel the load is largest where the
    pull is largest or least. With one cable gone the other drum has all of it.

    Formula: vector sum of the load closed and of what the change of the pull adds
    Unit: N
    Source: derived; continuous beam on rigid pins

    >>> line, springs = shaft.Shaft((0.0, 2.0), 0.0254, 0.0), (Wound(20.0, 7.0),)
    >>> closed, stations = {"l": (1100.0, 0.0), "r": (1100.0, 0.0)}, {"l": 0.0, "r": 2.0}
    >>> found = cases(closed, stations, line, "front", 0.5, 1.5, springs, drum.standard(0.07), 6.5)
    >>> [(case.case, round(case.force)) for case in found["l"]]
    [('closed at rest', 1100), ('open on the bumpers', 171), ('anywhere in travel', 1100), ('other cable gone', 1600)]
    """
    pulls = spring_balance.corner_pulls(torsion_wound_springs, drum_shape, torsion_travel_turns)
    closed, opened, most = pulls[0], pulls[1] if len(pulls) > 1 else pulls[0], max(pulls)
    of_left, of_right = (shaft.shares(shaft_beam, station) for station in (torsion_drum_left, torsion_drum_right))
    order = sorted(bearing_station, key=bearing_station.__getitem__)
    level = torsion_mount == "rear"

    def load_with(key: str, left: float, right: float) -> float:
        """With these pulls at the drums in place of half of the pull closed at each."""
        at, (down, toward) = order.index(key), bearing_forces[key]
        more = (left - closed / 2) * of_left[at] + (right - closed / 2) * of_right[at]
        return math.hypot(down, toward + more) if level else math.hypot(down + more, toward)

    return {
        key: (
            load_path.Case(load_path.REST, load_with(key, closed / 2, closed / 2)),
            load_path.Case(load_path.OPEN, load_with(key, opened / 2, opened / 2)),
            load_path.Case(load_path.TRAVEL, max(load_with(key, pull / 2, pull / 2) for pull in pulls)),
            load_path.Case(load_path.ALONE, max(load_with(key, most, 0.0), load_with(key, 0.0, most))),
        )
        for key in bearing_station
    }


def worst_load(bearing_cases: Each[tuple[load_path.Case, ...]]) -> Each[Weight]:
    """Most that the bearing carries

    Formula: largest load of all cases
    Unit: N
    Source: derived; continuous beam on rigid pins

    >>> worst_load({"l": (load_path.Case("closed at rest", 50.0), load_path.Case("other cable gone", 90.0))})
    {'l': 90.0}
    """
    return {key: max(case.force or 0.0 for case in found) for key, found in bearing_cases.items()}


def worst_case(bearing_cases: Each[tuple[load_path.Case, ...]]) -> Each[Text]:
    """The case in which the bearing carries most

    Formula: case of the largest load
    Unit: -
    Source: derived; continuous beam on rigid pins

    >>> worst_case({"l": (load_path.Case("closed at rest", 50.0), load_path.Case("other cable gone", 90.0))})
    {'l': 'other cable gone'}
    """
    worst = {key: load_path.governing(found) for key, found in bearing_cases.items()}
    return {key: "" if case is None else case.case for key, case in worst.items()}
