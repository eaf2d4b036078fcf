"""Cable drums: the lever arm of the cable by turns from closed, and the cable that is taken up.

The shaft turns from closed (0) to open (positive). ``r`` is the lever arm of the cable's center (m), ``phi`` the turns
from closed, and the cable taken up is x = 2 pi times the integral of r from 0 to phi: the travel of the door. The
radius changes evenly between given points, so x is a piecewise parabola and its inverse is exact.

Source: derived; arc length on a radius that changes evenly with the turn.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from doorlint.errors import OutsideTable

END_SLACK: Final = 1e-9
"""turns; a travel that ends this far past the last groove still counts as on it"""


class Drum:
    """A drum by its corners: ``turns`` (rising from 0) and the ``radii`` (m) there.

    After the last corner the radius stays if ``flat_after`` is true; otherwise the grooves end there and
    anything beyond raises :class:`OutsideTable`.

    Raises ValueError for corners that do not rise from 0 and for a radius that is not positive.

    >>> drum = Drum((0.0, 2.0), (0.08, 0.06), flat_after=True)
    >>> round(drum.radius(1.0), 6), round(drum.radius(5.0), 6)
    (0.07, 0.06)
    """

    __slots__ = ("cables", "flat_after", "radii", "slopes", "turns")

    def __init__(self, turns: Sequence[float], radii: Sequence[float], *, flat_after: bool) -> None:
        if len(turns) != len(radii) or not turns or turns[0] != 0.0 or any(b <= a for a, b in pairwise(turns)):
            raise ValueError(f"corners at {list(turns)} turns with {len(radii)} radii; they must rise from 0, one each")
        if min(radii) <= 0.0:
            raise ValueError(f"radii {list(radii)} m; each must be more than 0")
        cables = [0.0]
        for (start, end), (first, last) in zip(pairwise(turns), pairwise(radii), strict=True):
            cables.append(cables[-1] + math.pi * (first + last) * (end - start))
        slopes = [
            (last - first) / (end - start)
            for (start, end), (first, last) in zip(pairwise(turns), pairwise(radii), strict=True)
        ]
        self.turns: Final = tuple(turns)
        self.radii: Final = tuple(radii)
        self.cables: Final = tuple(cables)
        self.slopes: Final = (*slopes, 0.0)
        self.flat_after: Final = flat_after

    def __repr__(self) -> str:
        return f"Drum({self.turns!r}, {self.radii!r}, flat_after={self.flat_after!r})"

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Drum) and repr(self) == repr(other)

    def __hash__(self) -> int:
        return hash((self.turns, self.radii, self.flat_after))

    @property
    def end(self) -> float:
        """Turns at which the grooves end; infinite for a drum that runs on."""
        return math.inf if self.flat_after else self.turns[-1]

    def _piece(self, corners: Sequence[float], at: float, name: str) -> int:
        last = len(corners) - 1
        if at >= corners[last]:
            if not self.flat_after and at > corners[last] + END_SLACK:
                raise OutsideTable(
                    f"the drum ends after {self.turns[-1]:.2f} turns and {self.cables[-1]:.3f} m of cable; "
                    f"{at:.2f} {name} asked"
                )
            return last
        return max(bisect_right(corners, at) - 1, 0)

    def radius(self, turns: float) -> float:
        """Lever arm r (m) after ``turns`` from closed."""
        piece = self._piece(self.turns, turns, "turns")
        return self.radii[piece] + self.slopes[piece] * (turns - self.turns[piece])

    def cable(self, turns: float) -> float:
        """Cable taken up x (m) after ``turns`` from closed.

        >>> round(standard(0.05).cable(2.0), 6)
        0.628319
        """
        piece = self._piece(self.turns, turns, "turns")
        on = turns - self.turns[piece]
        return self.cables[piece] + 2.0 * math.pi * on * (self.radii[piece] + self.slopes[piece] * on / 2.0)

    def turned(self, travel: float) -> float:
        """Turns from closed when ``travel`` (m) of cable is taken up: the exact inverse of :meth:`cable`.

        >>> round(standard(0.07).turned(3.0), 4)
        6.8209
        >>> round(table((0.06, 0.08)).turned(2 * math.pi * 0.07), 9)
        1.0
        """
        piece = self._piece(self.cables, travel, "m of cable")
        left = (travel - self.cables[piece]) / (2.0 * math.pi)
        radius, slope = self.radii[piece], self.slopes[piece]
        # radius t + slope t^2 / 2 = left, in the form that stays good for a slope near 0
        root = math.sqrt(max(radius * radius + 2.0 * slope * left, 0.0))
        return self.turns[piece] + 2.0 * left / (radius + root)


def standard(radius: float) -> Drum:
    """One radius (m) all the way.

    >>> standard(0.05).radius(9.0)
    0.05
    """
    return Drum((0.0,), (radius,), flat_after=True)


def high_lift(largest: float, smallest: float, taper_turns: float) -> Drum:
    """From ``largest`` (m, closed) evenly down to ``smallest`` (m) over ``taper_turns``, then flat.

    >>> drum = high_lift(0.08, 0.05, 3.0)
    >>> round(drum.radius(1.0), 6), drum.radius(4.0)
    (0.07, 0.05)
    """
    return Drum((0.0, taper_turns), (largest, smallest), flat_after=True)


def vertical_lift(largest: float, smallest: float, drum_turns: float) -> Drum:
    """From ``largest`` (m, closed) evenly down to ``smallest`` (m) over the drum's own turns; there it ends.

    >>> vertical_lift(0.16, 0.05, 11.0).end
    11.0
    """
    return Drum((0.0, drum_turns), (largest, smallest), flat_after=False)


def table(radii: Sequence[float]) -> Drum:
    """The radii (m) at turn 0, 1, 2 ..., straight between; after the last the drum ends.

    >>> round(table((0.08, 0.07, 0.065)).radius(1.5), 6)
    0.0675
    """
    return Drum(tuple(float(turn) for turn in range(len(radii))), tuple(radii), flat_after=False)


def spiral_setting(drum: Drum, weight: float) -> tuple[float, float] | None:
    """Torque rate (N m per turn) and turns at closed that hold a constant ``weight`` (N) on the falling part.

    While the whole door hangs, pull = K (n - phi)/r stays equal to W when the radius falls with the torque:
    K = W x drop per turn, n = r(0)/drop. None for a drum whose radius does not fall at first.

    >>> rate, turns = spiral_setting(vertical_lift(0.16, 0.05, 11.0), 2000.0)
    >>> round(rate, 6), round(turns, 6)
    (20.0, 16.0)
    >>> spiral_setting(standard(0.05), 2000.0) is None
    True
    """
    drop = -drum.slopes[0]
    return (weight * drop, drum.radii[0] / drop) if drop > 0.0 else None
