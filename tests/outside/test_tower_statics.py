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
from hypothesis import given, settings
from hypothesis import strategies as st

from doorlint.figures.graph import Job
from doorlint.mechanics import balance, rolling
from doorlint.mechanics.rolling import Door, Path, energy, place
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
    boxes = job.cell("tower.hanging_pull")
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
    from doorlint.figures import tower

    tension = tower.cable_tension(2 * 800.0)
    assert (tension, tower.head_load(tension)) == (400.0, 2000.0)


def test_box_moves_half_as_far_as_the_door(job: Job) -> None:
    """The cable keeps its length: bottom corner - head pulley - moving pulley - eye bolt."""
    head, eye = job.cell("tower.head_pulley_height"), job.cell("tower.eye_bolt_height")
    closed_box = job.cell("tower.box_pulley_top")
    path, door, opened = job.cell("track.path"), job.cell("door.frame"), job.cell("door.open_travel")
    bottom = door.bottom_roller
    length = (head - bottom) + (head - closed_box) + (eye - closed_box)

    def box(travel: float) -> float:
        corner = place(path, door, travel)[0] - bottom  # run along the track is what the cable takes up
        return brentq(lambda z: (head - bottom - corner) + (head - z) + (eye - z) - length, 0.0, eye)

    at_rest = job.cell("tower.rest_height") + job.cell("tower.box_pulley_rise")
    assert box(opened) - at_rest == pytest.approx(job.cell("tower.rest_gap"), abs=1e-9)
    assert box(opened) + job.cell("tower.rest_height") - at_rest == pytest.approx(job.cell("tower.open_top"), abs=1e-9)
    rise = (box(0.3) - box(0.5)) / 0.2
    assert rise == pytest.approx(0.5, abs=1e-9)


class Stack:
    """The boxes found by their own equilibrium: each stands on the one below, or hangs, its spring stretched."""

    def __init__(self, job: Job) -> None:
        keys = job.keys["box"]
        self.weights = [job.at("box.loaded", key) for key in keys]
        self.rates = [job.at("box.chain.spring.rate", key) for key in keys[:-1]]
        self.slacks = [job.at("box.slack", key) for key in keys[:-1]]
        self.stops = [job.at("box.stretch", key) for key in keys[:-1]]
        self.hook_up = job.cell("tower.hook_up")

    def at(self, travel: float) -> tuple[float, float]:
        """Pull of the stack on the door, and energy stored: lifted boxes, and springs up to their stops."""
        rise = self.hook_up - travel / 2
        pull, stored = self.weights[0] / 2, self.weights[0] * rise
        for weight, rate, slack, stop in zip(self.weights[1:], self.rates, self.slacks, self.stops, strict=True):
            drawn = max(rise - slack, 0.0)  # what the chain would be drawn out if the next box stayed down
            stretch = min(drawn, weight / rate, stop)
            pull += min(rate * stretch, weight) / 2 if stretch < stop else weight / 2
            rise = drawn - stretch
            stored += weight * rise + rate * stretch**2 / 2
            if rise == 0.0:
                break
        return pull, stored


def test_pull_of_the_stack_at_every_mark(job: Job) -> None:
    """Whole links left aside, the boxes to a mark hang there and no others."""
    stack = Stack(job)
    for key in job.keys["box"]:
        pull, _ = stack.at(job.at("box.mark_travel", key) + 1e-9)
        assert pull == pytest.approx(job.at("box.hanging", key) / 2, rel=1e-6)
        assert pull - job.at("box.mark_pull", key) == pytest.approx(job.at("box.residual", key), abs=1e-3)


def test_pull_of_the_stack_along_the_travel(job: Job) -> None:
    """The stack of whole links, box by box against its own equilibrium; and the pull is the energy's slope."""
    stack = Stack(job)
    stack.slacks = [job.at("box.slack_made", key) for key in job.keys["box"][:-1]]
    loads, opened = job.cell("tower.stack"), job.cell("door.open_travel")
    for travel in np.linspace(0.0, opened, 800):
        assert balance.counterweight(loads, travel) == pytest.approx(stack.at(travel)[0], abs=1e-6)
    kinks = sorted({load.travel - 2 * drawn for load in loads[1:] for drawn in (0.0, load.stretch)})
    ends = [0.0, *(kink for kink in kinks if 0.0 < kink < opened), opened]
    work = sum(quad(lambda x: balance.counterweight(loads, x), low, high)[0] for low, high in pairwise(ends))
    given_up = stack.at(0.0)[1] - stack.at(opened)[1]
    assert work == pytest.approx(given_up, rel=1e-9)


def test_curve_ends_where_the_figures_say(job: Job) -> None:
    points = job.cell("door.curve")
    assert points[0][3] == pytest.approx(job.cell("door.residual_closed"))
    assert points[-1][3] == pytest.approx(job.cell("door.residual_open"))
    energy_gained = energy(job.cell("track.path"), job.cell("door.shape"), points[-1][0])
    energy_gained -= energy(job.cell("track.path"), job.cell("door.shape"), 0.0)
    by_trapezium = sum((low[1] + high[1]) / 2 * (high[0] - low[0]) for low, high in pairwise(points))
    assert by_trapezium == pytest.approx(energy_gained, rel=2e-3)


def test_chain_slack_from_the_heights_of_the_boxes(job: Job) -> None:
    """At the mark of box k the chain below it comes tight: box k has risen by just the slack."""
    stack = Stack(job)
    keys = job.keys["box"]
    for count, key in enumerate(keys[:-1]):
        rise = stack.hook_up - job.at("box.mark_travel", key) / 2
        for above in range(count):
            rise -= stack.slacks[above] + stack.stops[above]
        assert job.at("box.slack", key) == pytest.approx(rise, abs=1e-12)


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
            return place(path, door, travel)[roller] - path.arc_end

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
