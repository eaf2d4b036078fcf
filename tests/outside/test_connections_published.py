"""Strength of fasteners against printed tables and worked sheets."""

from __future__ import annotations

from math import pi

import pytest

from doorlint.mechanics.connections import lags, masonry, steel
from doorlint.mechanics.connections.lags import INCH, POUND, PSI

GRAVITIES = (0.67, 0.55, 0.50, 0.49, 0.46, 0.43, 0.42, 0.37, 0.36, 0.35)
NDS_2018_TABLE_12K = {
    (0.075, 0.25): "170 130 160 120 150 110 150 110 150 100 140 100 140 100 130 90 130 90 130 90",
    (0.075, 0.3125): "220 160 200 140 190 130 190 130 190 130 180 120 180 120 170 110 170 110 160 100",
    (0.075, 0.375): "220 160 200 140 200 130 190 130 190 120 180 120 180 120 170 110 170 100 170 100",
    (0.105, 0.25): "180 140 170 130 160 120 160 120 160 110 150 110 150 110 140 100 140 100 140 90",
    (0.105, 0.3125): "230 170 210 150 200 140 200 140 190 130 190 130 190 120 180 110 170 110 170 110",
    (0.105, 0.375): "230 160 210 140 200 140 200 130 200 130 190 120 190 120 180 110 180 110 170 110",
    (0.120, 0.25): "190 150 180 130 170 120 170 120 160 120 160 110 160 110 150 100 150 100 140 100",
    (0.120, 0.3125): "230 170 210 150 210 140 200 140 200 140 190 130 190 130 180 120 180 120 180 110",
    (0.120, 0.375): "240 170 220 150 210 140 210 140 200 130 200 130 190 120 180 110 180 110 180 110",
    (0.134, 0.25): "200 150 180 140 180 130 170 130 170 120 160 120 160 110 150 110 150 100 150 100",
    (0.134, 0.3125): "240 180 220 160 210 150 210 140 200 140 200 130 200 130 190 120 180 120 180",
}
"""Plate thickness and diameter (in) to printed values (lb): for each gravity along the grain, then across it. Read in a
copy of the table in a city archive; its last cell could not be read."""
OFF_BY_A_STEP = {(0.120, 0.25, 0.35, 0.0), (0.120, 0.3125, 0.46, pi / 2)}
"""Cells within 5.2 lb of the printed step: the table goes by rounded bearing strengths."""


def printed_cells() -> list[tuple[float, float, float, float, int]]:
    return [
        (thick, diameter, GRAVITIES[place // 2], (0.0, pi / 2)[place % 2], int(cell))
        for (thick, diameter), row in NDS_2018_TABLE_12K.items()
        for place, cell in enumerate(row.split())
    ]


def test_nds_2018_table_12k_all_219_cells() -> None:
    cells = printed_cells()
    assert len(cells) == 219
    off = set()
    for thick, diameter, gravity, angle, printed in cells:
        plate = lags.Plate(thick * INCH, 45_000 * PSI)
        found = lags.lateral(lags.lag_of(diameter * INCH), gravity, plate, 8 * diameter * INCH, angle) / POUND
        assert found == pytest.approx(printed, abs=5.2)
        if round(found / 10) * 10 != printed:
            off.add((thick, diameter, gravity, angle))
    assert off == OFF_BY_A_STEP


@pytest.mark.parametrize(
    ("gravity", "row"),
    [
        (0.73, "397 469 538 604 668"), (0.67, "349 413 473 531 587"), (0.58, "291 332 381 428 473"),
        (0.55, "260 307 352 395 437"), (0.50, "225 266 305 342 378"), (0.47, "205 242 278 312 345"),
        (0.46, "199 235 269 302 334"), (0.43, "179 212 243 273 302"), (0.42, "173 205 235 264 291"),
        (0.40, "161 190 218 245 271"), (0.38, "149 176 202 227 251"), (0.37, "143 169 194 218 241"),
        (0.36, "137 163 186 209 231"), (0.35, "132 156 179 200 222"), (0.31, "110 130 149 167 185"),
    ],
)  # fmt: skip
def test_nds_2018_table_12_2a(gravity: float, row: str) -> None:
    """The cell for G .58 and 1/4 in is printed 281 in one copy and 291 in another; 281 is what the formula gives."""
    for diameter, printed in zip((0.25, 0.3125, 0.375, 0.4375, 0.5), row.split(), strict=True):
        found = lags.withdrawal(gravity, diameter * INCH) * INCH / POUND
        wanted = 281 if (gravity, diameter) == (0.58, 0.25) else int(printed)
        assert found == pytest.approx(wanted, abs=1.0)


def test_wood_council_calculator_3_8_by_7_in_douglas_fir() -> None:
    """1,153 lb = 304.97 x (4 - 7/32)."""
    _, bites = lags.penetration(lags.lag_of(0.375 * INCH), 7 * INCH, lags.Plate(0.25 * INCH, 58e3 * PSI), 12 * INCH)
    assert lags.withdrawal(0.50, 0.375 * INCH) * bites / POUND == pytest.approx(1153, abs=0.5)


def test_wood_council_example_e2_3_1_2_by_4_in_southern_pine() -> None:
    lag = lags.lag_of(0.5 * INCH)
    _, bites = lags.penetration(lag, 4 * INCH, lags.Plate(1.5 * INCH, 0.0), 12 * INCH)
    assert lags.withdrawal(0.55, 0.5 * INCH) * bites / POUND == pytest.approx(954.97, rel=0.002)


def test_fillet_weld_of_e70_per_sixteenth_of_an_inch() -> None:
    found = steel.weld_strength(INCH / 16, 70 * steel.KSI, [])
    assert found * INCH / POUND == pytest.approx(928, abs=0.5)


def test_masonry_worked_sheet_half_inch_bolt() -> None:
    """1/2 in, 5 in deep, f'm 1,500 psi, fy 60 ksi: 3.80 kips of tension, 1.45 kips of shear."""
    bolt = masonry.CastIn(0.5 * INCH, 5 * INCH, 12 * INCH, 60e3 * PSI, 1500 * PSI)
    assert masonry.tension(bolt) / POUND == pytest.approx(3800, abs=5)
    assert masonry.shear(bolt) / POUND == pytest.approx(1450, abs=5)
