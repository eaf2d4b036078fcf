"""What the door sweeps: cases worked by hand."""

from __future__ import annotations

import math

import pytest

from doorlint.mechanics.rolling import Door, Path
from doorlint.mechanics.sweep import (
    BOTTOM,
    EDGE,
    FACE,
    TOP,
    Sweep,
    depth,
    envelope,
    free_height,
    headroom,
    inside_curve,
    outward_kick,
)
from doorlint.mechanics.travel import open_travel

INCH = 0.0254


def build(
    *, radius: float = 12, rise: float = 0.0, lift: float = -6, top: float = 3, bottom: float = 3, heights: int = 24
) -> Sweep:
    """A door of five sections, 2 in thick and 1/2 in off the roller line; inches, inches per foot."""
    opening = 5 * heights * INCH
    door = Door((heights * INCH,) * 5, (700.0,) * 5, bottom * INCH, top * INCH)
    path = Path(opening + lift * INCH, radius * INCH, rise / 12) if radius else Path(math.inf)
    travel = open_travel(path, door, opening)
    assert travel is not None
    return Sweep(path, door, (0.5 * INCH,) * 5, 2 * INCH, 3 * INCH, opening, travel)


def test_headroom_of_a_level_track_is_the_diagonal_over_the_roller_line() -> None:
    found = headroom(build())
    assert found.height / INCH == pytest.approx(12 - 6 + math.hypot(3, 2.5))
    assert (found.section, found.part) == (5, TOP)


def test_headroom_without_top_offset_is_the_outer_face_lying_flat() -> None:
    assert headroom(build(top=0)).height / INCH == pytest.approx(12 - 6 + 2.5)


def test_the_back_end_governs_on_a_rising_track() -> None:
    sweep = build(rise=0.25)
    found = headroom(sweep)
    assert found.travel == pytest.approx(sweep.open_at)
    assert found.distance == pytest.approx(depth(sweep), abs=0.1)
    path = sweep.path
    run = sweep.open_s[-1] - path.arc_end + 3 * INCH
    over = path.end_z + run * path.sin + 2.5 * INCH * path.cos
    assert found.height == pytest.approx(over - sweep.opening_height)


def test_the_crest_governs_while_the_rise_is_small() -> None:
    found = headroom(build(rise=1 / 16))
    assert found.travel < 1.0
    assert found.height / INCH > 12 - 6 + math.hypot(3, 2.5)


def test_a_crest_under_an_obstruction_counts_though_the_back_end_is_higher() -> None:
    sweep = build(rise=0.25)
    (z, y, _, part, _) = sweep.crests[0]
    over_crest = free_height(sweep, y + sweep.wall - 0.01, y + sweep.wall + 0.01)
    assert over_crest is not None
    assert over_crest.height == pytest.approx(z - sweep.opening_height)
    assert over_crest.part == part == TOP
    assert headroom(sweep).height > over_crest.height


def test_what_hangs_beyond_the_back_end_meets_nothing() -> None:
    sweep = build()
    assert free_height(sweep, depth(sweep) + 0.001, depth(sweep) + 1) is None
    assert envelope(sweep, [depth(sweep) + 0.001, 0.0]) == (None, envelope(sweep, [0.0])[0])


def test_along_a_level_track_the_outer_face_is_what_is_highest() -> None:
    found = free_height(build(), 60 * INCH, 80 * INCH)
    assert found is not None
    assert found.height / INCH == pytest.approx(12 - 6 + 2.5)
    assert found.part in (FACE, TOP, BOTTOM)


def test_vertical_lift_stands_over_the_opening_by_its_own_height() -> None:
    sweep = build(radius=0)
    found = headroom(sweep)
    assert found.height == pytest.approx(sweep.opening_height)
    assert found.travel == pytest.approx(sweep.opening_height)
    assert found.distance / INCH == pytest.approx(0.5)
    assert depth(sweep) / INCH == pytest.approx(2.5)
    assert inside_curve(sweep, (0.0,) * 5) is None
    assert outward_kick(sweep).outward == 0.0
    between = free_height(sweep, 1.0 * INCH, 1.5 * INCH)
    assert between is not None
    assert (between.section, between.part) == (5, EDGE)


def test_the_bottom_corner_swings_out_by_the_diagonal() -> None:
    kick = outward_kick(build(radius=10))
    assert kick.outward / INCH == pytest.approx(math.hypot(3, 2.5) - 2.5)
    level = 21 * 2.5 / math.hypot(3, 2.5) - 10  # roller and corner under the start of the curve, level with each other
    assert kick.below / INCH == pytest.approx(6 + level)


def test_the_bottom_corner_does_not_swing_out_without_an_offset() -> None:
    assert outward_kick(build(bottom=0)).outward == 0.0


def test_on_a_wide_curve_the_corner_is_farthest_out_at_the_height_of_its_centre() -> None:
    """With both rollers on the arc the section turns about the centre, 6 in below the header."""
    assert outward_kick(build(radius=20)).below / INCH == pytest.approx(6)


def test_what_is_left_inside_the_curve() -> None:
    even = 12 * math.sqrt(2) - 24 / 2  # a section standing evenly across a level curve
    found = inside_curve(build(), (0.0,) * 5)
    assert found is not None
    assert found.radius / INCH == pytest.approx(even + 0.5)
    strutted = inside_curve(build(), (0.0, 0.0, 3 * INCH, 0.0, 0.0))
    assert strutted is not None
    assert strutted.radius / INCH == pytest.approx(even + 0.5 - 3)
    assert strutted.section == 3


def test_both_rollers_on_a_wide_curve_leave_the_chord() -> None:
    found = inside_curve(build(radius=20), (0.0,) * 5)
    assert found is not None
    assert found.radius / INCH == pytest.approx(math.sqrt(20**2 - 12**2) + 0.5)


def test_stand_offs_and_sections_must_match() -> None:
    sweep = build()
    with pytest.raises(ValueError, match="4 stand-offs for 5 sections"):
        Sweep(sweep.path, sweep.door, (0.0,) * 4, 0.05, 0.1, 2.0, 2.0)
