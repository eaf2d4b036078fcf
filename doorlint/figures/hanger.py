"""Each hanger of a horizontal track: what it carries, what it and its fixing hold, where it stands."""

from __future__ import annotations

from math import inf, pi

from doorlint.errors import NotModelled
from doorlint.figures.kinds import (
    Count,
    Each,
    Grade,
    Length,
    Ratio,
    Share,
    Stress,
    Table,
    Text,
    Weight,
)
from doorlint.figures.overhead import Carried, Track
from doorlint.mechanics import angle
from doorlint.mechanics.connections.claims import own_steel
from doorlint.mechanics.rolling import Path

STEEL = 76_980.0
"""N/m3, 0.2836 lb/cu in"""
YOUNG = 200e9
"""Pa, structural steel"""


def load(hanger_side: Text, hanger_station: Length, overhead_tracks: dict[str, Track]) -> Weight | None:
    """Load of a hanger, door open

    Formula: reaction of the track at this hanger: half of what each roller presses with and the track's weight
    Unit: N
    Source: derived; continuous beam on rigid supports
    """
    carried = _carried(hanger_side, hanger_station, overhead_tracks)
    return None if carried is None else carried.open


def worst_load(hanger_side: Text, hanger_station: Length, overhead_tracks: dict[str, Track]) -> Weight | None:
    """Greatest load of a hanger while the door travels

    Formula: greatest reaction at this hanger as the rollers run along the track
    Unit: N
    Source: derived; continuous beam on rigid supports, the door's rollers rolling over it
    """
    carried = _carried(hanger_side, hanger_station, overhead_tracks)
    return None if carried is None else max(carried.most, 0.0)


def uplift(hanger_side: Text, hanger_station: Length, overhead_tracks: dict[str, Track]) -> Weight | None:
    """Greatest push of the track up against a hanger while the door travels

    Formula: least reaction at this hanger as the rollers run along the track, where it is negative
    Unit: N
    Source: derived; continuous beam on rigid supports, the door's rollers rolling over it
    """
    carried = _carried(hanger_side, hanger_station, overhead_tracks)
    return None if carried is None else max(-carried.least, 0.0)


def along(hanger_load: Weight, track_rise: Grade) -> Weight:
    """What the track pushes a hanger with along itself, toward the back, door open

    Formula: load x rise of the track
    Unit: N
    Source: derived; a support gives only what is square to the track

    >>> along(1000.0, 0.02)
    20.0
    """
    return hanger_load * track_rise


def _carried(side: str, station: float, tracks: dict[str, Track]) -> Carried | None:
    """What a hanger carries; None for a door without horizontal track."""
    track = tracks.get(side)
    return None if track is None else track.carried[track.beam.supports.index(station)]


def section(hanger_leg_a: Length, hanger_leg_b: Length, hanger_leg_thickness: Length) -> angle.Angle:
    """Section of a hanger's angle

    Formula: two rectangles without fillets
    Unit: m
    Source: derived; second moments of area
    """
    try:
        return angle.angle(hanger_leg_a, hanger_leg_b, hanger_leg_thickness)
    except ValueError as wrong:
        raise NotModelled(str(wrong)) from None


def own_weight(hanger_section: angle.Angle, hanger_drop: Length) -> Weight:
    """Weight of a hanger's angle

    Formula: area of the angle x drop x weight of steel
    Unit: N
    Source: derived; steel 0.2836 lb/cu in

    >>> round(own_weight(angle.angle(0.05, 0.05, 0.003), 1.0), 1)
    22.4
    """
    return hanger_section.area * hanger_drop * STEEL


def pull(hanger_worst_load: Weight, hanger_own_weight: Weight) -> Weight:
    """What a hanger pulls on its fixing and on the building

    Formula: greatest load over the door's travel + weight of the hanger
    Unit: N
    Source: derived; statics

    >>> pull(800.0, 20.0)
    820.0
    """
    return hanger_worst_load + hanger_own_weight


def tension(
    hanger_pull: Weight, hanger_section: angle.Angle, hanger_hole: Length, hanger_leg_thickness: Length
) -> Stress:
    """Tension in a hanger's angle across its largest hole

    Formula: pull / (area of the angle - hole x thickness)
    Unit: Pa
    Source: derived; statics on the net section

    >>> round(tension(1000.0, angle.angle(0.05, 0.05, 0.003), 0.01, 0.003))
    3831418
    """
    net = hanger_section.area - hanger_hole * hanger_leg_thickness
    if net <= 0.0:
        raise NotModelled("the hole takes the whole section of the hanger")
    return hanger_pull / net


def bending(hanger_worst_load: Weight, hanger_eccentricity: Length, hanger_section: angle.Angle) -> Stress:
    """Bending of a hanger's angle by the track that pulls beside its centre

    Formula: load x eccentricity / section modulus of the free angle, the worse way round
    Unit: Pa
    Source: derived; bending without symmetry

    >>> round(bending(1000.0, 0.02, angle.angle(0.05, 0.05, 0.003)) / 1e6, 1)
    13.1
    """
    return hanger_worst_load * hanger_eccentricity / hanger_section.bending_modulus


def stress(hanger_tension: Stress, hanger_bending: Stress) -> Stress:
    """Greatest stress in a hanger's angle

    Formula: tension + bending
    Unit: Pa
    Source: derived; statics

    >>> stress(4e6, 17e6)
    21000000.0
    """
    return hanger_tension + hanger_bending


def slenderness(hanger_drop: Length, hanger_section: angle.Angle) -> Ratio:
    """Slenderness of a hanger's angle

    Formula: drop / least radius of gyration
    Unit: 1
    Source: derived; two rectangles without fillets

    >>> round(slenderness(1.0, angle.angle(0.05, 0.05, 0.003)), 1)
    100.5
    """
    return hanger_drop / hanger_section.least_radius


def push_capacity(hanger_drop: Length, hanger_section: angle.Angle) -> Weight | None:
    """What a hanger's angle can be pushed up with before it buckles, halved

    Does not apply where the track is fixed straight to what carries it: nothing stands free that could buckle.

    Formula: pi^2 x 200 GPa x least second moment of area / drop^2 / 2
    Unit: N
    Source: derived; Euler's column, hinged at both ends, with a factor of 2

    >>> round(push_capacity(1.0, angle.angle(0.05, 0.05, 0.003)))
    28418
    >>> push_capacity(0.0, angle.angle(0.05, 0.05, 0.003))
    """
    if hanger_drop == 0:
        return None
    return pi * pi * YOUNG * hanger_section.least_second / (hanger_drop * hanger_drop) / 2


def bolt_stress(
    hanger_pull: Weight, hanger_fixing_count: Count, hanger_fixing_diameter: Length, table_screw_threads: Table
) -> Stress:
    """Tension in the thread of a hanger's bolts

    Formula: pull / (bolts x tensile stress area)
    Unit: Pa
    Source: published; ASTM A307; as quoted by suppliers; Table 3, stress areas of ASME B1.1 coarse threads

    >>> from doorlint.figures.table import Table
    >>> threads = Table("screw-threads", ("diameter", "area"), {"diameter": "exact"}, ((0.009525, 5e-5),))
    >>> bolt_stress(1000.0, 2, 0.009525, threads)
    10000000.0
    """
    return hanger_pull / hanger_fixing_count / table_screw_threads.look("area", diameter=hanger_fixing_diameter)


def steel_pull(hanger_fixing_kind: Text, hanger_fixing_diameter: Length, hanger_fixing_steel: Stress | None) -> Weight:
    """What the steel of one fastener of a hanger may pull, whatever it sits in

    Formula: root area x half the tensile strength of its steel (60 ksi unless a stronger one is given)
    Unit: N
    Source: derived; half of the tensile strength on the root

    >>> round(steel_pull("lag", 0.00635, None))
    3137
    """
    return own_steel(hanger_fixing_kind, hanger_fixing_diameter, hanger_fixing_steel).pull


def steel_shear(hanger_fixing_kind: Text, hanger_fixing_diameter: Length, hanger_fixing_steel: Stress | None) -> Weight:
    """What the steel of one fastener of a hanger may carry sideways, whatever it sits in

    Formula: root area x 0.6 x half the tensile strength of its steel (60 ksi unless a stronger one is given)
    Unit: N
    Source: derived; shear strength of steel

    >>> round(steel_shear("bolt", 0.01, None))
    7310
    """
    return own_steel(hanger_fixing_kind, hanger_fixing_diameter, hanger_fixing_steel).shear


def gap(hanger_side: Each[Text], hanger_station: Each[Length]) -> Each[Length]:
    """Span of track before a hanger

    Formula: station - station of the hanger before it on its track, or of the end of the curve
    Unit: m
    Source: derived; a difference

    >>> gap({"a": "left", "b": "left", "c": "right"}, {"a": 1.5, "b": 3.5, "c": 3.0})
    {'a': 1.5, 'b': 2.0, 'c': 3.0}
    """
    return {
        key: station - max((s for s in _on_track(key, hanger_side, hanger_station) if s < station), default=0.0)
        for key, station in hanger_station.items()
    }


def from_end(
    track_horizontal_length: Length, hanger_side: Each[Text], hanger_station: Each[Length]
) -> Each[Length | None]:
    """Last hanger from the back end of its track

    Does not apply to the other hangers.

    Formula: length of the horizontal track - station
    Unit: m
    Source: derived; a difference

    >>> from_end(4.0, {"a": "left", "b": "left"}, {"a": 1.5, "b": 3.5})
    {'a': None, 'b': 0.5}
    """
    return {
        key: track_horizontal_length - station if station == max(_on_track(key, hanger_side, hanger_station)) else None
        for key, station in hanger_station.items()
    }


def way_to_last(hanger_side: Each[Text], hanger_station: Each[Length]) -> Each[Share | None]:
    """Where the last hanger but one stands on the way from the curve to the last

    Does not apply to the other hangers, nor where all of a track's hangers are at the curve.

    Formula: station / station of the last hanger of its track
    Unit: 1
    Source: derived; a ratio

    >>> way_to_last({"a": "left", "b": "left"}, {"a": 1.5, "b": 3.0})
    {'a': 0.5, 'b': None}
    >>> way_to_last({"a": "left", "b": "left"}, {"a": 0.0, "b": 0.0})
    {'a': None, 'b': None}
    """
    shares: dict[str, float | None] = {}
    for key, station in hanger_station.items():
        *before, last = sorted(_on_track(key, hanger_side, hanger_station))
        shares[key] = station / last if last and before and station == before[-1] else None
    return shares


def on_this_track(hanger_side: Each[Text]) -> Each[Count]:
    """How many hangers this hanger's track has

    Formula: hangers of its side
    Unit: 1
    Source: derived; counted

    >>> on_this_track({"a": "left", "b": "left", "c": "right"})
    {'a': 2, 'b': 2, 'c': 1}
    """
    sides = list(hanger_side.values())
    return {key: sides.count(side) for key, side in hanger_side.items()}


def _on_track(key: str, sides: dict[str, str], stations: dict[str, float]) -> list[float]:
    return [station for other, station in stations.items() if sides[other] == sides[key]]


def track_height(hanger_station: Length, track_path: Path) -> Length | None:
    """Height of the track's roller line at the hanger

    Does not apply to a vertical lift.

    Formula: height at the end of the curve + station x sin a, tan a = rise
    Unit: m
    Source: derived; straight track behind the curve

    >>> round(track_height(2.0, Path(3.5, 0.4)), 6)
    3.9
    """
    return track_path.end_z + hanger_station * track_path.sin if track_path.tangent < inf else None


def from_wall(hanger_station: Length, track_path: Path, track_wall_offset: Length) -> Length | None:
    """Inside wall face to the hanger

    Does not apply to a vertical lift.

    Formula: wall offset + reach of the curve + station x cos a, tan a = rise
    Unit: m
    Source: derived; straight track behind the curve

    >>> round(from_wall(2.0, Path(3.5, 0.4), 0.075), 6)
    2.475
    """
    if track_path.tangent == inf:
        return None
    return track_wall_offset + track_path.end_y + hanger_station * track_path.cos
