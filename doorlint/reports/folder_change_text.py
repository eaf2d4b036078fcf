"""The change of a folder as text: a line for each spec, then each change in full."""

from __future__ import annotations

from collections.abc import Iterator

from doorlint.changes.folder import FolderChange
from doorlint.reports.cautions import cautions
from doorlint.reports.change_text import body
from doorlint.reports.folder_change_words import headline, rows
from doorlint.reports.text import wrap
from doorlint.reports.words import plain


def render(change: FolderChange, version: str, on: str) -> str:
    """The whole report."""
    return "\n".join(_lines(change, version, on)) + "\n"


def _lines(change: FolderChange, version: str, on: str) -> Iterator[str]:
    yield from wrap(f"{headline(change)}.", "", "")
    yield from wrap(plain(f"approved {change.approved}, proposed {change.proposed}"), "", "")
    yield ""
    for row in rows(change):
        yield from wrap(plain(f"{row.file}: {row.decision}. {row.reason}"), "  - ")
    for one in change.changes:
        yield ""
        yield "-" * 78
        yield from body(one)
    yield ""
    yield "CAUTIONS"
    for caution in cautions(None):
        yield from wrap(caution, "  - ")
    yield ""
    yield f"doorlint {version}, decided for {on}"
    yield f"DECISION  {change.decision}"
