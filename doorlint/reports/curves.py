"""Force over travel: what the door pulls, what balances it, and the imbalance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from doorlint.counterbalance import described
from doorlint.counterbalance.kind import ForceMark
from doorlint.facts import Facts
from doorlint.reports.drawing import Canvas
from doorlint.reports.paper import Box, Point

__all__ = ["Chart", "balance", "curves", "marks"]

HEIGHT = 330.0
LEFT, RIGHT, TOP, BOTTOM = 74.0, 24.0, 34.0, 46.0

Curve: TypeAlias = Sequence[tuple[float, float, float | None, float | None]]
"""Points of travel (m) with the pull of the door, of the counterbalance, and the imbalance (N)."""


@dataclass(slots=True)
class Chart:
    """A chart in the making: paper, and ranges of travel (m) and force (N)."""

    name: str
    title: str
    canvas: Canvas
    most: float
    low: float
    high: float
    places: dict[str, list[Point]] = field(default_factory=dict)
    says: list[str] = field(default_factory=list)

    def __call__(self, travel: float, force: float) -> Point:
        across, up = self.canvas.width - LEFT - RIGHT, self.canvas.height - TOP - BOTTOM
        return (
            LEFT + across * travel / self.most,
            TOP + up * (self.high - force) / (self.high - self.low),
        )


def marks(facts: Facts) -> list[ForceMark]:
    """The marks that are reached, in the order in which the door comes to them on its way up."""
    kind = next(iter(described(facts.job.values)), None)
    return sorted(_door_marks(facts) if kind is None else kind.marks(facts), key=lambda mark: mark.travel)


def _door_marks(facts: Facts) -> list[ForceMark]:
    """The marks of a door without a counterbalance."""
    pulls = facts.column("section.mark_pull")
    travels = facts.column("section.mark_travel")
    return [
        ForceMark(key, travel, pulls[key], None, None, 0.0, None) for key, travel in travels.items() if key in pulls
    ]


def balance(facts: Facts) -> list[tuple[str, ...]]:
    """Place, travel, pull of the door, of the counterbalance, and what is left: closed, at the marks, open."""
    kind = next(iter(described(facts.job.values)), None)
    rows: list[tuple[str, float | None, float | None, float | None, float | None]] = []
    for place, travel in (("closed", 0.0), ("open", facts.known("door.open_travel"))):
        other = None if kind is None else facts.known(f"{kind.name}.pull_{place}")
        left = None if kind is None else facts.known(f"{kind.name}.residual_{place}")
        rows.append((place, travel, facts.known(f"door.pull_{place}"), other, left))
    rows[1:1] = [(f"mark of {mark.name}", mark.travel, mark.door, mark.other, mark.residual) for mark in marks(facts)]
    dimensions = ("length", "weight", "weight", "pull")
    return [
        (place, *("not known" if value is None else facts.write(value, dimension)
                  for value, dimension in zip(values, dimensions, strict=True)))
        for place, *values in rows
    ]  # fmt: skip


def curves(facts: Facts, width: float) -> list[Chart]:
    """The two charts on paper of that width; what is missing for them is noted in the facts."""
    if not facts.given("door") or not facts.needs("The curves of force", "door.curve"):
        return []
    curve: Curve = facts.known("door.curve")
    if curve[-1][0] <= 0.0:
        facts.left_out.append("The curves of force: as given, the door does not travel")
        return []
    reached = marks(facts)
    made = [_pulls(facts, curve, reached, width)]
    left_over = [(travel, residual) for travel, _, _, residual in curve if residual is not None]
    if left_over:
        made.append(_residual(facts, left_over, reached, width))
    return made


def _pulls(facts: Facts, curve: Curve, reached: list[ForceMark], width: float) -> Chart:
    door = [(travel, pull) for travel, pull, _, _ in curve]
    other = [(travel, pull) for travel, _, pull, _ in curve if pull is not None]
    forces = [force for _, force in [*door, *other]]
    title = "Pull of the door and of what balances it, over the travel"
    chart = _chart(facts, "pulls", title, door[-1][0], (min(*forces, 0.0), max(forces)), width)
    _marks(chart, reached)
    chart.canvas.line([chart(*point) for point in door], "curve-door")
    chart.canvas.label("door", chart(*door[len(door) // 7]))
    ends = [facts.write(door[at][1], "weight") for at in (0, -1)]
    chart.says.append(f"The door pulls {ends[0]} closed and {ends[1]} open.")
    if other:
        chart.canvas.line([chart(*point) for point in other], "curve-balance")
        name = described(facts.job.values)[0].pulling
        chart.canvas.label(name, chart(*other[len(other) * 5 // 7]))
        ends = [facts.write(other[at][1], "weight") for at in (0, -1)]
        chart.says.append(f"The {name} pull {ends[0]} closed and {ends[1]} open.")
    for mark in reached:
        chart.canvas.circle(chart(mark.travel, mark.door), 2.5, "roller")
    return chart


def _residual(facts: Facts, points: list[tuple[float, float]], reached: list[ForceMark], width: float) -> Chart:
    """The imbalance, with the tolerance at every mark."""
    forces = [force for _, force in points]
    for mark in reached:
        forces += [mark.target - (mark.band or 0.0), mark.target + (mark.band or 0.0)]
    room = (max(*forces, 0.0) - min(*forces, 0.0)) * 0.06 or 1.0
    title = "Imbalance: pull of the counterbalance less pull of the door, without friction"
    chart = _chart(facts, "residual", title, points[-1][0], (min(*forces, 0.0) - room, max(*forces, 0.0) + room), width)
    _marks(chart, reached)
    for mark in reached:
        if mark.band is not None:
            low, high = chart(mark.travel, mark.target - mark.band), chart(mark.travel, mark.target + mark.band)
            chart.canvas.line((low, high), "band")
            for x, y in (low, high):
                chart.canvas.line(((x - 5, y), (x + 5, y)), "band")
    chart.canvas.line((chart(0.0, 0.0), chart(chart.most, 0.0)), "zero")
    chart.canvas.line([chart(*point) for point in points], "curve-residual")
    for mark in reached:
        if mark.residual is not None:
            chart.canvas.circle(chart(mark.travel, mark.residual), 2.5, "roller")
    if reached and reached[0].band is not None:
        chart.canvas.label("tolerance", chart(reached[0].travel, reached[0].target + reached[0].band))
    _place_readings(facts, chart, points, reached)
    low_point, high_point = min(points, key=lambda point: point[1]), max(points, key=lambda point: point[1])
    chart.says += [
        f"Closed {facts.write(points[0][1], 'pull')}, open {facts.write(points[-1][1], 'pull')};",
        f"least {facts.write(low_point[1], 'pull')} at {facts.write(low_point[0], 'length')},",
        f"most {facts.write(high_point[1], 'pull')} at {facts.write(high_point[0], 'length')} from closed.",
    ]
    return chart


def _place_readings(facts: Facts, chart: Chart, points: list[tuple[float, float]], reached: list[ForceMark]) -> None:
    """Where findings about plates and balance readings belong: at the marks, and at the closed door."""
    for mark in reached:
        if mark.residual is not None and mark.pointer:
            chart.places[mark.pointer] = [chart(mark.travel, mark.residual)]
    rollers = {key: number for number, key in enumerate(facts.job.keys["section"], 1)}
    travels = {0: 0.0, **{rollers[key]: travel for key, travel in facts.column("section.mark_travel").items()}}
    for key, roller in facts.column("reading.roller").items():
        if roller in travels:
            at = min(points, key=lambda point: abs(point[0] - travels[roller]))
            chart.places[f"/as_built/readings/{key}"] = [chart(*at)]


def _chart(facts: Facts, name: str, title: str, most: float, forces: tuple[float, float], width: float) -> Chart:
    """Axes over some forces (N), with round numbers in the report's units."""
    low, high = forces
    weight = {"us": 4.4482216152605, "si": 9.80665}[facts.system]
    length = {"us": 0.3048, "si": 0.5}[facts.system]
    step = _round((high - low) / weight / 5) * weight
    low, high = math.floor(low / step) * step, math.ceil(high / step) * step
    canvas = Canvas(width, HEIGHT)
    chart = Chart(name, title, canvas, most, low, high)
    frame = Box(*chart(0.0, high), *chart(most, low))
    canvas.line(((frame.left, frame.top), (frame.left, frame.bottom), (frame.right, frame.bottom)), "axis")
    for number in range(round(low / step), round(high / step) + 1):
        x, y = chart(0.0, number * step)
        canvas.line(((x - 4, y), (x, y)), "axis")
        canvas.text(facts.write(number * step, "pull"), (x - 8, y + 4.5), anchor="end")
    stride = max(1, math.ceil(most / length / (width / 85)))
    for number in range(0, int(most / length) + 1, stride):
        x, y = chart(number * length, low)
        canvas.line(((x, y), (x, y + 4)), "axis")
        canvas.text(_tick(number * length, facts.system), (x, y + 18))
    canvas.text("travel of the bottom roller from closed", (LEFT + (width - LEFT - RIGHT) / 2, HEIGHT - 6))
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


def _marks(chart: Chart, reached: list[ForceMark]) -> None:
    """A line at every mark, named above."""
    for mark in reached:
        top, foot = chart(mark.travel, chart.high), chart(mark.travel, chart.low)
        chart.canvas.line((top, foot), "mark-line")
        chart.canvas.text(mark.name, (top[0], top[1] - 8))
