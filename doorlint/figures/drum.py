"""The cable drums: their shape, what they hold, and whether they suit the lift."""

from __future__ import annotations

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.kinds import Length, TorqueRate, Turns, Weight
from doorlint.mechanics import drum, rolling


def shape(
    torsion_drum_profile: str | None,
    torsion_drum_radius: Length | None,
    torsion_drum_small_radius: Length | None,
    torsion_drum_taper_turns: Turns | None,
    torsion_drum_radii: tuple[Length, ...] | None,
) -> drum.Drum:
    """Lever arm of the cable over the turns of the drum

    Formula: one radius; from the largest evenly down to the smallest over its turns, flat after a taper; or the table
    Unit: m
    Source: derived; from the spec, straight between given radii

    >>> shape("standard", 0.07, None, None, None).radius(3.0)
    0.07
    >>> shape("table", None, None, None, (0.08, 0.07)).end
    1.0
    """
    if torsion_drum_profile is None:
        raise MissingInput("torsion.drum.profile")
    if torsion_drum_profile == "table":
        if torsion_drum_radii is None:
            raise MissingInput("torsion.drum.radii")
        return drum.table(torsion_drum_radii)
    if torsion_drum_radius is None:
        raise MissingInput("torsion.drum.radius")
    if torsion_drum_profile == "standard":
        return drum.standard(torsion_drum_radius)
    if torsion_drum_small_radius is None:
        raise MissingInput("torsion.drum.small_radius")
    if torsion_drum_taper_turns is None:
        raise MissingInput("torsion.drum.taper_turns")
    if torsion_drum_small_radius >= torsion_drum_radius or torsion_drum_taper_turns <= 0.0:
        raise NotModelled("the radius of this drum does not fall")
    build = drum.high_lift if torsion_drum_profile == "high-lift" else drum.vertical_lift
    return build(torsion_drum_radius, torsion_drum_small_radius, torsion_drum_taper_turns)


def largest_radius(drum_shape: drum.Drum) -> Length:
    """Lever arm of the cable with the door closed

    Formula: radius at 0 turns
    Unit: m
    Source: derived; from the spec

    >>> largest_radius(drum.standard(0.07))
    0.07
    """
    return drum_shape.radius(0.0)


def turns_used(torsion_drum_wraps_closed: Turns, torsion_travel_turns: Turns) -> Turns:
    """Grooves that the cable takes with the door open

    Formula: safety wraps + turns of the travel
    Unit: turns
    Source: derived; the drum takes up what the door travels

    >>> turns_used(1.5, 7.0)
    8.5
    """
    return torsion_drum_wraps_closed + torsion_travel_turns


def hanging_travel(track_path: rolling.Path, door_frame: rolling.Door, door_open_travel: Length) -> Length:
    """Travel over which the whole door hangs in the vertical track

    Formula: start of the curve - top roller closed, no more than the travel to open
    Unit: m
    Source: derived; the door as given

    >>> round(hanging_travel(rolling.Path(2.5, 0.3), rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.1), 1.0), 6)
    1.0
    """
    top = door_frame.bottom_roller + sum(door_frame.spacings)
    return min(max(track_path.tangent - top, 0.0), door_open_travel)


def taper_travel(drum_shape: drum.Drum) -> Length | None:
    """Travel that the falling part of a drum takes up

    Does not apply to a drum of one radius.

    Formula: 2 pi x mean radius of the taper x its turns
    Unit: m
    Source: derived; arc length

    >>> round(taper_travel(drum.high_lift(0.08, 0.06, 2.0)), 4), taper_travel(drum.standard(0.07))
    (0.8796, None)
    """
    return drum_shape.cables[-1] if len(drum_shape.turns) > 1 else None


def spiral_rate(drum_shape: drum.Drum, door_load: Weight) -> TorqueRate | None:
    """Torque per turn that holds the hanging door all along the falling part of the drum

    Does not apply to a drum of one radius.

    Formula: weight of the door x drop of the radius per turn
    Unit: N m/turn
    Source: derived; torque and radius fall together

    >>> round(spiral_rate(drum.vertical_lift(0.16, 0.05, 11.0), 2000.0), 6)
    20.0
    """
    setting = drum.spiral_setting(drum_shape, door_load)
    return None if setting is None else setting[0]


def spiral_turns(drum_shape: drum.Drum, door_load: Weight) -> Turns | None:
    """Turns at closed that go with that torque per turn

    Does not apply to a drum of one radius.

    Formula: largest radius / drop of the radius per turn
    Unit: turns
    Source: derived; torque and radius reach zero together

    >>> round(spiral_turns(drum.vertical_lift(0.16, 0.05, 11.0), 2000.0), 6)
    16.0
    """
    setting = drum.spiral_setting(drum_shape, door_load)
    return None if setting is None else setting[1]


def end_travel(drum_shape: drum.Drum) -> Length | None:
    """Travel at which the drum ends

    Does not apply to a drum that runs on at one radius.

    Formula: 2 pi x integral of the radius over the drum's turns
    Unit: m
    Source: derived; arc length

    >>> round(end_travel(drum.table((0.08, 0.06))), 4), end_travel(drum.standard(0.07))
    (0.4398, None)
    """
    return None if drum_shape.flat_after else drum_shape.cables[-1]
