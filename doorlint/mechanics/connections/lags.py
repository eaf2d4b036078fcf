"""Lag screws in wood: withdrawal, lateral strength by the yield modes, and both at once.

Source: published; NDS; 2018; 12.2.1, 12.3.1, Table 12.3.3, Appendix I. The gap between plate and wood follows from the
general dowel equations, which equal those of the standard where there is none.
"""

from __future__ import annotations

import math
from math import cos, hypot, pi, sin, sqrt

from doorlint.errors import OutsideTable
from doorlint.named_tuple import NamedTuple

INCH = 0.0254
POUND = 0.45359237 * 9.80665
PSI = POUND / INCH**2
STEEL_STRESS = 30_000.0 * PSI
"""Working stress of ordinary lag steel at the root (Pa): half of 60 ksi."""
LEAST_BITE = 4.0
"""Least penetration, in diameters, at which a lag screw counts sideways."""
THINNEST = 0.25 * INCH
"""Thinner screws are no lag screws to the withdrawal formula (m)."""
LIGHTEST, DENSEST = 0.31, 0.73
"""Gravities between which the withdrawal formula is tabled."""
END_GRAIN = 0.75
"""Share of the withdrawal value in end grain: NDS 12.2.1.2."""
WET = 0.7
"""Share of its strength in wood that is wet in service; from memory, on the safe side."""
FULL_BITE = 8.0
"""Penetration, in diameters, from which its full lateral strength counts."""
_ROOT = {0.25: 0.173, 0.3125: 0.227, 0.375: 0.265, 0.4375: 0.328, 0.5: 0.371, 0.625: 0.471, 0.75: 0.579}
_TIP = {0.25: 5 / 32, 0.3125: 3 / 16, 0.375: 7 / 32, 0.4375: 9 / 32, 0.5: 5 / 16, 0.625: 13 / 32, 0.75: 0.5}


class Lag(NamedTuple):
    """A lag screw: nominal ``diameter``, ``root`` diameter and length of the tapered ``tip`` (m), and the bending
    ``yield_strength`` of its steel (Pa)."""

    diameter: float
    root: float
    tip: float
    yield_strength: float


class Plate(NamedTuple):
    """The steel between head and wood: ``thickness`` (m), tensile ``strength`` (Pa), and the ``gap`` (m) of sheathing
    or air behind it."""

    thickness: float
    strength: float
    gap: float = 0.0


def lag_of(diameter: float) -> Lag:
    """The lag screw of a diameter (m).

    Source: memory; NDS, Appendix L and Table 12K; to 3/8 in confirmed by the printed cells of Table 12K

    >>> lag = lag_of(0.375 * INCH)
    >>> round(lag.root / INCH, 4), round(lag.tip / INCH, 5), round(lag.yield_strength / PSI)
    (0.265, 0.21875, 45000)
    >>> round(lag_of(0.008).root / 0.008, 3)
    0.7
    """
    inches = diameter / INCH
    size = next((size for size in _ROOT if abs(size - inches) < 1e-6), None)
    root = 0.70 * inches if size is None else _ROOT[size]
    tip = 0.625 * inches if size is None else _TIP[size]
    strength = 70_000.0 if inches <= 0.25 + 1e-9 else 60_000.0 if inches <= 0.3125 + 1e-9 else 45_000.0
    return Lag(diameter, root * INCH, tip * INCH, strength * PSI)


def thread(length: float) -> float:
    """Length of thread of a lag screw of a length under its head (m).

    Source: memory; ASME B18.2.1; min(L/2 + 1/2 in, 6 in, L)

    >>> thread(7.0 * INCH) / INCH, thread(0.5 * INCH) / INCH
    (4.0, 0.5)
    """
    return min(length / 2.0 + 0.5 * INCH, 6.0 * INCH, length)


def penetration(lag: Lag, length: float, plate: Plate, member: float) -> tuple[float, float]:
    """How deep the screw bears in the member, and how much thread bites there, the tip left out (m).

    >>> bears, bites = penetration(lag_of(0.375 * INCH), 7.0 * INCH, Plate(0.25 * INCH, 58e3 * PSI), 12.0 * INCH)
    >>> round(bears / INCH, 5), round(bites / INCH, 5)
    (6.53125, 3.78125)
    """
    bears = max(min(length - plate.thickness - plate.gap - lag.tip, member), 0.0)
    return bears, max(min(thread(length) - lag.tip, bears), 0.0)


def withdrawal(gravity: float, diameter: float) -> float:
    """Withdrawal value in side grain (N per m of thread).

    Source: published; NDS; 2018; 12.2.1, W = 1800 G^1.5 D^0.75

    >>> round(withdrawal(0.50, 0.375 * INCH) * INCH / POUND, 1)
    305.0
    """
    return 1800.0 * math.pow(gravity, 1.5) * math.pow(diameter / INCH, 0.75) * POUND / INCH


def pull_out(gravity: float, diameter: float, bite: float, grain: str, wet: bool | None) -> float:
    """What one lag screw holds against being pulled out (N), before the factor for the duration of its load.

    ``bite`` is the thread in the wood, the tip left out (m). Raises :class:`OutsideTable` for screws under 1/4 in and
    for wood lighter or denser than the standard tables.

    Source: published; NDS; 2018; 12.2.1; the factor for wet wood is from memory

    >>> round(pull_out(0.50, 0.375 * INCH, INCH, "side", None) / POUND, 1)
    305.0
    """
    if diameter < THINNEST * (1.0 - 1e-9):
        raise OutsideTable(f"lag screws start at 1/4 in; this one has {diameter / INCH:.4g} in")
    if not LIGHTEST <= gravity <= DENSEST:
        raise OutsideTable(
            f"lag screws are tabled in wood of gravity {LIGHTEST} to {DENSEST}; this one has {gravity:g}"
        )
    return withdrawal(gravity, diameter) * bite * (END_GRAIN if grain == "end" else 1.0) * (WET if wet else 1.0)


def wood_bearing(gravity: float, diameter: float, angle: float) -> float:
    """Dowel bearing strength of wood for a load at an ``angle`` to the grain (Pa; rad).

    Source: published; NDS; 2018; Table 12.3.3 and 12.3.4

    >>> round(wood_bearing(0.50, 0.25 * INCH, 0.0) / PSI), round(wood_bearing(0.50, 0.25 * INCH, pi / 2) / PSI)
    (5600, 4465)
    """
    along = 11_200.0 * gravity
    across = 6_100.0 * math.pow(gravity, 1.45) / sqrt(diameter / INCH)
    return along * across / (along * sin(angle) ** 2 + across * cos(angle) ** 2) * PSI


def plate_bearing(plate: Plate) -> float:
    """Dowel bearing strength of the steel plate (Pa).

    Source: published; NDS; 2018; Appendix I: 1.375 Fu of sheet under 1/4 in, 1.5 Fu of rolled steel from there

    >>> round(plate_bearing(Plate(0.075 * INCH, 45_000.0 * PSI)) / PSI)
    61875
    """
    return (1.5 if plate.thickness >= 0.25 * INCH - 1e-9 else 1.375) * plate.strength


def lateral(lag: Lag, gravity: float, plate: Plate, bears: float, angle: float) -> float:
    """Lateral strength of one screw in single shear (N), before any factor for duration, moisture or distances.

    ``bears`` is its penetration (m), ``angle`` that between load and grain (rad). It is 0 under four diameters of
    penetration and grows with it up to eight.

    Source: published; NDS; 2018; 12.3.1, Tables 12.3.1A and 12.3.1B

    >>> plate = Plate(0.075 * INCH, 45_000.0 * PSI)
    >>> round(lateral(lag_of(0.25 * INCH), 0.50, plate, 2.0 * INCH, 0.0) / POUND)
    153
    """
    full = FULL_BITE * lag.diameter
    if bears < LEAST_BITE * lag.diameter * (1.0 - 1e-9):
        return 0.0
    return _yields(lag, gravity, plate, full, angle) * min(1.0, bears / full)


def _yields(lag: Lag, gravity: float, plate: Plate, bears: float, angle: float) -> float:
    """The least of the yield modes, each over its reduction term (N)."""
    wood = wood_bearing(gravity, lag.diameter, angle) * lag.root
    steel = plate_bearing(plate) * lag.root
    bends = lag.yield_strength * lag.root**3 / 6.0
    thick, gap = plate.thickness, plate.gap
    modes = (
        (wood * bears, 4.0),
        (steel * thick, 4.0),
        (
            _root(
                1 / (4 * steel) + 1 / (4 * wood),
                thick / 2 + gap + bears / 2,
                steel * thick**2 / 4 + wood * bears**2 / 4,
            ),
            3.6,
        ),
        (_root(1 / (2 * steel) + 1 / (4 * wood), gap + bears / 2, bends + wood * bears**2 / 4), 3.2),
        (_root(1 / (4 * steel) + 1 / (2 * wood), thick / 2 + gap, steel * thick**2 / 4 + bends), 3.2),
        (_root(1 / (2 * steel) + 1 / (2 * wood), gap, 2 * bends), 3.2),
    )
    turned = 1.0 + 0.25 * angle / (pi / 2.0)
    inches = lag.root / INCH
    if inches < 0.25:  # thin fasteners have one reduction for every mode
        thin = max(2.2, 10.0 * inches + 0.5)
        return min(load for load, _ in modes) / (thin * turned)
    return min(load / (reduction * turned) for load, reduction in modes)


def _root(a: float, b: float, c: float) -> float:
    """The positive root of a P^2 + b P = c."""
    return (sqrt(b * b + 4.0 * a * c) - b) / (2.0 * a)


class Strength(NamedTuple):
    """What one lag screw may carry (N): across its shank, out of the wood, and as a steel rod at its root."""

    lateral: float
    withdrawal: float
    root: float


def root_strength(lag: Lag) -> float:
    """Allowable tension at the root (N).

    Source: derived; half of 60 ksi on the root area; NDS 12.2.1.3 asks that it is not exceeded

    >>> round(root_strength(lag_of(0.375 * INCH)) / POUND)
    1655
    """
    return pi * lag.root**2 / 4.0 * STEEL_STRESS


def use(shear: float, pull: float, strength: Strength) -> float:
    """How much of a lag screw's strength a load across it and out of it takes; over 1 it is too much.

    The combined form falls where pull is added to shear, so neither share alone may exceed it.

    Source: memory; NDS; 2018; 12.4.1 (clause known from a calculator's notes)

    >>> use(100.0, 0.0, Strength(200.0, 300.0, 900.0)), use(0.0, 150.0, Strength(200.0, 300.0, 900.0))
    (0.5, 0.5)
    """
    across = _share(shear, strength.lateral)
    out = _share(pull, strength.withdrawal)
    both = hypot(shear, pull)
    combined = (shear * across + pull * out) / both if both > 0.0 else 0.0
    return max(combined, across, out, _share(pull, strength.root))


def _share(load: float, strength: float) -> float:
    if load <= 0.0:
        return 0.0
    return load / strength if strength > 0.0 else float("inf")
