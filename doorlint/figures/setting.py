"""The best that springs can do for this door: at other turns, and with other springs."""

from __future__ import annotations

from doorlint.figures.kinds import Length, Text, TorqueRate, Turns, Weight
from doorlint.mechanics import drum, spring_balance, torsion_spring


def of_these(
    torsion_wound_springs: tuple[torsion_spring.Wound, ...],
    drum_shape: drum.Drum,
    torsion_door_curve: tuple[tuple[Length, Weight], ...],
    practice_pre_wind_least: Turns,
) -> spring_balance.Setting:
    """The best that these springs can do at other turns

    Formula: all springs by the same turns more or less, so that the largest residual is least
    Unit: N
    Source: derived; pre-wind from the least wanted to three turns more

    >>> of_these((torsion_spring.Wound(20.0, 8.0),), drum.standard(0.07), ((0.0, 2000.0), (3.0, 100.0)), 0.4).rate
    20.0
    """
    return spring_balance.best_turns(torsion_wound_springs, drum_shape, torsion_door_curve, practice_pre_wind_least)


def turns(setting_of_these: spring_balance.Setting) -> Turns:
    """Turns at which these springs leave least

    Formula: turns with the door closed, on the spring that has least
    Unit: turns
    Source: derived; least largest residual

    >>> turns(spring_balance.Setting(20.0, 7.2, 80.0))
    7.2
    """
    return setting_of_these.turns


def turns_left(setting_of_these: spring_balance.Setting) -> Weight:
    """Largest residual that these springs leave at their best turns

    Formula: least largest residual
    Unit: N
    Source: derived; least largest residual

    >>> turns_left(spring_balance.Setting(20.0, 7.2, 80.0))
    80.0
    """
    return setting_of_these.largest


def of_any(
    drum_shape: drum.Drum,
    torsion_door_curve: tuple[tuple[Length, Weight], ...],
    practice_pre_wind_least: Turns,
) -> spring_balance.Setting:
    """The best that any springs can do on these drums

    Formula: torque per turn and turns that make the largest residual least
    Unit: N
    Source: derived; pre-wind from the least wanted to three turns more

    >>> round(of_any(drum.standard(0.07), ((0.0, 2000.0), (1.5, 1000.0), (3.0, 100.0)), 0.5).largest, 1)
    44.5
    """
    return spring_balance.best_setting(drum_shape, torsion_door_curve, practice_pre_wind_least)


def rate(setting_of_any: spring_balance.Setting) -> TorqueRate:
    """Torque per turn of all springs that would leave least

    Formula: least largest residual
    Unit: N m/turn
    Source: derived; least largest residual

    >>> rate(spring_balance.Setting(20.0, 7.2, 80.0))
    20.0
    """
    return setting_of_any.rate


def rate_turns(setting_of_any: spring_balance.Setting) -> Turns:
    """Turns that go with that torque per turn

    Formula: least largest residual
    Unit: turns
    Source: derived; least largest residual

    >>> rate_turns(spring_balance.Setting(20.0, 7.2, 80.0))
    7.2
    """
    return setting_of_any.turns


def quarters(setting_rate_turns: Turns) -> Turns:
    """Turns that go with that torque per turn, to the nearest quarter

    Formula: least largest residual
    Unit: turns
    Source: practice; a winding bar gives quarter turns

    >>> quarters(7.2)
    7.25
    """
    return round(4.0 * setting_rate_turns) / 4.0


def left(setting_of_any: spring_balance.Setting) -> Weight:
    """Largest residual that the best springs leave

    Formula: least largest residual
    Unit: N
    Source: derived; least largest residual

    >>> left(spring_balance.Setting(20.0, 7.2, 80.0))
    80.0
    """
    return setting_of_any.largest


def held_by(setting_turns_left: Weight, setting_left: Weight, torsion_friction: Weight) -> Text:
    """What would hold the door everywhere

    Formula: other turns, other springs, or no springs on these drums, by the residual each leaves
    Unit: -
    Source: derived; friction against the least largest residual

    >>> held_by(80.0, 40.0, 100.0), held_by(80.0, 40.0, 60.0), held_by(80.0, 40.0, 30.0)
    ('these springs at other turns', 'other springs', 'no springs on these drums')
    """
    if setting_turns_left <= torsion_friction:
        return "these springs at other turns"
    return "other springs" if setting_left <= torsion_friction else "no springs on these drums"
