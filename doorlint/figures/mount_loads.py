"""What acts on each mounting: forces, where they act, and for how long.

Seen from inside, u points toward the opening (to the right for a mounting in the center), v up, n into the room.
"""

from __future__ import annotations

from doorlint.errors import MissingInput, NotModelled
from doorlint.figures.fixing_inputs import given
from doorlint.figures.kinds import Each, Flag, Length, Position, Pull, Text, Torque, Weight, WeightPerLength
from doorlint.mechanics.connections import group
from doorlint.mechanics.connections.group import Force
from doorlint.mechanics.connections.mounting import HOISTING, LASTING, SHORT, USUAL, Load

SUBJECT = "mount"
ON_THE_PAD = 0.05
"""A spring or bearing is on a pad whose station is this close to its own (m)."""


def load_at(mount_acts_across: Position, mount_acts_up: Position, mount_acts_out: Position) -> group.Vector:
    """Where the load of a mounting acts, from the middle of its fasteners

    Formula: as given: along the wall, up, off the wall
    Unit: m
    Source: derived; from the spec

    >>> load_at(0.0, 0.1, 0.2)
    (0.0, 0.1, 0.2)
    """
    return mount_acts_across, mount_acts_up, mount_acts_out


def crossing_at(
    mount_acts_crossing_across: Position, mount_acts_crossing_up: Position, mount_acts_crossing_out: Position
) -> group.Vector:
    """Where the crossing cable turns down at a head plate, from the middle of its fasteners

    Formula: as given: along the wall, up, off the wall
    Unit: m
    Source: derived; from the spec

    >>> crossing_at(0.0, 0.1, 0.2)
    (0.0, 0.1, 0.2)
    """
    return mount_acts_crossing_across, mount_acts_crossing_up, mount_acts_crossing_out


def on_track_bracket(
    mount_part: Text, mount_parts_here: tuple[str, ...], track_weight: WeightPerLength, track_angle_length: Length
) -> Weight | None:
    """What the vertical track weighs on a track mounting

    Formula: weight of track and angle x length of the wall angle / track mountings of this side
    Unit: N
    Source: practice; the vertical track is taken to weigh what the horizontal one does

    >>> on_track_bracket("track", ("track",), 30.0, 3.0), on_track_bracket("head-plate", (), 30.0, 3.0)
    (90.0, None)
    """
    return track_weight * track_angle_length / mount_parts_here.count("track") if mount_part == "track" else None


def pad_loads(
    mount_part: Text,
    mount_station: Length | None,
    spring_torque: Each[Torque],
    spring_anchor_station: Each[Length],
    spring_weight: Each[Weight],
    bearing_station: Each[Length],
    bearing_down: Each[Pull],
    torsion_shaft_length: Length,
    torsion_shaft_from_wall: Length,
) -> tuple[Load, ...] | None:
    """What springs and center bearing put on a spring pad, door closed

    A pad without a station is taken to hold every spring and every bearing between the ends of the shaft. The torque
    is taken the way round that adds to the weight.

    Formula: torques of the springs anchored there; their weight and the bearing's load at the shaft
    Unit: N
    Source: derived; statics, the torque on the safe side

    >>> (one,) = pad_loads("spring-pad", None, {"a": 100.0}, {"a": 1.0}, {"a": 50.0}, {}, {}, 2.0, 0.1)
    >>> one.force.force, one.force.couple
    ((0.0, -50.0, 0.0), (100.0, 0.0, 0.0))
    """
    if mount_part != "spring-pad":
        return None

    def here(station: float) -> bool:
        return mount_station is None or abs(station - mount_station) <= ON_THE_PAD

    springs = [key for key, station in spring_anchor_station.items() if here(station)]
    down = sum(spring_weight[key] for key in springs) + sum(
        max(bearing_down[key], 0.0)
        for key, station in bearing_station.items()
        if 0.0 < station < torsion_shaft_length and here(station)
    )
    if not springs and down <= 0.0:
        raise NotModelled("nothing is anchored at the station of this pad")
    torque = sum(spring_torque[key] for key in springs)
    at = (0.0, 0.0, torsion_shaft_from_wall)
    return (Load(Force((0.0, -down, 0.0), at, (torque, 0.0, 0.0)), LASTING),)


def shaft_loads(
    mount_part: Text,
    mount_acts_across: Position,
    torsion_mount: Text,
    torsion_pull_closed: Pull,
    torsion_shaft_from_wall: Length,
    track_wall_offset: Length,
) -> tuple[Load, ...] | None:
    """What shaft and cable put on a head plate of a torsion door, closed

    A rear shaft pulls its cables level toward the back: the pulley at the head plate turns them.

    Formula: front: half the pull down at the shaft; rear: half the pull down and half into the room at the pulley
    Unit: N
    Source: derived; statics

    >>> shaft_loads("head-plate", 0.0, "front", 2000.0, 0.1, 0.07)[0].force.force
    (0.0, -1000.0, 0.0)
    """
    if mount_part != "head-plate":
        return None
    half = max(torsion_pull_closed, 0.0) / 2
    if torsion_mount == "front":
        return (Load(Force((0.0, -half, 0.0), (mount_acts_across, 0.0, torsion_shaft_from_wall)), LASTING),)
    return (Load(Force((0.0, -half, half), (mount_acts_across, 0.0, track_wall_offset)), LASTING),)


def tower_loads(
    mount_part: Text,
    mount_side: Text | None,
    mount_load_at: group.Vector | None,
    mount_crossing_at: group.Vector | None,
    overhead_tie_height: Length | None,
    tower_side: Text,
    tower_cable_tension: Weight,
    tower_head_pulley_height: Length | None,
    tower_head_off: Position | None,
    tower_kick: Weight | None,
) -> tuple[Load, ...] | None:
    """What the lift cables of a tower put on a mounting, door closed

    With T the pull of each cable. Head plate of the tower's side: 2T down at the near pulley; T down and T toward the
    opening where the far cable turns down. Far head plate: T down, T toward the tower. Head of the tower: its tie holds
    T along the wall and the lever of 5T off it. Foot: what the tie leaves, and the kick. A pulley: 2T down. Whether
    the pulleys are on the wall or on the tower is not asked: each is checked at its full load.

    Formula: head T h_pulley / h_tie along, 5T e / h_tie off; foot T (1 - h_pulley / h_tie) along, 5T e / h_tie back
    Unit: N
    Source: derived; statics of the pulleys and of the tower on its foot and tie

    >>> far = tower_loads("head-plate", "left", (0.0, 0.0, 0.1), None, None, "right", 1000.0, 4.0, 0.0, None)
    >>> far[0].force.force
    (1000.0, -1000.0, 0.0)
    """
    pull = tower_cable_tension
    if mount_part == "head-plate":
        at = given(mount_load_at, "mount.load_at")
        if mount_side is None:
            raise MissingInput("mount.side")
        if mount_side != tower_side:
            return (Load(Force((pull, -pull, 0.0), at), LASTING),)
        crossing = given(mount_crossing_at, "mount.crossing_at")
        return (
            Load(Force((0.0, -2 * pull, 0.0), at), LASTING),
            Load(Force((pull, -pull, 0.0), crossing), LASTING),
        )
    if mount_part == "pulley":
        return (Load(Force((0.0, -2 * pull, 0.0), given(mount_load_at, "mount.load_at")), LASTING),)
    if mount_part not in {"tower-head", "tower-foot"}:
        return None
    tie = given(overhead_tie_height, "overhead.tie_height")
    share = given(tower_head_pulley_height, "tower.head_pulley_height") / tie
    lever = 5 * pull * abs(given(tower_head_off, "tower.head_off")) / tie
    if mount_part == "tower-head":
        return (Load(Force((pull * share, 0.0, lever), given(mount_load_at, "mount.load_at")), LASTING),)
    foot = Load(Force((pull * abs(1.0 - share), lever, 0.0)), LASTING)
    return (foot,) if tower_kick is None else (foot, Load(Force((0.0, tower_kick, 0.0)), SHORT))


def track_loads(
    mount_part: Text, mount_track_bearing: Weight | None, mount_roller_line: Position, track_wall_offset: Length
) -> tuple[Load, ...] | None:
    """What the front end of the horizontal track puts on a head plate

    Formula: greatest reaction of the track, down, at the roller line
    Unit: N
    Source: derived; continuous beam on rigid supports

    >>> track_loads("head-plate", 300.0, 0.05, 0.07)[0].force
    Force(force=(0.0, -300.0, 0.0), at=(0.05, 0.0, 0.07), couple=(0.0, 0.0, 0.0))
    """
    if mount_part != "head-plate":
        return None
    bearing = max(given(mount_track_bearing, "mount.track_bearing"), 0.0)
    return (Load(Force((0.0, -bearing, 0.0), (mount_roller_line, 0.0, track_wall_offset)), LASTING),)


def drive_loads(
    mount_part: Text, mount_load_at: group.Vector, operation_pull: Weight, operation_weight: Weight
) -> tuple[Load, ...] | None:
    """What a drive puts on its bracket

    Formula: its weight and its greatest pull, both down where they act
    Unit: N
    Source: derived; statics

    >>> [load.force.force[1] for load in drive_loads("operator", (0.0, 0.0, 0.1), 600.0, 200.0)]
    [-200.0, -600.0]
    """
    if mount_part != "operator":
        return None
    return (
        Load(Force((0.0, -operation_weight, 0.0), mount_load_at), LASTING),
        Load(Force((0.0, -operation_pull, 0.0), mount_load_at), USUAL),
    )


def hoist_loads(
    mount_part: Text, mount_fixing_across: Flag | None, mount_load_at: group.Vector | None, lifting_point_load: Weight
) -> tuple[Load, ...] | None:
    """What the tackle puts on the point it hangs from

    Formula: load + tackle + hauling pull: down, out of a ceiling or across fasteners in the side of a beam
    Unit: N
    Source: derived; statics

    >>> hoist_loads("hoist-point", None, None, 500.0)[0].force.force
    (0.0, 0.0, 500.0)
    """
    if mount_part != "hoist-point":
        return None
    if mount_fixing_across:
        at = given(mount_load_at, "mount.load_at")
        return (Load(Force((0.0, -lifting_point_load, 0.0), at), HOISTING),)
    return (Load(Force((0.0, 0.0, lifting_point_load), mount_load_at or (0.0, 0.0, 0.0)), HOISTING),)


def wall_loads(
    mount_part: Text, mount_bracket_loads: tuple[Pull, Pull, Weight] | None, track_wall_offset: Length
) -> tuple[Load, ...] | None:
    """What the guide of a vertical lift puts on a wall bracket

    Formula: its largest reaction off the wall and the weight of its share of the guide, at the roller line
    Unit: N
    Source: derived; continuous beam on rigid supports

    >>> wall_loads("wall-bracket", (5.0, 2.0, 30.0), 0.1)[0].force.force
    (0.0, -30.0, 5.0)
    """
    if mount_part != "wall-bracket":
        return None
    off, _, down = given(mount_bracket_loads, "mount.bracket_loads")
    return (Load(Force((0.0, -down, off), (0.0, 0.0, track_wall_offset)), LASTING),)


def loads(
    mount_part: Text,
    tower_side: Text | None,
    mount_tower_loads: tuple[Load, ...] | None,
    mount_shaft_loads: tuple[Load, ...] | None,
    mount_track_loads: tuple[Load, ...] | None,
    mount_pad_loads: tuple[Load, ...] | None,
    mount_drive_loads: tuple[Load, ...] | None,
    mount_hoist_loads: tuple[Load, ...] | None,
    mount_wall_loads: tuple[Load, ...] | None,
) -> tuple[Load, ...] | None:
    """Everything that acts on a mounting, each with the factor for how long it lasts

    Does not apply to tracks, whose brackets stand in one column, nor to parts of a counterbalance that the job has not.

    Formula: loads of cables or shaft, track, springs, drive and tackle, by part
    Unit: N
    Source: derived; the load path

    >>> loads("spring-pad", None, None, None, None, (), None, None, None)
    ()
    """
    if mount_part == "head-plate":
        name = "mount.shaft_loads" if tower_side is None else "mount.tower_loads"
        cables = given(mount_shaft_loads if tower_side is None else mount_tower_loads, name)
        return cables + given(mount_track_loads, "mount.track_loads")
    if mount_part in {"tower-head", "tower-foot", "pulley"}:
        return None if tower_side is None else given(mount_tower_loads, "mount.tower_loads")
    if mount_part == "spring-pad":
        return given(mount_pad_loads, "mount.pad_loads")
    if mount_part == "operator":
        return given(mount_drive_loads, "mount.drive_loads")
    if mount_part == "wall-bracket":
        return given(mount_wall_loads, "mount.wall_loads")
    if mount_part == "hoist-point":
        return given(mount_hoist_loads, "mount.hoist_loads")
    return None
