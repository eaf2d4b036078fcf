"""Balance readings with a scale at the bottom edge, one mark each, moving up and moving down."""

from __future__ import annotations

from doorlint.errors import Lacking
from doorlint.figures.kinds import Count, Each, Length, Pull, Share, Turns, Weight


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


def travel(reading_roller: Count, section_mark_travel: Each[Length]) -> Length | None:
    """Travel of the door at this mark

    Formula: pick-up travel of the roller; nothing with the door closed
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> travel(2, {"s1": 1.7, "s2": 1.2}), travel(0, {"s1": 1.7})
    (1.2, 0.0)
    """
    if reading_roller == 0:
        return 0.0
    travels = list(section_mark_travel.values())
    return travels[reading_roller - 1] if reading_roller <= len(travels) else None


def pull(
    reading_roller: Count, section_mark_pull: Each[Weight], door_pull_closed: Weight
) -> Weight | None:
    """Pull of the door at this mark

    Formula: pull of the door with the roller at the pick-up point, or closed
    Unit: N
    Source: derived; virtual work, frictionless

    >>> pull(2, {"s1": 200.0, "s2": 400.0}, 600.0), pull(0, {"s1": 200.0}, 600.0)
    (400.0, 600.0)
    """
    if reading_roller == 0:
        return door_pull_closed
    pulls = list(section_mark_pull.values())
    return pulls[reading_roller - 1] if reading_roller <= len(pulls) else None


def wanted(
    reading_roller: Count,
    door_residual_closed: Pull,
    box_mark_roller: Each[Count] | None,
    box_bias: Each[Pull] | None,
    section_mark_spring_residual: Each[Pull] | None,
    torsion_wound: Turns | None,
) -> Pull | None:
    """Imbalance wanted at this mark

    At the marks of a counterweight the door shall be light by the bias; closed, and on springs, it is as
    heavy as the counterbalance leaves it.

    Formula: bias with its sign turned; pull of the door - pull of the counterbalance
    Unit: N
    Source: derived; from both pulls

    >>> wanted(2, -300.0, {"b1": 1, "b2": 2}, {"b1": 2.0, "b2": 4.0}, None, None)
    -4.0
    >>> wanted(0, -300.0, {"b1": 1}, {"b1": 2.0}, None, None)
    300.0
    """
    if reading_roller == 0:
        return -door_residual_closed
    if torsion_wound is not None:
        if section_mark_spring_residual is None:
            raise Lacking("section.mark_spring_residual")
        left = list(section_mark_spring_residual.values())
        over = left[reading_roller - 1] if reading_roller <= len(left) else None
        return None if over is None else -over
    if box_mark_roller is None or box_bias is None:
        raise Lacking("box.bias")
    extra = next((box_bias[key] for key, roller in box_mark_roller.items() if roller == reading_roller), None)
    return None if extra is None else -extra


def off(reading_imbalance: Pull, reading_wanted: Pull) -> Pull:
    """How much heavier the door is at this mark than it should be; negative where lighter

    Formula: imbalance - imbalance wanted
    Unit: N
    Source: derived; difference

    >>> off(-10.0, -4.0)
    -6.0
    """
    return reading_imbalance - reading_wanted


def band(
    reading_pull: Weight,
    door_load: Weight,
    tower_plate: Weight | None,
    torsion_wound: Turns | None,
    practice_balance_band: Share,
    practice_spring_balance: Share,
) -> Weight:
    """How far from what is wanted the imbalance may be at this mark

    Formula: the shop's share of the door's pull, no less than half a plate's; on springs a share of its weight
    Unit: N
    Source: practice; plates come whole, springs do not follow the door's pull

    >>> band(400.0, 4000.0, 45.0, None, 0.02, 0.06), band(400.0, 4000.0, None, 7.5, 0.02, 0.06)
    (11.25, 240.0)
    """
    if torsion_wound is not None:
        return practice_spring_balance * door_load
    if tower_plate is None:
        raise Lacking("tower.plate")
    return max(practice_balance_band * reading_pull, tower_plate / 4)


def widest_band(
    reading_pull: Weight,
    reading_band: Weight,
    tower_plate: Weight | None,
    practice_balance_most: Share,
) -> Weight:
    """How far from what is wanted the imbalance may be before nobody moves the door

    Formula: the shop's share of the door's pull, no less than a plate's or twice the usual band
    Unit: N
    Source: practice; what one person still holds

    >>> widest_band(400.0, 11.25, 45.0, 0.06), widest_band(400.0, 240.0, None, 0.06)
    (24.0, 480.0)
    """
    return max(practice_balance_most * reading_pull, 2 * reading_band, (tower_plate or 0.0) / 2)
