"""Every row that rope, clips, sheaves, wood screws, threads, sheet and angles take from a printed table.

The figures are typed from the documents once more, beside the files the rules read.
"""

from __future__ import annotations

import math

import pytest
from needs import module

from doorlint.figures import cable, hanger
from doorlint.mechanics.angle import angle
from doorlint.mechanics.connections import mounting
from doorlint.mechanics.connections.lags import pull_out
from doorlint.quantities import read
from doorlint.rulebook.library import Library

INCH = 0.0254
POUND = 4.4482216152605
KSI = 6_894_757.293168


def inches(text: str) -> float:
    return read(f"{text} in", "length")


# --- rope ----------------------------------------------------------------------------------------------------------

AC_43_13_7X19 = {
    "3/32": (1000, 920), "1/8": (2000, 1760), "5/32": (2800, 2400), "3/16": (4200, 3700), "7/32": (5600, 5000),
    "1/4": (7000, 6400), "9/32": (8000, 7800), "5/16": (9800, 9000), "3/8": (14400, 12000),
}  # fmt: skip


@pytest.mark.parametrize("size", AC_43_13_7X19)
def test_ac_43_13_1b_table_7_3_strength_of_7x19_rope(size: str, library: Library) -> None:
    """Breaking strength, lb, galvanized and stainless, as printed."""
    table, finishes = library.tables["rope-strength"], ("galvanized", "stainless")
    found = [cable.table_strength("7x19", finish, inches(size), table) / POUND for finish in finishes]
    assert found == pytest.approx(AC_43_13_7X19[size], rel=1e-9)


@pytest.mark.parametrize(("size", "pounds"), [("1/16", 480), ("3/32", 920)])
def test_ac_43_13_1b_table_7_3_strength_of_7x7_rope(size: str, pounds: float, library: Library) -> None:
    """Breaking strength, lb, galvanized, as printed."""
    found = cable.table_strength("7x7", "galvanized", inches(size), library.tables["rope-strength"])
    assert found / POUND == pytest.approx(pounds, rel=1e-9)


TABLE_H_2 = {
    "1/2": (3, 4, 3.0), "5/8": (3, 4, 3.75), "3/4": (4, 5, 4.5), "7/8": (4, 5, 5.25), "1": (5, 6, 6.0),
    "1 1/8": (6, 6, 6.75), "1 1/4": (6, 7, 7.5), "1 3/8": (7, 7, 8.25), "1 1/2": (7, 8, 9.0),
}  # fmt: skip


@pytest.mark.parametrize("size", TABLE_H_2)
def test_29_cfr_1926_251_table_h_2_clips(size: str, library: Library) -> None:
    """Clips forged and of other material exactly; spacing printed and six diameters, to 1e-9 in."""
    forged, other, spacing = TABLE_H_2[size]
    table = library.tables["rope-clips"]
    assert cable.clips_wanted(inches(size), True, table) == forged
    assert cable.clips_wanted(inches(size), None, table) == other
    assert table.look("spacing", diameter=inches(size)) / INCH == pytest.approx(spacing, abs=1e-9)
    assert cable.clip_pitch(inches(size)) / INCH == pytest.approx(spacing, abs=1e-9)


@pytest.mark.parametrize("size", ["1/8", "5/32", "3/16", "1/4", "7/16"])
def test_wac_296_24_29401_three_clips_on_small_rope(size: str, library: Library) -> None:
    """Three U-bolt clips, (5)(c)."""
    assert cable.clips_wanted(inches(size), None, library.tables["rope-clips"]) == 3


@pytest.mark.parametrize("size", ["1/8", "1/4", "3/8", "1/2", "3/4"])
def test_us_navy_training_manual_14026_never_asks_for_more_clips_below_an_inch(size: str, library: Library) -> None:
    """3 D + 1 rounded up; our number is no less."""
    rule_of_thumb = math.ceil(3 * inches(size) / INCH + 1)
    assert cable.clips_wanted(inches(size), True, library.tables["rope-clips"]) >= rule_of_thumb


WORKSAFE_NB = {
    "5/16": 5.5, "3/8": 6.5, "7/16": 7.0, "1/2": 11.5, "9/16": 12.0, "5/8": 12.0, "3/4": 18.0, "7/8": 19.0,
}  # fmt: skip


@pytest.mark.parametrize("size", WORKSAFE_NB)
def test_worksafe_nb_turn_back(size: str, library: Library) -> None:
    """Rope turned back from the thimble, in, as printed; never less is asked."""
    table = library.tables["rope-turn-back"]
    assert table.look("length", diameter=inches(size)) / INCH == pytest.approx(WORKSAFE_NB[size], abs=1e-9)
    wanted = cable.turn_back_wanted(inches(size), 3, cable.clip_pitch(inches(size)), table)
    assert wanted / INCH >= WORKSAFE_NB[size] - 1e-9


SHEAVES = {40: 95, 30: 93, 20: 91, 15: 89, 10: 86, 8: 83, 6: 79, 4: 75, 2: 65, 1: 50}


@pytest.mark.parametrize("bend", SHEAVES)
def test_rope_industry_table_strength_over_a_sheave(bend: int, library: Library) -> None:
    """Share of catalogue strength left, as printed."""
    assert library.tables["rope-over-sheave"].look("kept", bend=float(bend)) == pytest.approx(SHEAVES[bend] / 100)


def test_rope_industry_table_worked_example(library: Library) -> None:
    """A 1/2 in rope over a 10 in sheave keeps 91 %."""
    tables = library.tables
    bend = cable.least_bend(inches("1/2"), {"sheave": inches("10")})
    assert bend == pytest.approx(20.0)
    assert tables["rope-over-sheave"].look("kept", bend=bend) == pytest.approx(0.91)


@pytest.mark.parametrize(("end", "kept"), [("clips", 0.80), ("swaged", 0.95), ("wedge", 0.75)])
def test_army_tm_5_3810_305_10_table_4_ends(end: str, kept: float, library: Library) -> None:
    """Approximate efficiency of clips, of a swaged sleeve up to 1 in, and the low end of wedge sockets."""
    assert library.tables["rope-ends"].look("kept", end=end) == pytest.approx(kept)


# --- wood ----------------------------------------------------------------------------------------------------------

DIAMETERS = ("1/4", "5/16", "3/8", "7/16", "1/2")


def test_nds_12_2_1_end_grain() -> None:
    """Three quarters of side grain."""
    hold = [2 * pull_out(0.5, inches("3/8"), inches("2"), grain, None) for grain in ("side", "end")]
    assert hold[0] == pytest.approx(2 * 305 * 2 * POUND, rel=1e-3)
    assert hold[1] == pytest.approx(0.75 * hold[0])


def test_usda_wood_handbook_chapter_8_ultimate_is_4_5_times_the_allowable() -> None:
    """8100 G^1.5 D^0.75 L against the allowable value."""
    ultimate = 8100 * 0.5**1.5 * (3 / 8) ** 0.75
    allowable = pull_out(0.5, inches("3/8"), INCH, "side", None) / POUND
    assert ultimate / allowable == pytest.approx(4.5, rel=1e-9)


def test_nds_table_2_3_2_load_duration() -> None:
    """Permanent 0.9, ten years 1.0, a week 1.25, wind 1.6."""
    assert (mounting.LASTING, mounting.USUAL, mounting.HOISTING, mounting.SHORT) == (0.9, 1.0, 1.25, 1.6)


# --- threads, sheet and angles -------------------------------------------------------------------------------------

A307 = {
    "1/4": (20, 0.0318, 1900), "5/16": (18, 0.0524, 3100), "3/8": (16, 0.0775, 4650), "7/16": (14, 0.1063, 6350),
    "1/2": (13, 0.1419, 8500), "9/16": (12, 0.182, 11000), "5/8": (11, 0.226, 13550), "3/4": (10, 0.334, 20050),
}  # fmt: skip


@pytest.mark.parametrize("size", A307)
def test_astm_a307_table_3_stress_area(size: str, library: Library) -> None:
    """Tensile stress area, sq in, as printed; 0.7854 (d - 0.9743/n)^2 of ASME B1.1 to 0.5 %; 60 ksi to 1.5 %."""
    threads, printed, strength = A307[size]
    table = library.tables["screw-threads"]
    area = table.look("area", diameter=inches(size)) / INCH**2
    assert area == pytest.approx(printed, abs=1e-9)
    assert table.look("threads", diameter=inches(size)) == threads
    assert area == pytest.approx(0.7854 * (inches(size) / INCH - 0.9743 / threads) ** 2, rel=5e-3)
    assert 60_000 * area == pytest.approx(strength, rel=0.015)


def test_aisc_asd_1989_table_j3_2_a307_bolts(library: Library) -> None:
    """Allowable tension 20 ksi."""
    assert library.practice["bolt_stress"].value == pytest.approx(20 * KSI, rel=1e-9)


GAGES = {
    12: (0.1046, 0.1084), 13: (0.0897, 0.0934), 14: (0.0747, 0.0785), 16: (0.0598, 0.0635), 18: (0.0478, 0.0516),
    20: (0.0359, 0.0396), 24: (0.0239, 0.0276), 26: (0.0179, 0.0217),
}  # fmt: skip


@pytest.mark.parametrize("gage", GAGES)
def test_manufacturers_standard_gage(gage: int, library: Library) -> None:
    """Plain and galvanized sheet, in, as printed; galvanized is 0.0037 in thicker, to 2e-4 in."""
    table = library.tables["sheet-gage"]
    plain, galvanized = (table.look(kind, gage=float(gage)) / INCH for kind in ("plain", "galvanized"))
    assert (plain, galvanized) == pytest.approx(GAGES[gage], abs=1e-9)
    assert galvanized - plain == pytest.approx(0.0037, abs=2e-4)


def test_angle_l2x2x1_8_as_two_rectangles() -> None:
    """Area .484, second moment .190, section modulus .131 (in), to the last figure printed."""
    section = angle(2.0, 2.0, 0.125)
    assert round(section.area, 3) == 0.484
    assert round(section.second[0], 3) == 0.190
    assert round(section.second[0] / (2.0 - section.centre[1]), 3) == 0.131


def test_aisc_data_angle_l2x2x1_8_with_fillets() -> None:
    """Area .491, second moment .189, section modulus .129 (in), to 2.5 %."""
    section = angle(2.0, 2.0, 0.125)
    assert section.area == pytest.approx(0.491, rel=0.025)
    assert section.second[0] == pytest.approx(0.189, rel=0.025)
    assert section.second[0] / (2.0 - section.centre[1]) == pytest.approx(0.129, rel=0.025)


@pytest.mark.parametrize(("a", "b", "t"), [(16, 16, 1), (24, 12, 2), (10, 28, 3)])
def test_sympy_polygon_second_moments_of_an_angle(a: int, b: int, t: int) -> None:
    """Exact area, centre and second moments of the L as a polygon, to 1e-12."""
    sympy = module("sympy")
    outline = sympy.Polygon((0, 0), (b, 0), (b, t), (t, t), (t, a), (0, a))
    section = angle(float(a), float(b), float(t))
    assert section.area == pytest.approx(float(outline.area), rel=1e-12)
    assert section.centre == pytest.approx([float(c) for c in outline.centroid], rel=1e-12)
    assert section.second == pytest.approx([float(i) for i in outline.second_moment_of_area()], rel=1e-12)


@pytest.mark.parametrize(("a", "b", "t"), [(2.0, 2.0, 0.125), (3.0, 2.0, 0.1875)])
def test_numpy_greatest_stress_of_a_free_angle(a: float, b: float, t: float) -> None:
    """Bending modulus from the flexure equations solved for the strain plane, to 1e-9."""
    numpy = module("numpy")
    section = angle(a, b, t)
    along_b, along_a, product = section.second
    x0, y0 = section.centre
    worst = 0.0
    for moment_of_x, moment_of_y in ((1.0, 0.0), (0.0, 1.0)):  # of the pull about the two axes
        plane = numpy.linalg.solve([[along_a, product], [product, along_b]], [moment_of_x, moment_of_y])
        for x, y in ((0, 0), (b, 0), (b, t), (t, t), (t, a), (0, a)):
            worst = max(worst, abs(plane[0] * (x - x0) + plane[1] * (y - y0)))
    assert section.bending_modulus == pytest.approx(1.0 / worst, rel=1e-9)


def test_euler_column_of_a_hanger() -> None:
    """pi^2 E I / L^2 of a square bar by its principal second moment, halved, to 1e-9; sympy's principal moments."""
    sympy = module("sympy")
    section = angle(0.05, 0.04, 0.004)
    along_b, along_a, product = section.second
    principal = min(float(v) for v in sympy.Matrix([[along_b, product], [product, along_a]]).eigenvals())
    assert section.least_second == pytest.approx(principal, rel=1e-9)
    assert hanger.push_capacity(1.2, section) == pytest.approx(math.pi**2 * 200e9 * principal / 1.44 / 2, rel=1e-9)
