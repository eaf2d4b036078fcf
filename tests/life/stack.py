"""The boxes of a tower on their chains, found from the lowest hanging box upward."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Chain:
    """Slack length, spring rate (``None``: rigid) and stretch at the stop (``None``: no stop)."""

    slack: float
    rate: float | None = None
    stop: float | None = None

    def length(self, pull: float) -> float:
        """How far the lower box hangs below its nested place."""
        if self.rate is None:
            return self.slack
        drawn = pull / self.rate
        return self.slack + (drawn if self.stop is None else min(drawn, self.stop))


@dataclass(frozen=True)
class Hanging:
    """One height of box 1: what the boxes pull on it in all, the rise of every box, the tension of every chain."""

    pull: float
    rises: tuple[float, ...]
    tensions: tuple[float, ...]


@dataclass(frozen=True)
class Stack:
    """Loaded weights from the top box down (N), and the chains between them.

    >>> stack = Stack((100.0, 80.0), (Chain(0.2, 1000.0, 0.05),))
    >>> [round(stack.hang(rise).pull, 6) for rise in (-0.01, 0.1, 0.225, 0.3)]
    [0.0, 100.0, 125.0, 180.0]
    """

    weights: tuple[float, ...]
    chains: tuple[Chain, ...]

    def _rise(self, hanging: int, tension: float) -> float:
        """Rise of box 1 with ``hanging`` boxes free and the chain below them at a tension."""
        pull, total = tension, 0.0
        for number in range(hanging - 1, -1, -1):
            total += self.chains[number].length(pull)
            pull += self.weights[number]
        return total

    @cached_property
    def _starts(self) -> list[tuple[float, float]]:
        """For each chain: the rise at which it comes tight, and that at which the box below leaves the stack."""
        return [(self._rise(n, 0.0), self._rise(n, self.weights[n])) for n in range(1, len(self.weights))]

    def hang(self, rise: float) -> Hanging:
        """Box 1 held at a rise over its nested place; at a jump the lower pull."""
        count = len(self.weights)
        if rise <= 0:
            return Hanging(0.0, (rise,) + (0.0,) * (count - 1), (0.0,) * (count - 1))
        hanging, tension = count, 0.0
        for number, (tight, lifts) in enumerate(self._starts, 1):
            if rise <= tight:
                hanging = number
                break
            if rise < lifts:
                hanging, low, high = number, 0.0, self.weights[number]
                for _ in range(60):
                    tension = (low + high) / 2
                    low, high = (tension, high) if self._rise(number, tension) < rise else (low, tension)
                break
        pull, tensions = tension, [0.0] * (count - 1)
        for number in range(hanging - 1, -1, -1):
            if number < count - 1:
                tensions[number] = pull
            pull += self.weights[number]
        rises = [rise]
        for number in range(count - 1):
            free = rises[-1] - self.chains[number].length(tensions[number])
            rises.append(max(0.0, free) if number < hanging - 1 else 0.0)
        return Hanging(pull, tuple(rises), tuple(tensions))
