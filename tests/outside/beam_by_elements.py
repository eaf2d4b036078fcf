"""A continuous beam by the stiffness method, to hold supports worked out another way against."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import needs

np = needs.module("numpy")


def supported(
    supports: Sequence[float], end: float, loads: Sequence[tuple[float, float]], weight: float = 0.0
) -> list[float]:
    """What each rigid support carries (N) of point ``loads`` (place in m, N) and a ``weight`` per length (N/m).

    The beam runs from the first support to ``end`` (m), which may be free; its stiffness is the same everywhere.
    """
    nodes = sorted({*supports, end, *(place for place, _ in loads)})
    at = {place: 2 * index for index, place in enumerate(nodes)}
    stiffness, forces = np.zeros((2 * len(nodes), 2 * len(nodes))), np.zeros(2 * len(nodes))
    for here, there in pairwise(nodes):
        run, where = there - here, slice(at[here], at[here] + 4)
        shear, turn, near, far = 12 / run**3, 6 / run**2, 4 / run, 2 / run
        stiffness[where, where] += [
            [shear, turn, -shear, turn], [turn, near, -turn, far],
            [-shear, -turn, shear, -turn], [turn, far, -turn, near],
        ]  # fmt: skip
        if there <= end:
            forces[where] += [weight * run / 2, weight * run**2 / 12, weight * run / 2, -weight * run**2 / 12]
    for place, load in loads:
        forces[at[place]] += load
    held = [at[place] for place in supports]
    free = [row for row in range(len(forces)) if row not in held]
    moved = np.zeros(len(forces))
    moved[free] = np.linalg.solve(stiffness[np.ix_(free, free)], forces[free])
    return [float(force) for force in (forces - stiffness @ moved)[held]]
