"""Wind on cladding against ASCE 7-98 to 7-16 and a building officials' sheet of door pressures (IRC 2000 to 2006)."""

from __future__ import annotations

import pytest
from rule_tables import table

from doorlint.errors import OutsideTable
from doorlint.figures import wind

FOOT = 0.3048
PSF = 47.88025898
MPH = 0.44704


@pytest.mark.parametrize(
    ("exposure", "feet", "printed"), [("B", 30, 0.70), ("C", 15, 0.85), ("C", 20, 0.90), ("C", 30, 0.98)]
)
def test_asce_7_kz(exposure: str, feet: float, printed: float) -> None:
    found = wind.exposure_factor(feet * FOOT, exposure, table("wind-exposure"))
    assert found == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(("exposure", "least"), [("B", 30), ("C", 15), ("D", 15)])
def test_asce_7_kz_of_cladding_has_a_least_height(exposure: str, least: float) -> None:
    low, at_least = (wind.exposure_factor(feet * FOOT, exposure, table("wind-exposure")) for feet in (5.0, least))
    assert low == at_least


def test_asce_7_low_buildings_end_at_60_ft() -> None:
    assert wind.exposure_factor(60 * FOOT, "C", table("wind-exposure")) > 1.0
    with pytest.raises(OutsideTable, match="60 ft"):
        wind.exposure_factor(60.1 * FOOT, "C", table("wind-exposure"))


def _velocity_pressure() -> float:
    kz = wind.exposure_factor(30 * FOOT, "B", table("wind-exposure"))
    return wind.velocity_pressure(90 * MPH, "nominal", kz)


def test_asce_7_velocity_pressure_at_90_mph_exposure_b() -> None:
    """12.34 psf with Kz rounded to .70; held to .1 %."""
    assert _velocity_pressure() / PSF == pytest.approx(12.34, rel=0.001)


@pytest.mark.parametrize(("area", "printed"), [(63, 12.82), (98, 12.40)])
def test_asce_7_fig_30_3_1_pressure_in(area: float, printed: float) -> None:
    found = wind.pressure_in(12.34 * PSF, area * FOOT**2, table("wall-coefficient"))
    assert found / PSF == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(("width", "height", "printed"), [(9, 7, 12.8), (14, 7, 12.4)])
def test_building_officials_sheet_90_mph_exposure_b(width: float, height: float, printed: float) -> None:
    """Door 9 x 7 ft: +12.8 psf; the larger one +12.4 psf, both to a tenth."""
    area = wind.area(width * FOOT, {"s1": height / 2 * FOOT, "s2": height / 2 * FOOT})
    assert wind.pressure_in(_velocity_pressure(), area, table("wall-coefficient")) / PSF == pytest.approx(
        printed, abs=0.05
    )


@pytest.mark.parametrize(
    ("side", "at_10", "at_500"),
    [("toward the wall", 1.0, 0.7), ("away in zone 4", 1.1, 0.8), ("away in zone 5", 1.4, 0.8)],
)
def test_asce_7_wall_coefficients_end_flat(side: str, at_10: float, at_500: float) -> None:
    """The ends of the three lines, as a public copy of the figure reads them; to .005."""
    from doorlint.mechanics.wind import wall_coefficient

    ten, slope = (table("wall-coefficient").look(column, side=side) for column in ("ten", "slope"))
    for area, printed in ((1, at_10), (10, at_10), (500, at_500), (2000, at_500)):
        assert wall_coefficient(area * FOOT**2, ten, slope) == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(
    ("side", "area", "read"),
    [
        ("toward the wall", 50, 0.85),
        ("toward the wall", 100, 0.825),
        ("toward the wall", 200, 0.775),
        ("away in zone 4", 50, 0.975),
        ("away in zone 4", 100, 0.95),
        ("away in zone 4", 200, 0.85),
        ("away in zone 5", 50, 1.15),
        ("away in zone 5", 100, 1.05),
        ("away in zone 5", 200, 0.95),
    ],
)
def test_asce_7_wall_coefficients_between(side: str, area: float, read: float) -> None:
    """Values that a public copy reads off the figure, to the width of its lines: .03."""
    from doorlint.mechanics.wind import wall_coefficient

    ten, slope = (table("wall-coefficient").look(column, side=side) for column in ("ten", "slope"))
    assert wall_coefficient(area * FOOT**2, ten, slope) == pytest.approx(read, abs=0.03)


def test_an_ultimate_map_is_brought_to_allowable_stress() -> None:
    """The .6 of the load combinations from 2010 on, from memory."""
    nominal, ultimate = (wind.velocity_pressure(50.0, kind, 0.7) for kind in ("nominal", "ultimate"))
    assert ultimate / nominal == pytest.approx(0.6, rel=1e-12)
