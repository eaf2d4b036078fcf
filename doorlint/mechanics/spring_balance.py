"""Springs against the door over the whole travel: residual, greatest speed, the best setting.

A **curve** is a sequence of (travel, pull of the door) from closed to open, in m and N. The residual is the pull of the
springs minus the pull of the door; positive moves the door up. With friction f the door stays where |residual| <= f.

Source: derived; torque of the shaft over the lever arm of its drums, virtual work of rigid sections.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Final, TypeAlias

from doorlint.mechanics.drum import Drum
from doorlint.mechanics.torsion_spring import Wound, torque
from doorlint.named_tuple import NamedTuple

Curve: TypeAlias = Sequence[tuple[float, float]]

GRAVITY: Final = 9.80665
PRE_WIND_RANGE: Final = 3.0
"""turns; the best setting looks this far above the wanted pre-wind"""
GOLDEN: Final = (math.sqrt(5.0) - 1.0) / 2.0


class Setting(NamedTuple):
    """Torque ``rate`` of all springs (N m per turn), ``turns`` with the door closed, and the largest residual left
    anywhere in the travel (N, without its sign)."""

    rate: float
    turns: float
    largest: float


def pull(springs: Sequence[Wound], drum: Drum, travel: float) -> float:
    """Pull of both cables together (N) at ``travel`` (m) from closed.

    >>> from doorlint.mechanics.drum import standard
    >>> round(pull((Wound(20.0, 7.0),), standard(0.07), 0.0), 6)
    2000.0
    """
    turns = drum.turned(travel)
    return torque(springs, turns) / drum.radius(turns)


def corner_pulls(springs: Sequence[Wound], drum: Drum, turns: float) -> list[float]:
    """Pulls (N) of both cables together between which all others lie from closed to open, ``turns`` of the shaft away.

    Torque and radius change evenly between corners of the drum and turns at which a spring runs out, so their
    ratio is largest and least at one of these.

    >>> from doorlint.mechanics.drum import high_lift
    >>> [round(pull) for pull in corner_pulls((Wound(20.0, 9.0),), high_lift(0.09, 0.05, 2.0), 6.0)]
    [2000, 1200, 2800]
    """
    corners = (0.0, turns, *drum.turns, *(spring.turns for spring in springs))
    return [torque(springs, at) / drum.radius(at) for at in dict.fromkeys(corners) if 0.0 <= at <= turns]


def largest_pull(springs: Sequence[Wound], drum: Drum, turns: float) -> float:
    """Largest pull (N) of both cables together from closed to open, ``turns`` of the shaft away.

    >>> from doorlint.mechanics.drum import high_lift
    >>> round(largest_pull((Wound(20.0, 9.0),), high_lift(0.09, 0.05, 2.0), 6.0), 3)  # 140 N m at 0.05 m
    2800.0
    """
    return max(corner_pulls(springs, drum, turns))


def residuals(springs: Sequence[Wound], drum: Drum, curve: Curve) -> list[tuple[float, float]]:
    """(travel, residual) at every point of the curve.

    >>> from doorlint.mechanics.drum import standard
    >>> [round(over, 6) for _, over in residuals((Wound(20.0, 7.0),), standard(0.07), [(0.0, 2100.0)])]
    [-100.0]
    """
    return [(travel, pull(springs, drum, travel) - door) for travel, door in curve]


def sharpened(left: Sequence[tuple[float, float]], at: Callable[[float], float]) -> list[tuple[float, float]]:
    """(travel, residual) with one more point beside the greatest residual up and one beside the greatest down.

    ``at`` gives the residual at a travel. Each further point is the crest of the parabola through three neighbors.

    >>> sharpened([(0.0, 0.0), (1.0, 0.9), (2.0, 0.0)], lambda x: 1.0 - (x - 1.2) ** 2)[1]
    (1.0, 0.9)
    """
    found = list(left)
    for best in (max, min):
        index = left.index(best(left, key=lambda point: point[1]))
        if 0 < index < len(left) - 1:
            (a, low), (b, middle), (c, high) = left[index - 1 : index + 2]
            if not a < b < c:  # corners of the law may fall on a mark
                continue
            rise, fall = (middle - low) / (b - a), (high - middle) / (c - b)
            if rise != fall:
                crest = (a + b) / 2.0 + (c - a) / 2.0 * rise / (rise - fall)
                if a < crest < c and crest != b:
                    found.append((crest, at(crest)))
    return sorted(found)


def crest(points: Sequence[tuple[float, float]], at: Callable[[float], float]) -> float:
    """Greatest value of a curve known at some points: each of its highest two crests is closed in on in four steps.

    >>> round(crest([(0.0, 0.0), (1.0, 0.9), (2.0, 0.0)], lambda x: 1.0 - (x - 1.2) ** 2), 2)
    1.0
    """
    ends = len(points) - 1
    tops = [
        index
        for index, (_, value) in enumerate(points)
        if value >= points[max(index - 1, 0)][1] and value >= points[min(index + 1, ends)][1]
    ]
    best = max(value for _, value in points)
    for index in sorted(tops, key=lambda index: -points[index][1])[:2]:
        low, high = points[max(index - 1, 0)][0], points[min(index + 1, ends)][0]
        for _ in range(4):
            inner, outer = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
            at_inner, at_outer = at(inner), at(outer)
            best = max(best, at_inner, at_outer)
            low, high = (low, outer) if at_inner > at_outer else (inner, high)
    return best


def greatest_speed(
    left: Sequence[tuple[float, float]],
    friction: float,
    weight_at: Callable[[float], float],
    way: str,
    starts_from: float = 0.0,
) -> float:
    """The greatest speed (m/s) a door reaches when it is let go anywhere and moves by itself.

    The work of residual less friction along the way becomes motion of the whole door, and of what moves with it: its
    weight (N) at a travel (m). The door starts wherever that gives most, at ``starts_from`` (m) of travel or above.
    ``way`` is ``up`` or ``down``. Springs, drums and their
    friction losses take part of it, so this is an upper value.

    >>> round(greatest_speed([(0.0, -120.0), (2.0, -120.0)], 20.0, lambda _: 980.665, "down"), 6)
    2.0
    >>> round(greatest_speed([(0.0, -120.0), (1.0, -20.0), (2.0, -20.0)], 20.0, lambda _: 980.665, "down", 1.0), 6)
    0.0
    """
    points = left if way == "up" else left[::-1]
    sign = 1.0 if way == "up" else -1.0
    energy = greatest = 0.0
    for (here, before), (there, after) in pairwise(points):
        low, high = sign * before - friction, sign * after - friction
        run = abs(there - here)
        work = run * (low + high) / 2.0
        if min(here, there) < starts_from:
            if energy <= 0.0:
                continue
            energy = max(energy + work, 0.0)
        elif low <= 0.0 < high:  # it may as well be let go where friction no longer holds it
            energy = max(energy + run * low * low / (low - high) / 2.0, 0.0)
            energy += run * high * high / (high - low) / 2.0
        elif high < 0.0 < low:
            greatest = max(greatest, (energy + run * low * low / (low - high) / 2.0) / weight_at(there))
            energy = max(energy + work, 0.0)
        else:
            energy = max(energy + work, 0.0)
        greatest = max(greatest, energy / weight_at(there))
    return math.sqrt(2.0 * greatest * GRAVITY)


def largest(left: Sequence[tuple[float, float]]) -> float:
    """The largest |residual| (N).

    >>> largest([(0.0, -30.0), (1.0, 10.0)])
    30.0
    """
    return max(abs(over) for _, over in left)


def best_turns(springs: Sequence[Wound], drum: Drum, curve: Curve, least_open: float) -> Setting:
    """The best that these springs can do when all are wound by the same number of turns more or less.

    ``least_open`` turns stay on every spring with the door open, and at most three more. The residual rises with the
    turns everywhere, so the largest one up and the largest one down are equal at the best setting.

    >>> from doorlint.mechanics.drum import standard
    >>> door = [(0.0, 2000.0), (1.5, 1000.0), (3.0, 100.0)]
    >>> best = best_turns((Wound(20.0, 8.0),), standard(0.07), door, 0.4)
    >>> round(best.turns, 3), round(best.largest, 1)
    (7.221, 88.7)
    """
    places = [drum.turned(travel) for travel, _ in curve]
    rows = [(turns, drum.radius(turns), door) for turns, (_, door) in zip(places, curve, strict=True)]
    least = min(spring.turns for spring in springs)

    def ends(more: float) -> tuple[float, float]:
        wound = [Wound(spring.rate, spring.turns + more) for spring in springs]
        left = [torque(wound, turns) / radius - door for turns, radius, door in rows]
        return max(left), -min(left)

    def over(more: float) -> float:
        up, down = ends(more)
        return up - down

    low = least_open + places[-1] - least
    more = _crossing(over, low, low + PRE_WIND_RANGE)
    return Setting(sum(spring.rate for spring in springs), least + more, max(ends(more)))


def best_setting(drum: Drum, curve: Curve, least_open: float) -> Setting:
    """Rate and turns that leave the least largest |residual|, whatever the springs.

    ``least_open`` turns stay on with the door open, and at most three more.

    >>> from doorlint.mechanics.drum import standard
    >>> best = best_setting(standard(0.07), [(0.0, 2000.0), (1.5, 1000.0), (3.0, 100.0)], 0.5)
    >>> round(best.rate, 2), round(best.turns, 2), round(best.largest, 1)
    (18.7, 7.32, 44.5)
    """
    places = [drum.turned(travel) for travel, _ in curve]
    rows = [(turns, drum.radius(turns), door) for turns, (_, door) in zip(places, curve, strict=True)]
    top = places[-1]

    def at(pre_wind: float) -> Setting:
        wound = top + pre_wind
        arms = [((wound - turns) / radius, door) for turns, radius, door in rows]

        def over(rate: float) -> float:
            left = [rate * arm - door for arm, door in arms]
            return max(left) + min(left)

        high = max(door / arm for arm, door in arms if arm > 0.0) * 2.0
        rate = _crossing(over, 0.0, high)
        return Setting(rate, wound, max(abs(rate * arm - door) for arm, door in arms))

    low, high = least_open, least_open + PRE_WIND_RANGE
    inner, outer = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_inner, at_outer = at(inner), at(outer)
    for _ in range(36):
        if at_inner.largest < at_outer.largest:
            high, outer, at_outer = outer, inner, at_inner
            inner = high - GOLDEN * (high - low)
            at_inner = at(inner)
        else:
            low, inner, at_inner = inner, outer, at_outer
            outer = low + GOLDEN * (high - low)
            at_outer = at(outer)
    return min(at_inner, at_outer, at(least_open), at(least_open + PRE_WIND_RANGE), key=lambda found: found.largest)


def best_change(readings: Sequence[tuple[float, float]]) -> float:
    """Turns to add (negative: to take off) so that the largest imbalance read is least.

    Each reading is its imbalance (N; heavy is positive) and what a turn is worth there (N per turn).

    >>> round(best_change([(40.0, 400.0), (-20.0, 400.0)]), 6)
    0.025
    """

    def over(turns: float) -> float:
        left = [turns * gain - heavy for heavy, gain in readings]
        return max(left) + min(left)

    reach = max(abs(heavy) / gain for heavy, gain in readings)
    return _crossing(over, -reach, reach)


def _crossing(rising: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function crosses 0 between two places; the nearer end where it does not."""
    if rising(low) >= 0.0:
        return low
    if rising(high) <= 0.0:
        return high
    for _ in range(36):
        middle = (low + high) / 2.0
        low, high = (middle, high) if rising(middle) < 0.0 else (low, middle)
    return (low + high) / 2.0
