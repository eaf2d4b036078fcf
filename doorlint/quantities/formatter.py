"""From an SI float to the report's text, which rounds, or to a text that reads back to the same float."""

from __future__ import annotations

import math
from functools import cache
from itertools import chain, count

from doorlint.quantities.dimensions import DIMENSIONS, Style
from doorlint.quantities.parser import QuantityError, feet_and_inches, mixed, read
from doorlint.quantities.units import PLAIN_NUMBER, System, Unit, find

_ON_A_TAPE = ("in", "ft", "in/ft")  # written in fractions of an inch
_FINE = 64  # the finest fraction written
_HALVES_UP = 1 + 1e-14  # lifts halves, and floats a hair below them, so that they round away from zero
_THIN = 1 / 8  # in; thinner things (sheet, wire) are gauged in decimals unless they are a whole 64th


def write(value: float, dimension: str, system: System, *, denominator: int = 16, places: int | None = None) -> str:
    """The report's text of an SI value, rounded.

    US lengths and slopes come in fractions with at most the given denominator (a power of two), from 48 in up in feet
    and inches; ``places`` asks for so many decimals instead. An infinite one is "without bounds".

    >>> write(3.7211, "length", "us"), write(3.7211, "length", "si"), write(0.4143375, "length", "us")
    ('12\\'-2 1/2"', '3721 mm', '16 5/16 in')
    >>> write(1 / 48, "slope", "us"), write(1067.6, "weight", "us"), write(0.0018974, "length", "us")
    ('1/4 in/ft', '240 lb', '0.0747 in')
    >>> write(1.0, "turns", "us")
    '1 turn'
    """
    if math.isinf(value):
        return "without bounds"
    return _rounded(value, _style(value, dimension, system), denominator, places)[1]


def write_pair(a: float, b: float, dimension: str, system: System) -> tuple[str, str]:
    """The report's texts of two values in one unit, fine enough to tell them apart if they differ (by over 1e-9).

    >>> write_pair(1 / 48, 1.004 / 48, "slope", "us")
    ('0.25 in/ft', '0.251 in/ft')
    >>> write_pair(1219.0, 1219.0, "weight", "si")
    ('124.3 kg', '124.3 kg')
    """
    if not (math.isfinite(a) and math.isfinite(b)):
        return write(a, dimension, system), write(b, dimension, system)
    style = max((_style(value, dimension, system) for value in (a, b)), key=lambda style: style.below)
    first, second = _rounded(a, style, 16, None), _rounded(b, style, 16, None)
    if math.isclose(a, b, rel_tol=1e-9):
        return first[1], second[1]
    on_tape = style.unit in _ON_A_TAPE
    start = max(2 if on_tape else 0, 1 + _places(max(abs(a), abs(b)) / _scale(style.unit), style))
    finer = chain([(_FINE, None)] if on_tape else [], ((16, places) for places in count(start)))
    while first[0] == second[0]:
        denominator, places = next(finer)
        first, second = _rounded(a, style, denominator, places), _rounded(b, style, denominator, places)
    return first[1], second[1]


def write_exact(value: float, dimension: str, system: System) -> str:
    """A text that ``read`` (with ``signed``) turns back into exactly this value.

    Raises ``QuantityError`` for a value that ``read`` would refuse.

    >>> write_exact(3.7211, "length", "us"), write_exact(3.7211, "length", "si"), write_exact(0.1, "length", "us")
    ('12\\'-2 1/2"', '3721.1 mm', '3.937007874015748 in')
    """
    from decimal import Context, Decimal

    style = _style(value, dimension, system)
    name = "in" if style.unit == "ft" else style.unit
    unit = _unit(name)
    over, under = value.as_integer_ratio()
    over, under = over * unit.denominator, under * unit.numerator  # the amount, exactly
    steps = round(_FINE * over / under)
    if style.unit in _ON_A_TAPE and steps * unit.numerator / (_FINE * unit.denominator) == value:
        text = _tape(steps, _FINE, style)
    else:
        # Seventeen significant digits, rounded once, lie nearer to this float than half way to the next; fewer may.
        for digits in (15, 16, 17):
            amount = Context(prec=digits).divide(Decimal(over), Decimal(under))
            top, bottom = amount.as_integer_ratio()
            if top * unit.numerator / (bottom * unit.denominator) == value:
                break
        number = str(amount.normalize()) if amount.adjusted() < -6 else _trimmed(f"{amount:f}")
        text = f"{number} {name}".rstrip()
    read(text, dimension, signed=True)
    return text


def _rounded(value: float, style: Style, denominator: int, places: int | None) -> tuple[float, str]:
    """The rounded amount, in the style's unit (inches for feet and inches), and its text."""
    amount = value / _scale(style.unit) * _HALVES_UP
    if style.unit in _ON_A_TAPE and places is None:
        marks = amount * _FINE
        if abs(amount) < _THIN and abs(marks - round(marks)) < 1e-6:
            denominator = max(denominator, _FINE)
        if abs(amount) >= _THIN or denominator == _FINE:
            steps = _nearest(amount * denominator)
            return steps / denominator, _tape(steps, denominator, style)
    if places is None:
        places = _places(amount, style)
    number = _trimmed(f"{amount:.{places}f}")
    unit = "turn" if (number, style.unit) == ("1", "turns") else style.unit
    text = f"{number} {unit}".rstrip()
    if style.unit == "ft":
        steps = _nearest(amount * 10**places)
        feet, inches = divmod(abs(steps), 12 * 10**places)
        text = f"{'-' * (steps < 0)}{feet}'-{_trimmed(f'{inches / 10**places:.{places}f}')}\""
    return float(number), text


def _trimmed(number: str) -> str:
    """A decimal without trailing zeros and without a minus sign on nothing."""
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return "0" if number == "-0" else number


def _tape(steps: int, denominator: int, style: Style) -> str:
    """``steps / denominator`` inches (or inches per foot) in fractions."""
    sign, size = "-" * (steps < 0), abs(steps)
    if style.unit == "ft":
        return sign + feet_and_inches(size, denominator)
    return f"{sign}{mixed(size, denominator)} {style.unit}"


def _nearest(amount: float) -> int:
    """The nearest integer, halves away from zero."""
    return int(math.copysign(math.floor(abs(amount) + 0.5), amount))


def _places(amount: float, style: Style) -> int:
    """Decimals that show an amount to the significant digits of its style."""
    whole = math.floor(math.log10(abs(amount))) + 1 if amount else style.digits
    return max(0, min(style.places, style.digits - whole))


def _style(value: float, dimension: str, system: System) -> Style:
    if not math.isfinite(value):
        raise QuantityError(str(value), DIMENSIONS[dimension].label, "report it as not known")
    size = abs(value)
    return next(style for style in DIMENSIONS[dimension].styles(system) if size < style.below)


@cache
def _scale(unit: str) -> float:
    """SI size of what the amount of a style counts: inches where the style is feet and inches."""
    row = _unit("in" if unit == "ft" else unit)
    return row.numerator / row.denominator


def _unit(name: str) -> Unit:
    row = find(name) if name else PLAIN_NUMBER
    if row is None:
        raise KeyError(name)
    return row
