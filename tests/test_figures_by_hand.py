"""Figures at their corners, worked out by hand: what is not there, what comes last, what lies on the line."""

from __future__ import annotations

import math
from typing import Final

import pytest

from doorlint.errors import MissingInput
from doorlint.figures import (
    box,
    box_chain,
    cable,
    cable_length,
    door,
    door_balance,
    hanger,
    lifting,
    obstruction,
    obstruction_door,
    opening,
    operation,
    overhead,
    pulley,
    section,
    tower,
)  # fmt: skip
from doorlint.figures import sweep as sweep_figures
from doorlint.figures import track as track_figures
from doorlint.figures.notes import note_of
from doorlint.figures.table import Table
from doorlint.mechanics import balance, beam, drum, rolling, stack, sweep, torsion_spring

STRAIGHT = rolling.Path(math.inf)
TURNING = sweep.Sweep(
    rolling.Path(1.85, 0.3), rolling.Door((0.5, 0.7, 0.5, 0.4), (0.0,) * 4, 0.0, 0.0), (0.0,) * 4, 0.04, 0.0, 2.0, 1.95
)
FRAME = rolling.Door((0.5, 0.5), (0.0, 0.0), 0.125, 0.0)


# --- the counterweight ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("travels", "read", "unread"),
    [
        ({"b1": None, "b2": 0.0}, {"r": 0}, 0),  # a vertical lift is read closed
        ({"b1": None, "b2": 0.0}, {"r": 2}, 1),
        ({"b1": 2.0, "b2": 1.0}, {"r": 2}, 1),
        ({"b1": 2.0, "b2": 1.0}, {"r": 2, "s": 1}, 0),
        ({"b1": 2.0, "b2": 1.0}, {"r": 0}, 2),
    ],
)
def test_marks_that_were_not_read(travels: dict[str, float], read: dict[str, int], unread: int) -> None:
    assert tower.marks_unread({"b1": 1, "b2": 2}, travels, read) == unread


def test_only_a_door_that_hangs_straight_has_its_mark_closed() -> None:
    heights = {"s1": None, "s2": None}
    found = box.mark_height({"b1": 1, "b2": 2}, {"b1": None, "b2": 0.0}, heights, FRAME)  # type: ignore[arg-type, dict-item]
    assert found == {"b1": None, "b2": 0.125}


def test_a_spring_stretches_no_further_than_box_1_rises() -> None:
    # the joint stands 0.4 m beyond the start of the curve; in the 0.3 m that are left box 1 rises 0.15 m
    found = box_chain.stretch_wanted(
        {"b1": 2, "b2": 2}, {"b1": 0.3, "b2": 0.0}, {"b1": 400.0, "b2": None}, FRAME, rolling.Path(0.6, 0.2)  # type: ignore[dict-item]
    )  # fmt: skip
    assert found == {"b1": pytest.approx(0.15), "b2": None}


@pytest.mark.parametrize(("heavy", "plates"), [(2.49, 0), (2.51, 1), (-2.49, 0), (-2.51, -1), (7.51, 2)])
def test_a_reading_is_answered_by_the_nearest_number_of_plates(heavy: float, plates: int) -> None:
    found = box.plates_correction({"b1": 1}, {"b1": 1.7}, {"b1": 0.0}, {"b1": 9}, 10.0, {"r": 1}, {"r": heavy})
    assert found == {"b1": plates}


@pytest.mark.parametrize(("goal", "plates"), [(12.49, 2), (12.51, 3), (10.4, 0), (9.0, 0)])
def test_a_box_takes_the_nearest_number_of_plates(goal: float, plates: int) -> None:
    assert box.plates_wanted({"b1": goal}, {"b1": 10.0}, 1.0) == {"b1": plates}


def test_a_vertical_lift_is_put_right_by_what_was_read_closed() -> None:
    def plates(travel: float) -> dict[str, int | None]:
        return box.plates_correction(
            {"b1": 2}, {"b1": travel}, {"b1": 0.0}, {"b1": 9}, 0.5, {"r": 0, "s": 2}, {"r": 1.0, "s": 2.0}
        )

    assert plates(0.0) == {"b1": 4}
    assert plates(1.0) == {"b1": 8}


def test_a_box_without_a_mark_is_not_put_right() -> None:
    rollers, travels, bias = {"b1": 1, "b2": 2}, {"b1": None, "b2": 1.2}, {"b1": None, "b2": 0.0}
    read = {"r": 1, "s": 2}, {"r": 10.0, "s": 10.0}
    found = box.plates_correction(rollers, travels, bias, {"b1": 9, "b2": 9}, 10.0, *read)  # type: ignore[arg-type]
    assert found == {"b1": None, "b2": 2}


def test_a_box_whose_mark_was_not_read_keeps_its_plates_open() -> None:
    rollers, travels, bias = {"b1": 1, "b2": 2}, {"b1": 1.7, "b2": 1.2}, {"b1": 0.0, "b2": 0.0}
    found = box.plates_correction(rollers, travels, bias, {"b1": 9, "b2": 9}, 10.0, {"r": 2}, {"r": 10.0})
    assert found == {"b1": None, "b2": 2}


def test_no_box_gives_up_more_plates_than_it_holds() -> None:
    rollers, travels, bias = {"b1": 1, "b2": 2}, {"b1": 1.7, "b2": 1.2}, {"b1": 0.0, "b2": 0.0}
    read = {"r": 1, "s": 2}, {"r": -200.0, "s": 0.0}
    assert box.plates_correction(rollers, travels, bias, {"b1": 21, "b2": 9}, 10.0, *read) == {"b1": -21, "b2": 21}


def test_boxes_share_evenly_what_sections_without_weight_want() -> None:
    found = box.target(
        {"b1": None, "b2": None, "b3": 600.0}, {"b1": None, "b2": None, "b3": 0.0},  # type: ignore[dict-item]
        {"b1": ("s1",), "b2": ("s2",), "b3": ("s3",)}, {"s1": 0.0, "s2": 0.0, "s3": 0.0}, 3,
    )  # fmt: skip
    assert found == {"b1": 400.0, "b2": 800.0, "b3": 1200.0}


@pytest.mark.parametrize(("slack", "links"), [(6.49, 6), (6.51, 7), (0.4, 0), (-3.0, 0)])
def test_slack_is_made_of_the_nearest_number_of_links(slack: float, links: int) -> None:
    rigid = stack.ChainParts(1.0, math.inf, 0.0)
    plan = box_chain.chain_plan(
        {"b1": 2 * (9.0 - slack), "b2": 0.0},
        {"b1": 5.0, "b2": 5.0},
        {"b1": rigid, "b2": None},
        None,
        9.0,  # type: ignore[dict-item]
    )
    assert plan["b1"] is not None
    assert (plan["b1"].links_wanted, plan["b1"].chain.slack) == (links, links)


# --- the door on its track -----------------------------------------------------------------------------------------


def test_a_frame_weighs_nothing() -> None:
    assert door.frame({"s1": 0.5, "s2": 0.5}, None, None, None, 0.075, 0.075).loads == (0.0, 0.0, 0.0)


def test_a_vertical_lift_has_no_horizontal_track() -> None:
    assert door.edge_height(STRAIGHT, rolling.Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0)) is None
    assert hanger.track_height(2.0, STRAIGHT) is None
    assert hanger.from_wall(2.0, STRAIGHT, 0.075) is None


def test_a_door_that_ends_with_the_curve_takes_up_no_horizontal_track() -> None:
    path = rolling.Path(2.0, 0.2)
    ends = rolling.Trace((1.5, path.arc_end), (0.0, 0.2), (1.5, 2.2), (1.0, 0.0))
    assert door.track_run(path, ends) is None


@pytest.mark.parametrize("lacking", ["springs", "drum"])
def test_a_curve_shows_the_springs_only_when_all_of_them_is_known(lacking: str) -> None:
    known = {"springs": (torsion_spring.Wound(20.0, 7.0),), "drum": drum.standard(0.07)}
    shape = rolling.Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0)

    def closed(springs: object, drum: object) -> tuple[float, float, float | None, float | None]:
        return door_balance.curve(STRAIGHT, shape, 1.0, (None, None), None, None, None, springs, drum)[0]  # type: ignore[arg-type]

    assert closed(**known) == pytest.approx((0.0, 600.0, 2000.0, 1400.0))  # 7 turns x 20 Nm / 0.07 m
    assert closed(**{**known, lacking: None}) == (0.0, 600.0, None, None)


# --- letting go ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("left", "force"),
    [
        (((0.0, -350.0), (1.0, 8.0), (2.0, -30.0)), 30.0),  # open it wants to come down
        (((0.0, -20.0), (1.0, -8.0), (1.5, -45.0), (2.0, 5.0)), 45.0),  # half way it wants to come down
        (((0.0, 0.5), (2.0, 0.2)), 0.5),  # closed it lifts itself, however little
    ],
)
def test_what_a_door_does_by_itself(left: tuple[tuple[float, float], ...], force: float) -> None:
    assert operation.let_go((balance.Mark(1.0, ()),), left) == force


# --- what hangs overhead -------------------------------------------------------------------------------------------


def test_a_hanger_that_is_only_lifted_carries_nothing_and_is_pushed() -> None:
    line = beam.Beam((0.0, 1.0), 2.0)
    track = overhead.Track(line, (), (overhead.Carried(0.0, 0.0, 0.0), overhead.Carried(-5.0, -20.0, -5.0)))
    assert hanger.worst_load("left", 1.0, {"left": track}) == 0.0
    assert hanger.uplift("left", 1.0, {"left": track}) == 20.0
    assert hanger.load("right", 1.0, {"left": track}) is None
    loaded = track._replace(carried=(overhead.Carried(0.0, 0.0, 0.0), overhead.Carried(30.0, 5.0, 40.0)))
    assert hanger.load("left", 1.0, {"left": loaded}) == 30.0
    assert hanger.worst_load("left", 1.0, {"left": loaded}) == 40.0
    assert hanger.uplift("left", 1.0, {"left": loaded}) == 0.0


def test_hangers_are_taken_along_the_track_however_they_are_named() -> None:
    sides, stations = {"a": "right", "b": "left", "c": "right"}, {"a": 1.0, "b": 1.0, "c": 0.5}
    assert hanger.way_to_last(sides, stations) == {"a": None, "b": None, "c": 0.5}
    path, shape = rolling.Path(2.0, 0.2), rolling.Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    tracks = overhead.tracks(path, shape, 1.757786, 0.0, None, 1.0, sides, stations)
    assert list(tracks) == ["left", "right"]
    assert tracks["right"].beam.supports == (0.0, 0.5, 1.0)


def test_the_span_before_a_hanger_begins_at_the_nearest_one() -> None:
    sides = dict.fromkeys("abc", "left")
    assert hanger.gap(sides, {"c": 3.5, "a": 0.5, "b": 1.5}) == {"c": 2.0, "a": 0.5, "b": 1.0}


def test_a_hanger_on_a_steep_track() -> None:
    # three up for four along: the curve ends 0.5 (1 - 3/5) m in and 0.5 x 4/5 m up
    steep = rolling.Path(2.0, 0.5, 0.75)
    assert hanger.from_wall(1.0, steep, 0.1) == pytest.approx(0.1 + 0.2 + 0.8)
    assert hanger.track_height(1.0, steep) == pytest.approx(2.4 + 0.6)


def test_leg_a_of_a_hanger_is_the_one_named_first() -> None:
    stiffer, softer, _ = hanger.section(0.08, 0.05, 0.005).second
    assert stiffer > softer


def test_the_track_that_bends_most_counts() -> None:
    # one load in mid-span: W L / 4
    heavy, light = (overhead.Track(beam.Beam((0.0, 2.0), 2.0), ((1.0, load),), ()) for load in (100.0, 40.0))
    assert overhead.track_bending({"left": light, "right": heavy}, 0.0, 1e-6) == pytest.approx(50e6)


STEEP = rolling.Path(2.0, 0.5, 0.75)
"""Three up for four along: the curve ends at 2.4 m."""


@pytest.mark.parametrize(
    ("path", "parts", "above"),
    [
        (STEEP, (0.1, 2.5, None, None, None, None, None), 0.44),  # the track ends at 2.4 + 1.5, its edge 0.04 higher
        (STEEP, (None, 2.5, None, None, None, None, None), 0.2),
        (STEEP, (0.1, None, None, None, None, None, None), 0.2),
        (STRAIGHT, (0.1, 2.5, None, None, None, None, None), 0.2),
        (STRAIGHT, (None, None, 4.0, None, None, {"a": "head", "b": "box"}, {"a": 0.1, "b": 0.4}), 0.55),
        (STRAIGHT, (None, None, 4.0, None, None, {"a": "head", "b": "crossing"}, {"a": 0.1, "b": 0.2}), 0.6),
        (STRAIGHT, (None, None, 4.0, None, None, None, {"a": 0.1}), 0.55),  # of a pulley anywhere, the worse place
        (STRAIGHT, (None, None, None, 4.0, 0.1, None, None), 0.6),
    ],
)
def test_what_stands_highest_above_the_header(path: rolling.Path, parts: tuple[object, ...], above: float) -> None:
    assert sweep_figures.hardware_height(path, 3.5, 0.2, *parts) == pytest.approx(above)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("parts", "lacking"),
    [
        ((None, None, 4.0, None, None, None, None), "pulley.diameter"),
        ((None, None, 4.0, None, None, {"a": "head"}, {"a": None}), "pulley.diameter"),
        ((None, None, 4.0, None, None, {"a": "head", "b": "head"}, {"a": 0.1, "b": None}), "pulley.diameter"),
        ((None, None, None, 4.0, None, None, None), "torsion.drum.diameter"),
    ],
)
def test_what_stands_highest_is_not_known_without_its_size(parts: tuple[object, ...], lacking: str) -> None:
    with pytest.raises(MissingInput, match=lacking):
        sweep_figures.hardware_height(STRAIGHT, 3.5, 0.2, *parts)  # type: ignore[arg-type]


def test_a_corner_kicks_out_no_farther_than_the_track_leans() -> None:
    # above the vertical track of 1.6 m the clearance stays what it is at its top; the bottom section's own face counts
    turn = sweep.Sweep(rolling.Path(1.6, 0.3), TURNING.door, (0.02, 0.03, 0.03, 0.03), 0.04, 0.0, 2.0, 1.95)
    assert sweep_figures.kick_room(turn, 0.2, 0.02, 0.07, 0.09) == pytest.approx(0.09 - 0.02 - 0.04)
    assert sweep_figures.kick_room(turn, 1.2, 0.02, 0.07, 0.09) == pytest.approx(0.08 - 0.02 - 0.04)


def test_how_far_the_open_door_reaches() -> None:
    # the steep track ends 0.2 m + 4/5 of its 5 m in; a vertical lift stays at its roller line
    assert sweep_figures.reach(TURNING, 0.05, STEEP, 5.0) == pytest.approx(0.05 + 0.2 + 4.0)
    straight = sweep.Sweep(STRAIGHT, FRAME, (0.0, 0.0), 0.04, 0.0, 1.0, 1.0)
    assert sweep_figures.reach(straight, 0.05, STRAIGHT, None) == pytest.approx(0.05)


# --- what stands in the room ---------------------------------------------------------------------------------------

Thing = tuple[float, float, float, float, float, float | None]
"""From and to along the wall, distance from it, depth, underside, top."""


@pytest.mark.parametrize(
    ("thing", "clear"),
    [
        ((0.5, 1.0, 0.0, 0.1, 0.0, 2.0), 0.5),  # in the opening, beside the vertical track
        ((-1.0, 1.0, 0.0, 0.1, 4.0, None), 0.06),  # over the curve
        ((-1.0, 1.0, 1.0, 0.3, 0.0, 3.8), 0.06),  # under the horizontal track
        ((-1.0, 1.0, 1.0, 0.3, 4.0, None), 0.06),  # over it
        ((-1.0, 1.0, 3.7, 0.3, 0.0, None), 0.1),  # behind it
        ((-0.5, -0.3, 1.0, 0.3, 3.0, None), 0.18),  # beside it
        ((-0.5, -0.02, 0.1, 0.2, 0.0, None), -0.1),  # in the vertical track by 0.1 along the wall
    ],
)
def test_room_about_the_left_track(thing: Thing, clear: float) -> None:
    # stands from -0.12 to 0 along the wall; the curve ends 0.48 m in, 3.9 m up; the track is 0.08 m deep, 3.6 m long
    assert obstruction.track_clear_left(*thing, 0.12, 3.5, 0.4, 0.0, 0.08, 0.08, 3.6) == pytest.approx(clear)


@pytest.mark.parametrize(
    ("thing", "clear"),
    [((2.0, 5.0, 1.24, 1.0, 5.4, None), 0.04), ((2.0, 5.0, 1.24, 1.0, 0.0, 4.5), 0.03)],
)
def test_room_about_a_steep_track(thing: Thing, clear: float) -> None:
    # three up for four along: the curve ends 0.24 m in, 3.82 m up; 1 m on the track is at 4.57 m, 2 m on at 5.32 m
    assert obstruction.track_clear_right(*thing, 3.0, 0.12, 3.5, 0.4, 0.75, 0.08, 0.08, 3.6) == pytest.approx(clear)


@pytest.mark.parametrize(
    ("left", "right", "clear"), [(3.05, 3.5, -0.07), (3.2, 3.5, 0.08), (-0.5, -0.3, 0.18), (-0.5, -0.05, -0.07)]
)
def test_room_about_the_far_cable(left: float, right: float, clear: float) -> None:
    # crosses from 0.12 m before the opening of 3 m to 0.12 m behind it
    found = obstruction.cable_clear(left, right, 0.0, 0.3, 4.0, None, 3.0, 0.12, 0.08, 4.25, 0.1)
    assert found == pytest.approx(clear)


@pytest.mark.parametrize(
    ("left", "right", "from_wall", "topside"),
    [(-1.0, 0.0, 1.0, None), (3.0, 4.0, 1.0, None), (0.0, 3.0, 4.0, None), (0.0, 3.0, 1.0, 3.5)],
)
def test_what_only_touches_the_place_of_the_open_door_is_none_of_it(
    left: float, right: float, from_wall: float, topside: float | None
) -> None:
    # an opening of 3 by 3.5 m; the open door reaches half a metre further into the room than it is high
    assert obstruction.over_opening(left, right, from_wall, 3.25, topside, 3.0, 3.5, 0.5) is None


def test_what_hangs_just_inside_the_place_of_the_open_door_counts() -> None:
    assert obstruction.over_opening(-1.0, 0.25, 3.75, 4.0, None, 3.0, 3.5, 0.5) == 0.5
    assert obstruction.over_opening(2.75, 4.0, 3.75, 4.0, 5.0, 3.0, 3.5, 0.5) == 0.5


@pytest.mark.parametrize(
    ("left", "right", "meets"),
    [(-1.0, -0.25, False), (-1.0, -0.125, True), (3.25, 5.0, False), (3.125, 5.0, True)],
)
def test_the_door_comes_as_far_beside_the_opening_as_it_laps(left: float, right: float, meets: bool) -> None:
    found = obstruction_door.door_clearance(left, right, 1.0, 0.2, 2.4, None, 3.0, 0.25, TURNING, {"s1": 0.0}, 0.075)
    assert (found is not None) is meets


def lowest_strut(near: float, far: float, depths: tuple[float, ...]) -> float:
    """Least height that the struts come to between two distances from the roller line, by many places of the door."""
    found = math.inf
    for step in range(391):
        at = rolling.trace(TURNING.path, TURNING.door, step * 0.005)
        for k, depth in enumerate(depths):
            run, rise = at.y[k + 1] - at.y[k], at.z[k + 1] - at.z[k]
            inward, down = depth * rise / math.hypot(run, rise), depth * run / math.hypot(run, rise)
            for share in (number / 50 for number in range(51)):
                if near <= at.y[k] + share * run + inward <= far:
                    found = min(found, at.z[k] + share * rise - down)
    return found


@pytest.mark.parametrize("near", [0.15, 0.25, 0.4, 0.6, 1.0])
@pytest.mark.parametrize("depths", [(0.0,) * 4, (0.0, 0.08, 0.0, 0.0), (0.06, 0.08, 0.06, 0.06)])
def test_what_stands_under_the_door_is_told_no_more_room_than_the_struts_leave(
    near: float, depths: tuple[float, ...]
) -> None:
    named = dict(zip(("s1", "s2", "s3", "s4"), depths, strict=True))
    found = obstruction_door.door_clearance(-1.0, 5.0, near + 0.05, 0.2, 0.0, 1.0, 3.0, 0.02, TURNING, named, 0.05)
    assert found is not None
    left = lowest_strut(near, near + 0.2, depths) - 1.0
    assert left - max(depths) - 0.01 <= found <= left + 1e-6


def test_what_stands_where_the_closed_door_has_its_struts_is_met_at_the_floor() -> None:
    found = obstruction_door.door_clearance(-1.0, 5.0, 0.1, 0.2, 0.0, 0.5, 3.0, 0.02, TURNING, {"s1": 0.0625}, 0.0375)
    assert found == -0.5


@pytest.mark.parametrize(
    ("side", "left", "right", "clear"),
    [
        ("left", -0.1, -0.05, 0.05),  # between jamb and tower
        ("left", -0.9, -0.6, 0.1),
        ("right", 3.0, 3.1, 0.05),
        ("right", 3.6, 3.9, 0.1),
    ],
)
def test_room_about_the_tower(side: str, left: float, right: float, clear: float) -> None:
    # 0.15 m off the jamb, 0.35 m wide, an opening of 3 m
    found = obstruction.tower_clear(left, right, 0.1, 0.1, 0.0, None, side, 0.15, 0.5, 0.3, 4.4, 3.0)
    assert found == pytest.approx(clear)


# --- the rest ------------------------------------------------------------------------------------------------------


BENT: Final = ((None, None), (10.0, "left"), (20.0, "left"), (50.0, "left"))
"""The sharpest bend of a cable and the side of the tower, where there is one."""


def test_a_cable_keeps_what_its_end_or_its_sharpest_bend_leaves() -> None:
    ends = Table("rope-ends", ("end", "kept"), {"end": "exact"}, (("clips", 0.8),))
    bends = Table("rope-over-sheave", ("bend", "kept"), {"bend": "from"}, ((10.0, 0.7), (20.0, 0.9)))
    kept = [cable.strength_kept("clips", bend, side, ends, bends) for bend, side in BENT]
    assert kept == [0.8, 0.7, 0.8, 0.8]
    with pytest.raises(MissingInput, match=r"pulley\.diameter"):
        cable.strength_kept("clips", None, "left", ends, bends)


def test_the_largest_pulley_of_a_sort_counts() -> None:
    at, sides = {"h": "head", "g": "head", "b": "box"}, {"h": "left", "g": "left", "b": None}
    lies = [
        cable_length.wrap("left", 0.0, "left", at, sides, {"h": one, "g": other, "b": 0.1})
        for one, other in ((0.1, 0.2), (0.2, 0.1), (0.2, 0.2))
    ]
    assert lies == pytest.approx([math.pi / 2 * (0.2 + 0.1)] * 3)


def test_each_cable_turns_on_its_own_head_and_the_far_one_at_the_tower_too() -> None:
    at = {"near": "head", "far": "head", "cross": "crossing", "b": "box"}
    sides = {"near": "left", "far": "right", "cross": "left", "b": None}
    sizes = {"near": 0.2, "far": 0.1, "cross": 0.3, "b": 0.1}
    near, far = (cable_length.wrap(side, 0.0, "left", at, sides, sizes) for side in ("left", "right"))
    assert near == pytest.approx(math.pi / 2 * (0.2 + 0.1))
    assert far == pytest.approx(math.pi / 4 * (0.1 + 0.3) + math.pi / 2 * 0.1)


def test_a_rope_that_turns_square_bears_less_than_one_that_turns_right_round() -> None:
    bears = [pulley.cases(at, side, "right", 100.0)[0].force for at, side in (("crossing", "right"), ("head", "left"))]
    assert bears == pytest.approx([100.0 * math.sqrt(2.0)] * 2)
    assert [pulley.cases(at, "right", "right", 100.0)[0].force for at in ("head", "box")] == [200.0, 200.0]


def test_a_header_may_hang_less_than_the_floor_falls() -> None:
    assert opening.header_tilt(3.65, 3.66, 0.02, 0.0762) == pytest.approx(0.01)


def test_a_curve_may_start_low() -> None:
    assert track_figures.main_path("standard", 0.5, 0.3, 0.0).tangent == 0.5


def test_a_geared_hoist_has_no_line_to_haul() -> None:
    bearings = Table("sheave-efficiency", ("bearing", "efficiency"), {"bearing": "exact"}, (("plain", 0.9),))
    assert lifting.advantage(4, "geared", bearings) is None


def test_a_light_is_cut_out_of_skins_and_core() -> None:
    gages = Table("sheet-gage", ("gage", "galvanized"), {"gage": "exact"}, ((24, 0.000701),))
    whole, cut = (section.skin_weight(0.6, 3.0, glass, 24, 24, gages) for glass in (None, 0.45))
    assert cut / whole == pytest.approx(3 / 4)
    assert section.core_weight(0.6, 3.0, 0.05, 0.45, 400.0) == pytest.approx(1.35 * 0.05 * 400.0)


def test_a_twist_of_a_quarter_turn_costs_what_the_manual_prints() -> None:
    # NIOSH 94-110, Table 4: .71 at 90 degrees; hands near and a short lift cost nothing
    assert lifting.posture_multiplier(0.25, 0.25, math.pi / 2) == pytest.approx(0.71, abs=0.005)


def test_a_tackle_whose_load_is_not_told_raises_the_heaviest_section() -> None:
    assert lifting.raised(None, 0.5, None, None, None) == 0.5


def test_a_source_is_told_by_its_parts() -> None:
    def weight() -> float:
        """Weight

        Unit: N
        Source: published; Book of Weights; 2nd; Table 3; in lb; per foot
        """
        return 1.0

    assert note_of(weight).source == ("published", "Book of Weights", "2nd", "Table 3", "in lb; per foot")
