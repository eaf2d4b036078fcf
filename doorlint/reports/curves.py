"""Force over travel: what the door pulls, what balances it, and what is left over."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

from doorlint.reports.drawing import Box, Canvas, Point
from doorlint.reports.facts import Facts
from doorlint.reports.view import Drawn

__all__ = ["Mark", "balance", "curves", "marks"]

WIDTH, HEIGHT = 700.0, 330.0
LEFT, RIGHT, TOP, BOTTOM = 74.0, 40.0, 34.0, 46.0

Curve: TypeAlias = Sequence[tuple[float, float, float | None, float | None]]
"""Points of travel (m) with the pull of the door, of the counterbalance, and what is left over (N)."""


class Mark(NamedTuple):
    """A pick-up mark: the box that takes over there (without boxes the section below), travel and forces at it."""

    name: str
    travel: float
    door: float
    other: float | None
    left: float | None
    aim: float
    """what shall be left over (N)"""
    band: float | None
    """how far from the aim it may be (N)"""


class Chart(NamedTuple):
    """Paper and axes of a chart: ranges of travel (m) and force (N)."""

    canvas: Canvas
    most: float
    low: float
    high: float

    def __call__(self, travel: float, force: float) -> Point:
        across, up = WIDTH - LEFT - RIGHT, self.canvas.height - TOP - BOTTOM
        return (
            LEFT + across * travel / self.most,
            TOP + up * (self.high - force) / (self.high - self.low),
        )


def marks(facts: Facts) -> list[Mark]:
    """The marks that are reached, in the order in which the door comes to them on its way up."""
    if facts.given("tower"):
        pulls, hanging = facts.column("box.mark_pull"), facts.column("box.hanging")
        left, aims, bands = facts.column("box.residual"), facts.column("box.bias"), facts.column("box.band")
        found = [
            Mark(key, travel, pulls[key], _half(hanging.get(key)), left.get(key), aims.get(key, 0.0), bands.get(key))
            for key, travel in facts.column("box.mark_travel").items()
            if key in pulls
        ]
    else:
        pulls, turns = facts.column("section.mark_pull"), facts.given("torsion")
        springs = facts.column("section.mark_spring_pull") if turns else {}
        left = facts.column("section.mark_spring_residual") if turns else {}
        share, load = facts.known("practice.spring_balance"), facts.known("door.load")
        band = None if load is None or not turns else share * load
        found = [
            Mark(key, travel, pulls[key], springs.get(key), left.get(key), 0.0, band)
            for key, travel in facts.column("section.mark_travel").items()
            if key in pulls
        ]
    return sorted(found, key=lambda mark: mark.travel)


def balance(facts: Facts) -> list[tuple[str, ...]]:
    """Place, travel, pull of the door, of the counterbalance, and what is left: closed, at the marks, open."""
    kind = "tower" if facts.given("tower") else "torsion"
    balanced = facts.given(kind)
    rows: list[tuple[str, float | None, float | None, float | None, float | None]] = []
    for place, travel in (("closed", 0.0), ("open", facts.known("door.open_travel"))):
        other = facts.known(f"{kind}.pull_{place}") if balanced else None
        left = facts.known(f"{kind}.residual_{place}") if balanced else None
        rows.append((place, travel, facts.known(f"door.pull_{place}"), other, left))
    rows[1:1] = [(f"mark of {mark.name}", mark.travel, mark.door, mark.other, mark.left) for mark in marks(facts)]
    dimensions = ("length", "weight", "weight", "pull")
    return [
        (place, *("not known" if value is None else facts.write(value, dimension)
                  for value, dimension in zip(values, dimensions, strict=True)))
        for place, *values in rows
    ]  # fmt: skip


def curves(facts: Facts) -> list[Drawn]:
    """The two charts; what is missing for them is noted in the facts."""
    if not facts.given("door") or not facts.needs("The curves of force", "door.curve"):
        return []
    curve: Curve = facts.known("door.curve")
    reached = marks(facts)
    drawn = [_pulls(facts, curve, reached)]
    left_over = [(travel, residual) for travel, _, _, residual in curve if residual is not None]
    if left_over:
        drawn.append(_residual(facts, left_over, reached))
    return drawn


def _half(value: float | None) -> float | None:
    return None if value is None else value / 2


def _pulls(facts: Facts, curve: Curve, reached: list[Mark]) -> Drawn:
    door = [(travel, pull) for travel, pull, _, _ in curve]
    other = [(travel, pull) for travel, _, pull, _ in curve if pull is not None]
    forces = [force for _, force in [*door, *other]]
    chart = _chart(facts, door[-1][0], min(*forces, 0.0), max(forces), HEIGHT)
    _marks(chart, reached)
    chart.canvas.line([chart(*point) for point in door], "curve-door")
    chart.canvas.label("door", chart(*door[len(door) // 7]))
    says = [f"The door pulls {facts.write(door[0][1], 'weight')} closed and {facts.write(door[-1][1], 'weight')} open."]
    if other:
        chart.canvas.line([chart(*point) for point in other], "curve-balance")
        name = "boxes" if facts.given("tower") else "springs"
        chart.canvas.label(name, chart(*other[len(other) * 5 // 7]))
        ends = [facts.write(other[at][1], "weight") for at in (0, -1)]
        says.append(f"The {name} pull {ends[0]} closed and {ends[1]} open.")
    for mark in reached:
        chart.canvas.circle(chart(mark.travel, mark.door), 2.5, "roller")
    title = "Pull of the door and of what balances it, over the travel"
    return Drawn("pulls", title, chart.canvas.svg("pulls", title, " ".join(says)), (), ())


def _residual(facts: Facts, points: list[tuple[float, float]], reached: list[Mark]) -> Drawn:
    """What is left over, with the band at every mark in which it shall be."""
    forces = [force for _, force in points]
    for mark in reached:
        forces += [mark.aim - (mark.band or 0.0), mark.aim + (mark.band or 0.0)]
    room = (max(*forces, 0.0) - min(*forces, 0.0)) * 0.06 or 1.0
    chart = _chart(facts, points[-1][0], min(*forces, 0.0) - room, max(*forces, 0.0) + room, HEIGHT)
    canvas = chart.canvas
    _marks(chart, reached)
    banded = [mark for mark in reached if mark.band is not None]
    for mark in banded:
        assert mark.band is not None
        low, high = chart(mark.travel, mark.aim - mark.band), chart(mark.travel, mark.aim + mark.band)
        canvas.line((low, high), "band")
        for x, y in (low, high):
            canvas.line(((x - 5, y), (x + 5, y)), "band")
    canvas.line((chart(0.0, 0.0), chart(chart.most, 0.0)), "zero")
    canvas.line([chart(*point) for point in points], "curve-residual")
    if banded:
        canvas.label("band", chart(banded[0].travel, banded[0].aim + (banded[0].band or 0.0)))
    low_point, high_point = min(points, key=lambda point: point[1]), max(points, key=lambda point: point[1])
    says = [
        f"Closed {facts.write(points[0][1], 'pull')}, open {facts.write(points[-1][1], 'pull')};",
        f"least {facts.write(low_point[1], 'pull')} at {facts.write(low_point[0], 'length')},",
        f"most {facts.write(high_point[1], 'pull')} at {facts.write(high_point[0], 'length')} from closed.",
    ]
    title = "What is left over: counterbalance less door, without friction"
    return Drawn("residual", title, canvas.svg("residual", title, " ".join(says)), (), ())


def _chart(facts: Facts, most: float, low: float, high: float, height: float) -> Chart:
    """Axes with round numbers in the report's units."""
    weight = {"us": 4.4482216152605, "si": 9.80665}[facts.system]
    length = {"us": 0.3048, "si": 0.5}[facts.system]
    step = _round((high - low) / weight / 5) * weight
    low, high = math.floor(low / step) * step, math.ceil(high / step) * step
    canvas = Canvas(WIDTH, height)
    chart = Chart(canvas, most, low, high)
    frame = Box(*chart(0.0, high), *chart(most, low))
    canvas.line(((frame.left, frame.top), (frame.left, frame.bottom), (frame.right, frame.bottom)), "axis")
    for number in range(round(low / step), round(high / step) + 1):
        x, y = chart(0.0, number * step)
        canvas.line(((x - 4, y), (x, y)), "axis")
        canvas.text(facts.write(number * step, "pull"), (x - 8, y + 4.5), anchor="end")
    stride = max(1, math.ceil(most / length / 8))
    for number in range(0, int(most / length) + 1, stride):
        x, y = chart(number * length, low)
        canvas.line(((x, y), (x, y + 4)), "axis")
        canvas.text(_tick(number * length, facts.system), (x, y + 18))
    canvas.text("travel of the bottom roller from closed", (LEFT + (WIDTH - LEFT - RIGHT) / 2, height - 6))
    return chart


def _tick(length: float, system: str) -> str:
    return f"{round(length / 0.3048)} ft" if system == "us" else f"{round(length, 3):g} m"


def _round(value: float) -> float:
    """The next larger of 1, 2, 5, 10, 20 ...

    >>> _round(3.2), _round(0.7), _round(51.0)
    (5.0, 1.0, 100.0)
    """
    power = 10.0 ** math.floor(math.log10(value))
    return next(power * factor for factor in (1.0, 2.0, 5.0, 10.0) if power * factor >= value * (1 - 1e-9))


def _marks(chart: Chart, reached: list[Mark]) -> None:
    """A line at every mark, named above."""
    for mark in reached:
        top, foot = chart(mark.travel, chart.high), chart(mark.travel, chart.low)
        chart.canvas.line((top, foot), "mark-line")
        chart.canvas.text(mark.name, (top[0], top[1] - 8))
