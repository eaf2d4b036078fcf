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
    reading_pull: Each[Weight],
    door_load: Weight,
    tower_plate: Weight | None,
    counterbalance_on_springs: Flag,
    practice_balance_band: Share,
    practice_spring_balance: Share,
) -> Each[Weight | None]:
    """How far from what is wanted the imbalance may be at this mark

    Formula: the shop's share of the door's pull, no less than half a plate's; on springs a share of its weight
    Unit: N
    Source: practice; plates come whole, springs do not follow the door's pull

    >>> band({"a": 400.0}, 4000.0, 45.0, False, 0.02, 0.06), band({"a": 400.0}, 4000.0, None, True, 0.02, 0.06)
    ({'a': 11.25}, {'a': 240.0})
    """
    if counterbalance_on_springs:
        share, least = 0.0, practice_spring_balance * door_load
    elif tower_plate is None:
        raise MissingInput("tower.plate")
    else:
        share, least = practice_balance_band, tower_plate / 4
    return {key: None if door is None else max(share * door, least) for key, door in reading_pull.items()}


def widest_band(
    reading_pull: Each[Weight],
    reading_band: Each[Weight],
    tower_plate: Weight | None,
    practice_balance_most: Share,
) -> Each[Weight | None]:
    """How far from what is wanted the imbalance may be before nobody moves the door

    Formula: the shop's share of the door's pull, no less than a plate's; of springs, no less than twice the usual band
    Unit: N
    Source: practice; what one person still holds

    >>> widest_band({"a": 400.0}, {"a": 99.0}, 45.0, 0.06), widest_band({"a": 400.0}, {"a": 240.0}, None, 0.06)
    ({'a': 24.0}, {'a': 480.0})
    """
    return {
        key: None
        if door is None
        else max(practice_balance_most * door, 2 * reading_band[key] if tower_plate is None else tower_plate / 2)
        for key, door in reading_pull.items()
    }
