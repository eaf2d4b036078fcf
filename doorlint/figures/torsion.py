"""The torsion shaft as a whole: turns, torque, the pull of its cables, and the room on drums and shaft."""

from __future__ import annotations

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Each, Length, Pull, TorqueRate, Turns, Weight
from doorlint.mechanics import spring


def rate(spring_torque_rate: Each[TorqueRate]) -> TorqueRate:
    """Torque of all springs together for one turn of the shaft

    Formula: sum of the springs
    Unit: N m/turn
    Source: derived; springs side by side on one shaft

    >>> rate({"left": 10.0, "right": 10.5})
    20.5
    """
    return sum(spring_torque_rate.values())


def radii(torsion_drum_radius: Length | None, torsion_drum_radii: tuple[Length, ...] | None) -> tuple[Length, ...]:
    """Radii of the drum at each full turn from closed; one for a round drum

    Formula: the table of radii, else the one radius
    Unit: m
    Source: derived; from the spec

    >>> radii(0.07, None), radii(None, (0.07, 0.08))
    ((0.07,), (0.07, 0.08))
    """
    if torsion_drum_radii is not None:
        return tuple(torsion_drum_radii)
    if torsion_drum_radius is None:
        raise MissingInput("torsion.drum.radius")
    return (torsion_drum_radius,)


def travel_turns(torsion_radii: tuple[Length, ...], door_open_travel: Length) -> Turns:
    """Turns of the shaft from closed to open

    Formula: travel / (2 pi r), turn by turn for a drum that is not round
    Unit: turns
    Source: derived; cable wound on the drums

    >>> round(travel_turns((0.07,), 3.0), 3)
    6.821
    """
    return spring.turned(torsion_radii, door_open_travel)


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


def turns_open(torsion_turns_closed: Turns, torsion_travel_turns: Turns) -> Turns:
    """Turns left on the springs with the door open

    Formula: turns closed - turns of the travel
    Unit: turns
    Source: derived; the door unwinds the springs as it opens

    >>> turns_open(7.5, 7.0)
    0.5
    """
    return torsion_turns_closed - torsion_travel_turns


def pull_closed(torsion_rate: TorqueRate, torsion_turns_closed: Turns, torsion_radii: tuple[Length, ...]) -> Pull:
    """Pull of the springs with the door closed, both cables together

    Formula: turns x rate of all springs / drum radius
    Unit: N
    Source: derived; torque of the shaft over the radius of its drums

    >>> round(pull_closed(20.0, 7.0, (0.07,)), 3)
    2000.0
    """
    return spring.pull_at(torsion_rate, torsion_turns_closed, torsion_radii, 0.0)


def pull_open(
    torsion_rate: TorqueRate,
    torsion_turns_closed: Turns,
    torsion_radii: tuple[Length, ...],
    door_open_travel: Length,
) -> Pull:
    """Pull of the springs with the door open, both cables together

    Formula: turns left x rate of all springs / drum radius
    Unit: N
    Source: derived; torque of the shaft over the radius of its drums

    >>> round(pull_open(20.0, 7.0, (0.07,), 3.0), 3)
    51.164
    """
    return spring.pull_at(torsion_rate, torsion_turns_closed, torsion_radii, door_open_travel)


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


def drum_turns(torsion_drum_wraps_closed: Turns, torsion_travel_turns: Turns) -> Turns:
    """Turns of cable on the drum with the door open

    Formula: turns left when closed + turns of the travel
    Unit: turns
    Source: derived; the drum takes up what the door travels

    >>> drum_turns(1.5, 7.0)
    8.5
    """
    return torsion_drum_wraps_closed + torsion_travel_turns


def shaft_needed(
    spring_wound_length: Each[Length], torsion_drum_width: Length, practice_shaft_fittings: Length
) -> Length:
    """Length of shaft that springs and drums take with the door closed

    Formula: springs wound + two drums + cones and middle bearing
    Unit: m
    Source: practice; the room for cones and the middle bearing is the shop's

    >>> round(shaft_needed({"left": 1.2, "right": 1.2}, 0.1, 0.25), 3)
    2.85
    """
    return sum(spring_wound_length.values()) + 2.0 * torsion_drum_width + practice_shaft_fittings
