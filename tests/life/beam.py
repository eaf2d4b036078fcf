"""Continuous beams on rigid pins, by the equation of three moments."""

from __future__ import annotations


def reactions(
    pins: list[float], loads: list[tuple[float, float]], spread: float, left: float, right: float
) -> list[float]:
    """What each pin carries under point loads (place, force) and a load per length from ``left`` to ``right``.

    Ends past the outer pins overhang freely. Downward loads and upward reactions are positive.

    >>> reactions([0.0, 1.0], [(0.25, 8.0)], 0.0, 0.0, 1.0)
    [6.0, 2.0]
    >>> [round(pin, 6) for pin in reactions([0.0, 1.0, 2.0], [], 8.0, 0.0, 2.0)]
    [3.0, 10.0, 3.0]
    """
    moments = support_moments(pins, loads, spread, left, right)
    count = len(pins)
    if count == 1:
        return [sum(force for _, force in loads) + spread * (right - left)]
    found = [0.0] * count
    found[0] += sum(force for place, force in loads if place < pins[0]) + spread * (pins[0] - left)
    found[-1] += sum(force for place, force in loads if place > pins[-1]) + spread * (right - pins[-1])
    for i in range(count - 1):
        span = pins[i + 1] - pins[i]
        turn = (moments[i + 1] - moments[i]) / span
        found[i] += turn + spread * span / 2
        found[i + 1] += -turn + spread * span / 2
        for place, force in loads:
            if pins[i] <= place < pins[i + 1] or (place == pins[-1] and i == count - 2):
                found[i] += force * (pins[i + 1] - place) / span
                found[i + 1] += force * (place - pins[i]) / span
    return found


def support_moments(
    pins: list[float], loads: list[tuple[float, float]], spread: float, left: float, right: float
) -> list[float]:
    """The bending moment over every pin, hogging negative."""
    count = len(pins)
    first = (
        -sum(force * (pins[0] - place) for place, force in loads if place < pins[0])
        - spread * (pins[0] - left) ** 2 / 2
    )
    last = -sum(force * (place - pins[-1]) for place, force in loads if place > pins[-1])
    last -= spread * (right - pins[-1]) ** 2 / 2
    if count < 3:
        return [first, last][:count] if count > 1 else [first]
    rows = []
    for i in range(1, count - 1):
        a, b = pins[i] - pins[i - 1], pins[i + 1] - pins[i]
        load = -spread * (a**3 + b**3) / 4
        for place, force in loads:
            if pins[i - 1] <= place < pins[i]:
                t = place - pins[i - 1]
                load -= force * t * (a * a - t * t) / a
            elif pins[i] <= place <= pins[i + 1]:
                t = pins[i + 1] - place
                load -= force * t * (b * b - t * t) / b
        rows.append([a, 2 * (a + b), b, load])
    rows[0][3] -= rows[0][0] * first
    rows[-1][3] -= rows[-1][2] * last
    for i in range(1, len(rows)):
        share = rows[i][0] / rows[i - 1][1]
        rows[i][1] -= share * rows[i - 1][2]
        rows[i][3] -= share * rows[i - 1][3]
    inner = [0.0] * len(rows)
    for i in range(len(rows) - 1, -1, -1):
        after = rows[i][2] * inner[i + 1] if i + 1 < len(rows) else 0.0
        inner[i] = (rows[i][3] - after) / rows[i][1]
    return [first, *inner, last]


def moment(
    at: float, pins: list[float], held: list[float], loads: list[tuple[float, float]], spread: float, left: float
) -> float:
    """The bending moment at a place, by what lies to its left."""
    total = sum(pin * (at - place) for place, pin in zip(pins, held, strict=True) if place < at)
    total -= sum(force * (at - place) for place, force in loads if place < at)
    return total - spread * max(0.0, at - left) ** 2 / 2
