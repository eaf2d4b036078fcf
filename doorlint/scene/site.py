"""What every part of the scene is placed by: opening, room, roller path and sweep."""

from __future__ import annotations

from typing import NamedTuple

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
