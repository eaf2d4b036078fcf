"""The room: free distances held against points that are tried one by one."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doorlint.figures import obstruction, room, track
from doorlint.figures.graph import Job
from doorlint.mechanics import rolling
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import load

WIDTH, HEIGHT = 3.66, 3.66
PLACES = st.one_of(st.floats(-1.5, 5.0), st.floats(-0.4, 0.1), st.floats(WIDTH - 0.3, WIDTH + 0.2))
DEPTHS = st.floats(0.0, 5.0)
HEIGHTS = st.floats(0.0, 5.0)
SIZES = st.floats(0.05, 1.0)


class Thing(NamedTuple):
    left: float
    right: float
    from_wall: float
    depth: float
    underside: float
    topside: float

    def holds(self, x: float, y: float, z: float) -> bool:
        return (
            self.left < x < self.right
            and self.from_wall < y < self.from_wall + self.depth
            and self.underside < z < self.topside
        )


THINGS = st.builds(
    lambda x, dx, y, dy, z, dz: Thing(x, x + dx, y, dy, z, z + dz), PLACES, SIZES, DEPTHS, SIZES, HEIGHTS, SIZES
)


def track_points(side: str, rise: float, back: float) -> list[tuple[float, float, float]]:
    """Points along the middle of a track: 3.5 m up, 0.38 m radius, 75 mm off the wall, 0.12 m of side room."""
    path = rolling.Path(3.5, 0.38, rise)
    x = -0.06 if side == "left" else WIDTH + 0.06
    end = (back - 0.075 - path.end_y) / path.cos
    steps = [step / 200 for step in range(1, 200)]
    run = [path.arc_end + end * step for step in steps]
    return [(x, y + 0.075, z) for _, y, z, _, _ in (rolling.spot(path, s) for s in [*(3.5 * t for t in steps), *run])]


@given(THINGS, st.sampled_from(["left", "right"]), st.floats(0.0, 0.04))
def test_what_is_clear_of_a_track_holds_no_point_of_it(thing: Thing, side: str, rise: float) -> None:
    path, back = rolling.Path(3.5, 0.38, rise), 4.0
    track_is = (0.12, 3.5, 0.38, rise, 0.076, 0.075, back)
    if side == "left":
        clear = obstruction.track_clear_left(*thing, *track_is)
    else:
        clear = obstruction.track_clear_right(*thing, WIDTH, *track_is)
    inside = any(thing.holds(*point) for point in track_points(side, rise, back))
    assert path.end_y + 0.075 < back
    if inside:
        assert clear < 0.0
    if clear > 0.0:
        assert not inside


@given(
    st.sampled_from(["left", "right"]),
    st.floats(0.16, 0.49),
    SIZES,
    st.floats(0.0, 0.29),
    SIZES,
    st.floats(0.0, 4.3),
    SIZES,
)
def test_moving_a_thing_by_what_it_lacks_clears_the_tower(
    side: str, beside: float, width: float, from_wall: float, depth: float, underside: float, height: float
) -> None:
    left = -beside - width if side == "left" else WIDTH + beside
    thing = Thing(left, left + width, from_wall, depth, underside, underside + height)
    tower_is = (side, 0.15, 0.5, 0.3, 4.4, WIDTH)
    clear = obstruction.tower_clear(*thing, *tower_is)
    assert clear < 0.0
    shifts = [-clear + 1e-9, clear - 1e-9]
    moved = [
        *(thing._replace(left=thing.left + s, right=thing.right + s) for s in shifts),
        *(thing._replace(from_wall=thing.from_wall + s) for s in shifts),
        *(thing._replace(underside=thing.underside + s, topside=thing.topside + s) for s in shifts),
    ]
    assert any(obstruction.tower_clear(*other, *tower_is) >= 0.0 for other in moved)


def test_what_goes_up_to_the_roof_is_never_passed_over() -> None:
    column = (-1.0, 5.0, 0.0, 0.1, 4.5)
    crossing = (WIDTH, 0.12, 0.075, 4.25, 0.1)
    assert obstruction.cable_clear(*column, None, *crossing) == pytest.approx(0.25)
    assert obstruction.cable_clear(-1.0, 5.0, 0.0, 0.1, 0.0, None, *crossing) < 0.0
    assert obstruction.cable_clear(-1.0, 5.0, 0.0, 0.1, 0.0, 4.0, *crossing) == pytest.approx(0.25)


@pytest.mark.parametrize(
    ("left", "right", "from_wall", "underside", "topside", "hangs"),
    [
        (0.0, 1.0, 1.0, 4.2, None, 0.54),
        (0.0, 1.0, 1.0, 3.0, None, -0.66),
        (-1.0, 0.0, 1.0, 4.2, None, None),
        (WIDTH, 5.0, 1.0, 4.2, None, None),
        (0.0, 1.0, 4.2, 4.2, None, None),
        (0.0, 1.0, 1.0, 0.0, 1.2, None),
    ],
    ids=["over the opening", "below the header", "left of it", "right of it", "behind the open door", "on the floor"],
)
def test_headroom_is_measured_over_the_doors_place_only(
    left: float, right: float, from_wall: float, underside: float, topside: float | None, hangs: float | None
) -> None:
    found = obstruction.over_opening(left, right, from_wall, underside, topside, WIDTH, HEIGHT, 0.45)
    assert found == (None if hangs is None else pytest.approx(hangs))


def test_each_side_is_asked_for_its_own_room() -> None:
    assert room.beside_tower("left", 0.8, 0.4) == room.beside_drive("left", 0.8, 0.4) == 0.8
    assert room.beside_tower("right", 0.8, 0.4) == room.beside_drive("right", 0.8, 0.4) == 0.4
    assert room.beside_drive("centre", 0.8, 0.4) is None
    assert room.tower_and_drive("left", "right", 0.5, 0.3) is None
    assert room.tower_and_drive("left", "left", 0.5, 0.3) == pytest.approx(0.8)


@given(st.floats(0.2, 0.6), st.floats(0.0, 0.05), st.floats(1.0, 6.0))
def test_the_back_end_lies_on_the_path(radius: float, rise: float, length: float) -> None:
    path = rolling.Path(3.5, radius, rise)
    _, y, _, _, _ = rolling.spot(path, path.arc_end + length)
    assert track.back_end(0.075, radius, rise, length) == pytest.approx(y + 0.075)
    assert math.isclose(track.back_end(0.0, radius, 0.0, length), radius + length)


MET_BY = ("door_clearance", "track_clear_left", "track_clear_right", "over_opening", "cable_clear", "tower_clear")
AROUND = ("room.ceiling", "room.clear-of", "room.headroom", "room.tower-under", "sweep.obstruction")
THINGS_AROUND = {
    "duct": {"topside": "14'-0\""},
    "rack": {"kind": "other", "from_wall": "60 in", "depth": "12 in", "underside": "6'-0\"", "topside": "11'-0\"",
             "left": "36 in", "right": "60 in"},
    "post": {"kind": "other", "from_wall": "4 in", "depth": "4 in", "underside": "1'-0\"", "left": "-20 in",
             "right": "-10 in"},
    "pole": {"kind": "other", "from_wall": "4 in", "depth": "4 in", "underside": "1'-0\"", "left": "14'-0\"",
             "right": "14'-4\""},
}  # fmt: skip
BARE_SLAB = {
    "opening": {
        "height": dict.fromkeys(("left", "middle", "right"), "12'-4\""),
        "diagonal": {"rising": "17'-2 1/2\"", "falling": "17'-2 1/2\""},
        "floor_finished": "false",
        "floor_to_come": "4 in",
    },
    "room": {
        "ceiling": "17'-4\"",
        "obstructions": {
            "duct": {"underside": "13'-4\"", "topside": "14'-4\""},
            "rack": {"underside": "6'-4\"", "topside": "11'-4\""},
            "post": {"underside": "1'-4\""},
            "pole": {"underside": "1'-4\""},
        },
    },
}
BARE_JAMBS = {
    "opening": {
        "width": dict.fromkeys(("top", "middle", "bottom"), "12'-2\""),
        "diagonal": {"rising": "17'-1 1/16\"", "falling": "17'-1 1/16\""},
        "jambs_finished": "false",
        "jambs_to_come": "1 in",
    },
    "room": {
        "obstructions": {
            "duct": {"left": "-23 in", "right": "14'-1\""},
            "rack": {"left": "37 in", "right": "61 in"},
            "post": {"left": "-19 in", "right": "-9 in"},
            "pole": {"left": "14'-1\"", "right": "14'-5\""},
        }
    },
}


def around(job: Job) -> dict[tuple[str, str, str | None], tuple[Any, ...]]:
    """What the rules say of ceiling and obstructions, at each thing: how it stands, value and limit."""
    return {
        (said.rule, said.pointer, said.key): (said.state, said.value, said.limit)
        for said in load().outcomes(job, "order")
        if said.rule.startswith(AROUND)
    }


@pytest.mark.parametrize("bare", [BARE_SLAB, BARE_JAMBS], ids=["floor to come", "jambs to come"])
def test_a_room_measured_before_it_is_finished_is_the_finished_room(bare: dict[str, Any]) -> None:
    things = {"room": {"obstructions": THINGS_AROUND}}
    specs = [base("duct-behind-header").patched(things).patched(patch) for patch in ({}, bare)]
    assert not [spec.problems for spec in specs if spec.problems]
    finished, measured = (load().job(spec.values, spec.keys) for spec in specs)
    for name in MET_BY:
        for key, was in finished.cell(f"obstruction.{name}").items():
            assert measured.at(f"obstruction.{name}", key) == pytest.approx(was, abs=1e-9), (name, key)
    assert measured.cell("room.roof") == pytest.approx(finished.cell("room.roof"))
    by_rule, said = around(finished), around(measured)
    assert said.keys() == by_rule.keys()
    for place, (state, value, limit) in by_rule.items():
        assert said[place] == (state, pytest.approx(value, abs=1e-9), pytest.approx(limit, abs=1e-9)), place
    short = {rule for (rule, _, _), (state, _, _) in by_rule.items() if state == "short"}
    assert short == {
        "room.headroom-agrees",
        "room.clear-of-left-track",
        "room.clear-of-right-track",
        "sweep.obstruction",
    }
