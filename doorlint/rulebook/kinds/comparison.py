"""Numbers compared at full precision: what the kinds of check with a margin share.

A value written exactly at its limit passes, in inches as in millimeters: the comparison has a relative slack of 1e-9.
A figure that grew beyond all bounds is no measure of anything: it raises ``OverflowError``, whichever way it would have
come out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import TYPE_CHECKING, Any

from doorlint.rulebook.kinds.kind import SHOWN_AS, Kind, Terms, Verdict
from doorlint.rulebook.margin import SLACK

if TYPE_CHECKING:
    from doorlint.rulebook.scope import Scope

ENDLESS = "a figure grew beyond all bounds"


def not_less(value: float, limit: float) -> Verdict:
    """
    >>> not_less(3.0, 2.0)
    (True, 3.0, 2.0, 1.0)
    """
    margin = value - limit
    if not isfinite(margin):
        raise OverflowError(ENDLESS)
    return margin >= 0.0 or -margin <= SLACK * max(abs(value), abs(limit)), value, limit, margin


def not_more(value: float, limit: float) -> Verdict:
    """
    >>> not_more(3.0, 2.0)
    (False, 3.0, 2.0, -1.0)
    """
    margin = limit - value
    if not isfinite(margin):
        raise OverflowError(ENDLESS)
    return margin >= 0.0 or -margin <= SLACK * max(abs(value), abs(limit)), value, limit, margin


def inside(value: float, low: float, high: float) -> Verdict:
    """The limit shown is the nearer end.

    >>> inside(5.0, 1.0, 4.0)
    (False, 5.0, 4.0, -1.0)
    """
    if not isfinite(high - low):
        raise OverflowError(ENDLESS)
    return not_less(value, low) if value - low <= high - value else not_more(value, high)


class Comparison(Kind):
    """A kind that compares numbers of one dimension and leaves a margin."""

    has_margin = True

    def margin_error(self, sides: Sequence[float]) -> float:
        return sum(sides)


class LimitCheck(Comparison):
    """A kind that compares one value with limits of its own dimension."""

    has_figure = True

    def limits(self, check: Mapping[str, Any]) -> Sequence[tuple[tuple[str | int, ...], str]]:
        """The limits as written, each with its path in the check."""
        return [((self.name,), check[self.name])]

    def compile(self, check: Mapping[str, Any], scope: Scope) -> Terms:
        value = scope.at("value").formula(check["value"])
        measure = scope.measure(value, check.get(SHOWN_AS))
        limits = [scope.at(*path).limit(text, measure) for path, text in self.limits(check)]
        return Terms([value, *limits], measure.dimension)
