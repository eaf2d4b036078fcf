"""Torsion springs against Norton, Shigley and a spring-design text; the sense of the coil; the work of the springs."""

from __future__ import annotations

import math
from itertools import accumulate, pairwise

import needs
import pytest
from rule_tables import table

from doorlint.errors import OutsideTable
from doorlint.figures import spring as figures
from doorlint.mechanics import spring

INCH = 0.0254
POUND = 4.4482216152605
PSI = POUND / INCH**2
POUND_INCH = POUND * INCH


def test_norton_example_14_6_inner_fibre_factor() -> None:
    """C 9: 1.09."""
    assert spring.inner_fibre_factor(9.0) == pytest.approx(1.09, abs=0.005)


def test_norton_example_14_6_stress() -> None:
    """Wire .135 in, C 9, 25 lbf in: 112,843 psi."""
    stress = figures.stress(25 * POUND_INCH, 0.135 * INCH, 9.0)
    assert stress / PSI == pytest.approx(112_843, rel=1e-5)


def test_norton_example_14_6_strength() -> None:
    """A 184.649 kpsi, exponent .1625 at .135 in: 255,663 psi; the law of A/d^m, with that book's constants."""
    norton = table("spring-wire").__class__(
        "spring-wire",
        ("material", "wire", "strength", "exponent"),
        {"material": "exact", "wire": "from"},
        (("music", 0.1 * INCH, 184_649 * PSI, 0.1625), ("music", 0.2 * INCH, 184_649 * PSI, 0.1625)),
    )
    assert figures.strength("music", 0.135 * INCH, norton) / PSI == pytest.approx(255_663, rel=1e-5)


def test_norton_example_14_6_strength_of_music_wire_is_near_shigley() -> None:
    """Two books, two fits of one wire: 6 %."""
    assert figures.strength("music", 0.135 * INCH, table("spring-wire")) / PSI == pytest.approx(255_663, rel=0.06)


@pytest.mark.parametrize(("material", "metric"), [("music", 2211), ("oil-tempered", 1855), ("hard-drawn", 1783)])
def test_shigley_table_10_4_inches_against_millimetres(material: str, metric: float) -> None:
    """The table's two columns, kpsi in^m and MPa mm^m, must be one strength: .3 %."""
    wire = 5.0
    exponent = table("spring-wire").look("exponent", material=material, wire=wire / 1000)
    found = figures.strength(material, wire / 1000, table("spring-wire"))
    assert found / 1e6 == pytest.approx(metric / wire**exponent, rel=0.003)


@pytest.mark.parametrize(
    ("material", "wire", "modulus"),
    [
        ("music", 0.031, 29.5),
        ("music", 0.050, 29.0),
        ("music", 0.072, 28.5),
        ("music", 0.200, 28.0),
        ("hard-drawn", 0.031, 28.8),
        ("hard-drawn", 0.050, 28.7),
        ("hard-drawn", 0.100, 28.6),
        ("hard-drawn", 0.300, 28.5),
        ("oil-tempered", 0.250, 28.5),
    ],
)
def test_shigley_table_10_5_modulus(material: str, wire: float, modulus: float) -> None:
    found = table("spring-wire").look("modulus", material=material, wire=wire * INCH)
    assert found / PSI == pytest.approx(modulus * 1e6, rel=1e-9)


@pytest.mark.parametrize(
    ("material", "least", "most"),
    [("music", 0.004, 0.256), ("oil-tempered", 0.020, 0.500), ("hard-drawn", 0.028, 0.500)],
)
def test_shigley_table_10_4_range_of_wires(material: str, least: float, most: float) -> None:
    for wire in (least, most):
        assert figures.strength(material, wire * INCH, table("spring-wire")) > 0.0
    for wire in (least * 0.99, most * 1.01):
        with pytest.raises(OutsideTable, match="no row"):
            figures.strength(material, wire * INCH, table("spring-wire"))


DIAMETER = 19 / 32 * INCH - 0.072 * INCH
COILS = 4.25 + 2 * INCH / (3 * math.pi * DIAMETER)


def test_shigley_example_10_8_active_coils_from_memory() -> None:
    """4 1/4 turns and two legs of 1 in: 4.657 active coils; the spring that the next three tests use."""
    assert pytest.approx(4.657, abs=0.0005) == COILS


def test_shigley_example_10_8_rate_from_memory() -> None:
    """29.2 lbf in a turn, with the divisor 10.8."""
    rate = figures.computed_rate("music", 0.072 * INCH, DIAMETER, COILS, 10.8, table("spring-wire"))
    assert rate / POUND_INCH == pytest.approx(29.2, abs=0.05)


def test_shigley_example_10_8_inner_fibre_factor_from_memory() -> None:
    assert spring.inner_fibre_factor(DIAMETER / (0.072 * INCH)) == pytest.approx(1.115, abs=0.0005)


def test_shigley_example_10_8_moment_at_yield_from_memory() -> None:
    """7.55 lbf in is what stresses the wire to .78 of its strength."""
    share = figures.stress_share(
        figures.stress(7.55 * POUND_INCH, 0.072 * INCH, DIAMETER / (0.072 * INCH)),
        figures.strength("music", 0.072 * INCH, table("spring-wire")),
    )
    assert share == pytest.approx(figures.yield_share("music", 0.072 * INCH, table("spring-wire")), rel=0.002)


def test_shigley_equation_10_50_is_bending_theory() -> None:
    """10.2 stands for 64/(2 pi): the wire bent over its whole length pi D N."""
    modulus, wire, mean, coils = 200e9, 0.006, 0.06, 90.0
    theory = modulus * math.pi * wire**4 / 64 / (math.pi * mean * coils) * 2 * math.pi
    assert spring.rate_per_turn(modulus, wire, mean, coils, 10.2) == pytest.approx(theory, rel=0.002)


@pytest.mark.parametrize(("cycles", "share"), [(100_000, 0.53), (1_000_000, 0.50)])
def test_shigley_table_10_10(cycles: int, share: float) -> None:
    assert figures.life_share(cycles, "music", table("spring-life")) == pytest.approx(share, abs=1e-12)


@pytest.mark.parametrize(("cycles", "material"), [(99_000, "music"), (1_010_000, "music"), (100_000, "oil-tempered")])
def test_shigley_table_10_10_is_not_extrapolated(cycles: int, material: str) -> None:
    with pytest.raises(OutsideTable, match="no row"):
        figures.life_share(cycles, material, table("spring-life"))


def test_spring_design_text_small_spring() -> None:
    """Wire .035 in, outside .500 in, 3 coils, E 30e6 psi: 2.988 lbf in a turn."""
    rate = spring.rate_per_turn(30e6 * PSI, 0.035 * INCH, 0.465 * INCH, 3.0, 10.8)
    assert rate / POUND_INCH == pytest.approx(2.988, abs=0.0005)


Vector = tuple[float, float, float]


def _cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("wind", ["left", "right"])
def test_sense_of_the_coil_by_vectors(side: str, wind: str) -> None:
    """x to the right and y to the wall, as seen from inside, z up. The cable hangs at the wall side of the drum.

    A right-hand helix turns by the right-hand rule about the way it runs. The end at the middle bearing stands still,
    the outer end goes with the shaft: it tightens when that adds to the angle the wire turns through.
    """
    assert _cross((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) == (0.0, 0.0, 1.0)  # the axes are right-handed
    closing = next(turn for turn in (1.0, -1.0) if _cross((turn, 0.0, 0.0), (0.0, 1.0, 0.0))[2] < 0.0)  # down
    outer_end = 1.0 if side == "right" else -1.0
    to_outer_end = (1.0 if wind == "right" else -1.0) * 2 * math.pi * 100 * outer_end  # angle about x from the middle
    tightens = abs(to_outer_end + closing) > abs(to_outer_end)
    assert figures.when_closing(side, wind) == ("tightens" if tightens else "opens")


ROUND = (0.07,)
CONE = (0.06, 0.065, 0.072, 0.08, 0.08, 0.08, 0.08)


@pytest.mark.parametrize("radii", [ROUND, CONE], ids=["round", "not round"])
def test_work_of_the_springs(radii: tuple[float, ...]) -> None:
    """What the cables pull over the travel is what the springs give up: pi k (n1^2 - n2^2)."""
    integrate = needs.module("scipy.integrate")
    rate, turns, travel = 20.0, 7.5, 2.3
    kinks = [at for at in accumulate(math.pi * (low + high) for low, high in pairwise(radii)) if at < travel]
    work, _ = integrate.quad(lambda x: spring.pull_at(rate, turns, radii, x), 0.0, travel, points=kinks or None)
    left = turns - spring.turned(radii, travel)
    assert work == pytest.approx(math.pi * rate * (turns**2 - left**2), rel=1e-9)


def test_cable_of_a_drum_that_is_not_round_by_small_steps() -> None:
    taken, steps = 0.0, 100_000
    for step in range(steps):
        taken += 2 * math.pi * spring.radius_at(CONE, 4.3 * (step + 0.5) / steps) * 4.3 / steps
    assert spring.turned(CONE, taken) == pytest.approx(4.3, rel=1e-8)


def test_a_drum_table_that_ends_before_the_door_is_open() -> None:
    with pytest.raises(OutsideTable, match="end after 6 turns"):
        spring.turned(CONE, 3.0)
    with pytest.raises(OutsideTable, match="end after 6 turns"):
        spring.radius_at(CONE, 6.1)


def test_the_wire_keeps_its_length_when_wound() -> None:
    mean, wire, coils, turns = 0.06, 0.006, 90.0, 7.5
    wound = spring.wound_inside_diameter(mean, wire, coils, turns) + wire
    assert math.pi * wound * (coils + turns) == pytest.approx(math.pi * mean * coils, rel=1e-12)
