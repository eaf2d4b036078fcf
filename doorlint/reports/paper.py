"""The paper of a drawing: rectangles, the scale, how wide a text is, and where there is ink.

Everything is in px at full width, x to the right and y down.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable, Iterator
from itertools import accumulate
from operator import add
from typing import NamedTuple, TypeAlias

__all__ = ["SIZE", "Box", "Ink", "Point", "Scale", "crossing", "text_width"]

Point: TypeAlias = tuple[float, float]

SIZE = 13.0
"""Size of the letters."""
CELL = 4.0
"""Side of the squares in which ink is counted."""

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

    def holds(self, point: Point) -> bool:
        """Whether a point lies in the rectangle."""
        return self.left <= point[0] <= self.right and self.top <= point[1] <= self.bottom

    def cut(self, start: Point, end: Point) -> tuple[Point, Point] | None:
        """The part of a straight line that lies in the rectangle.

        >>> Box(0, 0, 2, 2).cut((-1, 1), (3, 1)), Box(0, 0, 2, 2).cut((-1, 3), (3, 3))
        (((0.0, 1.0), (2.0, 1.0)), None)
        """
        low, high = 0.0, 1.0
        across, down = end[0] - start[0], end[1] - start[1]
        for begin, run, least, most in (
            (start[0], across, self.left, self.right), (start[1], down, self.top, self.bottom),
        ):  # fmt: skip
            if run == 0.0:
                if not least <= begin <= most:
                    return None
                continue
            first, last = sorted(((least - begin) / run, (most - begin) / run))
            low, high = max(low, first), min(high, last)
        if low > high:
            return None
        return (start[0] + across * low, start[1] + down * low), (start[0] + across * high, start[1] + down * high)

    def nearest(self, point: Point) -> Point:
        """The point of the rectangle that lies nearest to another point."""
        return min(max(point[0], self.left), self.right), min(max(point[1], self.top), self.bottom)


def crossing(start: Point, end: Point, begin: Point, stop: Point) -> bool:
    """Whether two straight lines cross.

    >>> crossing((0, 0), (2, 2), (0, 2), (2, 0)), crossing((0, 0), (2, 2), (3, 0), (3, 2))
    (True, False)
    """

    def side(one: Point, other: Point, point: Point) -> float:
        return (other[0] - one[0]) * (point[1] - one[1]) - (other[1] - one[1]) * (point[0] - one[0])

    return (
        side(start, end, begin) * side(start, end, stop) < 0.0
        and side(begin, stop, start) * side(begin, stop, end) < 0.0
    )


class Scale(NamedTuple):
    """From meters to paper: px a meter across and up, and where the world's (0, 0) lies."""

    unit: float
    x: float
    y: float
    unit_up: float

    def __call__(self, across: float, up: float) -> Point:
        return self.x + across * self.unit, self.y - up * self.unit_up


def text_width(text: str, size: float = SIZE) -> float:
    """Width of a text in a sans-serif of the common metrics, in the unit of ``size``.

    Wide characters of other scripts count as a full square. Source: memory, the advance widths of the usual
    sans-serif; drawings set every text to the width computed here, so that a wider font cannot make labels meet.

    >>> text_width("10", 10)
    11.12
    """
    thousandths = sum(
        _WIDTH.get(letter) or (1000 if unicodedata.east_asian_width(letter) in "WF" else 600) for letter in text
    )
    return thousandths * size / 1000


class Ink:
    """Where there is ink on the paper, counted in squares so that a label is looked up in one step."""

    def __init__(self, strokes: Iterable[tuple[Point, Point]], width: float, height: float) -> None:
        self.columns, self.rows = int(width / CELL) + 2, int(height / CELL) + 2
        marked = {cell for stroke in strokes for cell in _cells(*stroke)}
        self._sums = [[0] * (self.columns + 1)]
        for row in range(self.rows):
            here = accumulate((column, row) in marked for column in range(self.columns))
            self._sums.append([0, *map(add, self._sums[-1][1:], here)])

    def touches(self, box: Box) -> bool:
        """Whether any ink comes within a px of a rectangle.

        >>> ink = Ink([((0.0, 50.0), (100.0, 50.0))], 100.0, 100.0)
        >>> ink.touches(Box(10.0, 40.0, 30.0, 52.0)), ink.touches(Box(10.0, 60.0, 30.0, 72.0))
        (True, False)
        """
        left, right = (min(max(int(x / CELL), 0), self.columns) for x in (box.left - 1, box.right + 1 + CELL))
        top, bottom = (min(max(int(y / CELL), 0), self.rows) for y in (box.top - 1, box.bottom + 1 + CELL))
        sums = self._sums
        return sums[bottom][right] - sums[top][right] - sums[bottom][left] + sums[top][left] > 0


def _cells(start: Point, end: Point) -> Iterator[tuple[int, int]]:
    """The squares that a stroke runs through, sampled twice a square."""
    steps = max(int(math.dist(start, end) / CELL * 2), 1)
    for step in range(steps + 1):
        share = step / steps
        yield (
            int((start[0] + (end[0] - start[0]) * share) // CELL),
            int((start[1] + (end[1] - start[1]) * share) // CELL),
        )
