"""How much of an error in a reading a figure passes on: declared at the figure, where it is not all of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal, TypeVar

from doorlint.named_tuple import NamedTuple

Curve = Literal["moves", "stays", "free"]
"""What an error in the height of the header does. **moves**: the curve starts at its usual height below the header and
moves with it, so that what lies between curve and door stays as it is. **stays**: the spec says where the curve starts,
and only the open door stands elsewhere. Both hold where every joint passes the end of the curve well within the door's
travel. **free**: anything may come of it, and everything is tried."""

F = TypeVar("F", bound=Callable[..., object])
ATTRIBUTE = "error_gain"


class ErrorGain(NamedTuple):
    """How much of an error a figure passes on."""

    gain: float = 1.0
    by_curve: Mapping[Curve, float] = {}
    """where what an error in the header's height does decides it"""
    by_parameter: Mapping[str, float] = {}
    """of what one parameter is off, whatever else holds"""

    def of(self, curve: Curve, parameter: str) -> float:
        """The share of an error in one parameter.

        >>> ErrorGain(1.0, {"stays": 2.0}, {"opening_jamb_growth": 3.0}).of("stays", "door_height")
        2.0
        """
        return self.by_parameter.get(parameter, self.by_curve.get(curve, self.gain))


AS_MUCH = ErrorGain()


def error_gain(
    gain: float = 1.0, *, by_curve: Mapping[Curve, float] | None = None, **by_parameter: float
) -> Callable[[F], F]:
    """Declare how much of an error a figure passes on; a figure without a declaration passes on as much as it sees.

    >>> @error_gain(opening_jamb_growth=2.0)  # both jambs grow
    ... def finished_width(opening_width: float, opening_jamb_growth: float) -> float:
    ...     return opening_width - 2 * opening_jamb_growth
    >>> gain_of(finished_width).of("moves", "opening_jamb_growth"), gain_of(finished_width).of("moves", "opening_width")
    (2.0, 1.0)
    """
    declared = ErrorGain(gain, by_curve or {}, by_parameter)

    def declare(figure: F) -> F:
        setattr(figure, ATTRIBUTE, declared)
        return figure

    return declare


def gain_of(figure: Callable[..., object]) -> ErrorGain:
    """What a figure declares."""
    declared: ErrorGain = getattr(figure, ATTRIBUTE, AS_MUCH)
    return declared
