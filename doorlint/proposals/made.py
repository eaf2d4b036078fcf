"""Sizes that doors and their parts are commonly made in, and values rounded to them."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from doorlint import quantities
from doorlint.quantities import System

__all__ = ["Made", "made_for", "rounded", "text_of"]


class Made(NamedTuple):
    """Common sizes in one system of units: common practice, no source. A spec that gives another keeps it."""

    section_heights: tuple[str, ...] = ("24 in", "21 in", "18 in")
    radii: tuple[str, ...] = ("15 in", "12 in", "20 in", "10 in")
    """the smoother curve first, then the one that asks for less headroom"""
    low_radii: tuple[str, ...] = ("20 in", "15 in", "12 in", "10 in")
    """of a low-headroom track: the smoothest first, as all of them take the same headroom"""
    low_lines: tuple[str, ...] = ("2 in", "1 in")
    """how far above the header its main line runs; the lower one where headroom is short"""
    between_guides: str = "1 in"
    """between its two horizontal tracks"""
    upper_radius: str = "12 in"
    low_bracket: tuple[str, str] = ("-2 in", "0 in")
    """its top roller: below the top edge (negative: above it), inward of the section"""
    lap: str = "1 in"
    thickness: str = "2 in"
    roller: str = "3 in"
    stand_off: str = "1/2 in"
    gap: str = "5/32 in"
    """gap between the closed door and its jamb that hinges and track are set for"""
    section_weight: str = "5 psf"
    """weight of a section over its area, where nobody has weighed one"""
    box_height: str = "12 in"
    tare: str = "28 lb"
    plate: str = "10 lb"
    base_stop: str = "4 in"
    box_pulley_rise: str = "4 in"
    takeup: str = "6 in"
    over_travel: str = "3 in"
    tower_width: str = "14 in"
    tower_depth: str = "12 in"
    cover_height: str = "7 ft"
    pitch: str = "1 in"
    bumper: str = "6 in"
    """track behind the open door for the bumper"""
    crossing_over: str = "8 in"
    """how much longer than the clear width the far cable crosses"""
    strut_height: str = "3 in"
    strut_weight: str = "2.4 lb/ft"
    light_track: tuple[str, str] = ("2 in", "1.9 lb/ft")
    heavy_track: tuple[str, str] = ("3 in", "2.6 lb/ft")
    heavy_from: str = "500 lb"
    """a heavier door takes the larger track"""
    heaviest_on_light: str = "800 lb"
    """a heavier door takes the larger track even where the sides are narrow"""


_US: Final = Made()
_SI: Final = Made(
    section_heights=("600 mm", "550 mm", "500 mm", "450 mm"),
    radii=("380 mm", "305 mm", "510 mm", "255 mm"),
    low_radii=("510 mm", "380 mm", "305 mm", "255 mm"),
    low_lines=("50 mm", "25 mm"),
    between_guides="25 mm",
    upper_radius="305 mm",
    low_bracket=("-50 mm", "0 mm"),
    lap="25 mm",
    thickness="50 mm",
    roller="75 mm",
    stand_off="12 mm",
    gap="4 mm",
    section_weight="240 Pa",
    box_height="300 mm",
    tare="12 kg",
    plate="4 kg",
    base_stop="100 mm",
    box_pulley_rise="100 mm",
    takeup="150 mm",
    over_travel="75 mm",
    tower_width="360 mm",
    tower_depth="300 mm",
    cover_height="2140 mm",
    pitch="24 mm",
    bumper="150 mm",
    crossing_over="200 mm",
    strut_height="75 mm",
    strut_weight="3.6 kg/m",
    light_track=("50.8 mm", "2.8 kg/m"),
    heavy_track=("76.2 mm", "3.8 kg/m"),
    heavy_from="230 kg",
    heaviest_on_light="360 kg",
)


def made_for(system: System) -> Made:
    """The sizes of a system of units."""
    return _US if system == "us" else _SI


def rounded(amount: float, dimension: str, system: System, step: tuple[str, str], way: str) -> float:
    """An SI amount as a whole number of steps (of US and of metric jobs) ``up``, ``down`` or ``nearest``.

    >>> round(rounded(0.503, "length", "us", ("1/2 in", "10 mm"), "up") / 0.0254, 6)
    20.0
    """
    size = quantities.read(step[system == "si"], dimension)
    count = {"up": math.ceil, "down": math.floor, "nearest": lambda x: math.floor(x + 0.5)}[way]
    slack = {"up": -1e-9, "down": 1e-9, "nearest": 0.0}[way]
    return float(count(amount / size + slack) * size)


def text_of(amount: float, dimension: str, system: System, step: tuple[str, str], way: str) -> str:
    """An SI amount rounded to whole steps, as it is written in a spec.

    >>> text_of(0.503, "length", "us", ("1/2 in", "10 mm"), "up"), text_of(0.503, "length", "si", ("", "10 mm"), "up")
    ('20 in', '510 mm')
    >>> text_of(5.2, "count", "us", ("1", "1"), "nearest")
    '5'
    """
    value = rounded(amount, dimension, system, step, way)
    if dimension == "count":
        return str(round(value))
    return quantities.write(value, dimension, system, denominator=64)
