"""The errors that doorlint raises."""

from __future__ import annotations

from collections.abc import Iterable


class DoorlintError(Exception):
    """Anything that doorlint refuses, with a message for the user."""


class NotModelled(DoorlintError):
    """A figure was asked for a door that its model does not cover."""


class ImpossibleInput(DoorlintError):
    """The values given are impossible: no door could stand or run like that."""


class OutsideTable(DoorlintError):
    """A table holds no row for what was asked; nothing is extrapolated."""


class MissingInput(DoorlintError):
    """Spec values that are needed after all: ``MissingInput("track.high_lift")`` in a high lift.

    With several names, any one of them would do.
    """

    def __init__(self, *names: str) -> None:
        super().__init__(" or ".join(names))
        self.names = names


class BrokenFigure(DoorlintError):
    """The function of a figure is not written as one; the message names file, line and fix."""


class BrokenRules(DoorlintError):
    """A rule, table or practice file cannot be used; the message names file, line and fix."""

    def __init__(self, message: str, path: Iterable[str | int] = ()) -> None:
        """``path``: keys and item numbers that lead to the mistake inside the rule, where a message has no line yet."""
        super().__init__(message)
        self.path = tuple(path)


class WrongCall(DoorlintError):
    """The caller asked for something that cannot be done as asked."""


class MissingLibrary(DoorlintError):
    """A library that doorlint needs is not installed, or lacks a part; the message says what to install."""
