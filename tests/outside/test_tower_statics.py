"""The tower against statics worked out another way: free bodies solved as linear equations, the cable's length, energy.

Nothing here uses the formulas of ``doorlint.figures.box``, ``doorlint.figures.tower`` or
``doorlint.mechanics.balance``; they are what is tested.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import needs
import pytest
from door_energy import energy
from hypothesis import given, settings
from hypothesis import strategies as st

from doorlint.figures.graph import Job
from doorlint.mechanics import balance, rolling, stack
from doorlint.mechanics.rolling import Door, Path, trace
from doorlint.rulebook.examples import base
from doorlint.rulebook.library import load

np = needs.module("numpy")
quad, brentq = needs.module("scipy.integrate").quad, needs.module("scipy.optimize").brentq

DOWN, ACROSS = np.array([0.0, -1.0]), np.array([-1.0, 0.0])


@pytest.fixture(scope="module")
def job() -> Job:
    spec = base("tower-commissioned")
    return load().job(spec.values, spec.keys)


def test_cable_and_head_loads_from_free_bodies(job: Job) -> None:
    """Unknowns: tension, and the two reactions (across, up) of every part the cables touch."""
    boxes = job.cell("stack.pull_closed")
    # Lines at each body, as (direction of the pull on the body) of the one tension both cables have.
    bodies = {
        "eye bolts": [DOWN, DOWN],
        "near head pulley": [DOWN, DOWN],
        "crossing pulley": [ACROSS, DOWN],
        "far head pulley": [-ACROSS, DOWN],
    }
    size = 1 + 2 * len(bodies)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    matrix[0, 0], right[0] = 4.0, boxes  # box 1: two lines up at each of two moving pulleys
    for row, pulls in enumerate(bodies.values()):
        across, up = 1 + 2 * row, 2 + 2 * row
        matrix[across, 0], matrix[up, 0] = sum(pulls)
        matrix[across, across] = matrix[up, up] = 1.0
    tension, *reactions = np.linalg.solve(matrix, right)
    held = dict(zip(bodies, np.reshape(reactions, (-1, 2)), strict=True))
    head = held["eye bolts"] + held["near head pulley"] + held["crossing pulley"]
    assert job.cell("tower.cable_tension") == pytest.approx(tension, rel=1e-12)
    assert job.cell("tower.head_load") == pytest.approx(head[1], rel=1e-12)
    assert job.cell("tower.head_side_load") == pytest.approx(head[0], rel=1e-12)
    assert job.cell("tower.far_head_load") == pytest.approx(held["far head pulley"][1], rel=1e-12)
    assert job.cell("tower.far_side_load") == pytest.approx(-held["far head pulley"][0], rel=1e-12)
    # the door: both cables pull its bottom corners up
    assert job.cell("tower.pull_closed") == pytest.approx(2 * tension, rel=1e-12)


def test_eight_hundred_pounds_put_a_ton_on_the_head() -> None:
    from doorlint.figures import tower_loads

    tension = tower_loads.cable_tension(2 * 800.0)
    assert (tension, tower_loads.head_load(tension)) == (400.0, 2000.0)


def test_box_moves_half_as_far_as_the_door(job: Job) -> None:
    """The cable keeps its length: bottom corner - head pulley - moving pulley - eye bolt."""
    head, eye = job.cell("tower.head_pulley_height"), job.cell("tower.eye_bolt_height")
    closed_box = job.cell("tower.box_pulley_top")
    path, door, opened = job.cell("track.path"), job.cell("door.frame"), job.cell("door.open_travel")
    bottom = door.bottom_roller
    length = (head - bottom) + (head - closed_box) + (eye - closed_box)

    def box(travel: float) -> float:
        corner = trace(path, door, travel).s[0] - bottom  # run along the track is what the cable takes up
        return brentq(lambda z: (head - bottom - corner) + (head - z) + (eye - z) - length, 0.0, eye)

    at_rest = job.cell("tower.rest_height") + job.cell("tower.box_pulley_rise")
    assert box(opened) - at_rest == pytest.approx(job.cell("tower.rest_gap"), abs=1e-9)
    assert box(opened) + job.cell("tower.rest_height") - at_rest == pytest.approx(job.cell("tower.open_top"), abs=1e-9)
    rise = (box(0.3) - box(0.5)) / 0.2
    assert rise == pytest.approx(0.5, abs=1e-9)


class Hanging:
    """The boxes found by their own equilibrium: the pull at which slack and springs add up to the height of box 1."""

    def __init__(self, job: Job) -> None:
        keys = job.keys["box"]
        self.weights = [job.at("box.loaded", key) for key in keys]
        self.rates = [job.at("box.chain.spring.rate", key) for key in keys[:-1]]
        self.stops = [job.at("box.chain.spring.stretch_at_stop", key) for key in keys[:-1]]
        self.slacks = [job.at("box.chain.links", key) * job.at("box.chain.pitch", key) for key in keys[:-1]]
        self.hook_up = job.cell("tower.hook_up")

    def drawn(self, pull: float) -> list[tuple[float, float]]:
        """Slack and stretch of every chain that is tight under a pull on box 1."""
        tight, above = [], 0.0
        for weight, rate, stop, slack in zip(self.weights, self.rates, self.stops, self.slacks, strict=False):
            above += weight
            if pull > above:
                tight.append((slack, min((pull - above) / rate, stop)))
        return tight

    def at(self, travel: float) -> tuple[float, float]:
        """Pull of the stack on the door, and energy stored: lifted boxes, and springs up to their stops."""
        height = self.hook_up - travel / 2
        low, high = 0.0, sum(self.weights)
        for _ in range(200):
            middle = (low + high) / 2
            fits = sum(map(sum, self.drawn(middle))) <= height
            low, high = (middle, high) if fits else (low, middle)
        tight = self.drawn(low)
        stored, risen = self.weights[0] * height, height
        for weight, rate, (slack, stretch) in zip(self.weights[1:], self.rates, tight, strict=False):
            risen = max(risen - slack - stretch, 0.0)
            stored += weight * risen + rate * stretch**2 / 2
        return low / 2, stored


def test_pull_of_the_stack_at_every_mark(job: Job) -> None:
    hanging = Hanging(job)
    for key in job.keys["box"]:
        pull, _ = hanging.at(job.at("box.mark_travel", key))
        assert pull - job.at("box.mark_pull", key) == pytest.approx(job.at("box.residual", key), abs=1e-6)


def test_pull_of_the_stack_along_the_travel(job: Job) -> None:
    """Box by box against its own equilibrium; and the pull is the energy's slope."""
    hanging, opened = Hanging(job), job.cell("door.open_travel")
    points = job.cell("stack.points")
    assert [travel for travel, _ in points] == sorted(travel for travel, _ in points)
    law, hook_up = job.cell("stack.law"), job.cell("tower.hook_up")
    for travel in np.linspace(0.0, opened, 800):
        assert stack.door_pull(law, hook_up, travel) == pytest.approx(hanging.at(travel)[0], abs=1e-6)
    work = sum((low[1] + high[1]) / 2 * (high[0] - low[0]) for low, high in pairwise(points))
    assert work == pytest.approx(hanging.at(0.0)[1] - hanging.at(opened)[1], rel=1e-9)


def test_curve_ends_where_the_figures_say(job: Job) -> None:
    points = job.cell("door.curve")
    assert points[0][3] == pytest.approx(job.cell("door.residual_closed"))
    assert points[-1][3] == pytest.approx(job.cell("door.residual_open"))
    energy_gained = energy(job.cell("track.path"), job.cell("door.shape"), points[-1][0])
    energy_gained -= energy(job.cell("track.path"), job.cell("door.shape"), 0.0)
    by_trapezium = sum((low[1] + high[1]) / 2 * (high[0] - low[0]) for low, high in pairwise(points))
    assert by_trapezium == pytest.approx(energy_gained, rel=2e-3)


def test_a_chain_comes_tight_and_a_box_lifts_where_the_pull_says(job: Job) -> None:
    """Just before a chain is tight the boxes above it hang alone; where its box lifts, the box hangs with them."""
    hanging = Hanging(job)
    above = 0.0
    for key, below in pairwise(job.keys["box"]):
        above += job.at("box.loaded", key)
        tight, lifts = job.at("box.tight_at", key), job.at("box.lifts_at", key)
        assert hanging.at(tight + 1e-7)[0] == pytest.approx(above / 2, abs=1e-6)
        assert hanging.at(tight - 1e-4)[0] > above / 2 + 0.1
        assert hanging.at(lifts - 1e-7)[0] == pytest.approx((above + job.at("box.loaded", below)) / 2, abs=1e-6)
        assert job.at("box.timing", key) == pytest.approx(job.at("box.mark_travel", key) - tight, abs=1e-12)


doors = st.tuples(
    st.lists(st.floats(0.4, 0.75), min_size=2, max_size=7),
    st.floats(200.0, 2000.0),
    st.floats(0.25, 0.5),
    st.floats(0.0, 0.2),
    st.floats(0.0, 0.03),
    st.floats(0.0, 0.1),
    st.floats(0.0, 0.1),
)


@settings(max_examples=150, deadline=None)
@given(doors)
def test_marks_by_root_search_and_by_the_slope_of_the_energy(case: Any) -> None:
    heights, scale, radius, drop, slope, low, high = case
    opening = sum(heights)
    path = Path(opening - drop, radius, slope)
    door = Door(tuple(heights), tuple(scale * height for height in heights), low, high)
    opened = opening - 0.02
    for roller, mark in enumerate(balance.marks(path, door, opened), start=1):

        def beyond(travel: float, roller: int = roller) -> float:
            return trace(path, door, travel).s[roller] - path.arc_end

        if mark is None:
            assert beyond(0.0) > 0.0 or beyond(opened) < 0.0
            continue
        assert mark.travel == pytest.approx(brentq(beyond, 0.0, opened, xtol=1e-13), abs=1e-9)
        step = 1e-6
        slope_of_energy = (energy(path, door, mark.travel + step) - energy(path, door, mark.travel - step)) / (2 * step)
        # the slope itself has a corner there, so that its difference is good to the step only
        assert rolling.held(door, mark.climb, mark.turn) == pytest.approx(slope_of_energy, rel=1e-4, abs=0.01)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.floats(100.0, 1500.0), min_size=2, max_size=7), st.floats(0.4, 0.7), st.floats(0.0, 0.1))
def test_ballast_in_closed_form(weights: list[float], height: float, bottom: float) -> None:
    """Level track, the roller below each mark still in the vertical: sections below and the lever rule's share."""
    radius = (height - bottom - 0.1) / math.sqrt(2)
    if radius < 0.15:
        return
    door = Door((height,) * len(weights), tuple(weights), bottom, 0.1)
    path = Path(height * len(weights) - 0.15, radius)
    for k, mark in enumerate(balance.marks(path, door, height * len(weights) - 0.01)):
        if mark is None:
            continue
        share = 0.5
        if k == 0:
            share = (height / 2 - bottom) / (height - bottom)
        elif k == len(weights) - 1:
            share = (height / 2) / (height - 0.1)
        by_hand = sum(weights[:k]) + (1 - share) * weights[k]
        assert rolling.held(door, mark.climb, mark.turn) == pytest.approx(by_hand, rel=1e-9)
