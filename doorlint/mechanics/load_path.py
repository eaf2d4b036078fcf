"""What every part of a counterweight tower carries, from the door's sections to the building, case by case.

Lift cables run from the bottom corners over the head to moving pulleys on box 1 and up to eye bolts; the far one first
crosses above the opening. In balance each cable has a quarter of the pull on box 1. With one cable gone the other has
all of it, twice as much. ``V`` is down, ``H`` toward the opening; near is the side of the tower.

Source: derived; statics of cables over pulleys, of the hanging stack, and of a load that is put on suddenly.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import sqrt
from typing import Final

from doorlint.named_tuple import NamedTuple

REST: Final = "closed at rest"
OPEN: Final = "open on the bumpers"
TRAVEL: Final = "anywhere in travel"
STALL: Final = "drive stalled"
HAND: Final = "pulled on by hand"
NEAR_GONE: Final = "near cable gone"
FAR_GONE: Final = "far cable gone"
ALONE: Final = "other cable gone"
PEAK: Final = "other cable gone, peak"
CAUGHT: Final = "caught after slack"
WIND: Final = "wind on the closed door"

SUDDEN: Final = 1.5
"""Peak in a cable that is left alone, over its new standing load: it goes from one T to two and swings on to three."""


class Case(NamedTuple):
    """A case and the force in it (N); None where it is not known."""

    case: str
    force: float | None


SHARES: Final[Mapping[str, tuple[float, float, float]]] = {
    "near cable": (1.0, 0.0, 2.0),
    "far cable": (1.0, 2.0, 0.0),
    "near head pulley": (2.0, 0.0, 4.0),
    "far head pulley": (sqrt(2.0), 2.0 * sqrt(2.0), 0.0),
    "crossing pulley": (sqrt(2.0), 2.0 * sqrt(2.0), 0.0),
    "box pulley": (2.0, 4.0, 4.0),  # that of the cable which is left
    "eye bolt": (1.0, 2.0, 2.0),
    "bottom bracket": (1.0, 2.0, 2.0),
    "top of box 1": (4.0, 4.0, 4.0),
    "far head plate V": (1.0, 2.0, 0.0),
    "far head plate H": (1.0, 2.0, 0.0),
    "tower head V": (5.0, 4.0, 6.0),
    "tower head H": (1.0, 2.0, 0.0),
}
"""Part of the tower: its force in multiples of the tension T of one of two cables, both there, near gone, far gone."""


def cases(part: str, tension: float) -> tuple[Case, ...]:
    """The force of a part with both cables, and with either gone.

    >>> [case.force for case in cases("tower head V", 100.0)]
    [500.0, 400.0, 600.0]
    """
    both, near, far = SHARES[part]
    return Case(REST, both * tension), Case(NEAR_GONE, near * tension), Case(FAR_GONE, far * tension)


def governing(several: Iterable[Case]) -> Case | None:
    """The case with the largest force, if any force is known.

    >>> governing([Case("a", 3.0), Case("b", None), Case("c", 5.0)])
    Case(case='c', force=5.0)
    """
    known = [case for case in several if case.force is not None]
    return max(known, key=lambda case: case.force or 0.0, default=None)


def caught(load: float, slack: float, length: float, diameter: float, modulus: float, fill: float) -> float:
    """Peak (N) in a cable that catches ``load`` (N) after ``slack`` (m): load x [1 + sqrt(1 + 2 slack/d)].

    d = load x length / (E A) is how far the load draws the cable out, A = ``fill`` x diameter^2 its metal. An upper
    bound: nothing is lost. Without slack a load that is put on suddenly pulls with twice its weight.

    Source: published; "Dynamic Loading / Impact Stresses" lecture slides; edition not noted; derivation of the
    fall on a linear support

    >>> caught(1000.0, 0.0, 5.0, 0.00635, 103.4e9, 0.472)
    2000.0
    """
    drawn = load * length / (modulus * fill * diameter * diameter)
    return load * (1.0 + sqrt(1.0 + 2.0 * slack / drawn))
