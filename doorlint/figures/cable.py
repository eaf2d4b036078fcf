"""Each lift cable: how strong it is, what it carries, and how its end is made.

Two losses lower a rope's strength where it matters: at the eye by how the end is made, and over a pulley by how
sharply it bends. They sit at different places along the rope, so the greater loss counts, not both.
"""

from __future__ import annotations

from doorlint.errors import MissingInput, NotModelled, OutsideTable
from doorlint.figures.kinds import Count, Each, Flag, Length, Position, Pull, Ratio, Share, Table, Text, Weight
from doorlint.mechanics import load_path, rolling

CLIPS_SMALL = 3
"""clips on an eye of small rope, WAC 296-24-29401(5)(c)"""
SMALL = 0.0127
"""m, 1/2 in: the least rope in the published table of clips"""
MODULUS = 15e6 * 6894.757293168
"""Pa; 15,000,000 psi for a rope that catches a fall, second-hand: a theater rigging page"""
FILL = {"7x19": 0.472, "7x7": 0.471}
"""metal of a rope over the square of its diameter, second-hand: the same page"""
PITCH = 6
"""rope diameters between clips, in every row of 29 CFR 1926.251, Table H-2"""


def tension(
    door_load: Weight,
    tower_cable_tension: Weight | None,
    torsion_pull_largest: Pull | None,
    counterbalance_on_springs: Flag,
) -> Weight:
    """Greatest pull of a lift cable, both cables sharing equally

    Formula: half the door's weight, or what the tower pulls on a cable where that is more; half the pull of the springs
    Unit: N
    Source: derived; statics, the whole door hanging in the vertical track; torque of the springs over the drum

    >>> tension(4000.0, 2100.0, None, False), tension(4000.0, None, 3900.0, True)
    (2100.0, 1950.0)
    """
    if tower_cable_tension is not None:
        return max(door_load / 2, tower_cable_tension)
    if torsion_pull_largest is None:
        raise MissingInput("torsion.pull_largest" if counterbalance_on_springs else "tower.cable_tension")
    if torsion_pull_largest <= 0.0:
        raise NotModelled("the springs pull nothing")
    return torsion_pull_largest / 2


def table_strength(
    cable_construction: Text, cable_finish: Text, cable_diameter: Length, table_rope_strength: Table
) -> Weight:
    """Breaking strength of a cable by the published table

    Formula: table value for construction, finish and diameter
    Unit: N
    Source: published; FAA AC 43.13-1B; 1998; Table 7-3
    """
    return table_rope_strength.look(
        "strength", construction=cable_construction, finish=cable_finish, diameter=cable_diameter
    )


def catalogue_strength(
    cable_strength: Weight | None, cable_table_strength: Weight | None, practice_cable_claim: Share
) -> Weight:
    """Breaking strength of a cable that the job works with

    A strength that no such rope has was read in the wrong line, so what is over the table by more than the band
    does not count.

    Formula: the maker's, at most the table's x (1 + band); the table's where the maker's is not given
    Unit: N
    Source: derived; the maker knows his rope better than a table, within what such rope can have

    >>> catalogue_strength(None, 8900.0, 0.1), catalogue_strength(9000.0, None, 0.1)
    (8900.0, 9000.0)
    >>> round(catalogue_strength(31_000.0, 8900.0, 0.1), 6)
    9790.0
    """
    if cable_table_strength is None:
        if cable_strength is None:
            raise MissingInput("cable.strength")
        return cable_strength
    if cable_strength is None:
        return cable_table_strength
    return min(cable_strength, cable_table_strength * (1.0 + practice_cable_claim))


def claim(cable_strength: Weight, cable_table_strength: Weight | None) -> Ratio | None:
    """The maker's strength of a cable over that of the published table

    Does not apply to a rope that the table does not have.

    Formula: maker's strength / table strength
    Unit: 1
    Source: derived; a ratio

    >>> claim(9000.0, 9000.0), claim(9000.0, None)
    (1.0, None)
    """
    return None if cable_table_strength is None else cable_strength / cable_table_strength


def factor(cable_catalogue_strength: Weight, cable_tension: Weight) -> Ratio:
    """Factor of safety of a cable on its catalogue strength

    Formula: breaking strength / greatest pull
    Unit: 1
    Source: derived; a ratio

    >>> factor(18_000.0, 2000.0)
    9.0
    """
    return cable_catalogue_strength / cable_tension


def least_bend(cable_diameter: Length, pulley_diameter: Each[Length]) -> Ratio:
    """Sharpest bend of a cable over a pulley

    Formula: least pulley diameter / cable diameter
    Unit: 1
    Source: derived; a ratio

    >>> least_bend(0.005, {"a": 0.1, "b": 0.075})
    15.0
    """
    return min(pulley_diameter.values()) / cable_diameter


def strength_kept(
    cable_end: Text,
    cable_least_bend: Ratio | None,
    tower_side: Text | None,
    table_rope_ends: Table,
    table_rope_over_sheave: Table,
) -> Share:
    """Share of its strength that a cable keeps at its weakest place

    Without a tower no pulley bends it.

    Formula: least of the share its end keeps and the share the sharpest bend keeps
    Unit: 1
    Source: derived; the end and the bend lie apart, so the lower share counts
    """
    kept = table_rope_ends.look("kept", end=cable_end)
    if cable_least_bend is None:
        if tower_side is not None:
            raise MissingInput("pulley.diameter")
        return kept
    straightest = max(float(row[0]) for row in table_rope_over_sheave.rows)
    return min(kept, table_rope_over_sheave.look("kept", bend=min(cable_least_bend, straightest)))


def kept_factor(cable_factor: Ratio, cable_strength_kept: Share) -> Ratio:
    """Factor of safety of a cable with its losses

    Formula: factor on catalogue strength x share of strength kept
    Unit: 1
    Source: derived; a product

    >>> kept_factor(9.0, 0.8)
    7.2
    """
    return cable_factor * cable_strength_kept


def alone_factor(cable_kept_factor: Ratio) -> Ratio:
    """Factor of safety of a cable with its losses, when the other one has parted and it is left with the door

    Formula: factor with losses / 2 for carrying both sides / 1.5 for the swing beyond
    Unit: 1
    Source: derived; the load that is put on suddenly pulls twice its weight beyond the share that was carried before

    >>> alone_factor(9.0)
    3.0
    """
    return cable_kept_factor / (2.0 * load_path.SUDDEN)


def caught(
    cable_slack: Length,
    cable_diameter: Length,
    cable_construction: Text,
    cable_cut_length: Length | None,
    cable_drum_length: Length | None,
    tower_cable_tension: Weight | None,
    torsion_pull_largest: Pull | None,
) -> Weight:
    """Peak in a cable that was slack and catches the whole door when the other one breaks

    T is the tension with both cables: a quarter of the pull on box 1, or half of the pull of the springs.

    Formula: 2T [1 + sqrt(1 + 2 slack/d)], with d = 2T x length / (E x metal)
    Unit: N
    Source: second-hand; theater rigging page, Understanding Shock Loads; TD&T 49(2), 2013; fall on a rope

    >>> round(caught(0.01, 0.00635, "7x19", 5.5, None, 2000.0, None))
    10681
    >>> round(caught(0.01, 0.00635, "7x19", None, 5.5, None, 4000.0))
    10681
    """
    if cable_construction not in FILL:
        raise OutsideTable(f"how stiff a {cable_construction} rope is, is not known here")
    pull = torsion_pull_largest if tower_cable_tension is None else 2 * tower_cable_tension
    length = cable_drum_length if cable_cut_length is None else cable_cut_length
    if pull is None or length is None:
        raise MissingInput("cable.tension" if pull is None else "cable.length")
    return load_path.caught(pull, cable_slack, length, cable_diameter, MODULUS, FILL[cable_construction])


def clips_wanted(cable_diameter: Length, cable_clip_forged: Flag | None, table_rope_clips: Table) -> Count:
    """How many U-bolt clips an eye of this cable needs

    A clip that is not known to be forged counts as one of other material.

    Formula: table value from 1/2 in up; three below
    Unit: 1
    Source: published; 29 CFR 1926.251; as codified; (c)(5), Table H-2; below 1/2 in WAC 296-24-29401 (5)(c)

    >>> from doorlint.figures.table import Table
    >>> clips = Table("rope-clips", ("diameter", "forged", "other"), {"diameter": "exact"}, ((0.0127, 3.0, 4.0),))
    >>> clips_wanted(0.00635, None, clips), clips_wanted(0.0127, None, clips), clips_wanted(0.0127, True, clips)
    (3, 4, 3)
    """
    if cable_diameter < SMALL * (1 - 1e-6):
        return CLIPS_SMALL
    return int(table_rope_clips.look("forged" if cable_clip_forged else "other", diameter=cable_diameter))


def clip_pitch(cable_diameter: Length) -> Length:
    """Least distance between clips

    Formula: 6 x cable diameter
    Unit: m
    Source: published; 29 CFR 1926.251; as codified; (c)(5), Table H-2

    >>> round(clip_pitch(0.00635), 5)
    0.0381
    """
    return PITCH * cable_diameter


def turn_back_wanted(
    cable_diameter: Length, cable_clips_wanted: Count, cable_clip_pitch: Length, table_rope_turn_back: Table
) -> Length:
    """How much cable must be turned back at its eye

    Formula: clips x least distance between them, or the table's length where that is more
    Unit: m
    Source: derived; room for the clips at their distance; a published table for 5/16 in and up

    >>> from doorlint.figures.table import Table
    >>> lengths = Table("rope-turn-back", ("diameter", "length"), {"diameter": "exact"}, ((0.0127, 0.2921),))
    >>> round(turn_back_wanted(0.00635, 3, 0.0381, lengths), 4), turn_back_wanted(0.0127, 3, 0.0762, lengths)
    (0.1143, 0.2921)
    """
    room = cable_clips_wanted * cable_clip_pitch
    try:
        return max(room, table_rope_turn_back.look("length", diameter=cable_diameter))
    except OutsideTable:
        return room


def tension_alone(torsion_pull_largest: Pull) -> Weight:
    """Pull of one cable from a drum when the other is broken

    Formula: the whole pull of the springs
    Unit: N
    Source: derived; equilibrium of the shaft

    >>> tension_alone(3900.0)
    3900.0
    """
    return max(torsion_pull_largest, 0.0)


def factor_alone(cable_catalogue_strength: Weight, cable_tension_alone: Weight) -> Ratio:
    """Factor of safety of a cable when the other is broken

    Formula: breaking strength / the whole pull of the springs
    Unit: 1
    Source: derived; a ratio

    >>> factor_alone(18_000.0, 4000.0)
    4.5
    """
    if cable_tension_alone <= 0.0:
        raise NotModelled("the springs pull nothing")
    return cable_catalogue_strength / cable_tension_alone


def over_roller(cable_fitting_height: Length, door_frame: rolling.Door) -> Position:
    """How far above the bottom roller a cable is fitted to the door

    Formula: height of the fitting - bottom roller above the bottom edge
    Unit: m
    Source: derived; difference of heights, the closed door standing on the floor

    >>> over_roller(0.6, rolling.Door((0.6, 0.6), (0.0, 0.0), 0.1, 0.0))
    0.5
    """
    return cable_fitting_height - door_frame.bottom_roller


def open_slope(
    cable_lean: Length,
    cable_fitting_height: Length | None,
    torsion_shaft_height: Length,
    opening_finished_height: Length,
    door_frame: rolling.Door,
) -> Ratio:
    """How slanted a cable runs from the open door to its drum

    The drum stays where it is while the door comes up to it, so the cable is most slanted with the door open.

    Formula: lean / (shaft - header - fitting above the bottom edge)
    Unit: 1
    Source: derived; a straight cable from the fitting to the drum

    >>> round(open_slope(0.03, 0.1, 3.4, 3.0, rolling.Door((0.6, 0.6), (0.0, 0.0), 0.1, 0.0)), 6)
    0.1
    """
    fitting = door_frame.bottom_roller if cable_fitting_height is None else cable_fitting_height
    run = torsion_shaft_height - opening_finished_height - fitting
    if run <= 0.0:
        raise NotModelled("the open door carries the cable's fitting past the shaft")
    return cable_lean / run


def clipped(cable_clips: Count, cable_clip_spacing: Length) -> Length:
    """Length of rope from the first clip of an eye to its last

    Formula: (clips - 1) x distance between them
    Unit: m
    Source: derived; counted

    >>> round(clipped(3, 0.04), 6)
    0.08
    """
    return (cable_clips - 1) * cable_clip_spacing
