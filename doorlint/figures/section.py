"""Each section by itself: what it weighs and how well that is known, how far it sags lying flat, what springs do there.

The weight of steel is taken from its gage as galvanized sheet, the zinc counted as steel. Lights are cut out of
skin and core.
"""

from __future__ import annotations

from itertools import accumulate
from math import inf

from doorlint.errors import MissingInput
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import (
    Area,
    Count,
    Density,
    Each,
    Length,
    Pull,
    SecondMoment,
    Share,
    Table,
    Text,
    Weight,
)
from doorlint.mechanics import balance, drum, rolling, spring_balance, torsion_spring

POUND = 0.45359237 * 9.80665
STEEL_WEIGHT = 0.2836 * POUND / 0.0254**3
"""N/m3; .2836 lb per cubic inch, published: handbooks of steel construction"""
GLASS_WEIGHT = 160.0 * POUND / 0.3048**3
"""N/m3; 160 lb per cubic foot, published: handbooks of building materials"""
STEEL_MODULUS = 29e6 * POUND / 0.0254**2
"""Pa; 29,000,000 psi, memory: the value steel handbooks use"""


def skin_weight(
    section_height: Length,
    door_width: Length,
    section_glass_area: Area | None,
    section_build_skin_gage: Count,
    section_build_back_gage: Count | None,
    table_sheet_gage: Table,
) -> Weight:
    """Weight of the section's steel skins

    A back gage that is left out means that there is no back skin.

    Formula: (width x height - glass) x thickness of both skins x weight of steel
    Unit: N
    Source: derived; sheet thickness by gage and .2836 lb per cubic inch of steel

    >>> from doorlint.figures.table import Table
    >>> gages = Table("sheet-gage", ("gage", "galvanized"), {"gage": "exact"}, ((24, 0.000701),))
    >>> round(skin_weight(0.6, 3.0, None, 24, 24, gages), 2)
    194.27
    """
    thickness = table_sheet_gage.look("galvanized", gage=section_build_skin_gage)
    if section_build_back_gage is not None:
        thickness += table_sheet_gage.look("galvanized", gage=section_build_back_gage)
    return (door_width * section_height - (section_glass_area or 0.0)) * thickness * STEEL_WEIGHT


def core_weight(
    section_height: Length,
    door_width: Length,
    door_thickness: Length,
    section_glass_area: Area | None,
    section_build_core_density: Density,
) -> Weight:
    """Weight of the section's core

    The skins' own thickness is not taken off; it is a hundredth of the section's.

    Formula: (width x height - glass) x thickness x density of the core
    Unit: N
    Source: derived; volume times density

    >>> round(core_weight(0.6, 3.0, 0.05, None, 314.0), 2)
    28.26
    """
    return (door_width * section_height - (section_glass_area or 0.0)) * door_thickness * section_build_core_density


def glass_weight(section_glass_area: Area | None, section_glass_thickness: Length | None) -> Weight:
    """Weight of the section's glass; nothing when no glass is given

    Formula: area x thickness of all panes x weight of glass
    Unit: N
    Source: derived; 160 lb per cubic foot of glass

    >>> round(glass_weight(0.6, 0.006), 2), glass_weight(None, None)
    (90.48, 0.0)
    """
    if section_glass_area is None and section_glass_thickness is None:
        return 0.0
    if section_glass_area is None or section_glass_thickness is None:
        raise MissingInput("section.glass.area" if section_glass_area is None else "section.glass.thickness")
    return section_glass_area * section_glass_thickness * GLASS_WEIGHT


def estimate(
    section_skin_weight: Weight,
    section_core_weight: Weight,
    section_glass_weight: Weight,
    section_strut_kind: Text,
    section_strut_weight: Weight | None,
    section_build_hardware: Weight,
) -> Weight:
    """Weight of the section estimated from what it is built of

    Formula: skins + core + glass + strut + hardware
    Unit: N
    Source: derived; sum of the parts

    >>> estimate(194.0, 28.0, 90.0, "hat", 62.0, 150.0), estimate(194.0, 28.0, 90.0, "none", None, 150.0)
    (524.0, 462.0)
    """
    strut = 0.0 if section_strut_kind == "none" else section_strut_weight
    if strut is None:
        raise MissingInput("section.strut.weight")
    return section_skin_weight + section_core_weight + section_glass_weight + strut + section_build_hardware


def load(section_weight: Weight | None, section_estimate: Weight | None) -> Weight:
    """Weight of the section that the job works with

    Formula: the weight given, else the estimate
    Unit: N
    Source: derived; a weight that somebody took stands before an estimate

    >>> load(800.0, 760.0), load(None, 760.0)
    (800.0, 760.0)
    """
    if section_weight is not None:
        return section_weight
    if section_estimate is None:
        raise MissingInput("section.weight")
    return section_estimate


def load_band(
    section_load: Weight,
    section_weight: Weight | None,
    section_weight_from: Text | None,
    practice_weighed_weight_band: Share,
    practice_maker_weight_band: Share,
    practice_estimate_weight_band: Share,
) -> Weight:
    """How far the section's weight may be off, up or down

    Formula: weight x the shop's share for a weighed, a maker's or an estimated weight
    Unit: N
    Source: practice; a scale reads to about a hundredth, a list or an estimate is worse

    >>> load_band(800.0, 800.0, "weighed", 0.01, 0.05, 0.15), load_band(800.0, 800.0, "maker", 0.01, 0.05, 0.15)
    (8.0, 40.0)
    >>> load_band(800.0, None, None, 0.01, 0.05, 0.15)
    120.0
    """
    if section_weight is None or section_weight_from == "estimated":
        return section_load * practice_estimate_weight_band
    if section_weight_from is None:
        raise MissingInput("section.weight_from")
    known = practice_maker_weight_band if section_weight_from == "maker" else practice_weighed_weight_band
    return section_load * known


def flat_second_moment(
    section_second_moment: SecondMoment | None, section_strut_second_moment: SecondMoment | None
) -> SecondMoment:
    """Second moment of area against sag lying flat

    Where only the strut's own is given the section's stiffness is left out, so that the sag comes out too large
    rather than too small.

    Formula: the section's own with strut, else the strut's alone
    Unit: m4
    Source: derived; parts that bend side by side share the load, so one alone bends at least as far

    >>> flat_second_moment(5e-7, 2e-7), flat_second_moment(None, 2e-7)
    (5e-07, 2e-07)
    """
    if section_second_moment is not None:
        return section_second_moment
    if section_strut_second_moment is None:
        raise MissingInput("section.second_moment")
    return section_strut_second_moment


def width_bare(door_width: Length, section_strut_kind: Text | None) -> Length | None:
    """Width that the section spans without a strut; does not apply to one with a strut

    A strut that the spec does not show is not there.

    Formula: width of the sections
    Unit: m
    Source: derived; from the spec

    >>> width_bare(4.0, None), width_bare(4.0, "none"), width_bare(4.0, "hat")
    (4.0, 4.0, None)
    """
    return door_width if section_strut_kind in (None, "none") else None


def sag(section_load: Weight, door_width: Length, section_flat_second_moment: SecondMoment) -> Length:
    """Sag of the section in mid-width, lying flat on its end rollers

    Formula: 5 W L^3 / (384 E I), with E 29,000,000 psi
    Unit: m
    Source: derived; even load on a simple span, from the equation of the bent beam; the modulus of steel is from memory

    >>> round(sag(700.0, 3.7, 1e-7), 5)
    0.02309
    """
    return 5.0 * section_load * door_width**3 / (384.0 * STEEL_MODULUS * section_flat_second_moment)


def mark_spring_pull(
    section_mark_travel: Length,
    torsion_wound_springs: tuple[torsion_spring.Wound, ...],
    drum_shape: drum.Drum,
) -> Pull:
    """Pull of the springs when the roller at the top of this section is where the curve ends

    Formula: torque left / radius of the drum there
    Unit: N
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> round(mark_spring_pull(1.5, (torsion_spring.Wound(20.0, 7.0),), drum.standard(0.07)), 2)
    1025.58
    """
    return spring_balance.pull(torsion_wound_springs, drum_shape, section_mark_travel)


def mark_spring_residual(section_mark_spring_pull: Pull, section_mark_pull: Weight) -> Pull:
    """What the springs pull more than the door when this section's top roller stands where the curve ends

    Positive: the door moves up.

    Formula: pull of the springs - pull of the door
    Unit: N
    Source: derived; from both pulls

    >>> mark_spring_residual(1025.0, 1000.0)
    25.0
    """
    return section_mark_spring_pull - section_mark_pull


@error_gain(by_curve={"stays": 0.0, "free": inf})
def mark_travel(door_marks: tuple[balance.Mark | None, ...], section_height: Each[Length]) -> Each[Length | None]:
    """Travel at which the roller at the top of this section stands at the end of the curve

    Its pick-up travel. None when the roller does not get there between closed and open.

    Formula: travel of the bottom roller from closed
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> mark_travel((balance.Mark(1.7, (1.0, 0.0)), None), {"s1": 0.5, "s2": 0.5})
    {'s1': 1.7, 's2': None}
    """
    return {key: None if mark is None else mark.travel for key, mark in zip(section_height, door_marks, strict=True)}


@error_gain(by_curve={"moves": 0.0, "stays": 0.0})
def mark_pull(
    door_marks: tuple[balance.Mark | None, ...], door_shape: rolling.Door, section_height: Each[Length]
) -> Each[Weight | None]:
    """Pull of the door when the roller at the top of this section stands at the end of the curve

    Formula: sum of roller load x climb per travel
    Unit: N
    Source: derived; virtual work, frictionless

    >>> door = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> mark_pull((balance.Mark(1.7, (1.0, 0.0, 0.0)), None), door, {"s1": 0.5, "s2": 0.5})
    {'s1': 200.0, 's2': None}
    """
    return {
        key: None if mark is None else rolling.held(door_shape, mark.climb, mark.turn)
        for key, mark in zip(section_height, door_marks, strict=True)
    }


def joint_height(section_height: Each[Length]) -> Each[Length]:
    """Top of this section above the finished floor, door closed

    Formula: sum of the sections to here
    Unit: m
    Source: derived; sum of the parts

    >>> joint_height({"s1": 0.6, "s2": 0.5})
    {'s1': 0.6, 's2': 1.1}
    """
    return dict(zip(section_height, accumulate(section_height.values()), strict=True))


def mark_height(
    door_marks: tuple[balance.Mark | None, ...],
    door_frame: rolling.Door,
    track_path: rolling.Path,
    section_height: Each[Length],
) -> Each[Length | None]:
    """Bottom roller above the finished floor when the roller at the top of this section stands at the end of the curve

    Formula: height on the roller path at the pick-up travel
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.125, 0.0)
    >>> mark_height((balance.Mark(1.75, (1.0, 0.0, 0.0)), None), door, rolling.Path(2.0, 0.2), {"s1": 0.5, "s2": 0.5})
    {'s1': 1.875, 's2': None}
    """
    start = door_frame.bottom_roller
    return {
        key: None if mark is None else rolling.spot(track_path, start + mark.travel)[2]
        for key, mark in zip(section_height, door_marks, strict=True)
    }


def joint_hinge(section_hinge: Each[Count | None]) -> Each[Count | None]:
    """Number of the end hinge at the joint above this section

    The top section has no joint above it.

    Formula: what is stamped on the hinge
    Unit: 1
    Source: derived; what is stamped on the hinge

    >>> joint_hinge({"s1": 1, "s2": 2, "s3": None})
    {'s1': 1, 's2': 2, 's3': None}
    """
    *joints, top = section_hinge
    if any(section_hinge[key] is None for key in joints):
        raise MissingInput("section.hinge")
    return {**{key: section_hinge[key] for key in joints}, top: None}
