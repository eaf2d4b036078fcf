"""The closed set of checks: from values to met or short, at full precision.

Every check gives ``(met, value, limit, margin)``. A value written exactly at its limit passes, in
inches as in millimetres: the comparison has a relative slack of 1e-9. A figure that grew beyond all bounds is no
measure of anything: it raises ``OverflowError``, whichever way it would have come out.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import isfinite
from typing import Any, NamedTuple, TypeAlias

SLACK = 1e-9
ENDLESS = "a figure grew beyond all bounds"


class ErrorBound(NamedTuple):
    """What a margin must be for a verdict to be beyond doubt: more than ``fixed + share * |value|``."""

    fixed: float
    share: float

    def spans(self, value: float, margin: float) -> bool:
        """Whether a margin is enough."""
        return margin > self.fixed + self.share * abs(value)


Verdict: TypeAlias = "tuple[bool, Any, Any, float | None]"
"""Whether it is met, the value, the limit, and the margin: a bare tuple, since a job makes hundreds of them."""


def at_least(value: float, limit: float) -> Verdict:
    """
    >>> at_least(3.0, 2.0)
    (True, 3.0, 2.0, 1.0)
    """
    margin = value - limit
    if not isfinite(margin):
        raise OverflowError(ENDLESS)
    return margin >= 0.0 or -margin <= SLACK * max(abs(value), abs(limit)), value, limit, margin


def at_most(value: float, limit: float) -> Verdict:
    """
    >>> at_most(3.0, 2.0)
    (False, 3.0, 2.0, -1.0)
    """
    margin = limit - value
    if not isfinite(margin):
        raise OverflowError(ENDLESS)
    return margin >= 0.0 or -margin <= SLACK * max(abs(value), abs(limit)), value, limit, margin


def between(value: float, low: float, high: float) -> Verdict:
    """The limit shown is the nearer end.

    >>> between(5.0, 1.0, 4.0)
    (False, 5.0, 4.0, -1.0)
    """
    if not isfinite(high - low):
        raise OverflowError(ENDLESS)
    return at_least(value, low) if value - low <= high - value else at_most(value, high)


def near(value: float, target: float, band: float) -> Verdict:
    """Within ``band`` of ``target``; the limit shown is the nearer end of the band.

    >>> near(5.0, 4.0, 2.0)
    (True, 5.0, 6.0, 1.0)
    """
    return between(value, target - band, target + band)


def one_of(value: Any, choices: Sequence[Any]) -> Verdict:
    """
    >>> one_of("wood", ["steel"])
    (False, 'wood', ('steel',), None)
    """
    return value in choices, value, tuple(choices), None


def rising(values: dict[str, float]) -> tuple[str | None, Verdict]:
    """Each more than the one before; the key is the first that is not.

    >>> rising({"s1": 1, "s2": 1})
    ('s2', (False, 1, 1, 0))
    """
    keys = list(values)
    for before, key in pairwise(keys):
        if not values[key] > values[before]:
            return key, (False, values[key], values[before], values[key] - values[before])
    last = keys[-1] if keys else None
    return None, (True, values.get(last) if last else None, None, None)


def in_order(values: Sequence[float]) -> Verdict:
    """None more than the next.

    >>> in_order([1.0, 3.0, 2.0])
    (False, 3.0, 2.0, -1.0)
    """
    if not all(map(isfinite, values)):
        raise OverflowError(ENDLESS)
    worst = min(range(len(values) - 1), key=lambda i: values[i + 1] - values[i])
    return at_most(values[worst], values[worst + 1])
