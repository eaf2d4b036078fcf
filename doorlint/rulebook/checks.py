"""The closed set of checks: from values to met or short, at full precision.

Every check gives ``(met, value, limit, margin)``. A value written exactly at its limit passes, in
inches as in millimetres: the comparison has a relative slack of 1e-9. A figure that grew beyond all bounds is no
measure of anything: it raises ``OverflowError``, whichever way it would have come out.
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, NamedTuple

SLACK = 1e-9


class Spare(NamedTuple):
    """What a margin must be for a verdict to be beyond doubt: more than ``fixed + share * |value|``."""

    fixed: float
    share: float

    def spans(self, value: float, margin: float) -> bool:
        """Whether a margin is enough."""
        return margin > self.fixed + self.share * abs(value)


class Verdict(NamedTuple):
    met: bool
    value: Any
    limit: Any
    margin: float | None


def _no_more(value: float, limit: float) -> bool:
    return value <= limit or value - limit <= SLACK * max(abs(value), abs(limit))


def _finite(figure: float) -> float:
    if not math.isfinite(figure):
        raise OverflowError("a figure grew beyond all bounds")
    return figure


def at_least(value: float, limit: float) -> Verdict:
    """
    >>> at_least(3.0, 2.0)
    Verdict(met=True, value=3.0, limit=2.0, margin=1.0)
    """
    return Verdict(_no_more(limit, value), value, limit, _finite(value - limit))


def at_most(value: float, limit: float) -> Verdict:
    """
    >>> at_most(3.0, 2.0)
    Verdict(met=False, value=3.0, limit=2.0, margin=-1.0)
    """
    return Verdict(_no_more(value, limit), value, limit, _finite(limit - value))


def between(value: float, low: float, high: float) -> Verdict:
    """The limit shown is the nearer end.

    >>> between(5.0, 1.0, 4.0)
    Verdict(met=False, value=5.0, limit=4.0, margin=-1.0)
    """
    _finite(high - low)
    return at_least(value, low) if value - low <= high - value else at_most(value, high)


def near(value: float, target: float, band: float) -> Verdict:
    """Within ``band`` of ``target``; the limit shown is the nearer end of the band.

    >>> near(5.0, 4.0, 2.0)
    Verdict(met=True, value=5.0, limit=6.0, margin=1.0)
    """
    return between(value, target - band, target + band)


def one_of(value: Any, choices: Sequence[Any]) -> Verdict:
    """
    >>> one_of("wood", ["steel"]).met
    False
    """
    return Verdict(value in choices, value, tuple(choices), None)


def rising(values: dict[str, float]) -> tuple[str | None, Verdict]:
    """Each more than the one before; the key is the first that is not.

    >>> rising({"s1": 1, "s2": 1})
    ('s2', Verdict(met=False, value=1, limit=1, margin=0))
    """
    keys = list(values)
    for before, key in pairwise(keys):
        if not values[key] > values[before]:
            return key, Verdict(False, values[key], values[before], values[key] - values[before])
    last = keys[-1] if keys else None
    return None, Verdict(True, values.get(last) if last else None, None, None)


def in_order(values: Sequence[float]) -> Verdict:
    """None more than the next.

    >>> in_order([1.0, 3.0, 2.0])
    Verdict(met=False, value=3.0, limit=2.0, margin=-1.0)
    """
    for value in values:
        _finite(value)
    worst = min(range(len(values) - 1), key=lambda i: values[i + 1] - values[i])
    return at_most(values[worst], values[worst + 1])
