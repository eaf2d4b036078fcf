"""Balance readings with a scale at the bottom edge, one mark each, moving up and moving down.

A column of figures may hold None for a reading that a figure does not apply to; a parameter of it is
written without ``| None``, so that an entry that is unknown makes what is worked out from it unknown too.
"""

from __future__ import annotations

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Count, Each, Flag, Length, Pull, Share, TorqueRate, Turns, Weight
from doorlint.mechanics import spring


def imbalance(reading_up: Pull, reading_down: Pull) -> Pull:
    """Imbalance of the door at this mark

    Positive: the door is heavy and wants down. Negative: it is light.

    Formula: (pull moving up + pull moving down) / 2
    Unit: N
    Source: derived; friction acts against the motion, so that it falls out of the mean

    >>> imbalance(60.0, -80.0)
    -10.0
    """
    return (reading_up + reading_down) / 2


def friction(reading_up: Pull, reading_down: Pull) -> Pull:
    """Friction of the door at this mark

    Formula: (pull moving up - pull moving down) / 2
    Unit: N
    Source: derived; friction acts against the motion, so that it is half the difference

    >>> friction(60.0, -80.0)
    70.0
    """
    return (reading_up - reading_down) / 2


def pull(reading_roller: Each[Count], section_mark_pull: Each[Weight], door_pull_closed: Weight) -> Each[Weight | None]:
    """Pull of the door at this mark

    Formula: pull of the door with the roller at the pick-up point, or closed
    Unit: N
    Source: derived; virtual work, frictionless

    >>> pull({"low": 2, "closed": 0, "none": 3}, {"s1": 200.0, "s2": 400.0}, 600.0)
    {'low': 400.0, 'closed': 600.0, 'none': None}
    """
    pulls = [door_pull_closed, *section_mark_pull.values()]
    return {key: pulls[roller] if roller < len(pulls) else None for key, roller in reading_roller.items()}


def wanted(
    reading_roller: Each[Count],
    door_residual_closed: Pull,
    box_mark_roller: Each[Count] | None,
    box_bias: Each[Pull] | None,
    section_mark_travel: Each[Length],
    section_mark_pull: Each[Weight],
    counterbalance_on_springs: Flag,
    torsion_rate: TorqueRate | None,
    torsion_turns_closed: Turns | None,
    torsion_radii: tuple[Length, ...] | None,
) -> Each[Pull | None]:
    """Imbalance wanted at this mark

    At the marks of a counterweight the door shall be light by the bias; closed, and on springs, it is as
    heavy as the counterbalance leaves it.

    Formula: bias with its sign turned; pull of the door - pull of the counterbalance
    Unit: N
    Source: derived; from both pulls

    >>> marks = {"s1": 1.7, "s2": 1.2}, {"s1": 200.0, "s2": 400.0}
    >>> wanted({"a": 0, "b": 2}, -300.0, {"b1": 1, "b2": 2}, {"b1": 2.0, "b2": 4.0}, *marks, False, None, None, None)
    {'a': 300.0, 'b': -4.0}
    >>> by_springs = wanted({"b": 2}, -300.0, None, None, *marks, True, 20.0, 7.0, (0.07,))
    >>> round(by_springs["b"], 1)
    -820.5
    """
    aims: dict[int, float | None] = {0: -door_residual_closed}
    if counterbalance_on_springs:
        if torsion_rate is None or torsion_turns_closed is None or torsion_radii is None:
            raise MissingInput("torsion.pull_closed")
        at_marks = zip(section_mark_travel.values(), section_mark_pull.values(), strict=True)
        for roller, (travel, door) in enumerate(at_marks, start=1):
            if travel is not None:
                aims[roller] = door - spring.pull_at(torsion_rate, torsion_turns_closed, torsion_radii, travel)
    elif box_mark_roller is None or box_bias is None:
        raise MissingInput("box.bias")
    else:
        for key, roller in box_mark_roller.items():
            extra = box_bias[key]
            aims.setdefault(roller, None if extra is None else -extra)
    return {key: aims.get(roller) for key, roller in reading_roller.items()}


def band(
    reading_friction: Pull,
    door_load: Weight,
    counterbalance_on_springs: Flag,
    practice_spring_balance: Share,
) -> Weight:
    """How far from what is wanted the imbalance may be at this mark

    Formula: the friction read there; on springs the shop's share of the door's weight
    Unit: N
    Source: practice; friction holds the door where it is let go, springs do not follow the door's pull

    >>> band(70.0, 4000.0, False, 0.06), band(70.0, 4000.0, True, 0.06)
    (70.0, 240.0)
    """
    return practice_spring_balance * door_load if counterbalance_on_springs else reading_friction


def widest_band(reading_band: Weight, counterbalance_on_springs: Flag) -> Weight | None:
    """How far from what is wanted the imbalance of springs may be before nobody moves the door

    Does not apply to a counterweight: there friction decides.

    Formula: twice the usual band
    Unit: N
    Source: practice; what one person still holds

    >>> widest_band(240.0, True), widest_band(70.0, False)
    (480.0, None)
    """
    return 2 * reading_band if counterbalance_on_springs else None


def sinks(reading_roller: Count, reading_down: Pull) -> Pull | None:
    """Force that draws the door down when it is let go at this mark

    Friction is in it: moving down it still pulls so hard. Does not apply to the closed door.

    Formula: pull moving down; nothing where it has to be pushed
    Unit: N
    Source: derived; friction acts against the motion

    >>> sinks(2, 30.0), sinks(2, -20.0), sinks(0, 50.0)
    (30.0, 0.0, None)
    """
    return max(reading_down, 0.0) if reading_roller else None


def rises(reading_up: Pull) -> Pull:
    """Force that draws the door up when it is let go at this mark

    Formula: what it takes to hold the door back moving up; nothing where it has to be pulled
    Unit: N
    Source: derived; friction acts against the motion

    >>> rises(-30.0), rises(20.0)
    (30.0, 0.0)
    """
    return max(-reading_up, 0.0)
