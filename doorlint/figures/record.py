"""The commissioning record as a whole: its dates, and all springs together."""

from __future__ import annotations

from datetime import date

from doorlint.figures.kinds import Each, Length, Text, TorqueRate, Turns, Weight


def when_tested(opening_measured_on: Text, as_built_on: Text) -> Text:
    """When the finished door was tested, seen from the survey of its opening

    Formula: before the day of the survey, or after it; the same day counts as after
    Unit: -
    Source: derived; order of two days

    >>> when_tested("2026-03-02", "2026-05-12"), when_tested("2026-03-02", "2025-05-12")
    ('after the survey', 'before the survey')
    """
    before = date.fromisoformat(as_built_on) < date.fromisoformat(opening_measured_on)
    return "before the survey" if before else "after the survey"


def turns_off(
    spring_torque_rate: Each[TorqueRate],
    spring_turns_closed: Each[Turns],
    spring_counted_turns: Each[Turns | None],
    drum_largest_radius: Length,
) -> Weight | None:
    """What the turns counted on all springs together pull more or less than specified

    Does not apply before every spring was counted.

    Formula: |sum of rate x (turns counted - turns specified)| / radius of the closed drum
    Unit: N
    Source: derived; torques of the springs add up on the shaft

    >>> two = {"a": 10.0, "b": 10.0}
    >>> round(turns_off(two, {"a": 7.0, "b": 7.0}, {"a": 7.5, "b": 7.5}, 0.07), 3)
    142.857
    >>> turns_off(two, {"a": 7.0, "b": 7.0}, {"a": 7.5, "b": 6.5}, 0.07)
    0.0
    """
    torque = 0.0
    for key, counted in spring_counted_turns.items():
        if counted is None:
            return None
        torque += spring_torque_rate[key] * (counted - spring_turns_closed[key])
    return abs(torque) / drum_largest_radius
