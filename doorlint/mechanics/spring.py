"""Torsion springs on a shaft and the drums that turn their torque into the pull of the cables.

The shaft turns from closed (0) to open. A drum is given by the radii to the centre of the cable at 0, 1, 2 ...
full turns from closed; between them the radius changes evenly, and one radius is a round drum.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from doorlint.errors import OutsideTable


def rate_per_turn(modulus: float, wire: float, mean_diameter: float, coils: float, divisor: float) -> float:
    """Torque of a helical torsion spring for one turn (N m per turn): E d^4 / (divisor D N).

    ``modulus`` in Pa, ``wire`` and ``mean_diameter`` in m. The divisor is 64/(2 pi) = 10.186 by bending theory
    and 10.8 with the friction between the coils and what they sit on.

    Source: second-hand; Shigley's Mechanical Engineering Design; edition of the transcript unclear; equations 10-50
    and 10-51

    >>> round(rate_per_turn(200e9, 0.006, 0.054, 100.0, 10.8), 4)
    4.4444
    """
    return modulus * wire**4 / (divisor * mean_diameter * coils)


def inner_fibre_factor(index: float) -> float:
    """How much higher the bending stress is at the inside of the coil: (4C^2 - C - 1) / (4C (C - 1)).

    Source: published; Norton, Machine Design; Example 14-6, step 3 (C 9 gives 1.09)

    >>> round(inner_fibre_factor(9.0), 2)
    1.09
    """
    return (4.0 * index * index - index - 1.0) / (4.0 * index * (index - 1.0))


def bending_stress(torque: float, wire: float, index: float) -> float:
    """Stress (Pa) at the inside of the coil under ``torque`` (N m): Ki 32 M / (pi d^3).

    Source: published; Norton, Machine Design; Example 14-6, step 3

    >>> round(bending_stress(10.0, 0.006, 9.0) / 1e6, 1)
    514.1
    """
    return inner_fibre_factor(index) * 32.0 * torque / (math.pi * wire**3)


def wound_inside_diameter(mean_diameter: float, wire: float, coils: float, turns: float) -> float:
    """Inside diameter (m) of the coil with ``turns`` put on: D N / (N + turns) - d.

    The wire keeps its length, so more coils are smaller coils.

    Source: second-hand; Shigley's Mechanical Engineering Design; edition of the transcript unclear; equation 10-53

    >>> round(wound_inside_diameter(0.054, 0.006, 100.0, 8.0), 4)
    0.044
    """
    return mean_diameter * coils / (coils + turns) - wire


def turned(radii: Sequence[float], travel: float) -> float:
    """Turns of the drum from closed when it has taken up ``travel`` (m) of cable.

    Cable taken up in a turn is 2 pi times the mean radius over it. Raises :class:`OutsideTable` when the radii of a
    drum that is not round end before that travel.

    Source: derived; arc length on a radius that changes evenly with the turn

    >>> round(turned([0.07], 3.0), 4)
    6.8209
    >>> round(turned([0.06, 0.08], 2 * 3.141592653589793 * 0.07), 9)
    1.0
    """
    if len(radii) == 1:
        return travel / (2.0 * math.pi * radii[0])
    left = travel / (2.0 * math.pi)  # metres per radian, so that turns come out
    for whole, (low, high) in enumerate(itertools.pairwise(radii)):
        if left <= (low + high) / 2.0 * (1.0 + 1e-12):
            # low t + (high - low) t^2 / 2 = left, in the form that stays good for a nearly round drum
            return whole + 2.0 * left / (low + math.sqrt(max(low * low + 2.0 * (high - low) * left, 0.0)))
        left -= (low + high) / 2.0
    raise OutsideTable(f"the drum's radii end after {len(radii) - 1} turns; the door travels further")


def radius_at(radii: Sequence[float], turns: float) -> float:
    """Radius to the cable's centre (m) after ``turns`` from closed. Raises :class:`OutsideTable` beyond the last.

    >>> round(radius_at([0.06, 0.08, 0.08], 0.25), 6)
    0.065
    """
    if len(radii) == 1:
        return radii[0]
    whole = min(int(turns), len(radii) - 2)
    share = turns - whole
    if share > 1.0 + 1e-9:
        raise OutsideTable(f"the drum's radii end after {len(radii) - 1} turns; the shaft turns {turns:.2f}")
    return radii[whole] + share * (radii[whole + 1] - radii[whole])


def pull_at(rate: float, turns_closed: float, radii: Sequence[float], travel: float) -> float:
    """Pull of both cables together (N) at ``travel`` (m) from closed: n k turns / r.

    ``rate`` is that of all springs together (N m per turn), ``turns_closed`` what is on them with the door closed.
    Negative when the springs would have to be turned backward: the cables are slack.

    Source: derived; torque of the shaft over the radius of its drums

    >>> round(pull_at(20.0, 7.0, [0.07], 0.0), 6), round(pull_at(20.0, 7.0, [0.07], 3.0), 3)
    (2000.0, 51.164)
    """
    turns = turned(radii, travel)
    return rate * (turns_closed - turns) / radius_at(radii, turns)
