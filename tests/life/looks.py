"""What the simulator looks at, and how far each thing is from harm."""

from __future__ import annotations

from dataclasses import dataclass

SLACK = 0.05
"""A share (or a twentieth of an inch) that two honest calculations may differ by: less is no harm yet."""


@dataclass(frozen=True)
class Look:
    """One thing looked at. ``margin`` is the share of a limit that is left, or a gap in inches; below 0 it hurts."""

    kind: str
    thing: str
    margin: float
    words: str

    @property
    def harm(self) -> bool:
        return self.margin < -SLACK


def carried(kind: str, thing: str, load: float, capacity: float | None) -> list[Look]:
    """A part under a load, where its capacity is known."""
    if capacity is None:
        return []
    margin = 1 - load / capacity if capacity > 0 else -1e9
    return [Look(kind, thing, margin, f"{thing} carries {load:.0f} N of {capacity:.0f} N")]
