"""A published or customary table, looked up by its key columns and never extrapolated."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache, partial

from doorlint.errors import OutsideTable

SAME = 1e-6
"""Two written sizes are one size when they differ by no more than this share (0.25 in and 6.35 mm)."""


class Table:
    """Rows under named columns, all in SI.

    ``match`` says for each key column how a row is found: ``exact`` (this very value), ``between``
    (straight line between the two rows around it) or ``from`` (the last row that does not exceed it,
    up to and including the last row of the table).

    >>> hooks = Table("hooks", ("size", "load"), {"size": "between"}, ((1.0, 10.0), (3.0, 30.0)))
    >>> hooks.look("load", size=2.0)
    20.0
    >>> hooks.look("load", size=4.0)
    Traceback (most recent call last):
    doorlint.errors.OutsideTable: table hooks has no row for size 4
    """

    __slots__ = ("columns", "look_up", "match", "name", "rows")

    def __init__(
        self, name: str, columns: tuple[str, ...], match: Mapping[str, str], rows: Sequence[tuple[float | str, ...]]
    ) -> None:
        self.name, self.columns, self.match, self.rows = name, columns, match, rows
        # the same few sizes occur in all specs of a shop
        self.look_up = lru_cache(maxsize=1024)(partial(_found, name, columns, match, rows))

    def look(self, column: str, **keys: float | str) -> float:
        """The value in ``column`` of the row with these keys; raises :class:`OutsideTable`."""
        return self.look_up(column, tuple(keys.items()))


def _found(
    name: str,
    columns: tuple[str, ...],
    match: Mapping[str, str],
    rows: Sequence[tuple[float | str, ...]],
    column: str,
    keys: tuple[tuple[str, float | str], ...],
) -> float:
    sliding: tuple[str, float] | None = None
    for key, wanted in keys:
        if match[key] == "exact":
            at = columns.index(key)
            rows = [row for row in rows if _same(row[at], wanted)]
        elif sliding is None:
            sliding = key, float(wanted)
        else:
            raise ValueError(f"table {name}: only one key can slide")
    value = columns.index(column)
    if sliding is None:
        if len(rows) == 1:
            return float(rows[0][value])
    else:
        key, size = sliding
        found = _slide(rows, columns.index(key), value, size, match[key])
        if found is not None:
            return found
    asked = ", ".join(f"{key} {wanted:g}" if isinstance(wanted, float) else f"{key} {wanted}" for key, wanted in keys)
    raise OutsideTable(f"table {name} has no row for {asked}")


def _slide(rows: Sequence[tuple[float | str, ...]], key: int, value: int, wanted: float, how: str) -> float | None:
    points = sorted((float(row[key]), float(row[value])) for row in rows)
    if not points or wanted < points[0][0] * (1 - SAME) or wanted > points[-1][0] * (1 + SAME):
        return None
    below = max((point for point in points if point[0] <= wanted * (1 + SAME)), default=points[0])
    above = next((point for point in points if point[0] >= wanted), points[-1])
    if how == "from" or above[0] <= below[0]:
        return below[1]
    share = (wanted - below[0]) / (above[0] - below[0])
    return below[1] + share * (above[1] - below[1])


def _same(row: float | str, wanted: float | str) -> bool:
    if isinstance(row, str) or isinstance(wanted, str):
        return row == wanted
    return abs(row - wanted) <= SAME * max(abs(row), abs(wanted))
