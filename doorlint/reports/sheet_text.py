"""The setting-out sheet as text for a terminal or a page of 80 columns, in the order of the work."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from doorlint import quantities
from doorlint.reports.cautions import cautions
from doorlint.reports.text import wrap
from doorlint.reports.words import plain, titled
from doorlint.setout import Sheet

WIDTH = 78
SPACE = "\xa0"
"""stands for a space at which no line ends"""
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
    for caution in cautions(sheet.counterbalance or None):
        yield from wrap(caution, "  - ")
    yield ""
    yield "ORDER OF WORK  (heights from the finished floor)"
    for step in sheet.data["order_of_work"]:
        yield from _step(step)
    yield from _boxes(sheet)
    yield from _chains(sheet)
    yield from _curve(sheet)
    yield ""
    yield from wrap(f"doorlint {version}, rules {sheet.review.rules_digest}, set out for {on}", "")
    if held:
        yield ""
        yield HOLD.center(WIDTH, "#")


def _step(step: dict[str, Any]) -> Iterator[str]:
    yield ""
    yield from wrap(f"{step['title']}", f"{step['step']:3}. ")
    if step["lock_off"]:
        yield "     [LOCK OFF FIRST]"
    yield from wrap(step["do"], "     ")
    entries = step["numbers"]
    for name in dict.fromkeys(entry["name"] for entry in entries):
        said = [entry for entry in entries if entry["name"] == name]
        yield from _number(said)


def _number(said: list[dict[str, Any]]) -> Iterator[str]:
    """One name: its only value, or the values of its things in a row; no value is broken over two lines."""
    texts = [plain(entry["text"]) for entry in said]
    if len(said) == 1:
        row = _kept(texts[0]) if said[0]["value"] is not None else texts[0]
    elif len(set(texts)) == 1:
        row = f"{_kept(texts[0])} each"
    else:
        row = ";  ".join(_kept(f"{plain(entry['key'])} {text}") for entry, text in zip(said, texts, strict=True))
    lines = wrap(f"{said[0]['label']}: {row}", "     o ", "         ")
    yield from (line.replace(SPACE, " ") for line in lines)


def _kept(text: str) -> str:
    return text.replace(" ", SPACE)


def _table(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    widths = [max(map(len, column)) for column in zip(heads, *rows, strict=True)]
    for row in (heads, *rows):
        yield "  " + "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True)).rstrip()


def _boxes(sheet: Sheet) -> Iterator[str]:
    boxes = sheet.data["boxes"]
    if not boxes:
        return
    yield ""
    yield "BOXES  (residual: what the boxes to here pull more than the door at the mark)"
    heads = ("box", "sections", "wanted", "plates", "loaded", "residual")
    write = _writer(sheet)
    rows = [
        (
            box["box"],
            ", ".join(box["sections"]),
            write(box["wanted"], "weight"),
            write(box["plates"], "count"),
            write(box["loaded"], "weight"),
            write(box["residual"], "pull"),
        )
        for box in boxes
    ]
    yield from _table(heads, rows)


def _chains(sheet: Sheet) -> Iterator[str]:
    chains = sheet.data["chains"]
    if not chains:
        return
    yield ""
    yield "CHAINS  (late: how much later in the door's travel the next box comes on)"
    write = _writer(sheet)
    rows = [
        (
            f"{chain['from']} to {chain['to']}",
            write(chain["slack"], "length"),
            write(chain["links"], "count"),
            write(chain["late"], "position"),
            write(chain["stretch"], "length"),
            write(chain["rate_wanted"], "spring-rate"),
            write(chain["load"], "weight"),
        )
        for chain in chains
    ]
    yield from _table(("chain", "slack", "links", "late", "stretch", "rate wanted", "carries"), rows)


def _curve(sheet: Sheet) -> Iterator[str]:
    """Every sixth step of the curve: enough to try the door by."""
    curve = sheet.data["curve"]
    if not curve:
        return
    other = "counterweight" if "counterweight" in curve[0] else "springs"
    yield ""
    yield "FORCE OVER TRAVEL  (left over: positive, the door moves up)"
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
    yield from _table(("travel", "door", other, "left over"), rows)


def _writer(sheet: Sheet) -> Callable[[float | None, str], str]:
    """Texts of a sheet's values in its own units; a dash for what is not known."""
    system = sheet.review.system
    return lambda value, dimension: "-" if value is None else quantities.write(value, dimension, system)
