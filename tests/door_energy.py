"""The potential energy of a door, from which its pull follows a second way."""

from __future__ import annotations

from operator import mul

from doorlint.mechanics.balance import marks
from doorlint.mechanics.rolling import Door, Path, trace


def energy(path: Path, door: Door, travel: float) -> float:
    """U: potential energy of the door above the finished floor (J).

    >>> energy(Path(2.0, 0.3), Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0), 0.0)
    300.0
    """
    at = trace(path, door, travel)
    stored: float = sum(map(mul, door.loads, at.z)) + door.sway * (at.y[-1] - at.y[-2])
    return stored


def mark_travels(path: Path, door: Door, open_at: float) -> tuple[float | None, ...]:
    """The travel (m) of the mark of each roller; None where closed and open leave it out."""
    return tuple(None if mark is None else mark.travel for mark in marks(path, door, open_at))
