"""Searching the settings of an option for the first that meets a check, with few trials."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple


class Sample(NamedTuple):
    """What a check says at one setting: whether it is met, and its margin where that is known."""

    met: bool
    margin: float | None


class Found(NamedTuple):
    """Indexes of settings."""

    least: int | None
    """the first that meets the check"""
    best: int | None
    """where none does: the one that comes nearest and nearer than the start"""


def find_peak(at: Callable[[int], Sample], number: int, start: float | None) -> Found:
    """Look for the first of ``number`` settings that meets a check, from one that comes ``start`` short of it.

    The steps double as long as the margin grows; where it falls again, the top is looked for between. So a check
    whose margin rises to one top and falls is always found out, with some ten readings for a hundred settings; of one
    with several tops the later ones may be missed.

    >>> bowl = lambda index: Sample(abs(index - 40) <= 2, 2.0 - abs(index - 40))
    >>> find_peak(bowl, 100, -38.0)
    Found(least=38, best=None)
    >>> find_peak(lambda index: Sample(False, -abs(index - 7.0)), 100, -8.0)
    Found(least=None, best=7)
    >>> find_peak(lambda index: Sample(index >= 90, None), 100, None)
    Found(least=90, best=None)
    >>> find_peak(lambda index: Sample(False, -9.0 - index), 100, -8.0)
    Found(least=None, best=None)
    """
    margins: dict[int, float | None] = {-1: start}
    before, here, stride = -1, 0, 1
    while True:
        reading = at(here)
        if reading.met:
            return Found(_first(at, before, here), None)
        margins[here] = reading.margin
        behind = margins[before]
        low = max((index for index in margins if index < before), default=before)
        if reading.margin is not None and behind is not None and reading.margin < behind:
            return _top(at, low, here, margins)
        if _idle(margins) and (here == number - 1 or (here >= _ENOUGH and not _moves_at_the_end(at, number, margins))):
            return Found(None, None)
        if here == number - 1:
            return _top(at, low, number, margins)
        before, here, stride = here, min(here + stride, number - 1), 2 * stride


_ENOUGH = 3
"""settings after which a check that has not moved at all is asked only at the far end"""


def _idle(margins: dict[int, float | None]) -> bool:
    return len(set(margins.values())) == 1


def _moves_at_the_end(at: Callable[[int], Sample], number: int, margins: dict[int, float | None]) -> bool:
    reading = at(number - 1)
    return reading.met or reading.margin not in margins.values()


def _first(at: Callable[[int], Sample], short: int, met: int) -> int:
    """The first setting that meets the check after one that does not."""
    while met - short > 1:
        middle = (short + met) // 2
        if at(middle).met:
            met = middle
        else:
            short = middle
    return met


def _top(at: Callable[[int], Sample], low: int, high: int, margins: dict[int, float | None]) -> Found:
    """Look for the top between two settings, and for the first that meets the check on its near side."""
    first = low
    while high - low > 2:
        third = (high - low) // 3
        left, right = low + third, high - third
        readings = {index: at(index) for index in (left, right)}
        for index, reading in readings.items():
            if reading.met:
                return Found(_first(at, first, index), None)
            margins[index] = reading.margin
        near, far = readings[left].margin, readings[right].margin
        if near is None or far is None:
            break
        if near < far:
            low = left
        else:
            high = right
    for index in range(low + 1, high):
        reading = at(index)
        if reading.met:
            return Found(_first(at, first, index), None)
        margins[index] = reading.margin
    return Found(None, _nearest(margins))


def _nearest(margins: dict[int, float | None]) -> int | None:
    known = {index: margin for index, margin in margins.items() if margin is not None}
    if -1 not in known:
        return None
    best = max(known, key=lambda index: (known[index], -index))
    return best if known[best] > known[-1] else None
