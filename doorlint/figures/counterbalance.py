"""Which counterbalance holds the door."""

from __future__ import annotations

from doorlint.errors import NotModelled
from doorlint.figures.kinds import Count, Each, Flag, Length, Text, Turns, Weight


def kinds(
    tower_side: Text | None,
    tower_height: Length | None,
    box_tare: Each[Weight | None] | None,
    torsion_wound: Turns | None,
    torsion_shaft_diameter: Length | None,
    spring_wire: Each[Length | None] | None,
) -> Count:
    """Counterbalances that the spec describes

    Formula: 1 for a tower + 1 for a torsion shaft, each when any of it is described
    Unit: 1
    Source: derived; from what the spec says

    >>> kinds("left", None, None, None, None, None), kinds(None, None, None, None, None, None)
    (1, 0)
    >>> kinds(None, None, {"b1": None}, None, 0.025, None)
    2
    """
    tower = (tower_side, tower_height, box_tare)
    torsion = (torsion_wound, torsion_shaft_diameter, spring_wire)
    return sum(any(part is not None for part in kind) for kind in (tower, torsion))


def on_springs(
    torsion_wound: Turns | None,
    torsion_pre_wind: Turns | None,
    torsion_shaft_diameter: Length | None,
    spring_wire: Each[Length | None] | None,
) -> Flag:
    """Whether springs on a shaft balance the door

    Formula: true when any of a torsion shaft is described
    Unit: -
    Source: derived; from what the spec says

    >>> on_springs(None, 0.4, None, None), on_springs(None, None, None, None)
    (True, False)
    """
    torsion = (torsion_wound, torsion_pre_wind, torsion_shaft_diameter, spring_wire)
    return any(part is not None for part in torsion)


def make_safe(counterbalance_kinds: Count, counterbalance_on_springs: Flag) -> Text:
    """What makes the counterbalance safe before a cable, pulley or bracket is touched

    Formula: boxes are clamped, springs unwound
    Unit: -
    Source: derived; stored energy is held or let out first

    >>> make_safe(1, False), make_safe(1, True)
    ('Lock the door closed and clamp the boxes', 'Lock the door closed and unwind every spring fully')
    """
    if counterbalance_kinds != 1:
        raise NotModelled("one counterbalance holds a door")
    if counterbalance_on_springs:
        return "Lock the door closed and unwind every spring fully"
    return "Lock the door closed and clamp the boxes"
