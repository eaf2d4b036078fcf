"""The nearest that a door comes to a point, against 4,001 steps of every section's outline."""

from __future__ import annotations

import math
import random

import pytest
from shared import thinned
from trade_doors import varied

from doorlint.mechanics import clearance, rolling
from doorlint.mechanics.outline import outlines
from doorlint.mechanics.sweep import Sweep
from doorlint.mechanics.travel import open_travel

INCH = 0.0254


def apart(outline: tuple[tuple[float, float], ...], y: float, z: float) -> float:
    """Distance from a point to a rectangle given by its corners; 0 inside."""
    inside, least = True, math.inf
    for (ay, az), (by, bz) in zip(outline, (*outline[1:], outline[0]), strict=True):
        dy, dz = by - ay, bz - az
        share = min(max(((y - ay) * dy + (z - az) * dz) / (dy * dy + dz * dz), 0.0), 1.0)
        least = min(least, math.hypot(ay + share * dy - y, az + share * dz - z))
        inside = inside and dy * (z - az) - dz * (y - ay) <= 0.0
    return 0.0 if inside else least


@pytest.mark.parametrize("number", thinned(range(24), 3))
def test_nearest(number: int) -> None:
    case = varied(48)[number]
    path = rolling.Path(case.tangent, case.radius or 0.0, case.slope)
    door = rolling.Door(case.heights, case.weights, case.bottom_roller, case.top_roller)
    travel = open_travel(path, door, case.opening)
    if travel is None:
        pytest.skip("this track never clears its opening")
    stand_offs = (0.5 * INCH,) * len(case.heights)
    thickness, wall = 1.75 * INCH, 3 * INCH
    sweep = Sweep(path, door, stand_offs, thickness, wall, case.opening, travel)
    draw = random.Random(number)
    y = draw.uniform(-1.0, 8.0) * INCH
    z = case.opening + draw.uniform(6.0, 30.0) * INCH
    tried = min(
        apart(outline, y, z)
        for step in range(4001)
        for outline in outlines(path, door, stand_offs, thickness, travel * step / 4000)
    )
    found = clearance.nearest(sweep, y, z)
    assert found.distance <= tried + 1e-7
    assert found.distance == pytest.approx(tried, abs=1e-3)
