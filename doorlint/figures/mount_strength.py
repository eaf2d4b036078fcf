"""How far the worst fastener of each mounting is used: what it carries against what it may carry."""

from __future__ import annotations

from itertools import combinations
from math import hypot, inf

from doorlint.errors import ImpossibleInput, MissingInput
from doorlint.figures.fixing_inputs import asked, formula_of, given, gravity_of
from doorlint.figures.kinds import Count, Flag, Length, Position, Ratio, Share, Stress, Table, Text, Weight
from doorlint.mechanics.connections import fastener, mounting
from doorlint.mechanics.connections.fastener import NotGiven
from doorlint.mechanics.connections.mounting import Load

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
    documented = None not in named and mount_fixing_document_base == mount_onto
    return fastener.Claim(mount_fixing_capacity, mount_fixing_shear_capacity, documented)


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
    if not len(across) == len(up) == mount_fixing_count:
        raise ImpossibleInput(
            f"{mount_fixing_count} fasteners, but {len(across)} places across and {len(up)} up in their pattern"
        )
    return tuple(zip(across, up, strict=True))


def worst(
    mount_loads: tuple[Load, ...],
    mount_points: tuple[tuple[float, float], ...],
    mount_fastener_given: fastener.Fastener,
    mount_backing: fastener.Backing,
    mount_claim: fastener.Claim,
    mount_fixing_pattern_heel: Length | None,
) -> mounting.Worst:
    """The worst fastener of a mounting, over all loads that come together

    Formula: elastic group, rigid part; the largest share of its strength
    Unit: 1
    Source: derived; shear and pull of each fastener against NDS, AISI, AISC, TMS or its document

    >>> from doorlint.mechanics.connections.group import Force
    >>> anchor, slab = fastener.Fastener("anchor"), fastener.Backing("concrete")
    >>> down = Load(Force((0.0, -100.0, 0.0)), 0.9)
    >>> worst((down,), ((0.0, 0.0),), anchor, slab, fastener.Claim(100.0, 200.0, True), None).use
    0.5
    """
    try:
        return mounting.worst(
            mount_fastener_given, mount_backing, mount_claim, mount_points, mount_loads, mount_fixing_pattern_heel
        )
    except NotGiven as error:
        raise MissingInput(asked("mount", str(error))) from None


def bracket(
    mount_part: Text,
    mount_on_track_bracket: Weight | None,
    wind_required_pressure: float | None,
    mount_wind_pull: Weight | None,
    mount_fastener_given: fastener.Fastener,
    mount_backing: fastener.Backing,
    mount_claim: fastener.Claim,
    mount_fixing_count: Count,
    mount_roller_line: Position | None,
    mount_fixing_pattern_heel: Length | None,
) -> mounting.Worst | None:
    """The worst fastener of the brackets of a vertical track, in the wind that the job asks for

    Does not apply to other mountings.

    Formula: pull = wind at the roller line x (1 + roller line to fastener / fastener to heel) / fasteners
    Unit: 1
    Source: derived; lever of a bracket about its heel
    """
    if mount_part != "track":
        return None
    wind = 0.0 if wind_required_pressure is None else given(mount_wind_pull, "mount.wind_pull")
    return _bracket(
        mount_fastener_given,
        mount_backing,
        mount_claim,
        mount_fixing_count,
        wind,
        given(mount_on_track_bracket, "mount.on_track_bracket"),
        mount_roller_line,
        mount_fixing_pattern_heel,
    )


def _bracket(
    one: fastener.Fastener,
    base: fastener.Backing,
    stated: fastener.Claim,
    count: int,
    wind: float,
    down: float,
    reach: float | None,
    heel: float | None,
) -> mounting.Worst:
    lever, edge = given(reach, "mount.roller_line"), given(heel, "mount.fixing.pattern.heel")
    try:
        return mounting.bracket(one, base, stated, count, wind, down, abs(lever), edge)
    except NotGiven as error:
        raise MissingInput(asked("mount", str(error))) from None


def governing(
    mount_part: Text, mount_worst: mounting.Worst | None, mount_bracket: mounting.Worst | None
) -> mounting.Worst:
    """The worst fastener of a mounting: of the brackets of a track, of the group of any other part

    Formula: the largest share of its strength
    Unit: 1
    Source: derived; shear and pull of each fastener against NDS, AISI, AISC, TMS or its document
    """
    if mount_part == "track":
        return given(mount_bracket, "mount.bracket")
    return given(mount_worst, "mount.worst")


def use(mount_governing: mounting.Worst) -> Share:
    """How far the worst fastener of a mounting is used

    Formula: largest share of its strength, over all fasteners and all loads that come together
    Unit: 1
    Source: derived; shear and pull of each fastener against NDS, AISI, AISC, TMS or its document

    >>> from doorlint.mechanics.connections.group import Share as OneShare
    >>> use(mounting.Worst(1.6, OneShare(0.0, 0.0, 10.0), 0.25))
    0.25
    """
    return min(mount_governing.use, mounting.LARGEST)


def site_use(
    mount_part: Text,
    mount_on_track_bracket: Weight | None,
    mount_site_wind_pull: Weight | None,
    mount_fastener_given: fastener.Fastener,
    mount_backing: fastener.Backing,
    mount_claim: fastener.Claim,
    mount_fixing_count: Count,
    mount_roller_line: Position | None,
    mount_fixing_pattern_heel: Length | None,
) -> Share | None:
    """How far the worst fastener of a vertical track is used in the wind of the site

    Does not apply to other mountings.

    Formula: as in the wind that the job asks for, under the pressure worked out for the site
    Unit: 1
    Source: derived; lever of a bracket about its heel
    """
    if mount_part != "track":
        return None
    found = _bracket(
        mount_fastener_given,
        mount_backing,
        mount_claim,
        mount_fixing_count,
        given(mount_site_wind_pull, "mount.site_wind_pull"),
        given(mount_on_track_bracket, "mount.on_track_bracket"),
        mount_roller_line,
        mount_fixing_pattern_heel,
    )
    return min(found.use, mounting.LARGEST)


def worst_pull(mount_governing: mounting.Worst) -> Weight | None:
    """What the worst fastener of a mounting is pulled out with

    Does not apply to one that holds nothing.

    Formula: elastic group; a fastener that is pressed in carries nothing
    Unit: N
    Source: derived; statics

    >>> from doorlint.mechanics.connections.group import Share as OneShare
    >>> worst_pull(mounting.Worst(1.6, OneShare(0.0, 3.0, 10.0), 0.25))
    10.0
    """
    return None if mount_governing.use == inf else mount_governing.share.pull


def worst_shear(mount_governing: mounting.Worst) -> Weight | None:
    """What the worst fastener of a mounting carries across its shank

    Does not apply to one that holds nothing.

    Formula: elastic group, along and up the wall taken together
    Unit: N
    Source: derived; statics

    >>> from doorlint.mechanics.connections.group import Share as OneShare
    >>> worst_shear(mounting.Worst(1.6, OneShare(4.0, 3.0, 10.0), 0.25))
    5.0
    """
    return None if mount_governing.use == inf else mount_governing.share.shear


def load_set(mount_governing: mounting.Worst) -> Ratio:
    """Factor for duration of the loads that govern a mounting

    Formula: 0.9 springs, cables, door and track; 1.0 pull of a drive; 1.25 hoisting; 1.6 wind and kick
    Unit: 1
    Source: published; NDS; 2018; Table 2.3.2

    >>> from doorlint.mechanics.connections.group import Share as OneShare
    >>> load_set(mounting.Worst(1.6, OneShare(4.0, 3.0, 10.0), 0.25))
    1.6
    """
    return mount_governing.duration


def formula_pull(mount_fastener_given: fastener.Fastener, mount_backing: fastener.Backing) -> Weight | None:
    """What one fastener of a mounting may pull by formula

    Does not apply where no formula covers it: there everything rests on a document.

    Formula: NDS, AISI, AISC or TMS, in dry wood, without a factor for duration
    Unit: N
    Source: derived; the formulas of those standards

    >>> formula_pull(fastener.Fastener("anchor"), fastener.Backing("concrete"))
    """
    found = formula_of("mount", mount_fastener_given, mount_backing)
    return None if found is None or found.pull == inf else found.pull


def formula_shear(mount_fastener_given: fastener.Fastener, mount_backing: fastener.Backing) -> Weight | None:
    """What one fastener of a mounting may carry sideways by formula

    Does not apply where no formula covers it: there everything rests on a document.

    Formula: NDS, AISI, AISC or TMS, along the grain of dry wood, without a factor for duration
    Unit: N
    Source: derived; the formulas of those standards

    >>> formula_shear(fastener.Fastener("anchor"), fastener.Backing("concrete"))
    """
    found = formula_of("mount", mount_fastener_given, mount_backing)
    return None if found is None else found.shear


def bite(mount_fastener_given: fastener.Fastener, mount_backing: fastener.Backing) -> Length | None:
    """Thread of a mounting's lag screws in the wood, the tip left out

    Does not apply to other fasteners.

    Formula: as given, else min(L/2 + 1/2 in, 6 in) less the tip; at most the thickness of the wood
    Unit: m
    Source: memory; ASME B18.2.1, thread length and tip

    >>> bite(fastener.Fastener("bolt"), fastener.Backing("steel"))
    """
    if mount_fastener_given.kind != "lag":
        return None
    try:
        return fastener.bites(mount_fastener_given, mount_backing)[1]
    except NotGiven as error:
        raise MissingInput(asked("mount", str(error))) from None


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
