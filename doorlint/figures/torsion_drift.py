"""Where a door on springs moves when it is let go, how hard and how fast."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, floor, inf

from doorlint.errors import MissingInput
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Each, Flag, Length, Pull, Speed, Text, Weight
from doorlint.mechanics import balance, drift, drum, rolling, spring_balance, torsion_spring

SUBJECT = "torsion"


STEPS = 120
"""steps of travel in which stretches of drift are looked for"""


FEW = 36
"""steps of travel over which settings of springs are compared"""


SURE = 0.99
"""share of friction up to which the places where the residual may be most are enough"""


CALM = 0.9
"""share of friction below which no fine steps are taken between two such places"""


def friction(
    operation_friction: Weight, reading_friction: Each[Weight] | None, counterbalance_on_springs: Flag
) -> Weight:
    """Friction that keeps the released door in place

    Measured where the door was read both ways: the least of the readings, so that no place is thought to hold better
    than it does.

    Formula: least of half the differences read, else the shop's share of the weight
    Unit: N
    Source: practice; several percent of the weight until it is measured

    >>> friction(200.0, None, True), friction(200.0, {"a": 90.0, "b": 120.0}, True)
    (200.0, 90.0)
    """
    if not counterbalance_on_springs or reading_friction is None:
        return operation_friction
    return max(min(reading_friction.values()), 0.0)


def door_curve(
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_open_travel: Length,
    door_marks: tuple[balance.Mark | None, ...],
    drum_shape: drum.Drum,
) -> tuple[tuple[Length, Weight], ...]:
    """Pull of the door over its travel, in even steps

    Formula: even steps from closed to open, every mark and every corner of the drum
    Unit: N
    Source: derived; virtual work, frictionless

    >>> door = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0)
    >>> door_curve(rolling.Path(9.0, 0.3), door, 1.0, (None, None), drum.standard(0.07))[-1]
    (1.0, 600.0)
    """
    even = [door_open_travel * step / FEW for step in range(FEW + 1)]
    marks = [mark.travel for mark in door_marks if mark is not None]
    corners = [cable for cable in drum_shape.cables if cable < door_open_travel]
    return tuple(
        [(travel, rolling.pull(track_path, door_shape, travel)) for travel in sorted({*even, *marks, *corners})]
    )


def residuals(
    torsion_wound_springs: tuple[torsion_spring.Wound, ...],
    drum_shape: drum.Drum,
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_open_travel: Length,
    door_left_over: tuple[tuple[Length, Pull], ...],
    torsion_friction: Weight,
) -> tuple[tuple[Length, Pull], ...]:
    """What the springs pull more than the door, over the travel

    In fine steps about where friction may not hold the door; else the places where the residual may be most are enough.

    Formula: pull of the springs - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> door, path = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0), rolling.Path(9.0, 0.3)
    >>> wound, flat = (torsion_spring.Wound(6.0, 7.0),), drum.standard(0.07)
    >>> residuals(wound, flat, path, door, 1.0, ((0.0, 5.0), (1.0, 5.0)), 100.0)
    ((0.0, 5.0), (1.0, 5.0))
    >>> len(residuals(wound, flat, path, door, 1.0, ((0.0, 5.0), (1.0, -5.0)), 1.0))
    121
    """
    if max(abs(over) for _, over in door_left_over) <= SURE * torsion_friction:
        return door_left_over
    calm, travels = CALM * torsion_friction, set()
    for (here, one), (there, other) in pairwise(door_left_over):
        if abs(one) > calm or abs(other) > calm:
            first, last = (STEPS * travel / door_open_travel for travel in (here, there))
            travels |= {door_open_travel * step / STEPS for step in range(ceil(first), floor(last) + 1)}
    travels -= {travel for travel, _ in door_left_over}
    curve = [(travel, rolling.pull(track_path, door_shape, travel)) for travel in travels]
    return tuple(sorted([*door_left_over, *spring_balance.residuals(torsion_wound_springs, drum_shape, curve)]))


def worst_drift(
    balance_drifts: list[tuple[Length, Length, Text, Weight]], door_open_travel: Length
) -> tuple[Text, Length, Length]:
    """Where the released door moves most: the way, and the travel from and to; where it stays, nowhere in all of it

    Formula: the stretch with the largest residual
    Unit: -
    Source: derived; from the stretches of drift

    >>> worst_drift([(0.0, 0.6096, "down", 90.0)], 3.0), worst_drift([], 3.0)
    (('down', 0.0, 0.6096), ('nowhere', 0.0, 3.0))
    """
    if not balance_drifts:
        return "nowhere", 0.0, door_open_travel
    start, end, way, _ = max(balance_drifts, key=lambda stretch: stretch[3])
    return way, start, end


def drift_way(torsion_worst_drift: tuple[Text, Length, Length]) -> Text:
    """Which way the released door moves where it moves most

    Formula: way of the stretch with the largest residual
    Unit: -
    Source: derived; from the stretches of drift

    >>> drift_way(("down", 0.0, 0.6096))
    'down'
    """
    return torsion_worst_drift[0]


def drift_start(torsion_worst_drift: tuple[Text, Length, Length]) -> Length:
    """Travel from which the released door moves most

    Formula: start of the stretch with the largest residual
    Unit: m
    Source: derived; from the stretches of drift

    >>> drift_start(("down", 0.0, 0.6096))
    0.0
    """
    return torsion_worst_drift[1]


def drift_end(torsion_worst_drift: tuple[Text, Length, Length]) -> Length:
    """Travel to which the released door moves most

    Formula: end of the stretch with the largest residual
    Unit: m
    Source: derived; from the stretches of drift

    >>> drift_end(("down", 0.0, 0.6096))
    0.6096
    """
    return torsion_worst_drift[2]


def hardest(
    torsion_residuals: tuple[tuple[Length, Pull], ...], balance_friction: tuple[tuple[Length, Weight], ...]
) -> tuple[Weight, Weight]:
    """Where the released door moves hardest: the force on it, and the friction there

    Formula: largest residual without its sign - friction
    Unit: N
    Source: derived; equilibrium of the released door

    >>> hardest(((0.0, -300.0), (1.0, 250.0)), ((0.0, 200.0), (1.0, 100.0)))
    (250.0, 100.0)
    """
    forces = [(abs(over), drift.friction_at(balance_friction, travel)) for travel, over in torsion_residuals]
    return max(forces, key=lambda one: one[0] - one[1])


def moving_force(torsion_hardest: tuple[Weight, Weight]) -> Weight:
    """Force on the released door where it moves hardest, friction left out

    Formula: residual without its sign
    Unit: N
    Source: derived; from both pulls

    >>> moving_force((250.0, 100.0))
    250.0
    """
    return torsion_hardest[0]


def holding_friction(torsion_hardest: tuple[Weight, Weight]) -> Weight:
    """Friction where the released door moves hardest

    Formula: as read at the marks, straight between; the shop's share before it is read
    Unit: N
    Source: derived; friction over the travel

    >>> holding_friction((250.0, 100.0))
    100.0
    """
    return torsion_hardest[1]


@error_gain(inf)  # a speed rises with the root of what friction no longer holds
def speed_down(
    torsion_residuals: tuple[tuple[Length, Pull], ...],
    balance_friction: tuple[tuple[Length, Weight], ...],
    door_load: Weight,
) -> Speed:
    """Greatest speed at which the released door comes down

    Formula: sqrt(2 x work of the residual less friction / mass of the door), let go where that is most
    Unit: m/s
    Source: derived; energy; turning parts and their own friction left out

    >>> round(speed_down(((0.0, -120.0), (2.0, -120.0)), ((0.0, 20.0),), 980.665), 6)
    2.0
    """
    return _speed(torsion_residuals, balance_friction, door_load, "down")


@error_gain(inf)  # likewise
def speed_up(
    torsion_residuals: tuple[tuple[Length, Pull], ...],
    balance_friction: tuple[tuple[Length, Weight], ...],
    door_load: Weight,
) -> Speed:
    """Greatest speed at which the released door goes up

    Formula: sqrt(2 x work of the residual less friction / mass of the door), let go where that is most
    Unit: m/s
    Source: derived; energy; turning parts and their own friction left out

    >>> round(speed_up(((0.0, 120.0), (2.0, 120.0)), ((0.0, 20.0),), 980.665), 6)
    2.0
    """
    return _speed(torsion_residuals, balance_friction, door_load, "up")


def _speed(
    left: tuple[tuple[float, float], ...], friction: tuple[tuple[float, float], ...], weight: float, way: str
) -> float:
    """The greatest speed one way, with the friction that works against it taken off the residual."""
    sign = 1.0 if way == "up" else -1.0
    if max(sign * over for _, over in left) <= min(least for _, least in friction):
        return 0.0
    beyond = [(travel, over - sign * drift.friction_at(friction, travel)) for travel, over in left]
    return spring_balance.greatest_speed(beyond, 0.0, lambda _: weight, way)


def must_stay(job_standard: Text | None, torsion_moving_force: Weight | None) -> Weight | None:
    """Largest force on the released door of a European job

    Does not apply to a job under American standards.

    Formula: largest residual over the travel beyond friction, without its sign
    Unit: N
    Source: published; EN 12604; 2017; 4.3.3

    >>> must_stay("EN", 300.0), must_stay("US", 300.0)
    (300.0, None)
    """
    if job_standard != "EN":
        return None
    if torsion_moving_force is None:
        raise MissingInput("torsion.wound")
    return torsion_moving_force
