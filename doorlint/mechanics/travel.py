"""How far the door has run when a roller passes a point, and when it is open.

Travel is that of the bottom roller along its guide from the closed door.

Source: derived; rigid sections on their guides.
"""

from __future__ import annotations

import math

from doorlint.mechanics.rolling import Door, Path, ahead, behind, gain, spot, trace
from doorlint.mechanics.upper_guide import UpperGuide


def travel_at(path: Path, door: Door, roller: int, s: float) -> float:
    """The travel (m) that brings ``roller`` to path coordinate ``s`` (m); negative is below closed.

    Walked back along the door in closed form.

    >>> door = Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> travel_at(Path(2.0, 0.3), door, 2, 1.5)
    0.5
    """
    if path.upper is not None and roller == len(door.spacings):
        return _top_travel_at(path, path.upper, door, s)
    here = spot(path, s)
    tangent = path.tangent
    for k in range(roller - 1, -1, -1):
        if here[0] <= tangent:  # the rest of the door hangs straight
            return here[0] - sum(door.spacings[: k + 1]) - door.bottom_roller
        here = behind(path, here, door.spacings[k])
    return here[0] - door.bottom_roller


def _top_travel_at(path: Path, guide: UpperGuide, door: Door, s: float) -> float:
    """The travel (m) at which the top roller passes ``s`` on its own guide; the closed door where it is past it."""

    def short(travel: float) -> float:
        return s - trace(path, door, travel).s[-1]

    low, high = (
        0.0,
        travel_at(path, door, len(door.spacings) - 1, path.arc_end + math.hypot(guide.end_y, door.spacings[-1])),
    )
    if short(low) <= 0.0:
        return low
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if short(middle) > 0.0 else (low, middle)
        if high - low < 1e-13:
            break
    return high


def open_travel(path: Path, door: Door, opening_height: float) -> float | None:
    """The travel (m) that brings the door's bottom edge to ``opening_height`` (m): the open door.

    The bottom edge lies on the roller line, ``bottom_roller`` behind the bottom roller along the
    first section. None when the track is too low for that: the door never clears the opening.

    >>> door = Door((0.5, 0.5), (300.0, 300.0), 0.1, 0.0)
    >>> open_travel(Path(math.inf), door, 1.0)
    1.0
    >>> path = Path(0.85, 0.3)
    >>> x = open_travel(path, door, 1.0)
    >>> low, high = trace(path, door, x).z[:2]
    >>> round(x, 6), round(low - 0.1 * (high - low) / 0.4, 9)
    (0.94305, 1.0)
    >>> open_travel(path, door, 1.2) is None
    True
    """
    bottom = door.bottom_roller
    spacing = door.spacings[0]
    if opening_height + bottom + spacing <= path.tangent:
        return opening_height
    lever = bottom / spacing

    def edge(travel: float) -> tuple[float, float]:
        """Height of the bottom edge over the header, and its rate."""
        below = spot(path, bottom + travel)
        above = ahead(path, below, spacing)
        rate = gain(below, above) * above[4]
        return below[2] - lever * (above[2] - below[2]) - opening_height, below[4] - lever * (rate - below[4])

    # The edge climbs until the bottom roller is over the curve (at its top, should the track fall away).
    low, high = 0.0, path.tangent + path.radius * min(path.arc, math.pi / 2) - bottom
    reached = edge(high)[0]
    if reached < 0.0:
        return high - reached / path.sin if path.sin > 0.0 else None
    travel = min(opening_height, high)
    for _ in range(64):  # Newton's steps inside a closing bracket; four or so are enough
        miss, rate = edge(travel)
        if miss < 0.0:
            low = travel
        else:
            high = travel
        step = travel - miss / rate if rate > 0.0 else math.inf
        if not low <= step <= high:
            step = (low + high) / 2
        settled = abs(step - travel) < 1e-12
        travel = step
        if settled:
            break
    return travel
