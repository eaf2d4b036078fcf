"""What a written program calls: columns in which something is unknown or does not apply.

A cell is as :mod:`doorlint.figures.cells` has it, but for the reason why it is unknown, which nobody has asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import compress, repeat
from typing import Any, Final

from doorlint.figures.cells import Patchy, Unknown, whole

__all__ = ["UNKNOWN", "blank", "each", "filled", "gapped", "given", "taken", "whole"]


UNKNOWN: Final = Unknown("")
"""What is unknown while nobody asks why."""


@lru_cache(maxsize=4096)  # the things of most doors are called alike
def blank(keys: tuple[str, ...]) -> Any:
    """The column of which nothing is given.

    >>> blank(()) is UNKNOWN, len(blank(("s1", "s2")))
    (True, 2)
    """
    return Patchy.fromkeys(keys, UNKNOWN) if keys else UNKNOWN


def given(column: Mapping[str, Any], keys: tuple[str, ...]) -> Any:
    """A column of the spec that has not an entry for everything."""
    return Patchy({key: column.get(key, UNKNOWN) for key in keys}) if keys else UNKNOWN


def taken(column: Any, gaps: bool, optional: bool) -> Any:
    """A column that is not plain, as a parameter for whole columns takes it.

    >>> patchy = Patchy({"s1": 1.0, "s2": UNKNOWN})
    >>> taken(patchy, gaps=True, optional=False), taken(patchy, gaps=False, optional=True)
    ({'s1': 1.0, 's2': None}, None)
    """
    if column.__class__ is not Patchy:
        return None if column is UNKNOWN and optional else column
    if gaps:
        return {key: None if entry is UNKNOWN else entry for key, entry in column.items()}
    return None if optional else UNKNOWN


def gapped(column: Any) -> Iterable[Any]:
    """The entries of a column that is not plain, those that are unknown as None."""
    if not isinstance(column, dict):
        return repeat(None if column is UNKNOWN else column)
    return [None if entry is UNKNOWN else entry for entry in column.values()]


def filled(made: Any, keys: tuple[str, ...], memo: dict[str, Any], name: str) -> Any:
    """A column that a figure made at once, remembered with an entry for everything."""
    if made.__class__ is dict and tuple(made) != keys:
        made = {key: made.get(key) for key in keys}
    memo[name] = made = whole(made) if made.__class__ is dict else made
    return made


def each(
    function: Callable[..., Any],
    needed: Sequence[bool],
    own: Sequence[bool],
    cells: Sequence[Any],
    keys: tuple[str, ...],
    memo: dict[str, Any],
    name: str,
) -> Any:
    """The column of what a function comes to where something that it takes is not sound, or where it failed.

    ``needed`` and ``own`` say of each of ``cells`` whether the function cannot do without it, and whether it takes the
    entry of one thing. Remembered where all is known.
    """
    if not keys:
        return UNKNOWN
    rows = [
        cell.values() if mine and isinstance(cell, dict) else repeat(cell, len(keys))
        for cell, mine in zip(cells, own, strict=True)
    ]
    entries = [_one(function, needed, arguments) for _, *arguments in zip(keys, *rows, strict=True)]
    column = whole(dict(zip(keys, entries, strict=True)))
    if UNKNOWN not in entries:
        memo[name] = column
    return column


def _one(function: Callable[..., Any], needed: Sequence[bool], arguments: Sequence[Any]) -> Any:
    wanted = list(compress(arguments, needed))
    if None in wanted:
        return None
    if UNKNOWN in wanted:
        return UNKNOWN
    try:
        return function(*[None if argument is UNKNOWN else argument for argument in arguments])
    except Exception:  # what ails one thing stays with it, and is told by whoever asks
        return UNKNOWN
