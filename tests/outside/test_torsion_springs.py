"""Torsion springs against Norton, Shigley and a spring-design text; the sense of the coil; the work of the springs."""

from __future__ import annotations

import math

import pytest
from rule_tables import table

from doorlint.figures import spring as figures
from doorlint.figures import spring_place
from doorlint.mechanics import torsion_spring

INCH = 0.0254
POUND = 4.4482216152605
PSI = POUND / INCH**2
POUND_INCH = POUND * INCH


def test_norton_example_14_6_inner_fibre_factor() -> None:
    """C 9: 1.09."""
    assert torsion_spring.inner_fiber_factor(9.0) == pytest.approx(1.09, abs=0.005)


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


def test_older_constants_give_the_metric_strength_of_oil_tempered_wire() -> None:
    """A 10 mm wire by the newer set, 1855 MPa mm^.187: the older set is within .2 %."""
    found = figures.strength("oil-tempered", 0.010, table("spring-wire"))
    assert found / 1e6 == pytest.approx(1855 / 10.0**0.187, rel=0.002)


@pytest.mark.parametrize(
    ("material", "wire", "modulus"),
    [
        ("music", 0.072, 28.5),
        ("music", 0.200, 28.0),
        ("hard-drawn", 0.300, 28.5),
        ("oil-tempered", 0.250, 28.5),
    ],
)
def test_shigley_table_10_5_modulus(material: str, wire: float, modulus: float) -> None:
    found = table("spring-wire").look("modulus", material=material, wire=wire * INCH)
    assert found / PSI == pytest.approx(modulus * 1e6, rel=1e-9)


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
    assert torsion_spring.inner_fiber_factor(DIAMETER / (0.072 * INCH)) == pytest.approx(1.115, abs=0.0005)


def test_shigley_equation_10_50_is_bending_theory() -> None:
    """10.2 stands for 64/(2 pi): the wire bent over its whole length pi D N."""
    modulus, wire, mean, coils = 200e9, 0.006, 0.06, 90.0
    theory = modulus * math.pi * wire**4 / 64 / (math.pi * mean * coils) * 2 * math.pi
    assert torsion_spring.rate_per_turn(modulus, wire, mean, coils, 10.2) == pytest.approx(theory, rel=0.002)


@pytest.mark.parametrize(
    ("material", "share", "cycles"),
    [
        ("oil-tempered", 0.51, 100_000),
        ("oil-tempered", 0.47, 1_000_000),
        ("music", 0.53, 100_000),
        ("hard-drawn", 0.8, 1_000),
    ],
)
def test_life_of_the_design_program(material: str, share: float, cycles: int) -> None:
    assert figures.textbook_life(share, material, table("spring-life")) == cycles


def test_spring_design_text_small_spring() -> None:
    """Wire .035 in, outside .500 in, 3 coils, E 30e6 psi: 2.988 lbf in a turn."""
    rate = torsion_spring.rate_per_turn(30e6 * PSI, 0.035 * INCH, 0.465 * INCH, 3.0, 10.8)
    assert rate / POUND_INCH == pytest.approx(2.988, abs=0.0005)


Vector = tuple[float, float, float]


def _cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(("mount", "leaves"), [("front", None), ("rear", "top"), ("rear", "bottom")])
def test_hand_of_the_coil_by_vectors(side: str, mount: str, leaves: str | None) -> None:
    """x to the right and y to the wall, as seen from inside, z up.

    In front the cable hangs at the wall side of the drum and is pulled down there; behind it runs to the wall from the
    top or the bottom. A right-hand helix turns by the right-hand rule about the way it runs. The end at the anchor is
    still, the cone goes with the shaft: closing tightens the coil when it adds to the angle the wire turns through.
    """
    at = {None: (0.0, 1.0, 0.0), "top": (0.0, 0.0, 1.0), "bottom": (0.0, 0.0, -1.0)}[leaves]
    pulled = (0.0, 0.0, -1.0) if mount == "front" else (0.0, 1.0, 0.0)

    def along(turn: float) -> float:
        moved = _cross((turn, 0.0, 0.0), at)
        return sum(a * b for a, b in zip(moved, pulled, strict=True))

    closing = next(turn for turn in (1.0, -1.0) if along(turn) > 0.0)
    cone = 1.0 if side == "right" else -1.0
    angles = {wind: (1.0 if wind == "right" else -1.0) * 2 * math.pi * 100 * cone for wind in ("left", "right")}
    tightened = [wind for wind, angle in angles.items() if abs(angle + closing) > abs(angle)]
    assert tightened == [spring_place.hand_wanted({"a": side}, mount, leaves)["a"]]


def test_the_wire_keeps_its_length_when_wound() -> None:
    mean, coils, turns = 0.06, 90.0, 7.5
    wound = torsion_spring.wound_mean_diameter(mean, coils, turns)
    assert math.pi * wound * (coils + turns) == pytest.approx(math.pi * mean * coils, rel=1e-12)
