"""The opening: what governs, and what gives a wrong reading away."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doorlint.errors import MissingInput
from doorlint.figures import opening

LENGTHS = st.floats(1.8, 12.0)
SLIPS = st.floats(-0.02, 0.02)
FOOT = 0.3048
INCH = 0.0254


@given(LENGTHS, LENGTHS, LENGTHS)
def test_the_least_governs_and_the_spread_leads_to_the_most(low: float, middle: float, high: float) -> None:
    least = opening.least_width(low, middle, high)
    spread = opening.width_spread(low, middle, high, least)
    assert least in (low, middle, high)
    assert spread >= 0.0
    assert least + spread == pytest.approx(max(low, middle, high))
    assert opening.height_spread(low, middle, high, opening.least_height(low, middle, high)) == spread


@given(LENGTHS, LENGTHS, SLIPS)
def test_out_of_square_leaves_the_mean_diagonal(width: float, height: float, shear: float) -> None:
    """A sheared rectangle has one longer and one shorter diagonal; their mean gives nothing away."""
    rising, falling = math.hypot(width + shear, height), math.hypot(width - shear, height)
    expected = opening.expected_diagonal(width, height)
    assert opening.mean_diagonal(rising, falling, expected, 3 * INCH) == pytest.approx(expected, abs=1e-3)
    assert (opening.out_of_square(rising, falling, 3 * INCH) or 0.0) <= 2 * abs(shear) + 1e-9


@given(
    st.floats(2.4, 8.0),
    st.floats(2.4, 8.0),
    st.sampled_from([-FOOT, FOOT]),
    st.sampled_from(["width", "height", "diagonal"]),
)
def test_a_foot_misread_shows_in_the_diagonal(width: float, height: float, slip: float, which: str) -> None:
    """Whichever of the three was misread by a foot, the miss is well past the band."""
    diagonal = math.hypot(width, height)
    read = {"width": width, "height": height, "diagonal": diagonal}
    read[which] += slip
    miss = abs(read["diagonal"] - opening.expected_diagonal(read["width"], read["height"]))
    share = {"width": width / diagonal, "height": height / diagonal, "diagonal": 1.0}[which]
    assert miss > 0.7 * FOOT * share
    assert miss > 0.0254


@given(LENGTHS, st.floats(0.0, 0.05), st.booleans())
def test_a_level_header_over_a_falling_floor_has_no_tilt(height: float, fall: float, to_the_right: bool) -> None:
    left, right = (height, height + fall) if to_the_right else (height + fall, height)
    assert opening.header_tilt(left, right, fall, 3 * INCH) == pytest.approx(0.0, abs=1e-9)


def test_what_is_still_to_come_comes_off() -> None:
    assert opening.finished_height(3.7, opening.floor_rise(False, 0.05)) == pytest.approx(3.65)
    assert opening.finished_height(3.7, opening.floor_rise(True, 0.05)) == 3.7
    assert opening.finished_width(3.7, opening.jamb_growth(False, 0.02)) == pytest.approx(3.66)
    assert opening.finished_width(3.7, opening.jamb_growth(True, None)) == 3.7


def test_a_thickness_nobody_knows_is_not_zero() -> None:
    with pytest.raises(MissingInput, match=r"opening\.floor_to_come"):
        opening.floor_rise(False, None)
    with pytest.raises(MissingInput, match=r"opening\.jambs_to_come"):
        opening.jamb_growth(False, None)


@given(LENGTHS, st.floats(0.0, 0.1))
def test_the_lap_is_the_same_on_both_sides(width: float, lap: float) -> None:
    assert opening.lap(width + 2 * lap, width) == pytest.approx(lap, abs=1e-12)
