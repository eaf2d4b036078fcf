"""What is left when one torsion spring breaks, and what holds the door then."""

from __future__ import annotations

from doorlint.errors import MissingInput
from doorlint.figures.kinds import Each, Flag, Length, Pull, Text, TorqueRate, Turns, Weight
from doorlint.mechanics import drum, rolling, spring_balance, torsion_spring

SUBJECT = "spring"


BY_HAND = 200.0
"""N; what one broken spring may leave of a hand-worked door; accident-insurer rule BGR 147 (Germany), 4.1.3.3"""


def broken_short(
    spring_torque_rate: Each[TorqueRate],
    spring_turns_closed: Each[Turns],
    torsion_wound_springs: tuple[torsion_spring.Wound, ...],
    drum_shape: drum.Drum,
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_left_over: tuple[tuple[Length, Pull], ...],
) -> Each[Weight]:
    """What the door pulls more than the other springs when this one is broken

    Formula: largest pull of the door - pull of the springs without it, over the travel
    Unit: N
    Source: derived; from both pulls

    >>> door, path = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0), rolling.Path(9.0, 0.3)
    >>> rates, turns, two = {"a": 3.0, "b": 3.0}, {"a": 7.0, "b": 7.0}, (torsion_spring.Wound(3.0, 7.0),) * 2
    >>> left = ((0.0, 0.0), (1.0, -194.9))
    >>> round(broken_short(rates, turns, two, drum.standard(0.07), path, door, left)["a"], 1)
    397.5
    """
    found = {}
    for key, rate in spring_torque_rate.items():
        alone = [torsion_spring.Wound(rate, spring_turns_closed[key])]

        def short(travel: float, alone: list[torsion_spring.Wound] = alone) -> float:
            held = spring_balance.pull(torsion_wound_springs, drum_shape, travel)
            lost = spring_balance.pull(alone, drum_shape, travel)
            return rolling.pull(track_path, door_shape, travel) - held + lost

        coarse = [(travel, spring_balance.pull(alone, drum_shape, travel) - over) for travel, over in door_left_over]
        found[key] = max(spring_balance.crest(coarse, short), 0.0)
    return found


def broken_held_by(
    spring_broken_short: Weight,
    torsion_friction: Weight,
    operation_holds: Weight | None,
    torsion_devices_spring_break: Flag | None,
) -> Text:
    """What holds the door when this spring is broken

    Formula: a device; else friction; else friction and the drive; else nothing
    Unit: -
    Source: derived; equilibrium of the released door

    >>> broken_held_by(900.0, 200.0, 0.0, True), broken_held_by(900.0, 200.0, 0.0, False)
    ('device', 'nothing')
    """
    if torsion_devices_spring_break:
        return "device"
    if spring_broken_short <= torsion_friction:
        return "friction"
    if operation_holds is None:
        raise MissingInput("operation.holding")
    if spring_broken_short - torsion_friction <= operation_holds:
        return "drive"
    if torsion_devices_spring_break is None:
        raise MissingInput("torsion.devices.spring_break")
    return "nothing"


def safeguard(
    job_standard: Text | None,
    spring_torque_rate: Each[TorqueRate],
    spring_turns_closed: Each[Turns],
    torsion_wound_springs: tuple[torsion_spring.Wound, ...],
    drum_shape: drum.Drum,
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_left_over: tuple[tuple[Length, Pull], ...],
    torsion_friction: Weight,
    operation_by: Text | None,
    operation_holds: Weight | None,
    torsion_devices_spring_break: Flag | None,
) -> Each[Text | None]:
    """What safeguards the door of a European job when this spring is broken

    Does not apply to a job under American standards; only a European job works out what a broken spring leaves.

    A door worked by hand is also safe where a broken spring leaves no more than a person holds (BGR 147, 4.1.3.3).

    Formula: a person of a hand-worked door up to 200 N; else what holds the door with the spring broken
    Unit: -
    Source: published; EN 12604; 2017; 4.3.4
    """
    if job_standard != "EN":
        return dict.fromkeys(spring_torque_rate)
    shorts = broken_short(
        spring_torque_rate, spring_turns_closed, torsion_wound_springs, drum_shape, track_path, door_shape,
        door_left_over,
    )  # fmt: skip
    return {
        key: "a person"
        if operation_by == "hand" and short <= BY_HAND
        else broken_held_by(short, torsion_friction, operation_holds, torsion_devices_spring_break)
        for key, short in shorts.items()
    }
