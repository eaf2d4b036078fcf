"""Wind pressure on a door as a part of the wall's cladding, after ASCE 7-98 to 7-16.

Held for flat ground (Kzt 1), an enclosed building (GCpi .18) no higher than 60 ft, and the wall's directionality
factor .85. Nothing is taken off for a flat roof, which the standard would allow.
"""

from __future__ import annotations

import math

FOOT = 0.3048
PSF = 0.45359237 * 9.80665 / FOOT**2
MPH = 0.44704
INSIDE = 0.18
"""GCpi of an enclosed building."""


def exposure_factor(height: float, alpha: float, gradient: float, floor: float) -> float:
    """Kz = 2.01 (z/zg)^(2/alpha), with z counted from ``floor`` up (all in m).

    Source: second-hand; ASCE 7; 98 to 16; velocity pressure exposure coefficients

    >>> round(exposure_factor(20 * 0.3048, 9.5, 900 * 0.3048, 15 * 0.3048), 2)
    0.9
    """
    return float(2.01 * (max(height, floor) / gradient) ** (2.0 / alpha))


def velocity_pressure(speed: float, exposure: float) -> float:
    """qh = .00256 Kz Kzt Kd V^2 (Pa) for a ``speed`` (m/s), with Kzt 1 and Kd .85.

    Source: second-hand; ASCE 7; 98 to 16; velocity pressure

    >>> round(velocity_pressure(90 * 0.44704, 0.7) / 47.88025898, 2)
    12.34
    """
    return 0.00256 * exposure * 0.85 * (speed / MPH) ** 2 * PSF


def wall_coefficient(area: float, ten: float, slope: float) -> float:
    """GCp of a wall of ``area`` (m2): ``ten`` at 10 sq ft and under, less by ``slope`` for each tenfold, to 500 sq ft.

    Source: memory; ASCE 7 Fig. 30.3-1; the stepped readings of a public copy agree within .03

    >>> round(wall_coefficient(63 * 0.3048**2, 1.0, 0.1766), 4)
    0.8588
    """
    square_feet = min(max(area / FOOT**2, 10.0), 500.0)
    return ten - slope * (math.log10(square_feet) - 1.0)
