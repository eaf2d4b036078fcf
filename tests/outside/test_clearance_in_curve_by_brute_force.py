"""How low the door comes inside its curve, against thousands of positions of one section."""

from __future__ import annotations

import math

import needs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doorlint.mechanics.clearance_in_curve import lowest_chord
from doorlint.mechanics.rolling import Path, ahead, spot

np = needs.module("numpy")


def lowest(path: Path, spacing: float, y: float) -> float:
    """The least height at ``y`` of the line through both rollers, over positions a quarter of a millimetre apart."""
    found = math.inf
    for s in np.arange(path.tangent - spacing - 0.3, path.arc_end + y + 0.3, 0.00025):
        lower = spot(path, float(s))
        upper = ahead(path, lower, spacing)
        if lower[1] <= y <= upper[1]:
            share = (y - lower[1]) / (upper[1] - lower[1])
            found = min(found, lower[2] + share * (upper[2] - lower[2]))
    return found


@settings(max_examples=25, deadline=None)
@given(st.floats(0.2, 0.6), st.floats(0.0, 0.04), st.floats(0.3, 0.8), st.floats(0.01, 1.4))
def test_lowest_chord(radius: float, slope: float, spacing: float, y: float) -> None:
    path = Path(2.0, radius, slope)
    assert lowest_chord(path, spacing, y) == pytest.approx(lowest(path, spacing, y), abs=2e-6)
