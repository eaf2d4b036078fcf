"""The load path of a tower against free bodies solved as equations, the peak of a lost cable against the motion itself.

Nothing here uses the multiples of ``doorlint.mechanics.load_path``; they are what is tested.
"""

from __future__ import annotations

import math

import needs
import pytest

from doorlint.mechanics import load_path

np = needs.module("numpy")
solve_ivp = needs.module("scipy.integrate").solve_ivp

UP, DOWN, OUT, IN = np.array([0.0, 1.0]), np.array([0.0, -1.0]), np.array([-1.0, 0.0]), np.array([1.0, 0.0])
BODIES = {  # the pulls of each cable on each body, near and far; IN is toward the opening from the tower
    "near head pulley": ([DOWN, DOWN], []),
    "crossing pulley": ([], [DOWN, IN]),
    "far head pulley": ([], [DOWN, OUT]),
    "eye bolts": ([DOWN], [DOWN]),
}


def tensions(pull: float, near: bool, far: bool) -> tuple[float, float]:
    """Box 1 hangs from two lines of each cable there is; both cables pull the door's bottom edge level."""
    there = [near, far]
    rows, right = [[2.0 * near, 2.0 * far]], [pull]
    if all(there):
        rows.append([1.0, -1.0])
        right.append(0.0)
    else:
        rows.append([float(not near), float(not far)])
        right.append(0.0)
    found = np.linalg.solve(np.array(rows), np.array(right))
    return float(found[0]), float(found[1])


@pytest.mark.parametrize(("number", "near", "far"), [(0, True, True), (1, False, True), (2, True, False)])
def test_every_part_in_every_case(number: int, near: bool, far: bool) -> None:
    pull = 1768.0
    one, other = tensions(pull, near, far)
    body = {
        name: sum((one * line for line in lines), np.zeros(2)) + sum((other * line for line in across), np.zeros(2))
        for name, (lines, across) in BODIES.items()
    }

    def force(part: str) -> float:
        found = load_path.cases(part, pull / 4)[number].force
        assert found is not None
        return found

    for name in ("near head pulley", "crossing pulley", "far head pulley"):
        assert force(name) == pytest.approx(math.hypot(*body[name]))
    head = body["near head pulley"] + body["crossing pulley"] + body["eye bolts"]
    assert (force("tower head V"), force("tower head H")) == pytest.approx((-head[1], head[0]))
    plate = body["far head pulley"]
    assert (force("far head plate V"), force("far head plate H")) == pytest.approx((-plate[1], -plate[0]))
    assert -(head + plate)[1] == pytest.approx(6 * pull / 4)  # whichever cable is left
    assert (force("near cable"), force("far cable")) == pytest.approx((one, other))
    assert force("eye bolt") == force("bottom bracket") == pytest.approx(max(one, other))
    assert force("box pulley") == pytest.approx(2 * max(one, other))
    assert force("top of box 1") == pytest.approx(pull)


def test_the_cable_that_is_left_swings_to_three_times_its_share() -> None:
    """Door and stack on one elastic cable that goes on with its old tension: two masses, no damping."""
    door, boxes, stiffness = 90.0, 180.0, 4.0e5  # kg, kg, N/m; box 1 moves half as far as the door
    mass = door + boxes / 4
    alone = door * 9.81  # standing pull of the one cable in balance

    def motion(_: float, at: object) -> tuple[float, float]:
        drawn, speed = at  # type: ignore[misc]
        return speed, (alone - stiffness * drawn) / mass

    start = alone / 2 / stiffness
    found = solve_ivp(motion, (0.0, 1.0), (start, 0.0), rtol=1e-10, atol=1e-12, max_step=1e-3)
    peak = stiffness * max(found.y[0])
    assert peak / (alone / 2) == pytest.approx(2 * load_path.SUDDEN, rel=1e-4)


@pytest.mark.parametrize("slack", [0.0, 0.01, 0.1])
def test_a_load_that_is_caught_after_slack(slack: float) -> None:
    load, length, diameter, modulus, fill = 2000.0, 6.0, 0.00635, 103.4e9, 0.472
    stiffness = modulus * fill * diameter**2 / length
    # the energy of the fall is that of the stretched cable: load (slack + drawn) = stiffness drawn^2 / 2
    drawn = np.roots([stiffness / 2, -load, -load * slack]).max()
    assert load_path.caught(load, slack, length, diameter, modulus, fill) == pytest.approx(stiffness * drawn)
