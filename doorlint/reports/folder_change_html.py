"""The change of a folder as a page: a line for each spec; each change has a page of its own by its file."""

from __future__ import annotations

from doorlint.changes.folder import FolderChange
from doorlint.reports import pages
from doorlint.reports.cautions import cautions
from doorlint.reports.change_words import DECISIONS
from doorlint.reports.folder_change_words import headline, rows


def render(change: FolderChange, version: str, on: str) -> str:
    """The whole page."""
    return pages.fill(
        "folder_change.html.j2",
        change=change,
        head=DECISIONS[change.decision],
        headline=headline(change),
        rows=rows(change),
        cautions=cautions(None),
        version=version,
        on=on,
    )
