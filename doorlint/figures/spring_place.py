"""Each torsion spring on the shaft: its place, the hand of its coil, and what it fits into."""

from __future__ import annotations

from typing import TypeVar

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.kinds import Count, Each, Length, Text, TorqueRate, Turns, Weight
from doorlint.figures.mount_loads import ON_THE_PAD
from doorlint.mechanics import shaft, torsion_spring

SUBJECT = "spring"
T = TypeVar("T")


def cone_side(spring_side: Each[Text | None], spring_inside: Each[Text | None]) -> Each[Text]:
    """Side of its anchor on which the cone of the spring is

    Formula: as given; of an inner spring that of the spring around it
    Unit: -
    Source: derived; a duplex set shares anchor and cone

    >>> cone_side({"a": "left", "b": None}, {"a": None, "b": "a"})
    {'a': 'left', 'b': 'left'}
    """
    return {key: _of_set(spring_side, spring_inside, key, "spring.side") for key in spring_side}


def anchor_station(spring_anchor: Each[Length | None], spring_inside: Each[Text | None]) -> Each[Length]:
    """Anchor bracket of the spring along the shaft, from the left end bearing

    Formula: as given; of an inner spring that of the spring around it
    Unit: m
    Source: derived; a duplex set shares anchor and cone

    >>> anchor_station({"a": 1.5, "b": None}, {"a": None, "b": "a"})
    {'a': 1.5, 'b': 1.5}
    """
    return {key: _of_set(spring_anchor, spring_inside, key, "spring.anchor") for key in spring_anchor}


def pads(
    spring_anchor_station: Each[Length], mount_part: Each[Text], mount_station: Each[Length | None]
) -> Each[Count]:
    """Spring pads that hold the anchor bracket of the spring

    A pad without a station is where the anchors are: one holds every anchor at one place, two hold those at two.

    Formula: count of the spring pads at the station of its anchor; else of those without a station, where they are as
    many as the places of the anchors that no other pad holds
    Unit: 1
    Source: derived; from the stations

    >>> pads({"a": 1.5, "b": 0.9}, {"pad": "spring-pad", "rail": "track"}, {"pad": 1.52, "rail": None})
    {'a': 1, 'b': 0}
    >>> pads({"a": 1.5, "b": 1.5}, {"pad": "spring-pad"}, {"pad": None})
    {'a': 1, 'b': 1}
    >>> pads({"a": 1.5, "b": 0.9}, {"pad": "spring-pad"}, {"pad": None})
    {'a': 0, 'b': 0}
    """
    stations = [mount_station[key] for key, part in mount_part.items() if part == "spring-pad"]
    placed = [at for at in stations if at is not None]
    loose = len(stations) - len(placed)
    held = {key: sum(abs(at - anchor) <= ON_THE_PAD for at in placed) for key, anchor in spring_anchor_station.items()}
    places: list[float] = []
    for anchor in sorted(anchor for key, anchor in spring_anchor_station.items() if not held[key]):
        if not places or anchor - places[-1] > 2 * ON_THE_PAD:
            places.append(anchor)
    return {key: count or (loose if loose >= len(places) else 0) for key, count in held.items()}


def cone_station(
    spring_cone: Each[Length | None],
    spring_inside: Each[Text | None],
    spring_cone_side: Each[Text],
    spring_anchor_station: Each[Length],
    spring_wound_length: Each[Length],
) -> Each[Length]:
    """Winding cone of the spring along the shaft, from the left end bearing, door closed

    Formula: as given, else anchor - or + wound length; of an inner spring that of the spring around it
    Unit: m
    Source: derived; the spring lies between anchor and cone

    >>> cone_station({"a": None}, {"a": None}, {"a": "left"}, {"a": 1.5}, {"a": 1.2})
    {'a': 0.30000000000000004}
    """
    found = {}
    for key in spring_cone:
        outer = spring_inside[key] if spring_inside[key] in spring_cone else key
        assert outer is not None
        given = spring_cone[outer]
        reach = -spring_wound_length[outer] if spring_cone_side[outer] == "left" else spring_wound_length[outer]
        found[key] = spring_anchor_station[outer] + reach if given is None else given
    return found


def hand_wanted(
    spring_cone_side: Each[Text], torsion_mount: Text, torsion_drum_cable_leaves: Text | None
) -> Each[Text]:
    """Hand that the coil must have

    With the cables on the wall side of the drums winding turns the room side of the shaft up. That rotation adds coils
    to a right-hand helix held at its right end. A rear shaft whose cables leave the top of the drums turns the same
    way; from the bottom it turns the other way.

    Formula: cone left of its anchor: right-wound; right of it: left-wound; the other hand for cables off the bottom
    Unit: -
    Source: derived; right-hand rule on a helix

    >>> hand_wanted({"a": "left", "b": "right"}, "front", None)
    {'a': 'right', 'b': 'left'}
    >>> hand_wanted({"a": "left"}, "rear", "bottom")
    {'a': 'left'}
    """
    if torsion_mount == "rear" and torsion_drum_cable_leaves is None:
        raise MissingInput("torsion.drum.cable_leaves")
    turned = torsion_mount == "rear" and torsion_drum_cable_leaves == "bottom"
    return {key: "right" if (side == "left") != turned else "left" for key, side in spring_cone_side.items()}


def winding(torsion_mount: Text, torsion_drum_cable_leaves: Text | None) -> Text:
    """Which way the cone of the spring is turned to wind it

    Formula: the side away from the wall goes up; for cables off the bottom of a rear drum it goes down
    Unit: -
    Source: derived; winding is against the pull of the cables

    >>> winding("front", None)
    'side away from the wall up'
    """
    if torsion_mount == "rear" and torsion_drum_cable_leaves is None:
        raise MissingInput("torsion.drum.cable_leaves")
    down = torsion_mount == "rear" and torsion_drum_cable_leaves == "bottom"
    return f"side away from the wall {'down' if down else 'up'}"


def quarter_turns(spring_turns_closed: Turns) -> Count:
    """Quarter turns to wind the spring with the door closed

    Formula: 4 x turns, to the nearest
    Unit: 1
    Source: practice; a winding bar gives quarter turns

    >>> quarter_turns(7.75)
    31
    """
    return round(4.0 * spring_turns_closed)


def hand_fits(spring_wind: Each[Text], spring_hand_wanted: Each[Text]) -> Each[Text]:
    """Whether the closing door tightens the spring

    Formula: hand of the coil is the hand wanted
    Unit: -
    Source: derived; right-hand rule on a helix

    >>> hand_fits({"a": "left", "b": "left"}, {"a": "left", "b": "right"})
    {'a': 'true', 'b': 'false'}
    """
    return {key: "true" if wind == spring_hand_wanted[key] else "false" for key, wind in spring_wind.items()}


def same_hand(spring_wind: Each[Text], spring_outer_wind: Each[Text]) -> Each[Text | None]:
    """Whether an inner spring has the hand of the one around it

    Formula: hand of the coil is that of the outer spring
    Unit: -
    Source: derived; one cone turns both

    >>> same_hand({"a": "left", "b": "left"}, {"a": None, "b": "left"})
    {'a': None, 'b': 'true'}
    """
    return {
        key: None if outer is None else ("true" if spring_wind[key] == outer else "false")
        for key, outer in spring_outer_wind.items()
    }


def outer_wind(spring_wind: Each[Text], spring_inside: Each[Text | None]) -> Each[Text | None]:
    """Hand of the spring around an inner one

    Does not apply to a spring that is not inside another.

    Formula: hand of the spring it sits in
    Unit: -
    Source: derived; from the spec

    >>> outer_wind({"a": "left", "b": "left"}, {"a": None, "b": "a"})
    {'a': None, 'b': 'left'}
    """
    return {key: None if outer is None else _named(spring_wind, outer) for key, outer in spring_inside.items()}


def gap(
    spring_inside_diameter: Each[Length], spring_outside: Each[Length], spring_inside: Each[Text | None]
) -> Each[Length | None]:
    """Radial gap between an inner spring and the one around it, relaxed

    Formula: (inside diameter of the outer - outside diameter of the inner) / 2
    Unit: m
    Source: derived; concentric coils

    >>> {key: gap and round(gap, 4) for key, gap in
    ...     gap({"a": 0.095, "b": 0.06}, {"a": 0.11, "b": 0.08}, {"a": None, "b": "a"}).items()}
    {'a': None, 'b': 0.0075}
    """
    return {
        key: None if outer is None else torsion_spring.gap(_named(spring_inside_diameter, outer), spring_outside[key])
        for key, outer in spring_inside.items()
    }


def gap_wound(
    spring_bore: Each[Length], spring_outside_wound: Each[Length], spring_inside: Each[Text | None]
) -> Each[Length | None]:
    """Radial gap between an inner spring and the one around it, door closed

    Formula: (inside diameter of the outer - outside diameter of the inner) / 2, both wound
    Unit: m
    Source: derived; concentric coils

    >>> {key: gap and round(gap, 4) for key, gap in
    ...     gap_wound({"a": 0.09, "b": 0.06}, {"a": 0.11, "b": 0.08}, {"a": None, "b": "a"}).items()}
    {'a': None, 'b': 0.005}
    """
    return {
        key: None if outer is None else torsion_spring.gap(_named(spring_bore, outer), spring_outside_wound[key])
        for key, outer in spring_inside.items()
    }


def counted_turns(spring_wire: Each[Length | None], counted_turns: Each[Turns | None]) -> Each[Turns | None]:
    """Turns counted on the spring

    Does not apply to a spring that was not counted.

    Formula: as counted, by the name of the spring
    Unit: turns
    Source: derived; from the record

    >>> counted_turns({"left": 0.01}, {"left": 7.5})
    {'left': 7.5}
    """
    return {key: counted_turns.get(key) for key in spring_wire}


def counted_off(
    spring_counted_turns: Each[Turns],
    spring_turns_closed: Each[Turns],
    spring_torque_rate: Each[TorqueRate],
    drum_largest_radius: Length,
) -> Each[Weight | None]:
    """What turns counted and turns specified differ by, as a pull at the door

    Formula: torque per turn x difference / radius, without its sign
    Unit: N
    Source: derived; torque of the shaft over the lever arm of its drums

    >>> counted_off({"a": 7.25}, {"a": 7.5}, {"a": 10.0}, 0.05)
    {'a': 50.0}
    """
    return {
        key: None
        if turns is None
        else abs(turns - spring_turns_closed[key]) * spring_torque_rate[key] / drum_largest_radius
        for key, turns in spring_counted_turns.items()
    }


def room(
    spring_anchor_station: Each[Length],
    spring_cone_side: Each[Text],
    spring_cone_station: Each[Length],
    spring_inside: Each[Text | None],
    bearing_station: Each[Length],
    coupler_station: Each[Length] | None,
    torsion_drum_left: Length,
    torsion_drum_right: Length,
    torsion_drum_width: Length,
) -> Each[Length]:
    """Free shaft from the anchor of the spring to the next part on the side of its cone

    Formula: distance to the nearest drum, bearing, coupler or other spring; none past the last bearing
    Unit: m
    Source: derived; parts by station

    >>> room({"a": 1.5}, {"a": "left"}, {"a": 0.4}, {"a": None}, {"l": 0.0, "r": 3.0}, None, 0.1, 2.9, 0.1)
    {'a': 1.35}
    >>> room({"a": 5.0}, {"a": "left"}, {"a": 3.9}, {"a": None}, {"l": 0.0, "r": 3.0}, None, 0.1, 2.9, 0.1)
    {'a': 0.0}
    """
    first, last = min(bearing_station.values()), max(bearing_station.values())
    parts = [(station, station) for station in (*bearing_station.values(), *(coupler_station or {}).values())]
    half = torsion_drum_width / 2.0
    parts += [(station - half, station + half) for station in (torsion_drum_left, torsion_drum_right)]
    found = {}
    for key, station in spring_anchor_station.items():
        own = spring_inside[key] or key
        others = [
            (min(at, spring_cone_station[other]), max(at, spring_cone_station[other]))
            for other, at in spring_anchor_station.items()
            if (spring_inside[other] or other) != own
        ]
        on_shaft = first - 1e-3 <= station <= last + 1e-3
        found[key] = shaft.room_beside(station, spring_cone_side[key], [*parts, *others]) if on_shaft else 0.0
    return found


def _of_set(column: Each[T | None], inside: Each[Text | None], key: str, name: str) -> T:
    """The value of a spring, or of the one around it."""
    value = column[key]
    outer = inside[key]
    if value is None and outer is not None:
        value = column.get(outer)
    if value is None:
        raise MissingInput(name)
    return value


def _named(column: Each[T], key: str) -> T:
    if key not in column:
        raise NotModelled(f"there is no spring {key}")
    return column[key]
