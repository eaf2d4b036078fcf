"""Doors as the trade builds them: for hypothesis, and a fixed varied set for the tests with records."""

from __future__ import annotations

import math
import random

from hypothesis import strategies as st
from link_by_link import Case

from doorlint.mechanics.rolling import Door, Path

INCH = 0.0254
POUND = 4.4482216152605

HEIGHTS = (16.0, 18.0, 19.5, 21.0, 24.0, 26.0)
RADII = (10.0, 12.0, 15.0, 20.0)
RISES = (0.0, 1 / 16, 1 / 8, 3 / 16, 1 / 4)
LIFTS = ("standard", "standard", "high", "vertical")


def build(
    lift: str,
    heights: tuple[float, ...],
    weights: tuple[float, ...],
    rollers: tuple[float, float],
    lap: float,
    radius: float,
    rise: float,
    high_lift: float,
) -> Case:
    """A case from inches, pounds and inches of rise per foot."""
    opening = (sum(heights) - lap) * INCH
    vertical = lift == "vertical"
    tangent = opening - 6 * INCH + (high_lift * INCH if lift == "high" else 0.0)
    return Case(
        heights=tuple(height * INCH for height in heights),
        weights=tuple(weight * POUND for weight in weights),
        bottom_roller=rollers[0] * INCH,
        top_roller=rollers[1] * INCH,
        tangent=math.inf if vertical else tangent,
        radius=None if vertical else radius * INCH,
        slope=0.0 if vertical else rise / 12,
        opening=opening,
    )


def varied(count: int, kinds: tuple[str, ...] = LIFTS) -> list[Case]:
    """A fixed set: every radius and rise comes up, sections and weights are unequal."""
    cases = []
    for number in range(count):
        draw = random.Random(number)
        sections = 3 + number % 7
        cases.append(
            build(
                lift=kinds[number % len(kinds)],
                heights=tuple(draw.choice(HEIGHTS) for _ in range(sections)),
                weights=tuple(draw.uniform(60, 260) for _ in range(sections)),
                rollers=(draw.choice((0.0, 2.0, 3.0, 4.0)), draw.choice((0.0, 2.0, 3.0))),
                lap=draw.choice((0.0, 1.0, 2.0)),
                radius=RADII[number // 4 % 4],
                rise=RISES[number % 5],
                high_lift=draw.uniform(3, 60),
            )
        )
    return cases


@st.composite
def cases(draw: st.DrawFn, kinds: tuple[str, ...] = LIFTS, fewest: int = 1) -> Case:
    sections = draw(st.integers(fewest, 9))
    return build(
        lift=draw(st.sampled_from(kinds)),
        heights=tuple(draw(st.lists(st.sampled_from(HEIGHTS), min_size=sections, max_size=sections))),
        weights=tuple(draw(st.lists(st.floats(60, 260), min_size=sections, max_size=sections))),
        rollers=(draw(st.floats(0, 5)), draw(st.floats(0, 5))),
        lap=draw(st.floats(0, 2)),
        radius=draw(st.sampled_from(RADII)),
        rise=draw(st.sampled_from(RISES)),
        high_lift=draw(st.floats(1, 60)),
    )


def on_track(case: Case) -> tuple[Path, Door]:
    path = Path(case.tangent, case.radius or 0.0, case.slope)
    return path, Door(case.heights, case.weights, case.bottom_roller, case.top_roller)


Largest = dict[str, float]


def note(largest: Largest, name: str, difference: float) -> None:
    """Keep the largest difference seen under a name."""
    largest[name] = max(largest.get(name, -math.inf), difference)
