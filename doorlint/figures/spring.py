"""Each torsion spring: its rate, its stress and limits, its life and the room it takes."""

from __future__ import annotations

import math
from itertools import pairwise

from doorlint.errors import MissingInput, NotModelled, OutsideTable
from doorlint.figures.kinds import (
    Count,
    Length,
    Ratio,
    Share,
    Stress,
    Table,
    Text,
    Torque,
    TorqueRate,
    Turns,
    Weight,
)
from doorlint.mechanics import torsion_spring

INCH = 0.0254


def mean_diameter(spring_inside_diameter: Length, spring_wire: Length) -> Length:
    """Mean diameter of the coil

    Formula: inside diameter + wire
    Unit: m
    Source: derived; center of the wire to center of the wire

    >>> round(mean_diameter(0.095, 0.010), 3)
    0.105
    """
    return spring_inside_diameter + spring_wire


def index(spring_mean_diameter: Length, spring_wire: Length) -> Ratio:
    """Spring index

    Formula: mean diameter / wire
    Unit: 1
    Source: derived; definition

    >>> index(0.09, 0.01)
    9.0
    """
    if spring_mean_diameter <= spring_wire:
        raise NotModelled("a coil without room inside it is not modelled")
    return spring_mean_diameter / spring_wire


def computed_rate(
    spring_material: Text,
    spring_wire: Length,
    spring_mean_diameter: Length,
    spring_coils: Ratio,
    practice_spring_divisor: Ratio,
    table_spring_wire: Table,
) -> TorqueRate:
    """Torque of the spring for one turn, worked out from its wire and coil

    The divisor is 10.8 with the friction of the coils allowed for, 10.2 by bending theory; the shop says which.

    Formula: E d^4 / (divisor D N), divisor 10.8 unless the shop says otherwise
    Unit: N m/turn
    Source: second-hand; Shigley's Mechanical Engineering Design; edition unclear; equations 10-50 and 10-51

    >>> from doorlint.figures.table import Table
    >>> match = {"material": "exact", "wire": "from"}
    >>> rows = (("music", 0.004, 200e9), ("music", 0.01, 200e9))
    >>> table = Table("spring-wire", ("material", "wire", "modulus"), match, rows)
    >>> round(computed_rate("music", 0.006, 0.054, 100.0, 10.8, table), 4)
    4.4444
    """
    modulus = table_spring_wire.look("modulus", material=spring_material, wire=spring_wire)
    return torsion_spring.rate_per_turn(
        modulus, spring_wire, spring_mean_diameter, spring_coils, practice_spring_divisor
    )


def coils_wanted(spring_coils: Ratio, torsion_rate: TorqueRate, setting_rate: TorqueRate) -> Ratio:
    """Active coils with which all springs together would have the torque per turn that leaves least

    Formula: active coils x torque per turn of all springs / torque per turn wanted
    Unit: 1
    Source: derived; the rate of a spring goes with one over its coils

    >>> coils_wanted(140.0, 20.0, 25.0)
    112.0
    """
    return spring_coils * torsion_rate / setting_rate


def torque_rate(spring_rate: TorqueRate | None, spring_computed_rate: TorqueRate | None) -> TorqueRate:
    """Torque of the spring for one turn that the job works with

    Formula: the rate tested by its maker, else the one worked out
    Unit: N m/turn
    Source: derived; a tested rate stands before a computed one

    >>> torque_rate(10.2, 10.0), torque_rate(None, 10.0)
    (10.2, 10.0)
    """
    if spring_rate is not None:
        return spring_rate
    if spring_computed_rate is None:
        raise MissingInput("spring.rate")
    return spring_computed_rate


def turns_closed(spring_turns: Turns | None, torsion_turns_closed: Turns | None) -> Turns:
    """Turns on the spring with the door closed

    Formula: its own turns, else those of all springs
    Unit: turns
    Source: derived; from the spec

    >>> turns_closed(7.0, 7.5), turns_closed(None, 7.5)
    (7.0, 7.5)
    """
    if spring_turns is not None:
        return spring_turns
    if torsion_turns_closed is None:
        raise MissingInput("torsion.wound")
    return torsion_turns_closed


def torque(spring_torque_rate: TorqueRate, spring_turns_closed: Turns) -> Torque:
    """Torque of the spring with the door closed

    Formula: rate x turns wound
    Unit: N m
    Source: derived; every spring on the shaft has its turns

    >>> torque(10.0, 7.5)
    75.0
    """
    return spring_torque_rate * spring_turns_closed


def stress(spring_torque: Torque, spring_wire: Length, spring_index: Ratio) -> Stress:
    """Bending stress at the inside of the coil with the door closed

    Formula: Ki 32 M / (pi d^3), Ki = (4C^2 - C - 1) / (4C (C - 1))
    Unit: Pa
    Source: published; Norton, Machine Design; edition not noted; Example 14-6, step 3

    >>> round(stress(10.0, 0.006, 9.0) / 1e6, 1)
    514.1
    """
    return torsion_spring.bending_stress(spring_torque, spring_wire, spring_index)


def strength(spring_material: Text, spring_wire: Length, table_spring_wire: Table) -> Stress:
    """Tensile strength of the spring's wire

    Formula: A / d^m, d in inches
    Unit: Pa
    Source: second-hand; Shigley's Mechanical Engineering Design; edition unclear; Table 10-4

    >>> from doorlint.figures.table import Table
    >>> match = {"material": "exact", "wire": "from"}
    >>> rows = (("music", 0.004, 1e9, 0.145), ("music", 0.01, 1e9, 0.145))
    >>> table = Table("spring-wire", ("material", "wire", "strength", "exponent"), match, rows)
    >>> round(strength("music", 0.00635, table) / 1e6, 1)
    1222.6
    """
    whole = table_spring_wire.look("strength", material=spring_material, wire=spring_wire)
    exponent = table_spring_wire.look("exponent", material=spring_material, wire=spring_wire)
    return float(whole / (spring_wire / INCH) ** exponent)


def stress_share(spring_stress: Stress, spring_strength: Stress) -> Share:
    """Bending stress as a share of the wire's strength

    Formula: stress / strength
    Unit: 1
    Source: derived; from both stresses

    >>> stress_share(600e6, 1200e6)
    0.5
    """
    return spring_stress / spring_strength


def plastic_torque(spring_strength: Stress, spring_wire: Length) -> Torque:
    """The most torque that the wire can carry

    Formula: strength x d^3 / 6, the full plastic moment
    Unit: N m
    Source: derived; statics of a round section, strength by the published older set of constants

    >>> round(plastic_torque(1.2e9, 0.006), 3)
    43.2
    """
    return torsion_spring.plastic_torque(spring_strength, spring_wire)


def textbook_life(spring_stress_share: Share, spring_material: Text, table_spring_life: Table) -> Count:
    """Openings the spring lasts by the textbook

    Working door springs run above the textbook's shares; a life rated by the maker is believed instead. 0 where the
    stress is over the share of the shortest life.

    Formula: cycles at which the allowed share of the strength is the stress, straight on their logarithm
    Unit: 1
    Source: second-hand; data table of a public spring design program; edition not noted; spring materials

    >>> from doorlint.figures.table import Table
    >>> match = {"material": "exact", "log_cycles": "between"}
    >>> rows = (("music", 3, 0.85), ("music", 5, 0.53))
    >>> table = Table("spring-life", ("material", "log_cycles", "share"), match, rows)
    >>> textbook_life(0.53, "music", table), textbook_life(0.9, "music", table), textbook_life(0.69, "music", table)
    (100000, 0, 10000)
    """
    rows = [(float(row[1]), float(row[2])) for row in table_spring_life.rows if row[0] == spring_material]
    if not rows:
        raise OutsideTable(f"no life is known for {spring_material} wire")
    if spring_stress_share > rows[0][1]:
        return 0
    for (low, more), (high, less) in pairwise(rows):
        if spring_stress_share >= less:
            return round(math.pow(10.0, low + (high - low) * (more - spring_stress_share) / (more - less)))
    return round(math.pow(10.0, rows[-1][0]))


def rated_life(
    spring_rated_cycles: Count | None,
    spring_rated_turns: Turns | None,
    spring_turns_closed: Turns,
    spring_textbook_life: Count | None,
) -> Count:
    """Openings the spring is expected to last

    A rated life counts up to the turns it is rated for.

    Formula: the maker's, else the textbook's
    Unit: 1
    Source: derived; the maker knows his wire

    >>> rated_life(20000, 7.5, 7.5, 300), rated_life(20000, 7.0, 7.5, 300), rated_life(None, None, 7.5, 300)
    (20000, 300, 300)
    """
    if spring_rated_cycles is not None:
        if spring_rated_turns is None:
            raise MissingInput("spring.rated_turns")
        if spring_turns_closed <= spring_rated_turns * (1.0 + 1e-9):
            return spring_rated_cycles
    if spring_textbook_life is None:
        raise MissingInput("spring.rated_cycles")
    return spring_textbook_life


def gripped_coils(spring_dead_coils: Ratio | None, practice_dead_coils: Ratio) -> Ratio:
    """Coils that the cones grip

    Formula: as given, else the shop's usual number
    Unit: 1
    Source: practice; coils on the cones do not work

    >>> gripped_coils(None, 5.0)
    5.0
    """
    return practice_dead_coils if spring_dead_coils is None else spring_dead_coils


def relaxed_length(spring_wire: Length, spring_coils: Ratio, spring_gripped_coils: Ratio) -> Length:
    """Length of the relaxed spring

    Formula: wire x (active coils + coils on the cones)
    Unit: m
    Source: derived; coils that touch

    >>> relaxed_length(0.008, 95.0, 5.0)
    0.8
    """
    return torsion_spring.body_length(spring_wire, spring_coils, spring_gripped_coils)


def wound_length(spring_relaxed_length: Length, spring_wire: Length, spring_turns_closed: Turns) -> Length:
    """Length of the spring with the door closed

    Every turn put on is one more coil beside the others.

    Formula: relaxed length + turns x wire
    Unit: m
    Source: derived; coils that touch

    >>> round(wound_length(1.2, 0.008, 7.5), 3)
    1.26
    """
    return spring_relaxed_length + spring_turns_closed * spring_wire


def bore(spring_mean_diameter: Length, spring_wire: Length, spring_coils: Ratio, spring_turns_closed: Turns) -> Length:
    """Inside diameter of the coil with the door closed

    Formula: D N / (N + turns) - d
    Unit: m
    Source: second-hand; Shigley's Mechanical Engineering Design; edition unclear; equation 10-53

    >>> round(bore(0.054, 0.006, 100.0, 8.0), 4)
    0.044
    """
    return torsion_spring.wound_mean_diameter(spring_mean_diameter, spring_coils, spring_turns_closed) - spring_wire


def outside_wound(spring_bore: Length, spring_wire: Length) -> Length:
    """Outside diameter of the coil with the door closed

    Formula: inside diameter wound + 2 x wire
    Unit: m
    Source: derived; sizes of a coil

    >>> round(outside_wound(0.044, 0.006), 3)
    0.056
    """
    return spring_bore + 2.0 * spring_wire


def outside(spring_inside_diameter: Length, spring_wire: Length) -> Length:
    """Outside diameter of the relaxed coil

    Formula: inside diameter + 2 x wire
    Unit: m
    Source: derived; sizes of a coil

    >>> round(outside(0.048, 0.006), 3)
    0.06
    """
    return spring_inside_diameter + 2.0 * spring_wire


def weight(
    spring_wire: Length, spring_mean_diameter: Length, spring_coils: Ratio, spring_gripped_coils: Ratio
) -> Weight:
    """Weight of the spring

    Formula: 0.2836 lb/cu in x wire length pi D (N + dead) x section of the wire
    Unit: N
    Source: derived; volume of the wire, density of steel from a handbook

    >>> round(weight(0.006, 0.054, 100.0, 5.0), 2)
    38.77
    """
    return torsion_spring.weight(spring_wire, spring_mean_diameter, spring_coils, spring_gripped_coils)
