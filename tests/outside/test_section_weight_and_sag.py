"""Weights of steel and glass against handbooks, sag against a beam solved symbolically."""

from __future__ import annotations

import needs
import pytest
from rule_tables import table

from doorlint.figures import section

INCH = 0.0254
FOOT = 0.3048
POUND = 4.4482216152605
SQUARE_FOOT = FOOT**2


def test_handbooks_weight_of_steel() -> None:
    """.2836 lb per cubic inch is 7,850 kg per cubic metre, the round figure of metric handbooks: .1 %."""
    assert pytest.approx(7850.0, rel=0.001) == section.STEEL_WEIGHT / 9.80665


def test_handbooks_weight_of_glass() -> None:
    """160 lb per cubic foot against the 2,500 kg per cubic metre of metric handbooks: 3 %."""
    assert pytest.approx(2500.0, rel=0.03) == section.GLASS_WEIGHT / 9.80665


def test_handbooks_quarter_inch_glass_from_memory() -> None:
    """Plate glass of 1/4 in: 3.28 lb per square foot, to 2 %."""
    assert section.glass_weight(SQUARE_FOOT, 0.25 * INCH) / POUND == pytest.approx(3.28, rel=0.02)


@pytest.mark.parametrize(("gage", "pounds"), [(14, 3.125), (16, 2.5), (18, 2.0), (20, 1.5), (24, 1.0), (26, 0.75)])
def test_manufacturers_standard_gage_weights_from_memory(gage: int, pounds: float) -> None:
    """The gage is a weight: 41.82 lb per square foot and inch, which allows for thick middles and full edges.

    Steel itself is 2.4 % lighter; the printed thickness is rounded besides. Held to 3 %.
    """
    plain = table("sheet-gage").look("plain", gage=gage)
    assert plain * section.STEEL_WEIGHT * SQUARE_FOOT / POUND == pytest.approx(pounds, rel=0.03)


@pytest.mark.parametrize(("gage", "ounces"), [(20, 26.5), (24, 18.5), (26, 14.5)])
def test_galvanized_sheet_gage_weights_from_memory(gage: int, ounces: float) -> None:
    """Galvanized sheet gage: 20 gage 26.5, 24 gage 18.5, 26 gage 14.5 ounces per square foot; held to 3 %."""
    weight = section.skin_weight(FOOT, FOOT, None, gage, None, table("sheet-gage"))
    assert weight / POUND * 16 == pytest.approx(ounces, rel=0.03)


def test_two_skins_weigh_the_sum() -> None:
    gages = table("sheet-gage")
    both = section.skin_weight(0.6, 3.0, 0.3, 24, 26, gages)
    assert both == pytest.approx(
        section.skin_weight(0.6, 3.0, 0.3, 24, None, gages) + section.skin_weight(0.6, 3.0, 0.3, 26, None, gages)
    )


@pytest.mark.parametrize(("feet", "pounds", "inches4"), [(12, 148, "0.22"), (16, 240, "0.9"), (9, 85, "0.05")])
def test_sag_against_a_beam_solved_symbolically(feet: int, pounds: int, inches4: str) -> None:
    """In pounds and inches, exact rationals throughout."""
    sympy, beams = needs.module("sympy"), needs.module("sympy.physics.continuum_mechanics.beam")
    span, inertia = sympy.Integer(12 * feet), sympy.Rational(inches4)
    beam = beams.Beam(span, sympy.Integer(29_000_000), inertia)
    first, last = sympy.symbols("R0 R1")
    beam.apply_load(first, 0, -1)
    beam.apply_load(last, span, -1)
    beam.apply_load(sympy.Integer(-pounds) / span, 0, 0)
    beam.bc_deflection = [(0, 0), (span, 0)]
    beam.solve_for_reaction_loads(first, last)
    solved = -float(beam.deflection().subs(sympy.Symbol("x"), span / 2))
    sag = section.sag(pounds * POUND, feet * FOOT, float(inertia) * INCH**4)
    assert sag / INCH == pytest.approx(solved, rel=1e-9)


def test_master_specification_083324_sag_of_a_12_ft_section() -> None:
    """width/120 of 12 ft is 1.20 in: the second moment that sags just so, put in, sags just so."""
    width, load = 12 * FOOT, 148 * POUND
    least = 5 * load * width**3 / (384 * section.STEEL_MODULUS * 1.20 * INCH)
    assert section.sag(load, width, least) / INCH == pytest.approx(1.20, rel=1e-12)
    assert width / 120 / INCH == pytest.approx(1.20, rel=1e-12)
