"""Drums by integration, springs by their energy, the best setting by a linear program, speeds by the motion itself."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import needs
import pytest
from shared import thinned
from trade_doors import varied

from doorlint.errors import OutsideTable
from doorlint.mechanics import drum as drums
from doorlint.mechanics import rolling
from doorlint.mechanics import spring_balance as balance
from doorlint.mechanics.drift import drifts
from doorlint.mechanics.torsion_spring import Wound, torque
from doorlint.mechanics.travel import open_travel

scipy = needs.module("scipy")
integrate = needs.module("scipy.integrate")
optimize = needs.module("scipy.optimize")

INCH = 0.0254
DRUMS = {
    "standard": drums.standard(2.75 * INCH),
    "high-lift": drums.high_lift(4.5 * INCH, 2.75 * INCH, 4.3),
    "vertical-lift": drums.vertical_lift(6.0 * INCH, 1.9 * INCH, 8.2),
    "table": drums.table([r * INCH for r in (5.0, 4.4, 4.0, 3.2, 3.2, 3.6, 3.0, 2.9, 2.8, 2.8)]),
}


@pytest.mark.parametrize("kind", DRUMS)
def test_cable_taken_up_is_the_integral_of_the_radius(kind: str) -> None:
    drum = DRUMS[kind]
    for turns in (0.3, 1.0, 2.7, 4.3, 6.05, 8.1):
        corners = [corner for corner in drum.turns if corner < turns]
        whole = sum(integrate.quad(drum.radius, low, high)[0] for low, high in pairwise([*corners, turns]))
        assert drum.cable(turns) == pytest.approx(2 * math.pi * whole, rel=1e-10)


@pytest.mark.parametrize("kind", DRUMS)
def test_turned_is_the_inverse(kind: str) -> None:
    drum = DRUMS[kind]
    for step in range(1, 81):
        turns = step / 10
        assert drum.turned(drum.cable(turns)) == pytest.approx(turns, abs=1e-10)
        again = optimize.brentq(lambda at, turns=turns: drum.cable(at) - drum.cable(turns), 0.0, 8.2, xtol=1e-13)
        assert drum.turned(drum.cable(turns)) == pytest.approx(again, abs=1e-9)


def test_grooves_that_end_give_no_figure() -> None:
    for kind in ("vertical-lift", "table"):
        with pytest.raises(OutsideTable, match="drum ends"):
            DRUMS[kind].radius(DRUMS[kind].end + 0.01)
        with pytest.raises(OutsideTable, match="drum ends"):
            DRUMS[kind].turned(DRUMS[kind].cable(DRUMS[kind].end) + 0.01)


@pytest.mark.parametrize("kind", DRUMS)
def test_the_work_of_the_springs_is_the_energy_they_lose(kind: str) -> None:
    """Integral of the pull over the travel = sum of k/2 (turns^2 - left^2), a turn being 2 pi rad."""
    drum = DRUMS[kind]
    springs = (Wound(9.0, 8.6), Wound(4.0, 8.4), Wound(3.0, 4.0))
    corners = sorted({*drum.turns, 4.0, 8.0})
    corners = [corner for corner in corners if corner <= 8.0]
    work = sum(
        integrate.quad(lambda at: balance.pull(springs, drum, at), drum.cable(low), drum.cable(high), limit=200)[0]
        for low, high in pairwise(corners)
    )
    energy = sum(
        spring.rate / 2 * (spring.turns**2 - max(spring.turns - 8.0, 0.0) ** 2) * 2 * math.pi for spring in springs
    )
    assert work == pytest.approx(energy, rel=1e-9)


def test_a_spiral_holds_a_hanging_door_everywhere() -> None:
    """K = W x drop per turn and r(0)/drop turns leave nothing over on the whole falling part."""
    drum = DRUMS["vertical-lift"]
    found = drums.spiral_setting(drum, 2145.0)
    assert found is not None
    springs = (Wound(*found),)
    for step in range(50):
        assert balance.pull(springs, drum, drum.cable(step / 50 * drum.end)) == pytest.approx(2145.0, rel=1e-12)


def curves(count: int) -> list[tuple[drums.Drum, list[tuple[float, float]], float]]:
    """Doors of the trade with a drum, and their weight."""
    found = []
    for number, case in enumerate(varied(count, ("standard", "standard", "high"))):
        path = rolling.Path(case.tangent, case.radius or 0.0, case.slope)
        door = rolling.Door(case.heights, case.weights, case.bottom_roller, case.top_roller)
        travel = open_travel(path, door, case.opening)
        if travel is None:
            continue
        points = [(travel * step / 60, rolling.pull(path, door, travel * step / 60)) for step in range(61)]
        drum = DRUMS["standard"] if number % 3 < 2 else drums.high_lift(3.6 * INCH, 2.75 * INCH, 1.8)
        found.append((drum, points, sum(case.weights)))
    return found


@pytest.mark.parametrize("number", range(10))
def test_the_best_setting_by_a_linear_program(number: int) -> None:
    """Least e with |(A - B phi)/r - F| <= e at every point, A/B - phi_open between 0.75 and 3.75."""
    drum, points, _ = curves(14)[number]
    rows, sides = [], []
    for travel, door in points:
        phi = drum.turned(travel)
        r = drum.radius(phi)
        rows += [[1 / r, -phi / r, -1.0], [-1 / r, phi / r, -1.0]]
        sides += [door, -door]
    phi_open = drum.turned(points[-1][0])
    rows += [[-1.0, phi_open + 0.75, 0.0], [1.0, -(phi_open + 3.75), 0.0]]
    sides += [0.0, 0.0]
    solved = optimize.linprog([0.0, 0.0, 1.0], A_ub=rows, b_ub=sides, bounds=[(0, None)] * 3)
    best = balance.best_setting(drum, points, 0.75)
    assert best.largest == pytest.approx(solved.fun, rel=1e-6)


@pytest.mark.parametrize("number", thinned(range(10), 4))
def test_the_best_turns_by_trying_them(number: int) -> None:
    drum, points, weight = curves(14)[number]
    setting = balance.best_setting(drum, points, 0.75)
    springs = (Wound(setting.rate * 0.6, setting.turns + 0.2), Wound(setting.rate * 0.45, setting.turns))
    best = balance.best_turns(springs, drum, points, 0.75)

    def left(least: float) -> float:
        wound = [Wound(spring.rate, spring.turns - setting.turns + least) for spring in springs]
        return balance.largest(balance.residuals(wound, drum, points))

    phi_open = drum.turned(points[-1][0])
    tried = min(left(phi_open + 0.75 + 3.0 * step / 2000) for step in range(2001))
    assert best.largest <= tried + 1e-6
    assert best.largest == pytest.approx(tried, abs=weight * 1e-3)


@pytest.mark.parametrize("number", range(6))
@pytest.mark.parametrize("way", ["up", "down"])
def test_the_greatest_speed_by_letting_the_door_go(number: int, way: str) -> None:
    draw = random.Random(number)
    left = [
        (step * 0.1, 180.0 * math.sin(draw.uniform(0.5, 2.0) * step / 6) + draw.uniform(-40, 40)) for step in range(31)
    ]
    weight, friction = 2000.0, 60.0
    sign = 1.0 if way == "up" else -1.0

    def residual(x: float) -> float:
        index = min(int(x / 0.1), 29)
        (here, low), (_, high) = left[index], left[index + 1]
        return low + (high - low) * (x - here) / 0.1

    fastest = 0.0
    mass = weight / balance.GRAVITY
    for start in range(301):
        x, speed_squared, step = start * 0.01, 0.0, 0.001
        while 0.0 <= x <= 3.0:
            middle = min(max(x + sign * step / 2, 0.0), 3.0)
            speed_squared += 2 * step * (sign * residual(middle) - friction) / mass
            if speed_squared <= 0.0:
                break
            fastest = max(fastest, speed_squared)
            x += sign * step
    found = balance.greatest_speed(left, friction, lambda _: weight, way)
    assert found == pytest.approx(math.sqrt(fastest), rel=5e-3, abs=0.02)


def test_drifts_by_looking_everywhere() -> None:
    draw = random.Random(7)
    left = [(step * 0.05, draw.uniform(-200, 200)) for step in range(41)]
    stretches = drifts(left, 80.0)
    for place in range(20001):
        x = place / 10000
        index = min(int(x / 0.05), 39)
        (here, low), (_, high) = left[index], left[index + 1]
        over = low + (high - low) * (x - here) / 0.05
        inside = [one for one in stretches if one.start - 1e-9 <= x <= one.end + 1e-9]
        if abs(over) > 80.0 + 1e-6:
            assert [one.way for one in inside] == ["up" if over > 0 else "down"]
        elif abs(over) < 80.0 - 1e-6:
            assert not inside
    assert max(one.residual for one in stretches) == pytest.approx(max(abs(over) for _, over in left))


def test_torque_never_turns_negative() -> None:
    assert torque((Wound(9.0, 8.0), Wound(4.0, 2.0)), 5.0) == pytest.approx(27.0)
