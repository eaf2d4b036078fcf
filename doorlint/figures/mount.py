"""Each mounting on the building: what pulls and bears on it, and what its fixing holds.

A load **bears across** the fasteners where it runs along the wall, and **pulls them out** where it runs away from it.
"""

from __future__ import annotations

from math import hypot

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.kinds import Each, Length, Pressure, Stress, Text, Torque, Weight
from doorlint.figures.mount_loads import ON_THE_PAD
from doorlint.figures.overhead import Track
from doorlint.mechanics.connections.claims import own_steel


def parts_here(mount_part: Each[Text], mount_side: Each[Text | None]) -> Each[tuple[str, ...]]:
    """What else is mounted on the side of a mounting, itself included

    Formula: parts of the mountings of this side
    Unit: -
    Source: derived; counted

    >>> parts_here({"a": "head-plate", "b": "track"}, {"a": "left", "b": "right"})
    {'a': ('head-plate',), 'b': ('track',)}
    """
    return {
        key: tuple(part for other, part in mount_part.items() if mount_side[other] == mount_side[key])
        for key in mount_part
    }


def track_bearing(
    mount_part: Text, mount_side: Text, track_lift: Text, overhead_tracks: dict[str, Track] | None
) -> Weight | None:
    """What the front end of the horizontal track bears down on a head plate, at most over the door's travel

    Formula: greatest reaction of the track at the end of the curve; nothing without horizontal track
    Unit: N
    Source: derived; continuous beam on rigid supports
    """
    if mount_part != "head-plate":
        return None
    if track_lift == "vertical":
        return 0.0
    if overhead_tracks is None:
        raise MissingInput("overhead.tracks")
    track = overhead_tracks.get(mount_side)
    if track is None:
        raise NotModelled(f"the {mount_side} track has no hanger")
    return track.carried[0].most


def bearing(
    mount_part: Text,
    mount_side: Text | None,
    mount_parts_here: tuple[str, ...],
    mount_track_bearing: Weight | None,
    tower_side: Text | None,
    tower_cable_tension: Weight | None,
    door_load: Weight | None,
    operation_pull: Weight | None,
) -> Weight | None:
    """What bears across the fixing of a mounting

    With T the pull of each lift cable. On the tower's side the near cable goes over its pulley and down (2T down),
    the far one comes across and turns down (T down, T toward the opening), and both end at the eye bolts (2T down):
    5T in all. The pulleys sit on the head plate and the eye bolts on the tower, where that side has a mounting for
    each; otherwise the one there is takes it all. On the far side the cable turns across (T down, T inward). The foot
    is asked to hold the sideways pull too, and a pulley of its own a rope turned right round (2T). When one cable
    breaks the other pulls twice as hard, and the building has to hold that as well. Under a torsion shaft each head
    plate has half the door on its drum. A head plate carries the front end of its track besides. A drive is pulled as
    hard as it pulls. Does not apply to tracks and spring pads, which are pulled off the wall.

    Formula: down and sideways by part and side as above, taken together at right angles; worst of both cables and one
    Unit: N
    Source: derived; statics of the pulleys; that the foot holds the sideways pull too is a provision

    >>> round(bearing("head-plate", "left", ("head-plate",), 0.0, "right", 1000.0, None, None), 1)
    2828.4
    >>> round(bearing("head-plate", "left", ("head-plate",), 200.0, "left", 1000.0, None, None), 1)
    6200.0
    >>> bearing("head-plate", "left", ("head-plate",), 200.0, None, None, 2000.0, None)
    1200.0
    """
    if mount_part in {"track", "spring-pad"}:
        return None
    if mount_part == "operator":
        return _given(operation_pull, "operation.pull")
    track = _given(mount_track_bearing, "mount.track_bearing") if mount_part == "head-plate" else 0.0
    if tower_side is None:
        return track + _given(door_load, "door.load") / 2 if mount_part == "head-plate" else None
    pull = _given(tower_cable_tension, "tower.cable_tension")
    cases = _cases(mount_part, mount_side == tower_side, mount_parts_here)
    return max(hypot(down * pull + track, sideways * pull) for down, sideways in cases)


def _cases(part: str, near: bool, parts_here: tuple[str, ...]) -> tuple[tuple[float, float], ...]:
    """Down and sideways, in pulls of one cable of two: with both cables, with the far one alone, the near one alone."""
    alone_there = (part == "head-plate" and "tower-head" not in parts_here) or "head-plate" not in parts_here
    if part == "head-plate" and not near:
        return ((1.0, 1.0), (2.0, 2.0))
    if part in ("head-plate", "tower-head") and alone_there:
        return ((5.0, 1.0), (4.0, 2.0), (6.0, 0.0))
    if part == "head-plate":
        return ((3.0, 1.0), (2.0, 2.0), (4.0, 0.0))
    if part == "tower-head":
        return ((2.0, 0.0),)
    return ((0.0, 2.0),) if part == "tower-foot" else ((4.0, 0.0),)


def wind_pull(
    mount_part: Text,
    mount_parts_here: tuple[str, ...],
    wind_required_pressure: Pressure,
    door_width: Length,
    opening_finished_height: Length,
) -> Weight | None:
    """What the wind that the job asks for pulls a track mounting off the wall with, the door closed

    Formula: pressure x door width / 2 x opening height / track mountings of this side
    Unit: N
    Source: derived; the door as a plate held at both jambs

    >>> wind_pull("track", ("track", "track"), 1000.0, 4.0, 3.0)
    3000.0
    """
    return _wind_share(mount_part, mount_parts_here, wind_required_pressure * door_width / 2 * opening_finished_height)


def site_wind_pull(
    mount_part: Text,
    mount_parts_here: tuple[str, ...],
    wind_site_pressure: Pressure,
    door_width: Length,
    opening_finished_height: Length,
) -> Weight | None:
    """What the wind of the site pulls a track mounting off the wall with, the door closed

    Formula: pressure x door width / 2 x opening height / track mountings of this side
    Unit: N
    Source: derived; the door as a plate held at both jambs

    >>> site_wind_pull("track", ("track",), 1000.0, 4.0, 3.0), site_wind_pull("head-plate", (), 1000.0, 4.0, 3.0)
    (6000.0, None)
    """
    return _wind_share(mount_part, mount_parts_here, wind_site_pressure * door_width / 2 * opening_finished_height)


def _wind_share(part: str, parts_here: tuple[str, ...], side: float) -> float | None:
    """The part of a track mounting in what the wind puts on its side."""
    return side / parts_here.count("track") if part == "track" else None


def pad_pull(
    mount_part: Text,
    mount_station: Length | None,
    spring_torque: Each[Torque],
    spring_anchor_station: Each[Length],
    practice_pad_lever: Length,
) -> Weight | None:
    """What the wound springs pull the upper fasteners of a spring pad out with

    A pad without a station is taken to hold every spring.

    Formula: torque of the springs anchored there, door closed / height of the anchor bracket between its fasteners
    Unit: N
    Source: derived; moment of the springs about the wall

    >>> torques, stations = {"a": 70.0, "b": 70.0}, {"a": 1.0, "b": 2.0}
    >>> [round(pad_pull("spring-pad", station, torques, stations, 0.08)) for station in (None, 2.0)]
    [1750, 875]
    """
    if mount_part != "spring-pad":
        return None
    stations = spring_anchor_station.items()
    here = [key for key, at in stations if mount_station is None or abs(at - mount_station) <= ON_THE_PAD]
    return sum(spring_torque[key] for key in here) / practice_pad_lever


def _given(value: float | None, name: str) -> float:
    if value is None:
        raise MissingInput(name)
    return value


def steel_pull(mount_fixing_kind: Text, mount_fixing_diameter: Length, mount_fixing_steel: Stress | None) -> Weight:
    """What the steel of one fastener of a mounting may pull, whatever it sits in

    Formula: root area x half the tensile strength of its steel (60 ksi unless a stronger one is given)
    Unit: N
    Source: derived; half of the tensile strength on the root

    >>> round(steel_pull("lag", 0.00635, None))
    3137
    """
    return own_steel(mount_fixing_kind, mount_fixing_diameter, mount_fixing_steel).pull


def steel_shear(mount_fixing_kind: Text, mount_fixing_diameter: Length, mount_fixing_steel: Stress | None) -> Weight:
    """What the steel of one fastener of a mounting may carry sideways, whatever it sits in

    Formula: root area x 0.6 x half the tensile strength of its steel (60 ksi unless a stronger one is given)
    Unit: N
    Source: derived; shear strength of steel

    >>> round(steel_shear("bolt", 0.01, None))
    7310
    """
    return own_steel(mount_fixing_kind, mount_fixing_diameter, mount_fixing_steel).shear


def base_named(mount_onto: Text, mount_fixing_document_base: Text) -> Text:
    """Whether the document of a fastener is for the base it sits in

    Formula: the base that the document names against the backing
    Unit: -
    Source: derived; from what the spec says

    >>> base_named("hollow-block", "concrete"), base_named("concrete", "concrete")
    ('another base', 'this base')
    """
    return "this base" if mount_onto == mount_fixing_document_base else "another base"
