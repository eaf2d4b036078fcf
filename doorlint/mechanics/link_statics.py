"""What every roller and every joint of a standing door carries, by the equilibrium of each section.

The door is held by the force F along the guide at its bottom roller. From the top down, each section is in balance
under its weight, what the section above puts on its upper joint, the guide's push square to itself at its upper roller,
and what the section below gives its lower joint. A joint's roller belongs to the section below that joint.

Source: derived; plane statics of rigid sections, without friction.
"""

from __future__ import annotations

from math import cos, hypot, sin

from doorlint.mechanics.rolling import Door, Path, spots, trace
from doorlint.named_tuple import NamedTuple


class Forces(NamedTuple):
    """Both sides together (N): ``normals`` of the rollers from the bottom one up, positive where a roller presses down
    or into the room; ``joints`` what each joint carries, from the lowest up; ``pull`` the force along the guide at the
    bottom roller that holds the door."""

    normals: tuple[float, ...]
    joints: tuple[float, ...]
    pull: float


def forces(path: Path, door: Door, travel: float) -> Forces:
    """What rollers and joints carry at ``travel`` (m) from closed.

    On a level track the normals are the shares of the lever rule:

    >>> door = Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> found = forces(Path(2.0, 0.2), door, 1.757786)
    >>> [round(normal, 3) for normal in found.normals], round(found.pull, 3)
    ([0.0, 250.0, 150.0], 200.0)
    """
    places = spots(path, door, travel)
    above_y, above_z = 0.0, 0.0  # what the section above puts on the upper joint of this one
    normals: list[float] = []
    joints: list[float] = []
    for section in range(len(door.weights), 0, -1):
        _, low_y, low_z, _, _ = places[section - 1]
        _, high_y, high_z, out_z, along_z = places[section]
        to_y, to_z, out_y = high_y - low_y, high_z - low_z, -along_z
        weight = door.weights[section - 1]
        middle_y = _middle(door, section, to_y, to_z)
        # moments about the lower joint: the guide's push, the load from above, the weight
        turning = to_y * above_z - to_z * above_y - middle_y * weight
        normal = -turning / (to_y * out_z - to_z * out_y)
        push_y, push_z = normal * out_y + above_y, normal * out_z + above_z - weight
        normals.append(normal)
        joints.append(hypot(push_y, push_z))
        above_y, above_z = push_y, push_z
    _, _, _, along_y, along_z = places[0]
    pull = -(above_y * along_y + above_z * along_z)
    normals.append(above_y * along_z - above_z * along_y)
    return Forces(tuple(reversed(normals)), tuple(reversed(joints[:-1])), pull)


class Bearing(NamedTuple):
    """One roller on a straight track: ``distance`` behind the main curve along the main track (m), and what it presses
    on its guide with, square to it (N, both sides together)."""

    distance: float
    load: float


def on_straight(path: Path, door: Door, travel: float) -> tuple[Bearing, ...]:
    """What the rollers press on the straight track behind the curve with, lowest roller first.

    A top roller on its own guide is not among them.

    >>> door = Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> [(round(one.distance, 4), round(one.load, 3)) for one in on_straight(Path(2.0, 0.2), door, 1.757786)]
    [(0.0, 250.0), (0.5, 150.0)]
    """
    at, normals = trace(path, door, travel), forces(path, door, travel).normals
    own = len(at.s) if path.upper is None else len(at.s) - 1
    return tuple(
        Bearing(max(s - path.arc_end, 0.0), normal)
        for s, normal in zip(at.s[:own], normals, strict=False)
        if s >= path.arc_end - 1e-9  # at a pick-up travel the roller stands on the end itself
    )


def on_upper(path: Path, door: Door, travel: float) -> Bearing | None:
    """What the top roller presses on the straight part of its own guide with, at its station beside the main track.

    None while it is in the curve, and for a door with one guide.
    """
    if path.upper is None:
        return None
    at = trace(path, door, travel)
    if at.s[-1] < path.upper.arc_end - 1e-9:
        return None
    station = (at.y[-1] - path.end_y) * path.cos + (at.z[-1] - path.end_z) * path.sin
    return Bearing(station, forces(path, door, travel).normals[-1])


def _middle(door: Door, section: int, to_y: float, to_z: float) -> float:
    """How far into the room a section's mid-height lies from its lower roller (m)."""
    along = door.heights[section - 1] / 2 - (door.bottom_roller if section == 1 else 0.0)
    if section == len(door.heights) and door.tilt:
        to_y = to_y * cos(door.tilt) - to_z * sin(door.tilt)
    return along * to_y / door.spacings[section - 1]
