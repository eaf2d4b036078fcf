"""A drawing with the places that findings may point at, and the marks of the findings on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from doorlint.facts import Facts
from doorlint.findings import Finding
from doorlint.reports.drawing import Canvas, Number, Point, Scale

__all__ = ["Drawn", "Marked", "View", "marked", "scale_bar"]

_BARS = {
    "us": ((0.3048, "1 ft"), (0.6096, "2 ft"), (1.524, "5 ft")),
    "si": ((0.5, "500 mm"), (1.0, "1 m"), (2.0, "2 m")),
}


@dataclass(slots=True)
class View:
    """One drawing in the making: its canvas and scale, and where on it each part of the spec is."""

    name: str
    title: str
    canvas: Canvas
    scale: Scale
    facts: Facts
    places: dict[str, list[Point]] = field(default_factory=dict)
    """by JSON pointer; several where the thing is seen more than once"""
    says: list[str] = field(default_factory=list)
    """what the drawing shows, a sentence each, for those who cannot see it"""

    def place(self, pointer: str, across: float, up: float) -> None:
        """Note where the thing is that a pointer names, in metres; out of the window it has no place."""
        at = self.scale(across, up)
        if self.canvas.shows(at):
            self.places.setdefault(pointer, []).append(at)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A finished drawing: its SVG, and the findings marked on it."""

    name: str
    title: str
    svg: str
    marked: tuple[int, ...]


class Marked(Protocol):
    """What findings can be marked on: a view, or a chart."""

    name: str
    title: str
    canvas: Canvas
    places: dict[str, list[Point]]
    says: list[str]


def marked(views: Iterable[Marked], findings: Sequence[Finding]) -> list[Drawn]:
    """The views finished, with the number of every finding that has a place in one of them.

    A finding is marked at the part of the spec that its pointer names, or the nearest part above it that is drawn;
    where two views draw that part, on both.
    """
    views = list(views)
    on: dict[str, dict[Point, list[Number]]] = {view.name: {} for view in views}
    for number, finding in enumerate(findings, 1):
        pointer = finding.pointer
        while pointer and not any(pointer in view.places for view in views):
            pointer = pointer.rpartition("/")[0]
        for view in views:
            for at in view.places.get(pointer, ())[:1]:
                on[view.name].setdefault(at, []).append((number, finding.severity))
    for view in views:
        for at, numbers in on[view.name].items():
            view.canvas.marks(numbers, at)
    return [
        Drawn(
            view.name, view.title, view.canvas.svg(view.name, view.title, " ".join(view.says)),
            tuple(number for numbers in on[view.name].values() for number, _ in numbers),
        )
        for view in views
    ]  # fmt: skip


def scale_bar(view: View, at: Point) -> None:
    """A length of the drawing with its true size beside it; ``at`` is its left end on the paper."""
    length, text = next(
        (bar for bar in _BARS[view.facts.system] if bar[0] * view.scale.unit >= 50), _BARS[view.facts.system][-1]
    )
    end = at[0] + length * view.scale.unit
    view.canvas.line((at, (end, at[1])), "dimension")
    for x in (at[0], end):
        view.canvas.line(((x, at[1] - 4), (x, at[1] + 4)), "dimension")
    view.canvas.text(text, (end + 6, at[1] + 4.5), anchor="start")
