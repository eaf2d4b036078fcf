"""How nearly a section locks in its guides, and how far a door stays on them.

While a door moves, each section pushes its upper roller along that roller's guide. The **bind angle** lies between
the line through the section's two rollers and the square to that guide. At zero the push is square to the guide and
the door is locked.

Source: derived; plane kinematics of rigid sections on their guides.
"""

from __future__ import annotations

from collections.abc import Callable
from math import asin, sqrt
from typing import Final

from doorlint.mechanics.rolling import Door, DoorLocked, Path, RollerAdrift, behind, spot, spots, trace
from doorlint.mechanics.travel import travel_at
from doorlint.named_tuple import NamedTuple

STEPS: Final = 64
"""Steps in which a door with two guides is followed from closed to open."""
NARROWED: Final = 40
"""Steps of the search between two of them; each leaves 0.62 of the range."""
GOLDEN: Final = (sqrt(5.0) - 1.0) / 2.0


class Bind(NamedTuple):
    """The least bind ``angle`` (rad), of which ``section`` (from 1), at which ``travel`` (m) from closed."""

    angle: float
    section: int
    travel: float


def held_until(path: Path, door: Door, open_at: float) -> float:
    """The travel (m) up to which every roller stays on its guide, at most that of the open door.

    >>> held_until(Path(2.0, 0.3), Door((0.5, 0.5), (0.0, 0.0), 0.1, 0.0), 1.0)
    1.0
    """
    if path.upper is None:
        return open_at
    sound = 0.0
    for step in range(STEPS + 1):
        travel = open_at * step / STEPS
        if not _stands(path, door, travel):
            return _last(lambda at: _stands(path, door, at), sound, travel)
        sound = travel
    return open_at


def least(path: Path, door: Door, until: float) -> Bind | None:
    """The least bind angle of any section up to a travel (m); None for a door whose track never turns.

    On one guide a section binds most as its upper roller comes onto the straight track.

    >>> found = least(Path(2.0, 0.2), Door((0.5, 0.5), (0.0, 0.0), 0.125, 0.0), 1.9)
    >>> round(found.angle, 4), found.section
    (0.4115, 2)
    """
    if path.radius == 0.0:
        return None
    top = len(door.spacings)
    own = top if path.upper is None else top - 1
    found = [bind for bind in (_at_curve_end(path, door, section, until) for section in range(1, own + 1)) if bind]
    if path.upper is not None:
        found.append(_of_upper(path, door, until))
    return min(found, default=None)


def _at_curve_end(path: Path, door: Door, section: int, until: float) -> Bind | None:
    """The bind angle of a section with its upper roller at the end of the curve, where the door comes there."""
    upper = spot(path, path.arc_end)
    lower = behind(path, upper, door.spacings[section - 1])
    travel = travel_at(path, door, section - 1, lower[0])
    if not 0.0 <= travel <= until:
        return None
    return Bind(_angle(lower, upper), section, travel)


def _of_upper(path: Path, door: Door, until: float) -> Bind:
    """The least bind angle of the top section on its own guide, closed in on from steps."""
    top = len(door.spacings)

    def angle(travel: float) -> float:
        *_, lower, upper = spots(path, door, travel)
        return _angle(lower, upper)

    step = until / STEPS
    seen = [(angle(step * number), step * number) for number in range(STEPS + 1)]
    best, where = min(seen)
    left, right = max(where - step, 0.0), min(where + step, until)
    inner, outer = right - GOLDEN * (right - left), left + GOLDEN * (right - left)
    at_inner, at_outer = angle(inner), angle(outer)
    for _ in range(NARROWED):
        best, where = min((best, where), (at_inner, inner), (at_outer, outer))
        if at_inner < at_outer:
            right, outer, at_outer = outer, inner, at_inner
            inner = right - GOLDEN * (right - left)
            at_inner = angle(inner)
        else:
            left, inner, at_inner = inner, outer, at_outer
            outer = left + GOLDEN * (right - left)
            at_outer = angle(outer)
    return Bind(best, top, where)


def _angle(lower: tuple[float, float, float, float, float], upper: tuple[float, float, float, float, float]) -> float:
    to_y, to_z = upper[1] - lower[1], upper[2] - lower[2]
    along = abs(to_y * upper[3] + to_z * upper[4])
    return asin(min(along / sqrt(to_y * to_y + to_z * to_z), 1.0))


def _stands(path: Path, door: Door, travel: float) -> bool:
    try:
        trace(path, door, travel)
    except (RollerAdrift, DoorLocked):
        return False
    return True


def _last(sound: Callable[[float], bool], low: float, high: float) -> float:
    for _ in range(NARROWED):
        middle = (low + high) / 2
        low, high = (middle, high) if sound(middle) else (low, middle)
    return low
