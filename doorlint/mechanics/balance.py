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

from collections.abc import Iterable, Sequence
from operator import mul
from typing import NamedTuple

from doorlint.mechanics.rolling import Door, Path, behind, gain, spot


class Mark(NamedTuple):
    """A roller at the end of the curve: ``travel`` (m) and, of every roller, ``climb`` = dz/dx."""

    travel: float
    climb: tuple[float, ...]


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
    >>> x, climb = mark(path, door, 1)
    >>> round(x, 6), [round(rate, 6) for rate in climb]
    (1.757786, [1.0, 0.0, 0.0])
    """
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
    return Mark(bottom - door.bottom_roller, tuple(climb))


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


def held(loads: Sequence[float], climb: Sequence[float]) -> float:
    """F = sum(load dz/dx): what holds the door (N) from the rollers' ``loads`` (N) and rates of climb.

    >>> held((187.5, 262.5, 150.0), (1.0, 1.0, 1.0))
    600.0
    """
    force: float = sum(map(mul, loads, climb))
    return force


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
