"""Units of the trade as exact ratios to SI, what can be made of them, and pint for the rest."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any, Final, Literal, TypeAlias

from doorlint.named_tuple import NamedTuple

System: TypeAlias = Literal["us", "si"]

Kind: TypeAlias = tuple[int, ...]
"""Powers of newton, metre, second, volt, turn, radian, share and bare number: what may not be mixed in a text."""

PURE: Final[Kind] = (0, 0, 0, 0, 0, 0, 0, 0)
FORCE: Final[Kind] = (1, 0, 0, 0, 0, 0, 0, 0)
LENGTH: Final[Kind] = (0, 1, 0, 0, 0, 0, 0, 0)
TIME: Final[Kind] = (0, 0, 1, 0, 0, 0, 0, 0)
VOLT: Final[Kind] = (0, 0, 0, 1, 0, 0, 0, 0)
TURN: Final[Kind] = (0, 0, 0, 0, 1, 0, 0, 0)
ANGLE: Final[Kind] = (0, 0, 0, 0, 0, 1, 0, 0)
SHARE: Final[Kind] = (0, 0, 0, 0, 0, 0, 1, 0)
NUMBER: Final[Kind] = (0, 0, 0, 0, 0, 0, 0, 1)
PRESSURE: Final[Kind] = (1, -2, 0, 0, 0, 0, 0, 0)
SPEED: Final[Kind] = (0, 1, -1, 0, 0, 0, 0, 0)


class Unit(NamedTuple):
    """A unit of ``numerator / denominator`` SI units; ``system`` is None for what both systems share."""

    numerator: int
    denominator: int
    kind: Kind
    system: System | None


PLAIN_NUMBER: Final = Unit(1, 1, NUMBER, None)

_GRAVITY: Final = (980_665, 100_000)  # m/s2, standard
_POUND: Final = (45_359_237 * 980_665, 10**13)  # N, the weight of a pound
_PSI: Final = (_POUND[0] * 10**8, _POUND[1] * 254**2)
_PI: Final = math.pi.as_integer_ratio()

_TABLE: Final[tuple[tuple[str, tuple[int, int], Kind, System | None], ...]] = (
    ('in " inch inches', (254, 10**4), LENGTH, "us"),
    ("ft ' foot feet", (3048, 10**4), LENGTH, "us"),
    ("mm", (1, 1000), LENGTH, "si"),
    ("cm", (1, 100), LENGTH, "si"),
    ("m", (1, 1), LENGTH, "si"),
    ("km", (1000, 1), LENGTH, "si"),
    ("lb lbf lbs", _POUND, FORCE, "us"),
    ("kg kgf", _GRAVITY, FORCE, "si"),
    ("g", (_GRAVITY[0], _GRAVITY[1] * 1000), FORCE, "si"),
    ("N", (1, 1), FORCE, "si"),
    ("kN", (1000, 1), FORCE, "si"),
    ("psf", (_POUND[0] * 10**8, _POUND[1] * 3048**2), PRESSURE, "us"),
    ("psi", _PSI, PRESSURE, "us"),
    ("ksi", (_PSI[0] * 1000, _PSI[1]), PRESSURE, "us"),
    ("Pa", (1, 1), PRESSURE, "si"),
    ("kPa", (10**3, 1), PRESSURE, "si"),
    ("MPa", (10**6, 1), PRESSURE, "si"),
    ("GPa", (10**9, 1), PRESSURE, "si"),
    ("mph", (44704, 10**5), SPEED, "us"),
    ("s", (1, 1), TIME, None),
    ("min", (60, 1), TIME, None),
    ("h", (3600, 1), TIME, None),
    ("V", (1, 1), VOLT, None),
    ("turns turn", (1, 1), TURN, None),
    ("deg", (_PI[0], _PI[1] * 180), ANGLE, None),
    ("rad", (1, 1), ANGLE, None),
    ("%", (1, 100), SHARE, None),
)


def _rows() -> Iterator[tuple[str, Unit]]:
    for names, (over, under), kind, system in _TABLE:
        shrink = math.gcd(over, under)
        for name in names.split():
            yield name, Unit(over // shrink, under // shrink, kind, system)


UNITS: Final = MappingProxyType(dict(_rows()))
"""The units of the trade by name; every other unit is made of these or, word by word, of pint's."""

SPELLINGS: Final = (
    ("^", ""),
    (".", ""),
    ("''", '"'),
    (" /", "/"),
    ("/ ", "/"),
    ("sq ", "sq_"),
    ("cu ", "cu_"),
    ("-", " "),
)
_factor = re.compile(r"""(?:(sq|cu)_)?([A-Za-z'"%]{1,24})([2-4])?""").fullmatch


@lru_cache(maxsize=512)
def find(text: str) -> Unit | None:
    """The unit that a text names, alone or composed, or None.

    >>> find("lb/cu ft").kind == find("kg/m3").kind
    True
    """
    text = " ".join(text.split())
    for spelling, plain in SPELLINGS:
        text = text.replace(spelling, plain)
    sides = text.split("/")
    if len(sides) > 2 or not sides[-1]:
        return None
    over, under, kind = 1, 1, PURE
    rows: list[Unit] = []
    for side, sign in zip(sides, (1, -1), strict=False):
        first, words = len(rows), side.split(" ") if side else []
        factors = [_factor(word) for word in words[:4]]
        if len(words) > 3 or not all(factors):
            return None
        for spelled, name, digit in (factor.groups() for factor in factors if factor):
            row = UNITS.get(name) or _from_pint(name)
            power = int(digit or {None: 1, "sq": 2, "cu": 3}[spelled])
            if row is None or (power > 1 and (row.kind != LENGTH or (spelled and digit))):
                return None
            top, bottom = (row.numerator, row.denominator)[::sign]
            over, under = over * top**power, under * bottom**power
            kind = tuple(x + sign * power * y for x, y in zip(kind, row.kind, strict=True))
            rows.append(row)
        if len({row.kind for row in rows[first:]}) < len(rows) - first:
            return None  # "m m" is no area
    if kind == PURE and any(row.kind != LENGTH for row in rows):
        return None  # "lb/lb" is no slope
    shrink = math.gcd(over, under)
    return Unit(over // shrink, under // shrink, kind, next((row.system for row in rows if row.system), None))


@cache
def _registry() -> Any:
    # A quarter of a second to import: only when a text uses a unit outside the table.
    from fractions import Fraction

    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


@lru_cache(maxsize=512)
def _from_pint(name: str) -> Unit | None:
    """A unit outside the table as pint has it, or None. Masses become weights; radians and temperatures are refused.

    A word one letter away from a unit of the table is a slip of the finger, whatever pint makes of it (``ch`` is a
    surveyor's chain, ``dm`` one key from ``cm``), and so is a prefix on a unit that is not metric (``pin``).
    """
    if not name.isalpha() or any(is_slip(name, known) for known in UNITS):
        return None
    registry = _registry()
    meanings = registry.parse_unit_name(name)
    if not meanings or (meanings[0][0] and meanings[0][1] not in ("meter", "gram", "newton", "pascal", "second")):
        return None
    import pint

    try:
        base = registry.Quantity(1, name).to_base_units()
    except (pint.PintError, TypeError, AttributeError):  # a temperature, or a logarithm (decibel): no ratio to SI
        return None
    if isinstance(base.magnitude, float):  # no exact ratio; so is a logarithm where numpy is not installed
        return None
    over, under = base.magnitude.as_integer_ratio()
    powers = dict(base.unit_items())
    mass, length, time, current = (powers.pop(unit, 0) for unit in ("kilogram", "meter", "second", "ampere"))
    if powers or over <= 0 or any(power % 1 for power in (mass, length, time, current)):
        return None
    metric = all(str(number).rstrip("0") == "1" for number in (over, under))
    if (mass, length, time, current) == (1, 0, 0, 0):
        kind, over, under = FORCE, over * _GRAVITY[0], under * _GRAVITY[1]
    else:
        volts, force = -int(current), int(mass + current)
        kind = (force, int(length) - force - 2 * volts, int(time) + 2 * force + 3 * volts, volts, 0, 0, 0, 0)
    if kind == PURE:
        return None
    # Powers of ten of SI are metric; of what is left a US reader makes more.
    system: System = "si" if metric else "us"
    return Unit(over, under, kind, system if kind[0] or kind[1] else None)


def is_slip(name: str, known: str) -> bool:
    """Whether two words with a letter in common differ, capitals aside, by at most one added, dropped or changed.

    >>> is_slip("inn", "in"), is_slip("IN", "in"), is_slip("yd", "in"), is_slip("g", "m")
    (True, True, False, False)
    """
    a, b = name.lower(), known.lower()
    while a and b and a[0] == b[0]:
        a, b = a[1:], b[1:]
    while a and b and a[-1] == b[-1]:
        a, b = a[:-1], b[:-1]
    return len(a) <= 1 and len(b) <= 1 and len(a) < len(name)
