"""The trade's written quantities, read to SI floats and written back.

A quantity is a number and a unit::

    number   146   146.5   .135   7/16   2 1/2   2½   30e6
    feet     12'-2 1/2"   12' 2.5"   12 ft 2 1/2 in
    unit     in   lb/cu ft   lbf in/turn   N/mm2   %

A unit is made of the rows of ``UNITS``: up to three on each side of at most one ``/``, joined by a space or ``-``;
lengths may be raised (``in4``, ``ft^3``, ``sq in``, ``m²``). A row that is missing is looked up in pint, one bare word
at a time, so pint never evaluates an expression. Prime marks, curly quotes and vulgar fractions are read as typed.

Numbers stay ratios of integers until one last division, which rounds once: ``146 1/2 in`` and ``3721.1 mm`` are the
same float. (Integers rather than ``fractions.Fraction``: several times faster to read, and 2 ms less to import.)

``lb``, ``kg``, ``lbf`` and ``N`` are one dimension, weight, in newtons: a mass is taken as its weight under standard
gravity. So a density is a weight density (N/m3), and a spring rate may be written in lb/in.
"""

from doorlint.quantities.dimensions import BASES, DIMENSIONS, Dimension, Exponents, Style, dimension_of
from doorlint.quantities.formatter import write, write_exact, write_pair
from doorlint.quantities.parser import LEAST, LONGEST, Quantity, QuantityError, parse, read, system_of
from doorlint.quantities.units import UNITS, System, Unit

__all__ = [
    "BASES",
    "DIMENSIONS",
    "LEAST",
    "LONGEST",
    "UNITS",
    "Dimension",
    "Exponents",
    "Quantity",
    "QuantityError",
    "Style",
    "System",
    "Unit",
    "dimension_of",
    "parse",
    "read",
    "system_of",
    "write",
    "write_exact",
    "write_pair",
]
