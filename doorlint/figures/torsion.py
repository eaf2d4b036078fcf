"""The springs on their shaft: turns, torque and pull."""

from __future__ import annotations

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Each, Flag, Length, Pull, Text, Torque, TorqueRate, Turns, Weight
from doorlint.mechanics import drum, spring_balance, torsion_spring
from doorlint.mechanics.torsion_spring import Wound


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
