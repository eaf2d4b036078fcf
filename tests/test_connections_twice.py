"""Groups, welds, yield modes and cast-in bolts, each worked out a second way."""

from __future__ import annotations

import random
from math import acos, cos, hypot, pi, sin, sqrt

import needs
import pytest

from doorlint.mechanics.connections import lags, masonry, steel
from doorlint.mechanics.connections.group import Force, Heel, NoHeel, SingleFastenerTwisted, centered, resultant, shares
from doorlint.mechanics.connections.lags import INCH, PSI


def random_group(seed: int) -> tuple[tuple[tuple[float, float], ...], list[Force]]:
    dice = random.Random(seed)
    points = centered([(dice.uniform(-0.2, 0.2), dice.uniform(-0.3, 0.3)) for _ in range(dice.randint(3, 8))])
    forces = [
        Force(
            (dice.gauss(0, 2e3), dice.gauss(0, 2e3), dice.gauss(4e4, 2e3)),
            (dice.gauss(0, 0.01), dice.gauss(0, 0.01), dice.gauss(0, 0.1)),
            (dice.gauss(0, 30), dice.gauss(0, 30), dice.gauss(0, 30)),
        )
        for _ in range(dice.randint(1, 3))
    ]
    return points, forces


@pytest.mark.parametrize("seed", range(60))
def test_a_group_balances_its_load(seed: int) -> None:
    """While every fastener pulls, the shares add up to the force and to the moment about all three axes."""
    points, forces = random_group(seed)
    found = shares(points, forces)
    (fu, fv, fn), (mu, mv, mn) = resultant(forces)
    assert all(share.pull > 0 for share in found)
    assert sum(share.along_u for share in found) == pytest.approx(fu, abs=1e-6)
    assert sum(share.along_v for share in found) == pytest.approx(fv, abs=1e-6)
    assert sum(share.pull for share in found) == pytest.approx(fn, abs=1e-6)
    pairs = list(zip(points, found, strict=True))
    assert sum(v * share.pull for (_, v), share in pairs) == pytest.approx(mu, abs=1e-6)
    assert -sum(u * share.pull for (u, _), share in pairs) == pytest.approx(mv, abs=1e-6)
    assert sum(u * share.along_v - v * share.along_u for (u, v), share in pairs) == pytest.approx(mn, abs=1e-6)


@pytest.mark.parametrize("seed", range(60))
def test_a_group_is_the_stiffest_sharing(seed: int) -> None:
    """Least squares: of all sharings in equilibrium the elastic one has the least sum of squares."""
    numpy = needs.module("numpy")
    points, forces = random_group(seed)
    (fu, fv, fn), (mu, mv, mn) = resultant(forces)
    number = len(points)
    across = numpy.zeros((3, 2 * number))
    out = numpy.zeros((3, number))
    for place, (u, v) in enumerate(points):
        across[:, 2 * place] = (1, 0, -v)
        across[:, 2 * place + 1] = (0, 1, u)
        out[:, place] = (1, v, -u)
    shear = numpy.linalg.lstsq(across, numpy.array([fu, fv, mn]), rcond=None)[0]
    pull = numpy.linalg.lstsq(out, numpy.array([fn, mu, mv]), rcond=None)[0]
    for place, share in enumerate(shares(points, forces)):
        assert share.along_u == pytest.approx(shear[2 * place], abs=1e-6)
        assert share.along_v == pytest.approx(shear[2 * place + 1], abs=1e-6)
        assert share.pull == pytest.approx(max(pull[place], 0.0), abs=1e-6)


def test_one_row_is_levered_over_its_heel() -> None:
    row = centered([(0.0, 0.0), (0.1, 0.0)])
    load = [Force((0.0, -800.0, 0.0), (0.0, 0.0, 0.05))]
    assert [share.pull for share in shares(row, load, Heel(v=0.04))] == pytest.approx([500.0, 500.0])
    with pytest.raises(NoHeel):
        shares(row, load)


def test_one_fastener_cannot_hold_a_twist() -> None:
    with pytest.raises(SingleFastenerTwisted):
        shares([(0.0, 0.0)], [Force((0.0, -100.0, 0.0), (0.05, 0.0, 0.0))])
    (only,) = shares([(0.0, 0.0)], [Force((0.0, -100.0, 30.0))])
    assert (only.along_v, only.pull) == (-100.0, 30.0)


@pytest.mark.parametrize("seed", range(30))
def test_the_yield_modes_without_a_gap_are_those_of_the_standard(seed: int) -> None:
    """The printed forms with k1, k2 and k3 against the general dowel equations; IIIm never governs beside steel."""
    dice = random.Random(seed)
    size = dice.choice([0.25, 0.3125, 0.375, 0.4375, 0.5, 0.625])
    lag, gravity, angle = lags.lag_of(size * INCH), dice.uniform(0.31, 0.73), dice.uniform(0, pi / 2)
    plate = lags.Plate(dice.uniform(0.06, 0.375) * INCH, 45e3 * PSI)
    wood, own = lags.wood_bearing(gravity, lag.diameter, angle), lags.plate_bearing(plate)
    root, fy, ls, lm = lag.root, lag.yield_strength, plate.thickness, 8 * lag.diameter
    re, rt = wood / own, lm / ls
    k1 = (sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)) / (1 + re)
    k2 = -1 + sqrt(2 * (1 + re) + 2 * fy * (1 + 2 * re) * root**2 / (3 * wood * lm**2))
    k3 = -1 + sqrt(2 * (1 + re) / re + 2 * fy * (2 + re) * root**2 / (3 * wood * ls**2))
    loads = (
        (root * lm * wood, 4.0), (root * ls * own, 4.0), (k1 * root * ls * own, 3.6),
        (k2 * root * lm * wood / (1 + 2 * re), 3.2), (k3 * root * ls * wood / (2 + re), 3.2),
        (root**2 * sqrt(2 * wood * fy / (3 * (1 + re))), 3.2),
    )  # fmt: skip
    turned, inches = 1 + 0.25 * angle / (pi / 2), root / INCH
    thin = max(2.2, 10 * inches + 0.5) if inches < 0.25 else None
    least = min(load / ((thin or term) * turned) for load, term in loads)
    assert lags.lateral(lag, gravity, plate, lm, angle) == pytest.approx(least, rel=1e-9)


def test_a_gap_and_a_shallow_bite_weaken_a_lag_screw() -> None:
    lag, plate = lags.lag_of(0.375 * INCH), lags.Plate(0.1 * INCH, 45e3 * PSI)
    tight = lags.lateral(lag, 0.5, plate, 3 * INCH, 0.0)
    assert lags.lateral(lag, 0.5, plate._replace(gap=0.625 * INCH), 3 * INCH, 0.0) < 0.7 * tight
    assert lags.lateral(lag, 0.5, plate, 2.25 * INCH, 0.0) == pytest.approx(0.75 * tight)
    assert lags.lateral(lag, 0.5, plate, 1.49 * INCH, 0.0) == 0.0


@pytest.mark.parametrize("turn", [0.0, 0.3, 0.8, 1.3, pi / 2])
def test_the_combined_form_is_that_of_the_angle_of_the_load(turn: float) -> None:
    strength = lags.Strength(900.0, 1300.0, 1e9)
    load = 500.0
    at_angle = 1300.0 * 900.0 / (1300.0 * cos(turn) ** 2 + 900.0 * sin(turn) ** 2)
    found = lags.use(load * cos(turn), load * sin(turn), strength)
    assert found == pytest.approx(max(load / at_angle, load * cos(turn) / 900, load * sin(turn) / 1300))


@pytest.mark.parametrize("seed", range(20))
def test_a_weld_group_is_the_limit_of_many_fasteners(seed: int) -> None:
    dice = random.Random(seed)
    welds = [
        steel.Weld((dice.uniform(-1, 0), dice.uniform(-1, 1)), (dice.uniform(0, 1), dice.uniform(-1, 1)))
        for _ in range(dice.randint(2, 4))
    ]
    force = (dice.gauss(0, 1), dice.gauss(0, 1), dice.gauss(0, 1))
    moment = (0.0, 0.0, dice.gauss(0, 1))
    many = 2000
    points, weights = [], []
    for weld in welds:
        for part in range(many):
            share = (part + 0.5) / many
            points.append(tuple(a + share * (b - a) for a, b in zip(weld.start, weld.end, strict=True)))
            weights.append(weld.length / many)
    total = sum(weights)
    middle = [sum(w * p[axis] for w, p in zip(weights, points, strict=True)) / total for axis in (0, 1)]
    polar = sum(w * ((p[0] - middle[0]) ** 2 + (p[1] - middle[1]) ** 2) for w, p in zip(weights, points, strict=True))
    worst = max(
        hypot(
            force[0] / total - moment[2] * (v - middle[1]) / polar,
            force[1] / total + moment[2] * (u - middle[0]) / polar,
            force[2] / total,
        )
        for weld in welds
        for u, v in (weld.start, weld.end)
    )
    assert steel.weld_line(welds, force, moment) == pytest.approx(worst, rel=1e-5)


def test_neighbors_share_the_masonry_between_them() -> None:
    alone = masonry.CastIn(0.5 * INCH, 3 * INCH, 9 * INCH, 60e3 * PSI, 1500 * PSI)
    pair = alone._replace(neighbors=(4 * INCH,))
    reach, apart = 3.0, 4.0
    lens = 2 * reach**2 * acos(apart / (2 * reach)) - apart / 2 * sqrt(4 * reach**2 - apart**2)
    dice = random.Random(1)
    hits = sum(
        hypot(x, y) < reach and hypot(x - apart, y) < reach
        for x, y in ((dice.uniform(-3, 3), dice.uniform(-3, 3)) for _ in range(200_000))
    )
    assert hits / 200_000 * 36 == pytest.approx(lens, rel=0.03)
    assert masonry.tension(pair) / masonry.tension(alone) == pytest.approx(1 - lens / 2 / (pi * reach**2))
