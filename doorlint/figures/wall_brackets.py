"""The wall brackets that carry the guides of a vertical lift above the header, while the door moves."""

from __future__ import annotations

import itertools

from doorlint.errors import ImpossibleInput, MissingInput
from doorlint.figures.kinds import (
    Each,
    Length,
    Pull,
    SectionModulus,
    Stress,
    Text,
    Torque,
    Weight,
    WeightPerLength,
)
from doorlint.mechanics import wall_brackets

SUBJECT = "mount"


def bracket_loads(
    mount_part: Each[Text],
    mount_side: Each[Text | None],
    mount_height: Each[Length | None],
    guide_presses: tuple[tuple[Length, Pull], ...],
    opening_finished_height: Length,
    track_tangent_height: Length,
    track_weight: WeightPerLength,
) -> Each[tuple[Pull, Pull, Weight] | None]:
    """What each wall bracket of a vertical lift carries: at most off the wall, at most onto it, and down

    The vertical track is fastened to the jamb up to the header, which is the lowest pin. Rollers below it press on the
    jamb.

    Formula: continuous beam over header and brackets, free at both ends, worst from open to closed; track weight of its
        share of the guide
    Unit: N
    Source: derived; three-moment equation

    >>> found = bracket_loads({"a": "wall-bracket"}, {"a": "left"}, {"a": 4.0}, ((4.5, 10.0),), 3.0, 5.0, 20.0)
    >>> [round(force, 6) for force in found["a"]]
    [15.0, 0.0, 30.0]
    """
    found: dict[str, tuple[float, float, float] | None] = dict.fromkeys(mount_part)
    for side in ("left", "right"):
        keys = [key for key, part in mount_part.items() if part == "wall-bracket" and mount_side[key] == side]
        if not keys:
            continue
        places = {key: _height(mount_height[key]) for key in keys}
        order = sorted(keys, key=lambda key: places[key])
        pins = (opening_finished_height, *(places[key] for key in order))
        if any(high <= low for low, high in itertools.pairwise(pins)):
            raise ImpossibleInput("two wall brackets at one height, or one below the header")
        pulls = wall_brackets.carried(pins, guide_presses, track_tangent_height)
        lengths = wall_brackets.shares(pins, track_tangent_height)
        for key, (least, most), length in zip(order, pulls[1:], lengths[1:], strict=True):
            found[key] = (max(0.0, most), max(0.0, -least), track_weight * length)
    return found


def _height(height: float | None) -> float:
    if height is None:
        raise MissingInput("mount.height")
    return height


def bracket_height(mount_part: Text, mount_height: Length | None) -> Length | None:
    """Height of a wall bracket above the finished floor

    Does not apply to other mountings.

    Formula: as given
    Unit: m
    Source: derived; from the spec

    >>> bracket_height("wall-bracket", 4.0), bracket_height("pad", None)
    (4.0, None)
    """
    return _height(mount_height) if mount_part == "wall-bracket" else None


def bracket_off(mount_bracket_loads: tuple[Pull, Pull, Weight]) -> Weight:
    """Most that pulls a wall bracket off the wall

    Formula: its reaction where it is away from the wall, worst from open to closed
    Unit: N
    Source: derived; continuous beam on rigid supports

    >>> bracket_off((5.0, 2.0, 30.0))
    5.0
    """
    return mount_bracket_loads[0]


def bracket_hold(mount_bracket_loads: tuple[Pull, Pull, Weight]) -> Weight:
    """What a wall bracket asks of the wall, whichever way

    Formula: larger reaction of the guide, off the wall or onto it, and weight of its share, added
    Unit: N
    Source: derived; on the safe side of their vector sum

    >>> bracket_hold((2.0, 5.0, 30.0))
    35.0
    """
    off, onto, down = mount_bracket_loads
    return max(off, onto) + down


def bracket_moment(mount_bracket_loads: tuple[Pull, Pull, Weight], track_wall_offset: Length) -> Torque:
    """Bending moment of a wall bracket at the wall

    Formula: track weight of its share x wall offset
    Unit: N m
    Source: derived; a cantilever

    >>> bracket_moment((5.0, 2.0, 30.0), 0.1)
    3.0
    """
    return mount_bracket_loads[2] * track_wall_offset


def bracket_stress(mount_bracket_moment: Torque, mount_section_modulus: SectionModulus) -> Stress:
    """Bending stress of a wall bracket at the wall

    Formula: bending moment / section modulus
    Unit: Pa
    Source: derived; bending of a beam

    >>> bracket_stress(3.0, 1e-6)
    3000000.0
    """
    return mount_bracket_moment / mount_section_modulus


def bracket_below(
    mount_part: Each[Text],
    mount_side: Each[Text | None],
    mount_height: Each[Length | None],
    opening_finished_height: Length,
) -> Each[Length | None]:
    """Free guide below a wall bracket, down to the next one or to the header

    Formula: height - height of the next bracket below it on its side, or of the header
    Unit: m
    Source: derived; a difference

    >>> bracket_below({"a": "wall-bracket", "b": "track"}, {"a": "left", "b": "left"}, {"a": 4.0, "b": None}, 3.0)
    {'a': 1.0, 'b': None}
    """
    found: dict[str, float | None] = dict.fromkeys(mount_part)
    for key, part in mount_part.items():
        if part == "wall-bracket":
            here = _height(mount_height[key])
            below = [
                _height(mount_height[other])
                for other, kind in mount_part.items()
                if kind == "wall-bracket" and mount_side[other] == mount_side[key]
            ]
            found[key] = here - max([height for height in below if height < here], default=opening_finished_height)
    return found
