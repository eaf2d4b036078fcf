"""How low the moving door comes inside its curve: what stands there must stay below it.

Source: derived; rigid sections on the roller path.
"""

from __future__ import annotations

import math

from doorlint.mechanics.rolling import Path, ahead, behind, path_height, spot

HALVINGS = 40
"""steps of the search; each leaves 0.62 of the range, so that a curve is searched to less than a micrometre"""
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


def lowest_chord(path: Path, spacing: float, y: float) -> float:
    """Least height (m) that the line through two rollers ``spacing`` (m) apart has at ``y`` (m) into the room.

    While a section turns, this line cuts across the curve below the roller path: the envelope of a ladder
    that slides down a wall. It has one lowest place, found by golden sections. ``y`` is more than 0.

    >>> corner = Path(2.0, 1e-6)  # a ladder there keeps y^(2/3) + depth^(2/3) = spacing^(2/3)
    >>> round(lowest_chord(corner, 0.8, 0.8 / math.sqrt(8)), 4), round(2.0 - 0.8 / math.sqrt(8), 4)
    (1.7172, 1.7172)
    >>> lowest_chord(Path(2.0, 0.3), 0.5, 2.0)
    2.3
    """
    top = path_height(path, y)
    if top is None:
        return math.inf
    if y >= path.end_y + spacing:
        return top
    upper = _coordinate(path, y)
    low = behind(path, spot(path, upper), spacing)[0]
    high = min(upper, path.arc_end)  # with both rollers on the straight track the line is the track

    def height(s: float) -> float:
        _, lower_y, lower_z, _, _ = here = spot(path, s)
        _, upper_y, upper_z, _, _ = ahead(path, here, spacing)
        run = upper_y - lower_y
        return lower_z + (y - lower_y) * (upper_z - lower_z) / run if run > 0.0 else upper_z

    one, two = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_one, at_two = height(one), height(two)
    for _ in range(HALVINGS):
        if at_one < at_two:
            high, two, at_two = two, one, at_one
            one = high - GOLDEN * (high - low)
            at_one = height(one)
        else:
            low, one, at_one = one, two, at_two
            two = low + GOLDEN * (high - low)
            at_two = height(two)
    return min(at_one, at_two)


def _coordinate(path: Path, y: float) -> float:
    """Coordinate of the path at ``y`` (m, more than 0) into the room."""
    if y >= path.end_y:
        return path.arc_end + (y - path.end_y) / path.cos
    return path.tangent + path.radius * math.acos(1.0 - y / path.radius)
