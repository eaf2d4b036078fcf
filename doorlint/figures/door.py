"""The door as a whole: its shape, and how it stands on the track."""

from __future__ import annotations

import math
from math import inf

from doorlint.errors import ImpossibleInput
from doorlint.figures.error_gain import error_gain
from doorlint.figures.kinds import Each, Length, Position, Ratio, Weight
from doorlint.mechanics import balance, rolling
from doorlint.mechanics.travel import open_travel as open_travel_of

SLACK = 1e-9
"""Share by which a size may exceed a limit and still meet it, as in a rule."""


def load(section_load: Each[Weight]) -> Weight:
    """Weight of the door that the job works with

    Formula: sum of the sections
    Unit: N
    Source: derived; sum of the parts

    >>> load({"s1": 700.0, "s2": 650.0})
    1350.0
    """
    return sum(section_load.values())


def load_band(section_load_band: Each[Weight]) -> Weight:
    """How far the door's weight may be off, up or down

    Formula: sum of the sections' bands, as if all were off the same way
    Unit: N
    Source: derived; a list that is too light is too light for every section

    >>> load_band({"s1": 35.0, "s2": 0.0})
    35.0
    """
    return sum(section_load_band.values())


def heavy_share(door_load: Weight, door_load_band: Weight, door_water_or_ice: Weight | None) -> Ratio:
    """How much heavier than it is said to be the door may be

    Formula: (weight + what it may be off + water or ice it may take up) / weight
    Unit: 1
    Source: derived; from how the weights came to be known

    >>> heavy_share(1000.0, 50.0, None), heavy_share(1000.0, 50.0, 100.0)
    (1.05, 1.15)
    """
    return (door_load + door_load_band + (door_water_or_ice or 0.0)) / door_load


def height(section_height: Each[Length]) -> Length:
    """Height of the door

    Formula: sum of the sections
    Unit: m
    Source: derived; sum of the parts

    >>> height({"s1": 0.6, "s2": 0.5})
    1.1
    """
    return sum(section_height.values())


def frame(
    section_height: Each[Length],
    door_bottom_roller: Length | None,
    door_top_roller: Position | None,
    door_top_inward: Position | None,
    practice_bottom_roller: Length,
    practice_top_roller: Length,
) -> rolling.Door:
    """Rollers and joints of the door, without its weight

    A section's weight acts between its rollers, or it tips out of its track.

    Formula: a roller near the bottom edge, one at every joint, one near the top edge
    Unit: m
    Source: derived; the sections as the spec gives them

    >>> frame({"s1": 0.5, "s2": 0.5}, 0.1, None, None, 0.075, 0.075).spacings
    (0.4, 0.425)
    """
    heights = tuple(section_height.values())
    bottom = practice_bottom_roller if door_bottom_roller is None else door_bottom_roller
    top = practice_top_roller if door_top_roller is None else door_top_roller
    if bottom > heights[0] / 2 * (1 + SLACK):
        raise ImpossibleInput("both rollers of the bottom section are above its middle")
    if top > heights[-1] / 2 * (1 + SLACK):
        raise ImpossibleInput("both rollers of the top section are below its middle")
    try:
        return rolling.Door(heights, (0.0,) * len(heights), bottom, top, door_top_inward or 0.0)
    except ValueError as refused:
        raise ImpossibleInput(str(refused)) from None


def shape(door_frame: rolling.Door, section_load: Each[Weight]) -> rolling.Door:
    """The door with its weight

    Formula: each section's weight split to its two rollers by the lever rule
    Unit: N
    Source: derived; a section's weight acts at its mid-height

    >>> shape(rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0), {"s1": 300.0, "s2": 300.0}).loads
    (187.5, 262.5, 150.0)
    """
    return rolling.Door(
        door_frame.heights,
        tuple(section_load.values()),
        door_frame.bottom_roller,
        door_frame.top_roller,
        door_frame.top_inward,
    )


@error_gain(by_curve={"stays": 2.0, "free": inf})
def open_travel(track_path: rolling.Path, door_frame: rolling.Door, opening_finished_height: Length) -> Length:
    """Travel of the bottom roller from closed to open

    Open is the door whose bottom edge stands at the header.

    Formula: run along the track that brings the bottom edge to the header height
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> open_travel(rolling.Path(math.inf), rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0), 1.0)
    1.0
    """
    travel = open_travel_of(track_path, door_frame, opening_finished_height)
    farthest = track_path.arc_end + door_frame.spacings[0] - door_frame.bottom_roller
    if travel is None or travel > farthest * (1 + SLACK):
        raise ImpossibleInput("the track is too low for the bottom edge to clear the opening")
    return travel


def edge_height(track_path: rolling.Path, door_frame: rolling.Door) -> Length | None:
    """Highest that the bottom edge can go

    On a level track that is the roller line. On a rising one the bottom section may lie on the straight track, but its
    lower roller no farther behind the curve than its upper one: no cable over the opening draws it on. Does not apply
    to a vertical lift.

    Formula: end of the curve + (roller spacing of the bottom section - bottom roller) x sin of the rise, where it rises
    Unit: m
    Source: derived; the bottom edge lies on the roller line

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0)
    >>> edge_height(rolling.Path(2.0, 0.3), door), round(edge_height(rolling.Path(2.0, 0.3, 0.02), door), 6)
    (2.3, 2.305939)
    """
    if track_path.tangent == math.inf:
        return None
    return track_path.end_z + (door_frame.spacings[0] - door_frame.bottom_roller) * max(track_path.sin, 0.0)


@error_gain(by_curve={"free": inf})
def marks(
    track_path: rolling.Path, door_frame: rolling.Door, door_open_travel: Length
) -> tuple[balance.Mark | None, ...]:
    """The door with each roller in turn at the pick-up point

    The pick-up point is where the curve runs out into the horizontal track. A roller that does not get
    there between closed and open has no mark.

    Formula: travel of the bottom roller, and how fast every roller climbs
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> door = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.125, 0.0)
    >>> [mark and round(mark.travel, 6) for mark in marks(rolling.Path(2.0, 0.2), door, 1.5)]
    [None, 1.241742]
    """
    return balance.marks(track_path, door_frame, door_open_travel)


@error_gain(by_curve={"stays": 2.0, "free": inf})
def opened(track_path: rolling.Path, door_frame: rolling.Door, door_open_travel: Length) -> rolling.Trace:
    """The rollers of the open door

    Formula: place of every roller on the track, and how fast it climbs
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> opened(rolling.Path(math.inf), rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0), 1.0).z
    (1.1, 1.5, 2.0)
    """
    return rolling.trace(track_path, door_frame, door_open_travel)


def top_roller_open(door_opened: rolling.Trace) -> Length:
    """Top roller of the open door, above the finished floor

    Formula: height of the top roller at the travel of the open door
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> top_roller_open(rolling.Trace((1.1, 2.0), (0.0, 0.0), (1.1, 2.0), (1.0, 1.0)))
    2.0
    """
    return door_opened.z[-1]


def first_height(section_height: Each[Length]) -> Length:
    """Height of the bottom section

    Formula: height of the first section
    Unit: m
    Source: derived; the sections as the spec gives them

    >>> first_height({"s1": 0.6, "s2": 0.5})
    0.6
    """
    return next(iter(section_height.values()))


def last_height(section_height: Each[Length]) -> Length:
    """Height of the top section

    Formula: height of the last section
    Unit: m
    Source: derived; the sections as the spec gives them

    >>> last_height({"s1": 0.6, "s2": 0.5})
    0.5
    """
    return list(section_height.values())[-1]


@error_gain(by_curve={"moves": 0.0})
def track_run(track_path: rolling.Path, door_opened: rolling.Trace) -> Length | None:
    """Horizontal track that the open door takes up

    Formula: end of the curve to the top roller of the open door
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> path, door = rolling.Path(2.0, 0.2), rolling.Door((0.5, 0.5), (0.0, 0.0), 0.125, 0.0)
    >>> round(track_run(path, opened(path, door, 1.757786)), 4)
    0.5
    """
    run = door_opened.s[-1] - track_path.arc_end
    return run if run > 0.0 else None


def bracket_open(door_opened: rolling.Trace) -> Length:
    """Bottom roller of the open door, above the finished floor

    Formula: height of the bottom roller at the travel of the open door
    Unit: m
    Source: derived; rigid sections on the roller path

    >>> bracket_open(rolling.Trace((1.1, 2.0), (0.0, 0.0), (1.1, 2.0), (1.0, 1.0)))
    1.1
    """
    return door_opened.z[0]
