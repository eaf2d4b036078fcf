"""The trade's notation, read, refused and written."""

import math
import pickle
import re
import subprocess
import sys
from fractions import Fraction

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from doorlint.quantities import (
    BASES,
    DIMENSIONS,
    LEAST,
    LONGEST,
    UNITS,
    QuantityError,
    System,
    dimension_of,
    parse,
    read,
    system_of,
    write,
    write_exact,
    write_pair,
)
from doorlint.quantities.units import find

INCH, FOOT = Fraction("0.0254"), Fraction("0.3048")
POUND, GRAVITY = Fraction("4.4482216152605"), Fraction("9.80665")
SYSTEMS: tuple[System, ...] = ("us", "si")

# ruff: noqa: RUF001 - marks that look alike are what is tested

# --- reading -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("12'-2 1/2\"", "length", Fraction("146.5") * INCH),
        ("12' 2 1/2\"", "length", Fraction("146.5") * INCH),
        ("12' 2.5\"", "length", Fraction("146.5") * INCH),
        ("12'2.5\"", "length", Fraction("146.5") * INCH),
        ("12' - 2 1/2\"", "length", Fraction("146.5") * INCH),
        ("12 ft 2 1/2 in", "length", Fraction("146.5") * INCH),
        ("12 ft. 2 1/2 in.", "length", Fraction("146.5") * INCH),
        ("12ft 2.5in", "length", Fraction("146.5") * INCH),
        ("  12 ft\t2   1/2 in ", "length", Fraction("146.5") * INCH),
        ("12′-2 ½″", "length", Fraction("146.5") * INCH),
        ("12’–2½”", "length", Fraction("146.5") * INCH),
        ("12'-2½''", "length", Fraction("146.5") * INCH),
        ("12\u00a0ft\u00a02\u00a01⁄2\u00a0in", "length", Fraction("146.5") * INCH),
        ("12'-½\"", "length", Fraction("144.5") * INCH),
        ("12'-0 1/2\"", "length", Fraction("144.5") * INCH),
        ("12'", "length", 12 * FOOT),
        ("12 ft", "length", 12 * FOOT),
        ("12.5'", "length", Fraction("12.5") * FOOT),
        ("146 1/2 in", "length", Fraction("146.5") * INCH),
        ('146.5"', "length", Fraction("146.5") * INCH),
        ("7/16 in", "length", Fraction(7, 16) * INCH),
        ("⅜ in", "length", Fraction(3, 8) * INCH),
        (".135 in", "length", Fraction("0.135") * INCH),
        ("5/4 in", "length", Fraction(5, 4) * INCH),
        ("2 inches", "length", 2 * INCH),
        ("3660 mm", "length", Fraction("3.66")),
        ("3660mm", "length", Fraction("3.66")),
        ("366 cm", "length", Fraction("3.66")),
        ("3.66 m", "length", Fraction("3.66")),
        ("-2 1/2 in", "position", Fraction("-2.5") * INCH),
        ("−60 mm", "position", Fraction("-0.06")),
        ("-12'-2 1/2\"", "position", Fraction("-146.5") * INCH),
        ("60 mm", "position", Fraction("0.06")),
        ("240 lb", "weight", 240 * POUND),
        ("65 lbf", "weight", 65 * POUND),
        ("108 kg", "weight", 108 * GRAVITY),
        ("500 g", "weight", GRAVITY / 2),
        ("1200 N", "weight", Fraction(1200)),
        ("1.2 kN", "weight", Fraction(1200)),
        ("-65 lbf", "pull", -65 * POUND),
        ("1/4 in/ft", "slope", Fraction(1, 48)),
        ("20 mm/m", "slope", Fraction(1, 50)),
        ("25 psf", "pressure", 25 * POUND / FOOT**2),
        ("25 lb/sq ft", "pressure", 25 * POUND / FOOT**2),
        ("1.2 kPa", "pressure", Fraction(1200)),
        ("30 deg", "angle", Fraction(math.pi) / 6),
        ("30°", "angle", Fraction(math.pi) / 6),
        ("0.5 rad", "angle", Fraction(1, 2)),
        ("9 ft-lb", "torque", 9 * FOOT * POUND),
        ("9 lbf ft", "torque", 9 * FOOT * POUND),
        ("25 lbf in", "torque", 25 * INCH * POUND),
        ("88 N m", "torque", Fraction(88)),
        ("88 N·m", "torque", Fraction(88)),
        ("88 N-m", "torque", Fraction(88)),
        ("29.2 lbf in/turn", "torque-rate", Fraction("29.2") * INCH * POUND),
        ("3.3 N m/turn", "torque-rate", Fraction("3.3")),
        ("40 lbf/in", "spring-rate", 40 * POUND / INCH),
        ("7 N/mm", "spring-rate", Fraction(7000)),
        ("1.9 lb/ft", "weight-per-length", Fraction("1.9") * POUND / FOOT),
        ("2.8 kg/m", "weight-per-length", Fraction("2.8") * GRAVITY),
        ("2 lb/ft3", "density", 2 * POUND / FOOT**3),
        ("160 lb/cu ft", "density", 160 * POUND / FOOT**3),
        ("160 lb / ft^3", "density", 160 * POUND / FOOT**3),
        ("160 lb/ft³", "density", 160 * POUND / FOOT**3),
        ("32 kg/m3", "density", 32 * GRAVITY),
        ("12 sq ft", "area", 12 * FOOT**2),
        ("12 sq. ft.", "area", 12 * FOOT**2),
        ("12 ft2", "area", 12 * FOOT**2),
        ("12 ft²", "area", 12 * FOOT**2),
        ("1.1 m2", "area", Fraction("1.1")),
        ("90 mph", "speed", 90 * 5280 * FOOT / 3600),
        ("40 m/s", "speed", Fraction(40)),
        ("36 km/h", "speed", Fraction(10)),
        ("45 min", "time", Fraction(2700)),
        ("8 h", "time", Fraction(28800)),
        ("1 s", "time", Fraction(1)),
        ("30e6 psi", "stress", 30_000_000 * POUND / INCH**2),
        ("36 ksi", "stress", 36_000 * POUND / INCH**2),
        ("250 MPa", "stress", Fraction(250_000_000)),
        ("250 N/mm2", "stress", Fraction(250_000_000)),
        ("207 GPa", "stress", Fraction(207_000_000_000)),
        ("0.13 in3", "section-modulus", Fraction("0.13") * INCH**3),
        ("0.19 in4", "second-moment", Fraction("0.19") * INCH**4),
        ("7.9 cm4", "second-moment", Fraction("7.9e-8")),
        ("230 V", "voltage", Fraction(230)),
        ("2 /min", "frequency", Fraction(1, 30)),
        ("2/min", "frequency", Fraction(1, 30)),
        ("1 %", "share", Fraction(1, 100)),
        ("1%", "share", Fraction(1, 100)),
        ("7 1/2 turns", "turns", Fraction(15, 2)),
        ("1 turn", "turns", Fraction(1)),
        ("0.67", "ratio", Fraction("0.67")),
        ("3", "count", Fraction(3)),
        ("0 in", "length", Fraction(0)),
        ("1.5e-3 m", "length", Fraction("0.0015")),
    ],
)
def test_a_quantity_is_read_to_the_nearest_float(text: str, dimension: str, value: Fraction | float) -> None:
    assert read(text, dimension) == float(value)


def test_the_same_size_in_either_system_is_the_same_float() -> None:
    assert read("146 1/2 in", "length") == read("3721.1 mm", "length") == read("12'-2 1/2\"", "length")
    assert read("1/4 in/ft", "slope") == read("1/48 m/m", "slope")


def test_a_minus_sign_is_read_when_the_caller_asks() -> None:
    assert read("-1 %", "share", signed=True) == -0.01
    assert read("-1/8 in/ft", "slope", signed=True) == -1 / 96


APART = "expected a fraction less than one, with a space before it"
SUCH_A_LENGTH = "write a length such as 12'-2 1/2\" or 3660 mm"
OR_EMPTY = ", or leave it empty while it is not known"
MARKED = "expected feet and inches with their marks"
UNIT_OF_LENGTH = "expected a length with a unit such as in, ft or mm"


@pytest.mark.parametrize(
    ("text", "dimension", "message"),
    [
        # no unit
        ("146", "length", "found 146 without a unit; expected a length; write 146 in or 146 mm"),
        ("146 1/2", "length", "found 146 1/2 without a unit; expected a length; write 146 1/2 in or 146 1/2 mm"),
        ("0", "length", "found 0 without a unit; expected a length; write 0 in or 0 mm"),
        ("240", "weight", "found 240 without a unit; expected a weight; write 240 lb or 240 kg"),
        ("1/4", "slope", "found 1/4 without a unit; expected a slope; write 1/4 in/ft or 1/4 mm/m"),
        ("45", "time", "found 45 without a unit; expected a time; write 45 s, 45 min or 45 h"),
        ("1", "share", "found 1 without a unit; expected a share; write 1 %"),
        ("63", "area", "found 63 without a unit; expected an area; write 63 sq in, 63 sq ft, 63 cm2 or 63 m2"),
        ("12'-2 1/2", "length", "found 12'-2 1/2; expected a mark or unit after the inches; write 12'-2 1/2\""),
        ("12 ft 2", "length", "found 12 ft 2; expected a mark or unit after the inches; write 12'-2\""),
        ("12'-14", "length", "found 12'-14; expected a mark or unit after the inches; write 13'-2\""),
        # hyphens that say too little
        ("12-2 1/2", "length", "found 12-2 1/2; expected a length without a bare hyphen; write 12'-2 1/2\""),
        ('12-2 1/2"', "length", 'found 12-2 1/2"; expected a length without a bare hyphen; write 12\'-2 1/2"'),
        ("12-2", "length", "found 12-2; expected a length without a bare hyphen; write 12'-2\""),
        ("12-14 in", "length", "found 12-14 in; expected a length without a bare hyphen; write 13'-2\""),
        ("12-1/2", "length", "found 12-1/2; expected a length without a bare hyphen; write 12 1/2 in or 12'-0 1/2\""),
        (
            "12-1/2 in",
            "length",
            "found 12-1/2 in; expected a length without a bare hyphen; write 12 1/2 in or 12'-0 1/2\"",
        ),
        ("2-1/2 lb", "weight", "found 2-1/2 lb; expected a weight without a bare hyphen; write 2 1/2 lb"),
        (
            "12-2 lb",
            "weight",
            "found 12-2 lb; expected a weight without a bare hyphen; write a weight such as 240 lb or 108 kg",
        ),
        ("12-1/0 in", "length", f"found 12-1/0 in; expected a length without a bare hyphen; {SUCH_A_LENGTH}"),
        # feet and inches
        ("12'-14\"", "length", "found 12'-14\"; expected less than 12 in after feet; write 13'-2\""),
        ("12'-12\"", "length", "found 12'-12\"; expected less than 12 in after feet; write 13'-0\""),
        ("12' 14.5 in", "length", "found 12' 14.5 in; expected less than 12 in after feet; write 13'-2 1/2\""),
        ("12'-25/2\"", "length", f"found 12'-25/2\"; {APART}; write 13'-0 1/2\""),
        ('61/2"', "length", f'found 61/2"; {APART}; write 6 1/2 " or 30 1/2 "'),
        ("121/2 in", "length", f"found 121/2 in; {APART}; write 12 1/2 in or 60 1/2 in"),
        ("10'61/2\"", "length", f"found 10'61/2\"; {APART}; write 10'-6 1/2\" or 12'-6 1/2\""),
        (
            "12'-2 3/2\"",
            "length",
            "found 12'-2 3/2\"; expected a fraction less than one after a whole number; write 12'-3 1/2\"",
        ),
        ("12' 2 mm", "length", f"found 12' 2 mm; expected inches after feet; {SUCH_A_LENGTH}"),
        ("12.5'-3\"", "length", f"found 12.5'-3\"; expected whole feet before inches; {SUCH_A_LENGTH}"),
        ("12 1/2 ft 3 in", "length", f"found 12 1/2 ft 3 in; expected whole feet before inches; {SUCH_A_LENGTH}"),
        # fractions
        ("1/0 in", "length", f"found 1/0 in; expected a fraction whose lower number is not zero; {SUCH_A_LENGTH}"),
        ("2 1/0 in", "length", f"found 2 1/0 in; expected a fraction whose lower number is not zero; {SUCH_A_LENGTH}"),
        (
            "2 5/4 in",
            "length",
            "found 2 5/4 in; expected a fraction less than one after a whole number; write 3 1/4 in",
        ),
        ("2 4/4 in", "length", "found 2 4/4 in; expected a fraction less than one after a whole number; write 3 in"),
        ("½4 in", "length", f"found 1/2 4 in; expected a length; {SUCH_A_LENGTH}"),
        ("1.5 1/2 in", "length", f"found 1.5 1/2 in; expected a length; {SUCH_A_LENGTH}"),
        # no number at all
        ("", "length", f"found nothing; expected a length; {SUCH_A_LENGTH}"),
        (" \n", "length", f"found nothing; expected a length; {SUCH_A_LENGTH}"),
        ("nan", "length", f"found nan; expected a length; {SUCH_A_LENGTH}{OR_EMPTY}"),
        ("nan in", "length", f"found nan in; expected a length; {SUCH_A_LENGTH}{OR_EMPTY}"),
        ("inf", "length", f"found inf; expected a length; {SUCH_A_LENGTH}{OR_EMPTY}"),
        (
            "-inf mm",
            "position",
            f"found -inf mm; expected a position; write a position such as -2 1/2 in or -60 mm{OR_EMPTY}",
        ),
        ("in", "length", f"found in; expected a length; {SUCH_A_LENGTH}{OR_EMPTY}"),
        ("\x1b[31m", "length", f"found \\x1b[31m; expected a length; {SUCH_A_LENGTH}"),
        ("３ in", "length", f"found ３ in; expected a length; {SUCH_A_LENGTH}"),
        ("3² in", "length", f"found 3^2 in; expected a length; {SUCH_A_LENGTH}"),
        ("5. in", "length", f"found 5. in; expected a length; {SUCH_A_LENGTH}"),
        # numbers written in another way
        ("1,200 mm", "length", "found 1,200 mm; expected a number without commas; write 1200 mm or 1.200 mm"),
        ("3,66 m", "length", "found 3,66 m; expected a number without commas; write 3.66 m"),
        ("1,000,000 N", "weight", "found 1,000,000 N; expected a number without commas; write 1000000 N"),
        (
            "1,2,3 N",
            "weight",
            "found 1,2,3 N; expected a number without commas; write a weight such as 240 lb or 108 kg",
        ),
        ("+3 in", "length", "found +3 in; expected a length without a plus sign; write 3 in"),
        # signs
        ("-3 in", "length", "found -3 in; expected a length without a minus sign; write 3 in"),
        ("-½ in", "length", "found -½ in; expected a length without a minus sign; write 1/2 in"),
        ("-240 lb", "weight", "found -240 lb; expected a weight without a minus sign; write 240 lb"),
        ("-0 in", "length", "found -0 in; expected a length without a minus sign; write 0 in"),
        # sizes
        (
            "1e400 mm",
            "length",
            "found 1e400 mm; expected a power of ten of at most two digits; check the number and the unit",
        ),
        (
            "1e-400 mm",
            "length",
            "found 1e-400 mm; expected a power of ten of at most two digits; check the number and the unit",
        ),
        ("1e99 mm", "length", "found 1e99 mm; expected a length of at most 100 m; check the number and the unit"),
        (
            "1e-99 mm",
            "length",
            "found 1e-99 mm; expected a length of zero or at least 1e-30 m; check the number and the unit",
        ),
        (
            "9e99 quettameter4/quectometer4",
            "slope",
            "found 9e99 quettameter4/quectometer4; expected a slope of at most 10 m/m; check the number and the unit",
        ),
        (
            "999999999999999999999999999999e99 quettameter4/quectometer4",
            "slope",
            "found 999999999999999999999999999999e99 quetta…; expected a slope of at most 10 m/m; "
            "check the number and the unit",
        ),
        (
            "1e-99 quectometer4/quettameter4",
            "slope",
            "found 1e-99 quectometer4/quettameter4; expected a slope of zero or at least 1e-30 m/m; "
            "check the number and the unit",
        ),
        ("100.1 m", "length", "found 100.1 m; expected a length of at most 100 m; check the number and the unit"),
        ("-400 ft", "position", "found -400 ft; expected a position of at most 100 m; check the number and the unit"),
        ("1001 kN", "weight", "found 1001 kN; expected a weight of at most 1000 kN; check the number and the unit"),
        ("1" * 31 + " in", "length", f"found {'1' * 31} in; expected numbers of at most 30 digits; round the number"),
        (
            "1" * 81,
            "length",
            f"found {'1' * 40}… (81 characters); expected at most 80 characters; write one number and its unit",
        ),
        # units
        ("12 lb", "length", f"found 12 lb, a weight; expected a length; {SUCH_A_LENGTH}"),
        ("12 sq ft", "length", f"found 12 sq ft, an area; expected a length; {SUCH_A_LENGTH}"),
        (
            "3 lb/in",
            "length",
            f"found 3 lb/in, a spring rate or a weight per length; expected a length; {SUCH_A_LENGTH}",
        ),
        ("12 in", "weight", "found 12 in, a length; expected a weight; write a weight such as 240 lb or 108 kg"),
        ("2 %", "slope", "found 2 %, a share; expected a slope; write a slope such as 1/4 in/ft or 20 mm/m"),
        ("2 turns", "angle", "found 2 turns, a number of turns; expected an angle; write an angle such as 30 deg"),
        (
            "9 lbf in",
            "torque-rate",
            "found 9 lbf in, a torque; expected a torque per turn; write a torque per turn such as "
            "29.2 lbf in/turn or 3.3 N m/turn",
        ),
        ("5 stone", "length", f"found 5 stone, a weight; expected a length; {SUCH_A_LENGTH}"),
        ("12 inn", "length", f"found 12 inn; {UNIT_OF_LENGTH}; did you mean in?"),
        ("12 IN", "length", f"found 12 IN; {UNIT_OF_LENGTH}; did you mean in?"),
        ("12 MM", "length", f"found 12 MM; {UNIT_OF_LENGTH}; did you mean mm?"),
        # as people write feet, inches and thousands
        ("10ft6", "length", f"found 10ft6; {MARKED}; write 10'-6\""),
        ("10 feet 6 1/2 inches", "length", f"found 10 feet 6 1/2 inches; {MARKED}; write 10'-6 1/2\""),
        ("10'-6-1/2\"", "length", f"found 10'-6-1/2\"; {MARKED}; write 10'-6 1/2\""),
        ("10'?", "length", f"found 10'?; {UNIT_OF_LENGTH}; {SUCH_A_LENGTH}"),
        ("3 050 mm", "length", "found 3 050 mm; expected a number without spaces; write 3050 mm"),
        ("not yet", "length", f"found not yet; expected a length; {SUCH_A_LENGTH}{OR_EMPTY}"),
        ("12 dm", "length", f"found 12 dm; {UNIT_OF_LENGTH}; did you mean mm, cm or m?"),
        ("12 ch", "length", f"found 12 ch; {UNIT_OF_LENGTH}; did you mean cm?"),
        ("12 pin", "length", f"found 12 pin; {UNIT_OF_LENGTH}; did you mean in?"),
        ("12 wibble", "length", f"found 12 wibble; {UNIT_OF_LENGTH}; {SUCH_A_LENGTH}"),
        ("12 m m", "length", f"found 12 m m; {UNIT_OF_LENGTH}; did you mean mm?"),
        ("12 m/m/m", "length", f"found 12 m/m/m; {UNIT_OF_LENGTH}; {SUCH_A_LENGTH}"),
        ("12 m**2", "length", f"found 12 m**2; {UNIT_OF_LENGTH}; {SUCH_A_LENGTH}"),
        ("12 (m)", "length", f"found 12 (m); expected a length; {SUCH_A_LENGTH}"),
        ("3 degC", "length", f"found 3 degC; {UNIT_OF_LENGTH}; {SUCH_A_LENGTH}"),
        (
            "3 dBW",
            "weight",
            "found 3 dBW; expected a weight with a unit such as lb or kg; write a weight such as 240 lb or 108 kg",
        ),
        ("3 bohr", "length", f"found 3 bohr; {UNIT_OF_LENGTH}; {SUCH_A_LENGTH}"),
        ("3 dBm", "length", f"found 3 dBm; {UNIT_OF_LENGTH}; {SUCH_A_LENGTH}"),
        (
            "1 lb/lb",
            "slope",
            "found 1 lb/lb; expected a slope with a unit such as in/ft or mm/m; write a slope such as "
            "1/4 in/ft or 20 mm/m",
        ),
        (
            "2 rpm",
            "frequency",
            "found 2 rpm; expected a frequency with a unit such as /min; write a frequency such as 2 /min",
        ),
        (
            "65 ft-lbx",
            "torque",
            "found 65 ft-lbx; expected a torque with a unit such as lbf in or N m; write a torque such "
            "as 65 ft-lb or 88 N m",
        ),
        # plain numbers
        ("3 lb", "ratio", "found 3 lb, a weight; expected a plain number; write a plain number such as 0.5"),
        (
            "3 wibble",
            "ratio",
            "found 3 wibble; expected a plain number without a unit; write a plain number such as 0.5",
        ),
        ("7/2", "count", "found 7/2; expected a whole number; write 3 or 4"),
        ("2.5", "count", "found 2.5; expected a whole number; write 2 or 3"),
    ],
)
def test_what_is_refused_says_what_was_found_what_was_expected_and_the_fix(
    text: str, dimension: str, message: str
) -> None:
    with pytest.raises(QuantityError, match=f"^{re.escape(message)}$") as caught:
        read(text, dimension)
    found, expected, fix = message.split("; ")
    assert (caught.value.found, caught.value.expected) == (found[6:], expected[9:])
    assert caught.value.fix == fix
    for advised in advice(fix):
        assert read(advised, dimension) >= 0.0


def advice(fix: str) -> list[str]:
    """The texts that a fix says to write."""
    return re.split(", | or ", fix.removeprefix("write ")) if re.match("write [-0-9]", fix) else []


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("146", "found 146 without a unit; expected a number and its unit; write a quantity such as 2 1/2 in or 60 mm"),
        ("wide", "found wide; expected a quantity; write a quantity such as 2 1/2 in or 60 mm"),
        ("12-2 1/2", "found 12-2 1/2; expected a quantity without a bare hyphen; write 12'-2 1/2\""),
        ("-3 in", "found -3 in; expected a quantity without a minus sign; write 3 in"),
        ("3 inn", "found 3 inn; expected a number and a unit of the trade; did you mean in?"),
        (
            "3 lb m s",
            "found 3 lb m s; expected a quantity; write a quantity such as 2 1/2 in or 60 mm",
        ),
        ("101 m", "found 101 m; expected a length of at most 100 m; check the number and the unit"),
    ],
)
def test_a_quantity_of_no_asked_dimension_is_refused_alike(text: str, message: str) -> None:
    with pytest.raises(QuantityError, match=f"^{re.escape(message)}$"):
        parse(text)


def test_the_error_survives_the_way_back_from_a_worker() -> None:
    with pytest.raises(QuantityError, match="without a unit") as caught:
        read("146", "length")
    again = pickle.loads(pickle.dumps(caught.value))
    assert str(again) == str(caught.value)
    assert again.fix == "write 146 in or 146 mm"


def test_a_written_quantity_knows_its_dimensions_and_its_system() -> None:
    assert parse("1/2 in") == (0.0127, ("length", "position"), (0, 1, 0, 0), "us")
    assert parse("250 MPa").dimensions == ("pressure", "stress")
    assert parse("30 deg").dimensions == ("angle",)
    systems = {"12'-2\"": "us", "65 ft-lb": "us", "7 N/mm": "si", "45 min": None, "1 %": None, "2 yd": "us"}
    systems |= {"2 turns": None, "5 stone": "us", "3 tonne": "si", "1 bar": "si", "90 mph": "us", "1 day": None}
    assert {text: system_of(text) for text in systems} == systems


# --- units and dimensions ------------------------------------------------------------------------------------------

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
AS_PINT_CALLS_IT = {
    '"': "inch",
    "'": "foot",
    "lb": "pound * standard_gravity",
    "lbs": "pound * standard_gravity",
    "g": "gram * standard_gravity",
    "kg": "kilogram * standard_gravity",
    "kgf": "kilogram_force",
    "%": "percent",
    "turns": "1",
    "turn": "1",
    "lbf": "pound_force",
    "psf": "pound_force / foot**2",
    "inches": "inch",
    "feet": "foot",
}
SI_OF_BASE = {"N": "newton", "m": "meter", "s": "second", "V": "volt"}


def pint_size(name: str, si_unit: str) -> float:
    """What pint makes of one unit, in a coherent SI unit."""
    return float(REGISTRY.Quantity(1.0, AS_PINT_CALLS_IT.get(name, name)).to(si_unit).magnitude)


def coherent(exponents: tuple[int, ...]) -> str:
    return " * ".join(f"{SI_OF_BASE[base]}**{power}" for base, power in zip(BASES, exponents, strict=True))


@pytest.mark.parametrize("name", UNITS)
def test_every_unit_is_what_pint_says(name: str) -> None:
    unit = UNITS[name]
    assert unit.numerator / unit.denominator == pytest.approx(pint_size(name, coherent(unit.kind[:4])), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "expression", "si_unit"),
    [
        ("lb/cu ft", "pound * standard_gravity / foot**3", "newton / meter**3"),
        ("kg/m3", "kilogram * standard_gravity / meter**3", "newton / meter**3"),
        ("lbf in/turn", "pound_force * inch", "newton * meter"),
        ("in4", "inch**4", "meter**4"),
        ("km/h", "kilometer / hour", "meter / second"),
        ("in/ft", "inch / foot", "dimensionless"),
        ("/min", "1 / minute", "1 / second"),
    ],
)
def test_composed_units_are_what_pint_says(text: str, expression: str, si_unit: str) -> None:
    unit = find(text)
    assert unit is not None
    wanted = REGISTRY.parse_expression(expression).to(si_unit).magnitude
    assert unit.numerator / unit.denominator == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "expression", "si_unit"),
    [
        ("2 yd", "length", "2 * yard", "meter"),
        ("0.1 furlong", "length", "0.1 * furlong", "meter"),
        ("5 stone", "weight", "5 * stone * standard_gravity", "newton"),
        ("3 tonne", "weight", "3 * tonne * standard_gravity", "newton"),
        ("5 kip", "weight", "5 * kip", "newton"),
        ("1.9 lb/yd", "weight-per-length", "1.9 * pound * standard_gravity / yard", "newton / meter"),
        ("2 sq yd", "area", "2 * yard**2", "meter**2"),
        ("1 bar", "pressure", "bar", "pascal"),
        ("1 day", "time", "day", "second"),
        ("230 volt", "voltage", "230 * volt", "volt"),
    ],
)
def test_units_outside_the_table_are_read_as_pint_has_them(
    text: str, dimension: str, expression: str, si_unit: str
) -> None:
    assert read(text, dimension) == pytest.approx(
        REGISTRY.parse_expression(expression).to(si_unit).magnitude, rel=1e-12
    )


def test_whatever_pint_knows_is_read_right_or_refused() -> None:
    """No unit of pint's registry crashes the reader, and none that is accepted differs from pint."""
    accepted = 0
    for name in sorted(name for name in REGISTRY._units if name.isascii() and name.isalpha() and name not in UNITS):
        unit = find(name)
        if unit is None:
            continue
        accepted += 1
        size, si_unit = REGISTRY.Quantity(1.0, name), coherent(unit.kind[:4])
        if size.check("[mass]"):
            size = size * REGISTRY.Quantity(1.0, "standard_gravity")
        assert unit.numerator / unit.denominator == pytest.approx(size.to(si_unit).magnitude, rel=1e-9), name
    assert accepted > 100


def test_slow_imports_wait_until_they_are_needed() -> None:
    program = (
        "import sys; before = set(sys.modules); from doorlint import quantities as q\n"
        "q.read('1/4 in/ft', 'slope'), q.write(1.0, 'length', 'us')\n"
        "print(sorted({'pint', 'fractions', 'decimal', 'difflib'} & (set(sys.modules) - before)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


@pytest.mark.parametrize("name", DIMENSIONS)
def test_every_dimension_reads_its_examples_and_its_limit(name: str) -> None:
    dimension = DIMENSIONS[name]
    for text in dimension.example:
        assert read(text, name) != 0.0
    assert read(dimension.most, name) > LEAST
    for system in SYSTEMS:
        assert [style.below for style in dimension.styles(system)] == sorted(
            style.below for style in dimension.styles(system)
        )
        assert dimension.styles(system)[-1].below == math.inf


@pytest.mark.parametrize(("system", "index"), [("us", 0), ("si", 1)])
def test_examples_are_in_the_system_they_claim(system: System, index: int) -> None:
    systems = {
        system_of(d.example[index].lstrip("-")) for name, d in DIMENSIONS.items() if name not in ("ratio", "count")
    }
    assert systems == {system, None}


def test_exponents_multiply_as_formulas_do() -> None:
    assert dimension_of("length") == (0, 1, 0, 0)
    assert dimension_of("position") == dimension_of("length")
    assert dimension_of("pull") == dimension_of("weight") == (1, 0, 0, 0)
    assert dimension_of("pressure") == dimension_of("stress") == (1, -2, 0, 0)
    assert dimension_of("spring-rate") == dimension_of("weight-per-length") == (1, -1, 0, 0)
    assert dimension_of("torque") == dimension_of("torque-rate") == (1, 1, 0, 0)
    assert dimension_of("density") == (1, -3, 0, 0)
    assert [dimension_of(name)[1] for name in ("area", "section-modulus", "second-moment")] == [2, 3, 4]
    assert dimension_of("speed") == (0, 1, -1, 0)
    assert (dimension_of("time"), dimension_of("frequency")) == ((0, 0, 1, 0), (0, 0, -1, 0))
    assert dimension_of("voltage") == (0, 0, 0, 1)
    assert {dimension_of(name) for name in ("slope", "angle", "turns", "share", "ratio", "count")} == {(0, 0, 0, 0)}


# --- writing -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "dimension", "us", "si"),
    [
        ("12'-2 1/2\"", "length", "12'-2 1/2\"", "3721 mm"),
        ("12'-0 1/2\"", "length", "12'-0 1/2\"", "3670 mm"),
        ("12 ft", "length", "12'-0\"", "3658 mm"),
        ("48 in", "length", "4'-0\"", "1219 mm"),
        ("47 15/16 in", "length", "47 15/16 in", "1218 mm"),
        ("16 5/16 in", "length", "16 5/16 in", "414 mm"),
        ("16.3 in", "length", "16 5/16 in", "414 mm"),
        ("3/64 in", "length", "3/64 in", "1.19 mm"),
        ("0.0747 in", "length", "0.0747 in", "1.9 mm"),
        ("0 in", "length", "0 in", "0 mm"),
        ("-2 1/2 in", "position", "-2 1/2 in", "-63.5 mm"),
        ("-12'-2 1/2\"", "position", "-12'-2 1/2\"", "-3721 mm"),
        ("-1e-9 m", "position", "0 in", "0 mm"),
        ("240 lb", "weight", "240 lb", "108.9 kg"),
        ("35.27 lb", "weight", "35.3 lb", "16 kg"),
        ("1/4 in/ft", "slope", "1/4 in/ft", "20.8 mm/m"),
        ("3/8 in/ft", "slope", "3/8 in/ft", "31.3 mm/m"),
        ("25 psf", "pressure", "25 psf", "1.2 kPa"),
        ("112843 psi", "stress", "112843 psi", "778 MPa"),
        ("30 deg", "angle", "30 deg", "30 deg"),
        ("65 ft-lb", "torque", "780 lbf in", "88.13 N m"),
        ("29.2 lbf in/turn", "torque-rate", "29.2 lbf in/turn", "3.299 N m/turn"),
        ("40 lbf/in", "spring-rate", "40 lbf/in", "7.005 N/mm"),
        ("1.9 lb/ft", "weight-per-length", "1.9 lb/ft", "2.83 kg/m"),
        ("160 lb/cu ft", "density", "160 lb/ft3", "2563 kg/m3"),
        ("63 sq ft", "area", "63 sq ft", "5.85 m2"),
        ("0.484 sq in", "area", "0.484 sq in", "3.12 cm2"),
        ("0.129 in3", "section-modulus", "0.129 in3", "2.11 cm3"),
        ("0.19 in4", "second-moment", "0.19 in4", "7.91 cm4"),
        ("90 mph", "speed", "90 mph", "40.2 m/s"),
        ("8 in/s", "speed", "8 in/s", "0.203 m/s"),
        ("90 s", "time", "90 s", "90 s"),
        ("45 min", "time", "45 min", "45 min"),
        ("8 h", "time", "8 h", "8 h"),
        ("230 V", "voltage", "230 V", "230 V"),
        ("2 /min", "frequency", "2 /min", "2 /min"),
        ("1.25 %", "share", "1.25 %", "1.25 %"),
        ("7 1/2 turns", "turns", "7.5 turns", "7.5 turns"),
        ("0.67", "ratio", "0.67", "0.67"),
        ("3", "count", "3", "3"),
    ],
)
def test_the_report_rounds(written: str, dimension: str, us: str, si: str) -> None:
    value = read(written, dimension)
    assert (write(value, dimension, "us"), write(value, dimension, "si")) == (us, si)


def test_finer_fractions_and_decimals_on_request() -> None:
    value = read("146.47 in", "length")
    assert write(value, "length", "us") == "12'-2 1/2\""
    assert write(value, "length", "us", denominator=64) == "12'-2 15/32\""
    assert write(value, "length", "us", places=2) == "12'-2.47\""
    assert write(value, "length", "si", places=2) == "3720.34 mm"
    assert write(read("0.2253 in", "length"), "length", "us", places=4) == "0.2253 in"


@pytest.mark.parametrize(
    ("a", "b", "dimension", "system", "texts"),
    [
        ("3/8 in/ft", "1/4 in/ft", "slope", "us", ("3/8 in/ft", "1/4 in/ft")),
        ("0.26 in/ft", "1/4 in/ft", "slope", "us", ("17/64 in/ft", "1/4 in/ft")),
        ("12'-2 33/64\"", "12'-2 1/2\"", "length", "us", ("12'-2 33/64\"", "12'-2 1/2\"")),
        ("12'-2.503\"", "12'-2 1/2\"", "length", "us", ("12'-2.503\"", "12'-2.5\"")),
        ("47.99 in", "48.01 in", "length", "us", ("3'-11 63/64\"", "4'-0 1/64\"")),
        ("0.251 in/ft", "1/4 in/ft", "slope", "us", ("0.251 in/ft", "0.25 in/ft")),
        ("0.1249 in", "1/8 in", "length", "us", ("0.1249 in", "0.125 in")),
        ("3660.1 mm", "3660 mm", "length", "si", ("3660.1 mm", "3660 mm")),
        ("240.004 lb", "240 lb", "weight", "us", ("240.004 lb", "240 lb")),
        ("240 lb", "240 lb", "weight", "us", ("240 lb", "240 lb")),
        ("-1e-9 m", "12'", "position", "us", ("0'-0\"", "12'-0\"")),
        ("0 lb", "0.01 lb", "weight", "us", ("0 lb", "0.01 lb")),
    ],
)
def test_a_pair_is_written_finely_enough_to_tell_apart(
    a: str, b: str, dimension: str, system: System, texts: tuple[str, str]
) -> None:
    assert write_pair(read(a, dimension), read(b, dimension), dimension, system) == texts


@pytest.mark.parametrize(
    ("write_one", "value"),
    [(write, math.nan), (write_exact, math.nan), (write_exact, math.inf), (write_exact, -math.inf)],
)
def test_what_is_not_finite_is_not_written(write_one: object, value: float) -> None:
    message = f"found {value}; expected a length; report it as not known"
    with pytest.raises(QuantityError, match=f"^{message}$"):
        write_one(value, "length", "us")  # type: ignore[operator]


def test_what_has_no_bounds_is_said_in_words() -> None:
    assert write(math.inf, "length", "us") == "without bounds"
    assert write_pair(math.inf, 0.0254, "length", "si") == ("without bounds", "25.4 mm")


def test_what_would_not_be_read_is_not_written_exactly() -> None:
    with pytest.raises(QuantityError, match="expected a length of at most 100 m"):
        write_exact(101.0, "length", "si")


# --- properties ----------------------------------------------------------------------------------------------------

names = st.sampled_from(list(DIMENSIONS))
systems = st.sampled_from(SYSTEMS)


@st.composite
def sizes(draw: st.DrawFn) -> tuple[float, str]:
    """Any SI float that a dimension reads, with the dimension; half of them round numbers of one of its units."""
    name = draw(names.filter(lambda name: name != "count"))
    most = read(DIMENSIONS[name].most, name)
    if draw(st.booleans()):
        value = draw(st.floats(-most, most))
    else:
        unit = draw(st.sampled_from([s.unit for system in SYSTEMS for s in DIMENSIONS[name].styles(system)]))
        amount = draw(st.fractions(-1000, 1000, max_denominator=64))
        size = find(unit) if unit else None
        value = float(amount * (Fraction(size.numerator, size.denominator) if size else 1))
    if LEAST <= abs(value) <= most:
        return value, name
    return 0.0, name


@given(sizes(), systems)
def test_an_exact_text_reads_back_to_the_same_float(size: tuple[float, str], system: System) -> None:
    value, name = size
    text = write_exact(value, name, system)
    assert len(text) <= LONGEST
    assert read(text, name, signed=True) == value


@given(sizes())
def test_the_systems_agree(size: tuple[float, str]) -> None:
    value, name = size
    us, si = (read(write_exact(value, name, system), name, signed=True) for system in ("us", "si"))
    assert us == si


@given(st.integers(0, 328 * 12 * 64), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_tape_readings_keep_their_fractions(steps: int, denominator: int) -> None:
    value = float(Fraction(steps, 64) * INCH)
    assert "." not in write_exact(value, "length", "us")
    written = read(write(value, "length", "us", denominator=denominator), "length")
    assert abs(written - value) <= float(INCH) / denominator / 2 * (1 + 1e-9)


@given(sizes(), systems, st.integers(0, 6))
def test_rounding_stays_within_half_a_step(size: tuple[float, str], system: System, places: int) -> None:
    value, name = size
    text = write(value, name, system, places=places)
    style = next(s for s in DIMENSIONS[name].styles(system) if abs(value) < s.below)
    unit = find("in" if style.unit == "ft" else style.unit) if style.unit else None
    step = (unit.numerator / unit.denominator if unit else 1.0) / 10**places
    assert abs(spread(text, name) - value) <= step / 2 * (1 + 1e-9) + abs(value) * 1e-14


def spread(text: str, name: str) -> float:
    """A report's text read back; rounding may have carried it a little over the limit, which then is its value."""
    most = DIMENSIONS[name].most
    try:
        return read(text, name, signed=True)
    except QuantityError as error:
        refused = error
    assert refused.expected.endswith(f"of at most {most}")
    return math.copysign(read(most, name), -1.0 if text.startswith("-") else 1.0)


@given(sizes(), st.floats(1e-8, 1.0), systems)
def test_a_pair_that_differs_is_told_apart(size: tuple[float, str], by: float, system: System) -> None:
    value, name = size
    other = value * (1.0 - by)
    first, second = write_pair(value, other, name, system)
    assert (first == second) == (value == other)
    assert write_pair(value, value, name, system) == (write(value, name, system),) * 2


MORE_WORDS = ["sq ", "cu ", "yd", "furlong", "stone"]


@given(st.text(max_size=100), names, st.booleans())
@example("1e400 mm", "length", False)
@example("9" * 30 + "e99 " + "in", "length", False)
@example("½½", "length", True)
@example("+\b", "length", False)
@example("99999", "length", False)
@example("1 \ud800", "length", False)
def test_any_text_is_read_or_refused(text: str, name: str, signed: bool) -> None:
    read_or_refuse(text, name, signed)


@given(
    st.lists(
        st.sampled_from([*"0123456789 -/.'\"+,e^()*%½¼⅜′″–²", "12", "1/2", *UNITS, *MORE_WORDS]),
        max_size=12,
    ).map("".join),
    names,
    st.booleans(),
)
def test_near_misses_are_read_or_refused(text: str, name: str, signed: bool) -> None:
    read_or_refuse(text, name, signed)


def read_or_refuse(text: str, name: str, signed: bool) -> None:
    try:
        value = read(text, name, signed=signed)
    except QuantityError as error:
        refused = error
    else:
        assert math.isfinite(value)
        assert value >= 0.0 or signed or DIMENSIONS[name].signed
        assert abs(value) <= read(DIMENSIONS[name].most, name)
        return
    assert refused.found
    assert refused.expected
    assert refused.fix
    assert str(refused).isprintable()
    for advised in advice(refused.fix):
        assert math.isfinite(read(advised, name, signed=signed)), text


@given(sizes(), systems)
def test_what_is_read_for_a_dimension_is_read_alike_without(size: tuple[float, str], system: System) -> None:
    value, name = size
    if DIMENSIONS[name].kind != DIMENSIONS["ratio"].kind:
        text = write_exact(abs(value), name, system)
        quantity = parse(text)
        assert quantity.value == read(text, name)
        assert name in quantity.dimensions
        assert quantity.exponents == dimension_of(name)
        assert quantity.system in (system, None)
