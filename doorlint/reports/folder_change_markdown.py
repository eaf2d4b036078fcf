"""The change of a folder as Markdown for a pull request: a table on top, then each change; what does not fit is cut."""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.changes.folder import FolderChange
from doorlint.reports.cautions import cautions
from doorlint.reports.change_markdown import parts
from doorlint.reports.folder_change_words import headline, rows
from doorlint.reports.markdown import MOST_ROWS, code, escaped, fitted
from doorlint.reports.words import count


def render(change: FolderChange, version: str, on: str) -> str:
    """The whole report."""
    return fitted(_parts(change), _tail(version, on))


def _parts(change: FolderChange) -> Iterator[str]:
    yield f"## {headline(change)}"
    told = rows(change)
    lines = [f"| {code(row.file)} | {row.decision} | {escaped(row.reason)} |" for row in told[:MOST_ROWS]]
    more = len(told) - MOST_ROWS
    left = f"\n\n**And {count(more, 'more spec')}, not listed here.**" if more > 0 else ""
    if lines:
        yield "\n".join(["| Spec | Decision | Why |", "| --- | --- | --- |", *lines]) + left
    for one in change.changes:
        yield from parts(one, f"{code(one.proposed.file)}: ")


def _tail(version: str, on: str) -> Iterator[str]:
    yield "**Cautions**\n\n" + "\n".join(f"- {escaped(caution)}" for caution in cautions(None))
    yield f"doorlint {version}, day {on}"
