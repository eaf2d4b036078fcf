"""Headed bolts cast into grouted masonry, by allowable stress. SI throughout.

Source: published; TMS 402; 2013; 8.1.3.3
"""

from __future__ import annotations

from math import acos, pi, sqrt
from typing import NamedTuple

INCH = 0.0254
POUND = 0.45359237 * 9.80665
PSI = POUND / INCH**2


class CastIn(NamedTuple):
    """A headed bolt: ``diameter``, ``embedment`` and ``edge`` distance (m), ``yield_strength`` of its steel and
    ``masonry`` strength f'm (Pa), and the distances to its ``neighbors`` (m)."""

    diameter: float
    embedment: float
    edge: float
    yield_strength: float
    masonry: float
    neighbors: tuple[float, ...] = ()


def tension(bolt: CastIn) -> float:
    """What one bolt may pull (N).

    >>> bolt = CastIn(0.5 * INCH, 5 * INCH, 12 * INCH, 60e3 * PSI, 1500 * PSI)
    >>> round(tension(bolt) / POUND, -1), round(shear(bolt) / POUND, -1)
    (3800.0, 1450.0)
    """
    return min(1.25 * _cone(bolt) * sqrt(bolt.masonry / PSI), 0.6 * _area(bolt) * bolt.yield_strength / PSI) * POUND


def shear(bolt: CastIn) -> float:
    """What one bolt may carry across its shank (N)."""
    strength = bolt.masonry / PSI
    breakout = pi * (bolt.edge / INCH) ** 2 / 2.0
    return (
        min(
            1.25 * breakout * sqrt(strength),
            350.0 * sqrt(sqrt(strength * _area(bolt))),
            2.5 * _cone(bolt) * sqrt(strength),
            0.36 * _area(bolt) * bolt.yield_strength / PSI,
        )
        * POUND
    )


def _cone(bolt: CastIn) -> float:
    """Projected area of the cone that pulls out (sq in), less half of what each neighbor's cone overlaps."""
    reach = min(bolt.embedment, bolt.edge) / INCH
    lenses = (
        2 * reach**2 * acos(apart / (2 * reach)) - apart / 2 * sqrt(4 * reach**2 - apart**2)
        for apart in (distance / INCH for distance in bolt.neighbors)
        if apart < 2 * reach
    )
    return max(pi * reach**2 - sum(lenses) / 2.0, 0.0)


def _area(bolt: CastIn) -> float:
    """Area of the shank (sq in)."""
    return pi * (bolt.diameter / INCH) ** 2 / 4.0


def use(across: float, out: float, bolt: CastIn) -> float:
    """How much of a bolt's strength a load takes: shear and pull added straight.

    Source: published; TMS 402; 2013; 8.1.3.3.3

    >>> bolt = CastIn(0.5 * INCH, 5 * INCH, 12 * INCH, 60e3 * PSI, 1500 * PSI)
    >>> round(use(shear(bolt) / 2, tension(bolt) / 2, bolt), 9)
    1.0
    """
    return across / shear(bolt) + out / tension(bolt)
