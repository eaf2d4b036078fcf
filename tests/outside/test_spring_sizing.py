"""Sizing of springs against three worked springs and against its own limits, looked at again from the result."""

from __future__ import annotations

import math

import pytest

from doorlint.mechanics import drum as drums
from doorlint.mechanics import spring_balance, spring_sizing, torsion_spring
from doorlint.mechanics.spring_sizing import Coil, Wire
from doorlint.mechanics.torsion_spring import Wound

INCH = 0.0254
POUND = 4.4482216152605
PSI = POUND / INCH**2
POUND_INCH = POUND * INCH
SHARES = ((3.0, 0.85), (5.0, 0.51), (6.0, 0.47))
OIL_TEMPERED = Wire(28.5e6 * PSI, 146_000 * PSI, 0.193, SHARES)
DOOR = [(0.0, 2000.0), (1.5, 1000.0), (3.0, 100.0)]


def test_norton_example_14_6_the_wire_for_its_moment() -> None:
    """25 lbf in at 112,843 psi of 255,663 psi on C 9 takes wire of .135 in."""
    norton = Wire(28.5e6 * PSI, 184_649 * PSI, 0.1625, SHARES)
    coil = Coil(0.135 * INCH, 8 * 0.135 * INCH)
    assert spring_sizing.stress_share(norton, coil, 25 * POUND_INCH) == pytest.approx(112_843 / 255_663, rel=1e-3)


def test_shigley_example_10_8_the_coils_for_its_rate_from_memory() -> None:
    """29.2 lbf in a turn of .072 in wire, outside 19/32 in: 4.657 coils; at 7.55 lbf in .78 of the strength."""
    mean = (19 / 32 - 0.072) * INCH
    coils = torsion_spring.coils_for_rate(28.5e6 * PSI, 0.072 * INCH, mean, 29.2 * POUND_INCH, 10.8)
    assert coils == pytest.approx(4.657, rel=2e-3)
    music = Wire(28.5e6 * PSI, 201_000 * PSI, 0.145, SHARES)
    share = spring_sizing.stress_share(music, Coil(0.072 * INCH, mean - 0.072 * INCH), 7.55 * POUND_INCH)
    assert share == pytest.approx(0.78, rel=2e-3)


def test_spring_design_text_the_coils_for_its_rate() -> None:
    """2.988 lbf in a turn of .035 in wire, outside .500 in, E 30e6 psi: 3 coils."""
    coils = torsion_spring.coils_for_rate(30e6 * PSI, 0.035 * INCH, 0.465 * INCH, 2.988 * POUND_INCH, 10.8)
    assert coils == pytest.approx(3.0, rel=2e-4)


@pytest.mark.parametrize("duplex", [None, 0.1 * INCH])
@pytest.mark.parametrize("cycles", [1e4, 5e4])
def test_what_is_found_does_what_was_asked(duplex: float | None, cycles: float) -> None:
    sizes = [
        Coil(wire * INCH, inside * INCH) for wire in (0.25, 0.3125, 0.375, 0.4375) for inside in (2.0, 2.625, 3.75)
    ]
    drum = drums.standard(2.75 * INCH)
    found = spring_sizing.size(
        OIL_TEMPERED, sizes, [1, 2, 4], drum, DOOR,
        least_open=0.5, cycles=cycles, divisor=10.8, dead_coils=5.0, duplex_gap=duplex,
    )  # fmt: skip
    assert found
    assert (duplex is not None) == any(one.inner for one in found)
    for one in found:
        coils = [(one.coil, one.coils)] + ([(one.inner, one.inner_coils)] if one.inner else [])
        rates = [
            torsion_spring.rate_per_turn(
                OIL_TEMPERED.modulus, coil.wire, coil.inside_diameter + coil.wire, active, 10.8
            )
            for coil, active in coils
        ]
        assert sum(rates) * one.springs == pytest.approx(one.rate)
        assert one.turns * 4 == pytest.approx(round(one.turns * 4))
        assert one.turns >= drum.turned(3.0) + 0.5 - 1e-9
        stresses = [
            spring_sizing.stress_share(OIL_TEMPERED, coil, rate * one.turns)
            for (coil, _), rate in zip(coils, rates, strict=True)
        ]
        assert max(stresses) == pytest.approx(one.stress)
        assert one.cycles >= cycles * (1 - 1e-9)
        for (coil, _), rate in zip(coils, rates, strict=True):
            assert rate * one.turns <= torsion_spring.plastic_torque(
                spring_sizing.strength(OIL_TEMPERED, coil.wire), coil.wire
            )
        wound = [Wound(rate, one.turns) for rate in rates] * one.springs
        assert spring_balance.largest(spring_balance.residuals(wound, drum, DOOR)) == pytest.approx(one.largest)
        best = spring_balance.best_setting(drum, DOOR, 0.5)
        assert one.largest >= best.largest - 1e-6
        if one.inner:
            assert (
                one.inner.inside_diameter + 2 * one.inner.wire + 2 * (duplex or 0.0) <= one.coil.inside_diameter + 1e-12
            )


def stressed(coil: Coil, coils: float, turns: float) -> float:
    """Share of the wire's strength at the inside of the coil: 32 K M/(pi d^3) over A/d^m."""
    index = (coil.inside_diameter + coil.wire) / coil.wire
    factor = (4.0 * index**2 - index - 1.0) / (4.0 * index * (index - 1.0))
    rate = OIL_TEMPERED.modulus * coil.wire**4 / (10.8 * (coil.inside_diameter + coil.wire) * coils)
    bending = 32.0 * factor * rate * turns / (math.pi * coil.wire**3)
    return bending / (OIL_TEMPERED.sut / (coil.wire / INCH) ** OIL_TEMPERED.exponent)


def test_the_best_pair_by_trying_every_size_and_number_of_coils() -> None:
    radius, door = 0.0698, [(0.0, 2100.0), (0.8, 1600.0), (1.7, 900.0), (2.6, 250.0), (3.0, 120.0)]
    sizes = [Coil(wire, inside) for wire in (0.0085, 0.009, 0.0095, 0.010) for inside in (0.067, 0.095)]
    best = spring_sizing.balanced(
        OIL_TEMPERED, sizes, 2, drums.standard(radius), door,
        least_open=0.5, divisor=10.8, dead_coils=5.0, longest=1.45,
    )  # fmt: skip
    assert best is not None

    def largest(coil: Coil, coils: float) -> float:
        rate = OIL_TEMPERED.modulus * coil.wire**4 / (10.8 * (coil.inside_diameter + coil.wire) * coils)
        pulls = [2.0 * rate * (best.turns - travel / (2.0 * math.pi * radius)) / radius for travel, _ in door]
        return max(abs(pull - weight) for pull, (_, weight) in zip(pulls, door, strict=True))

    ways = [
        (largest(coil, float(coils)), stressed(coil, float(coils), best.turns))
        for coil in sizes
        for coils in range(60, 260)
        if coil.wire * (coils + 5.0 + best.turns) <= 1.45
    ]
    least = min(left for left, stress in ways if stress <= spring_sizing.MOST_STRESS)
    assert best.largest == pytest.approx(largest(best.coil, best.coils))
    assert best.largest <= spring_sizing.AS_GOOD * least
    assert best.stress == pytest.approx(min(stress for left, stress in ways if left <= spring_sizing.AS_GOOD * least))


def test_another_wire_with_the_same_rate() -> None:
    """The converted spring has the rate of the first, worked out from its own size; thicker wire is longer and lives
    longer."""
    old, new = Coil(0.25 * INCH, 2.0 * INCH), Coil(0.2625 * INCH, 2.0 * INCH)
    rate = torsion_spring.rate_per_turn(OIL_TEMPERED.modulus, old.wire, 2.25 * INCH, 120.0, 10.8)
    coils, share = spring_sizing.convert(OIL_TEMPERED, old, 120.0, rate * 7.5, new)
    again = torsion_spring.rate_per_turn(OIL_TEMPERED.modulus, new.wire, 2.2625 * INCH, coils, 10.8)
    assert again == pytest.approx(rate)
    assert torsion_spring.body_length(new.wire, coils, 5.0) > torsion_spring.body_length(old.wire, 120.0, 5.0)
    assert spring_sizing.life(OIL_TEMPERED, share) >= spring_sizing.life(
        OIL_TEMPERED, spring_sizing.stress_share(OIL_TEMPERED, old, rate * 7.5)
    )


@pytest.mark.parametrize("cycles", [1e3, 5e3, 1e4, 1e5, 3e5, 1e6])
def test_life_and_allowed_share_are_inverse(cycles: float) -> None:
    assert spring_sizing.life(OIL_TEMPERED, spring_sizing.allowed_share(OIL_TEMPERED, cycles)) == pytest.approx(cycles)


def test_the_plastic_moment_by_slices_of_the_wire() -> None:
    """Every fiber at Sut: twice the first moment of half a circle."""
    wire, strength, slices = 0.006, 1.2e9, 20000
    moment = 0.0
    for index in range(slices):
        height = (index + 0.5) * wire / 2 / slices
        moment += 2 * strength * height * 2 * math.sqrt((wire / 2) ** 2 - height**2) * wire / 2 / slices
    assert torsion_spring.plastic_torque(strength, wire) == pytest.approx(moment, rel=1e-5)
