"""Force over travel: what the door pulls, what balances it, and what is left over."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from doorlint.reports.drawing import Box, Canvas, Point
from doorlint.reports.facts import Facts
from doorlint.reports.view import Drawn

__all__ = ["Mark", "curves", "marks"]

WIDTH, HEIGHT = 700.0, 330.0
LEFT, RIGHT, TOP, BOTTOM = 74.0, 96.0, 34.0, 46.0


class Mark(NamedTuple):
    """A pick-up mark reached on the way: roller at the top of ``section`` stands at the end of the curve."""

    section: str
    travel: float
    pull: float


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
    """The pick-up marks that are reached, in the order in which the door comes to them going down."""
    travels, pulls = facts.column("section.mark_travel"), facts.column("section.mark_pull")
    found = [Mark(key, travel, pulls[key]) for key, travel in travels.items() if key in pulls]
    return sorted(found, key=lambda mark: -mark.travel)


def curves(facts: Facts) -> list[Drawn]:
    """The two charts; what is missing for them is noted in the facts."""
    if not facts.given("door") or not facts.needs("The curves of force", "door.curve"):
        return []
    curve: Sequence[tuple[float, float, float | None, float | None]] = facts.known("door.curve")
    reached = marks(facts)
    drawn = [_pulls(facts, curve, reached)]
    left_over = [(travel, residual) for travel, _, _, residual in curve if residual is not None]
    if left_over:
        drawn.append(_residual(facts, left_over, reached))
    return drawn


def _pulls(
    facts: Facts, curve: Sequence[tuple[float, float, float | None, float | None]], reached: list[Mark]
) -> Drawn:
    door = [(travel, pull) for travel, pull, _, _ in curve]
    other = [(travel, pull) for travel, _, pull, _ in curve if pull is not None]
    most = max(force for _, force in [*door, *other])
    chart = _chart(facts, door[-1][0], 0.0, most, HEIGHT)
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
        chart.canvas.circle(chart(mark.travel, mark.pull), 2.5, "roller")
    title = "Pull of the door and of what balances it, over the travel"
    return Drawn("pulls", title, chart.canvas.svg("pulls", title, " ".join(says)), (), ())


def _residual(facts: Facts, points: list[tuple[float, float]], reached: list[Mark]) -> Drawn:
    forces = [force for _, force in points]
    band = facts.known("practice.balance_band")
    reach = max(map(abs, [*forces, band or 0.0])) or 1.0
    chart = _chart(facts, points[-1][0], min(min(forces), -0.25 * reach), max(max(forces), 0.25 * reach), HEIGHT * 0.85)
    canvas = chart.canvas
    _marks(chart, reached)
    canvas.line((chart(0.0, 0.0), chart(chart.most, 0.0)), "zero")
    canvas.line([chart(*point) for point in points], "curve-residual")
    canvas.label("moves up", chart(chart.most * 0.86, chart.high * 0.8))
    canvas.label("moves down", chart(chart.most * 0.86, chart.low * 0.8))
    low, high = min(points, key=lambda point: point[1]), max(points, key=lambda point: point[1])
    says = [
        f"Closed {facts.write(points[0][1], 'pull')}, open {facts.write(points[-1][1], 'pull')};",
        f"least {facts.write(low[1], 'pull')} at {facts.write(low[0], 'length')},",
        f"most {facts.write(high[1], 'pull')} at {facts.write(high[0], 'length')} from closed.",
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
    """A line at every pick-up mark, named by the section that comes round next."""
    for mark in reached:
        top, foot = chart(mark.travel, chart.high), chart(mark.travel, chart.low)
        chart.canvas.line((top, foot), "mark-line")
        chart.canvas.text(mark.section, (top[0], top[1] - 8))


def balance(facts: Facts) -> list[tuple[str, str, str, str, str]]:
    """Place, travel, pull of the door, of the counterbalance, and what is left, closed, at the marks and open."""
    curve: Sequence[tuple[float, float, float | None, float | None]] = facts.known("door.curve")
    rows = [
        ("closed", *curve[0]),
        *(
            (f"roller at the top of {mark.section}", mark.travel, mark.pull, *_beside(curve, mark))
            for mark in reversed(marks(facts))
        ),
        ("open", *curve[-1]),
    ]
    return [
        (
            place, facts.write(travel, "length"), facts.write(pull, "weight"),
            "not known" if other is None else facts.write(other, "weight"),
            "not known" if left is None else facts.write(left, "pull"),
        )
        for place, travel, pull, other, left in rows
    ]  # fmt: skip


def _beside(
    curve: Sequence[tuple[float, float, float | None, float | None]], mark: Mark
) -> tuple[float | None, float | None]:
    """Counterbalance and residual at a mark, from the point of the curve that lies nearest to it."""
    _, _, other, _ = min(curve, key=lambda point: abs(point[0] - mark.travel))
    return other, None if other is None else other - mark.pull
