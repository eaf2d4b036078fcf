"""The hanging stack against the least potential energy of its boxes and springs, with one-sided contact.

Box 1 is held at a height. The other boxes and the stretches of the springs settle where the energy of weights and
springs is least; a box may not sink into the stack, a chain may not be longer than slack and stretch, a spring not
beyond its stop. The force that holds box 1 is the multiplier of its chain's constraint and its own weight.
"""

from __future__ import annotations

import math
import random
from typing import Any

import needs
import pytest
from shared import thinned

from doorlint.mechanics import stack
from doorlint.mechanics.stack import Chain

np = needs.module("numpy")
minimize = needs.module("scipy.optimize").minimize

STACKS = 100
HEIGHTS = 6
"""of box 1, drawn for each stack"""


def drawn(rng: random.Random) -> tuple[list[float], list[Chain]]:
    """Two to seven boxes; chains rigid, sprung, sprung with a stop that comes early or late, tight or far too long."""
    weights = [rng.uniform(200.0, 2000.0) for _ in range(rng.randint(2, 7))]
    chains = []
    for weight in weights[1:]:
        slack = rng.choice([0.0, rng.uniform(0.02, 0.4), rng.uniform(0.02, 0.4), rng.uniform(0.02, 0.4), 1.5])
        rate = weight / rng.uniform(0.03, 0.3)
        stop = weight / rate * rng.uniform(0.3, 2.5)
        kind = rng.randrange(4)
        chains.append((Chain(slack), Chain(slack, rate), Chain(slack, rate, stop), Chain(slack, rate, stop))[kind])
    return weights, chains


def least_energy(weights: list[float], chains: list[Chain], height: float) -> tuple[float, list[float]]:
    """Pull on box 1 and the heights of all boxes, from the least energy."""
    count = len(chains)
    unit = sum(weights)  # energy in it, so that the search sees numbers near 1
    load = np.array(weights[1:]) / unit
    rate = np.array([0.0 if math.isinf(chain.rate) else chain.rate / unit for chain in chains])
    most = [0.0 if math.isinf(chain.rate) else min(chain.stop, 10.0) for chain in chains]

    def energy(at: Any) -> float:
        rise, stretch = at[:count], at[count:]
        return float(load @ rise + 0.5 * rate @ (stretch * stretch))

    def slope(at: Any) -> Any:
        return np.concatenate([load, rate * at[count:]])

    matrix = np.zeros((count, 2 * count))
    floor = np.zeros(count)
    for number, chain in enumerate(chains):
        matrix[number, number] = matrix[number, count + number] = 1.0
        floor[number] = -chain.slack
        if number:
            matrix[number, number - 1] = -1.0
        else:
            floor[number] += height
    chained = {"type": "ineq", "fun": lambda at: matrix @ at - floor, "jac": lambda _: matrix}
    bounds = [(0.0, None)] * count + [(0.0, end) for end in most]
    for start in (height, 1.01 * height, 0.5 * height, 0.0):  # the search may end early at a corner of the constraints
        found = minimize(
            energy, np.array([start] * count + [0.0] * count), jac=slope, bounds=bounds, constraints=[chained],
            method="SLSQP", options={"ftol": 1e-16, "maxiter": 1000},
        )  # fmt: skip
        if found.success:
            break
    assert found.success, found.message
    return weights[0] + float(found.multipliers[0]) * unit, [height, *found.x[:count]]


@pytest.mark.parametrize("seed", thinned(range(STACKS), 4))
def test_pull_and_heights_are_those_of_least_energy(seed: int) -> None:
    rng = random.Random(seed)
    weights, chains = drawn(rng)
    law = stack.law(weights, chains)
    top = law[-1].height + 0.2
    for height in (rng.uniform(1e-3, top) for _ in range(HEIGHTS)):
        if min(abs(height - corner.height) for corner in law) < 1e-4:
            continue  # either side of a jump is right there
        pull = stack.pull(law, height)
        least, risen = least_energy(weights, chains, height)
        assert pull == pytest.approx(least, abs=1e-5 * sum(weights))
        assert stack.heights(weights, chains, height, pull) == pytest.approx(risen, abs=2e-6)
