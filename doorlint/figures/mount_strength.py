"""How far the worst fastener of each mounting is used: what it carries against what it may carry."""

from __future__ import annotations

from math import inf

from doorlint.figures.fixing_inputs import apply_formula, given
from doorlint.figures.kinds import Count, Length, Position, Ratio, Share, Text, Weight
from doorlint.mechanics.connections import fastener, mounting
from doorlint.mechanics.connections.mounting import Load

SUBJECT = "mount"


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
    return apply_formula(
        "mount",
        mounting.worst,
        mount_fastener_given,
        mount_backing,
        mount_claim,
        mount_points,
        mount_loads,
        mount_fixing_pattern_heel,
    )


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
    return apply_formula("mount", mounting.bracket, one, base, stated, count, wind, down, abs(lever), edge)


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
