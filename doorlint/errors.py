"""What can go wrong, by name."""

from __future__ import annotations

from collections.abc import Iterable


class DoorlintError(Exception):
    """Anything that doorlint itself refuses, with a message for the person who asked."""


class NotModelled(DoorlintError):
    """A figure was asked of a door it has no honest model for."""


class ImpossibleInput(DoorlintError):
    """What the spec gives cannot be: no door could stand or run so."""


class OutsideTable(DoorlintError):
    """A table holds no row for what was asked; nothing is extrapolated."""


class MissingInput(DoorlintError):
    """Spec values turn out to be needed after all: ``MissingInput("track.high_lift")`` in a high lift.

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
