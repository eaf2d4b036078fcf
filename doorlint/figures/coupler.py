"""Each coupler between two shafts: the torque it passes on."""

from __future__ import annotations

from doorlint.figures.kinds import Length, Torque
from doorlint.mechanics import shaft


def carried(coupler_station: Length, shaft_steps: tuple[shaft.Step, ...]) -> Torque:
    """Torque that the coupler passes on, both cables holding

    Formula: sum of the torques left of it
    Unit: N m
    Source: derived; equilibrium of the shaft

    >>> carried(1.5, (shaft.Step(0.1, -50.0), shaft.Step(1.0, 100.0), shaft.Step(1.9, -50.0)))
    50.0
    """
    return abs(shaft.torque_after(shaft_steps, coupler_station))
