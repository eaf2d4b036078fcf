"""What every part of the scene is placed by: opening, room, roller path and sweep."""

from __future__ import annotations

import math
from typing import NamedTuple

from doorlint.counterbalance import described
from doorlint.facts import Facts
from doorlint.mechanics import rolling, sweep

__all__ = ["WALL_DEPTH", "Site"]

WALL_DEPTH = 0.2
"""Depth at which the wall is drawn (m): the spec does not give it."""


class Site(NamedTuple):
    """Lengths in meters; ``None`` for what is not known."""

    width: float | None
    """clear width of the opening"""
    height: float | None
    """clear height of the opening"""
    door: tuple[float, float] | None
    """left and right edge of the door"""
    left: float
    """how far the drawings reach to the left, negative"""
    right: float
    back: float
    top: float
    path: rolling.Path | None
    swept: sweep.Sweep | None
    offset: float
    """inside wall face to the roller line"""

    @property
    def middle(self) -> float | None:
        """The middle of the opening."""
        return None if self.width is None else self.width / 2

    def edge(self, side: str) -> float | None:
        """The left or right edge of the door."""
        return None if self.door is None else self.door[side == "right"]


def site(facts: Facts) -> Site:
    """The site of a job, as far as it is known."""
    width = facts.first("opening.finished_width", "opening.least_width", "opening.width.bottom", "opening.width.top")
    height = facts.first("opening.finished_height", "opening.least_height", "opening.height.middle")
    across = facts.known("door.width") or width
    door = None if width is None or across is None else ((width - across) / 2, (width + across) / 2)
    path = facts.known("track.path") if facts.given("track") else None
    swept = facts.known("sweep.shape") if facts.given("door") and path is not None else None
    offset = facts.known("track.wall_offset") or 0.0
    sides = {side: [0.35, *facts.all_known(f"room.side_{side}")] for side in ("left", "right")}
    reaches = [kind.reach(facts) for kind in described(facts.job.values)]
    sides["left"] += [room.left for room in reaches]
    sides["right"] += [room.right for room in reaches]
    deep = [1.2]
    up = [(height or 0.0) + 0.5, *((height or 0.0) + room for room in facts.all_known("room.headroom"))]
    up += [*facts.all_known("room.roof"), *(room.up for room in reaches)]
    if path is not None:
        deep += facts.all_known("track.back_end", "sweep.reach")
        if math.isfinite(path.tangent):
            up.append(path.end_z + 0.1)
    if swept is not None:
        deep.append(sweep.depth(swept) + offset)
        up.append(max(z for outline in swept.opened for _, z in outline) + 0.1)
    reach = max(deep)
    for behind in facts.all_known("room.back"):
        reach = max(reach, min(behind, reach * 1.3))
    return Site(
        width, height, door, -max(sides["left"]) - 0.1, (width or 0.0) + max(sides["right"]) + 0.1, reach + 0.12,
        max(up) + 0.05, path, swept, offset,
    )  # fmt: skip
