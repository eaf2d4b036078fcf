"""What a tilted top section on its own guide sweeps, against polygons at thousands of positions."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from shared import thinned
from test_two_guides import CASES, Case, runs

from doorlint.mechanics import clearance, sweep
from doorlint.mechanics.outline import outlines

SOUND = [found for found in CASES if len(runs(found)) == 60]


def test_enough_cases_run_all_the_way() -> None:
    assert len(SOUND) >= 15


def swept(found: Case) -> sweep.Sweep:
    number = len(found.door.heights)
    travel = runs(found)[-1]
    return sweep.Sweep(found.path, found.door, (0.02,) * number, 0.05, 0.0, found.opening, travel)


def highest_between(found: Case, first: float, last: float) -> float:
    shape = swept(found)
    best = -math.inf
    for step in range(3001):
        pose = outlines(found.path, found.door, shape.stand_offs, shape.thickness, shape.open_at * step / 3000)
        for outline in pose:
            corners = [*outline, outline[0]]
            for (y0, z0), (y1, z1) in pairwise(corners):
                low, high = max(min(y0, y1), first), min(max(y0, y1), last)
                if low > high:
                    continue
                for y in (low, high):
                    share = (y - y0) / (y1 - y0) if y1 != y0 else 0.0
                    best = max(best, z0 + share * (z1 - z0), *((z0, z1) if y1 == y0 else ()))
    return best


@pytest.mark.parametrize("found", thinned(SOUND[:8], 2), ids=range(min(len(SOUND), 8)))
def test_headroom_and_free_height(found: Case) -> None:
    shape = swept(found)
    everywhere = highest_between(found, -10.0, 10.0)
    assert sweep.headroom(shape).height + found.opening == pytest.approx(everywhere, abs=2e-5)
    for first, last in ((0.1, 0.3), (0.3, 0.6), (0.9, 1.4)):
        here = sweep.free_height(shape, first, last)
        wanted = highest_between(found, first, last)
        if here is None:
            assert wanted == -math.inf
        else:
            assert wanted - 1e-6 <= here.height + found.opening <= wanted + 3e-4


@pytest.mark.parametrize("found", thinned(SOUND[:8], 2), ids=range(min(len(SOUND), 8)))
def test_the_nearest_to_a_shaft(found: Case) -> None:
    shape = swept(found)
    y, z = -0.02, found.opening + 0.25
    nearest = math.inf
    for step in range(2001):
        pose = outlines(found.path, found.door, shape.stand_offs, shape.thickness, shape.open_at * step / 2000)
        for outline in pose:
            corners = [*outline, outline[0]]
            inside = True
            for (y0, z0), (y1, z1) in pairwise(corners):
                length = math.hypot(y1 - y0, z1 - z0)
                along = min(max(((y - y0) * (y1 - y0) + (z - z0) * (z1 - z0)) / length**2, 0.0), 1.0)
                nearest = min(nearest, math.hypot(y0 + along * (y1 - y0) - y, z0 + along * (z1 - z0) - z))
                inside = inside and (y1 - y0) * (z - z0) - (z1 - z0) * (y - y0) <= 0.0
            if inside:
                nearest = 0.0
    assert nearest - 5e-4 <= clearance.nearest(shape, y, z).distance <= nearest + 1e-6
