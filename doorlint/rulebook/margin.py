"""The margin of a comparison: the slack for rounding, and how much an error in a reading can take of it."""

from __future__ import annotations

from doorlint.named_tuple import NamedTuple

SLACK = 1e-9
"""Relative: a value written exactly at its limit passes, in inches as in millimeters."""


class ErrorBound(NamedTuple):
    """What a margin must be for a verdict to be beyond doubt: more than ``fixed + share * |value|``."""

    fixed: float
    share: float

    def spans(self, value: float, margin: float) -> bool:
        """Whether a margin is enough.

        >>> ErrorBound(1.0, 0.1).spans(-10.0, 2.5), ErrorBound(1.0, 0.1).spans(-10.0, 2.0)
        (True, False)
        """
        return margin > self.fixed + self.share * abs(value)
