"""The steps of a setting-out sheet as jobs: what is to be done, the figures for it, and a table of named things."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any, NamedTuple

from doorlint.counterbalance.kind import Counterbalance
from doorlint.reports.words import plain
from doorlint.sheet import Sheet
from doorlint.sheet.work import work

Entry = dict[str, Any]
SCREEN_ONLY = frozenset({
    "mount.onto", "mount.edge_distance", "mount.load_set", "mount.worst_pull", "mount.worst_shear", "mount.use",
    "tower.head_load", "tower.head_side_load", "tower.far_head_load", "tower.far_side_load", "stack.resting_open",
    "tower.slab_load", "box.rate_wanted", "box.chain_load",
})  # fmt: skip
"""Loads, rates, backing and edges stay off the paper: a sheet is two pages at most."""


class Table(NamedTuple):
    """The figures of named things, a row each; things that say the same share one."""

    thing: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    read: bool
    """with room for readings"""
    ticked: bool
    """every row is a step of its own"""
    screen_only: frozenset[int] = frozenset()
    """the numbers of the columns that are not printed"""

    @property
    def single(self) -> bool:
        """Whether it is one figure of each thing and no more."""
        return len(self.heads) == 1 and not self.read


class SheetTask(NamedTuple):
    """One thing to do, or the same thing done to one after the other."""

    number: str
    title: str
    do: str
    lock_off: bool
    picture: str
    """the small drawing beside it; empty for none"""
    figures: tuple[tuple[str, str], ...]
    tables: tuple[Table, ...]
    screen_only: frozenset[str] = frozenset()
    """the labels of the figures that are not printed"""

    @property
    def singles(self) -> list[Table]:
        """Its tables of things that have but one figure each."""
        return [table for table in self.tables if table.single]


def tasks(sheet: Sheet) -> Iterator[SheetTask]:
    """The steps in their order; those that say the same of one thing after the other are one job with a table."""
    steps, kind = sheet.data["order_of_work"], sheet.counterbalance
    pictures = {task.title: task.picture for task in (work() if kind is None else work(kind))}
    for do, same in groupby(steps, key=lambda step: step["do"]):
        group = list(same)
        first, last = group[0], group[-1]
        number, title = str(first["step"]), first["title"]
        if len(group) > 1:
            number = f"{number}-{last['step']}"
            title = f"{title} to {last['title'].split()[-1]}, one after the other"
        alone, columns = _sorted(entry for step in group for entry in step["numbers"])
        tables = tuple(_tables(columns, alone, kind, ticked=len(group) > 1))
        figures = tuple((said[0]["label"], _said(said)) for said in alone.values())
        rest = frozenset(said[0]["label"] for name, said in alone.items() if name in SCREEN_ONLY)
        yield SheetTask(
            number, plain(title), do, first["lock_off"], pictures.get(first["title"], ""), figures, tables, rest
        )


def _sorted(entries: Iterable[Entry]) -> tuple[dict[str, list[Entry]], dict[str, list[Entry]]]:
    """The entries by name: those that are one figure, or the same for every thing, and those that make columns."""
    by_name: dict[str, list[Entry]] = {}
    for entry in entries:
        by_name.setdefault(entry["name"], []).append(entry)
    alone: dict[str, list[Entry]] = {}
    columns: dict[str, list[Entry]] = {}
    for name, said in by_name.items():
        same = said[0]["key"] is None or (len(said) > 1 and len({entry["text"] for entry in said}) == 1)
        (alone if same else columns)[name] = said
    return alone, columns


def _said(said: list[Entry]) -> str:
    text = plain(said[0]["text"])
    return text if len(said) == 1 or said[0]["missing"] else f"{text} each"


def _tables(
    columns: dict[str, list[Entry]], alone: dict[str, list[Entry]], kind: Counterbalance | None, *, ticked: bool
) -> Iterator[Table]:
    """One table for the things of an axis; what it tells of the closed door is taken out of the figures alone."""
    with_closed = {} if kind is None else kind.closed
    with_readings = frozenset[str]() if kind is None else kind.read
    by_axis: dict[str, list[str]] = {}
    for name in columns:
        by_axis.setdefault(name.partition(".")[0], []).append(name)
    for axis, names in by_axis.items():
        rows: dict[str, list[str]] = {entry["key"]: [""] * len(names) for name in names for entry in columns[name]}
        for place, name in enumerate(names):
            for entry in columns[name]:
                rows[entry["key"]][place] = plain(entry["text"])
        closed = [alone.pop(with_closed.get(name, ""), None) for name in names]
        said = [(plain(key), tuple(row)) for key, row in rows.items()]
        if any(closed):
            said.append(("closed", tuple(plain(one[0]["text"]) if one else "" for one in closed)))
        read = not with_readings.isdisjoint(names)
        heads = tuple(columns[name][0]["label"] for name in names)
        rest = frozenset(place for place, name in enumerate(names) if name in SCREEN_ONLY)
        yield Table(axis, heads, tuple(said if read or len(names) == 1 else _shared(said)), read, ticked, rest)


def _shared(rows: Iterable[tuple[str, tuple[str, ...]]]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The rows in their order, those of things that say the same as one.

    >>> list(_shared([("left-1", ("5 ft",)), ("left-2", ("9 ft",)), ("right-1", ("5 ft",))]))
    [('left-1, right-1', ('5 ft',)), ('left-2', ('9 ft',))]
    """
    things: dict[tuple[str, ...], list[str]] = {}
    for key, row in rows:
        things.setdefault(row, []).append(key)
    for row, keys in things.items():
        yield ", ".join(keys), row
