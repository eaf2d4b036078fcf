"""The closed set of dimensions: what each is called, counted in, bounded by and written in."""

from __future__ import annotations

import math
from types import MappingProxyType
from typing import Final, TypeAlias

from doorlint.named_tuple import NamedTuple
from doorlint.quantities import units as of
from doorlint.quantities.units import Kind, System

Exponents: TypeAlias = tuple[int, int, int, int]

BASES: Final = ("N", "m", "s", "V")
"""What the exponents of a dimension count. Mass is not among them: the trade weighs."""


class Style(NamedTuple):
    """How the report writes sizes up to, not including, ``below`` (SI)."""

    unit: str
    digits: int  # significant digits; the whole part is always written in full
    places: int  # at most so many decimals
    below: float = math.inf


class Dimension(NamedTuple):
    """What a dimension is called, its SI unit, the largest size that is read, an example and how it is written."""

    label: str
    si_unit: str
    kind: Kind
    most: str
    example: tuple[str, str]  # US, SI
    us: tuple[Style, ...]
    si: tuple[Style, ...]
    signed: bool = False

    @property
    def exponents(self) -> Exponents:
        """Powers of ``BASES``; slopes, turns, angles, shares and plain numbers all count as pure numbers."""
        newton, metre, second, volt = self.kind[:4]
        return newton, metre, second, volt

    def styles(self, system: System) -> tuple[Style, ...]:
        """The styles of one system, by rising size."""
        return self.us if system == "us" else self.si


def _same(label: str, si_unit: str, kind: Kind, most: str, example: str, *styles: Style) -> Dimension:
    """A dimension that both systems write alike."""
    return Dimension(label, si_unit, kind, most, (example, example), styles, styles)


_TAPE: Final = (Style("in", 3, 4, 1.2192), Style("ft", 3, 4))  # from 48 in up a tape is read in feet
_LB, _KG = (Style("lb", 4, 1),), (Style("kg", 4, 1),)
_MM: Final = (Style("mm", 3, 2),)

# fmt: off
DIMENSIONS: Final = MappingProxyType({
    "length": Dimension("a length", "m", of.LENGTH, "100 m", ("12'-2 1/2\"", "3660 mm"), _TAPE, _MM),
    "position": Dimension("a position", "m", of.LENGTH, "100 m", ("-2 1/2 in", "-60 mm"), _TAPE, _MM, signed=True),
    "weight": Dimension("a weight", "N", of.FORCE, "1000 kN", ("240 lb", "108 kg"), _LB, _KG),
    "pull": Dimension("a pull", "N", of.FORCE, "1000 kN", ("-240 lb", "-108 kg"), _LB, _KG, signed=True),
    "slope": Dimension("a slope", "m/m", of.PURE, "10 m/m", ("1/4 in/ft", "20 mm/m"),
                       (Style("in/ft", 3, 4),), (Style("mm/m", 3, 2),)),
    "grade": Dimension("a slope", "m/m", of.PURE, "10 m/m", ("-1/4 in/ft", "-20 mm/m"),
                       (Style("in/ft", 3, 4),), (Style("mm/m", 3, 2),), signed=True),
    "pressure": Dimension("a pressure", "Pa", of.PRESSURE, "1 MPa", ("25 psf", "1.2 kPa"),
                          (Style("psf", 3, 2),), (Style("kPa", 3, 4),)),
    "stress": Dimension("a stress", "Pa", of.PRESSURE, "1000 GPa", ("36000 psi", "250 MPa"),
                        (Style("psi", 4, 1),), (Style("MPa", 4, 2),)),
    "angle": _same("an angle", "rad", of.ANGLE, "360 deg", "30 deg", Style("deg", 3, 2)),
    "torque": Dimension("a torque", "N m", (1, 1, 0, 0, 0, 0, 0, 0), "1000 kN m", ("65 ft-lb", "88 N m"),
                        (Style("lbf in", 4, 2),), (Style("N m", 4, 3),)),
    "torque-rate": Dimension("a torque per turn", "N m/turn", (1, 1, 0, 0, -1, 0, 0, 0), "1000 kN m/turn",
                             ("29.2 lbf in/turn", "3.3 N m/turn"),
                             (Style("lbf in/turn", 4, 3),), (Style("N m/turn", 4, 4),)),
    "spring-rate": Dimension("a spring rate", "N/m", (1, -1, 0, 0, 0, 0, 0, 0), "1000 kN/mm",
                             ("40 lbf/in", "7 N/mm"), (Style("lbf/in", 4, 3),), (Style("N/mm", 4, 3),)),
    "weight-per-length": Dimension("a weight per length", "N/m", (1, -1, 0, 0, 0, 0, 0, 0), "1000 kN/m",
                                   ("1.9 lb/ft", "2.8 kg/m"), (Style("lb/ft", 4, 2),), (Style("kg/m", 4, 2),)),
    "density": Dimension("a density", "N/m3", (1, -3, 0, 0, 0, 0, 0, 0), "300 kN/m3", ("2 lb/ft3", "32 kg/m3"),
                         (Style("lb/ft3", 3, 2),), (Style("kg/m3", 3, 1),)),
    "area": Dimension("an area", "m2", (0, 2, 0, 0, 0, 0, 0, 0), "10000 m2", ("12 sq ft", "1.1 m2"),
                      (Style("sq in", 3, 4, 0.09290304), Style("sq ft", 3, 2)),
                      (Style("cm2", 3, 3, 0.1), Style("m2", 3, 2))),
    "section-modulus": Dimension("a section modulus", "m3", (0, 3, 0, 0, 0, 0, 0, 0), "1 m3", ("0.13 in3", "2.1 cm3"),
                                 (Style("in3", 3, 5),), (Style("cm3", 3, 4),)),
    "second-moment": Dimension("a second moment", "m4", (0, 4, 0, 0, 0, 0, 0, 0), "1 m4", ("0.19 in4", "7.9 cm4"),
                               (Style("in4", 3, 5),), (Style("cm4", 3, 4),)),
    "speed": Dimension("a speed", "m/s", of.SPEED, "200 m/s", ("90 mph", "40 m/s"),
                       (Style("in/s", 3, 2, 2.2352), Style("mph", 3, 1)), (Style("m/s", 3, 3),)),
    "time": _same("a time", "s", of.TIME, "10000 h", "45 min",
                  Style("s", 3, 2, 120.0), Style("min", 3, 1, 7200.0), Style("h", 3, 1)),
    "voltage": _same("a voltage", "V", of.VOLT, "1000 V", "230 V", Style("V", 3, 1)),
    "frequency": _same("a frequency", "/s", (0, 0, -1, 0, 0, 0, 0, 0), "1000 /s", "2 /min", Style("/min", 3, 3)),
    "share": _same("a share", "1", of.SHARE, "1000 %", "1 %", Style("%", 3, 3)),
    "turns": _same("a number of turns", "turns", of.TURN, "1000 turns", "7 1/2 turns", Style("turns", 4, 3)),
    "ratio": _same("a plain number", "1", of.NUMBER, "1000000", "0.5", Style("", 4, 4)),
    "count": _same("a whole number", "1", of.NUMBER, "1000000", "3", Style("", 4, 4)),
})
# fmt: on
"""Every dimension by name."""

NAMES: Final = MappingProxyType(
    {d.kind: tuple(name for name, other in DIMENSIONS.items() if other.kind == d.kind) for d in DIMENSIONS.values()}
)
"""The dimensions that share a kind, and so are written in the same units."""


def dimension_of(name: str) -> Exponents:
    """Powers of newton, metre, second and volt in a dimension.

    >>> dimension_of("stress")
    (1, -2, 0, 0)
    """
    return DIMENSIONS[name].exponents
