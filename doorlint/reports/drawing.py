"""Line drawings as SVG: shapes, dimensions, and labels that find their own place.

Everything here is in paper units (px at full width), x to the right and y down. Strokes and fills are named by
what they show (``door``, ``track``, ``limit`` ...); the page's style sheet says how each looks, so that a drawing
follows the page into a dark scheme and onto paper. Nothing is told by colour.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable, Sequence
from typing import NamedTuple, TypeAlias
from xml.etree import ElementTree as ET

from doorlint.reports.words import plain

__all__ = ["Box", "Canvas", "Point", "Scale", "text_width"]

Point: TypeAlias = tuple[float, float]

SIZE = 13.0
"""Size of the letters."""
LINE = 15.0
MARK = 9.5
"""Radius of the disc that carries a finding's number."""
RINGS = (5.0, 12.0, 20.0, 30.0, 42.0, 56.0, 74.0, 96.0, 124.0, 160.0, 210.0, 280.0)
"""How far from its point a label may be placed."""
PITCH = 2 * MARK + 1.5
ABREAST = 4
"""Discs in one row of a group."""
CELL = 4.0
"""Side of the squares in which ink is counted."""
AIR = 5.0
"""Kept free around every label."""

NOTES = frozenset({"dimension", "extension", "leader", "dot"})
"""Lines that explain the drawing: they may leave its window."""

_WIDTHS = {
    191: "'",
    222: "ijl",
    278: " .,:;/!fItJ[]\\|",
    333: "-()r",
    355: '"',
    500: "ckszvxy",
    556: "0123456789abdeghnopquL#_$?",
    584: "+=<>~",
    611: "FTZ",
    667: "ABEKPSVXY&",
    722: "CDHNRUw",
    778: "GOQ",
    833: "mM",
    889: "%",
    944: "W",
}
_WIDTH = {letter: width for width, letters in _WIDTHS.items() for letter in letters}


class Box(NamedTuple):
    """A rectangle on the paper."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box, air: float = 0.0) -> bool:
        """Whether the two overlap, or come nearer than ``air``.

        >>> Box(0, 0, 2, 2).meets(Box(3, 0, 4, 2)), Box(0, 0, 2, 2).meets(Box(3, 0, 4, 2), air=1.5)
        (False, True)
        """
        return (
            self.left < other.right + air
            and other.left < self.right + air
            and self.top < other.bottom + air
            and other.top < self.bottom + air
        )

    def crossed_by(self, start: Point, end: Point) -> bool:
        """Whether a straight line runs through the rectangle.

        >>> Box(0, 0, 2, 2).crossed_by((-1, 1), (3, 1)), Box(0, 0, 2, 2).crossed_by((-1, 3), (3, 3))
        (True, False)
        """
        low, high = 0.0, 1.0
        for begin, run, least, most in (
            (start[0], end[0] - start[0], self.left, self.right),
            (start[1], end[1] - start[1], self.top, self.bottom),
        ):
            if run == 0.0:
                if not least < begin < most:
                    return False
                continue
            first, last = sorted(((least - begin) / run, (most - begin) / run))
            low, high = max(low, first), min(high, last)
        return low < high

    def nearest(self, point: Point) -> Point:
        """The point of the rectangle that lies nearest to another point."""
        return min(max(point[0], self.left), self.right), min(max(point[1], self.top), self.bottom)


class Scale(NamedTuple):
    """From metres to paper: ``unit`` px a metre, and where the world's (0, 0) lies."""

    unit: float
    x: float
    y: float

    def __call__(self, across: float, up: float) -> Point:
        return self.x + across * self.unit, self.y - up * self.unit


Number: TypeAlias = tuple[int, str]
"""The number of a finding and its severity."""


class Label(NamedTuple):
    """Words, or numbers of findings, that look for a place near a point."""

    at: Point
    lines: tuple[str, ...] = ()
    numbers: tuple[Number, ...] = ()


def text_width(text: str, size: float = SIZE) -> float:
    """Width of a text in a sans-serif of the common metrics, in the unit of ``size``.

    Wide characters of other scripts count as a full square. Source: memory, the advance widths of the usual
    sans-serif; drawings set every text to the width reckoned here, so that a wider font cannot make labels meet.

    >>> text_width("10", 10)
    11.12
    """
    thousandths = sum(
        _WIDTH.get(letter) or (1000 if unicodedata.east_asian_width(letter) in "WF" else 600) for letter in text
    )
    return thousandths * size / 1000


class Canvas:
    """A drawing in the making: ink goes on at once, labels are placed when all ink is there."""

    def __init__(self, width: float, height: float) -> None:
        self.width = width
        self.height = height
        self.labels: list[Label] = []
        self.placed: list[Box] = []
        """the boxes of all words and numbers on the paper"""
        self.window: Box | None = None
        """where set, what is drawn is shown within it only; dimensions and words may leave it"""
        self._ink: dict[tuple[int, int], int] = {}
        self._shapes: list[ET.Element] = []
        self._clipped: list[ET.Element] = []
        self._words: list[ET.Element] = []

    # shapes

    def line(self, points: Sequence[Point], kind: str, *, closed: bool = False) -> None:
        """A polyline, or a polygon that its kind may fill."""
        self._add("polygon" if closed else "polyline", kind, points=" ".join(f"{_n(x)},{_n(y)}" for x, y in points))
        ends = [*points[1:], points[0]] if closed else points[1:]
        for start, end in zip(points, ends, strict=False):
            self._mark_ink(start, end)

    def rectangle(self, box: Box, kind: str) -> None:
        """A rectangle with its sides along the paper's."""
        corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
        self.line(corners, kind, closed=True)

    def circle(self, centre: Point, radius: float, kind: str) -> None:
        """A circle."""
        self._add("circle", kind, cx=_n(centre[0]), cy=_n(centre[1]), r=_n(radius))
        for step in range(8):
            here, there = (
                (centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn))
                for turn in (step * math.pi / 4, (step + 1) * math.pi / 4)
            )
            self._mark_ink(here, there)

    def hatch(self, box: Box, gap: float = 7.0) -> None:
        """Slanting lines over a rectangle: drawn one by one, so that they print as sharp as any other."""
        width, height = box.right - box.left, box.bottom - box.top
        moves = []
        for number in range(1, math.ceil((width + height) / gap)):
            step = number * gap
            start = (box.left + max(step - height, 0.0), box.top + min(step, height))
            end = (box.left + min(step, width), box.top + max(step - width, 0.0))
            moves.append(f"M{_n(start[0])},{_n(start[1])}L{_n(end[0])},{_n(end[1])}")
            self._mark_ink(start, end)
        self._add("path", "hatch", d="".join(moves))

    def shows(self, at: Point) -> bool:
        """Whether a point lies in the window, where there is one."""
        box = self.window
        return box is None or (box.left <= at[0] <= box.right and box.top <= at[1] <= box.bottom)

    # words

    def text(self, text: str, at: Point, anchor: str = "middle") -> None:
        """Words at a fixed place: ``at`` is the middle, ``start`` or ``end`` of the base line."""
        text = plain(text)
        width = text_width(text)
        left = at[0] - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        box = Box(left, at[1] - SIZE * 0.8, left + width, at[1] + SIZE * 0.25)
        self._write(text, box)
        self.placed.append(box)

    def label(self, text: str | Sequence[str], at: Point) -> None:
        """Words that find a free place near a point; one string is one line. A point out of the window gets none."""
        if not self.shows(at):
            return
        lines = (text,) if isinstance(text, str) else tuple(text)
        self.labels.append(Label(at, lines=tuple(map(plain, lines))))

    def marks(self, numbers: Sequence[Number], at: Point) -> None:
        """The numbers of findings, each in its disc, all together near the point where they are."""
        self.labels.append(Label(at, numbers=tuple(numbers)))

    def dimension(self, start: Point, end: Point, text: str, *, from_start: Point, from_end: Point) -> None:
        """A dimension line with its ticks, its words in the middle where they fit and beside it where not.

        ``from_start`` and ``from_end`` are the points measured: thin lines lead from them to the ends.
        """
        for measured, tip in ((from_start, start), (from_end, end)):
            if math.dist(measured, tip) > 4.0:
                self.line((measured, tip), "extension")
        for x, y in (start, end):
            self.line(((x - 3.5, y + 3.5), (x + 3.5, y - 3.5)), "dimension")
        width, height, length = text_width(plain(text)), SIZE, math.dist(start, end)
        gap = (width if start[1] == end[1] else height) / 2 + 4
        for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8):
            x, y = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
            box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
            if min(share, 1 - share) * length > gap + 4 and not any(box.meets(other, AIR) for other in self.placed):
                for tip, part in ((start, share), (end, 1 - share)):
                    left = 1 - gap / (part * length)
                    self.line((tip, (tip[0] + (x - tip[0]) * left, tip[1] + (y - tip[1]) * left)), "dimension")
                self.text(text, (x, y + SIZE * 0.32))
                return
        self.line((start, end), "dimension")
        self.label(text, ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2))

    # the whole

    def svg(self, name: str, title: str, description: str) -> str:
        """The drawing as an SVG element; ``name`` makes its ids its own on the page."""
        self._place()
        root = ET.Element(
            "svg", {
                "xmlns": "http://www.w3.org/2000/svg", "class": "drawing", "role": "img",
                "viewBox": f"0 0 {_n(self.width)} {_n(self.height)}", "aria-labelledby": f"{name}-title {name}-words",
            },
        )  # fmt: skip
        ET.SubElement(root, "title", id=f"{name}-title").text = plain(title)
        ET.SubElement(root, "desc", id=f"{name}-words").text = plain(description)
        if self.window is not None:
            clip = ET.SubElement(ET.SubElement(root, "defs"), "clipPath", id=f"{name}-window")
            box = self.window
            ET.SubElement(
                clip, "rect", x=_n(box.left), y=_n(box.top), width=_n(box.right - box.left),
                height=_n(box.bottom - box.top),
            )  # fmt: skip
            for shape in self._clipped:
                shape.set("clip-path", f"url(#{name}-window)")
        root.extend([*self._shapes, *self._words])
        return ET.tostring(root, encoding="unicode")

    def _place(self) -> None:
        """Give every label its place: numbers of findings first, then words, in the order they came."""
        for label in sorted(self.labels, key=lambda label: not label.numbers):
            self._set(label, self._best(label) or self._below(*_size(label)))
        self.labels.clear()

    def _best(self, label: Label) -> Box | None:
        """The cheapest free place near a label's point: not far off, and over little ink."""
        (x, y), (width, height) = label.at, _size(label)
        in_the_way = [box for box in self.placed if not (box.left <= x <= box.right and box.top <= y <= box.bottom)]
        best: tuple[float, Box] | None = None
        for ring, distance in enumerate(RINGS):
            base = distance * 0.35 + ring * 0.5
            if best is not None and best[0] <= base:
                break
            for turn in range(16):
                across, down = math.cos(turn * math.pi / 8), math.sin(turn * math.pi / 8)
                left = x + across * (distance + width / 2) - width / 2
                top = y + down * (distance + height / 2) - height / 2
                box = Box(left, top, left + width, top + height)
                if left < 1 or top < 1 or box.right > self.width - 1 or box.bottom > self.height - 1:
                    continue
                if any(box.meets(other, AIR) for other in self.placed):
                    continue
                if distance > 8.0 and any(other.crossed_by(label.at, box.nearest(label.at)) for other in in_the_way):
                    continue
                cost = base + turn % 4 * 0.3 + self._ink_in(box) * 2.0
                if best is None or (cost, box) < best:
                    best = cost, box
        return None if best is None else best[1]

    def _below(self, width: float, height: float) -> Box:
        """A place under everything drawn so far; the paper grows."""
        top = self.height + AIR
        self.height = top + height + AIR
        return Box(AIR, top, AIR + width, top + height)

    def _set(self, label: Label, box: Box) -> None:
        tip = box.nearest(label.at)
        if math.dist(tip, label.at) > 8.0:
            self.line((label.at, tip), "leader")
            self._mark_ink(label.at, tip, 4)
            self._add("circle", "dot", cx=_n(label.at[0]), cy=_n(label.at[1]), r="1.6")
        for row, line in enumerate(label.lines):
            self._write(line, Box(box.left, box.top + row * LINE, box.left + text_width(line), 0.0))
        for place, (number, severity) in enumerate(label.numbers):
            row, column = divmod(place, ABREAST)
            x, y = box.left + MARK + column * PITCH, box.top + MARK + row * PITCH
            group = ET.Element("g", {"class": f"mark {severity}"})
            ET.SubElement(group, "circle", cx=_n(x), cy=_n(y), r=_n(MARK))
            ET.SubElement(group, "text", {"x": _n(x), "y": _n(y + 4.2), "text-anchor": "middle"}).text = str(number)
            self._words.append(group)
        self.placed.append(box)

    def _write(self, text: str, box: Box) -> None:
        width = text_width(text)
        attributes = {"class": "words", "x": _n(box.left), "y": _n(box.top + SIZE * 0.8)}
        if text:
            attributes |= {"textLength": _n(width), "lengthAdjust": "spacingAndGlyphs"}
        element = ET.Element("text", attributes)
        element.text = text
        self._words.append(element)

    def _add(self, tag: str, kind: str, **attributes: str) -> None:
        element = ET.Element(tag, {"class": kind, **attributes})
        self._shapes.append(element)
        if self.window is not None and kind not in NOTES:
            self._clipped.append(element)

    def _mark_ink(self, start: Point, end: Point, weight: int = 1) -> None:
        steps = max(int(math.dist(start, end) / CELL * 1.5), 1)
        for step in range(steps + 1):
            share = step / steps
            x, y = start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share
            if self.shows((x, y)):
                cell = (int(x // CELL), int(y // CELL))
                self._ink[cell] = max(self._ink.get(cell, 0), weight)

    def _ink_in(self, box: Box) -> int:
        return sum(
            self._ink.get((column, row), 0)
            for column in range(int(box.left // CELL), int(box.right // CELL) + 1)
            for row in range(int(box.top // CELL), int(box.bottom // CELL) + 1)
        )


def bounds(points: Iterable[Point]) -> Box:
    """The rectangle round some points.

    >>> bounds([(1.0, 5.0), (3.0, 2.0)])
    Box(left=1.0, top=2.0, right=3.0, bottom=5.0)
    """
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _size(label: Label) -> tuple[float, float]:
    if label.numbers:
        rows = math.ceil(len(label.numbers) / ABREAST)
        columns = min(len(label.numbers), ABREAST)
        return (columns - 1) * PITCH + 2 * MARK, (rows - 1) * PITCH + 2 * MARK
    return max(map(text_width, label.lines)), LINE * len(label.lines)


def _n(value: float) -> str:
    """A number of the drawing, to a tenth of a px."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
