"""The wording that the forms of a folder's change share."""

from __future__ import annotations

from typing import NamedTuple

from doorlint.changes.folder import FolderChange, decision_on_added
from doorlint.reports.change_words import DECISIONS, count_text, reason_text
from doorlint.reports.words import count, counts

__all__ = ["Row", "headline", "rows"]


class Row(NamedTuple):
    """One spec of the folder that changed: its file, the decision on it, and why."""

    file: str
    decision: str
    reason: str


def headline(change: FolderChange) -> str:
    """The decision on the folder, and how many specs are in it."""
    told = [
        f"{count(len(change.changes), 'spec')} changed", f"{len(change.added)} added", f"{len(change.removed)} removed",
        f"{change.unchanged} as before",
    ]  # fmt: skip
    unread = f", {count(len(change.unreadable), 'spec')} that cannot be read" if change.unreadable else ""
    return f"{DECISIONS[change.decision]}: {', '.join(told)}{unread}"


def rows(change: FolderChange) -> list[Row]:
    """The specs that cannot be read, then those on hold, then those that need a sign-off, then the others."""
    unread = [Row(file, "UNREADABLE", why) for file, why in change.unreadable]
    found = [
        Row(one.proposed.file, DECISIONS[one.decision], f"{reason_text(one)} {count_text(one)}.")
        for one in change.changes
    ]
    found += [Row(one.file, DECISIONS[decision_on_added(one)], f"New spec: {counts(one)}.") for one in change.added]
    found += [Row(name, DECISIONS["sign-off"], "The spec is taken out.") for name in change.removed]
    order = list(reversed(DECISIONS.values()))
    return unread + sorted(found, key=lambda row: (order.index(row.decision), row.file))
