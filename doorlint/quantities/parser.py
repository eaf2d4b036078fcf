"""From a written quantity to an SI float, or to an error that says what to write instead."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Final

from doorlint.errors import DoorlintError
from doorlint.named_tuple import NamedTuple
from doorlint.quantities.dimensions import DIMENSIONS, NAMES, Dimension, Exponents
from doorlint.quantities.units import NUMBER, PLAIN_NUMBER, UNITS, System, Unit, find, is_slip

LONGEST: Final = 80
"""Characters in the longest text that is read."""

LEAST: Final = 1e-30
"""Smallest SI magnitude that is read, zero aside: the fourth power of anything smaller may be lost."""


class QuantityError(DoorlintError, ValueError):
    """A text that is not the quantity asked for: what was ``found``, what was ``expected``, and the ``fix``."""

    def __init__(self, found: str, expected: str, fix: str) -> None:
        self.found, self.expected, self.fix = map(_printable, (found, expected, fix))
        super().__init__(self.found, self.expected, self.fix)

    def __str__(self) -> str:
        return f"found {self.found}; expected {self.expected}; {self.fix}"


class Quantity(NamedTuple):
    """A written quantity of which no dimension was asked: ``dimensions`` are the names it may take."""

    value: float
    dimensions: tuple[str, ...]
    exponents: Exponents
    system: System | None


_written = re.compile(
    r"""
    (?:(-)\ ?)?
    (?:([0-9]{1,30})(?:'(?:\ ?-\ ?|\ ?)|\ ?ft\.?(?:\ ?-\ ?|\ ))(?=\.?[0-9]))?      # whole feet, inches to follow
    (?:
        (?:([0-9]{1,30})\ )?([0-9]{1,30})/([0-9]{1,30})                             # 2 1/2 or 1/2
        | (?=\.?[0-9])([0-9]{0,30})(?:\.([0-9]{1,30}))?(?:[eE]([-+]?[0-9]{1,2}))?   # 2.5, .5 or 30e6
    )
    (?:\ ?(?![eE][-+]?[0-9])(/?[A-Za-z'"%].*))?                                    # unit
    """,
    re.VERBOSE,
).fullmatch

FRACTIONS: Final = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3",
                     "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}  # fmt: skip
_MARKS: Final = str.maketrans(
    {mark: f" {fraction} " for mark, fraction in FRACTIONS.items()}
    | dict.fromkeys("′‘’ʹ´", "'")  # noqa: RUF001 - the look-alikes are the point
    | dict.fromkeys("″“”ʺ", '"')
    | dict.fromkeys("‐‑‒–−·", "-")  # noqa: RUF001 - the look-alikes are the point
    | {"⁄": "/", "²": "^2", "³": "^3", "⁴": "^4", "°": " deg"}  # noqa: RUF001 - the look-alikes are the point
)


def read(text: str, dimension: str, *, signed: bool = False, positive: bool = False) -> float:
    """The SI value of a written quantity of one dimension.

    A minus sign is read only where the dimension has one (``position``, ``pull``) or ``signed`` asks for it; zero is
    not read where the quantity must be ``positive``, as the size of a thing is.
    Raises ``QuantityError`` for anything else than a number with a unit of that dimension, of a sensible size.

    >>> read("12'-2 1/2\\"", "length"), read("1/4 in/ft", "slope"), read("10 kg", "weight")
    (3.7211, 0.020833333333333332, 98.0665)
    >>> read("0 in", "length", positive=True)
    Traceback (most recent call last):
    doorlint.quantities.parser.QuantityError: found 0 in; expected a length of more than zero; check the measure, \
or leave it out while it is not known
    """
    value = _read(text, dimension, signed)
    if positive and value <= 0:
        fix = "check the measure, or leave it out while it is not known"
        raise QuantityError(_shown(text), f"{DIMENSIONS[dimension].label} of more than zero", fix)
    return value


@lru_cache(maxsize=4096)
def _read(text: str, dimension: str, signed: bool) -> float:
    want = DIMENSIONS[dimension]
    top, bottom, _ = _scan(text, want, signed or want.signed)
    return _bounded(text, top, bottom, dimension)


@lru_cache(maxsize=1024)
def parse(text: str) -> Quantity:
    """A written quantity by itself, unsigned: its SI value, the dimensions it may have and its unit system.

    >>> parse("40 lb/in").dimensions, parse("40 lb/in").system
    (('spring-rate', 'weight-per-length'), 'us')
    """
    top, bottom, unit = _scan(text, None, False)
    names = NAMES[unit.kind]
    widest = max(names, key=_MOST.__getitem__)
    return Quantity(_bounded(text, top, bottom, widest), names, DIMENSIONS[widest].exponents, unit.system)


@lru_cache(maxsize=1024)
def system_of(text: str) -> System | None:
    """The unit system that a quantity is written in; None for what both share (degrees, minutes, volts, shares).

    >>> system_of("3660 mm"), system_of("-53.5 lb"), system_of("30 deg")
    ('si', 'us', None)
    """
    return _scan(text, None, signed=True)[2].system


def feet_and_inches(top: int, bottom: int) -> str:
    """``top / bottom`` inches, not negative, as feet and inches.

    >>> feet_and_inches(293, 2), feet_and_inches(289, 2)
    ('12\\'-2 1/2"', '12\\'-0 1/2"')
    """
    feet, rest = divmod(top, 12 * bottom)
    inches = mixed(rest, bottom) if rest >= bottom or not rest else f"0 {mixed(rest, bottom)}"
    return f"{feet}'-{inches}\""


def mixed(top: int, bottom: int) -> str:
    """``top / bottom``, not negative, as a whole number and a fraction in lowest terms.

    >>> mixed(10, 4), mixed(1, 2), mixed(8, 4)
    ('2 1/2', '1/2', '2')
    """
    whole, rest = divmod(top, bottom)
    shrink = math.gcd(rest, bottom)
    parts = [str(whole)] if whole or not rest else []
    return " ".join(parts + ([f"{rest // shrink}/{bottom // shrink}"] if rest else []))


def _scan(text: str, want: Dimension | None, signed: bool) -> tuple[int, int, Unit]:
    """Numerator and denominator of a written quantity in SI, and its unit."""
    if len(text) > LONGEST:
        found = f"{_shown(text)} ({len(text)} characters)"
        raise QuantityError(found, f"at most {LONGEST} characters", "write one number and its unit")
    match = _written(text) if text.isascii() else None
    if match is None:
        plain = _plain(text)
        match = _written(plain)
        if match is None:
            raise _misread(plain, want)
    minus, feet, whole, over, under, digits, decimals, power, name = match.groups()
    top, bottom = _ratio(whole, over, under, digits, decimals, power)
    if not bottom:
        raise QuantityError(_shown(text), "a fraction whose lower number is not zero", _such_as(want))
    if over and int(over) >= bottom and (whole or int(over) > 9):
        raise _improper(text, want, minus or "", feet, whole, over, bottom, name or "")
    unit = find(name) if name else _bare(text, want, minus, feet, top, bottom)
    if unit is None:
        raise _unknown_unit(_plain(text), _plain(name), want)
    if feet:
        if unit != UNITS["in"]:
            raise QuantityError(_shown(text), "inches after feet", _such_as(DIMENSIONS["length"]))
        inches, top = top, top + 12 * int(feet) * bottom
        if inches >= 12 * bottom:
            fix = _write([f"{minus or ''}{feet_and_inches(top, bottom)}"], want)
            raise QuantityError(_shown(text), "less than 12 in after feet", fix)
    if unit.kind not in ((want.kind,) if want else NAMES):
        raise _another_dimension(text, unit, want)
    if want is DIMENSIONS["count"] and top % bottom:
        raise QuantityError(_shown(text), want.label, f"write {top // bottom} or {top // bottom + 1}")
    if minus:
        if not signed:
            fix = _write([_plain(text)[1:].strip()], want)
            raise QuantityError(_shown(text), f"{_label(want)} without a minus sign", fix)
        top = -top
    return top * unit.numerator, bottom * unit.denominator, unit


def _improper(
    text: str, want: Dimension | None, minus: str, feet: str | None, whole: str | None, over: str, under: int, name: str
) -> QuantityError:
    """The error for a fraction of one or more: ``61/2"`` is 6 1/2 in without its space sooner than 30 1/2 in."""
    apart = (
        [(int(over[:cut]), int(over[cut:])) for cut in range(1, len(over)) if 0 < int(over[cut:]) < under]
        if not whole
        else []
    )
    tops = [*(inches * under + part for inches, part in apart), int(whole or 0) * under + int(over)]
    if feet:
        meant = [minus + feet_and_inches(top + 12 * int(feet) * under, under) for top in tops]
    else:
        meant = [f"{minus}{mixed(top, under)} {name}".rstrip() for top in tops]
    expected = "a fraction less than one" + (" after a whole number" if whole else ", with a space before it")
    return QuantityError(_shown(text), expected, _write(meant, want))


def _ratio(
    whole: str | None, over: str | None, under: str | None, digits: str | None, decimals: str | None, power: str | None
) -> tuple[int, int]:
    """Numerator and denominator of a number, from its parts."""
    if over and under:
        bottom = int(under)
        return int(whole or 0) * bottom + int(over), bottom
    top, bottom = int((digits or "") + (decimals or "")), 10 ** len(decimals or "")
    ten = int(power or 0)
    return (top * 10**ten, bottom) if ten >= 0 else (top, bottom * 10**-ten)


def _plain(text: str) -> str:
    """The text with ASCII marks and single spaces."""
    return " ".join(text.translate(_MARKS).split()).replace(" /", "/").replace("/ ", "/")


def _bare(text: str, want: Dimension | None, minus: str | None, feet: str | None, top: int, bottom: int) -> Unit:
    """The unit of a text that names none: only plain numbers go without."""
    if feet:
        fix = _write([f"{minus or ''}{feet_and_inches(top + 12 * int(feet) * bottom, bottom)}"], want)
        raise QuantityError(_shown(text), "a mark or unit after the inches", fix)
    if want and want.kind == NUMBER:
        return PLAIN_NUMBER
    if want is None:
        raise QuantityError(f"{_shown(text)} without a unit", "a number and its unit", _such_as(want))
    units = [unit for unit in _usual_units(want) if unit != "ft"]  # feet are written with their inches
    written = [f"{_plain(text)} {unit}" for unit in units]
    if want is DIMENSIONS["share"] and 0 < top < bottom:  # 0.15 may be a share of one or of a hundred
        written.insert(0, f"{float(100 * top / bottom):g} %")
    fix = _write(written, want)
    raise QuantityError(f"{_shown(text)} without a unit", want.label, fix)


def _bounded(text: str, top: int, bottom: int, dimension: str) -> float:
    value = _divided(top, bottom)
    size = abs(value)
    if size > _MOST[dimension]:
        want = DIMENSIONS[dimension]
        raise QuantityError(_shown(text), f"{want.label} of at most {want.most}", "check the number and the unit")
    if top and size < LEAST:
        want = DIMENSIONS[dimension]
        expected = f"{want.label} of zero or at least {LEAST:g} {want.si_unit}"
        raise QuantityError(_shown(text), expected, "check the number and the unit")
    return value


def _divided(top: int, bottom: int) -> float:
    """The nearest float; infinite where it would be larger than any."""
    try:
        return top / bottom
    except OverflowError:
        return math.inf if top > 0 else -math.inf


# --- what to say about a text that is no quantity ------------------------------------------------------------------


def _misread(text: str, want: Dimension | None) -> QuantityError:
    """The error for a plain text that has not the shape of a quantity."""
    found, label = _shown(text), _label(want)
    if text.startswith("+"):
        return QuantityError(found, f"{label} without a plus sign", _write([text[1:].strip()], want))
    if re.search("[0-9]{31}", text):
        return QuantityError(found, "numbers of at most 30 digits", "round the number")
    if re.search("[0-9][eE][-+]?[0-9]{3}", text):
        return QuantityError(found, "a power of ten of at most two digits", "check the number and the unit")
    if re.search("[0-9],[0-9]", text):
        thousands = re.fullmatch("-?[0-9]{1,3}(,[0-9]{3})+([^0-9,].*)?", text)
        meant = [text.replace(",", "")] if thousands else []
        return QuantityError(found, "a number without commas", _write([*meant, text.replace(",", ".")], want))
    if hyphened := re.fullmatch("([0-9]+) ?- ?([0-9.].*)", text):
        meant = _unhyphened(hyphened[1], hyphened[2])
        return QuantityError(found, f"{label} without a bare hyphen", _write(meant, want))
    if re.fullmatch("-?[0-9]{1,3}( [0-9]{3})+([^0-9 ].*| [^0-9/].*)?", text):
        meant = [re.sub("(?<=[0-9]) (?=[0-9]{3})", "", text)]
        return QuantityError(found, "a number without spaces", _write(meant, want))
    if text and want and not any(character.isdigit() for character in text):
        return QuantityError(found, label, f"{_such_as(want)}, or leave it empty while it is not known")
    return QuantityError(found, label, _such_as(want))


def _feet_first(text: str) -> list[str]:
    """What feet and inches in a form of their own (``10ft6``, ``10 feet 6 inches``, ``10'-6-1/2"``) may have meant."""
    parts = re.fullmatch("([0-9]{1,30}) ?(?:'|ft|feet|foot)[. -]*([0-9].*)", text)
    number = _written(re.sub("(?<=[0-9])-(?=[0-9]+/)", " ", parts[2])) if parts else None
    if parts is None or number is None or number[1] or number[2]:
        return []
    _, _, whole, over, under, digits, decimals, power, name = number.groups()
    top, bottom = _ratio(whole, over, under, digits, decimals, power)
    if not bottom or top >= 12 * bottom or (name is not None and find(name) != UNITS["in"]):
        return []
    return [feet_and_inches(12 * int(parts[1]) * bottom + top, bottom)]


def _unhyphened(feet: str, rest: str) -> list[str]:
    """What ``12-2 1/2`` (feet and inches) or ``12-1/2 lb`` (a whole number and a fraction) may have meant."""
    number = _written(rest)
    if number is None or number[1] or number[2]:
        return []
    _, _, whole, over, under, digits, decimals, power, name = number.groups()
    top, bottom = _ratio(whole, over, under, digits, decimals, power)
    meant = [f"{feet} {rest}" if name else f"{feet} {rest} in"] if under and not whole else []
    if bottom and (name is None or find(name) == UNITS["in"]):
        meant.append(feet_and_inches(12 * int(feet) * bottom + top, bottom))
    return meant


def _unknown_unit(text: str, name: str, want: Dimension | None) -> QuantityError:
    """The error for a unit that nobody knows, with the nearest one that would do."""
    from difflib import get_close_matches

    if re.match("('|ft|feet|foot)[. -]*[0-9]", name):
        meant = _feet_first(text)
        expected = "feet and inches with their marks" if meant else "whole feet before inches"
        return QuantityError(_shown(text), expected, _write(meant, DIMENSIONS["length"]))
    if want and want.kind == NUMBER:
        return QuantityError(_shown(text), f"{want.label} without a unit", _such_as(want))
    usual = _usual_units(want) if want else []
    known = [unit for unit, row in UNITS.items() if want is None or row.kind == want.kind]
    known = [*usual, *(unit for unit in known if unit.isalpha() and unit not in usual)]
    near = (
        [unit for unit in known if unit.lower() == name.lower()]
        or [unit for unit in known if is_slip(name, unit)]
        or get_close_matches(name, known)
    )
    expected = f"{want.label} with a unit such as {_choice(usual)}" if want else "a number and a unit of the trade"
    fix = f"did you mean {_choice(near[:3])}?" if near else _such_as(want)
    return QuantityError(_shown(text), expected, fix)


def _another_dimension(text: str, unit: Unit, want: Dimension | None) -> QuantityError:
    """The error for a unit that measures something else."""
    labels = [DIMENSIONS[name].label for name in NAMES.get(unit.kind, ()) if not DIMENSIONS[name].signed]
    found = f"{_shown(text)}, {_choice(labels)}" if labels else _shown(text)
    return QuantityError(found, _label(want), _such_as(want))


def _label(want: Dimension | None) -> str:
    return want.label if want else "a quantity"


def _shown(text: str, most: int = 40) -> str:
    return (text if len(text) <= most else text[:most] + "…") or "nothing"


def _printable(text: str) -> str:
    return text if text.isprintable() else "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


def _write(candidates: list[str], want: Dimension | None) -> str:
    """The advice to write one of the candidates, if any of them would be read."""
    good = [text for text in candidates if _reads(text, want)]
    return f"write {_choice(good)}" if good else _such_as(want)


def _reads(text: str, want: Dimension | None) -> bool:
    try:
        top, bottom, _ = _scan(text, want, want.signed if want else False)
    except QuantityError:
        return False
    return want is None or not top or LEAST <= abs(_divided(top, bottom)) <= _most(want)


def _such_as(want: Dimension | None) -> str:
    if want is None:
        return "write a quantity such as 2 1/2 in or 60 mm"
    return f"write {want.label} such as {_choice(list(dict.fromkeys(want.example)))}"


def _usual_units(want: Dimension) -> list[str]:
    return list(dict.fromkeys(style.unit for style in (*want.us, *want.si)))


def _choice(words: list[str]) -> str:
    return " or ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def _most(want: Dimension) -> float:
    top, bottom, _ = _scan(want.most, want, False)
    return top / bottom


_MOST: Final = {name: _most(dimension) for name, dimension in DIMENSIONS.items()}
