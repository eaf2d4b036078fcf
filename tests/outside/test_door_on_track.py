"""The door on its track against two independent solutions, a closed form and the balance of energy.

The largest differences are kept as properties of the run (``--junitxml``), so that the agreement can be quoted.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from itertools import pairwise

import link_by_link as outside
import pytest
from door_energy import energy, mark_travels
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from link_by_link import Case
from scipy.integrate import quad
from trade_doors import INCH, Largest, cases, note, on_track, varied

from doorlint.mechanics.link_statics import on_straight
from doorlint.mechanics.rolling import path_height, pull, trace
from doorlint.mechanics.travel import open_travel, travel_at

VARIED = varied(36)
relaxed = settings(deadline=None, max_examples=80)


def opened(case: Case) -> float:
    path, door = on_track(case)
    travel = open_travel(path, door, case.opening)
    assert travel is not None
    return travel


def stations(case: Case) -> list[float]:
    """Closed, open, every mark that is reached, and a few places between."""
    path, door = on_track(case)
    last = opened(case)
    marks = [mark for mark in mark_travels(path, door, last) if mark is not None]
    draw = random.Random(len(case.heights))
    return [0.0, last, *marks, *(draw.uniform(0.0, last) for _ in range(5))]


@pytest.mark.parametrize("case", VARIED)
def test_pull_by_virtual_work_by_difference_and_by_equilibrium(case: Case, largest: Largest) -> None:
    path, door = on_track(case)
    by_difference, by_equilibrium = [], []
    for travel in stations(case):
        force = pull(path, door, travel)
        by_difference.append(abs(force - outside.pull_by_difference(case, travel)) / case.weight)
        by_equilibrium.append(abs(force - outside.pull_by_equilibrium(case, travel)) / case.weight)
    note(largest, "pull against differences of energy, share of the weight", max(by_difference))
    note(largest, "pull against equilibrium of every section, share of the weight", max(by_equilibrium))
    assert max(by_difference) < 1e-6
    assert max(by_equilibrium) < 1e-12


@pytest.mark.parametrize("case", VARIED)
def test_places_open_and_marks(case: Case, largest: Largest) -> None:
    path, door = on_track(case)
    last = opened(case)
    off = [abs(last - outside.open_travel(case))]
    for travel in stations(case):
        stand = trace(path, door, travel)
        for s, y, z, other in zip(stand.s, stand.y, stand.z, outside.coordinates(case, travel), strict=True):
            off += [abs(s - other), abs(complex(y, z) - outside.at(case, other))]
        assert energy(path, door, travel) == pytest.approx(outside.energy(case, travel), rel=1e-12)
    for roller, mark in enumerate(mark_travels(path, door, last), start=1):
        if case.radius is None:
            assert mark is None
            continue
        other = outside.mark(case, roller)
        assert (mark is not None) == (0.0 <= other <= last)
        if mark is not None:
            off.append(abs(mark - other))
    note(largest, "places, open travel and marks, m", max(off))
    assert max(off) < 1e-11


@pytest.mark.parametrize("radius", [10.0, 12.0])
@pytest.mark.parametrize("case", varied(8, kinds=("standard",)))
def test_closed_form_at_the_marks_of_a_level_track(case: Case, radius: float) -> None:
    """With roller k-1 still in the vertical track only its section hangs partly: (1 - f) of it."""
    level = Case(**{**vars(case), "slope": 0.0, "radius": radius * INCH})
    path, door = on_track(level)
    sections = len(level.heights)
    compared = 0
    for k, mark in enumerate(mark_travels(path, door, opened(level)), start=1):
        if mark is None or radius * INCH * math.sqrt(2) > door.spacings[k - 1]:
            continue
        height, bottom, top = level.heights[k - 1], level.bottom_roller, level.top_roller
        share = 0.5
        if k == 1:
            share = (height / 2 - bottom) / (height - bottom)
        elif k == sections:
            share = (height / 2) / (height - top)
        expected = math.fsum(level.weights[: k - 1]) + (1 - share) * level.weights[k - 1]
        assert pull(path, door, mark) == pytest.approx(expected, rel=1e-12)
        compared += 1
    assert compared


@pytest.mark.parametrize("case", VARIED)
def test_the_work_of_the_pull_is_the_energy_gained(case: Case) -> None:
    path, door = on_track(case)
    last = opened(case)
    joins = sorted(
        travel
        for roller in range(len(case.heights) + 1)
        for s in ((path.tangent, path.arc_end) if case.radius else ())
        if 0.0 < (travel := travel_at(path, door, roller, s)) < last
    )
    work, _ = quad(lambda x: pull(path, door, x), 0.0, last, points=joins or None, limit=200)
    assert work == pytest.approx(energy(path, door, last) - energy(path, door, 0.0), rel=1e-9)


@relaxed
@given(cases(), st.floats(0, 1))
def test_sections_stay_rigid_and_rollers_stay_on_the_path(case: Case, share: float) -> None:
    path, door = on_track(case)
    stand = trace(path, door, share * opened(case))
    points = [complex(y, z) for y, z in zip(stand.y, stand.z, strict=True)]
    for spacing, (low, high) in zip(case.spacings, pairwise(points), strict=True):
        assert abs(high - low) == pytest.approx(spacing, rel=1e-12)
    for s, point in zip(stand.s, points, strict=True):
        assert abs(point - outside.at(case, s)) < 1e-12
    assert list(stand.s) == sorted(stand.s)


@relaxed
@given(cases(), st.floats(0, 1))
def test_the_pull_is_continuous_and_never_more_than_the_weight(case: Case, share: float) -> None:
    path, door = on_track(case)
    travel = share * opened(case)
    force = pull(path, door, travel)
    assert abs(pull(path, door, travel + 1e-7) - force) < 1e-5 * case.weight
    assert -1e-9 <= force <= case.weight * (1 + 1e-12)


@relaxed
@given(cases(), st.floats(0, 1))
def test_a_roller_further_up_never_climbs_faster(case: Case, share: float) -> None:
    path, door = on_track(case)
    climb = trace(path, door, share * opened(case)).climb
    assert all(upper <= lower + 1e-12 for lower, upper in pairwise(climb))


@relaxed
@given(cases(kinds=("standard", "high"), fewest=2))
def test_marks_come_from_the_top_down_and_put_the_roller_on_the_end_of_the_curve(case: Case) -> None:
    path, door = on_track(case)
    marks = mark_travels(path, door, 100.0)
    reached = [mark for mark in marks if mark is not None]
    assert all(lower > upper for lower, upper in pairwise(reached))
    for roller, mark in enumerate(marks, start=1):
        if mark is not None:
            assert trace(path, door, mark).s[roller] == pytest.approx(path.arc_end, abs=1e-12)


@relaxed
@given(cases())
def test_open_puts_the_bottom_edge_at_the_header(case: Case) -> None:
    assert outside.bottom_edge(case, opened(case)) == pytest.approx(case.opening, abs=1e-9)


@relaxed
@given(cases(kinds=("standard", "high")), st.floats(0, 1), st.floats(1.2, 3))
def test_the_pull_does_not_depend_on_the_unit_of_length(case: Case, share: float, scale: float) -> None:
    path, door = on_track(case)
    travel = share * opened(case)
    lengths = ("bottom_roller", "top_roller", "tangent", "radius", "opening")
    larger = {name: getattr(case, name) * scale for name in lengths}
    other = Case(**{**vars(case), **larger, "heights": tuple(height * scale for height in case.heights)})
    assert pull(*on_track(other), scale * travel) == pytest.approx(pull(path, door, travel), rel=1e-9)


@relaxed
@given(cases(kinds=("standard", "high")), st.floats(0, 1))
def test_level_track_carries_the_lever_shares_of_the_rollers_on_it(case: Case, share: float) -> None:
    case = replace(case, slope=0.0)
    path, door = on_track(case)
    travel = share * opened(case)
    bearings = on_straight(path, door, travel)
    expected = []
    for k, s in enumerate(outside.coordinates(case, travel)):
        assume(abs(s - case.arc_end) > 1e-7)
        load = 0.0
        for section, roller_is_upper in ((k - 1, True), (k, False)):
            if 0 <= section < len(case.heights):
                middle = case.heights[section] / 2 - (case.bottom_roller if section == 0 else 0.0)
                upper = middle / case.spacings[section]
                load += case.weights[section] * (upper if roller_is_upper else 1 - upper)
        if s > case.arc_end:
            expected.append((s - case.arc_end, load))
    assert len(bearings) == len(expected)
    for bearing, pair in zip(bearings, expected, strict=True):
        assert bearing == pytest.approx(pair, abs=1e-9)


@relaxed
@given(cases(kinds=("standard", "high")), st.floats(0, 1), st.floats(0, 0.1))
def test_line_outside_the_path(case: Case, share: float, outward: float) -> None:
    path, _ = on_track(case)
    s = case.tangent + share * 3.0
    point = outside.at(case, s) + 1j * outside.heading(case, s) * outward
    found = path_height(path, point.real + 1e-15, outward)
    assert found is not None
    if point.real > -outward + 1e-6:
        assert found == pytest.approx(point.imag, abs=1e-6)
