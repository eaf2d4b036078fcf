"""The counterbalance against the door: the door at its marks, and what is left over.

Travel x counts from the closed door, as in ``doorlint.mechanics.rolling``. The residual is the pull of the
counterbalance on the door less the pull of the door itself; positive, the door moves up.

Source: derived; virtual work of rigid sections.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

from doorlint.mechanics.rolling import Door, Path, behind, gain, held, pull, spot, trace
from doorlint.mechanics.travel import travel_at
from doorlint.mechanics.upper_guide import UpperGuide
from doorlint.named_tuple import NamedTuple

FINE = 0.05
"""share of the travel; between two places that are closer than this nothing is looked for"""


class Mark(NamedTuple):
    """A roller at the end of its guide's curve: ``travel`` (m), of every roller ``climb`` = dz/dx, and ``turn``: how
    fast the top roller moves into the room from the one below it (dy/dx)."""

    travel: float
    climb: tuple[float, ...]
    turn: float = 0.0


def mark(path: Path, door: Door, roller: int) -> Mark:
    """The door with ``roller`` at the end of the curve, on its horizontal side.

    Walked back from that roller, place and speed together. The rollers beyond it run on the straight
    track, all at its speed.

    >>> path, door = Path(2.0, 0.2), Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> x, climb, _ = mark(path, door, 1)
    >>> round(x, 6), [round(rate, 6) for rate in climb]
    (1.757786, [1.0, 0.0, 0.0])
    """
    if path.upper is not None:
        return _mark_of_two_guides(path, path.upper, door, roller)
    here = spot(path, path.arc_end)
    speed = 1.0
    back: list[float] = []
    for k in range(roller - 1, -1, -1):
        if here[0] <= path.tangent:  # the rest of the door hangs straight
            back.extend([speed] * (k + 1))
            bottom = here[0] - sum(door.spacings[: k + 1])
            break
        lower = behind(path, here, door.spacings[k])
        speed /= gain(lower, here)
        back.append(speed * lower[4])
        here = lower
        bottom = here[0]
    climb = [rate / speed for rate in reversed(back)] + [path.sin / speed] * (len(door.spacings) + 1 - roller)
    turn = 0.0
    if door.sway and roller == len(door.spacings):
        turn = trace(path, door, bottom - door.bottom_roller).turn
    return Mark(bottom - door.bottom_roller, tuple(climb), turn)


def _mark_of_two_guides(path: Path, upper: UpperGuide, door: Door, roller: int) -> Mark:
    """The mark of a roller where the top one has its own guide; one past its curve when closed has its mark there."""
    end = upper.arc_end if roller == len(door.spacings) else path.arc_end
    travel = travel_at(path, door, roller, end)
    moving = trace(path, door, max(travel, 0.0))
    return Mark(travel, moving.climb, moving.turn)


def marks(path: Path, door: Door, open_at: float) -> tuple[Mark | None, ...]:
    """The marks of rollers 1 to n; None where closed (0) and open (``open_at``, m) leave it out.

    >>> path, door = Path(2.0, 0.2), Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> [None if found is None else round(found.travel, 6) for found in marks(path, door, 1.5)]
    [None, 1.241742]
    """
    if path.radius == 0.0:
        return (None,) * len(door.spacings)
    every = [mark(path, door, roller) for roller in range(1, len(door.spacings) + 1)]
    return tuple([found if 0.0 <= found.travel <= open_at else None for found in every])


def left_over(
    path: Path,
    door: Door,
    marks: Iterable[Mark | None],
    other: Callable[[float], float],
    corners: Iterable[tuple[float, float]],
    open_at: float,
) -> list[tuple[float, float]]:
    """The residual (N) by travel, from closed to open, where it may be most.

    ``other`` gives the pull of the counterbalance at a travel. ``corners`` are the travels where it bends, with the
    pull there; a travel that comes twice is a jump, its side toward closed first. Looked for there, with the door
    closed and open, at every mark, at thirds between any two of these that lie well apart, and at the top of the
    parabola through the highest and the lowest place and their neighbors: no more than 0.1 % of the door's weight is
    left out (trial over 355 doors, against 4,001 steps).

    >>> path, door = Path(2.0, 0.2), Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> left = left_over(path, door, marks(path, door, 1.757786), lambda travel: 300.0, [], 1.757786)
    >>> [round(over) for travel, over in left if travel in (0.0, 1.757786)]
    [-300, 100]
    """
    at_marks = {mark.travel: held(door, mark.climb, mark.turn) for mark in marks if mark is not None}
    bent = [corner for corner in corners if 0.0 <= corner[0] <= open_at]
    places = sorted({0.0, open_at, *at_marks, *(travel for travel, _ in bent)})
    even = [
        low + third * (high - low) / 3
        for low, high in pairwise(places)
        if high - low > FINE * open_at
        for third in (1, 2)
    ]
    pulls = {
        travel: at_marks[travel] if travel in at_marks else pull(path, door, travel) for travel in [*places, *even]
    }
    bends = {travel for travel, _ in bent}
    found = [(travel, force - pulls[travel]) for travel, force in bent]
    found += [(travel, other(travel) - held_by) for travel, held_by in pulls.items() if travel not in bends]
    found.sort(key=_travel)
    peaks = [_vertex(found, _most(found, sign)) for sign in (-1.0, 1.0)]
    found += [(peak, other(peak) - pull(path, door, peak)) for peak in peaks if peak is not None]
    found.sort(key=_travel)
    return found


def _travel(point: tuple[float, float]) -> float:
    return point[0]


def _most(points: Sequence[tuple[float, float]], sign: float) -> int:
    """Index of the point that is farthest in one direction."""
    return max(range(len(points)), key=lambda index: sign * points[index][1])


def _vertex(points: Sequence[tuple[float, float]], index: int) -> float | None:
    """Travel (m) at the top of the parabola through a point and its neighbors, if there is one between them."""
    if not 0 < index < len(points) - 1:
        return None
    (a, fa), (b, fb), (c, fc) = points[index - 1 : index + 2]
    if not a < b < c:  # a jump
        return None
    left, right = (fb - fa) / (b - a), (fc - fb) / (c - b)
    if left == right:
        return None
    top = (a + b) / 2 - left * (c - a) / 2 / (right - left)
    return top if a < top < c and top != b else None
