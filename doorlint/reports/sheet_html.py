"""The setting-out sheet as a page for the door jamb: large figures, boxes to tick, room for two-way readings.

That of a held job says HOLD across every page.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any, NamedTuple

from doorlint.reports import pages
from doorlint.reports.cautions import cautions
from doorlint.reports.words import plain, sentence, titled
from doorlint.setout import Sheet

BAND = 64.0
"""Most lines of jobs beside each other, both sides together."""
HALF = 44
"""Most letters of a row that fits half the width of the paper."""
READ = frozenset({"box.plates_wanted", "section.mark_pull"})
"""Figures beside which the sheet leaves room to write down what was read, moving up and moving down."""

Entry = dict[str, Any]


class Table(NamedTuple):
    """The figures of named things, a row each."""

    heads: list[str]
    rows: list[tuple[str, list[str]]]
    read: bool
    """with room for readings"""
    ticked: bool
    """every row is a step of its own"""

    @property
    def letters(self) -> int:
        """Letters of its longest row, with what the places for readings and ticks take."""
        rows = (len(key) + sum(map(len, row)) for key, row in self.rows)
        return max(rows, default=0) + 18 * self.read + 4 * self.ticked


class Job(NamedTuple):
    """One thing to do, or the same thing done to one after the other."""

    number: str
    title: str
    do: str
    lock_off: bool
    figures: list[tuple[str, str]]
    tables: list[Table]

    @property
    def wide(self) -> bool:
        """Whether it takes the whole width of the paper."""
        return any(table.letters > HALF for table in self.tables)

    @property
    def lines(self) -> float:
        """About how many lines it takes in half the width of the paper."""
        rows = sum(4 + 1.6 * len(table.rows) for table in self.tables if len(table.heads) > 1 or table.read)
        rows += sum(1 + 2.5 * math.ceil(len(table.rows) / 4) for table in self.tables if len(table.heads) == 1)
        return 2 + len(self.do) / 70 + 3.5 * math.ceil(len(self.figures) / 4) + rows


class Band(NamedTuple):
    """Jobs beside each other: down the left side first, then down the right. A wide one stands alone."""

    left: list[Job]
    right: list[Job]


def render(sheet: Sheet, version: str, on: str) -> str:
    """The whole sheet."""
    review = sheet.review
    named = [(key.capitalize(), review.facts[key]) for key in ("site", "opening") if key in review.facts]
    return pages.fill(
        "sheet.html.j2",
        sheet=sheet,
        review=review,
        title=titled(review),
        held=review.verdict != "clear",
        cells=[*named, ("Stage", review.stage or "not known"), ("Day", on), ("Spec", review.spec_digest)],
        errors=[finding for finding in review.findings if finding.severity == "error"],
        bands=list(_bands(_jobs(sheet.data["order_of_work"]))),
        cautions=cautions(sheet.counterbalance or None),
        version=version,
        on=on,
    )


def _bands(jobs: Iterable[Job]) -> Iterator[Band]:
    """The jobs laid out on the paper, in pieces short enough to fill a page well."""
    for wide, run in groupby(jobs, key=lambda job: job.wide):
        waiting: list[Job] = []
        for job in run:
            if wide:
                yield Band([job], [])
                continue
            if sum(one.lines for one in waiting) + job.lines > BAND and len(waiting) > 1:
                yield _halved(waiting)
                waiting = []
            waiting.append(job)
        if waiting:
            yield _halved(waiting)


def _halved(jobs: list[Job]) -> Band:
    """Two stacks of jobs in their order, about as high as each other."""

    def higher(cut: int) -> float:
        return max(sum(job.lines for job in jobs[:cut]), sum(job.lines for job in jobs[cut:]))

    cut = min(range(1, len(jobs) + 1), key=higher)
    return Band(jobs[:cut], jobs[cut:])


def _jobs(steps: Iterable[Entry]) -> Iterator[Job]:
    """The steps in their order; those that say the same of one thing after the other are one job with a table."""
    for do, same in groupby(steps, key=lambda step: step["do"]):
        group = list(same)
        first, last = group[0], group[-1]
        entries = [entry for step in group for entry in step["numbers"]]
        number = str(first["step"]) if len(group) == 1 else f"{first['step']}-{last['step']}"
        title = first["title"]
        if len(group) > 1:
            title = f"{title} to {last['title'].split()[-1]}, one after the other"
        alone, columns = _sorted(entries)
        figures = [(_head(said[0]), _said(said)) for said in alone]
        yield Job(number, title, do, first["lock_off"], figures, list(_tables(columns, ticked=len(group) > 1)))


def _sorted(entries: list[Entry]) -> tuple[list[list[Entry]], list[list[Entry]]]:
    """The entries by name: those that are one figure, or the same for every thing, and those that make columns."""
    by_name: dict[str, list[Entry]] = {}
    for entry in entries:
        by_name.setdefault(entry["name"], []).append(entry)
    alone: list[list[Entry]] = []
    columns: list[list[Entry]] = []
    for said in by_name.values():
        same = said[0]["key"] is None or (len(said) > 1 and len({entry["text"] for entry in said}) == 1)
        (alone if same else columns).append(said)
    return alone, columns


def _head(entry: Entry) -> str:
    return sentence(entry["label"]).rstrip(".")


def _said(said: list[Entry]) -> str:
    text = plain(said[0]["text"])
    return text if len(said) == 1 or said[0]["missing"] else f"{text} each"


def _tables(columns: list[list[Entry]], *, ticked: bool) -> Iterator[Table]:
    """One table for the things of an axis."""
    by_axis: dict[str, list[list[Entry]]] = {}
    for column in columns:
        by_axis.setdefault(column[0]["name"].partition(".")[0], []).append(column)
    for group in by_axis.values():
        rows: dict[str, list[str]] = {entry["key"]: [""] * len(group) for column in group for entry in column}
        for place, column in enumerate(group):
            for entry in column:
                rows[entry["key"]][place] = plain(entry["text"])
        yield Table(
            [_head(column[0]) for column in group],
            [(plain(key), row) for key, row in rows.items()],
            any(column[0]["name"] in READ for column in group),
            ticked,
        )
