"""Screws in light steel, bolts through steel, and fillet welds. SI throughout.

Sources: published; AISI Specification; 1996; E4.3, E4.4 (screws). published; AISC 360; 2010; Table J3.2, J3-3b, J3.10,
Table J2.5 (bolts, welds). memory; AISI S100; E3.3.1 (bolts in thin sheet).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, pi, sqrt

from doorlint.named_tuple import NamedTuple

INCH = 0.0254
POUND = 0.45359237 * 9.80665
PSI = POUND / INCH**2
KSI = 1000.0 * PSI
THIN = 3.0 / 16.0 * INCH
"""Sheet under this thickness counts as light steel (m)."""
SCREW_FACTOR = 3.0
BOLT_FACTOR = 2.0
SHEET_BEARING_FACTOR = 2.5


class Sheet(NamedTuple):
    """A steel ply: ``thickness`` of the base metal (m) and tensile ``strength`` (Pa)."""

    thickness: float
    strength: float


class Allowed(NamedTuple):
    """What one fastener may carry (N): ``shear`` across its shank, ``pull`` along it."""

    shear: float
    pull: float


def screw(diameter: float, washer: float, head: Sheet, base: Sheet, own: Allowed | None = None) -> Allowed:
    """What one self-drilling screw may carry.

    ``head`` is the ply under its head, ``base`` the one it is drilled into, ``washer`` the diameter of head or washer
    (m; at most 1/2 in counts) and ``own`` the screw's own nominal strength. Without ``own`` the sheet alone decides.

    Source: published; AISI Specification; 1996; E4.3, E4.4

    >>> thin = Sheet(0.0451 * INCH, 45.0 * KSI)
    >>> allowed = screw(0.19 * INCH, 0.4 * INCH, Sheet(0.1 * INCH, 58.0 * KSI), thin)
    >>> round(allowed.shear / POUND), round(allowed.pull / POUND)
    (263, 109)
    """
    bearing = min(2.7 * head.thickness * diameter * head.strength, 2.7 * base.thickness * diameter * base.strength)
    tilting = min(4.2 * sqrt(base.thickness**3 * diameter) * base.strength, bearing)
    ratio = base.thickness / head.thickness
    part = min(max((ratio - 1.0) / 1.5, 0.0), 1.0)
    shear = tilting + part * (bearing - tilting)
    pull = min(
        0.85 * base.thickness * diameter * base.strength,
        1.5 * head.thickness * min(washer, 0.5 * INCH) * head.strength,
    )
    if own is not None:
        shear, pull = min(shear, own.shear), min(pull, own.pull)
    return Allowed(shear / SCREW_FACTOR, pull / SCREW_FACTOR)


class Grade(NamedTuple):
    """Nominal stress of a bolt's steel (Pa): ``tension`` and ``shear``, on its nominal area."""

    tension: float
    shear: float


GRADES = {"A307": Grade(45.0 * KSI, 27.0 * KSI), "A325": Grade(90.0 * KSI, 54.0 * KSI)}
"""Source: published; AISC 360; 2010; Table J3.2, threads in the shear plane."""


def bolt_use(diameter: float, grade: Grade, shear: float, pull: float) -> float:
    """How much of a bolt's own strength a load takes; over 1 it is too much.

    Source: published; AISC 360; 2010; J3.6, J3.7

    >>> area = pi * (0.5 * INCH) ** 2 / 4
    >>> round(bolt_use(0.5 * INCH, GRADES["A307"], area * 13.5 * KSI, 0.0), 6)
    1.0
    """
    area = pi * diameter**2 / 4.0
    stress = shear / area
    tension = min(1.3 * grade.tension - BOLT_FACTOR * grade.tension / grade.shear * stress, grade.tension)
    across = stress / (grade.shear / BOLT_FACTOR)
    if pull <= 0.0:
        return across
    along = pull / area / (tension / BOLT_FACTOR) if tension > 0.0 else float("inf")
    return max(across, along)


def bolt_bearing(diameter: float, edge: float, ply: Sheet) -> float:
    """What one bolt may bear on a ply (N), ``edge`` being the clear distance from hole to edge (m).

    Source: published; AISC 360; 2010; J3.10

    >>> round(bolt_bearing(0.5 * INCH, 1.0 * INCH, Sheet(0.25 * INCH, 58.0 * KSI)) / POUND)
    8700
    """
    return min(1.2 * edge * ply.thickness * ply.strength, 2.4 * diameter * ply.thickness * ply.strength) / BOLT_FACTOR


def bolt_in_sheet(diameter: float, washer: float, ply: Sheet, washers: bool) -> Allowed:
    """What one bolt may bear on, and pull over, a ply of light steel.

    Source: memory; AISI S100; E3.3.1

    >>> allowed = bolt_in_sheet(0.375 * INCH, 0.75 * INCH, Sheet(0.1 * INCH, 45.0 * KSI), True)
    >>> round(allowed.shear / POUND), round(allowed.pull / POUND)
    (2025, 1687)
    """
    ratio = diameter / ply.thickness
    slender = 3.0 if ratio < 10.0 else 4.0 - 0.1 * ratio if ratio <= 22.0 else 1.8
    bearing = slender * (1.0 if washers else 0.75) * diameter * ply.thickness * ply.strength / SHEET_BEARING_FACTOR
    return Allowed(bearing, 1.5 * ply.thickness * min(washer, 0.75 * INCH) * ply.strength / SCREW_FACTOR)


class Weld(NamedTuple):
    """A straight fillet weld from ``start`` to ``end`` in the face of the backing (m)."""

    start: tuple[float, float]
    end: tuple[float, float]

    @property
    def length(self) -> float:
        """Its length (m)."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


def weld_line(welds: Sequence[Weld], force: tuple[float, float, float], moment: tuple[float, float, float]) -> float:
    """The largest force on a unit length of some welds that act as one elastic group (N/m).

    ``force`` acts at the centroid of the welds, ``moment`` about it, both along u, v, n.

    Source: derived; elastic line group, vector sum at the worst end

    >>> round(weld_line([Weld((0.0, 0.0), (0.1, 0.0))], (0.0, 0.0, 500.0), (0.0, 0.0, 0.0)))
    5000
    """
    total = sum(weld.length for weld in welds)
    middle_u = sum(weld.length * (weld.start[0] + weld.end[0]) / 2 for weld in welds) / total
    middle_v = sum(weld.length * (weld.start[1] + weld.end[1]) / 2 for weld in welds) / total
    uu = vv = 0.0
    for weld in welds:
        (u0, v0), (u1, v1) = weld.start, weld.end
        u0, u1, v0, v1 = u0 - middle_u, u1 - middle_u, v0 - middle_v, v1 - middle_v
        uu += weld.length * (u0 * u0 + u0 * u1 + u1 * u1) / 3.0
        vv += weld.length * (v0 * v0 + v0 * v1 + v1 * v1) / 3.0
    worst = 0.0
    for u, v in (point for weld in welds for point in (weld.start, weld.end)):
        u, v = u - middle_u, v - middle_v
        along_u = force[0] / total - _over(moment[2] * v, uu + vv)
        along_v = force[1] / total + _over(moment[2] * u, uu + vv)
        along_n = force[2] / total + _over(moment[0] * v, vv) - _over(moment[1] * u, uu)
        worst = max(worst, hypot(along_u, along_v, along_n))
    return worst


def _over(moment: float, second: float) -> float:
    if abs(moment) <= 1e-12:
        return 0.0
    return moment / second if second > 1e-18 else float("inf")


def weld_strength(leg: float, electrode: float, plies: Sequence[Sheet]) -> float:
    """What a unit length of fillet weld may carry (N/m): the least of its throat and each ply.

    Source: published; AISC 360; 2010; Table J2.5

    >>> round(weld_strength(INCH / 16, 70.0 * KSI, []) * INCH / POUND)
    928
    """
    throat = 0.60 * electrode * sqrt(0.5) * leg / 2.0
    return min([throat, *(0.60 * ply.strength * ply.thickness / 2.0 for ply in plies)])
