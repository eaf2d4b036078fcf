"""How a report for a terminal is shown: in color or not, whole or findings only."""

from __future__ import annotations

from doorlint.named_tuple import NamedTuple

__all__ = ["PLAIN", "Style"]

_COLORS = {"error": "1;31", "hold": "1;31", "unreadable": "1;31", "warning": "33", "advisory": "36", "clear": "32"}
"""SGR parameters (ECMA-48, 5th edition, 8.3.117) by severity and verdict; each is also written as a word."""


class Style(NamedTuple):
    """What the caller asked for."""

    color: bool = False
    quiet: bool = False
    """findings only, and nothing for a clear spec"""

    def paint(self, text: str, word: str) -> str:
        r"""The text in the color of a severity or verdict.

        >>> Style(color=True).paint("error", "error"), Style().paint("error", "error")
        ('\x1b[1;31merror\x1b[0m', 'error')
        """
        return f"\x1b[{_COLORS[word]}m{text}\x1b[0m" if self.color and word in _COLORS else text


PLAIN = Style()
