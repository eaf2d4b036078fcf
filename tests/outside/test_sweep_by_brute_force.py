"""What the door sweeps against thousands of drawn positions of independently placed polygons.

Drawn positions can only miss the highest one, so they must never stand above the answer; and the door
drawn at the travel that the answer names must reach it.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace

import link_by_link as outside
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from link_by_link import Case
from trade_doors import INCH, Largest, cases, note, on_track, varied

from doorlint.mechanics.sweep import (
    BOTTOM,
    TOP,
    Sweep,
    depth,
    envelope,
    free_height,
    headroom,
    inside_curve,
    outlines,
    outward_kick,
)
from doorlint.mechanics.travel import open_travel

CLOSE = 1e-5  # m
SIXTY_FOURTH = INCH / 64
SWEPT = [*varied(12), *varied(6, kinds=("standard",)), replace(varied(1)[0], slope=-0.02)]
relaxed = settings(deadline=None, max_examples=60)


def swept(case: Case, seed: int = 0) -> Sweep:
    draw = random.Random(seed)
    path, door = on_track(case)
    last = open_travel(path, door, case.opening)
    assert last is not None
    stand_offs = tuple((0.25 + 0.125 * k * (seed % 2)) * INCH for k in range(len(case.heights)))
    thickness = draw.choice((1.375, 2.0, 3.0)) * INCH
    wall = max(stand_offs) + thickness + draw.uniform(0.5, 2) * INCH
    return Sweep(path, door, stand_offs, thickness, wall, case.opening, last)


def drawn(sweep: Sweep, case: Case, travels: outside.Floats) -> list[list[outside.Complexes]]:
    return outside.all_outlines(case, sweep.stand_offs, sweep.thickness, travels)


def positions(sweep: Sweep) -> outside.Floats:
    return np.linspace(0.0, sweep.open_at, 4001)


def intervals(sweep: Sweep, seed: int) -> list[tuple[float, float]]:
    """Points and stretches: in front of the door's face, about the curve, along the straight track."""
    draw = random.Random(seed)
    face = sweep.wall - sweep.stand_offs[0] - sweep.thickness
    nears = [face + draw.uniform(-1.5, 1) * INCH, *(draw.uniform(0, 20) * INCH for _ in range(3)), draw.uniform(0, 3)]
    return [(near, near + width) for near in nears for width in (0.0, draw.uniform(0, 24) * INCH)]


@pytest.mark.parametrize(("seed", "case"), list(enumerate(SWEPT)))
def test_headroom(seed: int, case: Case, largest: Largest) -> None:
    sweep = swept(case, seed)
    found = headroom(sweep)
    highest = max(float(corner.imag.max()) for corners in drawn(sweep, case, positions(sweep)) for corner in corners)
    short = found.height - (highest - case.opening)
    note(largest, "headroom over drawn positions, m", short)
    assert -1e-9 <= short < CLOSE
    corner = drawn(sweep, case, np.array([found.travel]))[found.section - 1][1 if found.part == BOTTOM else 2][0]
    assert complex(found.distance - sweep.wall, found.height + case.opening) == pytest.approx(corner, abs=1e-9)


@pytest.mark.parametrize(("seed", "case"), list(enumerate(SWEPT)))
def test_free_height(seed: int, case: Case, largest: Largest) -> None:
    sweep = swept(case, seed)
    travels = positions(sweep)
    everything = drawn(sweep, case, travels)
    over, under = [], []
    for near, far in intervals(sweep, seed):
        first, last = near - sweep.wall, far - sweep.wall
        highest = outside.highest_between(everything, first, last) - case.opening
        found = free_height(sweep, near, far)
        if found is None:
            assert highest == -math.inf
            continue
        under.append(highest - found.height)
        there = np.clip(found.travel + np.linspace(-1e-6, 1e-6, 9), 0.0, sweep.open_at)
        reached = outside.highest_between(drawn(sweep, case, there), first - 1e-6, last + 1e-6) - case.opening
        over.append(abs(found.height - reached))
    note(largest, "drawn positions over free height, m", max(under))
    note(largest, "free height against the position it names, m", max(over))
    assert max(under) < CLOSE < SIXTY_FOURTH
    assert max(over) < CLOSE


@pytest.mark.parametrize(("seed", "case"), list(enumerate(SWEPT)))
def test_kick_depth_and_inside(seed: int, case: Case) -> None:
    sweep = swept(case, seed)
    everything = drawn(sweep, case, positions(sweep))
    corner = everything[0][1]
    kick = outward_kick(sweep)
    farthest = float(-corner.real.min()) - sweep.stand_offs[0] - sweep.thickness
    assert kick.outward == pytest.approx(max(farthest, 0.0), abs=CLOSE)
    there = drawn(sweep, case, np.array([kick.travel]))[0][1][0]
    assert -there.real - sweep.stand_offs[0] - sweep.thickness == pytest.approx(kick.outward, abs=1e-9)
    assert case.opening - there.imag == pytest.approx(kick.below, abs=1e-9)
    back = max(float(corner.real.max()) for corners in everything for corner in corners)
    assert depth(sweep) == pytest.approx(back + sweep.wall, abs=1e-9)

    struts = tuple(0.05 * (k % 2) for k in range(len(case.heights)))
    inside = inside_curve(sweep, struts)
    if case.radius is None:
        assert inside is None
        return
    centre = complex(case.radius, case.tangent)
    nearest = math.inf
    for k, (bottom, _, _, top) in enumerate(everything):
        along = (top - bottom) / np.abs(top - bottom)
        gap = -((centre - bottom) * np.conj(1j * along)).real
        nearest = min(nearest, float(gap.min()) - struts[k])
    assert inside is not None
    assert inside.radius == pytest.approx(nearest, abs=CLOSE)


@relaxed
@given(cases(), st.floats(0, 1))
def test_outlines_follow_the_rollers(case: Case, share: float) -> None:
    sweep = swept(case, 1)
    travel = share * sweep.open_at
    found = outlines(sweep.path, sweep.door, sweep.stand_offs, sweep.thickness, travel)
    for corners, others in zip(found, drawn(sweep, case, np.array([travel])), strict=True):
        for (y, z), other in zip(corners, others, strict=True):
            assert complex(y, z) == pytest.approx(complex(other[0]), abs=1e-9)


@relaxed
@given(cases(), st.floats(0.001, 0.03), st.floats(0, 1), st.floats(0, 0.3))
def test_more_thickness_never_lowers_the_sweep_nor_widens_the_kick(
    case: Case, more: float, near: float, width: float
) -> None:
    sweep = swept(case)
    thickness = sweep.thickness + more
    thicker = Sweep(
        sweep.path, sweep.door, sweep.stand_offs, thickness, sweep.wall, sweep.opening_height, sweep.open_at
    )
    assert headroom(thicker).height >= headroom(sweep).height - 1e-9
    assert outward_kick(thicker).outward <= outward_kick(sweep).outward + 1e-6
    thin, thick = free_height(sweep, near, near + width), free_height(thicker, near, near + width)
    if thin is not None:
        assert thick is not None
        assert thick.height >= thin.height - 1e-6


@relaxed
@given(cases(), st.floats(0, 2), st.floats(0, 0.5), st.floats(0, 0.5))
def test_a_wider_obstruction_never_needs_less(case: Case, near: float, width: float, more: float) -> None:
    sweep = swept(case)
    narrow = free_height(sweep, near, near + width)
    wide = free_height(sweep, near - more, near + width + more)
    if narrow is not None:
        assert wide is not None
        assert narrow.height - 1e-6 <= wide.height <= headroom(sweep).height + 1e-6


@relaxed
@given(cases())
def test_an_obstruction_over_everything_needs_the_headroom(case: Case) -> None:
    sweep = swept(case)
    whole = free_height(sweep, -1.0, 20.0)
    assert whole is not None
    assert whole.height == pytest.approx(headroom(sweep).height, abs=1e-6)
    assert free_height(sweep, depth(sweep) + 1e-6, 20.0) is None


@relaxed
@given(cases(), st.lists(st.floats(0, 4), min_size=1, max_size=6))
def test_the_envelope_is_the_free_height_at_a_point(case: Case, distances: list[float]) -> None:
    sweep = swept(case)
    for distance, height in zip(distances, envelope(sweep, distances), strict=True):
        found = free_height(sweep, distance, distance)
        assert height == (None if found is None else found.height)


@relaxed
@given(cases(kinds=("vertical",)))
def test_vertical_lift_needs_the_height_of_the_door(case: Case) -> None:
    found = headroom(swept(case))
    assert found.height == pytest.approx(math.fsum(case.heights), abs=1e-9)
    assert found.section == len(case.heights)
    assert found.part == TOP
