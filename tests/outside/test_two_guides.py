"""Doors whose top roller rides a guide of its own, and what rollers carry, each worked out in other ways.

The places are found again by a fine walk along the guides, the pull by differences of the potential energy and by the
equilibrium of every section.
"""

from __future__ import annotations

import math
import random
from typing import NamedTuple

import pytest
from door_energy import energy
from shared import thinned

from doorlint.mechanics import balance, link_statics, rolling
from doorlint.mechanics.rolling import Door, Path
from doorlint.mechanics.upper_guide import measured

INCH = 0.0254


class Case(NamedTuple):
    path: Path
    door: Door
    opening: float


def case(seed: int) -> Case:
    """A low-headroom door as a fitter finds it."""
    dice = random.Random(seed)
    number = dice.randint(2, 6)
    heights = tuple(dice.choice([18, 21, 24]) * INCH for _ in range(number))
    weights = tuple(dice.uniform(300, 900) for _ in range(number))
    slope = dice.choice([0.0, 0.25 / 12, 0.5 / 12])
    radius = dice.choice([12, 15]) * INCH
    tangent = sum(heights) - dice.uniform(14, 20) * INCH
    plain = Path(tangent, radius, slope)
    door = Door(heights, weights, dice.choice([0.0, 3.0]) * INCH, dice.uniform(-2, 3) * INCH, dice.uniform(0, 3) * INCH)
    guide = measured(
        (plain.end_y, plain.end_z), slope, dice.uniform(3, 7) * INCH, dice.uniform(6, 12) * INCH,
        dice.choice([None, math.radians(70)]), dice.uniform(-1, 2) * INCH,
    )  # fmt: skip
    return Case(Path(tangent, radius, slope, guide), door, sum(heights) - dice.uniform(0, 2) * INCH)


def runs(found: Case) -> list[float]:
    """Travels at which the door stands soundly on its guides: from closed on, as long as no section binds."""
    sound = []
    for step in range(60):
        travel = found.opening * (step + 0.37) / 60
        try:
            at = rolling.trace(found.path, found.door, travel)
        except (rolling.RollerAdrift, rolling.DoorLocked):
            continue
        if max(map(abs, at.climb)) < 5:
            sound.append(travel)
    return sound


CASES = [case(seed) for seed in range(40)]


def test_most_cases_run() -> None:
    assert sum(len(runs(found)) > 40 for found in CASES) >= 30


@pytest.mark.parametrize("found", CASES, ids=range(len(CASES)))
def test_pull_by_virtual_work_by_differences_and_by_equilibrium(found: Case) -> None:
    path, door, _ = found
    step, whole = 1e-6, sum(door.weights)
    for travel in runs(found)[::4]:
        here = rolling.pull(path, door, travel)
        try:
            above, below = (energy(path, door, travel + sign * step) for sign in (1, -1))
        except rolling.RollerAdrift:
            continue
        ends = [rolling.trace(path, door, travel + sign * step).s[-1] for sign in (1, -1)]
        if abs(ends[0] - ends[1]) > 1e-3:
            continue  # the last place on the guide has jumped to another part of it
        assert (above - below) / (2 * step) == pytest.approx(here, abs=2e-5 * whole)
        assert link_statics.forces(path, door, travel).pull == pytest.approx(here, abs=1e-9 * whole)


@pytest.mark.parametrize("found", thinned(CASES[:12], 3), ids=range(12))
def test_the_top_roller_is_at_the_last_place_one_chord_away(found: Case) -> None:
    """A walk along the guide in tenths of a millimeter finds no later one."""
    path, door, _ = found
    guide = path.upper
    assert guide is not None
    for travel in runs(found)[::12]:
        at = rolling.trace(path, door, travel)
        assert math.dist((at.y[-1], at.z[-1]), (at.y[-2], at.z[-2])) == pytest.approx(door.spacings[-1], abs=1e-12)
        inside = None
        s = -1.0
        while s < guide.arc_end + 6.0:
            _, y, z, _, _ = guide.spot(s)
            near = math.dist((y, z), (at.y[-2], at.z[-2])) - door.spacings[-1]
            if inside is not None and inside * near <= 0.0:
                last = s
            inside = near
            s += 1e-4
        assert at.s[-1] == pytest.approx(last, abs=2e-4)


@pytest.mark.parametrize("found", CASES, ids=range(len(CASES)))
def test_marks_put_each_roller_at_the_end_of_its_own_curve(found: Case) -> None:
    path, door, _ = found
    assert path.upper is not None
    top = len(door.spacings)
    for roller in range(1, top + 1):
        try:
            mark = balance.mark(path, door, roller)
        except (rolling.RollerAdrift, rolling.DoorLocked):
            continue
        if mark.travel < 0.0:
            continue
        end = path.upper.arc_end if roller == top else path.arc_end
        at = rolling.trace(path, door, mark.travel)
        if mark.travel == 0.0:
            assert at.s[roller] >= end - 1e-9
        else:
            assert at.s[roller] == pytest.approx(end, abs=1e-9)
        assert rolling.held(door, mark.climb, mark.turn) == pytest.approx(rolling.pull(path, door, mark.travel))


@pytest.mark.parametrize("slope", [0.0, 0.02, 0.2, 0.7, 1.0])
def test_a_door_on_a_slope_pulls_with_its_weight_along_it(slope: float) -> None:
    """W sin a along, W cos a square to it, once every section lies on the slope."""
    door = Door((0.5, 0.6, 0.5), (300.0, 400.0, 350.0), 0.08, 0.05)
    path = Path(2.0, 0.3, slope)
    travel = path.arc_end + 1.0
    found = link_statics.forces(path, door, travel)
    assert found.pull == pytest.approx(1050.0 * path.sin, abs=1e-9)
    assert sum(found.normals) == pytest.approx(1050.0 * path.cos)
    assert found.normals == pytest.approx([load * path.cos for load in door.loads])


@pytest.mark.parametrize("travel", [0.2, 0.9, 1.4, 1.9, 2.4])
def test_all_forces_on_the_whole_door_are_in_balance(travel: float) -> None:
    """The normals, the pull and the weight, with their moments about the origin."""
    door = Door((0.5, 0.55, 0.5, 0.6), (300.0, 400.0, 350.0, 380.0), 0.08, 0.05, 0.04)
    path = Path(1.9, 0.35, 0.02)
    at, found = rolling.trace(path, door, travel), link_statics.forces(path, door, travel)
    total_y = total_z = moment = 0.0
    for place, (s, normal) in enumerate(zip(at.s, found.normals, strict=True)):
        _, y, z, ty, tz = rolling.spot(path, s)
        pull = found.pull if place == 0 else 0.0
        fy, fz = -normal * tz + pull * ty, normal * ty + pull * tz
        total_y, total_z, moment = total_y + fy, total_z + fz, moment + y * fz - z * fy
    for section, weight in enumerate(door.weights, start=1):
        to_y, to_z = at.y[section] - at.y[section - 1], at.z[section] - at.z[section - 1]
        length = math.hypot(to_y, to_z)
        along = door.heights[section - 1] / 2 - (door.bottom_roller if section == 1 else 0.0)
        tilt = door.tilt if section == 4 else 0.0
        middle = at.y[section - 1] + along * (to_y * math.cos(tilt) - to_z * math.sin(tilt)) / length
        total_z, moment = total_z - weight, moment - middle * weight
    assert (total_y, total_z, moment) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)
