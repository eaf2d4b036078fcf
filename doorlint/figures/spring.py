"""Each torsion spring by itself: its rate, its stress, the room it takes and the hand of its coil."""

from __future__ import annotations

import math

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.kinds import Count, Length, Ratio, Share, Stress, Table, Text, Torque, TorqueRate, Turns
from doorlint.mechanics import spring

INCH = 0.0254


def mean_diameter(spring_inside_diameter: Length, spring_wire: Length) -> Length:
    """Mean diameter of the coil

    Formula: inside diameter + wire
    Unit: m
    Source: derived; centre of the wire to centre of the wire

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
    return spring.rate_per_turn(modulus, spring_wire, spring_mean_diameter, spring_coils, practice_spring_divisor)


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


def torque(spring_torque_rate: TorqueRate, torsion_turns_closed: Turns) -> Torque:
    """Torque of the spring with the door closed

    Formula: rate x turns wound
    Unit: N m
    Source: derived; every spring on the shaft has its turns

    >>> torque(10.0, 7.5)
    75.0
    """
    return spring_torque_rate * torsion_turns_closed


def stress(spring_torque: Torque, spring_wire: Length, spring_index: Ratio) -> Stress:
    """Bending stress at the inside of the coil with the door closed

    Formula: Ki 32 M / (pi d^3), Ki = (4C^2 - C - 1) / (4C (C - 1))
    Unit: Pa
    Source: published; Norton, Machine Design; edition not noted; Example 14-6, step 3

    >>> round(stress(10.0, 0.006, 9.0) / 1e6, 1)
    514.1
    """
    return spring.bending_stress(spring_torque, spring_wire, spring_index)


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


def yield_share(spring_material: Text, spring_wire: Length, table_spring_wire: Table) -> Share:
    """Share of the wire's strength that the textbook takes as yield in bending

    Formula: table by material
    Unit: 1
    Source: second-hand; Shigley's Mechanical Engineering Design; edition unclear; equation 10-57

    >>> from doorlint.figures.table import Table
    >>> match = {"material": "exact", "wire": "from"}
    >>> rows = (("music", 0.004, 0.78), ("music", 0.01, 0.78))
    >>> table = Table("spring-wire", ("material", "wire", "yield_share"), match, rows)
    >>> yield_share("music", 0.006, table)
    0.78
    """
    return table_spring_wire.look("yield_share", material=spring_material, wire=spring_wire)


def life_share(torsion_cycles: Count, spring_material: Text, table_spring_life: Table) -> Share:
    """Share of the wire's strength that the stress may reach for the life asked of the spring

    Only lives of 100,000 to 1,000,000 cycles of music wire are known from an honest source.

    Formula: table by material and the logarithm of the cycles
    Unit: 1
    Source: second-hand; Shigley's Mechanical Engineering Design; edition unclear; Table 10-10

    >>> from doorlint.figures.table import Table
    >>> match = {"material": "exact", "log_cycles": "between"}
    >>> rows = (("music", 5.0, 0.53), ("music", 6.0, 0.50))
    >>> table = Table("spring-life", ("material", "log_cycles", "share"), match, rows)
    >>> round(life_share(100000, "music", table), 3), round(life_share(316228, "music", table), 3)
    (0.53, 0.515)
    """
    return table_spring_life.look("share", material=spring_material, log_cycles=math.log10(torsion_cycles))


def wound_length(spring_length: Length, spring_wire: Length, torsion_turns_closed: Turns) -> Length:
    """Length of the spring with the door closed

    Every turn put on is one more coil beside the others.

    Formula: relaxed length + turns x wire
    Unit: m
    Source: derived; coils that touch

    >>> round(wound_length(1.2, 0.008, 7.5), 3)
    1.26
    """
    return spring_length + torsion_turns_closed * spring_wire


def coil_length(spring_coils: Ratio, spring_wire: Length) -> Length:
    """Length that the active coils alone take, side by side

    Formula: coils x wire
    Unit: m
    Source: derived; coils that touch

    >>> coil_length(100.0, 0.008)
    0.8
    """
    return spring_coils * spring_wire


def bore(spring_mean_diameter: Length, spring_wire: Length, spring_coils: Ratio, torsion_turns_closed: Turns) -> Length:
    """Inside diameter of the coil with the door closed

    Formula: D N / (N + turns) - d
    Unit: m
    Source: second-hand; Shigley's Mechanical Engineering Design; edition unclear; equation 10-53

    >>> round(bore(0.054, 0.006, 100.0, 8.0), 4)
    0.044
    """
    return spring.wound_inside_diameter(spring_mean_diameter, spring_wire, spring_coils, torsion_turns_closed)


def when_closing(spring_side: Text, spring_wind: Text) -> Text:
    """What the closing door does to the coil

    The cables run down on the wall side of the drums, so the closing door turns the shaft's top toward the wall. One
    end of the spring is held at the middle bearing, the outer end turns with the shaft. Seen from the outer end of
    the spring on the right, where the wall is to the right, that end turns clockwise; on the left, counterclockwise.
    A right-hand coil runs away from the eye clockwise, so turning its near end counterclockwise adds coils. Hence a
    right-hand coil tightens on the left and a left-hand coil on the right.

    Formula: tightens when hand and side differ
    Unit: -
    Source: derived; sense of a helix, for a shaft above the header with its cables on the wall side

    >>> when_closing("left", "right"), when_closing("right", "right")
    ('tightens', 'opens')
    """
    return "opens" if spring_side == spring_wind else "tightens"
