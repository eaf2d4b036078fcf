"""The roof that a door needs which follows it, against every corner at every step of its travel."""

from __future__ import annotations

import random
from math import atan, cos, sin

import pytest

from doorlint.mechanics.outline import outlines
from doorlint.mechanics.rolling import Door, Path
from doorlint.mechanics.roof import needed
from doorlint.mechanics.sweep import Sweep

STEPS = 3000


@pytest.mark.parametrize("seed", range(8))
def test_no_corner_and_no_guide_comes_above_the_roof_that_is_needed(seed: int) -> None:
    dice = random.Random(seed)
    slope, number = dice.uniform(0.0, 1.0), dice.randint(3, 6)
    heights = tuple(dice.uniform(0.45, 0.65) for _ in range(number))
    opening = sum(heights) - 0.02
    path = Path(opening - dice.uniform(0.1, 0.25), dice.uniform(0.25, 0.5), slope)
    door = Door(heights, (300.0,) * number, 0.08, 0.08)
    swept = Sweep(path, door, (0.01,) * number, 0.045, 0.07, opening, sum(heights) * 0.99)
    length, size = dice.uniform(2.0, 4.0), 0.05
    corners = (
        z - (y + 0.07) * slope
        for step in range(STEPS + 1)
        for section in outlines(path, door, (0.01,) * number, 0.045, swept.open_at * step / STEPS)
        for y, z in section
    )
    angle = atan(slope)
    edges = (
        path.end_z + along * sin(angle) + size / 2 * cos(angle)
        - (path.end_y + along * cos(angle) - size / 2 * sin(angle) + 0.07) * slope
        for along in (0.0, length / 2, length)
    )  # fmt: skip
    assert needed(swept, length, size, slope) == pytest.approx(max(*corners, *edges), abs=2e-5)
