"""What no claim for a fastener may exceed: the strength of its own steel. SI throughout.

Source: derived; half the tensile strength on the root, .6 of that across it. NDS 2018, 12.2.1.3, asks that the root of
a lag screw is not overstressed.
"""

from __future__ import annotations

from math import pi

from doorlint.mechanics.connections.lags import PSI, lag_of
from doorlint.mechanics.connections.steel import Allowed

ORDINARY = 60_000.0 * PSI
"""Tensile strength of unmarked steel (Pa)."""
THREAD = 0.75
"""Root of a coarse bolt thread as a share of the nominal area, on the safe side of ASME B1.1."""
ACROSS = 0.6
"""Shear strength of steel as a share of its tensile strength."""


def own_steel(kind: str, diameter: float, strength: float | None) -> Allowed:
    """What the steel of one fastener may carry (N), whatever it sits in.

    ``kind`` tells lag screws, whose root is tabled, from everything else; ``strength`` is the tensile strength of the
    steel (Pa), that of unmarked steel if not known.

    >>> found = own_steel("lag", 0.25 * 0.0254, None)
    >>> round(found.pull / 4.448222), round(found.shear / 4.448222)
    (705, 423)
    """
    area = pi * lag_of(diameter).root ** 2 / 4.0 if kind == "lag" else THREAD * pi * diameter**2 / 4.0
    pull = area * (ORDINARY if strength is None else strength) / 2.0
    return Allowed(ACROSS * pull, pull)
