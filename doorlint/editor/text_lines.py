"""Places in a text: the protocol counts UTF-16 code units from 0, doorlint code points from 1, and edits characters."""

from __future__ import annotations

import re
from itertools import accumulate

from doorlint.editor.protocol import Position, Range

__all__ = ["TextLines"]

_LINE = re.compile("[^\r\n]*(?:\r\n|\r|\n|$)")
_MARK = "\ufeff"


class TextLines:
    """The lines of a text.

    A byte order mark at its start is a character for the editor and none for doorlint.

    >>> lines = TextLines("site: \U0001f6aa dock\\r\\nroom:\\r\\n  back: 16 ft")
    >>> lines.position(1, 9), lines.place(Position(0, 9))
    (Position(line=0, character=9), (1, 9))
    >>> lines.offset(Position(2, 2)), lines.at_offset(23)
    (23, Position(line=2, character=2))
    """

    def __init__(self, text: str) -> None:
        whole = [found[0] for found in _LINE.finditer(text) if found[0]] or [""]
        if whole[-1].endswith(("\r", "\n")):
            whole.append("")
        self.lines = [line.rstrip("\r\n") for line in whole]
        self._starts = [0, *accumulate(map(len, whole))]
        self._mark = int(text.startswith(_MARK))

    def position(self, line: int, column: int) -> Position:
        """The place of a line and column, each from 1; one outside of the text is moved to its nearest place."""
        number = min(max(line, 1), len(self.lines)) - 1
        before = self.lines[number][: max(column - 1, 0) + self._mark * (number == 0)]
        return Position(number, _units(before))

    def range(self, line: int, column: int, end: tuple[int, int] | None) -> Range:
        """The range between two places of doorlint; without an end, the rest of the line."""
        start = self.position(line, column)
        if end is None or end <= (line, column):
            return Range(start, self.position(line, len(self.lines[start.line]) + 1))
        return Range(start, self.position(*end))

    def place(self, position: Position) -> tuple[int, int]:
        """Line and column from 1 of a place of the editor's; one outside of the text is moved to its nearest place."""
        number = min(max(position.line, 0), len(self.lines) - 1)
        column = _points(self.lines[number], position.character) if position.line == number else 0
        return number + 1, max(column - self._mark * (number == 0), 0) + 1

    def offset(self, position: Position) -> int:
        """How many characters stand before a place, a byte order mark among them."""
        if position.line >= len(self.lines):
            return self._starts[-1]
        return self._starts[position.line] + _points(self.lines[position.line], position.character)

    def at_offset(self, offset: int) -> Position:
        """The place behind so many characters."""
        low, high = 0, len(self.lines) - 1
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if self._starts[middle] <= offset else (low, middle - 1)
        return Position(low, _units(self.lines[low][: offset - self._starts[low]]))


def _units(text: str) -> int:
    return len(text) if text.isascii() else len(text.encode("utf-16-le", "surrogatepass")) // 2


def _points(line: str, units: int) -> int:
    """How many characters of a line lie before so many UTF-16 code units; half of a character counts as none."""
    if line.isascii():
        return min(max(units, 0), len(line))
    left = units
    for count, character in enumerate(line):
        left -= 1 + (character > "\uffff")
        if left < 0:
            return count
    return len(line)
