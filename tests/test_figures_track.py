"""The track: heights of every lift, and hinge numbers."""

from __future__ import annotations

import pytest

from doorlint.errors import MissingInput
from doorlint.figures import counterbalance, hinges, section, track

INCH = 0.0254


@pytest.mark.parametrize(
    ("lift", "own", "high", "inches"),
    [
        ("standard", None, None, 138),
        ("high", None, 24 * INCH, 162),
        ("standard", 140 * INCH, None, 140),
        ("vertical", None, None, 288),
    ],
)
def test_height_of_the_vertical_track(lift: str, own: float | None, high: float | None, inches: float) -> None:
    sections = {f"s{k}": 24 * INCH for k in range(1, 7)}
    assert track.tangent_height(lift, 144 * INCH, own, high, sections, 6 * INCH) == pytest.approx(inches * INCH)


def test_a_lift_that_is_not_told_in_full_is_not_taken_for_another() -> None:
    with pytest.raises(MissingInput, match=r"track\.high_lift"):
        track.tangent_height("high", 3.66, None, None, None, 0.15)
    with pytest.raises(MissingInput, match=r"section\.height"):
        track.tangent_height("vertical", 3.66, None, None, None, 0.15)
    with pytest.raises(MissingInput, match=r"track\.vertical_length"):
        track.tangent_height("low-headroom", 3.66, None, None, None, 0.15)


def test_the_usual_angle_follows_the_curve() -> None:
    assert track.angle_usual(138 * INCH, 6 * INCH, 8 * INCH) == pytest.approx(136 * INCH)
    assert track.angle_usual(162 * INCH, 6 * INCH, 8 * INCH) == pytest.approx(160 * INCH)


@pytest.mark.parametrize(
    ("numbers", "most", "lowest"),
    [
        ([1, 2, 3, None], 1, 1),
        ([1, 2, 2, None], 1, 1),
        ([2, 4, 5, 9], 2, 2),
        ([1, None], None, 1),
        ([None], None, None),
    ],
)
def test_hinge_numbers_are_read_from_joint_to_joint(
    numbers: list[int | None], most: int | None, lowest: int | None
) -> None:
    """The top section has no joint above it: what stands there does not count."""
    column = {f"s{k}": number for k, number in enumerate(numbers, 1)}
    assert (hinges.most_step(column), hinges.lowest(column)) == (most, lowest)


def test_a_hinge_without_its_number_is_not_passed_over() -> None:
    with pytest.raises(MissingInput, match=r"section\.hinge"):
        section.joint_hinge({"s1": 1, "s2": None, "s3": 3, "s4": None})


def test_a_door_has_one_counterbalance_or_two_or_none() -> None:
    assert counterbalance.kinds(None, None, None, None, None, None) == 0
    assert counterbalance.kinds("left", 4.4, {"b1": 120.0}, None, None, None) == 1
    assert counterbalance.kinds(None, None, None, None, 0.025, None) == 1
    assert counterbalance.kinds(None, None, {"b1": 120.0}, 7.5, None, None) == 2
