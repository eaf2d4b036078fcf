"""Continuous beams against printed coefficients, against sympy's exact beams and against a finite element program."""

from __future__ import annotations

import math
import random
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from needs import module
from shared import thinned

from doorlint.mechanics.beam import Beam, even, greatest_bending, reactions, rolling

CASES = 12


def spans(*lengths: float, tip: float = 0.0) -> Beam:
    supports = [0.0]
    for length in lengths:
        supports.append(supports[-1] + length)
    return Beam(tuple(supports), supports[-1] + tip)


@pytest.mark.parametrize(
    ("number", "printed"),
    [
        (2, (3 / 8, 10 / 8, 3 / 8)),
        (3, (0.4, 1.1, 1.1, 0.4)),
        (4, (11 / 28, 32 / 28, 26 / 28, 32 / 28, 11 / 28)),
    ],
    ids=["2-spans", "3-spans", "4-spans"],
)
def test_civil_engineering_formulas_table_2_1_reactions_of_equal_spans(number: int, printed: tuple[float, ...]) -> None:
    """Reactions over wL, to 1e-12."""
    assert even(spans(*[1.5] * number), 100.0) == pytest.approx([share * 150.0 for share in printed], rel=1e-12)


def test_civil_engineering_reference_manual_moment_of_two_equal_spans() -> None:
    """M = w L^2 / 8 over the middle support, to 1e-12."""
    assert greatest_bending(spans(2.0, 2.0), [], 30.0) == pytest.approx(30.0 * 4.0 / 8.0, rel=1e-12)


def test_handbook_moment_of_a_simple_span() -> None:
    """w L^2 / 8 and P L / 4 in the middle, to 1e-12."""
    assert greatest_bending(spans(3.0), [], 20.0) == pytest.approx(22.5, rel=1e-12)
    assert greatest_bending(spans(3.0), [(1.5, 40.0)], 0.0) == pytest.approx(30.0, rel=1e-12)


def test_uneven_spans_50_60_70_under_10_lb_per_in() -> None:
    """198.582, 564.571, 755.157, 281.690 lb, as printed from exact rationals, to 5e-4 lb."""
    assert even(spans(50.0, 60.0, 70.0), 10.0) == pytest.approx([198.582, 564.571, 755.157, 281.690], abs=5e-4)


def test_the_end_of_a_short_span_lifts_off_from_a_ratio_of_2_303() -> None:
    """The outer reaction of a short span beside a long one is nil at b/a = 2.303, to 5e-4."""
    low, high = 2.0, 2.6
    for _ in range(60):
        ratio = (low + high) / 2
        if even(spans(1.0, ratio), 1.0)[0] > 0.0:
            low = ratio
        else:
            high = ratio
    assert ratio == pytest.approx(2.303, abs=5e-4)


def drawn(seed: int) -> tuple[list[int], int, list[tuple[int, int]], int]:
    """Supports, end, point loads and even load, all whole numbers, so that sympy reckons in rationals."""
    dice = random.Random(seed)
    supports = [0]
    for _ in range(dice.choice([1, 2, 2, 3])):
        supports.append(supports[-1] + dice.randint(3, 12))
    end = supports[-1] + dice.randint(0, 4)
    loads = [(dice.randint(0, end), dice.randint(1, 40)) for _ in range(dice.randint(1, 6))]
    return supports, end, loads, dice.randint(0, 5)


def ours(supports: list[int], end: int, loads: list[tuple[int, int]], weight: int) -> list[float]:
    beam = Beam(tuple(map(float, supports)), float(end))
    points = reactions(beam, [(float(at), float(load)) for at, load in loads])
    return [own + point for own, point in zip(even(beam, float(weight)), points, strict=True)]


@pytest.mark.parametrize("seed", thinned(range(CASES), 3))
def test_sympy_beam_with_uneven_spans_point_loads_and_a_free_end(seed: int) -> None:
    """Exact reactions by singularity functions, to 1e-12."""
    sympy = module("sympy")
    beams = module("sympy.physics.continuum_mechanics.beam")
    supports, end, loads, weight = drawn(seed)
    length = max(end, *(at for at, _ in loads), supports[-1])
    beam = beams.Beam(length, sympy.Symbol("E"), sympy.Symbol("I"))
    names = sympy.symbols(f"R0:{len(supports)}")
    for at, name in zip(supports, names, strict=True):
        beam.apply_load(name, at, -1)
        beam.bc_deflection.append((at, 0))
    for at, load in loads:
        beam.apply_load(-load, at, -1)
    if weight:
        beam.apply_load(-weight, 0, 0, end=end)
    beam.solve_for_reaction_loads(*names)
    exact = [float(beam.reaction_loads[name]) for name in names]
    assert ours(supports, end, loads, weight) == pytest.approx(exact, rel=1e-12, abs=1e-10)


@pytest.mark.parametrize("seed", range(3))
def test_sympy_beam_greatest_moment(seed: int) -> None:
    """Greatest bending moment from sympy's own bending moment at loads, supports and between them, to 1e-6."""
    sympy = module("sympy")
    beams = module("sympy.physics.continuum_mechanics.beam")
    supports, end, loads, _ = drawn(seed + 100)
    beam = beams.Beam(end, sympy.Symbol("E"), sympy.Symbol("I"))
    names = sympy.symbols(f"R0:{len(supports)}")
    for at, name in zip(supports, names, strict=True):
        beam.apply_load(name, at, -1)
        beam.bc_deflection.append((at, 0))
    for at, load in loads:
        beam.apply_load(-load, at, -1)
    beam.apply_load(-3, 0, 0, end=end)
    beam.solve_for_reaction_loads(*names)
    moment, x = beam.bending_moment(), beam.variable
    at_points = sympy.lambdify(x, moment.rewrite(sympy.Piecewise), "math")
    greatest = max(abs(float(at_points(end * k / 6000))) for k in range(1, 6000))
    points = [(float(at), float(load)) for at, load in loads]
    found = greatest_bending(Beam(tuple(map(float, supports)), float(end)), points, 3.0)
    assert found == pytest.approx(greatest, rel=1e-3)
    assert found >= greatest * (1 - 1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_pynite_frame_with_uneven_spans(seed: int) -> None:
    """Reactions of a finite element frame, to 1e-6."""
    model = module("Pynite").FEModel3D()
    supports, end, loads, weight = drawn(seed + 200)
    end = max(end, *(at for at, _ in loads))
    model.add_material("steel", 200e9, 77e9, 0.3, 7850.0)
    model.add_section("track", 1e-3, 1e-6, 1e-6, 1e-6)
    places = sorted({*supports, end})
    for place in places:
        model.add_node(f"n{place}", float(place), 0.0, 0.0)
    for place in supports:
        first = place == 0
        model.def_support(f"n{place}", first, True, True, first, False, False)
    for left, right in pairwise(places):
        model.add_member(f"m{left}", f"n{left}", f"n{right}", "steel", "track")
        if weight:
            model.add_member_dist_load(f"m{left}", "Fy", -float(weight), -float(weight))
    for at, load in loads:
        left = max(place for place in places[:-1] if place <= at)
        model.add_member_pt_load(f"m{left}", "Fy", -float(load), float(at - left))
    model.analyze(check_statics=False)
    found = [float(model.nodes[f"n{place}"].RxnFY["Combo 1"]) for place in supports]
    assert ours(supports, end, loads, weight) == pytest.approx(found, rel=1e-6, abs=1e-6)


beams = st.builds(
    lambda lengths, tip: spans(*lengths, tip=tip),
    st.lists(st.floats(0.3, 4.0), min_size=1, max_size=4),
    st.floats(0.0, 0.6),
)
trains = st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(50.0, 900.0)), min_size=1, max_size=9)


@settings(deadline=None, max_examples=150)
@given(beam=beams, train=trains, weight=st.floats(0.0, 60.0))
def test_forces_and_moments_are_in_balance(beam: Beam, train: list[tuple[float, float]], weight: float) -> None:
    """Sum of forces and of moments about the first support, to 1e-9."""
    loads = [(share * beam.end, load) for share, load in train]
    found = [a + b for a, b in zip(even(beam, weight), reactions(beam, loads), strict=True)]
    down = sum(load for _, load in loads) + weight * beam.end
    turning = sum(at * load for at, load in loads) + weight * beam.end**2 / 2
    assert math.fsum(found) == pytest.approx(down, rel=1e-9)
    assert sum(s * r for s, r in zip(beam.supports, found, strict=True)) == pytest.approx(turning, rel=1e-9)


@settings(deadline=None, max_examples=40)
@given(beam=beams, train=trains)
def test_the_extremes_of_a_rolling_train_against_a_fine_sweep(beam: Beam, train: list[tuple[float, float]]) -> None:
    """No place of the sweep lies outside the extremes found, and the sweep comes within 1 % of the load of them."""
    loads = [(share * beam.end, load) for share, load in train]
    top, weight = max(at for at, _ in loads), sum(load for _, load in loads)
    steps = [top * k / 800 for k in range(801)]
    for at, _ in loads:  # each load over each support, and just gone over the first
        steps += [at - place for place in beam.supports if place <= at] + [at + 1e-9]
    for support, (now, least, most) in enumerate(rolling(beam, loads)):
        swept = [reactions(beam, [(at - step, load) for at, load in loads if at >= step])[support] for step in steps]
        assert now == pytest.approx(swept[0], rel=1e-9, abs=1e-9 * weight)
        assert least - 1e-7 * weight <= min(swept)
        assert max(swept) <= most + 1e-7 * weight
        assert min(swept) - least <= 0.01 * weight
        assert most - max(swept) <= 0.01 * weight


def test_exact_rationals_give_the_same_uneven_spans() -> None:
    """The three-moment equations of spans 50, 60, 70 solved in fractions, to 1e-12."""
    a, b, c, w = (Fraction(n) for n in (50, 60, 70, 10))
    first, second = w / 4 * (a**3 + b**3), w / 4 * (b**3 + c**3)
    whole = 4 * (a + b) * (b + c) - b * b
    m1 = -(first * 2 * (b + c) - second * b) / whole
    m2 = -(second * 2 * (a + b) - first * b) / whole
    exact = [
        w * a / 2 + m1 / a,
        w * (a + b) / 2 - m1 / a + (m2 - m1) / b,
        w * (b + c) / 2 + (m1 - m2) / b - m2 / c,
        w * c / 2 + m2 / c,
    ]
    assert even(spans(50.0, 60.0, 70.0), 10.0) == pytest.approx([float(value) for value in exact], rel=1e-12)
