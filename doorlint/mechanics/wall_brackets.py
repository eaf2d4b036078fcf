"""The guides of a vertical lift above the header: what the door's rollers press on them, and what brackets carry.

Each side of the door hangs on a cable beside its roller line, and its sections hang beside that line too. Brackets are
rigid pins under the guide, which is free at both ends. What a roller presses with is the same at every height, so the
loads roll over the pins while the door moves. Heights in m above the floor, forces in N; positive is into the
room, so that a bracket with a positive load is pulled off the wall.

Source: derived; equilibrium of every section, continuous beam on rigid supports.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from doorlint.mechanics import beam


def presses(
    heights: Sequence[float], weights: Sequence[float], depths: Sequence[float], cable: float
) -> tuple[float, ...]:
    """What each roller of one side presses on its guide with, from the bottom one up (N).

    ``heights`` of the rollers, ``weights`` and ``depths`` of the sections, both sides together and from the roller line
    to the outer face; ``cable`` is how far the cable is outside the roller line, negative inside.

    >>> [round(force, 6) for force in presses((0.0, 1.0), (400.0,), (0.1,), 0.0)]
    [10.0, -10.0]
    >>> [round(force, 6) for force in presses((0.0, 1.0), (400.0,), (0.1,), 0.05)]
    [0.0, 0.0]
    """
    found = [0.0] * len(heights)
    for section, (weight, depth) in enumerate(zip(weights, depths, strict=True)):
        pair = weight * depth / (4.0 * (heights[section + 1] - heights[section]))
        found[section] += pair
        found[section + 1] -= pair
    pair = sum(weights) * cable / (2.0 * (heights[1] - heights[0]))
    found[0] -= pair
    found[1] += pair
    return tuple(found)


def carried(pins: Sequence[float], loads: Sequence[tuple[float, float]], end: float) -> tuple[tuple[float, float], ...]:
    """The least and the greatest that each pin of a guide carries while the door closes from where its loads are (N).

    The guide is free at both ends; a load below the lowest pin is on the part that is fastened to the jamb.

    >>> [tuple(round(force, 6) for force in pin) for pin in carried((1.0, 2.0), [(2.5, 10.0)], 3.0)]
    [(-5.0, 10.0), (0.0, 15.0)]
    """
    top = max([end, pins[-1], *(height for height, _ in loads)])
    above = [load for load in loads if load[0] >= pins[0]]
    return tuple((least, most) for _, least, most in beam.rolling(beam.Beam(tuple(pins), top), above))


def shares(pins: Sequence[float], end: float) -> tuple[float, ...]:
    """How much of the guide's length each pin carries: half to each neighbor, all of the free end above (m).

    >>> shares((1.0, 2.0, 4.0), 4.5)
    (0.5, 1.5, 1.5)
    """
    found = [0.0] * len(pins)
    for place, (low, high) in enumerate(itertools.pairwise(pins)):
        found[place] += (high - low) / 2.0
        found[place + 1] += (high - low) / 2.0
    found[-1] += max(end - pins[-1], 0.0)
    return tuple(found)
