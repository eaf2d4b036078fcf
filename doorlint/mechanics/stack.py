"""The hanging stack of a counterweight tower: how high each box hangs and what it pulls.

Box 1 is the top one and hangs from the lift cables. Chain j hangs box j+1 from box j. A box that its chain does not
lift stands nested on the box below it. The cables raise box 1; each box that leaves the stack adds its weight.

``weights`` are those of the loaded boxes from the top (N), ``chains`` the chains from the top, one fewer. ``height`` is
the rise of box 1 above its nested place (m): hook-up height - travel of the door / 2. ``pull`` is the force of all
cables on box 1 (N); half of it pulls the door. Everything but the springs is rigid, and nothing rubs.

Source: derived; equilibrium of every box with one-sided contact. A chain carries every box below it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate
from math import inf
from typing import Final, TypeAlias

from doorlint.named_tuple import NamedTuple

CLOSE: Final = 1e-9
"""m; heights that are nearer than this are one height"""


class Chain(NamedTuple):
    """A chain with its spring: ``slack`` before it comes tight (m), ``rate`` of the spring (N/m, infinite without one),
    ``stop``: the stretch at which the spring's stop carries the rest (m, infinite without one)."""

    slack: float
    rate: float = inf
    stop: float = inf


class ChainParts(NamedTuple):
    """What a chain below a box is made of: inside length of a ``link`` (m), ``rate`` of its spring (N/m, infinite
    without one), ``stop``: the spring's stretch at its stop (m, infinite without one)."""

    link: float
    rate: float
    stop: float


class ChainPlan(NamedTuple):
    """A chain below a box: slack ``wanted`` (m, none within the first group), ``links_wanted``, the ``chain`` that
    links and spring make, and the height of box 1 at which it comes ``tight`` (m)."""

    wanted: float | None
    links_wanted: int
    chain: Chain
    tight: float


class Corner(NamedTuple):
    """A corner of the law: ``height`` of box 1 (m) and ``pull`` on it (N)."""

    height: float
    pull: float


Law: TypeAlias = tuple[Corner, ...]
"""Pull over height, straight between corners. Neither falls from one corner to the next; where two corners have one
height the pull jumps. Above the last corner the whole stack hangs and the pull stays."""


def stretch(chain: Chain, tension: float) -> float:
    """Stretch of the chain's spring (m) under ``tension`` (N): tension / rate, at most to its stop.

    >>> stretch(Chain(0.2, 4000.0, 0.1), 200.0), stretch(Chain(0.2, 4000.0, 0.1), 800.0), stretch(Chain(0.2), 800.0)
    (0.05, 0.1, 0.0)
    """
    return min(tension / chain.rate, chain.stop) if tension > 0.0 else 0.0


def law(weights: Sequence[float], chains: Sequence[Chain]) -> Law:
    """The pull on box 1 over its height, exactly: every corner from the nested stack to the hanging one.

    A box just off the stack is free over the slack of the chain below it. A spring bends the law where it starts and
    where its stop is reached. Where every tight chain is rigid or on its stop the pull jumps.

    >>> law([400.0, 500.0], [Chain(0.25, 5000.0)])
    (Corner(height=0.0, pull=0.0), Corner(height=0.0, pull=400.0), Corner(height=0.25, pull=400.0), \
Corner(height=0.35, pull=900.0))
    >>> [tuple(corner) for corner in law([400.0, 500.0], [Chain(0.25)])[1:]]
    [(0.0, 400.0), (0.25, 400.0), (0.25, 900.0)]
    """
    sums = list(accumulate(weights))
    stops = sorted(
        (lifted + chain.rate * chain.stop, number)
        for number, (lifted, chain) in enumerate(zip(sums, chains, strict=False))
        if chain.rate < inf and chain.stop < inf
    )
    corners = [Corner(0.0, 0.0)]
    giving: dict[int, float] = {}  # chains whose springs give way now, and how far for each newton
    height = pull = 0.0
    for number, lifted in enumerate(sums):
        while stops and stops[0][0] < lifted:
            bend, stopped = stops.pop(0)
            height += (bend - pull) * sum(giving.values())
            pull = bend
            corners.append(Corner(height, pull))
            giving.pop(stopped, None)
        height += (lifted - pull) * sum(giving.values())
        pull = lifted
        corners.append(Corner(height, pull))
        if number < len(chains):
            chain = chains[number]
            if chain.slack > 0.0:
                height += chain.slack
                corners.append(Corner(height, pull))
            if chain.rate < inf and chain.stop > 0.0:
                giving[number] = 1.0 / chain.rate
    return tuple(corners)


def pull(law: Law, height: float) -> float:
    """Pull on box 1 (N) at ``height`` (m); at a jump its lower side, where the closing door comes from.

    Nothing below 0: box 1 stands and the cables are slack.

    >>> stiff = law([400.0, 500.0], [Chain(0.25)])
    >>> [pull(stiff, height) for height in (-0.1, 0.2, 0.25, 0.3)]
    [0.0, 400.0, 400.0, 900.0]
    """
    above = bisect_left(law, height - CLOSE, key=_height)
    if above == len(law):
        return law[-1].pull
    if law[above].height <= height + CLOSE:
        return law[above].pull
    return _between(law[above - 1], law[above], height) if above else 0.0


def rise(weights: Sequence[float], chains: Sequence[Chain], pull: float) -> float:
    """Height of box 1 (m) at which the cables pull with ``pull`` (N): the inverse of the law, lowest where it is free.

    >>> rise([400.0, 500.0], [Chain(0.25, 5000.0)], 400.0), rise([400.0, 500.0], [Chain(0.25, 5000.0)], 650.0)
    (0.0, 0.3)
    """
    loaded = [
        chain.slack + stretch(chain, pull - lifted)
        for lifted, chain in zip(accumulate(weights), chains, strict=False)
        if lifted < pull
    ]
    return sum(loaded, start=0.0)


def tight(weights: Sequence[float], chains: Sequence[Chain]) -> tuple[float, ...]:
    """Height of box 1 (m) at which each chain comes tight.

    >>> tight([400.0, 500.0, 300.0], [Chain(0.25, 5000.0, 0.125), Chain(0.5)])
    (0.25, 0.85)
    """
    lifted = accumulate(weights)
    return tuple(rise(weights, chains, pull) + chain.slack for pull, chain in zip(lifted, chains, strict=False))


def lifts(weights: Sequence[float], chains: Sequence[Chain]) -> tuple[float, ...]:
    """Height of box 1 (m) at which the box below each chain leaves the stack.

    >>> lifts([400.0, 500.0, 300.0], [Chain(0.25, 5000.0, 0.125), Chain(0.5)])
    (0.35, 0.875)
    """
    return tuple(rise(weights, chains, pull) for pull in list(accumulate(weights))[1:])


def tensions(weights: Sequence[float], pull: float) -> tuple[float, ...]:
    """Force of each chain (N), from the top: what the cables pull over the boxes above it. It carries every box below.

    >>> tensions([400.0, 500.0, 300.0], 1000.0)
    (600.0, 100.0)
    """
    return tuple(max(pull - lifted, 0.0) for lifted in list(accumulate(weights))[:-1])


def heights(weights: Sequence[float], chains: Sequence[Chain], height: float, pull: float) -> tuple[float, ...]:
    """Height of every box over its nested place (m), box 1 at ``height``, the cables pulling with ``pull``.

    >>> heights([400.0, 500.0], [Chain(0.25, 5000.0)], 0.5, 900.0)
    (0.5, 0.15)
    """
    found = [max(height, 0.0)]
    for chain, tension in zip(chains, tensions(weights, pull), strict=True):
        found.append(max(found[-1] - chain.slack - stretch(chain, tension), 0.0))
    return tuple(found)


def hanging(weights: Sequence[float], pull: float) -> int:
    """Boxes that hang clear of the stack while the cables pull with ``pull`` (N), counted from the top.

    >>> hanging([400.0, 500.0], 400.0), hanging([400.0, 500.0], 899.0), hanging([400.0, 500.0], 900.0)
    (1, 1, 2)
    """
    return sum(lifted <= pull * (1.0 + 1e-9) for lifted in accumulate(weights))


def door_pull(law: Law, hook_up: float, travel: float) -> float:
    """Pull of the stack on the door (N) at ``travel`` (m) from closed; at a jump its lower side.

    Box 1 hangs at ``hook_up`` (m) with the door closed and sinks half as far as the door rises; half of its pull is the
    door's.

    >>> door_pull(law([400.0, 500.0], [Chain(0.25)]), 1.0, 1.0)
    450.0
    """
    return pull(law, hook_up - travel / 2.0) / 2.0


def over_travel(law: Law, hook_up: float, open_at: float) -> list[tuple[float, float]]:
    """Travel of the door (m) and pull of the stack on it (N), from closed to open, straight from each to the next.

    Box 1 hangs at ``hook_up`` (m) with the door closed and sinks half as far as the door rises. A travel that comes
    twice is a jump, the pull toward closed first.

    >>> over_travel(law([400.0, 500.0], [Chain(0.25)]), 1.0, 1.75)
    [(0.0, 450.0), (1.5, 450.0), (1.5, 200.0), (1.75, 200.0)]
    """
    corners = [(2.0 * (hook_up - corner.height), corner.pull / 2.0) for corner in reversed(law)]
    near = [(min(max(travel, 0.0), open_at), force) for travel, force in corners if -CLOSE <= travel <= open_at + CLOSE]
    closed = [] if near and near[0][0] == 0.0 else [(0.0, door_pull(law, hook_up, 0.0))]
    opened = [] if near and near[-1][0] == open_at else [(open_at, door_pull(law, hook_up, open_at))]
    return [*closed, *near, *opened]


def _height(corner: Corner) -> float:
    return corner.height


def _between(low: Corner, high: Corner, height: float) -> float:
    """Pull (N) on the straight line from one corner to the next."""
    return low.pull + (high.pull - low.pull) * (height - low.height) / (high.height - low.height)
