"""The counterweight stack against the door: where each box comes on, and with what force.

The lift cables run from the bottom corners of the door over the head down to moving pulleys on box 1 and up
to the top of the tower. Four lines carry box 1, two pull the door: box 1 moves half as far as the door, and
what hangs on it pulls the door with half its weight. Below it each box hangs from the one above by a chain
with a spring in it; what still stands on the stack pulls nothing.

Travel x counts from the closed door, as in ``doorlint.mechanics.rolling``; a box comes on while the door
closes, as x falls.

Source: derived; statics of the moving pulley and virtual work of rigid sections.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import NamedTuple

from doorlint.mechanics.rolling import Door, Path, behind, gain, held, pull, spot, trace, travel_at
from doorlint.mechanics.upper_guide import UpperGuide

FINE = 0.05
"""share of the travel; between two places that are closer than this nothing is looked for"""
JUMP = 1e-6
"""m; as near to a jump as that on either side"""


class Mark(NamedTuple):
    """A roller at the end of its guide's curve: ``travel`` (m), of every roller ``climb`` = dz/dx, and ``turn``: how
    fast the top roller moves into the room from the one below it (dy/dx)."""

    travel: float
    climb: tuple[float, ...]
    turn: float = 0.0


class Load(NamedTuple):
    """A box, or boxes that come on together: ``weight`` (N), ``travel`` (m) at which the chain above comes
    tight, spring ``rate`` (N/m; 0 without a spring) and its ``stretch`` (m) when its stop comes home."""

    weight: float
    travel: float
    rate: float
    stretch: float


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


def carried(load: Load, travel: float) -> float:
    """How much of a box its chain carries (N) at ``travel`` (m).

    The box above rises half as far as the door falls. The spring takes weight as it stretches, until the
    box is off the stack or the stop comes home.

    >>> box = Load(400.0, 2.0, 4000.0, 0.2)
    >>> [round(carried(box, x), 6) for x in (2.1, 2.0, 1.9, 1.7, 1.0)]
    [0.0, 0.0, 200.0, 400.0, 400.0]
    """
    stretch = (load.travel - travel) / 2
    if stretch <= 0.0:
        return 0.0
    if stretch >= load.stretch or load.rate <= 0.0:
        return load.weight
    return min(load.rate * stretch, load.weight)


def counterweight(loads: Iterable[Load], travel: float) -> float:
    """The stack's pull on the door (N) at ``travel`` (m): half of what hangs.

    >>> round(counterweight([Load(200.0, 9.0, 0.0, 0.0), Load(400.0, 2.0, 4000.0, 0.2)], 1.9), 6)
    200.0
    """
    return sum(carried(load, travel) for load in loads) / 2


def bends(loads: Iterable[Load]) -> list[float]:
    """Travels (m) at which the pull of a stack bends: a chain comes tight, a box is off the stack; and, either side of
    it, a stop that comes home before that, where the pull jumps.

    >>> bends([Load(400.0, 2.0, 4000.0, 0.2), Load(400.0, 1.0, 4000.0, 0.05)])
    [2.0, 1.8, 1.0, 0.900001, 0.899999]
    """
    found: list[float] = []
    for load in loads:
        found.append(load.travel)
        if load.rate > 0.0:
            home = load.travel - 2 * load.stretch
            jumps = load.weight > load.rate * load.stretch
            found += (home + JUMP, home - JUMP) if jumps else (load.travel - 2 * load.weight / load.rate,)
    return found


def left_over(
    path: Path,
    door: Door,
    marks: Iterable[Mark | None],
    other: Callable[[float], float],
    bends: Iterable[float],
    open_at: float,
) -> list[tuple[float, float]]:
    """What the counterbalance pulls more than the door (N), by travel (m), where it may be most.

    ``other`` gives the pull of the counterbalance at a travel, ``bends`` says where that has corners. Looked for there,
    with the door closed and open, at every mark, and at thirds between any two of these that lie well apart: no more
    than 0.1 % of the door's weight is left out (trial over 355 doors, against 4,001 steps).

    >>> path, door = Path(2.0, 0.2), Door((0.5, 0.5), (300.0, 300.0), 0.125, 0.0)
    >>> left = left_over(path, door, marks(path, door, 1.757786), lambda travel: 300.0, [], 1.757786)
    >>> [round(over) for travel, over in left if travel in (0.0, 1.757786)]
    [-300, 100]
    """
    at_marks = {mark.travel: held(door, mark.climb, mark.turn) for mark in marks if mark is not None}
    places = sorted({0.0, open_at, *at_marks, *(bend for bend in bends if 0.0 < bend < open_at)})
    between = [
        low + third * (high - low) / 3
        for low, high in pairwise(places)
        if high - low > FINE * open_at
        for third in (1, 2)
    ]
    return [
        (travel, other(travel) - (at_marks[travel] if travel in at_marks else pull(path, door, travel)))
        for travel in sorted([*places, *between])
    ]
