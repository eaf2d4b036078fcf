"""The setting-out sheet as text for a terminal or a page of 80 columns, in the order of the work."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import zip_longest
from typing import Any

from doorlint import quantities
from doorlint.counterbalance.kind import ListTable
from doorlint.reports.cautions import cautions
from doorlint.reports.load_path import UNITS
from doorlint.reports.sheet_tasks import SheetTask, Table, tasks
from doorlint.reports.text import KEPT, wrap
from doorlint.reports.words import made_from, plain, relaxed_texts, titled
from doorlint.sheet import Sheet

WIDTH = 78
INDENT = " " * 5
HOLD = " HOLD - DO NOT BUILD FROM THIS SHEET "


def render(sheet: Sheet, version: str, on: str) -> str:
    """The whole sheet; that of a held job says HOLD across its top and its bottom."""
    return "\n".join(_lines(sheet, version, on)) + "\n"


def _lines(sheet: Sheet, version: str, on: str) -> Iterator[str]:
    held = sheet.review.verdict != "clear"
    if held:
        yield HOLD.center(WIDTH, "#")
        yield ""
    yield from wrap(f"SETTING OUT  {titled(sheet.review)}", "", "  ")
    review = sheet.review
    yield from wrap(f"{plain(review.file)}, stage {review.stage}, spec {review.spec_digest}", "", "  ")
    if held:
        errors = [finding for finding in sheet.review.findings if finding.severity == "error"]
        for finding in errors:
            yield from wrap(f"{finding.rule}: {plain(finding.message)}", "  ! ")
    yield ""
    yield "FIRST"
    for caution in cautions(sheet.counterbalance):
        yield from wrap(caution, "  - ")
    yield ""
    yield "ORDER OF WORK  (heights from the finished floor)"
    for job in tasks(sheet):
        yield from _job(job)
    for table in sheet.counterbalance.tables if sheet.counterbalance else ():
        yield from _list(sheet, table)
    yield from _curve(sheet)
    yield ""
    for text in relaxed_texts(sheet.review.relaxed):
        yield from wrap(f"not as in the library: {text}", "")
    yield from wrap(f"doorlint {version}, {made_from(sheet.review)}, set out for {on}", "")
    if held:
        yield ""
        yield HOLD.center(WIDTH, "#")


def _job(job: SheetTask) -> Iterator[str]:
    yield ""
    yield from wrap(job.title, f"{job.number:>3}. ")
    if job.lock_off:
        yield f"{INDENT}[LOCK OFF FIRST]"
    yield from wrap(job.do, INDENT)
    wide = max((len(label) for label, _ in job.figures), default=0)
    for label, text in job.figures:
        yield from wrap(text, f"{INDENT}{label.ljust(wide)}  ", " " * (len(INDENT) + wide + 2))
    for table in job.tables:
        yield from _things(table)


def _things(table: Table) -> Iterator[str]:
    """The figures of named things as a table, or a line for each thing where that would be too wide."""
    if table.single:
        yield from _row(table.heads[0], (f"{thing} {row[0]}" for thing, row in table.rows))
        return
    heads, rows = (table.thing, *table.heads), [(thing, *row) for thing, row in table.rows]
    for least in (11, 0):
        lines = list(_table(heads, rows, INDENT, str.ljust, least))
        if max(map(len, lines)) <= WIDTH:
            yield from lines
            return
    for thing, texts in table.rows:
        yield from _row(thing, (f"{head} {text}" for head, text in zip(table.heads, texts, strict=True) if text))


def _row(what: str, texts: Iterable[str]) -> Iterator[str]:
    """Short texts behind each other, none of them broken over two lines."""
    said = ";  ".join(text.replace(" ", KEPT) for text in texts)
    yield from (line.replace(KEPT, " ") for line in wrap(f"{what}:  {said}", INDENT, f"{INDENT}  "))


def _table(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    indent: str = "  ",
    side: Callable[[str, int], str] = str.rjust,
    least: int = 11,
) -> Iterator[str]:
    """Lines of a table; a head longer than its column, and than ``least``, is broken between its words."""
    broken, widths = [], []
    for head, *column in zip(heads, *rows, strict=True):
        width = max(min(len(head), least), *map(len, (*column, *head.split())))
        broken.append(textwrap.wrap(head, width, break_on_hyphens=False))
        widths.append(width)
    tops = zip_longest(*(reversed(lines) for lines in broken), fillvalue="")
    for row in (*reversed([*tops]), *rows):
        yield f"{indent}{'  '.join(side(cell, width) for cell, width in zip(row, widths, strict=True))}".rstrip()


def _list(sheet: Sheet, table: ListTable) -> Iterator[str]:
    """One list of the counterbalance as a table; nothing where the list is empty."""
    items = [item for item in sheet.data[table.name] if not table.only or item[table.only]]
    if not items:
        return
    yield ""
    yield table.title
    write = _writer(sheet)
    rows = [
        [_cell(item[one.key], UNITS[item["unit"]] if one.by_unit else one.dimension, write) for one in table.columns]
        for item in items
    ]
    yield from _table([column.head for column in table.columns], rows)


def _cell(value: Any, dimension: str, write: Callable[[float | None, str], str]) -> str:
    if dimension:
        return write(value, dimension)
    return value if isinstance(value, str) else ", ".join(value)


def _curve(sheet: Sheet) -> Iterator[str]:
    """Every sixth step of the curve: enough to try the door by."""
    curve = sheet.data["curve"]
    if not curve:
        return
    other = next(key for key in curve[0] if key not in ("travel", "door", "residual"))
    yield ""
    yield "FORCE OVER TRAVEL  (imbalance: above 0 the door moves up)"
    write = _writer(sheet)
    most = curve[-1]["travel"]
    chosen = [min(curve, key=lambda point: abs(point["travel"] - most * part / 12)) for part in range(13)]
    rows = [
        (
            write(point["travel"], "length"),
            write(point["door"], "weight"),
            write(point[other], "weight"),
            write(point["residual"], "pull"),
        )
        for point in chosen
    ]
    yield from _table(("travel", "door", other, "imbalance"), rows)


def _writer(sheet: Sheet) -> Callable[[float | None, str], str]:
    """Texts of a sheet's values in its own units; a dash for what is not known."""
    system = sheet.review.system
    return lambda value, dimension: "-" if value is None else quantities.write(value, dimension, system)
