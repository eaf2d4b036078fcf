"""The springs on the finished door: readings to expect, and what to change for the readings found."""

from __future__ import annotations

from doorlint.figures.kinds import Each, Length, Pull, Text, TorqueRate, Turns, Weight
from doorlint.mechanics import balance, drum, rolling, spring_balance, torsion_spring

SUBJECT = "torsion"
EQUAL_STEPS = 4
"""steps of travel in which a door without marks is read"""


def expected(
    torsion_wound_springs: tuple[torsion_spring.Wound, ...],
    drum_shape: drum.Drum,
    track_path: rolling.Path,
    door_shape: rolling.Door,
    door_open_travel: Length,
    door_marks: tuple[balance.Mark | None, ...],
) -> tuple[tuple[Length, Pull], ...]:
    """What the springs pull more than the door where the balance is read

    Formula: closed, at every mark and open; in equal steps of travel where no mark is reached
    Unit: N
    Source: derived; from both pulls

    >>> door = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0)
    >>> springs = (torsion_spring.Wound(6.0, 7.0),)
    >>> found = expected(springs, drum.standard(0.07), rolling.Path(9.0, 0.3), door, 1.0, (None,))
    >>> [travel for travel, _ in found], round(abs(found[0][1]), 6)
    ([0.0, 0.25, 0.5, 0.75, 1.0], 0.0)
    """
    marks = [mark.travel for mark in door_marks if mark is not None]
    if not marks:
        marks = [door_open_travel * step / EQUAL_STEPS for step in range(EQUAL_STEPS)]
    curve = [(at, rolling.pull(track_path, door_shape, at)) for at in sorted({0.0, *marks, door_open_travel})]
    return tuple(spring_balance.residuals(torsion_wound_springs, drum_shape, curve))


def turns_to_add(
    reading_imbalance: Each[Pull],
    reading_wanted: Each[Pull],
    reading_travel: Each[Length],
    torsion_rate: TorqueRate,
    drum_shape: drum.Drum,
    setting_turns: Turns,
    torsion_least_turns: Turns,
) -> Turns:
    """Turns on every spring that would balance the door best by the readings; negative where turns must come off

    What the readings differ from what was expected comes on top of what the springs lack of their best turns.

    Formula: turns that make the largest difference of readings and expectation least + best turns - turns specified
    Unit: turns
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> found, expected = {"a": 40.0, "b": -20.0}, {"a": 0.0, "b": 0.0}
    >>> round(turns_to_add(found, expected, {"a": 0.0, "b": 1.0}, 20.0, drum.standard(0.05), 7.5, 7.25), 4)
    0.275
    """
    gains = [
        (reading_imbalance[key] - reading_wanted[key], torsion_rate / drum_shape.radius(drum_shape.turned(travel)))
        for key, travel in reading_travel.items()
        if travel is not None
    ]
    return spring_balance.best_change(gains) + setting_turns - torsion_least_turns


def turns_advice(torsion_turns_to_add: Turns) -> Text:
    """What to do with the turns of every spring for the readings found, in quarter turns

    Formula: turns that balance the readings best, to the nearest quarter
    Unit: -
    Source: derived; from the turns that balance best

    >>> turns_advice(0.3), turns_advice(-0.55), turns_advice(0.05)
    ('add 1/4 turn', 'take off 2/4 turn', 'leave the turns as they are')
    """
    quarters = round(abs(torsion_turns_to_add) * 4.0)
    if quarters == 0:
        return "leave the turns as they are"
    whole, rest = divmod(quarters, 4)
    size = f"{whole} {rest}/4 turns" if whole and rest else f"{whole} turns" if whole else f"{rest}/4 turn"
    return f"{'add' if torsion_turns_to_add > 0.0 else 'take off'} {size}"


def turns_to_add_pull(torsion_turns_to_add: Turns, torsion_rate: TorqueRate, drum_largest_radius: Length) -> Pull:
    """What those turns are worth at the closed door

    Formula: turns x torque per turn / radius
    Unit: N
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> turns_to_add_pull(0.5, 20.0, 0.05)
    200.0
    """
    return torsion_turns_to_add * torsion_rate / drum_largest_radius


def quarter_turn_pull(torsion_rate: TorqueRate, drum_largest_radius: Length) -> Weight:
    """What a quarter turn on every spring is worth at the closed door

    Formula: torque per turn / 4 / radius
    Unit: N
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> quarter_turn_pull(20.0, 0.05)
    100.0
    """
    return torsion_rate / 4.0 / drum_largest_radius
