"""Wall brackets of a vertical lift against finite elements of the guide and free bodies of the sections."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest
from needs import module

from doorlint.mechanics.wall_brackets import carried, presses, shares

numpy = module("numpy")


def by_elements(pins: list[float], loads: list[tuple[float, float]]) -> list[float]:
    """Reactions of a beam on rigid pins, free at both ends, by its stiffness matrix."""
    nodes = sorted({*pins, *(height for height, _ in loads)})
    size = 2 * len(nodes)
    stiffness, force = numpy.zeros((size, size)), numpy.zeros(size)
    for place, (low, high) in enumerate(pairwise(nodes)):
        span = high - low
        part = (
            numpy.array(
                [
                    [12, 6 * span, -12, 6 * span],
                    [6 * span, 4 * span**2, -6 * span, 2 * span**2],
                    [-12, -6 * span, 12, -6 * span],
                    [6 * span, 2 * span**2, -6 * span, 4 * span**2],
                ]
            )
            / span**3
        )
        stiffness[2 * place : 2 * place + 4, 2 * place : 2 * place + 4] += part
    for height, load in loads:
        force[2 * nodes.index(height)] += load
    held = [2 * nodes.index(pin) for pin in pins]
    free = [place for place in range(size) if place not in held]
    moved = numpy.zeros(size)
    moved[free] = numpy.linalg.solve(stiffness[numpy.ix_(free, free)], force[free])
    return [float((force - stiffness @ moved)[place]) for place in held]


@pytest.mark.parametrize("seed", range(12))
def test_pins_carry_the_worst_of_the_way_down(seed: int) -> None:
    """The door is closed in steps; what a stiffness matrix gives at each is within the limits, and comes near them."""
    dice = random.Random(seed)
    pins = sorted(dice.sample([3.0 + 0.1 * step for step in range(40)], dice.randint(2, 6)))
    loads = [(3.1 + 0.47 * step + dice.random() / 50, dice.uniform(-900, 900)) for step in range(dice.randint(1, 7))]
    limits = carried(pins, loads, 7.5)
    passing = [height - pin for height, _ in loads for pin in pins if height > pin]
    seen = []
    for closed_by in [*(4.0 * step / 400 for step in range(401)), *(way - 1e-3 for way in passing)]:
        above = [(height - closed_by, load) for height, load in loads if height - closed_by >= pins[0]]
        seen.append(by_elements(pins, above))
    for (least, most), forces in zip(limits, zip(*seen, strict=True), strict=True):
        assert least - 1e-3 <= min(forces) <= least + 15.0
        assert most - 15.0 <= max(forces) <= most + 1e-3


@pytest.mark.parametrize("seed", range(20))
def test_every_section_is_in_balance_beside_its_rollers(seed: int) -> None:
    """Moments about the lower roller: half the weight on a side at half the depth, and the joint pulls none."""
    dice = random.Random(100 + seed)
    number = dice.randint(1, 7)
    heights = [3.0]
    for _ in range(number):
        heights.append(heights[-1] + dice.uniform(0.4, 0.7))
    weights = [dice.uniform(200, 900) for _ in range(number)]
    depths = [dice.uniform(0.03, 0.12) for _ in range(number)]
    cable = dice.uniform(-0.05, 0.05)
    found = presses(heights, weights, depths, cable)
    assert sum(found) == pytest.approx(0.0, abs=1e-9)
    turning = sum(force * (height - heights[0]) for force, height in zip(found, heights, strict=True))
    weights_turn = sum(weight / 2 * depth / 2 for weight, depth in zip(weights, depths, strict=True))
    assert turning == pytest.approx(sum(weights) / 2 * cable - weights_turn)


def test_the_guide_hangs_whole_on_its_pins() -> None:
    assert sum(shares((1.0, 2.0, 4.5), 5.0)) == pytest.approx(4.0)
