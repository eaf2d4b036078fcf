"""Each bearing of the shaft: what it carries with the door closed."""

from __future__ import annotations

import math

from doorlint.figures.kinds import Each, Length, Pull, Weight
from doorlint.mechanics import shaft


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
