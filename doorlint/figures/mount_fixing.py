"""The fasteners of each mounting and what they are driven into, and their strength by formula."""

from __future__ import annotations

from itertools import combinations
from math import hypot

from doorlint.errors import MissingInput
from doorlint.figures.fixing_inputs import (
    bite_of,
    claim_of,
    given,
    gravity_of,
    points_of,
    pull_by_formula,
    shear_by_formula,
)
from doorlint.figures.kinds import Count, Flag, Length, Ratio, Stress, Table, Text, Weight
from doorlint.mechanics.connections import fastener

SUBJECT = "mount"


def wood_gravity(
    mount_onto: Text, mount_fixing_gravity: Ratio | None, mount_fixing_species: Text | None, table_wood_species: Table
) -> Ratio | None:
    """Specific gravity of the wood behind a mounting

    Does not apply to other backings.

    Formula: as given, else by its species
    Unit: 1
    Source: published; NDS; 2018; Table 12.3.3A

    >>> wood_gravity("wood", 0.5, None, None), wood_gravity("steel", None, None, None)
    (0.5, None)
    """
    return gravity_of(mount_onto, mount_fixing_gravity, mount_fixing_species, table_wood_species, "mount")


def backing(
    mount_onto: Text,
    mount_thickness: Length | None,
    mount_gap: Length | None,
    mount_wood_gravity: Ratio | None,
    mount_tensile_strength: Stress | None,
    mount_masonry_strength: Stress | None,
    mount_grout_seen: Flag | None,
) -> fastener.Backing:
    """What the fasteners of a mounting sit in

    Formula: as given
    Unit: -
    Source: derived; from the spec

    >>> backing("wood", 0.04, None, 0.5, None, None, None).gravity
    0.5
    """
    return fastener.Backing(
        mount_onto,
        mount_thickness,
        mount_gap,
        mount_wood_gravity,
        mount_tensile_strength,
        mount_masonry_strength,
        mount_grout_seen,
    )


def fastener_given(
    mount_fixing_kind: Text,
    mount_fixing_diameter: Length | None,
    mount_fixing_length: Length | None,
    mount_fixing_thread_length: Length | None,
    mount_fixing_grain: Text | None,
    mount_fixing_runs: Text | None,
    mount_fixing_wet: Flag | None,
    mount_fixing_plate: Length | None,
    mount_fixing_plate_strength: Stress | None,
    mount_fixing_washer: Length | None,
    mount_fixing_number: Count | None,
    mount_fixing_grade: Text | None,
    mount_fixing_edge: Length | None,
    mount_fixing_leg: Length | None,
    mount_fixing_embedment: Length | None,
) -> fastener.Fastener:
    """One fastener of a mounting

    Formula: as given
    Unit: -
    Source: derived; from the spec
    """
    return fastener.Fastener(
        mount_fixing_kind,
        mount_fixing_diameter,
        mount_fixing_length,
        mount_fixing_thread_length,
        mount_fixing_grain,
        mount_fixing_runs,
        mount_fixing_wet,
        mount_fixing_plate,
        mount_fixing_plate_strength,
        mount_fixing_washer,
        mount_fixing_number,
        mount_fixing_grade,
        mount_fixing_edge,
        mount_fixing_leg,
        mount_fixing_embedment,
    )


def claim(
    mount_fixing_capacity: Weight | None,
    mount_fixing_shear_capacity: Weight | None,
    mount_fixing_document_kind: Text | None,
    mount_fixing_document_number: Text | None,
    mount_fixing_document_date: Text | None,
    mount_fixing_document_base: Text | None,
    mount_onto: Text,
) -> fastener.Claim:
    """What is stated of one fastener of a mounting

    A document counts with its kind, number, date and this base.

    Formula: as given
    Unit: N
    Source: derived; from the spec

    >>> claim(900.0, None, "maker", "D-1", "2026-01-10", "wood", "wood").documented
    True
    >>> claim(900.0, None, "maker", "D-1", "2026-01-10", "concrete", "wood").documented
    False
    """
    named = (mount_fixing_document_kind, mount_fixing_document_number, mount_fixing_document_date)
    return claim_of(mount_fixing_capacity, mount_fixing_shear_capacity, named, mount_fixing_document_base, mount_onto)


def points(
    mount_fixing_count: Count,
    mount_fixing_pattern_across: tuple[Length, ...] | None,
    mount_fixing_pattern_up: tuple[Length, ...] | None,
) -> tuple[tuple[float, float], ...]:
    """Where the fasteners of a mounting are

    Formula: as given, one place for each
    Unit: m
    Source: derived; from the spec

    >>> points(2, (0.0, 0.0), (0.0, 0.1))
    ((0.0, 0.0), (0.0, 0.1))
    """
    across, up = mount_fixing_pattern_across, mount_fixing_pattern_up
    if across is None:
        raise MissingInput("mount.fixing.pattern.across")
    if up is None:
        raise MissingInput("mount.fixing.pattern.up")
    return points_of(mount_fixing_count, across, up)


def formula_pull(mount_fastener_given: fastener.Fastener, mount_backing: fastener.Backing) -> Weight | None:
    """What one fastener of a mounting may pull by formula

    Does not apply where no formula covers it: there everything rests on a document.

    Formula: NDS, AISI, AISC or TMS, in dry wood, without a factor for duration
    Unit: N
    Source: derived; the formulas of those standards

    >>> formula_pull(fastener.Fastener("anchor"), fastener.Backing("concrete"))
    """
    return pull_by_formula("mount", mount_fastener_given, mount_backing)


def formula_shear(mount_fastener_given: fastener.Fastener, mount_backing: fastener.Backing) -> Weight | None:
    """What one fastener of a mounting may carry sideways by formula

    Does not apply where no formula covers it: there everything rests on a document.

    Formula: NDS, AISI, AISC or TMS, along the grain of dry wood, without a factor for duration
    Unit: N
    Source: derived; the formulas of those standards

    >>> formula_shear(fastener.Fastener("anchor"), fastener.Backing("concrete"))
    """
    return shear_by_formula("mount", mount_fastener_given, mount_backing)


def bite(mount_fastener_given: fastener.Fastener, mount_backing: fastener.Backing) -> Length | None:
    """Thread of a mounting's lag screws in the wood, the tip left out

    Does not apply to other fasteners.

    Formula: as given, else min(L/2 + 1/2 in, 6 in) less the tip; at most the thickness of the wood
    Unit: m
    Source: memory; ASME B18.2.1, thread length and tip

    >>> bite(fastener.Fastener("bolt"), fastener.Backing("steel"))
    """
    return bite_of("mount", mount_fastener_given, mount_backing)


def pulled_way(mount_fixing_across: Flag | None) -> Text:
    """Which way a hoist point loads its fasteners

    Formula: across, where they go in from the side; else along
    Unit: -
    Source: derived; from the spec

    >>> pulled_way(True), pulled_way(None)
    ('across', 'along their length')
    """
    return "across" if mount_fixing_across else "along their length"


def spacing(mount_part: Text, mount_points: tuple[tuple[float, float], ...] | None) -> Length | None:
    """Least distance between two fasteners of a mounting

    Does not apply to a single fastener, nor to the brackets of a track.

    Formula: least distance between the middles of any two
    Unit: m
    Source: derived; from the spec

    >>> spacing("pulley", ((0.0, 0.0), (0.3, 0.4))), spacing("pulley", ((0.0, 0.0),))
    (0.5, None)
    """
    if mount_part == "track":
        return None
    places = given(mount_points, "mount.points")
    return min((hypot(u - other, v - up) for (u, v), (other, up) in combinations(places, 2)), default=None)


def edge_distance(mount_fixing_edge: Length | None) -> Length | None:
    """Distance of the fasteners of a mounting to the nearest edge or end of what they are in

    Does not apply where none is given.

    Formula: as given
    Unit: m
    Source: derived; from the spec

    >>> edge_distance(0.04), edge_distance(None)
    (0.04, None)
    """
    return mount_fixing_edge


def lead_hole(mount_fastener_given: fastener.Fastener, mount_backing: fastener.Backing) -> Length | None:
    """Lead hole for the thread of a mounting's lag screws

    Does not apply to other fasteners.

    Formula: diameter x 0.55 to gravity 0.5, x 0.675 to 0.6, x 0.75 in denser wood
    Unit: m
    Source: memory; NDS; 2018; 12.1.4, the middle of each range

    >>> round(lead_hole(fastener.Fastener("lag", 0.01), fastener.Backing("wood", gravity=0.5)), 6)
    0.0055
    >>> lead_hole(fastener.Fastener("bolt", 0.01), fastener.Backing("steel"))
    """
    if mount_fastener_given.kind != "lag" or mount_backing.gravity is None or mount_fastener_given.diameter is None:
        return None
    gravity = mount_backing.gravity
    return mount_fastener_given.diameter * (0.55 if gravity <= 0.5 else 0.675 if gravity <= 0.6 else 0.75)


def spread(mount_fixing_pattern_across: tuple[Length, ...]) -> Length:
    """How wide the fasteners of a mounting spread along the wall

    Formula: farthest place across - nearest
    Unit: m
    Source: derived; difference of places

    >>> round(spread((0.0, 0.1, 0.0, 0.1)), 6)
    0.1
    """
    return max(mount_fixing_pattern_across) - min(mount_fixing_pattern_across)
