"""Lifting by hand after the revised NIOSH equation, and the line of a tackle with friction in its sheaves."""

from __future__ import annotations

import math

from doorlint.errors import OutsideTable

INCH = 0.0254
CONSTANT = 51.0 * 0.45359237 * 9.80665
"""Load constant of the equation (N): 51 lb, what is lifted at most under the best conditions."""


def _within(what: str, size: float, most: float, unit: str) -> None:
    if size > most * (1.0 + 1e-9):
        raise OutsideTable(f"the lifting equation ends at {most:g} {unit} {what}; this lift has {size:.4g} {unit}")


def reach_factor(reach: float) -> float:
    """Horizontal multiplier 10/H for hands ``reach`` (m) before the ankles; H counts from 10 in.

    Raises :class:`OutsideTable` beyond 25 in, where the equation allows no load at all.

    Source: second-hand; NIOSH 94-110, Applications Manual for the Revised NIOSH Lifting Equation; 1994; 1.3.1

    >>> round(reach_factor(20 * 0.0254), 4), reach_factor(0.2)
    (0.5, 1.0)
    >>> reach_factor(26 * 0.0254)
    Traceback (most recent call last):
    doorlint.errors.OutsideTable: the lifting equation ends at 25 in of reach; this lift has 26 in
    """
    inches = reach / INCH
    _within("of reach", inches, 25.0, "in")
    return 10.0 / max(inches, 10.0)


def height_factor(height: float) -> float:
    """Vertical multiplier 1 - .0075 |V - 30| for hands at ``height`` (m) above the floor, up to 70 in.

    Source: second-hand; NIOSH 94-110; 1994; 1.3.2

    >>> round(height_factor(30 * 0.0254), 4), round(height_factor(0.0), 4)
    (1.0, 0.775)
    """
    inches = height / INCH
    _within("of height", inches, 70.0, "in")
    return 1.0 - 0.0075 * abs(inches - 30.0)


def travel_factor(travel: float) -> float:
    """Distance multiplier .82 + 1.8/D for a load moved ``travel`` (m) up or down, 10 to 70 in; D counts from 10 in.

    Source: second-hand; NIOSH 94-110; 1994; 1.3.3

    >>> round(travel_factor(36 * 0.0254), 4), travel_factor(0.1)
    (0.87, 1.0)
    """
    inches = travel / INCH
    _within("of travel", inches, 70.0, "in")
    return 0.82 + 1.8 / max(inches, 10.0)


def twist_factor(twist: float) -> float:
    """Asymmetry multiplier 1 - .0032 A for a body turned ``twist`` (rad), up to 135 degrees.

    Source: second-hand; NIOSH 94-110; 1994; 1.3.4

    >>> round(twist_factor(3.141592653589793 / 2), 4)
    0.712
    """
    degrees = math.degrees(twist)
    _within("of twist", degrees, 135.0, "deg")
    return 1.0 - 0.0032 * degrees


def advantage(parts: int, efficiency: float) -> float:
    """How many times its line's pull a tackle raises: E (1 - E^n) / (1 - E), with n parts of line on the load.

    Every sheave passes on the share ``efficiency`` of the pull, the one the hauled line leaves over included.

    Source: published; Pipeline Rules of Thumb Handbook; edition not noted; hoisting and tackle

    >>> round(advantage(4, 0.917), 2), advantage(3, 1.0)
    (3.24, 3.0)
    """
    if efficiency == 1.0:
        return float(parts)
    return efficiency * (1.0 - efficiency**parts) / (1.0 - efficiency)
