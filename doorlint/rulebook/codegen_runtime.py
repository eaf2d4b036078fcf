"""The functions that a generated program calls, for columns with an entry that is unknown or does not apply.

Cells are those of :mod:`doorlint.figures.cells`, without the reason why one is unknown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import compress, repeat
from typing import Any, Final

from doorlint.figures.cells import Gapped, Unknown, as_column

__all__ = ["UNKNOWN", "as_column", "blank", "each", "filled", "gapped", "given", "row", "taken"]


UNKNOWN: Final = Unknown("")
"""Unknown, without a reason."""


@lru_cache(maxsize=4096)  # the things of most doors are called alike
def blank(keys: tuple[str, ...]) -> Any:
    """The column of a value that is given nowhere.

    >>> blank(()) is UNKNOWN, len(blank(("s1", "s2")).entries)
    (True, 2)
    """
    return Gapped(dict.fromkeys(keys, UNKNOWN), unknown=True) if keys else UNKNOWN


def given(column: Mapping[str, Any], keys: tuple[str, ...]) -> Any:
    """A column of the spec that has not an entry for everything."""
    return Gapped({key: column.get(key, UNKNOWN) for key in keys}, unknown=True) if keys else UNKNOWN


def taken(column: Any, gaps: bool, optional: bool) -> Any:
    """A column that is not plain, as a parameter for whole columns takes it.

    >>> gapped = Gapped({"s1": 1.0, "s2": UNKNOWN}, unknown=True)
    >>> taken(gapped, gaps=True, optional=False), taken(gapped, gaps=False, optional=True)
    ({'s1': 1.0, 's2': None}, None)
    """
    if column.__class__ is not Gapped:
        return None if column is UNKNOWN and optional else column
    if not column.unknown:
        return column.entries
    if gaps:
        return {key: None if entry is UNKNOWN else entry for key, entry in column.entries.items()}
    return None if optional else UNKNOWN


def gapped(column: Any) -> Iterable[Any]:
    """The entries of a column that is not plain, those that are unknown as None."""
    if column.__class__ is not Gapped:
        return repeat(None if column is UNKNOWN else column)
    return [None if entry is UNKNOWN else entry for entry in column.entries.values()]


def row(cell: Any, many: int) -> Iterable[Any]:
    """The entries of a cell that is not a plain column, the same for everything where it is no column.

    >>> list(row(Gapped({"s1": 1.0, "s2": None}, unknown=False), 2)), list(row(3.0, 2))
    ([1.0, None], [3.0, 3.0])
    """
    return cell.entries.values() if cell.__class__ is Gapped else repeat(cell, many)


def filled(made: Any, keys: tuple[str, ...], memo: dict[str, Any], name: str) -> Any:
    """A column that a figure made at once, remembered with an entry for everything."""
    if made.__class__ is dict and tuple(made) != keys:
        made = {key: made.get(key) for key in keys}
    memo[name] = made = as_column(made) if made.__class__ is dict else made
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
        (cell.values() if cell.__class__ is dict else row(cell, len(keys))) if mine else repeat(cell, len(keys))
        for cell, mine in zip(cells, own, strict=True)
    ]
    entries = [_one(function, needed, arguments) for _, *arguments in zip(keys, *rows, strict=True)]
    column = as_column(dict(zip(keys, entries, strict=True)))
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
    except Exception:  # the other things go on; the evaluator reports this one
        return UNKNOWN
