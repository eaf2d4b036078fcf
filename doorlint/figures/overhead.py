"""What hangs overhead as a whole: the two horizontal tracks on their hangers, and which supports there are.

The frame of :mod:`doorlint.mechanics.beam`: each track is a beam from the end of the curve, where the head plate
carries it, over its hangers to its free back end. Each carries half of every roller's load.
"""

from __future__ import annotations

from math import ceil

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Count, Each, Length, SectionModulus, Stress, Text, Torque, Weight, WeightPerLength
from doorlint.mechanics import beam
from doorlint.mechanics.link_statics import on_straight, on_upper
from doorlint.mechanics.rolling import Door, Path
from doorlint.named_tuple import NamedTuple


class Carried(NamedTuple):
    """What one support of a track carries, straight down (N): the door open, and least and most over its travel."""

    open: float
    least: float
    most: float


class Track(NamedTuple):
    """One horizontal track: its beam, what the open door's rollers press on it with, square to it, and what each
    support carries; a support gets ``along`` times as much along the track, toward the back. ``above`` is what presses
    on the upper guide of a low-headroom door, a beam of its own."""

    beam: beam.Beam
    loads: tuple[beam.Load, ...]
    carried: tuple[Carried, ...]
    along: float = 0.0
    above: tuple[beam.Load, ...] = ()


@error_gain(by_curve={"moves": 0.0})
def tracks(
    track_hung_path: Path,
    door_shape: Door,
    door_open_travel: Length,
    track_weight: WeightPerLength,
    track_upper_weight: WeightPerLength | None,
    track_horizontal_length: Length,
    hanger_side: Each[Text],
    hanger_station: Each[Length],
) -> dict[str, Track]:
    """The horizontal tracks as beams on the head plate and their hangers

    A side without a hanger is left out. Does not apply to a door without horizontal track. The upper guide of a
    low-headroom door is a beam of its own on the same hangers.

    Formula: continuous beam on rigid supports; half of what each roller presses with; track weight; back end free
    Unit: N
    Source: derived; statics of the three-moment equation, rollers by the equilibrium of every section

    >>> side = tracks(Path(2.0, 0.2), Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0), 1.757786,
    ...     0.0, None, 1.0, {"a": "left"}, {"a": 1.0})["left"]
    >>> [round(force, 3) for force in side.carried[1]]
    [37.5, 0.0, 37.5]
    """
    if track_hung_path.upper is not None and track_upper_weight is None:
        raise MissingInput("track.upper.weight")
    loads = tuple((distance, load / 2) for distance, load in on_straight(track_hung_path, door_shape, door_open_travel))
    top = on_upper(track_hung_path, door_shape, door_open_travel)
    above = () if top is None else ((top.distance, top.load / 2),)
    weight = (track_weight + (track_upper_weight or 0.0)) * track_hung_path.cos
    made: dict[tuple[float, ...], Track] = {}
    sides: dict[str, Track] = {}
    for side in sorted(set(hanger_side.values())):
        stations = tuple(sorted(hanger_station[key] for key, on in hanger_side.items() if on == side))
        if stations not in made:
            made[stations] = _track(stations, track_horizontal_length, loads, above, weight, track_hung_path)
        sides[side] = made[stations]
    return sides


def _track(
    stations: tuple[float, ...],
    length: float,
    loads: tuple[beam.Load, ...],
    above: tuple[beam.Load, ...],
    weight: float,
    path: Path,
) -> Track:
    """One track from what presses square to it: ``weight`` per length of both guides, loads on each."""
    try:
        line = beam.Beam((0.0, *stations), length)
    except ValueError:
        raise NotModelled("hangers stand at one place, at the curve or behind the end of the track") from None
    down = path.cos  # what a support gives square to the track has so much of it upright
    carried = [
        Carried(*(down * (own + low + high) for low, high in zip(main, upper, strict=True)))
        for own, main, upper in zip(
            beam.even(line, weight), beam.rolling(line, loads), beam.rolling(line, above), strict=True
        )
    ]
    return Track(line, loads, tuple(carried), path.slope, above)


def track_bending(
    overhead_tracks: dict[str, Track], track_weight: WeightPerLength, track_section_modulus: SectionModulus
) -> Stress | None:
    """Greatest bending stress in the horizontal tracks, door open

    Does not apply to a door without horizontal track.

    Formula: greatest bending moment along either track / section modulus of the track with its angle
    Unit: Pa
    Source: derived; continuous beam on rigid supports

    >>> line = beam.Beam((0.0, 2.0), 2.0)
    >>> side = Track(line, ((1.0, 100.0),), ())
    >>> track_bending({"left": side}, 0.0, 1e-6)
    50000000.0
    """
    if not overhead_tracks:
        return None
    moments = (
        beam.greatest_bending(track.beam, loads, track_weight)
        for track in overhead_tracks.values()
        for loads in (track.loads, track.above)
    )
    return max(moments) / track_section_modulus


def overhang(overhead_tracks: dict[str, Track]) -> Length | None:
    """Track that runs free behind its last hanger, the longer of the two

    Does not apply to a door without horizontal track.

    Formula: length of the horizontal track - station of the last hanger
    Unit: m
    Source: derived; a difference

    >>> overhang({"left": Track(beam.Beam((0.0, 2.0), 2.5), (), ())})
    0.5
    """
    if not overhead_tracks:
        return None
    return max(track.beam.end - track.beam.supports[-1] for track in overhead_tracks.values())


def overhang_moment(
    overhead_tracks: dict[str, Track],
    track_weight: WeightPerLength,
    track_upper_weight: WeightPerLength | None,
    track_path: Path,
) -> Torque | None:
    """Bending moment of a track at its last hanger, door open, the greatest of all

    Each guide of a low-headroom door is bent by its own rollers and weight. Does not apply to a door without horizontal
    track.

    Formula: sum of roller loads x their distance beyond the hanger + track weight x cos a x free length^2 / 2
    Unit: N m
    Source: derived; a cantilever behind the last hanger

    >>> side = Track(beam.Beam((0.0, 2.0), 3.0), ((1.5, 900.0), (2.5, 100.0)), ())
    >>> overhang_moment({"left": side}, 20.0, None, Path(2.0, 0.3))
    60.0
    """
    if not overhead_tracks:
        return None
    moments = []
    for track in overhead_tracks.values():
        last = track.beam.supports[-1]
        free = track.beam.end - last
        for loads, weight in ((track.loads, track_weight), (track.above, track_upper_weight or 0.0)):
            rollers = sum(load * (distance - last) for distance, load in loads if distance > last)
            moments.append(rollers + weight * track_path.cos * free * free / 2)
    return max(moments)


def overhang_stress(overhead_overhang_moment: Torque, track_section_modulus: SectionModulus) -> Stress:
    """Bending stress of a track at its last hanger, door open

    Formula: bending moment at the last hanger / section modulus of the track with its angle
    Unit: Pa
    Source: derived; bending of a beam

    >>> overhang_stress(60.0, 2e-6)
    30000000.0
    """
    return overhead_overhang_moment / track_section_modulus


def next_station(
    track_horizontal_length: Length, practice_hanger_last_least: Length, practice_hanger_last_most: Length
) -> Length:
    """Where a hanger is wanted that the free end of a track lacks

    Formula: length of the horizontal track - middle of the usual distance from its back end
    Unit: m
    Source: practice; the last hanger stands 12 to 18 in from the back end

    >>> round(next_station(4.0, 0.3, 0.46), 6)
    3.62
    """
    return track_horizontal_length - (practice_hanger_last_least + practice_hanger_last_most) / 2


def next_load(
    overhead_tracks: dict[str, Track],
    overhead_next_station: Length,
    track_weight: WeightPerLength,
    track_upper_weight: WeightPerLength | None,
    track_path: Path,
) -> Weight | None:
    """What a hanger would carry that the free end of a track lacks, door open

    Does not apply where a track has a hanger there already.

    Formula: reaction of the track with one support more
    Unit: N
    Source: derived; continuous beam on rigid supports

    >>> side = Track(beam.Beam((0.0, 2.0), 4.0), ((3.5, 800.0),), ())
    >>> round(next_load({"left": side}, 3.5, 0.0, None, Path(2.0, 0.3)), 6)
    800.0
    """
    wanting = [track for track in overhead_tracks.values() if track.beam.supports[-1] < overhead_next_station - 1e-9]
    if not wanting:
        return None
    track = min(wanting, key=lambda one: one.beam.supports[-1])
    line = beam.Beam((*track.beam.supports, overhead_next_station), track.beam.end)
    weight = (track_weight + (track_upper_weight or 0.0)) * track_path.cos
    carried = beam.reactions(line, (*track.loads, *track.above))[-1] + beam.even(line, weight)[-1]
    return carried * track_path.cos


def hangers_wanted(door_load: Weight, practice_hanger_pair_weight: Weight) -> Count:
    """How many hangers a track should have by the door's weight

    Formula: weight of the door / weight that one pair of hangers is given, rounded up
    Unit: 1
    Source: practice; shops give a pair of hangers so much door and no more

    >>> hangers_wanted(4000.0, 2200.0)
    2
    """
    return ceil(door_load / practice_hanger_pair_weight)


def hanger_sides(hanger_side: Each[Text]) -> Count:
    """How many of the two tracks have a hanger

    Formula: sides named by the hangers
    Unit: 1
    Source: derived; counted

    >>> hanger_sides({"a": "left", "b": "left"})
    1
    """
    return len(set(hanger_side.values()))
