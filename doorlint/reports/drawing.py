"""Line drawings as SVG: shapes, dimensions, and labels that find their own place.

Everything here is in paper units (px at full width), x to the right and y down. Strokes and fills are named by
what they show (``door``, ``track``, ``limit`` ...); the page's style sheet says how each looks, so that a drawing
follows the page into a dark scheme and onto paper. No meaning rests on color alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple, TypeAlias
from xml.etree import ElementTree as ET

from doorlint.reports.paper import SIZE, Box, Ink, Point, crossing, text_width
from doorlint.reports.words import plain

__all__ = ["Canvas"]

LINE = 15.0
MARK = 9.5
"""Radius of the disc that carries a finding's number."""
RINGS = (4.0, 8.0, 13.0, 19.0, 26.0, 34.0, 44.0, 56.0, 70.0, 86.0, 104.0)
"""How far from its point a label may be placed."""
FAR = (126.0, 152.0, 184.0, 224.0, 280.0)
"""How far a key letter may be placed, beyond ``RINGS``."""
PITCH = 2 * MARK + 1.5
ABREAST = 4
"""Discs in one row of a group."""
AIR = 4.0
"""Kept free around every label."""
ARROW, HEAD = 34.0, 9.0
"""Length of an arrow and of its head."""

NOTES = frozenset({"dimension", "extension", "leader", "dot"})
"""Lines that explain the drawing: they may leave its window."""

Number: TypeAlias = tuple[int, str]
"""The number of a finding and its severity."""


class Label(NamedTuple):
    """Words, or numbers of findings, that look for a place near a point."""

    at: Point
    lines: tuple[str, ...] = ()
    numbers: tuple[Number, ...] = ()
    centered: bool = False
    """whether it may lie on the point itself"""


class Measure(NamedTuple):
    """A dimension line that waits for its words."""

    start: Point
    end: Point
    text: str


class Canvas:
    """A drawing in the making: ink goes on at once, words are placed when all ink is there, so that none lie on it."""

    def __init__(self, width: float, height: float) -> None:
        self.width = width
        self.height = height
        self.labels: list[Label] = []
        self.measures: list[Measure] = []
        self.placed: list[Box] = []
        """the boxes of all words and numbers on the paper"""
        self.strokes: list[tuple[Point, Point]] = []
        """all straight pieces of ink, without the leaders of labels"""
        self.leaders: list[tuple[Point, Point]] = []
        """the lines that lead from labels to their points"""
        self.window: Box | None = None
        """where set, what is drawn is shown within it only; dimensions and words may leave it"""
        self._shapes: list[ET.Element] = []
        self._clipped: list[ET.Element] = []
        self._words: list[ET.Element] = []

    # shapes

    def line(self, points: Sequence[Point], kind: str, *, closed: bool = False) -> None:
        """A polyline, or a polygon that its kind may fill."""
        self._add("polygon" if closed else "polyline", kind, points=" ".join(f"{_n(x)},{_n(y)}" for x, y in points))
        ends = [*points[1:], points[0]] if closed else points[1:]
        for start, end in zip(points, ends, strict=False):
            self._ink(start, end, kind)

    def rectangle(self, box: Box, kind: str) -> None:
        """A rectangle with its sides along the paper's."""
        corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
        self.line(corners, kind, closed=True)

    def circle(self, center: Point, radius: float, kind: str) -> None:
        """A circle."""
        self._add("circle", kind, cx=_n(center[0]), cy=_n(center[1]), r=_n(radius))
        corners = [
            (center[0] + radius * math.cos(step * math.pi / 6), center[1] + radius * math.sin(step * math.pi / 6))
            for step in range(13)
        ]
        for here, there in pairwise(corners):
            self._ink(here, there, kind)

    def hatch(self, box: Box, gap: float = 7.0) -> None:
        """Slanting lines over a rectangle: drawn one by one, so that they print as sharp as any other."""
        width, height = box.right - box.left, box.bottom - box.top
        moves = []
        for number in range(1, math.ceil((width + height) / gap)):
            step = number * gap
            start = (box.left + max(step - height, 0.0), box.top + min(step, height))
            end = (box.left + min(step, width), box.top + max(step - width, 0.0))
            moves.append(f"M{_n(start[0])},{_n(start[1])}L{_n(end[0])},{_n(end[1])}")
            self._ink(start, end, "hatch")
        self._add("path", "hatch", d="".join(moves))

    def arrow(self, tip: Point, toward: Point, text: str) -> None:
        """A force that acts at ``tip``, with its words at the other end."""
        tail = (tip[0] - toward[0] * ARROW, tip[1] + toward[1] * ARROW)
        across, down = toward[0] * HEAD, -toward[1] * HEAD
        base = (tip[0] - across, tip[1] - down)
        barbs = ((base[0] + down * 0.4, base[1] - across * 0.4), (base[0] - down * 0.4, base[1] + across * 0.4))
        self.line((tail, base), "force")
        self.line((tip, *barbs), "force-head", closed=True)
        if text:
            self.label(text, tail)

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
        self._write(text, Box(left, at[1] - SIZE * 0.8, left + width, at[1] + SIZE * 0.25))

    def label(self, text: str | Sequence[str], at: Point, *, centered: bool = False) -> None:
        """Words that find a free place near a point; one string is one line. A point out of the window gets none."""
        if not self.shows(at):
            return
        lines = (text,) if isinstance(text, str) else tuple(text)
        self.labels.append(Label(at, lines=tuple(map(plain, lines)), centered=centered))

    def marks(self, numbers: Sequence[Number], at: Point) -> None:
        """The numbers of findings, each in its disc, all together near the point where they are."""
        self.labels.append(Label(at, numbers=tuple(numbers)))

    def dimension(self, start: Point, end: Point, text: str, *, from_start: Point, from_end: Point) -> None:
        """A dimension line with its ticks, its words in the line where they fit and beside it where not.

        ``from_start`` and ``from_end`` are the points measured: thin lines lead from them to the ends.
        """
        for measured, tip in ((from_start, start), (from_end, end)):
            if math.dist(measured, tip) > 4.0:
                self.line((measured, tip), "extension")
        for x, y in (start, end):
            self.line(((x - 3.5, y + 3.5), (x + 3.5, y - 3.5)), "dimension")
        self.measures.append(Measure(start, end, plain(text)))

    # the whole

    def svg(self, name: str, title: str, description: str) -> str:
        """The drawing as an SVG element; ``name`` makes its ids its own on the page."""
        self._place()
        root = ET.Element(
            "svg", {
                "xmlns": "http://www.w3.org/2000/svg", "class": "drawing", "role": "img",
                "viewBox": f"0 0 {_n(self.width)} {_n(self.height)}", "width": _n(self.width),
                "aria-labelledby": f"{name}-title {name}-words",
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
        """Give all words their place: dimensions, then numbers of findings, then labels, in the order they came."""
        for measure in self.measures:
            self._measure(measure)
        self.measures.clear()
        ink = Ink(self.strokes, self.width, self.height)
        keyed: list[str] = []
        waiting = sorted(self.labels, key=lambda label: (not label.centered, not label.numbers))
        for number, wanted in enumerate(waiting):
            label = wanted._replace(at=self._uncovered(wanted.at))
            points = [other.at for other in waiting[number + 1 :]]
            box = self._best(label, ink, points)
            if box is None and label.lines:
                letter = Label(label.at, lines=(_letter(len(keyed) + 1),))
                box = self._best(letter, ink, points, (*RINGS, *FAR))
                keyed.append(f"{letter.lines[0] if box else 'Not pointed at'}: {', '.join(label.lines)}")
                if box is not None:
                    self._set(letter, box)
                continue
            if box is None:  # a disc may cover ink
                box = self._best(label, Ink((), self.width, self.height), points) or self._below(*_size(label))
            self._set(label, box)
        for words in keyed:
            for line in _wrapped(words, self.width - 2 * AIR):
                self._write(line, self._below(text_width(line), SIZE))
        self.labels.clear()

    def _measure(self, measure: Measure) -> None:
        """A dimension line with its words in it; where they do not fit, beside it."""
        (x1, y1), (x2, y2) = measure.start, measure.end
        width, length = text_width(measure.text), math.dist(measure.start, measure.end)
        upright = abs(x1 - x2) < abs(y1 - y2)
        across, down = (SIZE, width) if upright else (width, SIZE)
        half = width / 2 + 4
        for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8):
            x, y = x1 + (x2 - x1) * share, y1 + (y2 - y1) * share
            box = Box(x - across / 2, y - down / 2, x + across / 2, y + down / 2)
            if min(share, 1 - share) * length > half + 4 and self._is_free(box):
                for tip, part in ((measure.start, share), (measure.end, 1 - share)):
                    left = 1 - half / (part * length)
                    self.line((tip, (tip[0] + (x - tip[0]) * left, tip[1] + (y - tip[1]) * left)), "dimension")
                self._write(measure.text, box, upright=upright)
                return
        self.line((measure.start, measure.end), "dimension")
        self.labels.append(Label(((x1 + x2) / 2, (y1 + y2) / 2), lines=(measure.text,)))

    def _is_free(self, box: Box) -> bool:
        return not any(box.meets(other, AIR) for other in self.placed) and not any(
            box.crossed_by(*stroke) for stroke in self.strokes
        )

    def _uncovered(self, at: Point) -> Point:
        """The point itself, or one just below the words that lie on it."""
        covering = next((box for box in self.placed if box.holds(at)), None)
        return at if covering is None else self._uncovered((at[0], covering.bottom + 1.0))

    def _best(self, label: Label, ink: Ink, points: Sequence[Point], rings: Sequence[float] = RINGS) -> Box | None:
        """The nearest place to a label's point that no ink, no other words and no point of a later label take up."""
        (x, y), (width, height) = label.at, _size(label)
        if label.centered:
            box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
            if self._fits(box, ink, points):
                return box
        crossed: Box | None = None
        for distance in rings:
            places = []
            for turn in range(24):
                across, down = math.cos(turn * math.pi / 12), math.sin(turn * math.pi / 12)
                left = x + across * (distance + width / 2) - width / 2
                top = y + down * (distance + height / 2) - height / 2
                places.append((turn % 6 > 0, turn, Box(left, top, left + width, top + height)))
            for _, _, box in sorted(places):
                if not self._fits(box, ink, points):
                    continue
                tip = box.nearest(label.at)
                if distance > 8.0 and any(other.crossed_by(label.at, tip) for other in self.placed):
                    continue
                if distance <= 8.0 or not any(crossing(label.at, tip, *leader) for leader in self.leaders):
                    return box
                crossed = crossed or box  # rather a leader across another one than no place
        return crossed

    def _fits(self, box: Box, ink: Ink, points: Sequence[Point]) -> bool:
        on_paper = box.left >= 1 and box.top >= 1 and box.right <= self.width - 1 and box.bottom <= self.height - 1
        return (
            on_paper
            and not ink.touches(box)
            and not any(box.meets(other, AIR) for other in self.placed)
            and not any(box.crossed_by(*leader) for leader in self.leaders)
            and not any(map(box.holds, points))
        )

    def _below(self, width: float, height: float) -> Box:
        """A place under everything drawn so far; the paper grows."""
        top = self.height + AIR
        self.height = top + height + AIR
        return Box(AIR, top, AIR + width, top + height)

    def _set(self, label: Label, box: Box) -> None:
        tip = box.nearest(label.at)
        if math.dist(tip, label.at) > 8.0:
            self._add("polyline", "leader", points=" ".join(f"{_n(x)},{_n(y)}" for x, y in (label.at, tip)))
            self.leaders.append((label.at, tip))
            self._add("circle", "dot", cx=_n(label.at[0]), cy=_n(label.at[1]), r="1.6")
        for row, line in enumerate(label.lines):
            top = box.top + row * LINE
            self._write(line, Box(box.left, top, box.left + text_width(line), top + LINE), count=False)
        for row, runs in enumerate(_rows(label.numbers)):
            x, y = box.left, box.top + MARK + row * PITCH
            for text, severity in runs:
                wide = _run_width(text)
                group = ET.Element("g", {"class": f"mark {severity}"})
                ET.SubElement(group, "rect", x=_n(x), y=_n(y - MARK), width=_n(wide), height=_n(2 * MARK), rx=_n(MARK))
                middle = {"x": _n(x + wide / 2), "y": _n(y + 4.2), "text-anchor": "middle"}
                ET.SubElement(group, "text", middle).text = text
                self._words.append(group)
                x += wide + 1.5
        self.placed.append(box)

    def _write(self, text: str, box: Box, *, upright: bool = False, count: bool = True) -> None:
        width = text_width(text)
        x, y = box.left, box.top + SIZE * 0.8
        attributes = {"class": "words"}
        if upright:
            x, y = box.right - SIZE * 0.2, box.bottom
            attributes["transform"] = f"rotate(-90 {_n(x)} {_n(y)})"
        attributes |= {"x": _n(x), "y": _n(y)}
        if text:
            attributes |= {"textLength": _n(width), "lengthAdjust": "spacingAndGlyphs"}
        element = ET.Element("text", attributes)
        element.text = text
        self._words.append(element)
        if count:
            self.placed.append(box)

    def _add(self, tag: str, kind: str, **attributes: str) -> None:
        element = ET.Element(tag, {"class": kind, **attributes})
        self._shapes.append(element)
        if self.window is not None and kind not in NOTES:
            self._clipped.append(element)

    def _ink(self, start: Point, end: Point, kind: str) -> None:
        """Note a piece of ink, cut off at the window where its kind is."""
        if self.window is not None and kind not in NOTES:
            cut = self.window.cut(start, end)
            if cut is None:
                return
            start, end = cut
        self.strokes.append((start, end))


def _letter(number: int) -> str:
    """The key of a label that found no place near its point.

    >>> _letter(1), _letter(27)
    ('A', 'AA')
    """
    return "A" * ((number - 1) // 26) + chr(ord("A") + (number - 1) % 26)


def _wrapped(text: str, width: float) -> list[str]:
    """A text in lines that are no wider than the paper, as far as its words allow."""
    lines: list[str] = []
    for word in text.split():
        if lines and text_width(f"{lines[-1]} {word}") <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _size(label: Label) -> tuple[float, float]:
    if label.numbers:
        rows = _rows(label.numbers)
        wide = max(sum(_run_width(text) + 1.5 for text, _ in runs) - 1.5 for runs in rows)
        return wide, (len(rows) - 1) * PITCH + 2 * MARK
    return max(map(text_width, label.lines)), LINE * len(label.lines)


def _rows(numbers: Sequence[Number]) -> list[list[tuple[str, str]]]:
    """Numbers of findings as runs of one severity, a few to a row.

    >>> _rows([(1, "error"), (2, "error"), (3, "error"), (5, "warning")])
    [[('1-3', 'error'), ('5', 'warning')]]
    """
    runs: list[tuple[int, int, str]] = []
    for number, severity in numbers:
        if runs and runs[-1][1:] == (number - 1, severity):
            runs[-1] = (runs[-1][0], number, severity)
        else:
            runs.append((number, number, severity))
    texts = [(str(first) if first == last else f"{first}-{last}", severity) for first, last, severity in runs]
    return [texts[start : start + ABREAST] for start in range(0, len(texts), ABREAST)]


def _run_width(text: str) -> float:
    return max(2 * MARK, text_width(text, 12.0) + 10.0)


def _n(value: float) -> str:
    """A number of the drawing, to a tenth of a px."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
