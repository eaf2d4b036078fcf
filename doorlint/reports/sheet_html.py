"""The setting-out sheet as a page for the door jamb: large figures, boxes to tick, room for two-way readings.

That of a held job says HOLD across every page.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any, NamedTuple

from doorlint.reports import pages
from doorlint.reports.cautions import cautions
from doorlint.reports.words import plain, sentence, titled
from doorlint.setout import Sheet

READ = frozenset({"box.plates_wanted", "section.mark_pull"})
"""Figures beside which the sheet leaves room to write down what was read, moving up and moving down."""

Entry = dict[str, Any]


class Table(NamedTuple):
    """The figures of named things: a row each, with room for readings where they are taken."""

    heads: list[str]
    rows: list[tuple[str, list[str]]]
    read: bool


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
        return any(len(table.heads) + 2 * table.read > 3 for table in self.tables)


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
        jobs=list(_jobs(sheet.data["order_of_work"])),
        cautions=cautions(sheet.counterbalance or None),
        version=version,
        on=on,
    )


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
        figures = [(_head(entry), plain(entry["text"])) for entry in entries if entry["key"] is None]
        yield Job(number, title, do, first["lock_off"], figures, list(_tables(entries)))


def _head(entry: Entry) -> str:
    return sentence(entry["label"]).rstrip(".")


def _tables(entries: list[Entry]) -> Iterator[Table]:
    """The figures of named things, one table for the things of an axis."""
    by_axis: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry["key"] is not None:
            by_axis.setdefault(entry["name"].partition(".")[0], []).append(entry)
    for group in by_axis.values():
        heads = dict.fromkeys(entry["name"] for entry in group)
        labels = {entry["name"]: _head(entry) for entry in group}
        rows: dict[str, dict[str, str]] = {}
        for entry in group:
            rows.setdefault(entry["key"], {})[entry["name"]] = plain(entry["text"])
        yield Table(
            [labels[name] for name in heads],
            [(plain(key), [said.get(name, "") for name in heads]) for key, said in rows.items()],
            not READ.isdisjoint(heads),
        )
