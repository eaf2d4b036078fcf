"""Balance readings with a scale at the bottom edge, one mark each, moving up and moving down.

A column of figures may hold None for a reading that a figure does not apply to; a parameter of it is
written without ``| None``, so that an entry that is unknown makes what is worked out from it unknown too.
"""

from __future__ import annotations

from doorlint.errors import ImpossibleInput, MissingInput
from doorlint.figures.kinds import Count, Each, Flag, Length, Pull, Weight
from doorlint.mechanics import drum, rolling, spring_balance, torsion_spring


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
    if reading_up < reading_down:
        raise ImpossibleInput("moving up took less pull than moving down")
    return (reading_up - reading_down) / 2


def travel(
    reading_roller: Each[Count | None],
    reading_up_by: Each[Length | None],
    section_mark_travel: Each[Length | None],
    door_open_travel: Length,
) -> Each[Length | None]:
    """Travel of the door at this reading

    Does not apply where the roller named does not pass the end of the curve.

    Formula: as given, else that of the roller at the pick-up point; 0 for roller 0
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> travel({"closed": 0, "low": 1, "half": None}, {"closed": None, "low": None, "half": 1.2}, {"s1": 1.7}, 2.0)
    {'closed': 0.0, 'low': 1.7, 'half': 1.2}
    """
    marks = [0.0, *section_mark_travel.values()]
    found: dict[str, float | None] = {}
    for key, roller in reading_roller.items():
        by = reading_up_by[key]
        if by is None and roller is None:
            raise MissingInput("reading.roller", "reading.up_by")
        if by is not None:
            found[key] = min(by, door_open_travel)
        else:
            assert roller is not None
            found[key] = marks[roller] if roller < len(marks) else None
    return found


def pull(reading_travel: Each[Length], track_path: rolling.Path, door_shape: rolling.Door) -> Each[Weight | None]:
    """Pull of the door at this reading

    Formula: pull of the door at the travel of the reading
    Unit: N
    Source: derived; virtual work, frictionless

    >>> pull({"half": 0.5, "none": None}, rolling.Path(9.0, 0.3), rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0))
    {'half': 600.0, 'none': None}
    """
    return {key: None if at is None else rolling.pull(track_path, door_shape, at) for key, at in reading_travel.items()}


def wanted(
    reading_roller: Each[Count | None],
    reading_travel: Each[Length],
    reading_pull: Each[Weight],
    door_residual_closed: Pull,
    box_mark_roller: Each[Count] | None,
    box_bias: Each[Pull] | None,
    counterbalance_on_springs: Flag,
    torsion_wound_springs: tuple[torsion_spring.Wound, ...] | None,
    drum_shape: drum.Drum | None,
) -> Each[Pull | None]:
    """Imbalance wanted at this reading

    At the marks of a counterweight the door shall be light by the bias; closed, and on springs, it is as
    heavy as the counterbalance leaves it.

    Formula: bias with its sign turned; pull of the door - pull of the counterbalance
    Unit: N
    Source: derived; from both pulls

    >>> at = {"a": 0, "b": 2}, {"a": 0.0, "b": 1.2}, {"a": 600.0, "b": 400.0}
    >>> wanted(*at, -300.0, {"b1": 1, "b2": 2}, {"b1": 2.0, "b2": 4.0}, False, None, None)
    {'a': 300.0, 'b': -4.0}
    >>> by_springs = wanted(*at, -300.0, None, None, True, (torsion_spring.Wound(20.0, 7.0),), drum.standard(0.07))
    >>> round(by_springs["b"], 1)
    -820.5
    """
    if counterbalance_on_springs:
        if torsion_wound_springs is None or drum_shape is None:
            raise MissingInput("torsion.pull_closed")
        springs, shape = torsion_wound_springs, drum_shape
        return {
            key: None if at is None else reading_pull[key] - spring_balance.pull(springs, shape, at)
            for key, at in reading_travel.items()
        }
    if box_mark_roller is None or box_bias is None:
        raise MissingInput("box.bias")
    aims: dict[int | None, float | None] = {0: -door_residual_closed}
    for key, roller in box_mark_roller.items():
        extra = box_bias[key]
        aims.setdefault(roller, None if extra is None else -extra)
    return {key: aims.get(roller) for key, roller in reading_roller.items()}


def moving_force(reading_imbalance: Each[Pull], reading_travel: Each[Length]) -> Each[Weight | None]:
    """Force that moves the released door at this reading, friction left out

    The closed door that is heavy stays on the floor.

    Formula: imbalance without its sign
    Unit: N
    Source: derived; equilibrium of the released door

    >>> moving_force({"a": 90.0, "b": -90.0}, {"a": 0.0, "b": 0.0})
    {'a': 0.0, 'b': 90.0}
    """
    return {
        key: None if at is None else (abs(reading_imbalance[key]) if at > 0.0 else max(-reading_imbalance[key], 0.0))
        for key, at in reading_travel.items()
    }


def band(
    reading_friction: Pull,
    counterbalance_on_springs: Flag,
    torsion_friction: Weight | None,
) -> Weight:
    """How far from what is wanted the imbalance may be at this mark

    Formula: the friction read there; on springs the friction of the springs' job
    Unit: N
    Source: practice; friction holds the door where it is let go, springs do not follow the door's pull

    >>> band(70.0, False, None), band(70.0, True, 240.0)
    (70.0, 240.0)
    """
    if not counterbalance_on_springs:
        return reading_friction
    if torsion_friction is None:
        raise MissingInput("torsion.friction")
    return torsion_friction


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
