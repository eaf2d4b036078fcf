"""How far the worst fastener of each hanger is used: what it carries against what it may carry."""

from __future__ import annotations

from math import inf

from doorlint.errors import MissingInput
from doorlint.figures.fixing_inputs import (
    apply_formula,
    bite_of,
    claim_of,
    given,
    gravity_of,
    points_of,
    pull_by_formula,
    shear_by_formula,
)
from doorlint.figures.kinds import Count, Flag, Length, Pull, Ratio, Share, Stress, Table, Text, Weight
from doorlint.mechanics.connections import fastener, mounting
from doorlint.mechanics.connections.group import Force
from doorlint.mechanics.connections.mounting import LASTING, SHORT, Load

SUBJECT = "hanger"


def wood_gravity(
    hanger_onto: Text,
    hanger_fixing_gravity: Ratio | None,
    hanger_fixing_species: Text | None,
    table_wood_species: Table,
) -> Ratio | None:
    """Specific gravity of the wood behind a hanger

    Does not apply to other backings.

    Formula: as given, else by its species
    Unit: 1
    Source: published; NDS; 2018; Table 12.3.3A

    >>> wood_gravity("wood", 0.5, None, None), wood_gravity("steel", None, None, None)
    (0.5, None)
    """
    return gravity_of(hanger_onto, hanger_fixing_gravity, hanger_fixing_species, table_wood_species, "hanger")


def backing(
    hanger_onto: Text,
    hanger_thickness: Length | None,
    hanger_wood_gravity: Ratio | None,
    hanger_tensile_strength: Stress | None,
) -> fastener.Backing:
    """What the fasteners of a hanger sit in

    Formula: as given
    Unit: -
    Source: derived; from the spec

    >>> backing("wood", 0.04, 0.5, None).gravity
    0.5
    """
    return fastener.Backing(hanger_onto, hanger_thickness, None, hanger_wood_gravity, hanger_tensile_strength)


def fastener_given(
    hanger_fixing_kind: Text,
    hanger_fixing_diameter: Length | None,
    hanger_fixing_length: Length | None,
    hanger_fixing_thread_length: Length | None,
    hanger_fixing_grain: Text | None,
    hanger_fixing_runs: Text | None,
    hanger_fixing_wet: Flag | None,
    hanger_fixing_plate: Length | None,
    hanger_fixing_plate_strength: Stress | None,
    hanger_fixing_washer: Length | None,
    hanger_fixing_number: Count | None,
    hanger_fixing_grade: Text | None,
    hanger_fixing_edge: Length | None,
    hanger_fixing_leg: Length | None,
    hanger_fixing_embedment: Length | None,
) -> fastener.Fastener:
    """One fastener of a hanger

    Formula: as given
    Unit: -
    Source: derived; from the spec
    """
    return fastener.Fastener(
        hanger_fixing_kind,
        hanger_fixing_diameter,
        hanger_fixing_length,
        hanger_fixing_thread_length,
        hanger_fixing_grain,
        hanger_fixing_runs,
        hanger_fixing_wet,
        hanger_fixing_plate,
        hanger_fixing_plate_strength,
        hanger_fixing_washer,
        hanger_fixing_number,
        hanger_fixing_grade,
        hanger_fixing_edge,
        hanger_fixing_leg,
        hanger_fixing_embedment,
    )


def claim(
    hanger_fixing_capacity: Weight | None,
    hanger_fixing_shear_capacity: Weight | None,
    hanger_fixing_document_kind: Text | None,
    hanger_fixing_document_number: Text | None,
    hanger_fixing_document_date: Text | None,
    hanger_fixing_document_base: Text | None,
    hanger_onto: Text,
) -> fastener.Claim:
    """What is stated of one fastener of a hanger

    A document counts with its kind, number, date and this base.

    Formula: as given
    Unit: N
    Source: derived; from the spec

    >>> claim(900.0, None, "maker", "D-1", "2026-01-10", "wood", "wood").documented
    True
    >>> claim(900.0, None, "maker", "D-1", "2026-01-10", "concrete", "wood").documented
    False
    """
    named = (hanger_fixing_document_kind, hanger_fixing_document_number, hanger_fixing_document_date)
    return claim_of(
        hanger_fixing_capacity, hanger_fixing_shear_capacity, named, hanger_fixing_document_base, hanger_onto
    )


def points(
    hanger_fixing_count: Count,
    hanger_fixing_pattern_across: tuple[Length, ...] | None,
    hanger_fixing_pattern_up: tuple[Length, ...] | None,
) -> tuple[tuple[float, float], ...] | None:
    """Where the fasteners of a hanger are, where that is given

    Formula: as given, one place for each
    Unit: m
    Source: derived; from the spec

    >>> points(2, (0.0, 0.0), (0.0, 0.1)), points(2, None, None)
    (((0.0, 0.0), (0.0, 0.1)), None)
    """
    across, up = hanger_fixing_pattern_across, hanger_fixing_pattern_up
    if across is None or up is None:
        return None
    return points_of(hanger_fixing_count, across, up)


def loads(
    hanger_pull: Weight,
    hanger_along: Pull,
    hanger_from_end: Length | None,
    operation_pull: Weight | None,
    hanger_fixing_across: Flag | None,
) -> tuple[Load, ...]:
    """What a hanger puts on its fasteners

    The bumper thrusts along the track at the last hanger. Its lever over the drop is what the brace along the track is
    for; that there is one is a rule of its own.

    Formula: its pull down; across fasteners in the side, else out of them; along the track and thrust across them
    Unit: N
    Source: derived; statics

    >>> loads(500.0, 0.0, None, None, None)[0].force.force
    (0.0, 0.0, 500.0)
    """
    if hanger_fixing_across:
        lasting = Load(Force((hanger_along, -hanger_pull, 0.0)), LASTING)
    else:
        lasting = Load(Force((0.0, hanger_along, hanger_pull)), LASTING)
    if hanger_from_end is None:
        return (lasting,)
    thrust = given(operation_pull, "operation.pull")
    push = (thrust, 0.0, 0.0) if hanger_fixing_across else (0.0, thrust, 0.0)
    return lasting, Load(Force(push), SHORT)


def worst(
    hanger_loads: tuple[Load, ...],
    hanger_fixing_count: Count,
    hanger_points: tuple[tuple[float, float], ...] | None,
    hanger_fastener_given: fastener.Fastener,
    hanger_backing: fastener.Backing,
    hanger_claim: fastener.Claim,
    hanger_fixing_pattern_heel: Length | None,
) -> mounting.Worst:
    """The worst fastener of a hanger, over all loads that come together

    Without a pattern its fasteners share equally; welds ask for one.

    Formula: elastic group, rigid part; the largest share of its strength
    Unit: 1
    Source: derived; shear and pull of each fastener against NDS, AISI, AISC or its document
    """
    places = hanger_points
    if places is None:
        if hanger_fastener_given.kind == "weld":
            raise MissingInput("hanger.fixing.pattern.across")
        places = ((0.0, 0.0),) * hanger_fixing_count
    return apply_formula(
        "hanger",
        mounting.worst,
        hanger_fastener_given,
        hanger_backing,
        hanger_claim,
        places,
        hanger_loads,
        hanger_fixing_pattern_heel,
    )


def use(hanger_worst: mounting.Worst) -> Share:
    """How far the worst fastener of a hanger is used

    Formula: largest share of its strength, over all fasteners and all loads that come together
    Unit: 1
    Source: derived; shear and pull of each fastener against NDS, AISI, AISC or its document

    >>> from doorlint.mechanics.connections.group import Share as OneShare
    >>> use(mounting.Worst(1.6, OneShare(0.0, 0.0, 10.0), 0.25))
    0.25
    """
    return min(hanger_worst.use, mounting.LARGEST)


def worst_pull(hanger_worst: mounting.Worst) -> Weight | None:
    """What the worst fastener of a hanger is pulled out with

    Formula: elastic group
    Unit: N
    Source: derived; statics

    >>> from doorlint.mechanics.connections.group import Share as OneShare
    >>> worst_pull(mounting.Worst(1.6, OneShare(0.0, 0.0, 10.0), 0.25))
    10.0
    """
    return None if hanger_worst.use == inf else hanger_worst.share.pull


def worst_shear(hanger_worst: mounting.Worst) -> Weight | None:
    """What the worst fastener of a hanger carries across its shank

    Formula: elastic group
    Unit: N
    Source: derived; statics

    >>> from doorlint.mechanics.connections.group import Share as OneShare
    >>> worst_shear(mounting.Worst(1.6, OneShare(4.0, 3.0, 10.0), 0.25))
    5.0
    """
    return None if hanger_worst.use == inf else hanger_worst.share.shear


def load_set(hanger_worst: mounting.Worst) -> Ratio:
    """Factor for duration of the loads that govern a hanger

    Formula: 0.9 door and track; 1.6 thrust of the bumper
    Unit: 1
    Source: published; NDS; 2018; Table 2.3.2

    >>> from doorlint.mechanics.connections.group import Share as OneShare
    >>> load_set(mounting.Worst(1.6, OneShare(4.0, 3.0, 10.0), 0.25))
    1.6
    """
    return hanger_worst.duration


def formula_pull(hanger_fastener_given: fastener.Fastener, hanger_backing: fastener.Backing) -> Weight | None:
    """What one fastener of a hanger may pull by formula

    Does not apply where no formula covers it: there everything rests on a document.

    Formula: NDS, AISI, AISC or TMS, in dry wood, without a factor for duration
    Unit: N
    Source: derived; the formulas of those standards

    >>> formula_pull(fastener.Fastener("anchor"), fastener.Backing("concrete"))
    """
    return pull_by_formula("hanger", hanger_fastener_given, hanger_backing)


def formula_shear(hanger_fastener_given: fastener.Fastener, hanger_backing: fastener.Backing) -> Weight | None:
    """What one fastener of a hanger may carry sideways by formula

    Does not apply where no formula covers it: there everything rests on a document.

    Formula: NDS, AISI, AISC or TMS, along the grain of dry wood, without a factor for duration
    Unit: N
    Source: derived; the formulas of those standards

    >>> formula_shear(fastener.Fastener("anchor"), fastener.Backing("concrete"))
    """
    return shear_by_formula("hanger", hanger_fastener_given, hanger_backing)


def bite(hanger_fastener_given: fastener.Fastener, hanger_backing: fastener.Backing) -> Length | None:
    """Thread of a hanger's lag screws in the wood, the tip left out

    Does not apply to other fasteners.

    Formula: as given, else min(L/2 + 1/2 in, 6 in) less the tip; at most the thickness of the wood
    Unit: m
    Source: memory; ASME B18.2.1, thread length and tip

    >>> bite(fastener.Fastener("bolt"), fastener.Backing("steel"))
    """
    return bite_of("hanger", hanger_fastener_given, hanger_backing)


def base_named(hanger_onto: Text, hanger_fixing_document_base: Text) -> Text:
    """Whether the document of a hanger's fastener is for the base it sits in

    Formula: the base that the document names against what the hanger hangs from
    Unit: -
    Source: derived; from what the spec says

    >>> base_named("hollow-block", "concrete"), base_named("concrete", "concrete")
    ('another base', 'this base')
    """
    return "this base" if hanger_onto == hanger_fixing_document_base else "another base"
