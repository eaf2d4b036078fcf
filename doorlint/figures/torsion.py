"""The springs against the door: turns, torque, pull, and where the door stays, drifts, runs away or falls."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, floor, inf

from doorlint.errors import MissingInput
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Each, Flag, Length, Pull, Speed, Text, Torque, TorqueRate, Turns, Weight
from doorlint.mechanics import balance, drift, drum, rolling, spring_balance, torsion_spring
from doorlint.mechanics.torsion_spring import Wound

STEPS = 120
"""steps of travel in which stretches of drift are looked for"""
FEW = 36
"""steps of travel over which settings of springs are compared"""
SURE = 0.99
"""share of friction up to which the places where the residual may be most are enough"""
CALM = 0.9
"""share of friction below which no fine steps are taken between two such places"""


def turns_closed(
    torsion_wound: Turns | None, torsion_pre_wind: Turns | None, torsion_travel_turns: Turns | None
) -> Turns:
    """Turns on the springs with the door closed

    Formula: the turns wound, else turns left when open + turns of the travel
    Unit: turns
    Source: derived; the door unwinds the springs as it opens

    >>> turns_closed(7.5, None, None), turns_closed(None, 0.5, 7.0)
    (7.5, 7.5)
    """
    if torsion_wound is not None:
        return torsion_wound
    if torsion_pre_wind is None:
        raise MissingInput("torsion.wound")
    if torsion_travel_turns is None:
        raise MissingInput("torsion.travel_turns")
    return torsion_pre_wind + torsion_travel_turns


def travel_turns(drum_shape: drum.Drum, door_open_travel: Length) -> Turns:
    """Turns of the shaft from closed to open

    Formula: x = 2 pi x integral of the radius, solved for the turns
    Unit: turns
    Source: derived; cable wound on the drums

    >>> round(travel_turns(drum.standard(0.07), 3.0), 3)
    6.821
    """
    return drum_shape.turned(door_open_travel)


def wound_springs(
    spring_torque_rate: Each[TorqueRate], spring_turns_closed: Each[Turns]
) -> tuple[torsion_spring.Wound, ...]:
    """The springs on the shaft, each with its rate and its turns

    Formula: torque per turn and turns of every spring
    Unit: N m/turn
    Source: derived; springs side by side on one shaft

    >>> wound_springs({"left": 10.0}, {"left": 7.5})
    (Wound(rate=10.0, turns=7.5),)
    """
    return tuple([Wound(rate, spring_turns_closed[key]) for key, rate in spring_torque_rate.items()])


def rate(spring_torque_rate: Each[TorqueRate]) -> TorqueRate:
    """Torque of all springs together for one turn of the shaft

    Formula: sum of the springs
    Unit: N m/turn
    Source: derived; springs side by side on one shaft

    >>> rate({"left": 10.0, "right": 10.5})
    20.5
    """
    return sum(spring_torque_rate.values())


def torque_closed(torsion_wound_springs: tuple[torsion_spring.Wound, ...]) -> Torque:
    """Torque of all springs with the door closed

    Formula: sum of rate x turns
    Unit: N m
    Source: derived; springs side by side on one shaft

    >>> torque_closed((Wound(10.0, 7.5), Wound(5.0, 6.0)))
    105.0
    """
    return torsion_spring.torque(torsion_wound_springs, 0.0)


def turns_open(torsion_wound_springs: tuple[torsion_spring.Wound, ...], torsion_travel_turns: Turns) -> Turns:
    """Turns left with the door open, on the spring that has least

    Formula: least turns closed - turns of the travel
    Unit: turns
    Source: derived; the door unwinds the springs as it opens

    >>> turns_open((Wound(10.0, 7.5), Wound(5.0, 7.25)), 7.0)
    0.25
    """
    return min(spring.turns for spring in torsion_wound_springs) - torsion_travel_turns


def least_turns(torsion_wound_springs: tuple[torsion_spring.Wound, ...]) -> Turns:
    """Turns with the door closed, on the spring that has least

    Formula: least of the springs
    Unit: turns
    Source: derived; from the spec

    >>> least_turns((Wound(10.0, 7.5), Wound(5.0, 7.25)))
    7.25
    """
    return min(spring.turns for spring in torsion_wound_springs)


def pull_closed(torsion_wound_springs: tuple[torsion_spring.Wound, ...], drum_shape: drum.Drum) -> Pull:
    """Pull of the springs with the door closed, both cables together

    Formula: torque of all springs / radius
    Unit: N
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> round(pull_closed((Wound(20.0, 7.0),), drum.standard(0.07)), 3)
    2000.0
    """
    return spring_balance.pull(torsion_wound_springs, drum_shape, 0.0)


def pull_open(
    torsion_wound_springs: tuple[torsion_spring.Wound, ...], drum_shape: drum.Drum, door_open_travel: Length
) -> Pull:
    """Pull of the springs with the door open, both cables together

    Formula: torque left / radius there
    Unit: N
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> round(pull_open((Wound(20.0, 7.0),), drum.standard(0.07), 3.0), 3)
    51.164
    """
    return spring_balance.pull(torsion_wound_springs, drum_shape, door_open_travel)


def residual_closed(torsion_pull_closed: Pull, door_pull_closed: Weight) -> Pull:
    """What the springs pull more than the closed door

    Formula: pull of the springs - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> residual_closed(2000.0, 2040.0)
    -40.0
    """
    return torsion_pull_closed - door_pull_closed


def residual_open(torsion_pull_open: Pull, door_pull_open: Weight) -> Pull:
    """What the springs pull more than the open door

    Formula: pull of the springs - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> residual_open(60.0, 40.0)
    20.0
    """
    return torsion_pull_open - door_pull_open


def pull_largest(
    torsion_wound_springs: tuple[torsion_spring.Wound, ...], drum_shape: drum.Drum, torsion_travel_turns: Turns
) -> Pull:
    """Largest pull of the springs over the travel, both cables together

    Between corners torque and radius both change evenly with the turns, so that the pull only rises or only falls.

    Formula: largest torque / radius: closed, open, at corners of the drum and where a spring has run out
    Unit: N
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> round(pull_largest((Wound(20.0, 7.0),), drum.standard(0.07), 6.5), 1)
    2000.0
    """
    return spring_balance.largest_pull(torsion_wound_springs, drum_shape, torsion_travel_turns)


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
    >>> residuals((Wound(6.0, 7.0),), drum.standard(0.07), path, door, 1.0, ((0.0, 5.0), (1.0, 5.0)), 100.0)
    ((0.0, 5.0), (1.0, 5.0))
    >>> len(residuals((Wound(6.0, 7.0),), drum.standard(0.07), path, door, 1.0, ((0.0, 5.0), (1.0, -5.0)), 1.0))
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


def pre_wind_off(
    torsion_wound: Turns,
    torsion_pre_wind: Turns,
    torsion_travel_turns: Turns,
    torsion_rate: TorqueRate,
    drum_largest_radius: Length,
) -> Pull:
    """What turns wound and turns left differ by, as a pull at the door

    Formula: torque per turn x (turns wound - turns left when open - turns of the travel) / radius
    Unit: N
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> round(pre_wind_off(7.5, 0.5, 6.75, 20.0, 0.07), 2)
    71.43
    """
    return torsion_rate * (torsion_wound - torsion_pre_wind - torsion_travel_turns) / drum_largest_radius


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


def cable_safeguard(job_standard: Text | None, torsion_devices_cable_break: Flag | None) -> Text | None:
    """What safeguards the door of a European job when a cable breaks

    Does not apply to a job under American standards.

    Formula: a device, or nothing
    Unit: -
    Source: published; EN 12604; 2017; 4.3.4

    >>> cable_safeguard("EN", True), cable_safeguard("EN", False), cable_safeguard(None, False)
    ('device', 'nothing', None)
    """
    if job_standard != "EN":
        return None
    if torsion_devices_cable_break is None:
        raise MissingInput("torsion.devices.cable_break")
    return "device" if torsion_devices_cable_break else "nothing"
