"""Springs that would balance this door: from the sizes of the shop's table, and each spring in another wire."""

from __future__ import annotations

from doorlint.errors import NotModelled
from doorlint.figures.kinds import Count, Each, Length, Ratio, Table, Text, Torque, Turns, Weight
from doorlint.mechanics import drum, spring_sizing

COUNTS = (1, 2, 4)
"""springs on a shaft that are tried"""
DEFAULT_CYCLES = 10_000
"""openings asked where the spec asks for none"""


def wire(spring_material: Each[Text], table_spring_wire: Table, table_spring_life: Table) -> spring_sizing.Wire:
    """The kind of wire that springs are sized in: that of the job's springs

    Formula: modulus, strength and allowed shares from the tables
    Unit: Pa
    Source: second-hand; data table of a public spring design program; edition not noted; spring materials
    """
    kinds = set(spring_material.values())
    if len(kinds) != 1:
        raise NotModelled("springs of several kinds of wire")
    (kind,) = kinds
    rows = [row for row in table_spring_wire.rows if row[0] == kind]
    shares = tuple((float(row[1]), float(row[2])) for row in table_spring_life.rows if row[0] == kind)
    return spring_sizing.Wire(float(rows[-1][2]), float(rows[-1][3]), float(rows[-1][4]), shares)


def sized(
    sizing_wire: spring_sizing.Wire,
    drum_shape: drum.Drum,
    torsion_door_curve: tuple[tuple[Length, Weight], ...],
    torsion_cycles: Count | None,
    torsion_shaft_diameter: Length,
    spring_room: Each[Length],
    practice_pre_wind_least: Turns,
    practice_spring_divisor: Ratio,
    practice_dead_coils: Ratio,
    practice_duplex_gap: Length,
    practice_cone_length: Length,
    practice_shaft_clearance: Length,
    table_spring_sizes: Table,
) -> list[spring_sizing.Sized]:
    """Springs from the shop's sizes that balance the door and last by the textbook, lightest first

    One, two or four alike, or duplex pairs, as long as the shaft has room for; coils whole, turns to the quarter; the
    lightest three of each number.

    Formula: torque per turn and turns of the best setting; coils E d^4/(divisor D k); stress at most the allowed share
    Unit: N m/turn
    Source: derived; the formulas of the springs solved for their coils
    """
    return spring_sizing.size(
        sizing_wire,
        _fitting(table_spring_sizes, torsion_shaft_diameter + practice_shaft_clearance),
        COUNTS,
        drum_shape,
        torsion_door_curve,
        least_open=practice_pre_wind_least,
        cycles=float(torsion_cycles or DEFAULT_CYCLES),
        divisor=practice_spring_divisor,
        dead_coils=practice_dead_coils,
        longest=max(spring_room.values()) - practice_cone_length,
        duplex_gap=practice_duplex_gap,
    )


def best(
    sizing_wire: spring_sizing.Wire,
    spring_inside: Each[Text | None],
    spring_room: Each[Length],
    drum_shape: drum.Drum,
    torsion_door_curve: tuple[tuple[Length, Weight], ...],
    torsion_shaft_diameter: Length,
    practice_pre_wind_least: Turns,
    practice_spring_divisor: Ratio,
    practice_dead_coils: Ratio,
    practice_cone_length: Length,
    practice_shaft_clearance: Length,
    table_spring_sizes: Table,
) -> spring_sizing.Sized | None:
    """As many springs as the job has, alike and of the shop's sizes, that leave least

    None where none do, and for springs inside each other.

    Formula: of the lightest sizes that find room, coils and quarter turns with the least largest residual
    Unit: N m/turn
    Source: derived; the formulas of the springs solved for their coils
    """
    if any(spring_inside.values()):
        return None
    return spring_sizing.balanced(
        sizing_wire,
        _fitting(table_spring_sizes, torsion_shaft_diameter + practice_shaft_clearance),
        len(spring_inside),
        drum_shape,
        torsion_door_curve,
        least_open=practice_pre_wind_least,
        divisor=practice_spring_divisor,
        dead_coils=practice_dead_coils,
        longest=min(spring_room.values()) - practice_cone_length,
    )


def best_wire(sizing_best: spring_sizing.Sized | None) -> Length | None:
    """Wire of the springs that would leave least

    Formula: from the shop's sizes
    Unit: m
    Source: derived; least largest residual
    """
    return None if sizing_best is None else sizing_best.coil.wire


def best_inside_diameter(sizing_best: spring_sizing.Sized | None) -> Length | None:
    """Inside diameter of the springs that would leave least

    Formula: from the shop's sizes
    Unit: m
    Source: derived; least largest residual
    """
    return None if sizing_best is None else sizing_best.coil.inside_diameter


def best_coils(sizing_best: spring_sizing.Sized | None) -> Ratio | None:
    """Active coils of the springs that would leave least

    Formula: E d^4/(divisor D k), whole coils
    Unit: 1
    Source: derived; least largest residual
    """
    return None if sizing_best is None else sizing_best.coils


def best_turns(sizing_best: spring_sizing.Sized | None) -> Turns | None:
    """Turns on the springs that would leave least

    Formula: least largest residual, to the quarter turn
    Unit: turns
    Source: derived; least largest residual
    """
    return None if sizing_best is None else sizing_best.turns


def converted(
    sizing_wire: spring_sizing.Wire,
    spring_wire: Each[Length],
    spring_inside_diameter: Each[Length],
    spring_coils: Each[Ratio],
    spring_torque: Each[Torque],
    spring_gripped_coils: Each[Ratio],
    spring_turns_closed: Each[Turns],
    table_spring_sizes: Table,
) -> list[tuple[Text, Length, Ratio, Length, Ratio, Count]]:
    """Each spring in the next thinner and the next thicker wire, with the same rate

    For each: the spring, its wire, active coils, wound length, share of the wire's strength and textbook life.

    Formula: N' = N (d'/d)^4 D/D'
    Unit: m
    Source: derived; the rate of a spring solved for its coils
    """
    wires = sorted({float(row[0]) for row in table_spring_sizes.rows})
    found: list[tuple[str, float, float, float, float, int]] = []
    for key, now in spring_wire.items():
        coil = spring_sizing.Coil(now, spring_inside_diameter[key])
        thinner = [wire for wire in wires if wire < now * 0.999][-1:]
        thicker = [wire for wire in wires if wire > now * 1.001][:1]
        for wire in (*thinner, *thicker):
            other = spring_sizing.Coil(wire, coil.inside_diameter)
            coils, share = spring_sizing.convert(sizing_wire, coil, spring_coils[key], spring_torque[key], other)
            length = wire * (coils + spring_gripped_coils[key] + spring_turns_closed[key])
            life = spring_sizing.life(sizing_wire, share)
            found.append((key, wire, coils, length, share, round(min(life, 1e9))))
    return found


def _fitting(sizes: Table, bore: float) -> list[spring_sizing.Coil]:
    """The sizes of a table whose coils, wound, still clear a bore (m)."""
    coils = (spring_sizing.Coil(float(wire), float(inside)) for wire, inside in sizes.rows)
    return [coil for coil in coils if coil.inside_diameter * 0.9 > bore]
