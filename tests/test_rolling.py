"""The door on its track: cases worked by hand, and what is refused."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from door_energy import energy, mark_travels

from doorlint.mechanics.link_statics import on_straight
from doorlint.mechanics.rolling import (
    Door,
    Path,
    ahead,
    behind,
    gain,
    held,
    path_height,
    pull,
    spot,
    trace,
)
from doorlint.mechanics.travel import open_travel, travel_at

R = 0.3
PATH = Path(2.0, R)
DOOR = Door((0.5, 0.5, 0.5, 0.5), (100.0, 200.0, 300.0, 400.0), 0.1, 0.05)


def test_a_level_path_ends_its_curve_one_radius_in_and_up() -> None:
    assert PATH.arc_end == pytest.approx(2.0 + R * math.pi / 2)
    assert (PATH.end_y, PATH.end_z) == pytest.approx((R, 2.0 + R))


def test_a_rising_path_leaves_the_curve_earlier() -> None:
    path = Path(2.0, R, 0.75)  # sides 3, 4, 5
    assert (path.cos, path.sin) == pytest.approx((0.8, 0.6))
    assert (path.end_y, path.end_z) == pytest.approx((R * 0.4, 2.0 + R * 0.8))
    s, y, z, ty, tz = spot(path, path.arc_end + 1.0)
    assert (s, y, z) == pytest.approx((path.arc_end + 1.0, path.end_y + 0.8, path.end_z + 0.6))
    assert (ty, tz) == pytest.approx((0.8, 0.6))


def test_half_way_round_the_curve() -> None:
    s = 2.0 + R * math.pi / 4
    half = math.sqrt(0.5)
    assert spot(PATH, s) == pytest.approx((s, R * (1 - half), 2.0 + R * half, half, half))


def test_vertical_lift_has_no_curve() -> None:
    path = Path(math.inf)
    assert path.arc_end == math.inf
    assert spot(path, 7.0) == (7.0, 0.0, 7.0, 0.0, 1.0)
    assert mark_travels(path, DOOR, 2.0) == (None,) * 4
    assert open_travel(path, DOOR, 1.9) == 1.9
    assert pull(path, DOOR, 1.5) == pytest.approx(1000.0)
    assert path_height(path, 1.0) is None


@pytest.mark.parametrize(
    ("start", "distance"),
    [
        (1.0, 0.4),  # all in the vertical
        (1.5, 0.5),  # to the tangent point exactly
        (1.8, 0.4),  # vertical to arc
        (1.9, 0.6),  # vertical over the whole curve to straight
        (2.0, R * math.sqrt(2)),  # from end to end of the curve
        (2.1, 0.2),  # within the arc
        (2.3, 0.5),  # arc to straight
        (3.0, 0.5),  # all on the straight
    ],
)
@pytest.mark.parametrize("slope", [0.0, 0.02, -0.02])
def test_ahead_and_behind_undo_each_other(start: float, distance: float, slope: float) -> None:
    path = Path(2.0, R, slope)
    here = spot(path, start)
    there = ahead(path, here, distance)
    assert math.hypot(there[1] - here[1], there[2] - here[2]) == pytest.approx(distance, rel=1e-14)
    assert spot(path, there[0]) == pytest.approx(there, abs=1e-14)
    assert behind(path, there, distance) == pytest.approx(here, abs=1e-12)
    step = 1e-6
    later = ahead(path, spot(path, start + step), distance)
    assert (later[0] - there[0]) / step == pytest.approx(gain(here, there), abs=1e-4)


def test_spacings_and_lever_shares() -> None:
    assert DOOR.spacings == pytest.approx((0.4, 0.5, 0.5, 0.45))
    # middle of the bottom section 0.15 above its roller, of the top section 0.25 above the joint
    first, last = 100 * 0.15 / 0.4, 400 * 0.25 / 0.45
    assert DOOR.loads == pytest.approx((100 - first, first + 100, 100 + 150, 150 + 400 - last, last))
    assert sum(DOOR.loads) == pytest.approx(1000.0)


def test_one_section_carries_both_end_rollers() -> None:
    door = Door((1.0,), (100.0,), 0.2, 0.1)
    assert door.spacings == pytest.approx((0.7,))
    assert door.loads == pytest.approx((100 * 0.4 / 0.7, 100 * 0.3 / 0.7))


def test_a_closed_door_hangs_in_full_and_its_energy_is_that_of_its_middles() -> None:
    assert trace(PATH, DOOR, 0.0).s == pytest.approx((0.1, 0.5, 1.0, 1.5, 1.95))
    assert pull(PATH, DOOR, 0.0) == pytest.approx(1000.0)
    assert energy(PATH, DOOR, 0.0) == pytest.approx(100 * 0.25 + 200 * 0.75 + 300 * 1.25 + 400 * 1.75)


def test_pull_at_the_marks_of_a_level_track() -> None:
    """The section just round the curve hangs from its lower roller alone; those above lie flat."""
    path = Path(2.0, 0.25)  # 0.25 sqrt 2 is less than every spacing
    marks = mark_travels(path, DOOR, 2.0)
    pulls = [pull(path, DOOR, mark) for mark in marks if mark is not None]
    f1, f4 = 0.15 / 0.4, 0.25 / 0.45
    assert pulls == pytest.approx([(1 - f1) * 100, 100 + 100, 300 + 150, 600 + (1 - f4) * 400])


def test_a_mark_is_counted_only_between_closed_and_open() -> None:
    marks = [mark for mark in mark_travels(PATH, DOOR, 2.0) if mark is not None]
    assert len(marks) == 4
    assert mark_travels(PATH, DOOR, marks[1]) == (None, *marks[1:])
    assert mark_travels(PATH, DOOR, marks[1] - 1e-9) == (None, None, *marks[2:])
    low = Path(1.2, R)  # the top roller lies beyond the curve already with the door closed
    assert mark_travels(low, DOOR, 2.0)[3] is None
    assert travel_at(low, DOOR, 4, low.arc_end) < 0.0


def test_travel_at_is_the_inverse_of_place() -> None:
    for travel in (-0.2, 0.0, 0.7, 1.3, 1.9, 2.6):
        for roller, s in enumerate(trace(PATH, DOOR, travel).s):
            assert travel_at(PATH, DOOR, roller, s) == pytest.approx(travel, abs=1e-12)


def test_open_in_the_vertical_track_is_the_opening_height() -> None:
    assert open_travel(Path(4.0, R), DOOR, 2.0) == 2.0


def test_open_without_bottom_roller_offset_is_where_the_path_reaches_the_header() -> None:
    door = Door((0.5, 0.5), (1.0, 1.0), 0.0, 0.0)
    assert open_travel(Path(0.85, R), door, 1.0) == pytest.approx(0.85 + R * math.asin(0.5))


def test_a_track_too_low_never_opens_unless_it_rises() -> None:
    door = Door((0.5, 0.5), (1.0, 1.0), 0.1, 0.0)
    assert open_travel(Path(0.6, R), door, 1.0) is None
    assert open_travel(Path(0.6, R, -0.02), door, 1.0) is None
    rising = Path(0.6, R, 0.02)
    travel = open_travel(rising, door, 1.0)
    assert travel is not None
    stand = trace(rising, door, travel)
    assert stand.z[0] - 0.1 * rising.sin == pytest.approx(1.0, abs=1e-12)


def test_a_falling_track_opens_at_the_top_of_its_curve_if_anywhere() -> None:
    door = Door((0.5, 0.5), (1.0, 1.0), 0.0, 0.0)
    travel = open_travel(Path(0.6, R, -0.02), door, 0.6 + R - 1e-6)
    assert travel == pytest.approx(0.6 + R * math.asin(1 - 1e-6 / R), abs=1e-9)


def test_the_line_outside_the_path() -> None:
    path = Path(2.0, R, 0.02)
    assert path_height(path, -0.05, 0.05) == pytest.approx(2.0)
    assert path_height(path, path.end_y) == pytest.approx(path.end_z)
    assert path_height(path, 2.0, 0.05) == pytest.approx(path.end_z + (2.0 - path.end_y) * 0.02 + 0.05 / path.cos)
    assert path_height(path, -0.06, 0.05) is None


@pytest.mark.parametrize("radius", [0.0, -0.1])
def test_a_curve_needs_a_radius(radius: float) -> None:
    with pytest.raises(ValueError, match=r"radius of the curve is .* must be more than 0"):
        Path(2.0, radius)


@pytest.mark.parametrize(("heights", "weights"), [((), ()), ((0.5,), (1.0, 2.0))])
def test_every_section_needs_height_and_weight(heights: tuple[float, ...], weights: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="each section needs both"):
        Door(heights, weights, 0.0, 0.0)


@pytest.mark.parametrize(("heights", "number"), [((0.5, 0.5), 1), ((0.7, 0.4), 2), ((0.9,), 1)])
def test_rollers_of_a_section_must_not_fall_together(heights: tuple[float, ...], number: int) -> None:
    with pytest.raises(ValueError, match=f"the rollers of section {number} fall together; the section must be higher"):
        Door(heights, (1.0,) * len(heights), 0.5, 0.4)


def test_level_track_carries_the_whole_open_door_by_the_lever_rule() -> None:
    bearings = on_straight(PATH, DOOR, 4.0)
    assert [bearing.load for bearing in bearings] == pytest.approx(list(DOOR.loads))
    gaps = [high.distance - low.distance for low, high in pairwise(bearings)]
    assert gaps == pytest.approx(list(DOOR.spacings))


def test_a_door_that_hangs_bears_on_no_straight_track() -> None:
    assert on_straight(Path(math.inf), DOOR, 1.5) == ()


def test_a_roller_at_a_mark_bears_on_the_end_of_the_straight_track() -> None:
    for mark in mark_travels(PATH, DOOR, 3.0):
        assert mark is not None
        assert on_straight(PATH, DOOR, mark)[0].distance == pytest.approx(0.0, abs=1e-9)


def test_the_pull_is_that_of_every_roller_traced() -> None:
    draw = random.Random(3)
    for _ in range(200):
        count = draw.randint(1, 8)
        heights = tuple(draw.uniform(0.35, 0.8) for _ in range(count))
        weights = tuple(draw.uniform(100.0, 2000.0) for _ in range(count))
        door = Door(heights, weights, draw.choice([0.0, 0.075]), draw.choice([0.0, 0.075]))
        path = Path(draw.uniform(0.5, sum(heights) + 1.0), draw.uniform(0.2, 0.55), draw.choice([0.0, 0.02, 0.3]))
        for travel in (0.0, *(draw.uniform(0.0, sum(heights)) for _ in range(10))):
            moving = trace(path, door, travel)
            every = held(door, moving.climb, moving.turn)
            assert pull(path, door, travel) == pytest.approx(every, rel=1e-12, abs=1e-9 * sum(weights))
